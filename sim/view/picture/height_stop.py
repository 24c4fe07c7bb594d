"""The height stop: a rod with notches, a ring with a spring plunger, and the switch lug that rides on it.

Drawn as it is: with the plunger snapped into a notch, or turned aside and riding on the land, the ring
as far down as it has crept.
"""

from typing import Final

import pygame
from pygame import Rect

from sim.plant.height_stop import HOME
from sim.plant.machine import Machine
from sim.session.session import Session
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View
from sim.view.picture.drawn import plant_of, top_switch_made

ROD_Z: Final = 0.60
_HALF: Final = 0.013  # of the ring's height as drawn
_ROD_HALF: Final = 0.009
_NOTCH: Final = 0.005  # deep, as drawn
_AWAY: Final = 0.014  # of a plunger that is not home, from the rod


def paint_rod(pen: Pen, view: View, machine: Machine) -> None:
    """Draw the rod with a notch cut into its side at every step."""
    palette = pen.palette
    top = machine.notches * machine.notch_step_m + 0.03
    rod = view.rect(ROD_Z - _ROD_HALF, -0.058, ROD_Z + _ROD_HALF, top)
    pen.fill(rod, palette.iron)
    pygame.draw.rect(pen.surface, palette.iron_edge, rect=rod, width=1)
    for notch in range(1, machine.notches + 1):
        y = notch * machine.notch_step_m
        edge = ROD_Z + _ROD_HALF
        corners = [view.at(edge + 0.001, y + _NOTCH), view.at(edge - _NOTCH, y),
                   view.at(edge + 0.001, y - _NOTCH)]  # fmt: skip
        pen.shape(corners, palette.paper, palette.iron_edge)


def paint_ring(pen: Pen, view: View, session: Session) -> None:
    """Draw the ring where it is, its plunger, and the lug of the upper limit switch."""
    head = plant_of(session, "head.stop_notch", "head.stop_plunger").head
    stop, palette = head.height_stop, pen.palette
    centre = stop.height_m
    box = view.rect(ROD_Z - 0.024, centre - _HALF, ROD_Z + 0.024, centre + _HALF)
    pen.box(box, mix(palette.iron, palette.iron_edge, 0.35), palette.cut, radius=0.0)
    home = stop.plunger == HOME
    tip = ROD_Z + _ROD_HALF - _NOTCH + (0.0 if home else _AWAY)
    y = view.at(0.0, centre)[1]
    left, knob = view.at(tip, centre)[0], view.at(tip + 0.040, centre)[0]
    thick = max(round(view.long(0.006)), 3)
    pen.fill(Rect(round(left), round(y) - thick // 2, round(knob - left), thick), palette.orange)
    pen.disc((knob, y), max(view.long(0.007), 3), palette.orange)
    if not home:  # the spring shows between ring and knob
        for step in (0.4, 0.6, 0.8):
            x = round(box.right + (knob - box.right) * step)
            pen.fill(Rect(x, round(y) - 2 * thick, 1, 4 * thick), palette.orange)
    made = top_switch_made(session)
    lug = view.at(ROD_Z - 0.036, head.stop_m)
    pen.disc(lug, max(view.long(0.007), 3), palette.white if made else palette.iron_edge)
