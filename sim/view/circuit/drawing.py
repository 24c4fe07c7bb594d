"""Draws one section of the circuit: lines, signs, valves, cylinders, and the words beside them."""

from collections.abc import Hashable
from itertools import pairwise
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.known import hides
from sim.session.sights.machine_words import shuttle_by_eye_m
from sim.view.circuit.rows import Label, Pipe, Ram, Spool, Stretch
from sim.view.circuit.signs import BOX, SIGNS, WAYS, paint_strokes
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point
from sim.view.kit.widget import Mood, Widget
from sim.view.play.oil import Oil
from sim.words.speech import tell

_COIL_EMS: Final = 0.8
_STEPS: Final = 200  # of a piston's way, that are told apart


def stretch(rect: Rect, row: Stretch, session: Session, oil: Oil) -> Widget:
    """Return the widget of a section."""

    def face() -> Hashable:
        values, lines = oil.values(), oil.lines()
        return (
            tuple(values[label.value] for label in row.labels if label.value),
            tuple(lines[pipe.line] for pipe in row.pipes if pipe.line),
            tuple(oil.on(tag) for spool in row.spools for tag, _ in spool.coils),
            tuple(round(stroke_share(session, ram.part) * _STEPS) for ram in row.rams),
        )

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        _Sheet(pen, place, row, oil).paint(session)

    return Widget(f"circuit.{row.name}", rect, paint, face, label=tell(row.title))


def stroke_share(session: Session, part: str) -> float:
    """Return how far the piston of a part is out, 0 to 1."""
    plant, machine = session.saw.plant, session.machine
    shuttle_m = shuttle_by_eye_m(session) if hides(session) else plant.shuttle.place.position
    share = {
        "cutting_vise": plant.cutting_vise.jaw.position / machine.powered_stroke_m,
        "shuttle_vise": plant.shuttle_vise.jaw.position / machine.powered_stroke_m,
        "shuttle": shuttle_m / machine.stroke_m,
        "lift": (plant.head.place.position - machine.head_bottom_m)
        / (machine.head_top_m - machine.head_bottom_m),
    }[part]
    return min(max(share, 0.0), 1.0)


class _Sheet:
    """One section under the pen."""

    def __init__(self, pen: Pen, place: Rect, row: Stretch, oil: Oil) -> None:
        self.pen, self.place, self.row, self.oil = pen, place, row, oil
        self.lines = oil.lines()
        self.thick = max(pen.px(0.22), 3)

    def at(self, x: float, y: float) -> Point:
        return self.place.left + self.pen.px(x), self.place.top + self.pen.px(y)

    def rect(self, x: float, y: float, wide: float, high: float) -> Rect:
        left, top = self.at(x, y)
        right, low = self.at(x + wide, y + high)
        return Rect(left, top, right - left, low - top)

    def paint(self, session: Session) -> None:
        pen, row = self.pen, self.row
        title = Rect(*self.place.topleft, self.place.width, pen.letters.line("fine"))
        pen.text(tell(row.title), title, role="fine", bold=True)
        for pressed in (False, True):  # what is under pressure lies on top
            for pipe in row.pipes:
                if bool(pipe.line and self.lines[pipe.line]) == pressed:
                    self._pipe(pipe, pressed=pressed)
        for sign in row.signs:
            pressed = bool(sign.line and self.lines[sign.line])
            self._clear(sign.sign, sign.x, sign.y)
            colour = pen.palette.white if pressed else pen.palette.soft
            paint_strokes(pen, SIGNS[sign.sign].strokes, self.at(sign.x, sign.y), colour)
        for spool in row.spools:
            self._spool(spool)
        for ram in row.rams:
            self._ram(ram, stroke_share(session, ram.part))
        values = self.oil.values()
        for label in row.labels:
            self._label(label, values)

    def _pipe(self, pipe: Pipe, *, pressed: bool) -> None:
        palette = self.pen.palette
        colour, width = (palette.white, self.thick) if pressed else (palette.edge, 1)
        half = width // 2
        for start, end in pairwise(pipe.points):
            (x1, y1), (x2, y2) = self.at(*start), self.at(*end)
            left, top = min(x1, x2) - half, min(y1, y2) - half
            size = abs(x2 - x1) + width, abs(y2 - y1) + width
            self.pen.fill(Rect(round(left), round(top), *map(round, size)), colour)

    def _clear(self, sign: str, x: float, y: float) -> None:
        """Take the line away from under a sign that is set beside it."""
        if sign == "gauge":
            self.pen.disc(self.at(x, y + 0.7), self.pen.px(0.7), self.pen.palette.ground)

    def _spool(self, spool: Spool) -> None:
        """Draw the boxes, the one that counts bright, with a coil or a spring at each end."""
        pen, palette = self.pen, self.pen.palette
        on = [(tag, way) for tag, way in spool.coils if self.oil.on(tag)]
        counts = on[0][1] if len(on) == 1 else spool.rest
        for index, way in enumerate(spool.ways):
            x = spool.x + index * BOX
            box = self.rect(x, spool.y, BOX, BOX)
            here = index == counts
            pen.box(box, palette.raised if here else palette.ground,
                    palette.white if here else palette.edge, radius=0.0,
                    width=self.thick if here else 1)  # fmt: skip
            colour: Colour = palette.white if here else palette.edge
            paint_strokes(pen, WAYS[way], self.at(x, spool.y), colour)
        right = spool.x + len(spool.ways) * BOX
        ends = [spool.x - _COIL_EMS, right]
        for (tag, _), x in zip(spool.coils, ends, strict=False):
            self._coil(x, spool.y + 0.4, lit=self.oil.on(tag))
            if len(spool.coils) > 1:
                self._tag(tag, x + _COIL_EMS / 2, spool.y - 1.0)
        if len(spool.coils) == 1:
            y = spool.y + BOX / 2
            paint_strokes(pen, SIGNS["spring"].strokes, self.at(right, y), palette.edge)

    def _coil(self, x: float, y: float, *, lit: bool) -> None:
        palette = self.pen.palette
        box = self.rect(x, y, _COIL_EMS, 0.8)
        self.pen.box(box, palette.white if lit else palette.ground, palette.white if lit else palette.edge,
                     radius=0.0)  # fmt: skip
        ink = palette.dark if lit else palette.edge
        self.pen.line(box.bottomleft, box.topright, ink)

    def _tag(self, tag: str, x: float, y: float) -> None:
        place = self.rect(x - 1.3, y, 2.6, 0.9)
        self.pen.text(tag, place, role="fine", bold=True, align="centre")

    def _ram(self, ram: Ram, share: float) -> None:
        pen, palette = self.pen, self.pen.palette
        body = self.rect(ram.x, ram.y, ram.wide, ram.high)
        pen.box(body, palette.ground, palette.soft, radius=0.0, width=1)
        thick = pen.px(0.4)
        if ram.upright:
            y = round(body.bottom - thick - share * (body.height - 2 * thick) - 1)
            rod = Rect(
                body.centerx - thick // 2, body.top - pen.px(0.2), thick, y - body.top + pen.px(0.2)
            )
            piston = Rect(body.left + 1, y, body.width - 2, thick)
        else:
            x = round(body.left + 1 + share * (body.width - 2 * thick - 2))
            rod = Rect(x, body.centery - thick // 2, body.right + pen.px(0.9) - x, thick)
            piston = Rect(x, body.top + 1, thick, body.height - 2)
        pen.fill(rod, palette.iron_edge)
        pen.fill(piston, palette.iron_edge)

    def _label(self, label: Label, values: dict[str, str]) -> None:
        pen = self.pen
        x, y = self.at(label.x, label.y)
        wide, line = pen.px(label.wide), pen.letters.line("fine")
        top = round(y)
        words = " ".join(filter(None, (label.tag, tell(label.words))))
        if words:
            high = pen.block(words, Rect(round(x), top, wide, 0), pen.palette.soft, role="fine")
            top += high
        if label.value:
            high = pen.letters.height(values[label.value], "fine", wide, True)
            plate = min(pen.letters.width(values[label.value], "fine", True), wide)
            pen.fill(Rect(round(x), top, plate, high), pen.palette.ground)  # a line may pass there
            pen.block(
                values[label.value],
                Rect(round(x), top, wide, max(high, line)),
                role="fine",
                bold=True,
            )
