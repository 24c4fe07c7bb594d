"""The machine from above: bar, vises, shuttle and length stop, where the model has them.

The rear jaws stand fast at z = 0 and the bar lies against them. Nothing here moves by itself.
"""

from functools import lru_cache
from math import tan
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.plant.supports import ARM_UP
from sim.session.session import Session
from sim.trade.mitre import kerf_along_m
from sim.trade.sections import Round, RoundTube
from sim.view.kit.dimension import dimension
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen, Point
from sim.view.kit.scale import PLAN_X, View
from sim.view.picture.drawn import jaw_off_m, plant_of
from sim.view.picture.hood import paint_hood
from sim.view.picture.outfeed import paint_pieces
from sim.view.picture.plan_ground import FRONT_Z, RACK_Z, RAIL_Z
from sim.view.picture.plan_head import paint_plan_head
from sim.view.picture.supplies import paint_supplies
from sim.view.play.readings import shuttle_edges_m
from sim.words.fields import metres, mm
from sim.words.message import row
from sim.words.speech import tell

_BAR_LEFT: Final = row("picture.bar-left", "bar left: {length}", length=metres(2))
_PAST: Final = row("picture.past", "{length}", length=mm(0))
_PAST_BAND: Final = row("picture.past-band", "{length} past the band", length=mm(0))
_SLANT_M: Final = 1e-6
JAW_M: Final = 0.05  # how deep a jaw is drawn


def paint_plan(pen: Pen, view: View, session: Session) -> None:
    """Draw everything that moves."""
    paint_supplies(pen, view, session)
    _stop(pen, view, session)
    _shuttle(pen, view, session)
    _support_arm(pen, view, session)
    _bar(pen, view, session)
    _jaws(pen, view, "cutting_vise", session, (-session.machine.cutting_jaw_m, -0.006))
    _jaws(pen, view, "shuttle_vise", session, shuttle_edges_m(session))
    paint_pieces(pen, view, session)
    paint_plan_head(pen, view, session)
    paint_hood(pen, view, session)
    _measures(pen, view, session)


def _stop(pen: Pen, view: View, session: Session) -> None:
    shuttle, machine, palette = session.saw.plant.shuttle, session.machine, pen.palette
    stop_m = plant_of(session, "shuttle.stop_mm").shuttle.stop_m
    face = -(machine.jaw_front_m + machine.jaw_length_m + stop_m)
    block = view.rect(face - 0.03, RACK_Z - 0.03, face, RACK_Z + 0.014)
    pen.box(block, palette.iron, palette.iron_edge, radius=0.0)
    edge = view.rect(face - 0.005, RACK_Z - 0.03, face, RACK_Z + 0.014)
    pen.fill(edge, palette.white if shuttle.place.beyond("stop") else palette.iron_edge)
    wheel = view.at(face - 0.016, RACK_Z - 0.012)
    pen.ring(wheel, max(view.long(0.012), 4), palette.cut, 1)
    pen.line(wheel, (wheel[0] + view.long(0.012), wheel[1]), palette.cut)
    for line in range(5):  # the vernier, beside the rule
        x = face - 0.006 - line * 0.0054
        pen.line(view.at(x, RACK_Z + 0.008), view.at(x, RACK_Z + 0.014), palette.cut)


def _shuttle(pen: Pen, view: View, session: Session) -> None:
    palette = pen.palette
    left, right = shuttle_edges_m(session)
    frame = mix(palette.paper, palette.iron, 0.75)
    pen.box(view.rect(left, -0.36, right, 0.145), frame, palette.iron_edge, radius=0.0)
    for z in RAIL_Z:
        shoe = view.rect(left - 0.012, z - 0.016, right + 0.012, z + 0.016)
        pen.box(shoe, palette.iron, palette.iron_edge, radius=0.0)


def _support_arm(pen: Pen, view: View, session: Session) -> None:
    """Draw the arm hinged on the cutting vise: folded along it, or up under the bar in the shuttle's way."""
    machine, palette = session.machine, pen.palette
    hinge = -machine.cutting_jaw_m - 0.012
    low, high = (
        -session.saw.plant.bar.stock.section.width_m / 2 - 0.02,
        -session.saw.plant.bar.stock.section.width_m / 2 + 0.02,
    )
    if session.saw.plant.supports.arm == ARM_UP:
        reach = -(machine.jaw_front_m + machine.arm_m)
        arm = view.rect(reach, low, hinge, high)
        pad = view.rect(reach - 0.012, low - 0.06, reach + 0.012, high + 0.06)
        for part in (arm, pad):
            pen.box(part, palette.iron, palette.cut, radius=0.0)
    else:
        pen.box(view.rect(hinge - 0.012, -0.33, hinge, -0.20), palette.iron, palette.iron_edge,
                radius=0.0)  # fmt: skip
    for z in (low, high):
        pen.disc(view.at(hinge, z), max(view.long(0.007), 3), palette.iron_edge)


def _jaws(pen: Pen, view: View, name: str, session: Session, along: tuple[float, float]) -> None:
    palette, plant = pen.palette, session.saw.plant
    vise = plant.vise(name)
    width = session.saw.plant.bar.stock.section.width_m
    face = -width - jaw_off_m(session, name, vise)
    fast = view.rect(along[0], 0.0, along[1], JAW_M)
    moving = view.rect(along[0], face - JAW_M, along[1], face)
    colour = mix(palette.iron, palette.iron_edge, 0.15)
    middle = (along[0] + along[1]) / 2
    if face - JAW_M > FRONT_Z + 0.018:
        pen.fill(
            view.rect(middle - 0.009, FRONT_Z + 0.018, middle + 0.009, face - JAW_M),
            palette.iron_edge,
        )
    wheel = view.rect(middle - 0.032, FRONT_Z, middle + 0.032, FRONT_Z + 0.018)
    pen.box(wheel, palette.iron, palette.iron_edge, radius=0.0)
    for jaw in (fast, moving):
        pen.box(jaw, colour, palette.iron_edge, radius=0.0)
    lip = max(round(view.long(0.006)), 2)
    hold = palette.green if vise.clamped else palette.iron_edge
    pen.fill(Rect(fast.left, fast.bottom - lip, fast.width, lip), hold)
    pen.fill(Rect(moving.left, moving.top, moving.width, lip), hold)


def _bar(pen: Pen, view: View, session: Session) -> None:
    bar, palette = session.saw.plant.bar, pen.palette
    if bar.length_m <= 0.0:
        return
    left = max(bar.rear_m, PLAN_X[0])
    width_m, front_m = session.saw.plant.bar.stock.section.width_m, bar.front_m
    outline = [(across_m, front_m + x_m) for across_m, x_m in bar.end.points]
    square_m = min(x_m for _, x_m in outline)
    body = view.rect(left, -width_m, square_m, 0.0)
    paint_steel(pen, body, session)
    if any(x_m > square_m + _SLANT_M for _, x_m in outline):
        slant = [view.at(x_m, -across_m) for across_m, x_m in outline]
        pen.shape(
            [view.at(square_m, 0.0), *slant, view.at(square_m, -width_m)],
            palette.steel,
            palette.cut,
        )
    _old_kerfs(pen, view, session)
    axis = _axis(-(-body.width // 512) * 512, palette.iron)
    pen.surface.blit(axis, (body.left, body.centery), (0, 0, body.width, 1))
    if bar.rear_m < PLAN_X[0]:
        _break(pen, body)


def _old_kerfs(pen: Pen, view: View, session: Session) -> None:
    """Draw the slots that broken-off cuts left, each at its place and angle; the one under the band is the head's."""
    bar, width_m = session.saw.plant.bar, session.saw.plant.bar.stock.section.width_m
    for kerf in bar.kerfs.all:
        if kerf is bar.old_kerf:
            continue
        near_m, slope = bar.rear_m + kerf.from_rear_m, tan(kerf.mitre_rad)
        far_m = near_m + max(kerf_along_m(kerf.width_m, kerf.mitre_rad), 2 / view.px_per_m)
        lean = slope * width_m
        corners = (near_m, 0.0), (far_m, 0.0), (far_m + lean, -width_m), (near_m + lean, -width_m)
        pen.shape([view.at(x_m, z_m) for x_m, z_m in corners], pen.palette.black)


@lru_cache(maxsize=4)
def _axis(least: int, colour: Colour) -> Surface:
    """Return a line of long and short dashes, at least so long, as drawings mark an axis."""
    line = Surface((least, 1), SRCALPHA)
    for x in range(0, least, 22):
        line.fill((*colour, 255), (x, 0, 12, 1))
        line.fill((*colour, 255), (x + 16, 0, 2, 1))
    return line


def paint_steel(pen: Pen, body: Rect, session: Session) -> None:
    """Draw a length of bar; a round one is shaded as round."""
    palette = pen.palette
    pen.fill(body, palette.steel)
    if isinstance(session.saw.plant.bar.stock.section, Round | RoundTube) and body.height > 6:
        shades = ((0.0, 0.16, 0.42), (0.16, 0.3, 0.2), (0.7, 0.84, 0.2), (0.84, 1.0, 0.42))
        for start, end, dark in shades:
            top = body.top + round(body.height * start)
            high = body.top + round(body.height * end) - top
            pen.fill(Rect(body.left, top, body.width, high), mix(palette.steel, palette.iron, dark))
    right, bottom = body.right - 1, body.bottom - 1
    pygame.draw.line(pen.surface, palette.cut, body.topleft, (right, body.top))
    pygame.draw.line(pen.surface, palette.cut, (body.left, bottom), (right, bottom))
    pygame.draw.line(pen.surface, palette.cut, (right, body.top), (right, bottom))


def _break(pen: Pen, body: Rect) -> None:
    """Draw the wavy line that says: the bar goes on."""
    points: list[Point] = [(body.left - 2, body.top - 1)]
    for step in range(13):
        share = step / 12
        swing = pen.px(0.35) * (1 if int(share * 3) % 2 == 0 else -1)
        bend = swing * (1 - abs((share * 3) % 1 - 0.5) * 2)
        points.append((body.left + pen.px(0.5) + bend, body.top + share * body.height))
    points.append((body.left - 2, body.bottom + 1))
    pen.shape(points, pen.palette.paper)
    pen.polyline(points[1:-1], pen.palette.cut)


def _words_past(pen: Pen, view: View, front_m: float) -> str:
    """Return how far the bar stands out past the band, as many words as there is room for."""
    room = view.long(PLAN_X[1] - front_m) - pen.px(0.6)
    said = tell(_PAST_BAND(length=front_m)), tell(_PAST(length=front_m))
    return next((w for w in said if pen.letters.figures_width(w, "small") <= room), "")


def _measures(pen: Pen, view: View, session: Session) -> None:
    plant, palette = session.saw.plant, pen.palette
    front = plant.bar.front_m
    if front > 0.004:
        y = 0.055
        for x in (0.0, front):
            pen.line(view.at(x, 0.004), view.at(x, y + 0.012), palette.soft)
        ends = view.at(0.0, y), view.at(front, y)
        words = _words_past(pen, view, front)
        if words:
            dimension(pen, *ends, words, palette.ink, within=view.area)
    words = tell(_BAR_LEFT(length=plant.bar.length_m))
    x, z = view.at(PLAN_X[0] + 0.035, -session.saw.plant.bar.stock.section.width_m - 0.02)
    spot = Rect(
        round(x), round(z), pen.letters.width(words, "small") + 4, pen.letters.line("small")
    )
    if spot.right < view.at(shuttle_edges_m(session)[0], 0)[0] - 4:
        pen.text(words, spot, palette.soft, role="small")
