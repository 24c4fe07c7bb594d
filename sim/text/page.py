"""The page that a session is written on: wrapped lines, tables, times.

Plain by default: no line over 100 characters, nothing but printable characters, no ruled boxes, and
a table is one sentence a row, so that a screen reader can read it and a pipe can keep it. On a
terminal tables are drawn with rich, unless NO_COLOR is set.

Never here: what is said.
"""

import os
import shutil
import sys
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.units import US

WIDTH: Final = 100


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads. A head that is empty is not read aloud before its cell."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Part = str | Table


class Page:
    """Puts parts out through `write`, which takes one line at a time."""

    def __init__(self, write: Callable[[str], None], *, drawn: bool = False) -> None:
        self._write = write
        self._drawn = drawn
        self._width = min(WIDTH, shutil.get_terminal_size().columns) if drawn else WIDTH

    def put(self, *parts: Part) -> None:
        """Write sentences and tables."""
        for part in parts:
            if isinstance(part, str):
                self._lines(part)
            elif self._drawn:
                self._write(_drawn(part))
            else:
                self._lines(part.title)
                for row in part.rows:
                    self._lines(_row(part.heads, row), indent="  ")

    def _lines(self, text: str, indent: str = "") -> None:
        clean = "".join(sign if sign.isprintable() else " " for sign in text)
        lines = textwrap.wrap(
            clean, self._width, initial_indent=indent, subsequent_indent=indent + "  ",
            break_on_hyphens=False,
        )  # fmt: skip
        for line in lines or [""]:
            self._write(line)


def put_line(line: str) -> None:
    """Write one line to standard output, at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def may_draw() -> bool:
    """Return whether standard output is a terminal on which boxes and colours are welcome."""
    plain = "NO_COLOR" in os.environ or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not plain


def clock(at_us: int) -> str:
    """Return a simulated time as minutes and seconds, with hours when there are any."""
    tenths = at_us * 10 // US
    minutes, tenths = divmod(tenths, 600)
    hours, minutes = divmod(minutes, 60)
    seconds = f"{tenths // 10:02d}.{tenths % 10}"
    return f"{hours}:{minutes:02d}:{seconds}" if hours else f"{minutes}:{seconds}"


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun, in the singular or the plural."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def _row(heads: tuple[str, ...], row: tuple[str, ...]) -> str:
    first, *others = row
    told = [f"{h} {c}".strip().rstrip(".") for h, c in zip(heads[1:], others, strict=True) if c]
    return f"{first}: {'; '.join(told)}." if told else first


def _short(table: Table) -> bool:
    return all(len(row[0]) <= WIDTH // 3 for row in table.rows)


def _drawn(table: Table) -> str:
    from rich import box  # noqa: PLC0415 - only a terminal pays for loading it
    from rich.console import Console  # noqa: PLC0415
    from rich.table import Table as Drawn  # noqa: PLC0415

    drawn = Drawn(title=table.title, title_justify="left", box=box.SIMPLE_HEAD)
    drawn.show_header = any(table.heads)
    for column, head in enumerate(table.heads):
        # A name must stay whole, or it could not be typed after it.
        drawn.add_column(head, overflow="fold", no_wrap=column == 0 and _short(table))
    for row in table.rows:
        drawn.add_row(*row)
    console = Console(highlight=False, markup=False)
    with console.capture() as capture:
        console.print(drawn)
    return capture.get().rstrip()
