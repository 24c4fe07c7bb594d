"""The form of an inspection: what it takes, what it needs, and what comes back.

What comes back is a message, read off the plant and the wires; two people would agree on it, and it
never names a fault. When the machine is not ready for an inspection, a message says so. The keys of a
row's messages begin with `inspection.` and the row's name.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypedDict, Unpack

from sim.saw import Saw
from sim.trade.measuring import Tool
from sim.words.message import NOTHING, Message, plain

Show = Callable[[Saw], Message]
Levels = Callable[[Saw], Mapping[str, bool]]


class Kind(StrEnum):
    """How it is done."""

    WALK = "walk-round"
    LOOK = "look"
    GAUGE = "gauge"
    METER = "meter"
    TEST = "function test"  # works the machine, and takes its time on it


def nothing(_saw: Saw) -> Message:
    """Return that nothing stands against it."""
    return NOTHING


def _no_wire(_saw: Saw) -> Mapping[str, bool]:
    return {}


@dataclass(frozen=True, slots=True)
class Inspection:
    """One way to look."""

    name: str
    title: Message
    place: str  # part of the saw
    seconds: float
    show: Show
    kind: Kind = Kind.LOOK
    needs: Show = nothing  # why the machine is not fit for it, or nothing
    acts_s: float = 0.0  # of the seconds, those in which a function test works the machine
    reads: tuple[str, ...] = ()  # set points whose setting it tells, and that no list tells before
    shows: tuple[str, ...] = ()  # set points that can be judged after this look
    wires: Levels = _no_wire  # each wire whose level it tells, and that level
    terminals: tuple[str, ...] = ()  # that the probes of a meter are put on
    tool: Tool | None = None  # with which a piece is measured; see `session.measuring`
    piece: int = 0  # that is measured, from 1; 0 for the last

    @property
    def base(self) -> str:
        """Its name without the piece that is meant."""
        return self.tool.name if self.tool is not None else self.name

    def look(self, saw: Saw) -> Message:
        """Return what is seen; a function test works the machine for it and lets time pass.

        Quantities are rounded as they are told, so that two findings that read alike are equal.
        """
        return (self.needs(saw) or self.show(saw)).rounded()

    @property
    def tells_wires(self) -> bool:
        """Whether it tells the level of wires."""
        return self.wires is not _no_wire

    def levels(self, saw: Saw) -> Mapping[str, bool]:
        """Return the level of each wire that it tells; none while the machine is not ready for it."""
        return {} if self.needs(saw) else self.wires(saw)

    def acts_on(self, saw: Saw) -> bool:
        """Return whether looking would move the machine as it stands."""
        return self.kind is Kind.TEST and not self.needs(saw)


class _More(TypedDict, total=False):
    """What a row may say besides; see `Inspection`."""

    kind: Kind
    needs: Show
    acts_s: float
    reads: tuple[str, ...]
    shows: tuple[str, ...]
    wires: Levels


def way(
    name: str, title: str, place: str, seconds: float, show: Show, **more: Unpack[_More]
) -> Inspection:
    """Return a row of the table; its title's key comes from its name."""
    said = plain(f"inspection.{name}.title", title)
    return Inspection(name, said, place, seconds, show, **more)


_OFF: Final = plain(
    "inspection.dark.off", "The isolator is off, and everything is dark; its line side stays live."
)
_DEAD: Final = plain("inspection.dark.on", "Everything is dark, though the isolator is on.")
_NO_POWER: Final = plain(
    "inspection.no-power",
    "There is no control power. It is switched on first, when nobody is at the saw and no lock hangs on it.",
)
_BUSY: Final = plain("inspection.busy", "A job is under way or held. Stop it first.")


def isolator_on(saw: Saw) -> Message:
    """Return why there is no control voltage; nothing when there is."""
    if not saw.bus.driven("Q0"):
        return _OFF
    return NOTHING if saw.bus.seen["Q0"] else _DEAD


def control_power(saw: Saw) -> Message:
    """Return why the parts have no control power; nothing when they have."""
    on = saw.controller.image["supply"] == "ON"
    return isolator_on(saw) or (NOTHING if on else _NO_POWER)


_AT_REST = ("STOPPED", "IDLE", "COMPLETE", "ABORTED")


def busy(saw: Saw) -> Message:
    """Return that a job is under way or held; nothing when none is."""
    return NOTHING if saw.controller.job.state in _AT_REST else _BUSY


def ready_for_hand(saw: Saw) -> Message:
    """Return why a part cannot be tried by hand; nothing when it can."""
    return control_power(saw) or busy(saw)
