"""The best plan there is, and what it costs: the par that a trainee's path is measured against.

Which looks, in which order, tell apart all the causes that can be told apart, for the least mean
cost? The optimality equation over subsets of causes is that of Pattipati and Alexandridis 1990
(test sequencing), from memory:

    cost(S) = min over looks of  price * weight(S) + sum of cost(S and what was seen)

It is solved exactly: every subset met is remembered, and a look is passed over when its bound is no
better than the best plan found so far. Plans are first ranked by how many groups of causes they tell apart, then by
cost, so that a cheap plan that ends in doubt is no plan. Where more subsets would be needed than a
cap allows, the greedy plan stands in, or one led by the best plan over the likeliest causes alone, with
the bound that no plan undercuts.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from math import fsum, inf
from typing import Final

from sim.diagnosis.condensed import Condensed, ProbeMasks, condensed, places
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.enough import Enough
from sim.diagnosis.greedy import Greedy, improved
from sim.diagnosis.tree import Node, expected_s, grown, leaves

CAP: Final = 10_000  # subsets, about a second of work
_MOMENT: Final = 4_000  # subsets of a search over some of the causes
_LEFT_OUT: Final = (0.1, 0.05, 0.03, 0.02, 0.015, 0.01)  # of the weight, by that search


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
    """Return the plan and the bound that stand in where the search passes the cap, as in `par`.

    The greedy plan, improved, or the best plan over the likeliest causes, gone on with for the others;
    whichever is cheaper. The best plan over some of the causes is a bound, too: a plan for all of them
    serves these as well, and a class that leads where it ends still leads there without the others.
    That holds where each of these is likelier than all that the plan in hand leaves in doubt: then no
    plan that tells as much apart leaves one of them in doubt.
    """
    small = condensed(matrix, enough)
    total = small.weigh(small.everything)
    least_s = small.bound_s(small.everything, stage) / total
    plan = improved(matrix, stage, enough=enough)
    worth = _worth(small, plan, matrix)
    for search, lightest in _of_the_likeliest(matrix, small, stage):
        best = search.solve(search.small.everything, stage)
        guided = _guided(small, search, stage)
        found = _worth(small, guided, matrix)
        if found < worth:
            plan, worth = guided, found
        if best.doubt == 0 and worth[0] < lightest:
            least_s = max(least_s, best.cost / total)
    return Par(plan, worth[1], least_s, exact=False, subsets=cap)


def _of_the_likeliest(
    matrix: Matrix, small: Condensed, stage: int
) -> Iterator[tuple["_ParSearch", int]]:
    """Yield the search over ever more of the likeliest classes, as long as it is done in a moment.

    With it comes what the least likely of these would be in doubt, as `Condensed.in_units` counts it.
    """
    if small.enough is None:
        return
    order = sorted(range(len(small.weights)), key=small.weights.__getitem__)
    sums = tuple(accumulate(small.weights[place] for place in order))
    for share in _LEFT_OUT:
        out = bisect_right(sums, share * sums[-1])
        names = [cause.name for place in order[out:] for cause in small.classes[place]]
        search = _ParSearch(condensed(matrix.among(names), small.enough), _MOMENT)
        try:
            search.solve(search.small.everything, stage)
        except _CapPassedError:
            return
        yield search, small.in_units(1 << order[out])


def _guided(small: Condensed, search: "_ParSearch", stage: int) -> Node:
    """Return the plan that does as that of a search over some causes, and as the greedy one after it."""
    quick = Greedy(small)
    place = {c.name: 1 << bit for bit, row in enumerate(search.small.classes) for c in row}
    masks = [sum({place[c.name] for c in row if c.name in place}) for row in small.classes]

    def choose(subset: int, at: int) -> ProbeMasks | None:
        if small.ends(subset):
            return None
        likely = sum({masks[bit] for bit in places(subset)})
        wanted = search.choice(likely, at) if likely else None
        for column, _ in small.usable(subset, at):
            if wanted is not None and column.name == wanted.name:
                return column
        return quick.second_thought(subset, at)

    return grown(small, small.everything, stage, choose)


def _worth(small: Condensed, plan: Node, matrix: Matrix) -> tuple[int, float]:
    """Return what a plan leaves in doubt, and its mean cost, s; less is better."""
    mask = {cause.name: 1 << bit for bit, row in enumerate(small.classes) for cause in row}
    ends = (sum({mask[name] for name in names}) for names in leaves(plan))
    return sum(map(small.doubt, ends)), expected_s(plan, matrix)


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
