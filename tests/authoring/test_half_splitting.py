"""In a maintenance drill half-splitting with lamp, volts and ohms is as good as the best plan, or nearly so.

Whoever half-splits takes the reading whose outcome comes closest to halving the belief in the suspects, for
its time and for what it takes to get there. He asks no plan what comes after it. Where no reading divides
what is left, he looks at something else by the same rule.
"""

from collections.abc import Callable, Iterator
from math import fsum, inf

import pytest

from sim.debrief.best_path import best_way
from sim.debrief.debrief import debrief
from sim.debrief.scoring import Outcome
from sim.diagnosis.dependency import Matrix, Probe, cause_of
from sim.diagnosis.enough import Enough
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.tree import leader
from sim.faults.catalogue import CATALOGUE
from sim.scenario import library
from sim.session import inspections
from sim.session.inspections import Kind
from sim.session.opening import open_session, read

from .policies import reader

MOST_OF_BEST = 1.25
MOST_WITHOUT_A_READING = 40
LEAST_DRILLS = 12


def in_the_wiring(name):
    """Return whether a drill hides a place in the wiring that only a meter tells from others."""
    scenario = read(name)[0]
    hidden = {row.name for row in scenario.faults}
    return scenario.mode == "drill" and bool(hidden) and not hidden & set(CATALOGUE)


DRILLS = [name for name in library.names() if in_the_wiring(name)]


def reads(column: Probe) -> bool:
    """Return whether a look is at lamps, also while a key is held, or with a meter."""
    look = inspections.find(column.look)
    return look is not None and (look.tells_wires or look.kind in (Kind.METER, Kind.TEST))


def looks(column: Probe) -> bool:
    return bool(column.look)


_Choices = dict[tuple[frozenset[str], int], Probe | None]


class HalfSplitting:
    """Somebody at one machine who halves what is left, look after look."""

    def __init__(self, matrix: Matrix, cause: str, chosen: _Choices | None = None) -> None:
        self.matrix, self.cause = matrix, cause
        self.chosen = {} if chosen is None else chosen
        self.left = {each.name: each for each in matrix.causes if each.weight > 0.0}
        self.enough = Enough(fsum(each.weight for each in matrix.causes))
        self.stage = 0
        self.spent_s = 0.0
        self.taken: list[str] = []

    def goes(self) -> float:
        """Return what the way to the cause costs, s; without end where it is not found."""
        self._see()
        while not self._told_apart():
            step = self._choice()
            if step is None:
                return inf
            self._make(step)
            self._see()
        return self.spent_s if self.cause in self._ahead() else inf

    def _ahead(self) -> tuple[str, ...]:
        return leader(self.matrix, self.left)

    def _told_apart(self) -> bool:
        ahead = fsum(self.left[name].weight for name in self._ahead())
        return self.enough.holds(ahead, fsum(each.weight for each in self.left.values()))

    def _see(self) -> None:
        for column in self.matrix.inspections:
            if column.seen and column.stage == self.stage:
                self._hear(column)

    def _hear(self, column: Probe) -> None:
        place = self.matrix.column(column.name)
        shown = self.matrix.outcome(self.cause, column.name)
        self.left = {
            name: each for name, each in self.left.items() if each.outcomes[place] == shown
        }

    def _make(self, column: Probe) -> None:
        self.spent_s += column.cost_s
        self.taken.append(column.name)
        self.stage = max(self.stage, column.leads_to)
        self._hear(column)

    def _choice(self) -> Probe | None:
        key = frozenset(self.left), self.stage
        if key not in self.chosen:
            self.chosen[key] = self._next(reads) or self._next(looks)
        return self.chosen[key]

    def _next(self, kind: Callable[[Probe], bool]) -> Probe | None:
        """Return the look that halves best, or the first step on the way to it; None where none divides."""
        best, chosen = 0.0, None
        for stage, (way_s, first) in self._ways().items():
            for place, column in enumerate(self.matrix.inspections):
                if kind(column) and column.made_in(stage) and not column.harms & set(self.left):
                    rate = self._halves(place) / (way_s + column.cost_s)
                    if rate > best:
                        best, chosen = rate, first or column
        return chosen

    def _halves(self, place: int) -> float:
        """Return what share of the belief a look takes off, whatever it shows; at best a half."""
        shares: dict[str, float] = {}
        for each in self.left.values():
            shares[each.outcomes[place]] = shares.get(each.outcomes[place], 0.0) + each.weight
        whole = fsum(shares.values())
        return min(whole - max(shares.values()), whole / 2.0) / whole

    def _ways(self) -> dict[int, tuple[float, Probe | None]]:
        """Return what it costs to get to each stage, s, and the first step there."""
        ways: dict[int, tuple[float, Probe | None]] = {self.stage: (0.0, None)}
        ahead = [self.stage]
        while ahead:
            here = ahead.pop(0)
            so_far_s, first = ways[here]
            for step in self._steps(here):
                found = (so_far_s + step.cost_s, first or step)
                if found[0] < ways.get(step.leads_to, (inf, None))[0]:
                    ways[step.leads_to] = found
                    ahead.append(step.leads_to)
        return ways

    def _steps(self, stage: int) -> Iterator[Probe]:
        for column in self.matrix.inspections:
            leads_on = column.leads_to > stage and column.made_in(stage)
            if leads_on and not column.look and not column.harms & set(self.left):
                yield column


def measured(name):
    """Return what half-splitting and the best plan take to the hidden cause of a drill, s."""
    scenario = read(name)[0]
    matrix = for_role(scenario, matrix_for(scenario))
    cause = cause_of(row.name for row in scenario.faults)
    best = best_way(matrix, cause)
    best_s = fsum(matrix.inspections[matrix.column(column)].cost_s for column in best.columns)
    return HalfSplitting(matrix, cause).goes(), best_s


def test_there_are_drills_enough_whose_cause_is_in_the_wiring():
    assert len(DRILLS) >= LEAST_DRILLS


@pytest.mark.sampled(14)
@pytest.mark.parametrize("name", DRILLS)
def test_half_splitting_comes_to_the_cause_at_nearly_the_price_of_the_best_plan(name):
    half_splitting_s, best_s = measured(name)

    assert half_splitting_s <= MOST_OF_BEST * best_s


@pytest.mark.sampled(14)
@pytest.mark.parametrize("name", DRILLS)
def test_naming_what_the_report_makes_likeliest_without_a_reading_is_worth_little(name):
    session = open_session(name, nonce="")
    reader(session)
    session.close()
    found = debrief(session)

    assert found.score <= MOST_WITHOUT_A_READING
    assert found.outcome is not Outcome.PASSED
