"""The best plan of a shift: which piece from which bar, and the order of the change-overs.

Which piece from which bar: `trade.nesting`, kind of bar by kind of bar. In which order: what a
change-over from one order to the next takes is found by playing both, one after the other, on a fresh
floor; then every order of them is weighed, first by how late they are, then by how long the shift
takes, and branches that can be no better are cut off. What the cut list has done first comes first: no
other sequence is weighed. That is exact for what was played in pairs. The plan is played in full
afterwards, and its figures are those of that play.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, fsum, radians
from typing import Final, Protocol

from sim.plant.machine import Machine
from sim.scenario.shift import OrderWanted, Shift, alike
from sim.session.opening import machine_of
from sim.shift.floor import Floor, trim_m
from sim.trade.length import hundredths_from_m
from sim.trade.mitre import kerf_along_m
from sim.trade.nesting import Nesting, PiecesWanted, RackBar, Visit, first_fit_nesting, nesting
from sim.units import MINUTE, MM

_START: Final = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """Which bar is brought for which order, over all kinds of bars."""

    kinds: tuple[Nesting, ...]

    @property
    def visits(self) -> tuple[Visit, ...]:
        """Of all orders, by kind of bar."""
        return tuple(visit for kind in self.kinds for visit in kind.visits)

    def of(self, order: str) -> tuple[Visit, ...]:
        """Return the visits of one order."""
        return tuple(visit for visit in self.visits if visit.order == order)

    @property
    def taken_m(self) -> float:
        """Length of the bars that are taken from the rack, m."""
        return sum(kind.taken for kind in self.kinds) * 0.01 * MM

    @property
    def least_m(self) -> float:
        """A length that no plan goes below, m."""
        return sum(kind.least for kind in self.kinds) * 0.01 * MM

    @property
    def missing(self) -> dict[str, int]:
        """Pieces by order for which there is no room."""
        return {order: n for kind in self.kinds for order, n in kind.missing.items()}

    @property
    def proved(self) -> bool:
        """Whether it is proved that no plan takes less."""
        return all(kind.proved for kind in self.kinds)

    @property
    def solved(self) -> bool:
        """Whether the solver made it; else it is first fit."""
        return all(kind.solved for kind in self.kinds)


@dataclass(frozen=True, slots=True)
class Pairs:
    """What was played: seconds from one order to the next, and of that one after its change-over.

    What an order takes hangs on the one before: after it a new band may have to be run in.
    """

    change_s: Mapping[tuple[str, str], float]  # from "" is from the start of the shift
    work_s: Mapping[tuple[str, str], float]


@dataclass(frozen=True, slots=True)
class BestOrder:
    """In which order the orders are best served, by what was played in pairs."""

    orders: tuple[str, ...]
    late_s: float  # of all orders together
    ends_s: float
    changes_least_s: (
        float  # no order of them has less of change-overs: of each the shortest that leads to it
    )
    freely_s: float  # when the best of all sequences ends, whatever the cut list has done first


class _Nests(Protocol):
    def __call__(
        self, orders: Sequence[PiecesWanted], rack: Sequence[RackBar], rest: int
    ) -> Nesting: ...


class Planner:
    """Finds plans for a shift on a machine.

    Args:
        shift: The shift.
        machine: Its name; the shift's own when left out.
        built: That machine as it is or was; read by its name when left out.
    """

    def __init__(self, shift: Shift, machine: str = "", built: Machine | None = None) -> None:
        self.shift = shift
        self.machine = machine or shift.machine
        self._saw = machine_of(self.machine, shift.folder) if built is None else built

    @cached_property
    def first_fit(self) -> Bars:
        """The bars that a person would take, order by order as they are listed, what comes first before the rest."""
        return self._bars(first_fit_nesting)

    @cached_property
    def nested(self) -> Bars:
        """The bars of the best plan that can be found."""
        return self._bars(nesting)

    def _bars(self, plan: _Nests) -> Bars:
        kinds: list[list[OrderWanted]] = []
        for order in self.shift.in_turn:
            same = next((kind for kind in kinds if alike(kind[0], order)), None)
            if same is None:
                kinds.append([order])
            else:
                same.append(order)
        return Bars(tuple(self._nest(kind, plan) for kind in kinds))

    def _nest(self, kind: Sequence[OrderWanted], plan: _Nests) -> Nesting:
        kerf_m = self._saw.kerf_m
        orders = [
            PiecesWanted(
                order.name,
                hundredths_from_m(order.length_mm * MM)
                + ceil(kerf_along_m(kerf_m, radians(order.mitre_deg)) / (0.01 * MM) - 1e-6),
                order.pieces,
                hundredths_from_m(trim_m(self.shift, order, kerf_m)),
            )
            for order in kind
        ]
        rack = [
            RackBar(bar.name, hundredths_from_m(bar.length_mm * MM))
            for bar in self.shift.bars_for(kind[0])
        ]
        return plan(orders, rack, hundredths_from_m(self._saw.least_rest_m))

    def play(self, sequence: Sequence[str], bars: Bars) -> Floor:
        """Return the floor after a whole plan."""
        floor = Floor(self.shift, self.machine, built=self._saw)
        for order in sequence:
            floor.serve(bars.of(order))
        return floor

    def pairs(self, bars: Bars) -> Pairs:
        """Return what change-overs and orders take, each pair played on a fresh floor."""
        names = [order.name for order in self.shift.orders]
        change_s: dict[tuple[str, str], float] = {}
        work_s: dict[tuple[str, str], float] = {}
        for first in names:
            alone = self.play([first], bars)
            if not alone.served:
                continue  # the rack has no room for any piece of it
            change_s[_START, first] = alone.served[0].changed_s
            work_s[_START, first] = alone.now_s - change_s[_START, first]
            for second in names:
                if second != first:
                    both = self.play([first, second], bars)
                    served = [each for each in both.served if each.order == second][:1]
                    for each in served:
                        change_s[first, second] = each.stood_s + each.changed_s
                        began_s = each.from_s + each.changed_s
                        work_s[first, second] = both.now_s - began_s
        return Pairs(change_s, work_s)

    def best_order(self, pairs: Pairs) -> BestOrder:
        """Return the order of the orders that is the least late, and of those the shortest, what comes first kept first."""
        known = [order for order in self.shift.orders if (_START, order.name) in pairs.work_s]
        due_s = {order.name: order.due_min * MINUTE for order in known}
        first = frozenset(order.name for order in known if order.first)
        least_s = fsum(
            min(
                took_s
                for (before, to), took_s in pairs.change_s.items()
                if to == order and _may_lead(before, to, first)
            )
            for order in due_s
        )
        kept = _least(pairs, due_s, first)
        freely = _least(pairs, due_s, frozenset()) if first else kept
        return BestOrder(*kept, least_s, freely[2])


def _may_lead(before: str, to: str, first: frozenset[str]) -> bool:
    """Return whether an order, or the start of the shift, may come right before another."""
    if not first:
        return True
    return before in (first | {_START}) if to in first else before != _START


def _least(
    pairs: Pairs, due_s: Mapping[str, float], first: frozenset[str]
) -> tuple[tuple[str, ...], float, float]:
    """Return the best of all sequences that begin with some orders: it, how late they are, and when it ends."""
    best: list[tuple[tuple[str, ...], float, float]] = []

    def go(done: tuple[str, ...], left: frozenset[str], late_s: float, now_s: float) -> None:
        if best and (late_s, now_s) >= best[0][1:]:
            return  # it only gets later
        if not left:
            best[:] = [(done, late_s, now_s)]
            return
        before = done[-1] if done else _START
        able = left & first or left
        for order in sorted(able, key=lambda each: (pairs.change_s[before, each], each)):
            end_s = now_s + pairs.change_s[before, order] + pairs.work_s[before, order]
            late = late_s + max(0.0, end_s - due_s[order])
            go((*done, order), left - {order}, late, end_s)

    go((), frozenset(due_s), 0.0, 0.0)
    return best[0]
