"""The dependency matrix: what each inspection shows under each cause.

The D-matrix of IEEE 1522 and IEEE 1232 has a 1 where a test fails under a fault. Here a cell holds
what is seen, as `judgement` tells it, so that an inspection can tell more than two things apart. One
row may be the sound machine: the cause with no fault in it.

Inspections come in stages: at rest, powered up, after a trial, and locked out in each of them. A
trial or a lock-out is an inspection too; it leads to a later stage, and there is no way back to an
earlier one. A trial that would wreck the
machine under some cause is barred while that cause is still possible.

Never here: where the words come from, and what follows from them.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from math import fsum, inf
from typing import Final

from sim.bugs import TableError
from sim.words.message import NOTHING, Message

NOTHING_WRONG: Final = "nothing-wrong"
_TOGETHER: Final = " + "


def cause_of(faults: Iterable[str]) -> str:
    """Return the name of the cause that consists of faults, in the order in which they are given."""
    return _TOGETHER.join(faults) or NOTHING_WRONG


def faults_of(cause: str) -> tuple[str, ...]:
    """Return the faults of a cause by its name; none where nothing is wrong."""
    return () if cause == NOTHING_WRONG else tuple(cause.split(_TOGETHER))


@dataclass(frozen=True, slots=True)
class Probe:
    """One column: a way to look, or a trial."""

    name: str
    cost_s: float  # lock-out counted in
    stage: int = 0  # the stage in which it can be made
    leads_to: int = 0  # the stage afterwards, never an earlier one
    harms: frozenset[str] = frozenset()  # names of causes under which it would wreck the machine
    look: str = ""  # name in the drill's list of inspections; empty for a trial
    right: Message = NOTHING  # what it shows on the sound machine, where that was seen
    until: int | None = None  # the last stage in which it can be made; None for the first alone
    seen: bool = False  # in sight, whether one looks or not

    def made_in(self, stage: int) -> bool:
        """Return whether it can be made in a stage."""
        return self.stage <= stage <= self.last

    @property
    def last(self) -> int:
        """The last stage in which it can be made."""
        return self.stage if self.until is None else self.until


@dataclass(frozen=True, slots=True)
class Cause:
    """One row: what may be wrong, and what is seen then."""

    faults: tuple[str, ...]  # none on the sound machine, several when they come together
    weight: float  # how often, against the others
    outcomes: tuple[str, ...]  # one for each inspection, in their order

    @property
    def name(self) -> str:
        """The faults, or that nothing is wrong."""
        return cause_of(self.faults)


@dataclass(frozen=True, slots=True)
class Matrix:
    """Causes against inspections.

    Raises:
        TableError: A row has the wrong length, a name comes twice, no cause weighs anything, a
            weight or cost is negative or not finite, or a trial leads back.
    """

    causes: tuple[Cause, ...]
    inspections: tuple[Probe, ...]

    def __post_init__(self) -> None:
        wide = len(self.inspections)
        for cause in self.causes:
            if len(cause.outcomes) != wide:
                raise TableError(f"{len(cause.outcomes)} outcomes for {wide}", cause.name)
            if not 0.0 <= cause.weight < inf:
                raise TableError(f"{cause.weight} is no weight", cause.name)
        for column in self.inspections:
            if not 0.0 <= column.cost_s < inf:
                raise TableError(f"{column.cost_s} s is no cost", column.name)
            if column.leads_to < column.last:
                raise TableError("it leads back to an earlier stage", column.name)
        for names in ([c.name for c in self.causes], [c.name for c in self.inspections]):
            if len(set(names)) != len(names):
                raise TableError("a name comes twice", "matrix")
        if not fsum(cause.weight for cause in self.causes) > 0.0:
            raise TableError("no cause weighs anything", "matrix")

    @property
    def sound(self) -> Cause | None:
        """The row of the sound machine, if there is one."""
        return next((cause for cause in self.causes if not cause.faults), None)

    def row(self, name: str) -> int:
        """Return the place of a cause.

        Raises:
            TableError: There is no such cause.
        """
        return _place((cause.name for cause in self.causes), name)

    def column(self, name: str) -> int:
        """Return the place of an inspection.

        Raises:
            TableError: There is no such inspection.
        """
        return _place((column.name for column in self.inspections), name)

    def outcome(self, cause: str, inspection: str) -> str:
        """Return what an inspection shows under a cause.

        Raises:
            TableError: There is no such cause or inspection.
        """
        return self.causes[self.row(cause)].outcomes[self.column(inspection)]

    def among(self, names: Collection[str]) -> "Matrix":
        """Return the matrix of some causes only."""
        return replace(self, causes=tuple(c for c in self.causes if c.name in names))

    def with_only(self, names: Collection[str]) -> "Matrix":
        """Return the matrix of some inspections only."""
        keep = [i for i, column in enumerate(self.inspections) if column.name in names]
        return Matrix(
            tuple(replace(c, outcomes=tuple(c.outcomes[i] for i in keep)) for c in self.causes),
            tuple(self.inspections[i] for i in keep),
        )


def _place(names: Iterable[str], name: str) -> int:
    for place, each in enumerate(names):
        if each == name:
            return place
    raise TableError("the matrix does not have it", name)
