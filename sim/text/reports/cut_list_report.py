"""`drycycle calc bars`: an order typed on the command line, and the plan for it."""

from collections import Counter
from collections.abc import Sequence

from sim.calc.calculators import bar_count, bars
from sim.errors import CommandError
from sim.text.reports.run_report import print_json
from sim.text.tables import print_table
from sim.trade.cut_list import BarStock
from sim.words.speech import reader

_EXAMPLE = "write LENGTHxCOUNT in mm, like 250x10"


def print_cut_list(
    pieces: Sequence[str], lengths_mm: tuple[float, float, float, float], *, as_json: bool
) -> None:
    """Print the plan for an order.

    Args:
        pieces: Words like 250x10.
        lengths_mm: Bar, kerf, trim and remnant.
        as_json: Print JSON.

    Raises:
        CommandError: A word is not a length and a count.
        DrycycleError: A piece does not come out of a bar.
    """
    order = _order(pieces)
    bar, kerf, trim, remnant = (round(length * 100) for length in lengths_mm)
    stock = BarStock(bar, kerf, trim, remnant)
    answers, plan = bars(order, stock)
    if len(order) == 1:
        answers = [*bar_count(stock, next(iter(order))), *answers]
    cuts = Counter(
        " + ".join(f"{n} x {length / 100:g}" for length, n in b.items()) for b in plan.bars
    )
    if as_json:
        print_json({"answers": [a.plain() for a in answers], "bars": dict(cuts)})
        return
    rows = [a.cells(reader()) for a in answers]
    print_table("Cut list", ("quantity", "value", "unit", "how"), rows)
    print_table("Bars", ("times", "pieces, mm"), [(n, cut) for cut, n in cuts.items()])


def _order(pieces: Sequence[str]) -> dict[int, int]:
    order: Counter[int] = Counter()
    for word in pieces:
        length_word, _, count_word = word.partition("x")
        try:
            length, count = round(float(length_word) * 100), int(count_word)
        except (ValueError, OverflowError):
            raise CommandError(f"{word!r} is not an order", "--piece", _EXAMPLE) from None
        if not (0 < length <= 2_000_000 and 0 < count <= 10_000):
            raise CommandError(f"{word!r} is not an order that can be cut", "--piece", _EXAMPLE)
        order[length] += count
    return dict(order)
