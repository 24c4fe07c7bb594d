"""The form of an inspection: what it takes, what it needs, and what comes back.

What comes back is read off the plant and the wires, in words that two people would agree on, and
never names a fault. An inspection that the machine is not fit for is answered in words too.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from sim.saw import Saw


class Kind(StrEnum):
    """How it is done."""

    WALK = "walk-round"
    LOOK = "look"
    GAUGE = "gauge"
    METER = "meter"
    TEST = "function test"  # works the machine, and takes its time on it


def nothing(_saw: Saw) -> str:
    """Return that nothing stands against it."""
    return ""


@dataclass(frozen=True, slots=True)
class Inspection:
    """One way to look."""

    name: str
    title: str
    place: str  # station
    seconds: float
    show: Callable[[Saw], str]
    reaches_in: bool = False  # hands go into the machine: lock-out first
    kind: Kind = Kind.LOOK
    needs: Callable[[Saw], str] = nothing  # why the machine is not fit for it, or empty
    acts_s: float = 0.0  # of the seconds, those in which a function test works the machine

    def look(self, saw: Saw) -> str:
        """Return what is seen; a function test works the machine for it, and lets time pass."""
        return self.needs(saw) or self.show(saw)

    def acts_on(self, saw: Saw) -> bool:
        """Return whether looking would move the machine as it stands."""
        return self.kind is Kind.TEST and not self.needs(saw)


def isolator_on(saw: Saw) -> str:
    """Return why there is no control voltage, empty when there is."""
    if not saw.bus.driven("Q0"):
        return "The isolator is off, and everything is dark."
    return "" if saw.bus.seen["Q0"] else "Everything is dark, though the isolator is on."


def control_power(saw: Saw) -> str:
    """Return why the stations have no control power, empty when they have."""
    on = saw.controller.image["supply"] == "ON"
    return isolator_on(saw) or ("" if on else "There is no control power. Switch control on first.")


_AT_REST = ("STOPPED", "IDLE", "COMPLETE", "ABORTED")


def ready_for_hand(saw: Saw) -> str:
    """Return why a station cannot be tried by hand, empty when it can."""
    if saw.controller.job.state not in _AT_REST:
        return control_power(saw) or "A job is under way or held. Stop it first."
    return control_power(saw)
