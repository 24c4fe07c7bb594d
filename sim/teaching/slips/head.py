"""Slips at the head: height stop, feed, swivel and fence.

Never here: what a scenario hides.
"""

from typing import Final

from sim.faults.catalogue import CLEARANCE_M
from sim.plant.guide import SLACK
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.teaching.slips.holding import pressure
from sim.units import MM

_TOUCHES_MM: Final = 0.5  # nearer than that the band lies on the bar
_HAIR_MM: Final = 1e-6  # what is lost between millimetres and metres


def _hole(session: Session) -> str:
    plant, machine = session.saw.plant, session.machine
    over_mm = (plant.head.stop_m - plant.bar.height_m) / MM
    if plant.head.hole * machine.hole_step_m <= plant.bar.height_m:
        where = "on" if over_mm > -_TOUCHES_MM else f"{-over_mm:.0f} mm below the top of"
        return (
            f"The head would count as up with the band {where} the bar; "
            "pin the collar at the lowest hole that clears it."
        )
    if over_mm < CLEARANCE_M / MM - _HAIR_MM and plant.head.pin_through:
        return f"The band would clear the bar by {over_mm:.0f} mm only; take the next hole up."
    if over_mm >= CLEARANCE_M / MM + machine.hole_step_m / MM:
        return (
            f"The band would stand {over_mm:.0f} mm above the bar, and every cut wastes that way; "
            "take the lowest hole that clears it."
        )
    return ""


def _pin(session: Session) -> str:
    if not session.saw.plant.head.pin_through:
        return (
            "With the pin under the collar the switch makes too early; put it through the collar."
        )
    return ""


def _valve(session: Session) -> str:
    if session.saw.plant.head.valve_m_s <= 0.0:
        return "The feed valve is fully shut: the head is held while there is air, and will not come down."
    return foresight.amiss(session)


def _force(session: Session) -> str:
    return foresight.amiss(session) or pressure("cutting_vise")(session)


def _bleed(session: Session) -> str:
    if session.saw.plant.head.bleed_turns < session.machine.bleed_open:
        return "With the bleed screw shut the head sticks and slips; open it a turn."
    return ""


def _locks(session: Session) -> str:
    swivel = session.saw.plant.swivel
    if swivel.locks == SLACK and swivel.mitre_deg == 0.0:
        return (
            "The pivot locks are slack and the head can be swung; tighten them before a square cut."
        )
    return ""


def _lever(session: Session) -> str:
    if session.saw.plant.swivel.lever != "tight":
        return "The mitre lever is loose and the head can be swung; tighten it before any cut."
    return ""


def _fence(session: Session) -> str:
    if session.saw.plant.swivel.fence_in_way:
        return "The outfeed fence stands under the mitred band and would be cut; slide it back."
    return ""


def _mitre(session: Session) -> str:
    swivel, wanted = session.saw.plant.swivel, session.order.mitre_deg
    return _fence(session) or (
        f"The order is for {wanted:g} degrees, and the head stands at {swivel.mitre_deg:g}."
        if swivel.mitre_deg != wanted
        else ""
    )


SLIPS: Final[dict[str, Check]] = {
    "head.stop_hole": _hole,
    "head.stop_pin": _pin,
    "head.feed_valve_mm_min": _valve,
    "head.feed_force_n": _force,
    "head.bleed_turns": _bleed,
    "head.mitre_deg": _mitre,
    "head.pivot_locks": _locks,
    "head.mitre_lever": _lever,
    "head.outfeed_fence": _fence,
}
