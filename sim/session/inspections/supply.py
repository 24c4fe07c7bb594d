"""Looks at mains, motor protection, air, oil and coolant, and the walk-round."""

from typing import Final

from sim.plant.coolant import EMPTY, LOW
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, control_power
from sim.units import BAR

_WEAK, _STRONG = 0.05, 0.10  # of soluble oil; a workshop page, weak


def _walk_round(saw: Saw) -> str:
    plant = saw.plant
    odd = (
        (plant.band.guide.guard == "open", "the band guard stands open"),
        (plant.band.guide.cover == "open", "the wheel cover stands open"),
        (plant.supports.roller == "in", "the loose support roller stands in the infeed"),
        (plant.coolant.wash == "open", "the valve of the wash-down hose is open"),
        (plant.coolant.floor == "wet", "the floor is wet"),
        (plant.supply.cock == "shut", "the air cock is shut"),
    )
    seen = [text for there, text in odd if there]
    return (
        f"You see that {', and that '.join(seen)}."
        if seen
        else "Nothing stands open, lies about or drips."
    )


def _buttons(saw: Saw) -> str:
    isolator = "on" if saw.bus.driven("Q0") else "off"
    stop = "out" if saw.bus.driven("S1") else "pressed in"
    drive = "out" if saw.bus.driven("S2") else "pressed in"
    return f"The isolator stands at {isolator}; the emergency stop is {stop}, and the drive stop is {drive}."


def _fuses(saw: Saw) -> str:
    control = "blown" if saw.bus.spoiled("Q0") else "whole"
    motor = (
        "one of the three motor fuses is blown"
        if saw.plant.band.relay.phase_lost
        else "the three motor fuses are whole"
    )
    return f"The control fuse is {control}, and {motor}."


def _relay(saw: Saw) -> str:
    relay = saw.plant.band.relay
    flag = "has tripped" if relay.tripped else "is set"
    return f"The overload relay {flag}; its dial stands at {relay.setting_a:.1f} A."


def _air(saw: Saw) -> str:
    return f"The air gauge shows {saw.plant.supply.air_pa / BAR:.1f} bar."


def _cock(saw: Saw) -> str:
    return f"The air cock is {saw.plant.supply.cock}."


def _oil(saw: Saw) -> str:
    return f"The oil stands at {saw.plant.supply.oil_level:.0%} of the glass."


def _oil_pressure(saw: Saw) -> str:
    if saw.plant.supply.oil:
        return "The oil gauge shows pressure."
    runs = "is heard" if saw.bus.seen["Q2"] else "is silent"
    return f"The oil gauge shows nothing; the motor of the pump {runs}."


def _tank(saw: Saw) -> str:
    level = saw.plant.coolant.level
    if level < EMPTY:
        return "The coolant tank is empty but for the sump."
    return "The coolant tank is low." if level < LOW else "There is plenty of coolant in the tank."


def _coolant_flow(saw: Saw) -> str:
    return "Coolant runs." if saw.plant.coolant.flowing else "No coolant runs."


def _refractometer(saw: Saw) -> str:
    strength = saw.plant.coolant.concentration
    if strength < _WEAK:
        return "The refractometer shows less than 5 %."
    return (
        "The refractometer shows more than 10 %."
        if strength > _STRONG
        else "The refractometer shows between 5 and 10 %."
    )


def _nozzle(saw: Saw) -> str:
    return "The nozzle is full of chips." if saw.plant.coolant.blocked else "The nozzle is free."


def _hose(saw: Saw) -> str:
    return f"The valve of the wash-down hose is {saw.plant.coolant.wash}; the floor is {saw.plant.coolant.floor}."


_G: Final = Kind.GAUGE

SUPPLY_LOOKS: Final = (
    Inspection("walk-round", "Walk once round the saw", "supply", 60, _walk_round, kind=Kind.WALK),
    Inspection("buttons", "Look at isolator and stop buttons", "supply", 10, _buttons),
    Inspection("fuses", "Open the cabinet and look at the fuses", "supply", 45, _fuses),
    Inspection("overload-relay", "Open the cabinet and look at the overload relay", "supply", 40, _relay),
    Inspection("air-gauge", "Read the air gauge", "supply", 10, _air, kind=_G),
    Inspection("air-cock", "Look at the air cock", "supply", 10, _cock),
    Inspection("oil-glass", "Look at the oil glass", "supply", 15, _oil, kind=_G),
    Inspection(
        "oil-pressure", "Read the oil gauge and listen to the pump", "supply", 15, _oil_pressure,
        kind=_G, needs=control_power,
    ),
    Inspection("coolant-tank", "Look into the coolant tank", "coolant", 15, _tank, kind=_G),
    Inspection("coolant-flow", "Look whether coolant runs on to the band", "coolant", 10, _coolant_flow),
    Inspection("refractometer", "Put a drop of coolant on the refractometer", "coolant", 45, _refractometer, kind=_G),
    Inspection("nozzle", "Look at the coolant nozzle", "coolant", 20, _nozzle),
    Inspection("wash-hose", "Look at wash-down hose and floor", "coolant", 15, _hose),
)  # fmt: skip
