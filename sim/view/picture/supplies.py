"""Air, oil, relay cabinet and coolant tank along the front of the infeed, with their sight glasses.

The glasses show the level that there is; in a drill one shows none before it was looked at.
"""

from typing import Final

from pygame import Rect

from sim.plant.coolant import OPEN as HOSE_OPEN
from sim.plant.coolant import WET
from sim.session.session import Session
from sim.session.sights.known import unread
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View
from sim.view.kit.symbols import square_in, symbol
from sim.view.picture.drawn import plant_of

BOTTOM_Z, TOP_Z = -0.455, -0.405
AIR_X, OIL_X, CABINET_X, TANK_X = -0.90, -0.78, -0.66, -0.52
_HALF: Final = 0.045


def paint_supplies(pen: Pen, view: View, session: Session) -> None:
    """Draw the four boxes."""
    palette, plant = pen.palette, session.saw.plant
    if plant.coolant.floor == WET:
        pool = view.rect(TANK_X - 0.05, BOTTOM_Z - 0.02, TANK_X + 0.30, BOTTOM_Z + 0.03)
        pen.box(pool, mix(palette.paper, palette.blue, 0.35), palette.blue, radius=0.9)
    _box(pen, view, AIR_X, "hexagon", palette.soft)
    oil = _box(pen, view, OIL_X, "drop", palette.soft)
    if not unread(session, "supply.oil_percent"):
        _glass(pen, oil, plant.supply.oil_level, palette.orange)
    tripped = plant.band.relay.tripped and not unread(session, "band.relay")
    _box(pen, view, CABINET_X, "square", palette.yellow if tripped else palette.soft)
    tank = _box(pen, view, TANK_X, "waves", palette.soft)
    if not unread(session, "coolant.level_percent"):
        _glass(pen, tank, plant.coolant.level, palette.blue)
    if plant_of(session, "coolant.wash_down").coolant.wash == HOSE_OPEN:
        start = view.at(TANK_X + _HALF, BOTTOM_Z + 0.02)
        pen.line(start, view.at(TANK_X + 0.16, BOTTOM_Z + 0.045), palette.blue, 3)


def _box(pen: Pen, view: View, x: float, mark: str, colour: Colour) -> Rect:
    palette = pen.palette
    box = view.rect(x - _HALF, BOTTOM_Z, x + _HALF, TOP_Z)
    pen.box(box, mix(palette.paper, palette.iron, 0.6), palette.iron_edge, radius=0.0)
    half = Rect(box.left, box.top, box.width * 2 // 3, box.height)
    symbol(pen, mark, square_in(half, max(box.height // 2, 8)), colour)
    return box


def _glass(pen: Pen, box: Rect, level: float, colour: Colour) -> None:
    """Draw a sight glass at the right of a box."""
    wide = max(box.width // 6, 4)
    glass = Rect(box.right - 2 * wide, box.top + 3, wide, box.height - 6)
    pen.fill(glass, pen.palette.black)
    high = round(glass.height * min(max(level, 0.0), 1.0))
    pen.fill(Rect(glass.left, glass.bottom - high, wide, high), colour)
