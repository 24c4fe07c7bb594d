"""Numbered callouts on the picture, one for each set-up point, with a line to the thing itself.

Their anchors are a table by name; a point without an anchor of its own goes to its station's.
Imports `points`, `scale`, `pen`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.plant.set_points import SetPoint
from sim.view.controls import focus_ring
from sim.view.pen import Kit, Pen
from sim.view.points import Points
from sim.view.scale import View
from sim.view.widget import Act, Mood, Widget

# Where things are: view (0 plan, 1 end), metres along, metres up, and on which edge the callout is.
Anchor = tuple[int, float, float, str]

ANCHORS: Final[dict[str, Anchor]] = {
    "supply.air_bar": (0, -0.91, -0.43, "bottom"),
    "supply.air_cock": (0, -0.88, -0.43, "bottom"),
    "supply.oil_percent": (0, -0.755, -0.43, "bottom"),
    "band.relay_a": (0, -0.67, -0.43, "bottom"),
    "band.relay": (0, -0.64, -0.43, "bottom"),
    "coolant.level_percent": (0, -0.495, -0.43, "bottom"),
    "coolant.concentration_percent": (0, -0.53, -0.43, "bottom"),
    "coolant.wash_down": (0, -0.40, -0.43, "bottom"),
    "coolant.floor": (0, -0.32, -0.45, "bottom"),
    "shuttle_vise.jaw_gap_mm": (0, -0.19, -0.38, "bottom"),
    "cutting_vise.jaw_gap_mm": (0, -0.06, -0.38, "bottom"),
    "cutting_vise.bundle_clamp": (1, -0.05, 0.14, "top"),
    "shuttle.counter_mm": (0, -0.46, 0.15, "top"),
    "shuttle_vise.pressure_bar": (0, -0.19, 0.13, "top"),
    "shuttle.support_roller": (0, -0.30, 0.05, "top"),
    "cutting_vise.pressure_bar": (0, -0.06, 0.04, "top"),
    "head.mitre_deg": (0, 0.01, 0.14, "top"),
    "head.pivot_locks": (0, 0.02, 0.11, "top"),
    "head.mitre_lever": (0, 0.03, 0.15, "top"),
    "head.outfeed_fence": (0, 0.08, 0.015, "top"),
    "band.guide_lock": (1, -0.12, 0.16, "top"),
    "band.guide_span_mm": (1, -0.10, 0.13, "top"),
    "band.guard": (1, -0.20, 0.13, "top"),
    "band.wheel_cover": (1, -0.30, 0.16, "top"),
    "band.tension_mpa": (1, -0.34, 0.20, "top"),
    "band.brush_mm": (1, 0.27, 0.04, "bottom"),
    "band.teeth_per_inch": (1, 0.12, 0.06, "bottom"),
    "band.teeth_face": (1, 0.16, 0.055, "bottom"),
    "head.stop_hole": (1, 0.60, 0.26, "top"),
    "head.stop_pin": (1, 0.645, 0.08, "bottom"),
    "head.feed_valve_mm_min": (1, 0.48, -0.05, "bottom"),
    "head.feed_force_n": (1, 0.26, -0.04, "bottom"),
    "head.bleed_turns": (1, 0.44, -0.05, "bottom"),
}

BY_STATION: Final[dict[str, Anchor]] = {
    "supply": (0, -0.85, -0.43, "bottom"),
    "band": (1, -0.10, 0.14, "top"),
    "cutting_vise": (0, -0.06, -0.36, "bottom"),
    "shuttle_vise": (0, -0.19, -0.36, "bottom"),
    "shuttle": (0, -0.70, 0.15, "top"),
    "head": (1, 0.40, -0.05, "bottom"),
    "coolant": (0, -0.50, -0.43, "bottom"),
    "job": (0, 0.30, -0.40, "bottom"),
}

_ELSEWHERE: Final[Anchor] = (0, 0.20, -0.40, "bottom")


@dataclass(frozen=True, slots=True)
class Leader:
    """The line from a callout to its thing."""

    start: tuple[float, float]
    end: tuple[float, float]


def anchor_of(row: SetPoint) -> Anchor:
    """Return where a set-up point is on the picture."""
    return ANCHORS.get(row.name) or BY_STATION.get(row.place) or _ELSEWHERE


def paint_leaders(pen: Pen, leaders: list[Leader]) -> None:
    """Draw the lines from callouts to their things; they go behind the machine."""
    for line in leaders:
        pen.line(line.start, line.end, pen.palette.hair)


def paint_spots(pen: Pen, leaders: list[Leader]) -> None:
    """Mark the things themselves; the marks go in front."""
    for line in leaders:
        pen.disc(line.end, max(pen.px(0.16), 2), pen.palette.edge)


@dataclass(frozen=True, slots=True)
class _Shelf:
    """One edge of one view: where its callouts stand in a row."""

    left: int
    right: int
    top: int
    height: int
    hangs: bool  # from the upper edge, so that its lines go down


def callouts(
    kit: Kit,
    views: tuple[View, View],
    points: Points,
    pick: Callable[[str], None],
    *,
    height: int,
    short: bool,
) -> tuple[list[Widget], tuple[list[Leader], list[Leader]]]:
    """Return the callouts along the edges of both views, and each view's leaders.

    Args:
        kit: Letters and colours.
        views: Plan and end view.
        points: The set-up points.
        pick: Called with the name of the one that was clicked.
        height: Of a callout, px.
        short: Show numbers only.
    """
    placed: list[Widget] = []
    leaders: tuple[list[Leader], list[Leader]] = ([], [])
    for index, view in enumerate(views):
        for edge in ("top", "bottom"):
            rows = [r for r in points.rows if anchor_of(r)[0] == index and anchor_of(r)[3] == edge]
            rows.sort(key=lambda r: anchor_of(r)[1])
            shelf = _shelf(kit, view, edge, height)
            rects, full = _places(kit, view, rows, shelf, points, short=short)
            for row, rect in zip(rows, rects, strict=False):
                placed.append(
                    _callout(row, rect, points, pick, full=full and _shows_value(points, row))
                )
                _, along, up, _ = anchor_of(row)
                start = (rect.centerx, rect.bottom if shelf.hangs else rect.top)
                leaders[index].append(Leader(start, view.at(along, up)))
    return placed, leaders


def _shelf(kit: Kit, view: View, edge: str, height: int) -> _Shelf:
    margin, area = kit.px(0.3), view.area
    hangs = edge == "top"
    top = area.top + margin if hangs else area.bottom - margin - height
    return _Shelf(area.left + margin, area.right - margin, top, height, hangs)


def _places(
    kit: Kit, view: View, rows: list[SetPoint], shelf: _Shelf, points: Points, *, short: bool
) -> tuple[list[Rect], bool]:
    """Return a place for each, as far as they fit, and whether there is room for their values."""
    gap = kit.px(0.3)
    room = shelf.right - shelf.left
    wide = [_width(kit, points, row, shelf.height) for row in rows]
    full = not short and sum(wide) + gap * (len(rows) - 1) <= room
    if not full:
        wide = [shelf.height] * min(len(rows), max(room // (shelf.height + gap), 0))
    wanted = [view.at(anchor_of(r)[1], 0)[0] - w / 2 for r, w in zip(rows, wide, strict=False)]
    lefts = _spread(wanted, wide, gap, shelf.left, shelf.right)
    return [
        Rect(round(left), shelf.top, w, shelf.height) for left, w in zip(lefts, wide, strict=True)
    ], full


def _spread(wanted: list[float], wide: list[int], gap: int, low: float, high: float) -> list[float]:
    """Return left edges as near the wanted ones as they go without overlap, inside the limits."""
    lefts = list(wanted)
    at = low
    for index, width in enumerate(wide):
        lefts[index] = max(lefts[index], at)
        at = lefts[index] + width + gap
    at = high
    for index in range(len(wide) - 1, -1, -1):
        lefts[index] = min(lefts[index], at - wide[index])
        at = lefts[index] - gap
    return lefts


def _shows_value(points: Points, row: SetPoint) -> bool:
    """Return whether there is a number to show: words stand in the list."""
    return not row.words and points.open(row)


def _width(kit: Kit, points: Points, row: SetPoint, height: int) -> int:
    if not _shows_value(points, row):
        return height
    number = kit.letters.width("88", "fine", True)
    longest = max(kit.letters.width(points.words(row), "small", True), kit.px(2.6))
    return number + longest + kit.px(1.5)


def _callout(
    row: SetPoint, rect: Rect, points: Points, pick: Callable[[str], None], *, full: bool
) -> Widget:
    number = str(points.number(row.name))

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        fill = palette.lit if mood.hovered else palette.panel
        pen.box(place, fill, palette.edge, radius=0.8)
        badge = Rect(place.left, place.top, place.height, place.height)
        pen.disc(badge.center, place.height / 2 - pen.hairline - 1, palette.edge)
        pen.text(number, badge, palette.dark, role="fine", bold=True, align="centre")
        if full:
            rest = Rect(
                badge.right, place.top, place.right - badge.right - pen.px(0.4), place.height
            )
            pen.text(points.words(row), rest, role="small", bold=True, align="centre")
        focus_ring(pen, place, mood)

    return Widget(
        f"point.{row.name}", rect, paint, lambda: points.read(row),
        Act(click=lambda: pick(row.name)), label=row.title, floats=True,
    )  # fmt: skip
