"""How to cut an order of several lengths from bars of one length: first fit, and the optimum.

Theory. A pattern is what one bar gives; all lengths are integers of 0.01 mm, because floats lose
pieces on bars that fit exactly (see `length`). Kantorovich's cutting-stock problem over all maximal
patterns, as an integer programme, gives the least number of bars; first fit decreasing gives what a
person would do. Without the solver (the extra `nest`), or with more patterns than can be listed, the
answer is the first fit beside a bound that no plan can beat, and says whether that proves it.
The bound is L2 of Martello and Toth: for each share of the room, pieces too long to lie on one bar
together, and by length what does not fit beside them. Sources: Kantorovich 1939; Gilmore and Gomory
1961; Martello and Toth 1990 (all from memory).

Never here: prices, machines.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count, islice
from typing import Final

from sim import extras
from sim.errors import DrycycleError
from sim.trade.length import ceil_div, pieces_per_bar

MOST_PATTERNS: Final = 20_000

Pattern = Mapping[int, int]  # length in hundredths -> pieces of it


@dataclass(frozen=True)
class BarStock:
    """The bars an order is cut from; lengths in hundredths of a millimetre."""

    bar: int
    kerf: int
    trim: int = 0
    remnant: int = 0

    @property
    def room(self) -> int:
        """What is left of a bar when each piece is counted with one kerf."""
        usable = self.bar - (self.trim + self.kerf if self.trim else 0)
        return usable - self.remnant if self.remnant else usable + self.kerf


@dataclass(frozen=True)
class CutPlan:
    """How an order is cut: a pattern a bar."""

    bars: tuple[Pattern, ...]
    least: int  # no plan can need fewer bars
    first_fit: int  # bars that first fit decreasing needs
    solver: bool = True  # whether the solver was there, should it have been needed

    @property
    def proved(self) -> bool:
        """Whether no plan with fewer bars exists."""
        return len(self.bars) == self.least


def first_fit(order: Mapping[int, int], stock: BarStock) -> tuple[Pattern, ...]:
    """Return the bars that first fit decreasing fills.

    Args:
        order: Pieces wanted by length in hundredths.
        stock: The bars.

    Raises:
        DrycycleError: A length does not fit on a bar, or the order is empty.
    """
    _check(order, stock)
    bars: list[Counter[int]] = []
    rooms: list[int] = []
    for length in sorted(order, reverse=True):
        for _ in range(order[length]):
            need = length + stock.kerf
            place = next((i for i, room in enumerate(rooms) if room >= need), None)
            if place is None:
                place = len(bars)
                bars.append(Counter())
                rooms.append(stock.room)
            bars[place][length] += 1
            rooms[place] -= need
    return tuple(bars)


def cut_plan(order: Mapping[int, int], stock: BarStock) -> CutPlan:
    """Return the plan with the fewest bars, and how far first fit is from it.

    Raises:
        DrycycleError: As `first_fit`.
    """
    simple = first_fit(order, stock)
    bound = least_bars(order, stock)
    if len(simple) == bound:
        return CutPlan(simple, bound, len(simple))
    if not extras.there(extras.SOLVER[0]):
        return CutPlan(simple, bound, len(simple), solver=False)
    lengths = tuple(sorted(order, reverse=True))
    patterns = tuple(islice(_patterns(lengths, order, stock), MOST_PATTERNS + 1))
    if len(patterns) > MOST_PATTERNS:
        return CutPlan(simple, bound, len(simple))
    bars = _solved(lengths, order, patterns)
    return CutPlan(bars, len(bars), len(simple))


def least_bars(order: Mapping[int, int], stock: BarStock) -> int:
    """Return a number of bars that no plan can go below (Martello and Toth's L2).

    Raises:
        DrycycleError: As `first_fit`.
    """
    _check(order, stock)
    room = stock.room
    needs = {length + stock.kerf: pieces for length, pieces in order.items()}
    return max(
        _bars_beside(needs, room, short) for short in (0, *(n for n in needs if 2 * n <= room))
    )


def _bars_beside(needs: Mapping[int, int], room: int, short: int) -> int:
    """Return the bars that pieces of at least `short` need: alone, two to a bar at the most, the rest.

    A piece longer than `room - short` lies alone; one longer than half the room begins a bar, and
    what is left on those bars may take the rest, counted by length.
    """
    alone = sum(n for need, n in needs.items() if need > room - short)
    halves = {need: n for need, n in needs.items() if 2 * need > room and need <= room - short}
    begun = sum(halves.values())
    left = begun * room - sum(need * n for need, n in halves.items())
    rest = sum(need * n for need, n in needs.items() if short <= need and 2 * need <= room)
    return alone + begun + max(0, ceil_div(rest - left, room))


def _check(order: Mapping[int, int], stock: BarStock) -> None:
    if not order or min(order.values()) < 1 or min(order) < 1:
        raise DrycycleError(
            "an order needs at least one piece, of a length above zero", "cut list",
            "give lengths and how many of each",
        )  # fmt: skip
    longest = max(order)
    if not pieces_per_bar(stock.bar, longest, stock.kerf, stock.trim, stock.remnant):
        raise DrycycleError(
            f"a piece of {longest / 100:g} mm does not come out of a bar of {stock.bar / 100:g} mm",
            "cut list",
            "give longer bars, or a shorter piece",
        )


def _patterns(
    lengths: tuple[int, ...], order: Mapping[int, int], stock: BarStock
) -> Iterator[tuple[int, ...]]:
    """Yield every maximal pattern: no further piece of the order fits."""

    def fill(index: int, room: int) -> Iterator[tuple[int, ...]]:
        if index == len(lengths):
            yield ()
            return
        need = lengths[index] + stock.kerf
        most = min(room // need, order[lengths[index]])
        least = most if index == len(lengths) - 1 else 0
        for pieces in range(most, least - 1, -1):
            for rest in fill(index + 1, room - pieces * need):
                yield (pieces, *rest)

    yield from fill(0, stock.room)


def _solved(
    lengths: tuple[int, ...], order: Mapping[int, int], patterns: tuple[tuple[int, ...], ...]
) -> tuple[Pattern, ...]:
    import highspy

    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    used = [solver.addIntegral(lb=0) for _ in patterns]
    for index, length in enumerate(lengths):
        giving = [(row[index], var) for row, var in zip(patterns, used, strict=True) if row[index]]
        solver.addConstr(sum(pieces * var for pieces, var in giving) >= order[length])
    solver.minimize(sum(used))
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise DrycycleError("the solver found no plan", "cut list", "report it with this order")
    times = [round(value) for value in solver.vals(used)]
    return tuple(_trimmed(lengths, order, patterns, times))


def _trimmed(
    lengths: tuple[int, ...],
    order: Mapping[int, int],
    patterns: tuple[tuple[int, ...], ...],
    times: list[int],
) -> Iterator[Pattern]:
    """Yield the bars, with pieces beyond the order left on the bar."""
    left = dict(order)
    for row, n in zip(patterns, times, strict=True):
        for _ in islice(count(), n):
            bar = {}
            for length, pieces in zip(lengths, row, strict=True):
                taken = min(pieces, left[length])
                if taken:
                    bar[length] = taken
                    left[length] -= taken
            yield bar
