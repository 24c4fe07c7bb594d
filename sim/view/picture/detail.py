"""A detail of the end view, drawn larger: the section with its cut, the band's edge, jaws and guides.

It has the same drawings at a larger scale, with the factor written beside it, and it disappears when
the head comes up into its place.
"""

from collections.abc import Callable, Hashable
from typing import Final

from pygame import Rect, Surface

from sim.session.session import Session
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.scale import View
from sim.view.kit.widget import Mood, Widget
from sim.view.picture.end_view import paint_at_the_bar, paint_bed
from sim.view.picture.head_picture import FAR, tilt_of
from sim.words.fields import number
from sim.words.message import row
from sim.words.speech import tell

_WIDE_EMS, _HIGH_EMS = 11.0, 6.6
_FACTORS: Final = (5, 4, 3, 2)  # the largest that shows the whole section is taken
_NOTES_EMS: Final = 13.5  # of the readings at the right
_SHARE: Final = 0.7  # of the box, that the section may take
_TITLE: Final = row("picture.detail", "DETAIL × {factor}", factor=number())
_HEAD_TOP_M: Final = 0.16  # of the head over its band


def detail(kit: Kit, view: View, session: Session, face: Callable[[], Hashable]) -> Widget | None:
    """Return the detail in the upper left of the end view, or None where it has no room."""
    line = kit.letters.line("fine")
    box = Rect(view.area.left + kit.px(0.5), view.area.top + line + kit.px(0.3),
               kit.px(_WIDE_EMS), kit.px(_HIGH_EMS))  # fmt: skip
    if box.right > view.area.right - kit.px(_NOTES_EMS):
        return None
    section = session.saw.plant.bar.stock.section
    high, wide = view.long(section.height_m), view.long(section.width_m)
    factor = next(
        (f for f in _FACTORS if f * high <= _SHARE * box.height and f * wide <= _SHARE * box.width),
        0,
    )
    if not factor:
        return None
    px = view.px_per_m * factor
    x0 = box.centerx + px * section.width_m / 2
    y0 = box.bottom - (box.height - line - px * section.height_m) * 0.35
    near = View(box, x0, y0, px)
    words = tell(_TITLE(factor=factor))

    def hidden() -> bool:
        """Whether the head stands where the detail would be."""
        return tilt_of(view, session).at(FAR, _HEAD_TOP_M)[1] < box.bottom + kit.px(0.3)

    kept: list[tuple[Hashable, Surface]] = []  # as it was drawn last, for when only its ground was

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        if hidden():
            return
        now = face()
        if kept and kept[0][0] == now:
            pen.surface.blit(kept[0][1], place)
            return
        draw(pen, place)
        kept[:] = [(now, pen.surface.subsurface(place).copy())]

    def draw(pen: Pen, place: Rect) -> None:
        palette = pen.palette
        pen.fill(place, palette.paper)
        paint_bed(pen, near)
        paint_at_the_bar(pen, near, session)
        pen.fill(Rect(place.left, place.top, place.width, line), palette.paper)
        pen.text(words, Rect(place.left + pen.px(0.4), place.top, place.width, line),
                 palette.soft, role="fine", bold=True)  # fmt: skip
        for edge in (
            Rect(place.left, place.top, place.width, 1), Rect(place.left, place.bottom - 1, place.width, 1),
            Rect(place.left, place.top, 1, place.height), Rect(place.right - 1, place.top, 1, place.height),
        ):  # fmt: skip
            pen.fill(edge, palette.edge)

    return Widget("detail", box, paint, lambda: (hidden(), face()), label=words, floats=True)
