"""Finds the line that is indented as no other is, and says how it is to begin.

Theory: YAML 1.2.2 section 6.1: what belongs together begins at one column, and what belongs under a name
begins further in than it.

Never here: what stands in a line.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from sim.scenario.located import Spot
from sim.scenario.slips.slip import (
    AT_EDGE,
    BESIDE_SECTION,
    EDGE_AS,
    INDENT,
    INDENT_AS,
    INDENT_UNDER,
    NO_HYPHEN,
    OUT,
    TOO_MANY,
    WRITE,
    Slip,
)
from sim.words.message import Message

_NOTE: Final = re.compile(r"\s#.*$")
_LONGEST: Final = 60  # characters of a line in an advice


@dataclass
class TypedLine:
    """A line with a name and a value, or an entry of a list."""

    number: int  # from 1
    column: int  # of the name or the entry, from 0
    key: str  # empty for an entry without a name
    value: str
    hyphen: int = -1  # column of the hyphen before it

    @property
    def start(self) -> int:
        """The column at which the line begins."""
        return self.column if self.hyphen < 0 else self.hyphen


@dataclass
class _Block:
    """Lines that begin at one column."""

    column: int
    first: TypedLine


class Indents:
    """The columns at which the lines so far begin.

    Args:
        lines: All lines of the file.
        sections: The names that have lines under them.
    """

    def __init__(self, lines: list[str], sections: Collection[str]) -> None:
        self.told: list[TypedLine] = []
        self.blocks: list[_Block] = []
        self.lines = lines
        self.sections = sections

    @property
    def above(self) -> TypedLine | None:
        """The last line that was put."""
        return self.told[-1] if self.told else None

    def place(self, here: TypedLine) -> Slip | None:
        """Put a line into its block; return the slip where it fits into none."""
        slip = self._put(here)
        self.told.append(here)
        return slip

    def no_list(self, column: int) -> bool:
        """Return whether an entry of a list cannot stand at a column."""
        if not self.told:
            return True
        inner = any(block.first.hyphen >= 0 for block in self.blocks)
        return column == 0 and bool(self.told[-1].value) and not inner

    def _put(self, here: TypedLine) -> Slip | None:
        start = here.start
        above = self.above
        if above is not None and start > above.column and above.value:
            return self._too_deep(here, above, start)
        left: _Block | None = None
        while self.blocks and self.blocks[-1].column > start:
            left = self.blocks.pop()
        top = self.blocks[-1] if self.blocks else None
        if top is None or top.column < start:
            if left is not None:
                return self._between(here, left, start)
            self.blocks.append(_Block(start, here))
        elif here.hyphen < 0 and top.first.hyphen == start:
            return self._lost_hyphen(here, top)
        elif here.hyphen >= 0 and top.first.hyphen != start and top.first.key:
            if above is not None and not above.value and above.column == start:
                self.blocks.append(_Block(start, here))  # a list may stand as far left as its name
            else:
                return self._stray_hyphen(here, left)
        if here.hyphen >= 0 and here.column > start:
            self.blocks.append(
                _Block(here.column, TypedLine(here.number, here.column, here.key, here.value))
            )
        return None

    def _stray_hyphen(self, here: TypedLine, left: _Block | None) -> Slip:
        """Return the slip of an entry among lines that are none."""
        listed = left if left is not None and left.first.hyphen >= 0 else None
        for block in reversed(self.blocks):
            if listed is None and block.first.hyphen == block.column:
                listed = block
        if listed is None:
            return at(here.number - 1, here.hyphen, TOO_MANY(bracket="-"), OUT)
        return move(here.number, here.start, listed.column, listed.first.number)

    def _too_deep(self, here: TypedLine, above: TypedLine, start: int) -> Slip:
        """Return the slip of a line that stands deeper than one that has its value already."""
        if above.key in self.sections and above.value[0] not in "[{":
            return at(
                above.number - 1, above.column,
                BESIDE_SECTION(name=above.key, value=short(above.value)), OUT,
            )  # fmt: skip
        before = self.told[-2] if len(self.told) > 1 else None
        edge = above.start
        if before is not None and not before.value and before.column == edge and before.key:
            return self._under(above, before, start)
        if before is not None and before.column == start and before.column > edge:
            section = next(
                (each for each in reversed(self.told) if each.column < start and not each.value),
                before,
            )
            return self._under(above, section, start)
        following = self._next_column(here.number)
        if before is not None and not before.value and following == start and edge > before.column:
            return move(above.number, edge, start, here.number)
        return move(here.number, start, edge, above.number)

    def _between(self, here: TypedLine, left: _Block, start: int) -> Slip:
        if here.key in self.sections and not here.value and self._next_column(here.number) > start:
            outer = self.blocks[-1] if self.blocks else left
            return move(here.number, start, outer.column, outer.first.number)
        alone = left.first.number == (self.told[-1].number if self.told else 0)
        if alone and self._next_column(here.number) == start and left.first.hyphen < 0:
            return move(left.first.number, left.column, start, here.number)
        return move(here.number, start, left.column, left.first.number)

    def _lost_hyphen(self, here: TypedLine, top: _Block) -> Slip:
        if here.key == top.first.key:
            return at(
                here.number - 1, here.column, NO_HYPHEN(name=here.key),
                WRITE(line=short(f"- {here.key}: {here.value}")),
            )  # fmt: skip
        return move(here.number, here.column, top.first.column, top.first.number)

    def _under(self, moved: TypedLine, section: TypedLine, column: int) -> Slip:
        return at(
            moved.number - 1, moved.column, begins(moved.column),
            INDENT_UNDER(name=moved.key, section=section.key, count=column),
        )  # fmt: skip

    def _next_column(self, number: int) -> int:
        """Return the column of the next line with a name, or -1."""
        for line in self.lines[number:]:
            body = line.lstrip(" ")
            if body and not body.startswith("#"):
                return len(line) - len(body)
        return -1

    def in_list(self, column: int) -> bool:
        """Return whether an entry of a list may stand at a column."""
        above = self.above
        return above is not None and (
            (bool(above.key) and not above.value)
            or any(block.first.hyphen == column for block in self.blocks)
        )


def at(index: int, column: int, what: Message, what_to_do: Message) -> Slip:
    """Return a slip at a line and a column that are counted from 0."""
    return Slip(Spot(index + 1, column + 1), what, what_to_do)


def move(line: int, there: int, wanted: int, like: int) -> Slip:
    """Return the slip of a line that begins at one column and belongs at that of another line."""
    to_do = INDENT_AS(count=wanted, line=like) if wanted else EDGE_AS(line=like)
    return at(line - 1, there, begins(there), to_do)


def begins(column: int) -> Message:
    """Return how far a line is indented, as what is wrong with it."""
    return INDENT(count=column) if column else AT_EDGE


def bare(value: str) -> str:
    """Return a value without the note after it."""
    return _NOTE.sub("", f" {value}").strip()


def short(line: str) -> str:
    """Return a line as an advice shows it."""
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 3]}..."
