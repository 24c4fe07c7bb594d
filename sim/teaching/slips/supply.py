"""Slips at air, oil and coolant.

Never here: what a scenario hides.
"""

from typing import Final

from sim.plant import coolant
from sim.plant.supply import OIL_LOW
from sim.session.session import Session
from sim.teaching.slips.check import Check
from sim.trade.life import LEAN, RICH
from sim.units import BAR


def _air(session: Session) -> str:
    supply, machine = session.saw.plant.supply, session.machine
    if supply.cock != "open":
        return "The air cock is shut; the pressure runs out, and the head is held by air."
    if supply.regulator_pa < machine.air_switch_pa:
        return (
            f"{supply.regulator_pa / BAR:.1f} bar is below the {machine.air_switch_pa / BAR:.1f} bar "
            "of the air switch, and the job holds."
        )
    return ""


def _oil(session: Session) -> str:
    level = session.saw.plant.supply.oil_level
    return "" if level >= OIL_LOW else f"The oil is at {level:.0%} and holds the job; top it up."


def _level(session: Session) -> str:
    level = session.saw.plant.coolant.level
    return "" if level >= coolant.LOW else f"The coolant is at {level:.0%}; top it up."


def _strength(session: Session) -> str:
    strength = session.saw.plant.coolant.concentration
    if strength < LEAN:
        return f"{strength:.1%} is too lean to cool and to keep rust off; {LEAN:.0%} to {RICH:.0%} is right."
    if strength > RICH + 1e-9:
        return f"{strength:.1%} is too rich and foams; {LEAN:.0%} to {RICH:.0%} is right."
    return ""


def _hose(session: Session) -> str:
    if session.saw.plant.coolant.wash == coolant.OPEN:
        return "The wash-down hose is open: the pump puts the tank on the floor; shut it."
    return ""


def _floor(session: Session) -> str:
    if session.saw.plant.coolant.floor == coolant.WET:
        return "The floor is wet and somebody would slip; mop it."
    return ""


SLIPS: Final[dict[str, Check]] = {
    "supply.air_bar": _air,
    "supply.air_cock": _air,
    "supply.oil_percent": _oil,
    "coolant.level_percent": _level,
    "coolant.concentration_percent": _strength,
    "coolant.wash_down": _hose,
    "coolant.floor": _floor,
}
