"""`drycycle calc bars`: an order typed on the command line, and the plan for it."""

from collections import Counter
from collections.abc import Sequence
from typing import Final

from sim.calc.calculators import bar_count, bars
from sim.errors import CommandError
from sim.text.reports.figures import print_figures
from sim.text.tables import print_json, print_table
from sim.trade.cut_list import BarStock
from sim.words.fields import count, name, parts
from sim.words.message import Message, plain, row
from sim.words.speech import reader

_NO_ORDER: Final = row("bars.no-order", "'{given}' is not an order", given=name())
_NOT_TO_BE_CUT: Final = row(
    "bars.not-to-be-cut", "'{given}' is not an order that can be cut", given=name()
)
_EXAMPLE: Final = plain("bars.write", "write LENGTHxCOUNT in mm, like 250x10")
_CUT_LIST: Final = plain("bars.title", "Cut list")
_BARS: Final = plain("bars.bars", "Bars")
_PIECES: Final = row("bars.pieces", "{pieces}", pieces=parts(" + "))
_PIECE: Final = row("bars.piece", "{count} x {length}", count=count(), length=name())
_HUNDREDTH_MM: Final = 100  # lengths are whole hundredths, so that sums are exact


def print_cut_list(
    pieces: Sequence[str], lengths_mm: tuple[float, float, float, float], *, as_json: bool
) -> None:
    """Print the plan for an order.

    Args:
        pieces: Words like 250x10.
        lengths_mm: Bar, kerf, squaring and remnant.
        as_json: Print JSON.

    Raises:
        CommandError: A word is not a length and a count.
        DrycycleError: A piece does not come out of a bar.
    """
    order = _order(pieces)
    bar, kerf, squaring, remnant = (round(length * _HUNDREDTH_MM) for length in lengths_mm)
    stock = BarStock(bar, kerf, squaring, remnant)
    answers, plan = bars(order, stock)
    if len(order) == 1:
        answers = [*bar_count(stock, next(iter(order))), *answers]
    cuts = Counter(tuple(bar.items()) for bar in plan.bars)
    if as_json:
        plain_cuts = {
            " + ".join(f"{n} x {at / _HUNDREDTH_MM:g}" for at, n in cut): times
            for cut, times in cuts.items()
        }
        print_json({"answers": [a.plain() for a in answers], "bars": plain_cuts})
        return
    print_figures(_CUT_LIST, answers)
    print_table(_BARS, ("times", ("pieces,", "mm")), [(n, _told(cut)) for cut, n in cuts.items()])


def _told(cut: Sequence[tuple[int, int]]) -> Message:
    """Return the pieces of a bar, in the unit of the head."""
    return _PIECES(
        pieces=tuple(
            _PIECE(count=n, length=reader().number(length / _HUNDREDTH_MM, "mm", None))
            for length, n in cut
        )
    )


def _order(pieces: Sequence[str]) -> dict[int, int]:
    order: Counter[int] = Counter()
    for word in pieces:
        length_word, _, count_word = word.partition("x")
        try:
            length = round(float(reader().typed(length_word)) * _HUNDREDTH_MM)
            wanted = int(count_word)
        except (ValueError, OverflowError):
            raise CommandError(_NO_ORDER(given=word), "--piece", _EXAMPLE) from None
        if not (0 < length <= 2_000_000 and 0 < wanted <= 10_000):
            raise CommandError(_NOT_TO_BE_CUT(given=word), "--piece", _EXAMPLE)
        order[length] += wanted
    return dict(order)
