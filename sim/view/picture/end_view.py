"""The machine from the outfeed end: bed, cutting vise, section with its cut, and the head on its pivot.

Hatched metal is sawn, plain metal is whole.
"""

from math import atan2, degrees
from typing import Final

import pygame
from pygame import Rect, Surface

from sim.plant.head import PROP_IN
from sim.plant.supports import DOWN
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.session.sights.machine_words import tens_m
from sim.trade.sections import Bundle
from sim.units import MM
from sim.view.kit.dimension import dimension
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View
from sim.view.picture.chips import paint_spray
from sim.view.picture.drawn import jaw_off_m, plant_of
from sim.view.picture.head_picture import PIVOT_Z, Tilt, paint_head, tilt_of
from sim.view.picture.height_stop import paint_ring, paint_rod
from sim.view.picture.plan_ground import bed_colour
from sim.view.picture.section_picture import section_pictures
from sim.view.play.readings import depth_m
from sim.words.speech import reader, say

_JAW_HIGH_M: Final = 0.13
_DIMENSION_Z: Final = -0.30
_TITLE_EMS: Final = 1.4  # height of the view's title
_PROP_U: Final = 0.74  # of the prop, from the pivot along the head
_POST_M: Final = 0.1  # height of the post that the angle stands on


def paint_end_ground(pen: Pen, view: View, session: Session) -> None:
    """Draw what never moves: bed, rear jaw, pivot post, the rod of the height stop."""
    palette = pen.palette
    bed = bed_colour(pen)
    paint_bed(pen, view)
    post = [view.at(PIVOT_Z - 0.09, -0.06), view.at(PIVOT_Z - 0.03, 0.02),
            view.at(PIVOT_Z + 0.03, 0.02), view.at(PIVOT_Z + 0.07, -0.06)]  # fmt: skip
    pen.shape(post, bed, palette.iron_edge)
    pen.fill(view.rect(-0.40, -0.066, 0.65, -0.058), palette.hair)
    paint_rod(pen, view, session.machine)


def paint_bed(pen: Pen, view: View) -> None:
    """Draw the bed of the vise and the jaw that stands fast."""
    palette = pen.palette
    pen.box(view.rect(-0.36, -0.05, 0.13, 0.0), bed_colour(pen), palette.iron_edge, radius=0.0)
    jaw = mix(palette.iron, palette.iron_edge, 0.15)
    pen.box(view.rect(0.0, 0.0, 0.05, _JAW_HIGH_M), jaw, palette.iron_edge, radius=0.0)


def paint_end(pen: Pen, view: View, session: Session) -> None:
    """Draw everything that moves."""
    tilt = tilt_of(view, session)
    _lift(pen, view, tilt)
    if session.saw.plant.head.prop == PROP_IN:
        _prop(pen, view, session)
    paint_ring(pen, view, session)
    paint_at_the_bar(pen, view, session)
    _height(pen, view, session)
    if not hides(session):  # the eye tells no tenth of a degree
        _angle(pen, view, tilt)


def paint_at_the_bar(pen: Pen, view: View, session: Session) -> None:
    """Draw what there is to see at the bar: vise, section, clamp, head, chips."""
    _moving_jaw(pen, view, session)
    _section(pen, view, session)
    if plant_of(session, "cutting_vise.bundle_clamp").supports.clamp == DOWN:
        _clamp(pen, view, session)
    paint_head(pen, tilt_of(view, session), session)
    if session.saw.plant.bar.under_band:
        y = max(session.saw.plant.head.place.position, 0.0)
        paint_spray(pen, view.at(0.01, y), view.px_per_m, session, plan=False)


def _lift(pen: Pen, view: View, tilt: Tilt) -> None:
    palette = pen.palette
    foot, top = view.at(0.26, -0.05), tilt.at(0.26, 0.06)
    width = max(round(view.long(0.022)), 4)
    middle = (foot[0] * 0.45 + top[0] * 0.55), (foot[1] * 0.45 + top[1] * 0.55)
    pen.line(foot, top, palette.iron_edge, max(width // 3, 2))
    pen.line(foot, middle, palette.iron, width)
    pen.disc(foot, width * 0.6, palette.iron_edge)


def _prop(pen: Pen, view: View, session: Session) -> None:
    """Draw the prop under the frame, as high as it carries the head; green when it carries it."""
    palette, head = pen.palette, session.saw.plant.head
    across = PIVOT_Z + session.saw.plant.bar.stock.section.width_m / 2
    top = Tilt(view, atan2(session.machine.prop_m, across)).at(_PROP_U, 0.085)
    foot = top[0], view.at(0.0, -0.05)[1]
    width = max(round(view.long(0.02)), 4)
    pen.line(foot, top, palette.iron_edge, width + 2)
    pen.line(foot, top, palette.green if head.propped else palette.iron, width)


def _moving_jaw(pen: Pen, view: View, session: Session) -> None:
    palette, vise = pen.palette, session.saw.plant.cutting_vise
    face = -session.saw.plant.bar.stock.section.width_m - jaw_off_m(session, "cutting_vise", vise)
    if vise.clamped:
        face += session.saw.plant.bar.dent_m
    colour = mix(palette.iron, palette.iron_edge, 0.15)
    pen.fill(view.rect(-0.385, 0.04, face - 0.05, 0.062), palette.iron_edge)
    pen.box(view.rect(-0.40, 0.02, -0.385, 0.082), palette.iron, palette.iron_edge, radius=0.0)
    jaw = view.rect(face - 0.05, 0.0, face, _JAW_HIGH_M)
    pen.box(jaw, colour, palette.iron_edge, radius=0.0)
    lip = max(round(view.long(0.006)), 2)
    hold = palette.green if vise.clamped else palette.iron_edge
    pen.fill(Rect(jaw.right - lip, jaw.top, lip, jaw.height), hold)
    fast = view.rect(0.0, 0.0, 0.05, _JAW_HIGH_M)
    pen.fill(Rect(fast.left, fast.top, lip, fast.height), hold)


def _section(pen: Pen, view: View, session: Session) -> None:
    """Draw the section, hatched above the deepest place of the band's edge."""
    bar, palette = session.saw.plant.bar, pen.palette
    if bar.rear_m > 0.0 or bar.length_m <= 0.0 or bar.front_m < -session.machine.cutting_jaw_m:
        return
    section = session.saw.plant.bar.stock.section
    whole, sawn = section_pictures(
        section, view.px_per_m, palette.steel, palette.cut, palette.paper, bar.dent_m
    )
    # Against the jaw that stands fast, on the bed.
    right, bed = view.at(0.0, 0.0)
    corner = (round(right) - whole.get_width(), round(bed) - whole.get_height())
    top = corner[1]
    pen.surface.blit(whole, corner)
    deep_m = depth_m(session)
    if deep_m <= 0.0:
        return
    across = PIVOT_Z + section.width_m / 2
    edge = Tilt(view, atan2(section.height_m - deep_m, across))
    left_end, right_end = (
        edge.at(across + section.width_m, 0.0),
        edge.at(across - section.width_m, 0.0),
    )
    above = [(right_end[0], top - 9), (left_end[0], top - 9), left_end, right_end]
    cover = Surface(sawn.get_size(), pygame.SRCALPHA)
    local = [(x - corner[0], y - corner[1]) for x, y in above]
    pygame.draw.polygon(cover, (255, 255, 255, 255), local)
    cover.blit(sawn, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    pen.surface.blit(cover, corner)


def _clamp(pen: Pen, view: View, session: Session) -> None:
    """Draw the bundle clamp on the bars."""
    palette, section = pen.palette, session.saw.plant.bar.stock.section
    top = section.height_m
    reach = section.width_m if isinstance(section, Bundle) else section.width_m * 0.8
    foot = view.rect(
        -section.width_m / 2 - reach / 2, top, -section.width_m / 2 + reach / 2, top + 0.014
    )
    pen.fill(
        view.rect(
            -section.width_m / 2 - 0.008, top + 0.01, -section.width_m / 2 + 0.008, top + 0.07
        ),
        palette.iron_edge,
    )
    pen.box(foot, palette.iron, palette.iron_edge, radius=0.0)


def _height(pen: Pen, view: View, session: Session) -> None:
    """Dimension the band's edge over the bed."""
    palette = pen.palette
    y = session.saw.plant.head.place.position
    if y <= 0.012:
        return
    x = _DIMENSION_Z
    pen.line(
        view.at(x - 0.03, y),
        view.at(-session.saw.plant.bar.stock.section.width_m / 2, y),
        palette.hair,
    )
    ends = view.at(x, 0.0), view.at(x, y)
    words = reader().quantity(y / MM, "mm", 1)
    if hides(session):
        words = reader().quantity(tens_m(y) / MM, "mm")
    within = view.area.clip(view.area.move(0, pen.px(_TITLE_EMS)))
    dimension(pen, *ends, words, palette.ink, within=within, beside="left", title=say("band at"))


def _angle(pen: Pen, view: View, tilt: Tilt) -> None:
    x, y = view.at(PIVOT_Z - 0.01, -0.04)
    line = pen.letters.line("small")
    if line > view.long(_POST_M):  # it would hide the head
        return
    place = Rect(round(x) - pen.px(2.5), round(y) - line // 2, pen.px(5), line)
    place.clamp_ip(view.area)
    words = reader().quantity(degrees(tilt.angle), "°", 1)
    plate = Rect(0, 0, pen.letters.width(words, "small") + pen.px(0.4), line)
    plate.center = place.center
    pen.fill(plate, pen.palette.paper)
    pen.text(words, place, role="small", align="centre")
