"""How to cut an order of several lengths from bars of one length: first fit, and the optimum.

Theory. A pattern is what one bar gives; all lengths are integers of 0.01 mm, because floats lose
pieces on bars that fit exactly (see `length`). First fit decreasing gives what a person would do.
Two bounds say how few bars any plan needs: all lengths together by the bar, and the same after long
pieces have been given bars of their own (L2). Kantorovich's cutting-stock problem over all maximal
patterns, as an integer programme, gives the least number of bars. Its solver is installed by the
extra `drycycle[nest]`. Without it, or with more patterns than can be listed, the plan is first fit,
and it says by which bound it may not be the best. Sources: Kantorovich 1939; Gilmore and Gomory 1961;
Martello and Toth 1990 for L2 (all from memory).

Never here: prices, machines.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import count, islice
from typing import Final

from sim import extras
from sim.errors import DrycycleError
from sim.trade.length import ceil_div, m_from_hundredths, pieces_per_bar
from sim.words.fields import mm, name, part
from sim.words.message import NOTHING, Message, plain, row

MOST_PATTERNS: Final = 20_000

BY_LENGTH: Final = plain("cut-list.bound.length", "all lengths with their kerfs, by the bar")
BY_LONG_PIECES: Final = plain(
    "cut-list.bound.long-pieces", "long pieces that cannot share a bar, and the rest by length"
)
BY_PROGRAMME: Final = plain("cut-list.bound.programme", "integer programme over all patterns")
NO_SOLVER: Final = row("cut-list.no-solver", "first fit; {extra} finds the fewest", extra=name())(
    extra="drycycle[nest]"
)
TOO_MANY: Final = plain("cut-list.too-many", "first fit; too many patterns to go through")
_GREEDY: Final = row("cut-list.greedy", "{bound}; {greedy}", bound=part(), greedy=part())

_ORDER: Final = (
    plain("cut-list.order", "an order needs at least one piece, of a length above zero"),
    plain("cut-list.where", "cut list"),
    plain("cut-list.order.do", "give lengths and how many of each"),
)
_TOO_LONG: Final = row(
    "cut-list.too-long",
    "a piece of {piece} does not come out of a bar of {bar}",
    piece=mm(2),
    bar=mm(2),
)
_TOO_LONG_DO: Final = plain("cut-list.too-long.do", "give longer bars, or a shorter piece")
_NO_PLAN: Final = (
    plain("cut-list.no-plan", "the solver found no plan"),
    _ORDER[1],
    plain("cut-list.no-plan.do", "report it with this order"),
)

Pattern = Mapping[int, int]  # length in hundredths -> pieces of it


@dataclass(frozen=True)
class BarStock:
    """The bars an order is cut from; lengths in hundredths of a millimetre."""

    bar: int
    kerf: int
    squaring: int = 0
    remnant: int = 0

    @property
    def room(self) -> int:
        """The length that pieces share, each counted with one kerf; hundredths of a millimetre."""
        usable = self.bar - (self.squaring + self.kerf if self.squaring else 0)
        return usable - self.remnant if self.remnant else usable + self.kerf


@dataclass(frozen=True)
class OrderPlan:
    """How an order is cut: a pattern a bar."""

    bars: tuple[Pattern, ...]
    least: int  # no plan can need fewer bars
    first_fit: int  # bars that first fit decreasing needs
    bound: Message  # by what no plan can need fewer
    greedy: Message = NOTHING  # why it may not be the best plan; nothing where it is

    @property
    def proved(self) -> bool:
        """Whether it is proved that no plan needs fewer bars."""
        return len(self.bars) == self.least

    @property
    def solver(self) -> bool:
        """Whether the solver was there, or was not needed."""
        return self.greedy is not NO_SOLVER

    @property
    def said(self) -> Message:
        """By which bound no plan needs fewer bars than `least`, and why this plan may need more."""
        return self.bound if self.proved else _GREEDY(bound=self.bound, greedy=self.greedy)


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


def least_bars(order: Mapping[int, int], stock: BarStock) -> int:
    """Return a number of bars that no plan can go below: L2, which is the bound by length or more.

    Pieces are told apart by a length t: those that leave less than t on their bar, other pieces
    above half a bar, and the rest down to t. The first two kinds need a bar each, and only on bars
    of the second kind is there room for the third. With t = 0 it is the bound by length.

    Raises:
        DrycycleError: As `first_fit`.
    """
    _check(order, stock)
    needs = _needs(order, stock)
    lengths = [0, *(need for need in needs if 2 * need <= stock.room)]
    return max(_bars_by_long(needs, least, stock.room) for least in lengths)


def _bound(order: Mapping[int, int], stock: BarStock) -> tuple[int, Message]:
    """Return `least_bars`, and the bound by which no plan goes below it."""
    by_length = ceil_div(sum(need * n for need, n in _needs(order, stock).items()), stock.room)
    least = least_bars(order, stock)
    return least, BY_LONG_PIECES if least > by_length else BY_LENGTH


def _needs(order: Mapping[int, int], stock: BarStock) -> dict[int, int]:
    """Return how many pieces there are by the length that each takes with a kerf."""
    return {length + stock.kerf: pieces for length, pieces in order.items()}


def _bars_by_long(needs: Mapping[int, int], least: int, room: int) -> int:
    """Return L2 for one length t; `needs` has the pieces by their length with a kerf."""
    long = {need: pieces for need, pieces in needs.items() if 2 * need > room}
    free = sum((room - need) * n for need, n in long.items() if need <= room - least)
    small = sum(need * n for need, n in needs.items() if least <= need and 2 * need <= room)
    return sum(long.values()) + max(0, ceil_div(small - free, room))


def cut_plan(order: Mapping[int, int], stock: BarStock) -> OrderPlan:
    """Return the plan with the fewest bars that can be found, and how far first fit is from it.

    Raises:
        DrycycleError: As `first_fit`.
    """
    simple = first_fit(order, stock)
    least, bound = _bound(order, stock)
    greedy = OrderPlan(simple, least, len(simple), bound)
    if greedy.proved:
        return greedy
    if not extras.there(extras.SOLVER[0]):
        return replace(greedy, greedy=NO_SOLVER)
    lengths = tuple(sorted(order, reverse=True))
    patterns = tuple(islice(_patterns(lengths, order, stock), MOST_PATTERNS + 1))
    if len(patterns) > MOST_PATTERNS:
        return replace(greedy, greedy=TOO_MANY)
    bars = _solved(lengths, order, patterns)
    return OrderPlan(bars, len(bars), len(simple), BY_PROGRAMME)


def _check(order: Mapping[int, int], stock: BarStock) -> None:
    if not order or min(order.values()) < 1 or min(order) < 1:
        raise DrycycleError(*_ORDER)
    longest = max(order)
    if not pieces_per_bar(stock.bar, longest, stock.kerf, stock.squaring, stock.remnant):
        piece, bar = m_from_hundredths(longest), m_from_hundredths(stock.bar)
        raise DrycycleError(_TOO_LONG(piece=piece, bar=bar), _ORDER[1], _TOO_LONG_DO)


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
        giving = [(each[index], var) for each, var in zip(patterns, used, strict=True)]
        solver.addConstr(sum(n * var for n, var in giving if n) >= order[length])
    solver.minimize(sum(used))
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise DrycycleError(*_NO_PLAN)
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
    for pattern, n in zip(patterns, times, strict=True):
        for _ in islice(count(), n):
            bar = {}
            for length, pieces in zip(lengths, pattern, strict=True):
                taken = min(pieces, left[length])
                if taken:
                    bar[length] = taken
                    left[length] -= taken
            yield bar
