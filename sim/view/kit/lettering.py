"""Text: the bundled font, its sizes by role, wrapping, and surfaces kept so that none is made twice.

What is kept of a size serves every window of that size, also the next one that is opened.

Sizes follow one number, the em, which the window's size and the text scale give. Every text drawn
is reported to `watcher` when there is one, so that a test can hold all of it to contrast, fit and
coverage. Never here: system fonts, arrows and symbols (see `symbols`).
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from pygame import Rect, Surface
from pygame.font import Font

from sim.resources import shipped
from sim.view.kit.palette import Colour

SIZES: Final = {
    "fine": 0.80,
    "small": 0.88,
    "body": 1.0,
    "lead": 1.18,
    "title": 1.45,
    "figure": 1.3,
    "hero": 2.3,
    "huge": 4.0,
}
_FILES: Final = {False: "AtkinsonHyperlegible-Regular.ttf", True: "AtkinsonHyperlegible-Bold.ttf"}
_MOST_KEPT: Final = 1500
_DIGITS: Final = frozenset("0123456789")
ELLIPSIS: Final = "…"


@dataclass(frozen=True, slots=True)
class Drawn:
    """One text as it was drawn, for whoever watches."""

    text: str
    rect: Rect  # its ink
    bounds: Rect  # what it had to stay in
    colour: Colour
    role: str
    cut: bool  # shortened to fit


@dataclass(frozen=True, slots=True)
class _Face:
    font: Font
    rise: int  # from the top of a line to the top of a capital
    cap: int  # height of a capital
    cell: int  # width that every digit gets


@dataclass(frozen=True, slots=True)
class _Store:
    """What was made once at one size."""

    faces: dict[tuple[str, bool], _Face] = field(default_factory=dict)
    surfaces: dict[tuple[str, str, bool, Colour], Surface] = field(default_factory=dict)
    wrapped: dict[tuple[str, str, bool, int], tuple[str, ...]] = field(default_factory=dict)


@lru_cache(maxsize=3)
def _store(_em: float) -> _Store:
    return _Store()


class Letters:
    """All text of one window at one size."""

    def __init__(self, em: float) -> None:
        self.em = em
        self.watcher: Callable[[Drawn, Surface], None] | None = None
        store = _store(em)
        self._faces, self._kept, self._wrapped = store.faces, store.surfaces, store.wrapped

    def _face(self, role: str, bold: bool) -> _Face:
        face = self._faces.get((role, bold))
        if face is None:
            path = shipped("art") / "fonts" / _FILES[bold]
            font = Font(str(path), max(round(self.em * SIZES[role]), 8))
            ink = font.render("H", True, (255, 255, 255)).get_bounding_rect()
            cell = max(font.size(digit)[0] for digit in _DIGITS)
            face = _Face(font, ink.top, ink.height, cell)
            self._faces[role, bold] = face
        return face

    def line(self, role: str) -> int:
        """Return the height of one line, px."""
        return self._face(role, False).font.get_linesize()

    def width(self, text: str, role: str = "body", bold: bool = False) -> int:
        """Return how wide a text is, px."""
        return self._face(role, bold).font.size(text)[0] if text else 0

    def figures_width(self, text: str, role: str = "figure", bold: bool = True) -> int:
        """Return how wide a number is when every digit gets the same room, px."""
        face = self._face(role, bold)
        return sum(face.cell if c in _DIGITS else face.font.size(c)[0] for c in text)

    def wrap(self, text: str, role: str, width: int, bold: bool = False) -> tuple[str, ...]:
        """Return the lines of a text that is to be no wider than `width` px."""
        key = (text, role, bold, width)
        lines = self._wrapped.get(key)
        if lines is None:
            if len(self._wrapped) > _MOST_KEPT:
                self._wrapped.clear()
            lines = self._wrapped[key] = tuple(self._break(text, role, width, bold))
        return lines

    def _break(self, text: str, role: str, width: int, bold: bool) -> list[str]:
        font = self._face(role, bold).font
        lines: list[str] = []
        for part in text.splitlines():
            line = ""
            for word in part.split():
                longer = f"{line} {word}" if line else word
                if line and font.size(longer)[0] > width:
                    lines.append(line)
                    line = word
                else:
                    line = longer
            lines.append(line)
        return lines

    def shorten(self, text: str, role: str, width: int, bold: bool = False) -> str:
        """Return the text, or as much of its beginning as fits with an ellipsis after it."""
        font = self._face(role, bold).font
        if font.size(text)[0] <= width:
            return text
        end = len(text)
        while end > 0 and font.size(text[:end].rstrip() + ELLIPSIS)[0] > width:
            end -= 1
        return text[:end].rstrip() + ELLIPSIS if end else ""

    def shown_end(self, text: str, role: str, width: int) -> str:
        """Return the text, or as much of its end as fits, as in a field that is being typed into."""
        font = self._face(role, False).font
        start = 0
        while start < len(text) and font.size(text[start:])[0] > width:
            start += 1
        return text[start:]

    def _surface(self, text: str, role: str, bold: bool, colour: Colour) -> Surface:
        key = (text, role, bold, colour)
        surface = self._kept.get(key)
        if surface is None:
            if len(self._kept) > _MOST_KEPT:
                self._kept.clear()
            surface = self._kept[key] = self._face(role, bold).font.render(text, True, colour)
        return surface

    def put(
        self,
        surface: Surface,
        text: str,
        bounds: Rect,
        colour: Colour,
        *,
        role: str = "body",
        bold: bool = False,
        align: str = "left",
    ) -> Rect:
        """Draw one line, its capitals in the middle of the height of `bounds`; return its place."""
        if not text or bounds.width <= 0:
            return Rect(bounds.topleft, (0, 0))
        face = self._face(role, bold)
        fitted = text
        ready = self._surface(text, role, bold, colour)
        if ready.get_width() > bounds.width:
            fitted = self.shorten(text, role, bounds.width, bold)
            if not fitted:
                return Rect(bounds.topleft, (0, 0))
            ready = self._surface(fitted, role, bold, colour)
        top = bounds.centery - face.cap // 2 - face.rise
        room = bounds.width - ready.get_width()
        left = bounds.left + {"left": 0, "centre": room // 2, "right": room}[align]
        self._tell(fitted, Rect(left, top + face.rise, ready.get_width(), face.cap), bounds, colour,
                   role, fitted != text, surface)  # fmt: skip
        surface.blit(ready, (left, top))
        return Rect(left, top, ready.get_width(), ready.get_height())

    def figures(
        self,
        surface: Surface,
        text: str,
        bounds: Rect,
        colour: Colour,
        *,
        role: str = "figure",
        bold: bool = True,
        align: str = "right",
    ) -> Rect:
        """Draw a number that changes often: every digit in a cell of its own, kept as a surface."""
        face = self._face(role, bold)
        cells: list[tuple[Surface, int]] = []
        width = 0
        for character in text:
            ready = self._surface(character, role, bold, colour)
            wide = face.cell if character in _DIGITS else ready.get_width()
            cells.append((ready, wide))
            width += wide
        room = bounds.width - width
        left = bounds.left + {"left": 0, "centre": room // 2, "right": room}[align]
        top = bounds.centery - face.cap // 2 - face.rise
        place = Rect(left, top + face.rise, width, face.cap)
        self._tell(text, place, bounds, colour, role, room < 0, surface)
        x = left
        blits: list[tuple[Surface, tuple[int, int]]] = []
        for ready, wide in cells:
            blits.append((ready, (x + (wide - ready.get_width()) // 2, top)))
            x += wide
        surface.fblits(blits)
        return place

    def block(
        self,
        surface: Surface,
        text: str,
        bounds: Rect,
        colour: Colour,
        *,
        role: str = "body",
        bold: bool = False,
    ) -> int:
        """Draw a text over as many lines as it takes, from the top; return how high it came, px."""
        height = self.line(role)
        lines = self.wrap(text, role, bounds.width, bold)
        for number, line in enumerate(lines):
            row = Rect(bounds.left, bounds.top + number * height, bounds.width, height)
            self.put(surface, line, row, colour, role=role, bold=bold)
        return len(lines) * height

    def height(self, text: str, role: str, width: int, bold: bool = False) -> int:
        """Return how high a text comes when it is wrapped to a width, px."""
        return len(self.wrap(text, role, width, bold)) * self.line(role)

    def _tell(
        self,
        text: str,
        rect: Rect,
        bounds: Rect,
        colour: Colour,
        role: str,
        cut: bool,
        surface: Surface,
    ) -> None:
        if self.watcher is not None:
            self.watcher(Drawn(text, rect, Rect(bounds), colour, role, cut), surface)
