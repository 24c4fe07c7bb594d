"""A round at the start of the shift: what is found on one morning, drawn by seed, and what is said of it.

The scenario names causes of the catalogue, each in the class of what it calls for; that is the shop's own
rule, and stands in the scenario's file. Some of them are put into the saw before anybody comes. What the
trainee reports is kept with the class that he gives it, and so is what stood against a start of the job.

Never here: what it was worth (see `debrief.morning_round`).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.kernel.streams import stream
from sim.scenario.scenario import Findings
from sim.words.message import plain

FIT, GOES_ON, STOPS = "fit", "goes-on", "stops"
CLASSES: Final = {
    FIT: plain("morning.fit", "put right, and the saw is fit"),
    GOES_ON: plain("morning.goes-on", "reported, and work goes on"),
    STOPS: plain("morning.stops", "reported, and it stops the shift"),
}
"""What a finding calls for, from the mildest to the gravest."""
ORDER: Final = tuple(CLASSES)
BEGINS: Final = frozenset({"job.start", "job.unhold"})


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is to be found."""

    fault: Fault
    calls_for: str  # a word of CLASSES


def classes_of(findings: Findings) -> Iterator[Finding]:
    """Yield everything that may be found, with what it calls for."""
    for pool, names in findings.pools.items():
        for name in names:
            yield Finding(EVERY[name], pool.replace("_", "-"))


def drawn(
    findings: Findings | None, seed: int, possible: Callable[[Fault], bool],
    same: Callable[[Fault], str],
) -> tuple[Finding, ...]:  # fmt: skip
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
    kept: list[Finding] = []
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

    def __init__(self, found: tuple[Finding, ...], present: Callable[[Fault], bool]) -> None:
        self.found = found
        self.reported: dict[str, str] = {}  # by cause, the class that was given last
        self.started_with: dict[str, Fault] = {}  # what stops the shift, and was there at a start
        self._present = present

    def report(self, name: str, calls_for: str) -> None:
        """Keep what is said of a cause."""
        self.reported[name] = calls_for

    def begun(self) -> None:
        """Keep what stood against it, as the job is started."""
        for each in self.found:
            if each.calls_for == STOPS and self._present(each.fault):
                self.started_with[each.fault.name] = each.fault

    def still_there(self, finding: Finding) -> bool:
        """Return whether the saw still has a finding."""
        return self._present(finding.fault)
