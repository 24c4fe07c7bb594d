"""What never moves in the plan: roller table, rails, rack and length rule, outfeed, bed of the vise."""

from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.units import INCH, MM
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import PLAN_X, View
from sim.words.speech import reader

RAIL_Z: Final = (0.115, -0.335)
RACK_Z: Final = 0.15
FRONT_Z: Final = -0.385  # where the handwheels are
TRAY: Final = (0.025, PLAN_X[1] - 0.01)


def bed_colour(pen: Pen) -> Colour:
    """Return the colour of what stands still."""
    return mix(pen.palette.paper, pen.palette.iron, 0.6)


def paint_plan_ground(pen: Pen, view: View, session: Session) -> None:
    """Draw it."""
    palette, machine = pen.palette, session.machine
    table = mix(palette.paper, palette.iron, 0.45)
    for index in range(9):
        x = -0.92 + index * 0.095
        if x < -machine.cutting_jaw_m - 0.02:
            pen.box(view.rect(x - 0.012, -0.30, x + 0.012, 0.02), table, radius=0.0)
    for z in RAIL_Z:
        rail = view.rect(-0.93, z - 0.006, -0.125, z + 0.006)
        pen.fill(rail, mix(palette.paper, palette.iron, 0.8))
    _rack(pen, view)
    _rule(pen, view, session)
    tray = view.rect(TRAY[0], FRONT_Z, TRAY[1], 0.03)
    pen.box(tray, mix(palette.paper, table, 0.4), radius=0.0)
    for z in (-0.36, -0.27, -0.18, -0.09, 0.0):
        pen.fill(view.rect(TRAY[0], z - 0.004, TRAY[1], z + 0.004), table)
    bed = view.rect(-machine.cutting_jaw_m - 0.01, -0.36, -0.004, 0.075)
    pen.box(bed, bed_colour(pen), palette.hair, radius=0.0)


def _rack(pen: Pen, view: View) -> None:
    """Draw the rack that the length stop's pinion runs on, its teeth towards the infeed."""
    colour = mix(pen.palette.paper, pen.palette.iron, 0.8)
    pen.fill(view.rect(-0.93, RACK_Z - 0.003, -0.125, RACK_Z + 0.005), colour)
    pitch = max(0.008, 4 / view.px_per_m)
    for tooth in range(int(0.805 / pitch)):
        x = -0.93 + tooth * pitch
        pen.fill(view.rect(x, RACK_Z - 0.007, x + pitch / 2, RACK_Z - 0.003), colour)


def _rule(pen: Pen, view: View, session: Session) -> None:
    """Draw a rule along the rack: how far the shuttle's rear edge stands from forward."""
    machine = session.machine
    zero = -(machine.jaw_front_m + machine.jaw_length_m)
    colour = pen.palette.soft
    line = pen.letters.line("fine")
    step_m, unit_m = (2 * INCH, INCH) if reader().inch else (50 * MM, MM)
    for index in range(int(machine.stroke_m / step_m + 1e-6) + 1):
        along_m = index * step_m
        x, y = view.at(zero - along_m, RACK_Z + 0.016)
        long = view.long(0.010 if index % 2 else 0.017)
        pen.line((round(x), y), (round(x), y - long), colour)
        if index % 4 == 0:
            place = Rect(round(x) - pen.px(2), round(y - long) - line, pen.px(4), line)
            if place.top >= view.area.top:
                pen.text(f"{along_m / unit_m:.0f}", place, colour, role="fine", align="centre")
