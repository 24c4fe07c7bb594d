"""Numbered callouts on the picture, one for each set-up point: where each is, and how it looks.

A point without an anchor of its own goes to its part's.
"""

from collections.abc import Callable
from functools import partial
from typing import Final

from pygame import Rect

from sim.plant.set_points import SetPoint
from sim.view.kit.controls import focus_ring
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Paint
from sim.view.picture.shelves import Anchor, Tag
from sim.view.play.points import Points
from sim.words.speech import tell

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
    "shuttle.stop_mm": (0, -0.46, 0.15, "top"),
    "shuttle_vise.pressure_bar": (0, -0.19, 0.13, "top"),
    "cutting_vise.support_arm": (0, -0.13, -0.27, "bottom"),
    "cutting_vise.pressure_bar": (0, -0.06, 0.04, "top"),
    "head.mitre_deg": (0, 0.01, 0.14, "top"),
    "head.index_plunger": (0, 0.0, 0.192, "top"),
    "head.clamp_lever": (0, 0.03, 0.19, "top"),
    "head.clamp_screw": (0, 0.045, 0.17, "top"),
    "outfeed.back_rail": (0, 0.08, 0.015, "top"),
    "band.guide_lock": (1, -0.12, 0.16, "top"),
    "band.guide_span_mm": (1, -0.10, 0.13, "top"),
    "band.guard": (1, -0.20, 0.13, "top"),
    "band.wheel_cover": (1, -0.30, 0.16, "top"),
    "band.tension_mpa": (1, -0.34, 0.20, "top"),
    "band.brush_mm": (1, 0.27, 0.04, "bottom"),
    "band.teeth_per_inch": (1, 0.12, 0.06, "bottom"),
    "band.teeth_face": (1, 0.16, 0.055, "bottom"),
    "head.stop_notch": (1, 0.60, 0.26, "top"),
    "head.stop_plunger": (1, 0.645, 0.08, "bottom"),
    "head.feed_valve_mm_min": (1, 0.48, -0.05, "bottom"),
    "head.feed_force_n": (1, 0.26, -0.04, "bottom"),
    "head.lift_throttle_turns": (1, 0.44, -0.05, "bottom"),
    "head.prop": (1, 0.36, 0.10, "top"),
    "head.oil_relief": (1, 0.52, -0.05, "bottom"),
    "head.hand_pump": (1, 0.56, -0.05, "bottom"),
    "cutting_vise.oil_relief": (0, -0.04, 0.04, "top"),
    "shuttle_vise.oil_relief": (0, -0.21, 0.13, "top"),
    "infeed.hood": (0, -0.33, 0.15, "top"),
    "infeed.bar_chock": (0, -0.62, -0.20, "bottom"),
    "mode.key": (0, 0.28, -0.40, "bottom"),
}

BY_PART: Final[dict[str, Anchor]] = {
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


def anchor_of(row: SetPoint) -> Anchor:
    """Return where a set-up point is on the picture."""
    return ANCHORS.get(row.name) or BY_PART.get(row.place) or _ELSEWHERE


def callouts(kit: Kit, points: Points, pick: Callable[[str], None], height: int) -> list[Tag]:
    """Return the callouts; `pick` is called with the name of the point that was clicked."""
    return [
        Tag(
            f"point.{row.name}", anchor_of(row), _width(kit, points, row, height), height,
            partial(_painter, points, row), partial(points.face, row), partial(pick, row.name),
            tell(row.title),
        )
        for row in points.rows
    ]  # fmt: skip


def _shows_value(points: Points, row: SetPoint) -> bool:
    """Return whether there is a number to show: words stand in the list."""
    return not row.words and points.open(row)


def _width(kit: Kit, points: Points, row: SetPoint, height: int) -> int:
    if not _shows_value(points, row):
        return height
    number = kit.letters.width("88", "fine", True)
    longest = max(kit.letters.width(points.words(row), "small", True), kit.px(2.6))
    return number + longest + kit.px(1.5)


def _painter(points: Points, row: SetPoint, full: bool) -> Paint:
    number = str(points.number(row.name))
    valued = full and _shows_value(points, row)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        fill = palette.lit if mood.hovered else palette.panel
        pen.box(place, fill, palette.edge, radius=0.8)
        badge = Rect(place.left, place.top, place.height, place.height)
        pen.disc(badge.center, place.height / 2 - pen.hairline - 1, palette.edge)
        pen.text(number, badge, palette.dark, role="fine", bold=True, align="centre")
        if valued:
            right = place.right - badge.right - pen.px(0.4)
            rest = Rect(badge.right, place.top, right, place.height)
            pen.text(points.words(row), rest, role="small", bold=True, align="centre")
        focus_ring(pen, place, mood)

    return paint
