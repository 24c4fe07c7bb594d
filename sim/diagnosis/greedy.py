"""Quick plans: always the look with the most information for its time, and that plan improved.

The greedy plan is usually near the best, but it is not the best: on a published example it costs
31 % more. It is shown to a trainee as a lesson and is never the ideal that anybody is held to.

The improved plan weighs every look once by what the greedy plan would cost after it, and takes the
cheapest; it never costs more than the greedy plan. It stands in for the best plan where the exact
search would take too long. Rollout of a heuristic, Tu and Pattipati 2003, from memory.
"""

from math import fsum, inf

from sim.diagnosis.condensed import Condensed, ProbeMasks, condensed
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.enough import Enough
from sim.diagnosis.testability import entropy_bits
from sim.diagnosis.tree import Node, grown

Worth = tuple[int, float]
"""What is left in doubt (`Condensed.doubt`), and the cost in s times weight; less is better."""


def greedy(matrix: Matrix, stage: int = 0, *, enough: Enough | None = None) -> Node:
    """Return the greedy plan from a stage on; of equal looks the first in the matrix is taken."""
    quick = Greedy(condensed(matrix, enough))
    return grown(quick.small, quick.small.everything, stage, quick.choice)


def improved(matrix: Matrix, stage: int = 0, *, enough: Enough | None = None) -> Node:
    """Return the greedy plan with every choice weighed once against all others."""
    quick = Greedy(condensed(matrix, enough))
    return grown(quick.small, quick.small.everything, stage, quick.second_thought)


class Greedy:
    """Makes the greedy choice for any set of classes, and knows what it leads to."""

    def __init__(self, small: Condensed) -> None:
        self.small = small
        self._worths: dict[tuple[int, int], Worth] = {}

    def choice(self, subset: int, stage: int) -> ProbeMasks | None:
        """Return the look with the most bits a second while some classes are possible.

        A trial that tells nothing by itself is taken when nothing else is left and there is
        something that can be told apart after it.
        """
        best: tuple[float, float] | None = None
        chosen = None
        if self.small.ends(subset):
            return None
        for column, parts in self.small.usable(subset, stage):
            if len(parts) < 2 and self.small.kinds_in(subset, column.leads_to) < 2:
                continue
            bits = entropy_bits(self.small.weigh(part) for part in parts)
            rate = bits / column.cost_s if column.cost_s > 0.0 else inf if bits > 0.0 else 0.0
            if best is None or (rate, -column.cost_s) > best:
                best, chosen = (rate, -column.cost_s), column
        return chosen

    def second_thought(self, subset: int, stage: int) -> ProbeMasks | None:
        """Return the look after which the greedy plan comes out best."""
        best: Worth = (self.small.doubt(subset), 0.0)
        chosen = None
        if self.small.ends(subset):
            return None
        for column, parts in self.small.usable(subset, stage):
            worth = self._begun_with(column, parts, subset)
            if worth < best:
                best, chosen = worth, column
        return chosen

    def worth(self, subset: int, stage: int) -> Worth:
        """Return what the greedy plan for a set comes to."""
        key = (subset, stage)
        if key not in self._worths:
            column = self.choice(subset, stage)
            self._worths[key] = (
                (self.small.doubt(subset), 0.0)
                if column is None
                else self._begun_with(column, column.splits(subset), subset)
            )
        return self._worths[key]

    def _begun_with(self, column: ProbeMasks, parts: list[int], subset: int) -> Worth:
        after = [self.worth(part, column.leads_to) for part in parts]
        doubt = sum(worth[0] for worth in after)
        return doubt, column.cost_s * self.small.weigh(subset) + fsum(worth[1] for worth in after)
