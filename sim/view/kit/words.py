"""The words of the trade in a text as it is laid out: where each stands, and the dots under it.

They are found once for a text and a width. Never here: what a word means (see `sim.glossary`).
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from pygame import Rect

from sim.view.kit.lettering import Letters
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.words.reader import Reader
from sim.words.speech import reader

_DOT: Final = 1  # px, and as much a gap
_MARKED: Final = ("body", "small", "fine")  # letters of running text; a heading has no dots


@dataclass(frozen=True, slots=True)
class TermOnLine:
    """A word of the trade in a text, or as much of it as stands on one line."""

    term: str
    line: int
    left: int  # px from the left end of its line
    right: int


@dataclass(frozen=True, slots=True)
class TermSpot:
    """A word of the trade in the window: which one, and where it stands."""

    term: str
    rect: Rect


def marks(
    letters: Letters, lines: tuple[str, ...], role: str, bold: bool
) -> tuple[TermOnLine, ...]:
    """Return the words of the trade in lines of text."""
    if role not in _MARKED:
        return ()
    return _marks(letters, lines, role, bold, reader())


@lru_cache(maxsize=2048)
def _marks(
    letters: Letters, lines: tuple[str, ...], role: str, bold: bool, read_by: Reader
) -> tuple[TermOnLine, ...]:
    from sim.glossary.finding import found_in  # noqa: PLC0415 - the first frame does without

    found = found_in("\n".join(lines), read_by)
    marked = []
    begin = 0
    for number, line in enumerate(lines):
        for each in found:
            start, end = max(each.start - begin, 0), min(each.end - begin, len(line))
            if start < end:
                left = letters.width(line[:start], role, bold)
                marked.append(
                    TermOnLine(each.term.name, number, left, letters.width(line[:end], role, bold))
                )
        begin += len(line) + 1
    return tuple(marked)


def spots(
    pen: Pen, words: str, place: Rect, role: str = "body", bold: bool = False
) -> tuple[TermSpot, ...]:
    """Return where the words of the trade stand in a text that is wrapped from the top of a place."""
    if not pen.explains:
        return ()
    lines = pen.letters.wrap(words, role, place.width, bold)
    return spots_of_lines(pen, lines, place, role, bold)


def spots_of_lines(
    pen: Pen, lines: tuple[str, ...], place: Rect, role: str = "body", bold: bool = False
) -> tuple[TermSpot, ...]:
    """Return where they stand in lines one under the other from the top of a place; none where none is explained."""
    if not pen.explains:
        return ()
    letters = pen.letters
    high = letters.line(role)
    return tuple(
        TermSpot(mark.term, Rect(place.left + mark.left, place.top + mark.line * high, mark.right - mark.left, high))
        for mark in marks(letters, lines, role, bold)
    )  # fmt: skip


def underline(pen: Pen, found: tuple[TermSpot, ...]) -> None:
    """Draw dots under words."""
    colour = mix(pen.palette.panel, pen.palette.soft, 0.75)
    thick = max(pen.hairline, _DOT)
    for spot in found:
        y = spot.rect.bottom - 2 * thick
        for x in range(spot.rect.left, spot.rect.right - thick + 1, 3 * thick):
            pen.surface.fill(colour, (x, y, thick, thick))
