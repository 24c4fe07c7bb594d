"""A table ruled for a terminal: heads over a line, cells folded at words, numbers to the right.

Never here: what is in it.
"""

import textwrap
from collections.abc import Collection, Sequence
from itertools import zip_longest
from typing import Final

from sim.words.visible import visible

_LEAST: Final = 4  # characters that a column is never narrower than, if it was wider
_PAD: Final = " "
_BETWEEN: Final = 3  # spaces between two columns
_EDGES: Final = 4  # spaces before the first column and after the last


def ruled(
    title: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: int,
    *,
    right: Collection[int] = (),
    whole: Collection[int] = (),
) -> str:
    """Return a table as lines that are no longer than a terminal is wide, if that can be.

    Args:
        title: Stands above it.
        heads: Of the columns; with every one empty there is no line of heads.
        rows: A cell for each head.
        width: Of the terminal, in characters.
        right: Numbers of the columns that are set to the right.
        whole: Numbers of the columns that are never folded.
    """
    table = [[_printable(cell) for cell in row] for row in (heads, *rows)]
    columns = list(zip(*table, strict=True))
    widths = _fitted(list(map(_widest, columns)), list(map(_longest_word, columns)), width, whole)
    lines = [_line(row, widths, right) for row in table]
    if any(heads):
        rule = _PAD + "─" * (sum(widths) + _BETWEEN * (len(widths) - 1) + _EDGES - 2)
        lines.insert(1, rule)
    else:
        del lines[0]
    return "\n".join((*textwrap.wrap(_printable(title), width), "", *lines, ""))


def breaks_words(
    heads: Sequence[str], rows: Sequence[Sequence[str]], width: int, whole: Collection[int] = ()
) -> bool:
    """Return whether a terminal is too narrow for a table whose words stay whole; arguments as for `ruled`."""
    columns = enumerate(zip(*(map(_printable, row) for row in (heads, *rows)), strict=True))
    least = [_widest(cells) if at in whole else _longest_word(cells) for at, cells in columns]
    return sum(least) + _BETWEEN * (len(least) - 1) + _EDGES > width


def _widest(cells: Sequence[str]) -> int:
    return max(map(len, cells))


def _longest_word(cells: Sequence[str]) -> int:
    return max((len(word) for cell in cells for word in cell.split()), default=0)


def _fitted(
    widths: list[int], words: Sequence[int], width: int, whole: Collection[int]
) -> list[int]:
    """Return widths that fit; the widest column that may be folded gives first, and words break last of all."""
    fold = [column for column in range(len(widths)) if column not in whole] or [*range(len(widths))]
    too_much = sum(widths) + _BETWEEN * (len(widths) - 1) + _EDGES - width
    for _ in range(max(too_much, 0)):
        loose = [column for column in fold if widths[column] > words[column]]
        widest = max(loose or fold, key=widths.__getitem__)
        if widths[widest] <= _LEAST:
            break
        widths[widest] -= 1
    return widths


def _line(row: Sequence[str], widths: Sequence[int], right: Collection[int]) -> str:
    """Return one row, folded to as many lines as its longest cell takes."""
    cells = [
        textwrap.wrap(cell, width, break_on_hyphens=False) if len(cell) > width else [cell]
        for cell, width in zip(row, widths, strict=True)
    ]
    lines = []
    for parts in zip_longest(*cells, fillvalue=""):
        set_out = (
            part.rjust(width) if column in right else part.ljust(width)
            for column, (part, width) in enumerate(zip(parts, widths, strict=True))
        )
        lines.append(f"{_PAD * 2}{(_PAD * _BETWEEN).join(set_out)}".rstrip())
    return "\n".join(lines)


def _printable(text: str) -> str:
    return visible(" ".join(text.splitlines()) if "\n" in text else text)
