"""What somebody at this saw knows without another look: settings that were read, wires whose lamp was read.

In a drill or an assessment a setting or a wire is told by a look, which takes its time, or by the hand
that set it; both front ends ask here, so neither tells more than the other. In lessons and practice
nothing is held back.

Never here: what is in sight of everybody (see `describe`).
"""

from dataclasses import dataclass
from typing import Final

from sim.session.inspections import INSPECTIONS
from sim.session.session import Session

_HIDING: Final = ("drill", "assessment")

READ_BY: Final = {name: look.name for look in INSPECTIONS.values() for name in look.reads}
"""The inspection that reads a set point."""

_PLAIN_TO_SEE: Final = frozenset({
    "band.guard", "band.wheel_cover", "cutting_vise.support_arm", "coolant.floor", "head.prop", "infeed.hood",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class WireRead:
    """The level of a wire as a look told it, and when."""

    look: str
    at_us: int
    live: bool


def hides(session: Session) -> bool:
    """Return whether what nobody has looked at is not told."""
    return session.scenario.mode in _HIDING


def unread(session: Session, point: str) -> str:
    """Return the inspection that is wanting before a set point can be told; empty when it can be."""
    look = "" if point in _PLAIN_TO_SEE else READ_BY.get(point, "")
    known = not hides(session) or point in session.seen.set_by_hand or session.seen.has(look)
    return "" if known else look


def wire_read(session: Session, tag: str) -> WireRead | None:
    """Return what the last look at a lamp or at a meter told of a wire; None when there was none."""
    return next(iter(wires_read(session, tag)), None)


def wires_read(session: Session, tag: str) -> tuple[WireRead, ...]:
    """Return what each way to look told of a wire last, the newest first.

    A lamp at the one end of a wire and one at the other may differ, so they are told apart.
    """
    found: dict[str, WireRead] = {}
    for look in reversed(session.seen.looks):
        if tag in look.levels:
            found.setdefault(look.name, WireRead(look.name, look.at_us, look.levels[tag]))
    return tuple(found.values())
