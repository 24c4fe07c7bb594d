"""Prints tables and lines: ruled and folded for a terminal, plain and unfolded for a pipe."""

import json
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sim.text.page import cell_text, head_text, in_a_line, put_line
from sim.text.ruled import breaks_words, ruled
from sim.words.message import Message
from sim.words.reader import Reader
from sim.words.speech import reader, tell


@dataclass(frozen=True, slots=True)
class PrintedNumber:
    """A number in a table; its unit stands in the head.

    Args:
        value: In the metric unit.
        decimals: How many are told; None for as many as it has.
        unit: The metric unit, empty for a bare number.
        sign: Whether a positive number has its sign too.
        to: The other end of a range; None where it is one number.
    """

    value: float
    decimals: int | None = None
    unit: str = ""
    sign: bool = False
    to: float | None = None

    def tell(self, reader: Reader) -> str:
        """Return it as text for a reader."""
        ends = (self.value,) if self.to is None else (self.value, self.to)
        return "-".join(
            reader.number(each, self.unit, self.decimals, sign=self.sign) for each in ends
        )


PrintedCell = Message | PrintedNumber | str | float
"""What a cell holds: a message, a number, or a name."""
PrintedHead = str | tuple[str, str]
"""An English label, with the metric unit of the column where it has one."""


def print_said(*said: Message, whole: bool = False) -> None:
    """Print messages, a line each, in the reader's language.

    Args:
        said: What is told.
        whole: Whether a line is never folded, for one with a file's path in it.
    """
    for each in said:
        text = tell(each)
        folded = sys.stdout.isatty() and not whole
        put_line("\n".join(map(_folded, text.split("\n"))) if folded else text)


def print_json(value: object) -> None:
    """Print a value as JSON, indented, the same in every language."""
    put_line(json.dumps(value, indent=2, default=str))


def print_table(
    title: Message, heads: Sequence[PrintedHead], rows: Iterable[Sequence[PrintedCell]]
) -> None:
    """Print a table; columns of numbers are set to the right.

    Args:
        title: Stands above it.
        heads: A label for each column.
        rows: A cell for each head.
    """
    listed = [[printed(cell) for cell in row] for row in rows]
    print_told(tell(title), list(map(printed_head, heads)), listed)


def print_told(title: str, heads: Sequence[str], listed: Sequence[Sequence[str]]) -> None:
    """Print a table that is text already."""
    if not sys.stdout.isatty():
        _print_plain(title, heads, listed)
        return
    wide = shutil.get_terminal_size().columns
    if breaks_words(heads, listed, wide):
        rows = (textwrap.indent(_folded(in_a_line(heads, row), 2), "  ") for row in listed)
        put_line("\n".join((_folded(title), *rows, "")))
        return
    columns = range(len(heads) if listed else 0)
    right = [at for at in columns if all(_is_number(row[at]) for row in listed)]
    put_line(ruled(title, heads, listed, wide, right=right))


def _folded(line: str, indent: int = 0) -> str:
    return textwrap.fill(
        line,
        max(shutil.get_terminal_size().columns - indent, 1),
        break_on_hyphens=False,
        break_long_words=False,
    )


def printed_head(head: PrintedHead) -> str:
    """Return a head as text for who reads now."""
    if isinstance(head, str):
        return head_text(head)
    label, unit = head
    return f"{head_text(label)} {reader().unit(unit)}".strip()


def printed(cell: PrintedCell) -> str:
    """Return a cell as text for who reads now."""
    if isinstance(cell, Message | str):
        return cell_text(cell)
    return (cell if isinstance(cell, PrintedNumber) else PrintedNumber(cell)).tell(reader())


def _print_plain(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    widths = [max(len(line[i]) for line in [list(heads), *rows]) for i in range(len(heads))]
    lines = [title, *("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip()
                      for row in [heads, *rows])]  # fmt: skip
    put_line("\n".join(lines))


def _is_number(text: str) -> bool:
    try:
        float(text.replace(",", "."))
    except ValueError:
        return False
    return True
