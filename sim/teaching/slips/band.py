"""Slips at the band: guides and covers, tension, teeth, brush, relay.

Never here: what a scenario hides.
"""

from typing import Final

from sim.plant.guide import CLOSED, SLACK
from sim.session.goals import card_line
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.trade.choice import LEAST_TEETH, thinnest_interval_m
from sim.trade.cutting import teeth_in_contact
from sim.trade.motor import rated_current_a
from sim.trade.teeth import gullet_depth_m
from sim.units import MM, MPA

ARM_FAR_MM: Final = 25.0  # clear of the bar by more, it is not as close as it goes; a choice
ARM_RIGHT_MM: Final = 10.0  # common practice, no source


def _arm(session: Session) -> str:
    clear_mm = foresight.clear_mm(session)
    if clear_mm < 0.0:
        return (
            f"The guide arm stands {-clear_mm:.0f} mm over the bar and would come down on it; "
            f"slide it to {ARM_RIGHT_MM:g} mm clear."
        )
    if clear_mm > ARM_FAR_MM:
        return (
            f"The guide arm is {clear_mm:.0f} mm clear of the bar, and a long free span wanders; "
            f"slide it to {ARM_RIGHT_MM:g} mm."
        )
    return foresight.amiss(session)


def _arm_lock(session: Session) -> str:
    if session.saw.plant.band.guide.lock == SLACK:
        return "The guide arm is free to be moved; lock it before the cut, or it drifts."
    return ""


def _guard(session: Session) -> str:
    guide = session.saw.plant.band.guide
    return "" if guide.guarded else "B41 keeps the band from starting until the guard is closed."


def _cover(session: Session) -> str:
    if session.saw.plant.band.guide.cover == CLOSED:
        return ""
    if not session.lockout.safe:
        return (
            "The wheel cover is open without lock-out; close it, and lock out before hands go in."
        )
    return "B42 keeps the band from starting until the wheel cover is closed."


def _tension(session: Session) -> str:
    machine, tension = session.machine, session.saw.plant.band.tension
    low, high = machine.tension_low_pa / MPA, machine.tension_high_pa / MPA
    if not tension.tight:
        return (
            f"{tension.stress_pa / MPA:.0f} MPa is outside {low:.0f} to {high:.0f} MPa, and B51 keeps "
            "the band from starting."
        )
    return foresight.amiss(session)


def _teeth(session: Session) -> str:
    plant, line = session.saw.plant, card_line(session, "band.teeth_per_inch")
    teeth = teeth_in_contact(
        thinnest_interval_m(session.stock.section) * plant.swivel.widening, plant.blade.pitch_m
    )
    finest = float(line.setting) if line is not None else 0.0  # of what there is, for this bar
    if teeth < LEAST_TEETH and plant.blade.teeth_per_inch < finest:
        return (
            f"With {teeth:.1f} teeth in the thinnest wall one takes the whole blow; fit "
            f"{finest:g} teeth to the inch."
        )
    return _too_deep(session) or foresight.amiss(session)


def _face(session: Session) -> str:
    return "" if session.saw.plant.blade.cuts else "Inside out the teeth point away and only rub."


def _too_deep(session: Session) -> str:
    plant = session.saw.plant
    if plant.brush.too_deep_m <= 0.0:
        return ""
    gullet_mm = gullet_depth_m(plant.blade.pitch_m) / MM
    return f"The brush stands deeper than gullets of {gullet_mm:.1f} mm and is ground away; set it back."


def _brush(session: Session) -> str:
    plant = session.saw.plant
    if plant.brush.sweeps < 0.5:
        gullet_mm = gullet_depth_m(plant.blade.pitch_m) / MM
        return (
            f"The brush does not sweep gullets of {gullet_mm:.1f} mm; set it deeper, or chips pack."
        )
    return _too_deep(session)


def _relay(session: Session) -> str:
    relay = session.saw.plant.band.relay
    if relay.tripped:
        return "The overload relay is tripped; find the cause, then reset it."
    rated_a = rated_current_a(relay.motor)
    if relay.setting_a > rated_a + 0.1:
        return f"The relay allows more than the motor's {rated_a:.1f} A; it would burn before the relay trips."
    return ""


SLIPS: Final[dict[str, Check]] = {
    "band.guard": _guard,
    "band.wheel_cover": _cover,
    "band.tension_mpa": _tension,
    "band.guide_span_mm": _arm,
    "band.guide_lock": _arm_lock,
    "band.teeth_per_inch": _teeth,
    "band.teeth_face": _face,
    "band.brush_mm": _brush,
    "band.relay_a": _relay,
    "band.relay": _relay,
}
