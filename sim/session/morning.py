"""A round at the start of the shift: what is found on one morning, drawn by seed, and what is said of it.

The scenario names causes of the catalogue, each in the class of what it calls for; that is the shop's own
rule, and stands in the scenario's file. Some of them are put into the saw before anybody comes. What the
trainee reports is kept with the class that he gives it, and so is what stood against a start of the job.

Never here: what it was worth (see `debrief.morning_round`).
"""

from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass
from typing import Final

from sim.control.controller import OF_PRODUCTION
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.kernel.streams import stream
from sim.scenario.scenario import Findings
from sim.words.message import plain

FIT, GOES_ON, STOPS = "fit", "goes-on", "stops"
CLASSES: Final = {
    FIT: plain("morning.fit", "fit once it is put right"),
    GOES_ON: plain("morning.goes-on", "work goes on with it"),
    STOPS: plain("morning.stops", "it stops the shift"),
}
"""What a finding calls for, from the mildest to the gravest."""
ORDER: Final = tuple(CLASSES)


@dataclass(frozen=True, slots=True)
class Amiss:
    """One thing that is to be found."""

    fault: Fault
    calls_for: str  # a word of CLASSES

    def is_meant_by(self, named: Fault) -> bool:
        """Return whether a cause that was named is this one, in the same device, or told from it by a meter only."""
        same_device = bool(named.tag) and named.tag == self.fault.tag
        return same_device or self.fault.name in (named.name, named.lead)


def classes_of(findings: Findings) -> Iterator[Amiss]:
    """Yield everything that may be found, with what it calls for."""
    for pool, names in findings.pools.items():
        for name in names:
            yield Amiss(EVERY[name], pool.replace("_", "-"))


def drawn(
    findings: Findings | None, seed: int, possible: Callable[[Fault], bool],
    same: Callable[[Fault], str],
) -> tuple[Amiss, ...]:  # fmt: skip
    """Return what is found on one morning; of what stops the shift one at the most, which hides no other.

    Args:
        findings: What may be; None for nothing.
        seed: Of the session, where the file names no morning of its own.
        possible: Whether this saw can have a cause.
        same: The set point that a cause lies in, empty where it lies in none: of two in the same one
            only one can be there.
    """
    if findings is None:
        return ()
    chance = stream(findings.day or seed, "morning")
    there = [each for each in classes_of(findings) if possible(each.fault)]
    chance.shuffle(there)
    kept: list[Amiss] = []
    for each in there:
        point = same(each.fault)
        taken = {same(other.fault) for other in kept} - {""}
        second = each.calls_for == STOPS and any(other.calls_for == STOPS for other in kept)
        if len(kept) < findings.draw and point not in taken and not second:
            kept.append(each)
    return tuple(kept)


class Morning:
    """What is found on the morning of one session, and what the trainee has said of it.

    Args:
        found: What is there.
        present: Whether the saw has a cause now.
    """

    def __init__(self, found: tuple[Amiss, ...], present: Callable[[Fault], bool]) -> None:
        self.found = found
        self.reported: dict[str, str] = {}  # by cause, the class that was given last
        self.not_there: dict[str, Fault] = {}  # reported, and the saw never had it
        self.started_with: dict[str, Fault] = {}  # what stops the shift, and was there at a start
        self._present = present

    def report(self, fault: Fault, calls_for: str) -> None:
        """Keep what is said of a cause, and whether the saw has or had it: what the trainee did to it counts."""
        self.reported.pop(fault.name, None)  # so that the last said stands last
        self.reported[fault.name] = calls_for
        if self._present(fault) or any(each.is_meant_by(fault) for each in self.found):
            self.not_there.pop(fault.name, None)
        else:
            self.not_there[fault.name] = fault

    def said_of(self, finding: Amiss) -> str:
        """Return the class that a finding was given last; empty where nobody reported it."""
        said = [what for name, what in self.reported.items() if finding.is_meant_by(EVERY[name])]
        return said[-1] if said else ""

    def did(self, accepted: Set[str]) -> None:
        """Keep what stood against it, where keys that were taken start the job."""
        if accepted.isdisjoint(OF_PRODUCTION):
            return
        for each in self.found:
            if each.calls_for == STOPS and self._present(each.fault):
                self.started_with[each.fault.name] = each.fault

    def still_there(self, finding: Amiss) -> bool:
        """Return whether the saw still has a finding."""
        return self._present(finding.fault)
