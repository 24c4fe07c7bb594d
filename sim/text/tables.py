"""Prints tables and lines: with rich, ruled for a terminal, plain and unwrapped for a pipe."""

import json
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from rich import box
from rich.console import Console
from rich.table import Table

from sim.text.page import cell_text, head_text
from sim.words.message import Message
from sim.words.reader import Reader
from sim.words.speech import reader, tell

_PIPE_WIDTH: Final = 400  # wide enough that nothing is folded when another program reads


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


def console() -> Console:
    """Return the console for standard output."""
    width = None if sys.stdout.isatty() else _PIPE_WIDTH
    return Console(width=width, highlight=False, soft_wrap=False)


def print_said(*said: Message, whole: bool = False) -> None:
    """Print messages, a line each, in the reader's language.

    Args:
        said: What is told.
        whole: Whether a line is never folded, for one with a file's path in it.
    """
    for each in said:
        console().print(tell(each), markup=False, soft_wrap=whole)


def print_json(value: object) -> None:
    """Print a value as JSON, indented, the same in every language."""
    console().print(json.dumps(value, indent=2, default=str), markup=False, soft_wrap=True)


def print_table(
    title: Message, heads: Sequence[PrintedHead], rows: Iterable[Sequence[PrintedCell]]
) -> None:
    """Print a table; columns of numbers are set to the right.

    Args:
        title: Stands above it.
        heads: A label for each column.
        rows: A cell for each head.
    """
    listed = [[_cell(cell) for cell in row] for row in rows]
    print_told(tell(title), list(map(_head, heads)), listed)


def print_told(title: str, heads: Sequence[str], listed: Sequence[Sequence[str]]) -> None:
    """Print a table that is text already."""
    if not sys.stdout.isatty():
        _print_plain(title, heads, listed)
        return
    table = Table(title=title, box=box.SIMPLE_HEAD, title_justify="left", title_style="bold")
    for index, head in enumerate(heads):
        numeric = bool(listed) and all(_is_number(row[index]) for row in listed)
        table.add_column(head, justify="right" if numeric else "left", overflow="fold")
    for row in listed:
        table.add_row(*row)
    console().print(table)


def _head(head: PrintedHead) -> str:
    if isinstance(head, str):
        return head_text(head)
    label, unit = head
    return f"{head_text(label)} {reader().unit(unit)}".strip()


def _cell(cell: PrintedCell) -> str:
    if isinstance(cell, Message | str):
        return cell_text(cell)
    return (cell if isinstance(cell, PrintedNumber) else PrintedNumber(cell)).tell(reader())


def _print_plain(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    widths = [max(len(line[i]) for line in [list(heads), *rows]) for i in range(len(heads))]
    lines = [title, *("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip()
                      for row in [heads, *rows])]  # fmt: skip
    console().print("\n".join(lines), markup=False)


def _is_number(text: str) -> bool:
    try:
        float(text.replace(",", "."))
    except ValueError:
        return False
    return True
