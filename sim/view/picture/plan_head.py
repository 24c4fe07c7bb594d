"""The head from above: band with its wander, guides, covers, kerf, swivel and back rail, swung to the mitre.

The band's wander is far too small to see; it is drawn larger by a factor that is written beside it.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin
from typing import Final

from pygame import Rect

from sim.plant.guide import CLOSED
from sim.plant.swivel import CLOSED as LEVER_CLOSED
from sim.plant.swivel import HOME, IN_PLACE
from sim.session.session import Session
from sim.units import MM
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen, Point
from sim.view.kit.scale import View
from sim.view.picture.chips import paint_spray
from sim.view.picture.drawn import plant_of, shown_load, shown_wander_m
from sim.view.picture.wreck import BENT, fatal
from sim.view.play.readings import depth_m
from sim.words.fields import degrees, mm, number
from sim.words.message import row
from sim.words.speech import tell

WANDER_FACTOR: Final = 20
_SEEN_M: Final = 0.03 * MM
_MITRE: Final = row("picture.mitre", "mitre {angle}", angle=degrees(None))
WANDER: Final = row(
    "picture.wander", "wander {size}, drawn × {factor}", size=mm(2, sign=True), factor=number()
)
FAR_Z, NEAR_Z = 0.17, -0.37  # ends of the band that can be seen
_QUADRANT_M: Final = 0.192  # radius of the swivel's quadrant as drawn
_STEPS: Final = 12
_BENT_M: Final = 0.022  # of a band that a bar was driven against
_ROOMY_EMS_PER_M: Final = 20


@dataclass(frozen=True, slots=True)
class Swung:
    """The head's own axes from above: along the band and square to it, about the swivel."""

    view: View
    angle: float

    def at(self, x: float, z: float) -> Point:
        """Return the place on the screen of a place on the head at a square cut."""
        return self.view.at(
            x * cos(self.angle) - z * sin(self.angle), x * sin(self.angle) + z * cos(self.angle)
        )

    def quad(self, left: float, bottom: float, right: float, top: float) -> list[Point]:
        """Return the corners of a box."""
        return [
            self.at(left, bottom),
            self.at(right, bottom),
            self.at(right, top),
            self.at(left, top),
        ]


def load_colour(pen: Pen, share: float) -> Colour:
    """Return the band's colour: white unloaded, yellow at the motor's power, red beyond."""
    palette = pen.palette
    if share <= 1.0:
        return mix(palette.white, palette.yellow, max(share, 0.0))
    return mix(palette.yellow, palette.red, min(share - 1.0, 1.0))


def paint_plan_head(pen: Pen, view: View, session: Session) -> None:
    """Draw it."""
    palette, plant = pen.palette, session.saw.plant
    mitred = plant_of(session, "head.mitre_deg")
    swung = Swung(view, mitred.swivel.mitre_rad)
    _back_rail(pen, view, session)
    _quadrant(pen, view, session)
    _kerf(pen, swung, session)
    _band(pen, swung, session)
    near = session.machine.fixed_guide_m - plant_of(session, "band.guide_span_mm").band.guide.span_m
    for bottom, top in (
        (near - 0.016, near),
        (session.machine.fixed_guide_m, session.machine.fixed_guide_m + 0.016),
    ):
        pen.shape(swung.quad(-0.012, bottom, 0.014, top), palette.iron, palette.iron_edge)
    if plant.band.guide.guard == CLOSED:
        guard = swung.quad(-0.006, NEAR_Z + 0.03, 0.009, near - 0.018)
        pen.shape(guard, mix(palette.paper, palette.iron, 0.8), palette.iron_edge)
    cover = mix(palette.paper, palette.iron, 0.8)
    edge = palette.iron_edge if plant.band.guide.cover == CLOSED else palette.yellow
    for bottom, top in ((-0.395, -0.335), (0.1, 0.175)):
        pen.shape(swung.quad(-0.03, bottom, 0.032, top), cover, edge)
    middle = swung.at(session.machine.kerf_m, -session.saw.plant.bar.stock.section.width_m / 2)
    paint_spray(pen, middle, view.px_per_m, session, plan=True)
    _say_wander(pen, swung, session)
    if swung.angle:
        words = tell(_MITRE(angle=mitred.swivel.mitre_deg))
        _note(pen, view, words, view.at(0.12, 0.17))


def _band(pen: Pen, swung: Swung, session: Session) -> None:
    off_m = shown_wander_m(session)
    if (ended := fatal(session)) is not None and ended.kind in BENT:
        off_m = _BENT_M / WANDER_FACTOR
    colour = load_colour(pen, shown_load(session))
    width = max(swung.view.long(session.machine.kerf_m), 2)
    if abs(off_m) < _SEEN_M:
        pen.shape(swung.quad(0.0, NEAR_Z, width / swung.view.px_per_m, FAR_Z), colour)
        return
    guide = plant_of(session, "band.guide_span_mm").band.guide
    top = session.machine.fixed_guide_m
    bottom = top - guide.span_m
    points: list[Point] = [swung.at(0.0, NEAR_Z)]
    for step in range(_STEPS + 1):
        share = step / _STEPS
        bow = off_m * WANDER_FACTOR * (1 - (2 * share - 1) ** 2)
        points.append(swung.at(bow, bottom + (top - bottom) * share))
    points.append(swung.at(0.0, FAR_Z))
    for start, end in pairwise(points):
        pen.line(start, end, colour, width)


def _say_wander(pen: Pen, swung: Swung, session: Session) -> None:
    """Write the wander and the factor it is drawn by, where there is room for it."""
    off_m = shown_wander_m(session)
    if abs(off_m) < _SEEN_M or swung.view.px_per_m < pen.px(_ROOMY_EMS_PER_M):
        return
    words = tell(WANDER(size=off_m, factor=WANDER_FACTOR))
    _note(pen, swung.view, words, swung.at(0.05, 0.135))


def _note(pen: Pen, view: View, words: str, at: Point) -> None:
    place = Rect(round(at[0]), round(at[1]) - pen.letters.line("small") // 2,
                 pen.letters.width(words, "small") + pen.px(0.5), pen.letters.line("small"))  # fmt: skip
    place.clamp_ip(view.area)
    pen.box(place, pen.palette.paper, radius=0.0)
    pen.text(words, place, role="small", align="centre")


def _kerf(pen: Pen, swung: Swung, session: Session) -> None:
    """Draw the slot as far across the bar as the band has been."""
    deep_m = depth_m(session)
    if deep_m <= 0.0 or not session.saw.plant.bar.under_band:
        return
    section = session.saw.plant.bar.stock.section
    half = (
        max(section.contact_length_m(deep_m * share) for share in (0.02, 0.25, 0.5, 0.75, 1.0)) / 2
    )
    middle = -section.width_m / 2
    reach = max(swung.view.long(session.machine.kerf_m), 3) / swung.view.px_per_m
    stretch = 1.0 / max(cos(swung.angle), 0.2)
    slot = swung.quad(0.0, (middle - half) * stretch, reach, (middle + half) * stretch)
    pen.shape(slot, pen.palette.black)


def _back_rail(pen: Pen, view: View, session: Session) -> None:
    """Draw the outfeed's back rail on its two slides, at the band or slid back."""
    palette = pen.palette
    for z in (0.008, 0.017):
        pen.fill(view.rect(0.02, z - 0.001, 0.37, z + 0.001), palette.hair)
    left = 0.02 if plant_of(session, "outfeed.back_rail").swivel.rail == IN_PLACE else 0.24
    pen.box(view.rect(left, 0.004, left + 0.11, 0.022), palette.iron, palette.iron_edge, radius=0.0)


def _quadrant(pen: Pen, view: View, session: Session) -> None:
    """Draw the swivel's quadrant with a bush at each index angle, the plunger, and the clamp lever."""
    palette = pen.palette
    swivel = plant_of(session, "head.mitre_deg", "head.index_plunger", "head.clamp_lever").swivel
    arc = [_on_quadrant(view, radians(degree)) for degree in range(-4, 65, 2)]
    pen.polyline(arc, palette.iron_edge)
    reach = max(view.long(0.006), 3)
    for degree in session.machine.index_deg:
        pen.ring(_on_quadrant(view, radians(degree)), reach, palette.iron_edge, 1)
    here = _on_quadrant(view, swivel.mitre_rad, 0.0 if swivel.plunger == HOME else 0.014)
    pen.disc(here, reach * 0.7, palette.orange)
    foot = _on_quadrant(view, swivel.mitre_rad - 0.13)
    turn = swivel.mitre_rad + (0.3 if swivel.lever == LEVER_CLOSED else 1.4)
    end = foot[0] + view.long(0.05) * cos(turn), foot[1] - view.long(0.05) * sin(turn)
    pen.line(foot, end, palette.cut, max(round(view.long(0.005)), 2))
    pen.disc(foot, reach * 0.8, palette.iron_edge)
    pen.disc(end, reach * 0.7, palette.cut)


def _on_quadrant(view: View, angle: float, off_m: float = 0.0) -> Point:
    """Return a place on the quadrant, `off_m` outside it."""
    far = _QUADRANT_M + off_m
    return view.at(-far * sin(angle), far * cos(angle))
