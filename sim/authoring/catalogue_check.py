"""How well the inspections find and tell apart the faults of the catalogue, job by job.

The measures are those of IEEE 1522, from `diagnosis.testability`, on the matrices of the reference
jobs with every inspection allowed. A fault that a job cannot have (a back rail in the way of a square cut)
is judged on the others. It counts as detected if some job shows it. It counts as isolated if, on every
job that shows it, no other fault looks the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sim.authoring.check import shared_out
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.diagnosis.testability import (
    ambiguity_groups,
    detected,
    fraction_detected,
    fraction_isolated,
)
from sim.faults.catalogue import CATALOGUE
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class JobTestability:
    """One reference job."""

    job: str
    what: Message
    faults: int  # that the machine can have on it
    looks: int
    detected: float  # fraction, 0 to 1
    isolated: float  # fraction of the detected, to one fault
    undetected: tuple[str, ...]
    groups: tuple[tuple[str, ...], ...]  # of more than one fault


@dataclass(frozen=True, slots=True)
class Testability:
    """The whole catalogue."""

    jobs: tuple[JobTestability, ...]
    faults: int
    detected: int
    isolated: int

    @property
    def fraction_detected(self) -> float:
        """Of the faults, 0 to 1."""
        return self.detected / self.faults

    @property
    def fraction_isolated(self) -> float:
        """To one fault, of the detected, 0 to 1."""
        return self.isolated / self.detected if self.detected else 0.0


def on_job(name: str) -> tuple[JobTestability, frozenset[str]]:
    """Return how well faults can be found and told apart on a reference job, and which it shows."""
    row = REFERENCE_JOBS[name]
    matrix = matrix_for(row.scenario())
    found = frozenset(cause.name for cause in detected(matrix))
    faulty = [cause.name for cause in matrix.causes if cause.faults]
    job = JobTestability(
        name,
        row.what,
        len(faulty),
        sum(1 for column in matrix.inspections if column.look),
        fraction_detected(matrix, by_count=True),
        fraction_isolated(matrix, by_count=True),
        tuple(name for name in faulty if name not in found),
        tuple(group for group in ambiguity_groups(matrix) if len(group) > 1),
    )
    return job, found


def judged(jobs: Sequence[JobTestability], seen: Sequence[frozenset[str]]) -> Testability:
    """Return the judgement of the whole catalogue.

    Args:
        jobs: The jobs.
        seen: For each of them, the faults that it shows.
    """
    found = frozenset().union(*seen)
    mixed = {name for job in jobs for group in job.groups for name in group}
    return Testability(tuple(jobs), len(CATALOGUE), len(found), len(found - mixed))


def catalogue_testability() -> Testability:
    """Return how well the whole catalogue can be found and told apart; some seconds of work."""
    names = tuple(REFERENCE_JOBS)
    results = list(shared_out(on_job, names))
    return judged([job for job, _ in results], [seen for _, seen in results])
