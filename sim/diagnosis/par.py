"""The best plan there is, and what it costs: the par that a trainee's path is measured against.

Which looks, in which order, tell apart all the causes that can be told apart, for the least mean
cost? The optimality equation over subsets of causes is that of Pattipati and Alexandridis 1990
(test sequencing), from memory:

    cost(S) = min over looks of  price * weight(S) + sum of cost(S and what was seen)

It is solved exactly: every subset met is remembered, and a look is passed over when its bound is no
better than the best plan found so far. Plans are first ranked by how many groups of causes they tell apart, then by
cost, so that a cheap plan that ends in doubt is no plan. Where more subsets would be needed than a
cap allows, the greedy plan stands in, with the bound that no plan undercuts.
"""

from dataclasses import dataclass
from math import fsum, inf
from typing import Final

from sim.diagnosis.condensed import Condensed, ProbeMasks, condensed
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.enough import Enough
from sim.diagnosis.greedy import improved
from sim.diagnosis.tree import Node, expected_s, grown

CAP: Final = 10_000  # subsets, about a second of work


@dataclass(frozen=True, slots=True)
class Par:
    """A plan and what is known of it."""

    tree: Node
    expected_s: float  # mean cost over the causes, by weight
    bound_s: float  # no plan that tells as much apart costs less; the cost itself when exact
    exact: bool
    subsets: int  # how many sets of causes were weighed

    @property
    def worst_excess(self) -> float:
        """How much dearer than the best the plan can be at most, as a share of the bound."""
        if self.bound_s > 0.0:
            return self.expected_s / self.bound_s - 1.0
        return inf if self.expected_s > 0.0 else 0.0


def par(matrix: Matrix, stage: int = 0, cap: int = CAP, *, enough: Enough | None = None) -> Par:
    """Return the best plan from a stage on, or the greedy one when the search passes the cap.

    Args:
        matrix: The causes that are possible, those without weight left out, and the inspections.
        stage: The stage that the machine is in.
        cap: How many subsets of causes may be weighed.
        enough: When a cause counts as told apart; None for when nothing else is left.
    """
    small = condensed(matrix, enough)
    search = _ParSearch(small, cap)
    try:
        search.solve(small.everything, stage)
    except _CapPassedError:
        return cap_passed(matrix, stage, cap, enough=enough)
    plan = grown(small, small.everything, stage, search.choice)
    cost_s = expected_s(plan, matrix)
    return Par(plan, cost_s, cost_s, exact=True, subsets=len(search.solved))


def cap_passed(
    matrix: Matrix, stage: int = 0, cap: int = CAP, *, enough: Enough | None = None
) -> Par:
    """Return the greedy plan, as `par` does where the search passes the cap."""
    small = condensed(matrix, enough)
    least_s = small.bound_s(small.everything, stage) / small.weigh(small.everything)
    plan = improved(matrix, stage, enough=enough)
    return Par(plan, expected_s(plan, matrix), least_s, exact=False, subsets=cap)


class _CapPassedError(Exception):
    """The search would weigh more subsets than it may."""


@dataclass(frozen=True, slots=True)
class _BestPlan:
    """The best that can be done with a set of classes, ranked by its first two."""

    doubt: int  # that is left, as `Condensed.doubt` counts it
    cost: float  # s times weight
    column: ProbeMasks | None


class _ParSearch:
    """Remembers the best plan of every set of classes met."""

    def __init__(self, small: Condensed, cap: int) -> None:
        self.small = small
        self.solved: dict[tuple[int, int], _BestPlan] = {}
        self._cap = cap
        self._bounds: dict[tuple[int, int], tuple[int, float]] = {}

    def choice(self, subset: int, stage: int) -> ProbeMasks | None:
        """Return the first look of the best plan of a set."""
        return self.solve(subset, stage).column

    def solve(self, subset: int, stage: int) -> _BestPlan:
        """Return the best plan of a set.

        Raises:
            _CapPassedError: Too many sets.
        """
        key = (subset, stage)
        known = self.solved.get(key)
        if known is not None:
            return known
        if len(self.solved) >= self._cap:
            raise _CapPassedError
        small = self.small
        best = _BestPlan(small.doubt(subset), 0.0, None)
        if not small.ends(subset) and small.kinds_in(subset, stage) > 1:
            weight = small.weigh(subset)
            for bound, column, parts in self._candidates(subset, stage, weight):
                if bound >= (best.doubt, best.cost):
                    break
                best = self._tried(best, column, parts, bound)
        self.solved[key] = best
        return best

    def _tried(
        self, best: _BestPlan, column: ProbeMasks, parts: list[int], bound: tuple[int, float]
    ) -> _BestPlan:
        """Return the better of the best plan so far and the one that begins with a look."""
        doubt, cost = bound
        for part in parts:
            least = self._bound(part, column.leads_to)
            plan = self.solve(part, column.leads_to)
            doubt += plan.doubt - least[0]
            cost += plan.cost - least[1]
            if (doubt, cost) >= (best.doubt, best.cost):
                return best
        return _BestPlan(doubt, cost, column)

    def _candidates(
        self, subset: int, stage: int, weight: float
    ) -> list[tuple[tuple[int, float], ProbeMasks, list[int]]]:
        """Return what can be done, the most promising first, with the best it could come to."""
        found = []
        for column, parts in self.small.usable(subset, stage):
            bounds = [self._bound(part, column.leads_to) for part in parts]
            doubt = sum(bound[0] for bound in bounds)
            cost = column.cost_s * weight + fsum(bound[1] for bound in bounds)
            found.append(((doubt, cost), column, parts))
        return sorted(found, key=lambda each: each[0])

    def _bound(self, subset: int, stage: int) -> tuple[int, float]:
        key = (subset, stage)
        bound = self._bounds.get(key)
        if bound is None:
            bound = (self.small.least_doubt(subset, stage), self.small.bound_s(subset, stage))
            self._bounds[key] = bound
        return bound
