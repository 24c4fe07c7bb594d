"""Which piece from which bar, where the bars on the rack are of unequal lengths.

Theory. A bar that is brought to the saw for an order loses a trim for that visit, and a rest that no
stroke fetches; every piece takes its length and a kerf. All lengths are whole hundredths of a
millimetre (see `length`). The best plan takes the least length of bars from the rack, and of those
plans the one with the fewest visits: an assignment model with one integer a piece kind and bar, solved
as an integer programme by the library of the extra `drycycle[nest]`. Without it the plan is first fit:
the shortest bar that holds all that is left of an order, else the longest. No plan takes less than
`least`, the least length of any choice of bars whose rooms together hold every piece. Sources: the
assignment model is Kantorovich's 1939; bins of unequal sizes Friesen and Langston 1986 (both from memory).

Never here: prices, machines, the order of change-overs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sim import extras
from sim.bugs import TableError

MOST_BARS: Final = 20
"""Bars of one kind that a rack may have: every choice of them is gone through for the bound."""


@dataclass(frozen=True, slots=True)
class PiecesWanted:
    """Pieces of one order; lengths in hundredths of a millimetre."""

    name: str
    piece: int  # with the kerf along the bar
    pieces: int
    trim: int  # lost each time that a bar is brought to the saw for it


@dataclass(frozen=True, slots=True)
class RackBar:
    """A bar on the rack."""

    name: str
    length: int  # hundredths of a millimetre


@dataclass(frozen=True, slots=True)
class Visit:
    """A bar that is brought to the saw for an order."""

    order: str
    bar: str
    pieces: int


@dataclass(frozen=True, slots=True)
class Nesting:
    """Which bar is brought for which order, and what is known of the best."""

    visits: tuple[Visit, ...]  # orders as they were given, and of each the longest bar first
    taken: int  # length of the bars that are taken from the rack, hundredths of a millimetre
    least: int  # no plan takes less
    missing: Mapping[str, int]  # pieces by order for which this plan finds no room
    solved: bool  # by the solver; else first fit

    @property
    def proved(self) -> bool:
        """Whether it is proved that no plan takes a shorter length of bars."""
        return not self.missing and self.taken == self.least


def first_fit_nesting(
    orders: Sequence[PiecesWanted], rack: Sequence[RackBar], rest: int
) -> Nesting:
    """Return what a person would do: order by order, the shortest bar that is enough, else the longest.

    Args:
        orders: In the order in which they are served.
        rack: The bars, all of one kind.
        rest: Of a bar, that no stroke fetches.
    """
    left = {bar.name: bar.length - rest for bar in rack}
    visits: list[Visit] = []
    missing: dict[str, int] = {}
    for order in orders:
        wanted = order.pieces
        while wanted:
            holds = {
                name: min(wanted, (room - order.trim) // order.piece)
                for name, room in left.items()
                if room >= order.trim + order.piece
            }
            if not holds:
                missing[order.name] = wanted
                break
            enough = [name for name, pieces in holds.items() if pieces == wanted]
            bar = (
                min(enough, key=lambda name: left[name])
                if enough
                else max(holds, key=lambda name: left[name])
            )
            visits.append(Visit(order.name, bar, holds[bar]))
            left[bar] -= order.trim + order.piece * holds[bar]
            wanted -= holds[bar]
    least = least_taken(orders, rack, rest)
    return Nesting(tuple(visits), _taken(visits, rack), least, missing, solved=False)


def least_taken(orders: Iterable[PiecesWanted], rack: Sequence[RackBar], rest: int) -> int:
    """Return a length of bars that no plan goes below; 0 where the whole rack is too little.

    Every piece needs its length, every order one trim, and every bar keeps its rest.
    """
    _few(rack)
    need = 0
    for order in orders:
        need += order.piece * order.pieces + order.trim
    # By the room of a choice of bars the least length of it; equal bars make few different ones.
    choices = {0: 0}
    for bar in rack:
        room = max(bar.length - rest, 0)
        for held, taken in tuple(choices.items()):
            length = taken + bar.length
            choices[held + room] = min(length, choices.get(held + room, length))
    return min((taken for held, taken in choices.items() if held >= need), default=0)


def nesting(orders: Sequence[PiecesWanted], rack: Sequence[RackBar], rest: int) -> Nesting:
    """Return the plan that takes the least length of bars; first fit where the solver is not installed.

    Args:
        orders: As for `first_fit_nesting`.
        rack: The bars, all of one kind.
        rest: Of a bar, that no stroke fetches.
    """
    plain = first_fit_nesting(orders, rack, rest)
    if not extras.there(extras.SOLVER[0]):
        return plain
    visits = _solved(orders, sorted(rack, key=lambda bar: -bar.length), rest)
    if visits is None:
        return plain
    taken = _taken(visits, rack)
    return Nesting(visits, taken, taken, {}, solved=True)


def _few(rack: Sequence[RackBar]) -> None:
    if len(rack) > MOST_BARS:
        raise TableError(f"{len(rack)} bars of one kind, and at most {MOST_BARS} are gone through")


def _taken(visits: Iterable[Visit], rack: Iterable[RackBar]) -> int:
    brought = {visit.bar for visit in visits}
    taken = 0
    for bar in rack:
        taken += bar.length if bar.name in brought else 0
    return taken


def _solved(
    orders: Sequence[PiecesWanted], rack: Sequence[RackBar], rest: int
) -> tuple[Visit, ...] | None:
    """Return the visits of the best plan; None where the rack does not give the pieces.

    Args:
        orders: What is wanted.
        rack: The longest bar first; of equal ones the earlier is taken first.
        rest: As for `nesting`.
    """
    import highspy

    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("parallel", "off")
    solver.setOptionValue("mip_rel_gap", 0.0)
    taken = [solver.addBinary() for _ in rack]
    brought = [[solver.addBinary() for _ in rack] for _ in orders]
    pieces = [[solver.addIntegral(lb=0, ub=order.pieces) for _ in rack] for order in orders]
    for i, order in enumerate(orders):
        solver.addConstr(_all(pieces[i]) == order.pieces)
        for b in range(len(rack)):
            solver.addConstr(pieces[i][b] <= order.pieces * brought[i][b])
            solver.addConstr(brought[i][b] <= taken[b])
    for b, bar in enumerate(rack):
        used = [
            order.piece * pieces[i][b] + order.trim * brought[i][b]
            for i, order in enumerate(orders)
        ]
        solver.addConstr(_all(used) <= (bar.length - rest) * taken[b])
        if b and rack[b - 1].length == bar.length:
            solver.addConstr(taken[b] <= taken[b - 1])
    length = _all([bar.length * taken[b] for b, bar in enumerate(rack)])
    solver.minimize(length)
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    least = 0
    for bar, value in zip(rack, solver.vals(taken), strict=True):
        least += bar.length * round(value)
    solver.addConstr(length <= least)
    solver.minimize(_all([each for row in brought for each in row]))
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise TableError("the solver found a plan, and then none with fewer visits")
    found = [[round(value) for value in solver.vals(row)] for row in pieces]
    return tuple(
        Visit(order.name, rack[b].name, found[i][b])
        for i, order in enumerate(orders)
        for b in range(len(rack))
        if found[i][b]
    )


def _all(terms: Sequence[Any]) -> Any:
    """Return the solver's expression of all terms together."""
    whole = terms[0]
    for each in terms[1:]:
        whole = whole + each
    return whole
