"""Slips at the vises, the shuttle and the job: what holds the bar and brings it to length.

Never here: what a scenario hides.
"""

from typing import Final

from sim.plant.vise import Vise
from sim.session.goals import COUNTER, backlash_m, card_line, near
from sim.session.session import Session
from sim.session.setup_card import strokes_for
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.units import BAR, MM

JAW_MM: Final = 6.0  # common practice, no source


def _jaw(vise: str) -> Check:
    def says(session: Session) -> str:
        row, machine = _vise(session, vise), session.machine
        gap_mm, stroke_mm = row.gap_m / MM, machine.powered_stroke_m / MM
        if gap_mm > stroke_mm:
            return (
                f"The jaw is {gap_mm:g} mm from the bar and its powered stroke is {stroke_mm:g} mm, "
                f"so it cannot grip; slide it to within {JAW_MM:g} mm."
            )
        if gap_mm > JAW_MM:
            return f"The jaw is {gap_mm:g} mm from the bar; slide it to within {JAW_MM:g} mm."
        if row.gap_m < machine.jaw_touch_m:
            return "The jaw touches the bar and would score it; leave a millimetre or more."
        return ""

    return says


def pressure(vise: str) -> Check:
    """Return the check of a vise's grip pressure: against dents, and against a bar that moves."""

    def says(session: Session) -> str:
        set_bar = _vise(session, vise).set_pressure_pa / BAR
        dents_bar = foresight.dents_from_bar(session, vise)
        if set_bar > dents_bar:
            return (
                f"{set_bar:.0f} bar would dent this bar, which takes {dents_bar:.0f} bar; "
                "raise the grip from low down, and stop short of that."
            )
        wanted_n = foresight.wanted_hold_n(session)
        if vise == "cutting_vise" and foresight.hold_n(session) < wanted_n:
            return (
                f"{set_bar:.0f} bar holds {foresight.hold_n(session):.0f} N and the cut wants "
                f"{wanted_n:.0f} N, so the bar would move; grip harder or feed less."
            )
        return ""

    return says


def _vise(session: Session, vise: str) -> Vise:
    plant = session.saw.plant
    return plant.cutting_vise if vise == "cutting_vise" else plant.shuttle_vise


def _clamp(session: Session) -> str:
    supports = session.saw.plant.supports
    if supports.held_share < 1.0:
        return (
            f"{supports.bars} bars lie in the vise and the clamp is up, so the loosest gets "
            f"{supports.held_share:.0%} of the hold; swing the clamp down."
        )
    return ""


def _counter(session: Session) -> str:
    shuttle = session.saw.plant.shuttle
    line = card_line(session, COUNTER)
    reading_mm, wanted_mm = shuttle.counter_m / MM, float(line.setting) if line else 0.0
    short_mm = backlash_m(session) / MM
    if near(COUNTER, wanted_mm).holds(reading_mm):
        if short_mm < 0.5 * session.machine.backlash_m / MM:
            return ""
        return (
            f"The counter was turned up to its reading, so the stop stands {short_mm:.2f} mm short; "
            "run past the setting and back to it."
        )
    if reading_mm > wanted_mm:
        return f"Now come back down to {wanted_mm:g} mm, which takes the backlash out."
    return (
        f"This is below {wanted_mm:g} mm; coming up from here leaves the backlash in, so run past "
        "the setting and back to it."
    )


def _roller(session: Session) -> str:
    if session.saw.plant.supports.roller == "in":
        return "The support roller is in and the shuttle would strike it; take it out before AUTO."
    return ""


def _strokes(session: Session) -> str:
    strokes = strokes_for(session.machine, session.order)
    given = session.saw.controller.job.strokes
    if given != strokes:
        return f"The piece takes {strokes} strokes of the shuttle, and the job is set to {given}."
    return ""


def _wanted(session: Session) -> str:
    given = session.saw.controller.job.wanted
    if given != session.order.wanted:
        return f"The order is for {session.order.wanted} pieces, and the job is set to {given}."
    return ""


SLIPS: Final[dict[str, Check]] = {
    "cutting_vise.jaw_gap_mm": _jaw("cutting_vise"),
    "shuttle_vise.jaw_gap_mm": _jaw("shuttle_vise"),
    "cutting_vise.pressure_bar": pressure("cutting_vise"),
    "shuttle_vise.pressure_bar": pressure("shuttle_vise"),
    "cutting_vise.bundle_clamp": _clamp,
    "shuttle.counter_mm": _counter,
    "shuttle.support_roller": _roller,
    "job.strokes": _strokes,
    "job.wanted": _wanted,
}
