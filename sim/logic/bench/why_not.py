"""Why an action is not taken now: the rows against it, down to the devices, where they are wired, and what changed last.

A state of a machine is traced back through the reactions that have brought it there, until nothing
but wires is left. The controller remembers them, so a latched fault is traced to what latched it,
whatever that shows now. Sentences and hazards are the interlock table's own.

Never here: the way out (see `freeing`).
"""

from dataclasses import dataclass
from typing import Final

from sim.control.controller import Controller
from sim.control.interlocks import REACTIONS, Image, When
from sim.control.nouns import said_state
from sim.control.table import TABLES
from sim.logic.bench.trace import Change, Trace
from sim.logic.bench.wiring_prints import located
from sim.saw import Saw
from sim.signals import BY_TAG
from sim.units import US
from sim.words.fields import name, part, seconds
from sim.words.message import NOTHING, Message, plain, row, sentences

_TABLE_OF: Final = {table.name: table for table in TABLES}
_NEVER: Final = row(
    "why-not.never-changed", "{tag} {now}; it has not changed since the session began.",
    tag=name(), now=part(),
)  # fmt: skip
_SINCE: Final = row(
    "why-not.changed", "{tag} {now}; it last changed at {at}.",
    tag=name(), now=part(), at=seconds(1),
)  # fmt: skip
_BECAUSE: Final = row("why-not.because", "It is so because {reason}.", reason=part())
_ON: Final = row("why-not.on", "is on (on means {meaning})", meaning=part())
_OFF: Final = row("why-not.off", "is off (on means {meaning})", meaning=part())
_SET: Final = plain("why-not.set", "is set")
_NOT_SET: Final = plain("why-not.not-set", "is not set")
_IN_STATE: Final = row("why-not.state", "is {state}", state=part())


@dataclass(frozen=True, slots=True)
class Device:
    """A wire or latch behind a refusal, and its last change."""

    tag: str
    now: Message  # what it shows, a clause
    changed: Change | None
    because: Message = (
        NOTHING  # what it did that stands against the action, where that is remembered
    )
    at: str = ""  # its address and the terminal of its card; empty for what is no wire

    @property
    def sentence(self) -> Message:
        """What it shows and since when."""
        tag = f"{self.tag} ({self.at})" if self.at else self.tag
        if self.changed is None:
            shows = _NEVER(tag=tag, now=self.now)
        else:
            shows = _SINCE(tag=tag, now=self.now, at=self.changed.time_us / US)
        return sentences(_BECAUSE(reason=self.because), shows) if self.because else shows


@dataclass(frozen=True, slots=True)
class Against:
    """One thing that stands against an action."""

    number: str  # of the interlock; empty for a rule of use
    sentence: Message
    remedy: Message
    hazard: Message  # what the interlock is there for; nothing for a rule of use
    devices: tuple[Device, ...]


def why_not(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what stands against an action of the table now; empty when it would be taken.

    Raises:
        KeyError: The table of actions does not have it.
    """
    controller = saw.controller
    image, loom = controller.image, saw.plant.harness.loom
    hazards = {
        (permissive.number, permissive.need.sentence): permissive.hazard
        for permissive in controller.rows.needs_of(action, When.KEY)
    }
    return tuple(
        Against(
            refusal.interlock, refusal.sentence, refusal.remedy,
            hazards.get((refusal.interlock, refusal.sentence), NOTHING),
            tuple(
                Device(tag, _shows(image, tag), trace.last_change(tag), reason, located(loom, tag))
                for tag, reason in (behind(controller, refusal.device),)
            ),
        )
        for refusal in controller.blocks(action)
    )  # fmt: skip


def behind(controller: Controller, subject: str) -> tuple[str, Message]:
    """Return the wire or latch that has put a subject where it is, and the reason that was told.

    Where nothing is remembered it is the subject itself, without a reason.
    """
    seen, reason = [subject], NOTHING
    while (row := controller.brought.get(seen[-1])) is not None and row.subject not in seen:
        seen.append(row.subject)
        reason = row.reason or reason
    if seen[-1] == subject and (wire := _would_leave(subject, str(controller.image[subject]))):
        return wire, NOTHING
    return seen[-1], reason


def _would_leave(machine: str, state: str) -> str:
    """Return the wire by which alone a machine leaves a state, as the isolator; empty if there is none."""
    table = _TABLE_OF.get(machine)
    ways = [] if table is None else [row.event for row in table.rows if row.state == state]
    wires = [
        r.subject for r in REACTIONS if ways and ways == [e for m, e in r.fires if m == machine]
    ]
    return wires[0] if len(wires) == 1 and wires[0] in BY_TAG else ""


def _shows(image: Image, tag: str) -> Message:
    value = image[tag]
    if tag in BY_TAG:
        return (_ON if value else _OFF)(meaning=BY_TAG[tag].text)
    if isinstance(value, bool):
        return _SET if value else _NOT_SET
    return _IN_STATE(state=said_state(tag, str(value)))
