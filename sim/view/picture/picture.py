"""The drawing of the machine: both views on one sheet at one scale, for length, mitre and guide work.

What stands still is painted once with the page; the rest is painted when something changed.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import replace
from typing import Final

from pygame import Rect

from sim.plant.set_points import SET_POINTS
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.units import MM
from sim.view.kit.layout import from_left
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.scale import View, paint_grid, paint_scale_bar, two_views
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.picture.detail import detail
from sim.view.picture.drawn import how_many_lie, top_switch_made
from sim.view.picture.end_view import paint_end, paint_end_ground
from sim.view.picture.mannequin import hand_face, paint_hand
from sim.view.picture.outfeed import still_rolling
from sim.view.picture.plan_ground import TRAY, paint_plan_ground
from sim.view.picture.plan_view import paint_plan
from sim.view.picture.shelves import Leader, Tag, paint_leaders, paint_spots, shelved
from sim.view.picture.wreck import paint_mark
from sim.view.play.motion import running_us
from sim.view.play.readings import (
    MM3_S_TO_CM3_MIN,
    descent_mm_min,
    load_share,
    removal_mm3_s,
    wander_m,
)
from sim.words.speech import reader, say

_SCALE_BAR_EMS: Final = 4
_ROOMY_EMS: Final = (
    17  # with less height there are no titles and readings, and tags only where they must be
)
_NOTES_EMS: Final = 12.5
# Levels of the coolant fall all the time it flows; the sight glass is read by itself.
_READ: Final = tuple(row for row in SET_POINTS if not row.name.startswith("coolant."))
_RUNS_US: Final = 33_333  # what runs all the time is drawn anew this often, the views by turns


def tag_height(kit: Kit, high: int) -> int:
    """Return how high a tag is on a picture of a height, px; lower where large letters leave little room."""
    return max(kit.px(1.6 if _roomy(kit, high) else 1.4), 24)


def _roomy(kit: Kit, high: int) -> bool:
    return high >= kit.px(_ROOMY_EMS)


def picture(
    kit: Kit,
    area: Rect,
    session: Session,
    tags: Sequence[Tag],
    *,
    wanted: bool,
    captions: Callable[[], tuple[str, ...]] | None = None,
    name: str = "picture",
) -> Widget:
    """Return the picture in the given area, with tags along its edges.

    Args:
        kit: Letters and colours.
        area: Where it goes.
        session: Whose saw it is.
        tags: Set-up points or devices.
        wanted: Whether the tags are to be there even when large letters leave little room; the views
            then are smaller.
        captions: Returns what is heard, in words; None for no captions.
        name: Of the widget.
    """
    roomy = _roomy(kit, area.height)
    row, edge = tag_height(kit, area.height), kit.px(0.3)
    shelf = row + 2 * edge if tags and (roomy or wanted) else 0
    plan, end = two_views(area, area.inflate(-2 * edge, -2 * (shelf + edge)))
    marks: list[Widget] = []
    leaders: tuple[list[Leader], list[Leader]] = ([], [])
    if roomy or wanted:
        marks, leaders = shelved(kit, (plan, end), tags, height=row, short=not roomy)
    plan, end = (replace(view, area=view.area.inflate(0, -2 * shelf)) for view in (plan, end))

    settings = _Settings(session)

    def ground(pen: Pen, _place: Rect, _mood: Mood) -> None:
        pen.fill(area, pen.palette.paper)
        for view in (plan, end):
            paint_grid(pen, view)
        paint_plan_ground(pen, plan, session)
        paint_end_ground(pen, end, session)
        for lines in leaders:
            paint_leaders(pen, lines)
        if roomy or (not shelf and area.height >= pen.px(_SCALE_BAR_EMS)):
            right = round(plan.at(TRAY[1], 0)[0])
            paint_scale_bar(pen, plan, right, plan.area.bottom - pen.px(0.3))
        if roomy:
            _titles(pen, plan, end)

    children = [
        Widget("plan", plan.area, _moving(paint_plan, plan, session, leaders[0], 0),
               _plan_face(plan, session, settings), label=say("plan")),
        Widget("end view", end.area, _moving(paint_end, end, session, leaders[1], 1),
               _end_face(end, session, settings), label=say("end view")),
        *marks,
    ]  # fmt: skip
    if roomy:
        if not hides(session):  # of none of it the eye can tell a figure
            children.append(_notes(kit, end, session))
        near = detail(kit, end, session, _end_face(end, session, settings, shift_us=0))
        children += [near] if near is not None else []
    if roomy and captions is not None:
        children.append(_captions(kit, end, captions))
    return Widget(name, area, ground, children=children, label=say("the machine"))


def _moving(
    paint: Callable[[Pen, View, Session], None],
    view: View,
    session: Session,
    leaders: list[Leader],
    number: int,
) -> Callable[[Pen, Rect, Mood], None]:
    def draw(pen: Pen, _place: Rect, _mood: Mood) -> None:
        paint(pen, view, session)
        paint_spots(pen, leaders)
        paint_mark(pen, view, session, number)
        paint_hand(pen, view, session, number)

    return draw


class _Settings:
    """Everything that is set by hand, read once however many drawings ask for it at a moment."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._at: Hashable = None
        self._read: Hashable = ()

    def __call__(self) -> Hashable:
        session = self._session
        at = session.saw.clock.now_us, len(session.done.all), len(session.done.acts)
        if at != self._at:
            self._at = at
            plant = session.saw.plant
            read = (row.read(plant) for row in _READ)
            self._read = (
                *read,
                len(session.seen.looks),
                plant.site.wrecked,
                len(session.saw.consequences),
            )
        return self._read, hand_face(session)


def _vises(session: Session, px: float) -> Hashable:
    plant = session.saw.plant
    return tuple(
        (round(vise.jaw.position * px), vise.clamped)
        for vise in (plant.cutting_vise, plant.shuttle_vise)
    )


def _plan_face(view: View, session: Session, settings: _Settings) -> Callable[[], Hashable]:
    plant = session.saw.plant
    px = view.px_per_m * 2

    def face() -> Hashable:
        tick = running_us(session) // _RUNS_US
        running = plant.head.cutting is not None or plant.coolant.flowing or still_rolling(session)
        return (
            tick if running else 0, round(plant.shuttle.place.position * px),
            round(plant.bar.front_m / MM, 2), plant.bar.end, plant.bar.kerfs.all, how_many_lie(session),
            _vises(session, px),
            round(plant.coolant.level, 2), plant.coolant.wash, plant.coolant.floor, settings(),
        )  # fmt: skip

    return face


def _end_face(
    view: View, session: Session, settings: _Settings, *, shift_us: int = _RUNS_US // 2
) -> Callable[[], Hashable]:
    plant = session.saw.plant
    px = view.px_per_m * 4

    def face() -> Hashable:
        tick = (running_us(session) + shift_us) // _RUNS_US
        running = plant.band.turning or plant.coolant.flowing
        return (
            tick if running else 0, round(plant.head.place.position * px),
            round(plant.head.place.position / MM, 1), plant.bar.kerf_depth_m, _vises(session, px),
            top_switch_made(session), plant.bar.front_m > -0.12, plant.bar.dent_m, plant.blade.condition.name,
            plant.head.propped, settings(),
        )  # fmt: skip

    return face


def _titles(pen: Pen, plan: View, end: View) -> None:
    line = pen.letters.line("fine")
    long, short = say("END VIEW FROM THE OUTFEED"), say("END VIEW")
    room = end.area.width - pen.px(_NOTES_EMS + 1.5)
    end_words = long if pen.letters.width(long, "fine", True) <= room else short
    for view, words in ((plan, say("PLAN")), (end, end_words)):
        left, top = view.area.left + pen.px(0.6), view.area.top + pen.px(0.2)
        place = Rect(left, top, room, line)
        wide = pen.letters.width(words, "fine", True)
        pen.fill(Rect(left, top, wide, line), pen.palette.paper)  # the rack may pass under it
        pen.text(words, place, pen.palette.soft, role="fine", bold=True)


def _notes(kit: Kit, view: View, session: Session) -> Widget:
    """Return the readings at the head: band speed, load, descent, metal removed, wander."""
    plant = session.saw.plant
    titles = (say("band"), say("load"), say("descent"), say("removal"), say("wander"))
    line, pad = kit.letters.line("small"), kit.px(0.3)
    wide = kit.px(_NOTES_EMS)
    rect = Rect(
        view.area.right - wide - pad, view.area.top + pad, wide, len(titles) * line + 2 * pad
    )

    def lines() -> tuple[str, ...]:
        return (
            reader().quantity(plant.band.speed_m_s * 60, "m/min"),
            reader().quantity(load_share(session) * 100, "%"),
            reader().quantity(descent_mm_min(session), "mm/min"),
            reader().quantity(removal_mm3_s(session) * MM3_S_TO_CM3_MIN, "cm³/min", 1),
            reader().quantity(wander_m(session) / MM, "mm", 2, sign=True),
        )

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.box(place, pen.palette.paper, pen.palette.hair, radius=0.3)
        inner = place.inflate(-4 * pad, -2 * pad)
        for index, (title, words) in enumerate(zip(titles, lines(), strict=True)):
            row = Rect(inner.left, inner.top + index * line, inner.width, line)
            pen.figures(words, row, role="small")
            pen.text(
                title, Rect(row.left, row.top, pen.px(5), line), pen.palette.soft, role="small"
            )

    return Widget("notes", rect, paint, lines, label=say("readings"), floats=True)


def _captions(kit: Kit, view: View, heard: Callable[[], tuple[str, ...]]) -> Widget:
    """Return the line that says what is heard, along the lower edge of the end view."""
    line = kit.letters.line("fine")
    edge = kit.px(0.4)
    rect = Rect(view.area.left + edge, view.area.bottom - line, view.area.width - 2 * edge, line)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        words = heard()
        if not words:
            return
        mark, rest = from_left(place, pen.px(0.9), pen.px(0.4))
        text = pen.letters.shorten(" · ".join(words), "fine", rest.width)
        wide = pen.letters.width(text, "fine")
        pen.fill(
            Rect(place.left, place.top, rest.left + wide - place.left + edge, line),
            pen.palette.paper,
        )
        symbol(pen, "speaker", square_in(mark, pen.px(0.75)), pen.palette.soft)
        pen.text(text, rest, pen.palette.soft, role="fine")

    return Widget("captions", rect, paint, heard, label=say("captions"), floats=True)
