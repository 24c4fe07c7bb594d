"""The page that a session is written on: wrapped lines, and tables.

Plain by default: no line over 100 characters, nothing but printable characters, no ruled boxes, and
a table is one sentence a row, so that a screen reader can read it and a pipe can keep it. On a
terminal tables are ruled (see `ruled`), unless NO_COLOR is set.

Messages become text here, in the reader's language. Never here: what is said.
"""

import os
import shutil
import sys
import textwrap
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from sim.errors import CommandError, reason
from sim.text.ruled import breaks_words, ruled
from sim.words.fields import part
from sim.words.message import Message, row
from sim.words.reader import NO_BREAK
from sim.words.speech import reader, say, tell
from sim.words.visible import visible

WIDTH: Final = 100
_MOST_TIMES: Final = 1.5  # the lines of the same in sentences, beyond which a table is not drawn
_RULES: Final = 4  # lines of a drawn table that hold none of its rows

_LINE_END: Final = "\n\t"
_SPACES: Final = "\t\n\r"
_AS_SPACE: Final = str.maketrans(_SPACES, "   ")

_NOT_WRITTEN: Final = row(
    "page.not-written", "the output cannot be written: {reason}", reason=part()
)

Cell = Message | str
"""What stands in a table: a message, or a name that is the same in every language."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads. A head is an English label; an empty one is not read aloud."""

    title: Message
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


Part = Message | Table


class Printer:
    """Puts parts out through `write`, which takes one line at a time."""

    def __init__(self, write: Callable[[str], None], *, drawn: bool = False) -> None:
        self._write = write
        self._drawn = drawn
        self._width = min(WIDTH, shutil.get_terminal_size().columns) if drawn else WIDTH
        self.said: list[Part] = []  # since whoever repeats it has taken it away

    def put(self, *parts: Part) -> None:
        """Write sentences and tables; a message that says nothing is an empty line."""
        self.said += parts
        for each in parts:
            if isinstance(each, Message):
                # A name must stay whole, or it could not be typed after it.
                self._lines(each.tell(replace(reader(), whole_names=True)))
            else:
                heads, rows = _told(each)
                told = self._folded(tell(each.title))
                told += [line for row in rows for line in self._folded(in_a_line(heads, row), "  ")]
                drawn = _drawn(each, shutil.get_terminal_size().columns) if self._drawn else ""
                if drawn and drawn.count("\n") <= _MOST_TIMES * len(told) + _RULES:
                    self._write(drawn)
                else:
                    self._all(told)

    def _lines(self, text: str) -> None:
        self._all(self._folded(text))

    def _all(self, lines: Iterable[str]) -> None:
        for line in lines:
            self._write(line)

    def _folded(self, text: str, indent: str = "") -> list[str]:
        clean = visible(text, keep=_SPACES).translate(_AS_SPACE)
        lines = textwrap.wrap(
            clean, self._width, initial_indent=indent, subsequent_indent=indent + "  ",
            break_on_hyphens=False, break_long_words=False,
        )  # fmt: skip
        return [line.replace(NO_BREAK, " ") for line in lines or [""]]


def put_line(line: str) -> None:
    """Write one line to standard output, at once.

    Raises:
        CommandError: It cannot be written, as on a full disk.
    """
    try:
        sys.stdout.write(f"{visible(line, keep=_LINE_END)}\n")
        sys.stdout.flush()
    except BrokenPipeError:
        raise  # whoever read goes away, which is nobody's mistake
    except OSError as fault:
        raise CommandError(_NOT_WRITTEN(reason=reason(fault))) from None


def may_draw() -> bool:
    """Return whether standard output is a terminal on which boxes and colours are welcome."""
    plain = "NO_COLOR" in os.environ or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not plain


def head_text(head: str) -> str:
    """Return the head of a column for who reads."""
    return say(head, "table.head") if head else ""


def cell_text(cell: Cell) -> str:
    """Return what stands in a table for who reads."""
    if isinstance(cell, Message):
        return tell(cell)
    return reader().name(cell) if cell else ""


_Row = tuple[str, ...]


def _told(table: Table) -> tuple[_Row, list[_Row]]:
    heads = tuple(map(head_text, table.heads))
    return heads, [tuple(map(cell_text, row)) for row in table.rows]


def in_a_line(heads: Sequence[str], row: Sequence[str]) -> str:
    """Return a row of a table as a sentence: its first cell, and each other after its head."""
    first, *others = row
    told = [f"{h} {c}".strip().rstrip(".") for h, c in zip(heads[1:], others, strict=True) if c]
    return f"{first}: {'; '.join(told)}." if told else first


def _drawn(table: Table, width: int) -> str:
    """Return a table as it is drawn; empty where the terminal is too narrow for its words."""
    heads, rows = _told(table)
    whole = []
    for column in range(len(heads)):
        # A name must stay whole, or it could not be typed after it.
        cells = [row[column] for row in table.rows]
        names = any(cells) and all(isinstance(cell, str) for cell in cells)
        if (column == 0 or names) and all(len(row[column]) <= WIDTH // 3 for row in rows):
            whole.append(column)
    if breaks_words(heads, rows, width, whole):
        return ""
    return ruled(tell(table.title), heads, rows, width, whole=whole).rstrip()
