"""The head from the outfeed end, at its angle: frame, wheels, band with its teeth, guides, guard, brush.

The head hangs on its rear pivot and the band's edge passes through it, so the angle drawn is the one
that puts the edge at the model's height over the middle of the bar.
"""

from math import atan2, cos, sin
from typing import Final

from sim.plant.blade import INSIDE_OUT, STRIPPED
from sim.plant.guide import CLOSED, OPEN
from sim.session.session import Session
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen, Point
from sim.view.kit.scale import View
from sim.view.picture.drawn import plant_after, plant_of, shown_load
from sim.view.picture.plan_head import load_colour
from sim.view.picture.wreck import PARTED, fatal
from sim.view.play.motion import running_s

PIVOT_Z: Final = 0.50
FAR: Final = 0.88  # of the head, from the pivot to its far end, m
_BAND_M: Final = 0.034
_WHEELS: Final = ((0.05, 0.21), (FAR - 0.16, FAR))
_BRUSH_U: Final = 0.235
_DASH_M: Final = 0.12
_STRIPPED_M: Final = 0.11  # how far from the bar teeth are shown gone
_BEYOND_M: Final = 0.12  # more than the head's height, for it leans
_SPOKE_R_M: Final = 0.3  # so slow that the eye can follow


class Tilt:
    """The head's own axes: u along the band from the pivot, v square to it, upwards."""

    def __init__(self, view: View, angle: float) -> None:
        self.view = view
        self.angle = angle
        px = view.px_per_m
        self._x, self._y = view.at(PIVOT_Z, 0.0)
        self._cos, self._sin = cos(angle) * px, sin(angle) * px

    def at(self, u: float, v: float) -> Point:
        """Return the place on the screen."""
        along, across = self._cos, self._sin
        return self._x - u * along + v * across, self._y - u * across - v * along

    def part(self, start: float, end: float) -> tuple[float, float]:
        """Return what is in the view of a stretch along the band, and a little more on both sides."""
        area, cosine = self.view.area, max(self._cos, 1.0)
        low, high = (self._x - area.right) / cosine, (self._x - area.left) / cosine
        return max(start, low - _BEYOND_M), min(end, high + _BEYOND_M)

    def quad(self, u1: float, v1: float, u2: float, v2: float) -> list[Point]:
        """Return the corners of a box along the head's axes."""
        return [self.at(u1, v1), self.at(u2, v1), self.at(u2, v2), self.at(u1, v2)]


def tilt_of(view: View, session: Session) -> Tilt:
    """Return the head's axes as the head stands now."""
    across = PIVOT_Z + session.saw.plant.bar.stock.section.width_m / 2
    return Tilt(view, atan2(session.saw.plant.head.place.position, across))


def paint_head(pen: Pen, tilt: Tilt, session: Session) -> None:
    """Draw it."""
    palette, guide = pen.palette, plant_of(session, "band.guide_span_mm").band.guide
    frame = mix(palette.paper, palette.iron, 0.9)
    pen.shape(tilt.quad(0.10, 0.085, FAR - 0.04, 0.125), frame, palette.iron_edge)
    _teeth(pen, tilt, session)
    fixed = session.machine.fixed_guide_m
    near, far = PIVOT_Z - fixed, PIVOT_Z - fixed + guide.span_m
    for u1, u2 in ((near - 0.026, near), (far, far + 0.026)):
        pen.shape(tilt.quad(u1, -0.002, u2, 0.105), palette.iron, palette.iron_edge)
    _guard(pen, tilt, session, far + 0.026)
    low, high = tilt.part(0.0, FAR)
    for u1, u2 in _WHEELS:
        if u1 < high and u2 > low:
            _cover(pen, tilt, session, u1, u2)
    if low < _BRUSH_U < high:
        _brush(pen, tilt, session)
    pen.shape(tilt.quad(-0.02, -0.02, 0.12, 0.10), frame, palette.iron_edge)
    pivot = tilt.at(0.0, 0.0)
    pen.disc(pivot, tilt.view.long(0.018), palette.iron_edge)
    pen.disc(pivot, tilt.view.long(0.009), palette.paper)


def _cover(pen: Pen, tilt: Tilt, session: Session, u1: float, u2: float) -> None:
    palette = pen.palette
    shut = session.saw.plant.band.guide.cover == CLOSED
    corner = 0.03
    points = [
        tilt.at(u1 + corner, -0.02), tilt.at(u2 - corner, -0.02), tilt.at(u2, -0.02 + corner),
        tilt.at(u2, 0.15 - corner), tilt.at(u2 - corner, 0.15), tilt.at(u1 + corner, 0.15),
        tilt.at(u1, 0.15 - corner), tilt.at(u1, -0.02 + corner),
    ]  # fmt: skip
    fill = mix(palette.paper, palette.iron, 0.9) if shut else palette.black
    pen.shape(points, fill, palette.iron_edge if shut else palette.yellow)
    hub = tilt.at((u1 + u2) / 2, 0.065)
    radius = tilt.view.long(0.055)
    pen.ring(hub, radius, palette.iron_edge, 1)
    band = session.saw.plant.band
    turn = -running_s(session) * band.speed_m_s / _SPOKE_R_M if band.turning else 0.0
    for spoke in range(3):
        angle = turn + spoke * 2.0944
        end = (hub[0] + radius * cos(angle), hub[1] + radius * sin(angle))
        pen.line(hub, end, palette.iron_edge)
    pen.disc(hub, max(radius * 0.16, 2), palette.iron_edge)


def _guard(pen: Pen, tilt: Tilt, session: Session, from_u: float) -> None:
    """Draw the sliding guard between the arm and the far cover; lifted when it is open."""
    palette = pen.palette
    to_u = _WHEELS[1][0] + 0.01
    if to_u - from_u < 0.01:
        return
    if session.saw.plant.band.guide.guard == OPEN:
        pen.shape(tilt.quad(from_u, 0.13, to_u, 0.16), palette.paper, palette.yellow)
        return
    pen.shape(
        tilt.quad(from_u, -0.010, to_u, 0.046),
        mix(palette.paper, palette.iron, 0.75),
        palette.iron_edge,
    )


def _teeth(pen: Pen, tilt: Tilt, session: Session) -> None:
    """Draw the band between the wheels: teeth along its edge, dashes that run with it."""
    palette = pen.palette
    condition = plant_after(session, "band-teeth").blade.condition
    face = plant_of(session, "band.teeth_face").blade.face
    colour = load_colour(pen, shown_load(session))
    start, end = 0.13, FAR - 0.08
    if (ended := fatal(session)) is not None and ended.kind in PARTED:
        _parted(pen, tilt, start, end, colour)
        return
    pen.shape(tilt.quad(start, 0.006, end, _BAND_M), mix(palette.paper, colour, 0.82), colour)
    pen.polyline(_edge(tilt, start, end, face == INSIDE_OUT, condition.name == STRIPPED), colour)
    band = session.saw.plant.band
    moved = (running_s(session) * band.speed_m_s) % _DASH_M if band.turning else 0.0
    u = start + _DASH_M - moved
    long = 0.012 + 0.03 * band.speed_m_s
    ink: Colour = palette.iron
    low, high = tilt.part(start, end)
    while u + long < end:
        if low < u < high:
            pen.line(tilt.at(u, 0.022), tilt.at(u + long, 0.022), ink, 2)
        u += _DASH_M


def _parted(pen: Pen, tilt: Tilt, start: float, end: float, colour: Colour) -> None:
    """Draw a band that has parted: two ends that hang down."""
    middle = (start + end) / 2
    for side in (-1, 1):
        far = start if side < 0 else end
        for level in (0.006, _BAND_M):
            points = [tilt.at(far, level)]
            for step in range(1, 9):
                share = step / 8
                u = far + (middle + side * 0.05 - far) * share
                points.append(tilt.at(u, level - 0.05 * share * share))
            pen.polyline(points, colour)


def _edge(tilt: Tilt, start: float, end: float, inside_out: bool, stripped: bool) -> list[Point]:
    """Return the toothed edge.

    Stripped teeth are gone where the bar was; a band that is inside out leans the other way.
    """
    pitch = max(5.0 / tilt.view.px_per_m, 0.006)
    root, tip = tilt.at(start, 0.006), tilt.at(start + (pitch if inside_out else 0.0), 0.0)
    after = tilt.at(start + pitch, 0.006)
    step_x, step_y = after[0] - root[0], after[1] - root[1]
    points: list[Point] = []
    low, high = tilt.part(start, end)
    for index in range(int((low - start) / pitch), int((high - start) / pitch)):
        x, y = index * step_x, index * step_y
        points.append((root[0] + x, root[1] + y))
        gone = stripped and abs(start + index * pitch - PIVOT_Z) < _STRIPPED_M and index % 5
        if not gone:
            points.append((tip[0] + x, tip[1] + y))
    return points


def _brush(pen: Pen, tilt: Tilt, session: Session) -> None:
    """Draw the chip brush under the band at the near wheel, deeper in the teeth when set deeper."""
    depth = plant_of(session, "band.brush_mm").brush.depth_m
    centre = tilt.at(_BRUSH_U, -0.016 + depth)
    radius = max(tilt.view.long(0.016), 4)
    colour = pen.palette.orange
    for spoke in range(8):
        angle = spoke * 0.7854
        end = (centre[0] + radius * cos(angle), centre[1] + radius * sin(angle))
        pen.line(centre, end, colour)
    pen.disc(centre, radius * 0.4, pen.palette.iron_edge)
