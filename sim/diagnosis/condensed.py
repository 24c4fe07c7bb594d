"""A dependency matrix made small for searching: classes of causes as bits, inspections as masks.

Causes that no inspection tells apart become one class; an inspection that tells nothing, or that
another one tells at least as finely, as cheaply and as safely, is left out. Neither changes the
cheapest plan.

Never here: the search.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import fsum, log2
from typing import Final

from sim.diagnosis.dependency import Cause, Matrix
from sim.diagnosis.enough import Enough

_Tables = tuple[list[float], ...]  # sums for every eight neighbouring classes
_UNITS: Final = 1 << 40  # of the whole weight, so that sums of doubt are exact and can be ranked


@dataclass(frozen=True, slots=True)
class ProbeMasks:
    """One inspection, over classes of causes."""

    name: str
    cost_s: float
    stage: int
    last: int  # stage in which it can be made
    leads_to: int
    barred: int  # mask of the classes that it harms
    outcomes: tuple[str, ...]  # what can be seen
    parts: tuple[int, ...]  # masks of the classes under which it is seen, together all
    seen: bool = False  # whether one looks or not

    def splits(self, subset: int) -> list[int]:
        """Return the parts of a set of classes."""
        return [shown for part in self.parts if (shown := subset & part)]


@dataclass(frozen=True)
class Condensed:
    """A matrix of classes."""

    classes: tuple[tuple[Cause, ...], ...]
    weights: tuple[float, ...]  # of the classes
    columns: tuple[ProbeMasks, ...]
    enough: Enough | None = None  # None: a class is told apart when nothing else is left

    @property
    def everything(self) -> int:
        """The mask of all classes."""
        return (1 << len(self.classes)) - 1

    def names(self, subset: int) -> tuple[str, ...]:
        """Return the names of the causes in a set of classes."""
        return tuple(cause.name for place in places(subset) for cause in self.classes[place])

    def weigh(self, subset: int) -> float:
        """Return the weight of a set of classes."""
        known = self._weighed.get(subset)
        if known is None:
            known = self._weighed[subset] = _looked_up(self._weights, subset)
        return known

    def usable(self, subset: int, stage: int) -> Iterator[tuple[ProbeMasks, list[int]]]:
        """Yield what can be done while a set of classes is possible, and how it would split it.

        What is in sight and tells something is seen before anything is done.
        """
        for column in self._in_sight:
            if column.stage == stage and len(parts := column.splits(subset)) > 1:
                yield column, parts
                return
        for column in self.columns:
            if column.stage <= stage <= column.last and not subset & column.barred:
                parts = column.splits(subset)
                if len(parts) > 1 or column.leads_to > stage:
                    yield column, parts

    def ends(self, subset: int) -> bool:
        """Return whether one class of a set counts as told apart from the others."""
        if self.enough is None:
            return subset & (subset - 1) == 0
        known = self._ended.get(subset)
        if known is None:
            lead = next((weight for mask, weight in self._heaviest if subset & mask), 0.0)
            known = self._ended[subset] = self.enough.holds(lead, self.weigh(subset))
        return known

    def doubt(self, subset: int) -> int:
        """Return what a plan that ends with a set of classes leaves in doubt; less is better.

        Without `enough`, plans are ranked by how many groups they tell apart: each end counts -1.
        With it, by the weight of the ends at which no class is told apart.
        """
        if self.enough is None:
            return -1
        return 0 if self.ends(subset) else self.in_units(subset)

    def least_doubt(self, subset: int, stage: int) -> int:
        """Return what is left in doubt of a set from a stage on, at best."""
        if self.enough is None:
            return -self.kinds_in(subset, stage)
        if self.ends(subset):
            return 0
        if stage not in self._fine:
            return self.in_units(subset)
        if self._fine[stage]:
            return 0
        # A kind in which nothing leads ends in doubt, unless it hides beside a far heavier class.
        hides = self._hides(subset)
        kinds = (subset & kind for kind in self._kinds[stage])
        return sum(
            self.in_units(kind)
            for kind in kinds
            if kind and not self.ends(kind) and self.weigh(kind) > hides
        )

    def in_units(self, subset: int) -> int:
        """Return the weight of a set of classes, as doubt counts it."""
        return sum(self._units[place] for place in places(subset))

    def kinds_in(self, subset: int, stage: int) -> int:
        """Return how many groups of a set can be told apart from a stage on, at best."""
        if stage not in self._fine:  # nothing is left to be done from there on
            return min(subset.bit_count(), 1)
        if self._fine[stage]:
            return subset.bit_count()
        return sum(1 for kind in self._kinds[stage] if subset & kind)

    def bound_s(self, subset: int, stage: int) -> float:
        """Return a cost, s times weight: no plan that tells apart all it can costs less.

        One look is the least. And telling apart kinds of entropy H takes that much information:
        one inspection cannot give more than its own entropy over the whole set, wherever in the
        plan it stands, nor more a look than the logarithm of the number of things it can show. So
        the cheapest bits are bought first, of each inspection as many as it has. Where a plan may
        end before all is told apart, the entropy that it may leave is taken off.
        """
        kinds = self.kinds_in(subset, stage)
        if kinds < 2 or self.ends(subset):
            return 0.0
        total = self.weigh(subset)
        full = total * log2(total)
        missing = full - self._spread(subset, stage) - total * self._left_bits(kinds)
        cost = 0.0
        for s_per_bit, column in self._telling[stage]:
            parts = column.splits(subset)
            if len(parts) > 1:
                has = full - fsum(_times_log(self.weigh(part)) for part in parts)
                bought = min(has, missing)
                cost += bought * s_per_bit
                missing -= bought
                if missing <= 0.0:
                    break
        return max(cost, total * self._cheapest_s[stage]) + self._gate_s(subset, stage)

    def _gate_s(self, subset: int, stage: int) -> float:
        """Return what gates cost at least, s times weight: steps that tell nothing and must be taken.

        A lock-out is one. Whatever cannot be told apart without it has to pay for it.
        """
        cost_s, kinds = self._gates[stage]
        if not kinds:
            return 0.0
        hides = self._hides(subset)
        found = (part for kind in kinds if (part := subset & kind))
        paying = (kind for kind in found if not self.ends(kind) and self.kinds_in(kind, stage) > 1)
        return cost_s * fsum(w for kind in paying if (w := self.weigh(kind)) > hides)

    def _hides(self, subset: int) -> float:
        """Return the weight up to which a kind may end beside a far heavier class."""
        if self.enough is None:
            return 0.0
        most = next((weight for mask, weight in self._heaviest if subset & mask), 0.0)
        return (1.0 / self.enough.share - 1.0) * most

    def _left_bits(self, kinds: int) -> float:
        """Return the most entropy, bits, that can be left among kinds when one is told apart."""
        if self.enough is None:
            return 0.0
        rest = 1.0 - self.enough.share
        return -_times_log(rest) - _times_log(1.0 - rest) + rest * log2(max(kinds - 1, 1))

    def _spread(self, subset: int, stage: int) -> float:
        """Return the sum of w log w over the kinds in a set."""
        if self._fine[stage]:
            return _looked_up(self._times_logs, subset)
        kinds = (subset & kind for kind in self._kinds[stage])
        return fsum(_times_log(self.weigh(kind)) for kind in kinds if kind)

    @cached_property
    def _in_sight(self) -> tuple[ProbeMasks, ...]:
        return tuple(column for column in self.columns if column.seen)

    @cached_property
    def _weighed(self) -> dict[int, float]:
        return {}

    @cached_property
    def _ended(self) -> dict[int, bool]:
        return {}

    @cached_property
    def _heaviest(self) -> list[tuple[int, float]]:
        """The classes as masks with their weights, the heaviest first."""
        masks = ((1 << place, weight) for place, weight in enumerate(self.weights))
        return sorted(masks, key=lambda each: -each[1])

    @cached_property
    def _units(self) -> tuple[int, ...]:
        total = fsum(self.weights)
        return tuple(max(round(_UNITS * weight / total), 1) for weight in self.weights)

    @cached_property
    def _weights(self) -> _Tables:
        return _tables(self.weights, float)

    @cached_property
    def _times_logs(self) -> _Tables:
        return _tables(self.weights, _times_log)

    @cached_property
    def _stages(self) -> tuple[int, ...]:
        found = {stage for column in self.columns for stage in (column.last, column.leads_to)}
        return tuple(range(max(found, default=0) + 1))

    @cached_property
    def _kinds(self) -> dict[int, tuple[int, ...]]:
        """By stage, the masks of classes that nothing from that stage on tells apart."""
        return {
            stage: _refined(self.everything, [c.parts for c in self.columns if c.last >= stage])
            for stage in self._stages
        }

    @cached_property
    def _gates(self) -> dict[int, tuple[float, tuple[int, ...]]]:
        """By stage, the cheapest gate from there on, and what can be told apart without any."""
        return {stage: self._gates_from(stage) for stage in self._stages}

    def _gates_from(self, stage: int) -> tuple[float, tuple[int, ...]]:
        gates = [c for c in self.columns if _is_gate(c)]
        reached, ahead = {stage}, [stage]
        while ahead:
            here = ahead.pop()
            for column in self.columns:
                on = column.leads_to if column.stage <= here <= column.last else here
                if not _is_gate(column) and on > here and on not in reached:
                    reached.add(on)
                    ahead.append(on)
        beyond = [c.cost_s for c in gates if c.last >= stage and c.leads_to not in reached]
        if not beyond:
            return 0.0, ()
        free = [
            column.parts
            for column in self.columns
            if any(column.stage <= here <= column.last for here in reached)
        ]
        at_best = self._kinds[stage]
        kinds = _refined(self.everything, free)
        return min(beyond), tuple(kind for kind in kinds if kind not in at_best)

    @cached_property
    def _fine(self) -> dict[int, bool]:
        """By stage, whether every class is a kind of its own."""
        return {stage: len(kinds) == len(self.classes) for stage, kinds in self._kinds.items()}

    @cached_property
    def _telling(self) -> dict[int, list[tuple[float, ProbeMasks]]]:
        """By stage, the inspections that tell something from then on, the cheapest bits first."""
        return {
            stage: sorted(
                (
                    (column.cost_s / log2(len(column.parts)), column)
                    for column in self.columns
                    if column.last >= stage and len(column.parts) > 1
                ),
                key=lambda each: each[0],
            )
            for stage in self._stages
        }

    @cached_property
    def _cheapest_s(self) -> dict[int, float]:
        return {
            stage: min((column.cost_s for _, column in telling), default=0.0)
            for stage, telling in self._telling.items()
        }


def condensed(matrix: Matrix, enough: Enough | None = None) -> Condensed:
    """Return a matrix made small; causes without weight are left out.

    Args:
        matrix: The causes that are possible.
        enough: When a class counts as told apart; None for when nothing else is left.
    """
    by_look: dict[tuple[object, ...], list[Cause]] = {}
    for cause in matrix.causes:
        if cause.weight > 0.0:
            name = cause.name
            harm = tuple(name in column.harms for column in matrix.inspections)
            by_look.setdefault((cause.outcomes, harm), []).append(cause)
    classes = tuple(tuple(group) for group in by_look.values())
    firsts = [(group[0].name, group[0].outcomes) for group in classes]
    columns = []
    for place, column in enumerate(matrix.inspections):
        parts: dict[str, int] = {}
        barred = 0
        for bit, (name, outcomes) in enumerate(firsts):
            outcome = outcomes[place]
            parts[outcome] = parts.get(outcome, 0) | 1 << bit
            barred |= (name in column.harms) << bit
        columns.append(
            ProbeMasks(
                column.name, column.cost_s, column.stage, column.last, column.leads_to, barred,
                tuple(parts), tuple(parts.values()), column.seen,
            )
        )  # fmt: skip
    weights = tuple(fsum(cause.weight for cause in group) for group in classes)
    return Condensed(classes, weights, _undominated(columns), enough)


def places(subset: int) -> Iterator[int]:
    """Yield the places of the bits of a mask, lowest first."""
    while subset:
        lowest = subset & -subset
        yield lowest.bit_length() - 1
        subset ^= lowest


def _is_gate(column: ProbeMasks) -> bool:
    """Return whether a column only leads to a later stage, and tells nothing."""
    return column.leads_to > column.last and len(column.parts) == 1


def _times_log(weight: float) -> float:
    return weight * log2(weight)


def _tables(weights: Sequence[float], of: Callable[[float], float]) -> _Tables:
    """Return the sums of something over all sets of eight neighbouring classes."""
    found = []
    for first in range(0, len(weights), 8):
        table = [0.0]
        for weight in weights[first : first + 8]:
            table += [known + of(weight) for known in table]
        found.append(table)
    return tuple(found)


def _looked_up(tables: _Tables, subset: int) -> float:
    total = 0.0
    for table, eight in zip(tables, subset.to_bytes(len(tables), "little"), strict=True):
        total += table[eight]
    return total


def _refined(everything: int, partitions: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    kinds = [everything]
    for parts in partitions:
        kinds = [kind & part for kind in kinds for part in parts if kind & part]
    return tuple(kinds)


def _undominated(columns: Sequence[ProbeMasks]) -> tuple[ProbeMasks, ...]:
    telling = [c for c in columns if len(c.parts) > 1 or c.leads_to > c.stage]
    cheapest: dict[tuple[object, ...], ProbeMasks] = {}
    for column in telling:
        key = (column.parts, column.barred, column.stage, column.last, column.leads_to, column.seen)
        if key not in cheapest or column.cost_s < cheapest[key].cost_s:
            cheapest[key] = column
    kept = list(cheapest.values())
    return tuple(c for c in kept if not any(_dominates(other, c) for other in kept))


def _dominates(better: ProbeMasks, column: ProbeMasks) -> bool:
    """Return whether one inspection makes another needless; never both ways round."""
    return (
        better is not column
        and not column.seen
        and (better.stage, better.last, better.leads_to)
        == (column.stage, column.last, column.leads_to)
        and better.cost_s <= column.cost_s
        and not better.barred & ~column.barred
        and len(better.parts) >= len(column.parts)
        and all(any(not part & ~whole for whole in column.parts) for part in better.parts)
    )
