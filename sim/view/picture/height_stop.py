"""The height stop: a rod with a row of holes, a collar, its pin, and the switch lug that rides on it.

Drawn as it is: with the pin through the collar, or under it and the collar riding on the pin.
"""

from typing import Final

import pygame
from pygame import Rect

from sim.plant.machine import Machine
from sim.session.session import Session
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View

ROD_Z: Final = 0.60
_HALF: Final = 0.013  # of the collar's height as drawn


def paint_rod(pen: Pen, view: View, machine: Machine) -> None:
    """Draw the rod and its holes."""
    palette = pen.palette
    top = machine.notches * machine.notch_step_m + 0.03
    rod = view.rect(ROD_Z - 0.009, -0.058, ROD_Z + 0.009, top)
    pen.fill(rod, palette.iron)
    pygame.draw.rect(pen.surface, palette.iron_edge, rect=rod, width=1)
    for hole in range(1, machine.notches + 1):
        centre = view.at(ROD_Z, hole * machine.notch_step_m)
        pen.disc(centre, max(view.long(0.0035), 2), palette.black)


def paint_collar(pen: Pen, view: View, session: Session) -> None:
    """Draw the collar and its pin."""
    head, machine, palette = session.saw.plant.head, session.machine, pen.palette
    hole_m = head.height_stop.notch * machine.notch_step_m
    centre = hole_m if head.height_stop.plunger == "home" else hole_m + _HALF + 0.004
    box = view.rect(ROD_Z - 0.024, centre - _HALF, ROD_Z + 0.024, centre + _HALF)
    pen.box(box, mix(palette.iron, palette.iron_edge, 0.35), palette.cut, radius=0.0)
    pin = view.rect(ROD_Z - 0.034, hole_m - 0.0032, ROD_Z + 0.040, hole_m + 0.0032)
    if head.height_stop.plunger == "home":
        pen.fill(Rect(pin.left, pin.top, box.left - pin.left, pin.height), palette.orange)
        pen.fill(Rect(box.right, pin.top, pin.right - box.right, pin.height), palette.orange)
        pen.disc(view.at(ROD_Z, hole_m), max(view.long(0.004), 2), palette.orange)
    else:
        pen.fill(pin, palette.orange)
    pen.disc(view.at(ROD_Z + 0.043, hole_m), max(view.long(0.007), 3), palette.orange)
    made = session.saw.bus.driven("B11")
    lug = view.at(ROD_Z - 0.036, head.stop_m)
    pen.disc(lug, max(view.long(0.007), 3), palette.white if made else palette.iron_edge)
