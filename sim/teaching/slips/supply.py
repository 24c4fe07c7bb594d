"""Slips at air, oil and coolant.

Never here: what a scenario hides.
"""

from typing import Final

from sim.plant import coolant
from sim.plant.padlocks import DEVICES
from sim.session.session import Session
from sim.teaching.slips.check import Check, rows_as_shipped
from sim.trade.life import LEAN, RICH
from sim.words.fields import bar, percent
from sim.words.message import NOTHING, Message, plain, row

_COCK: Final = plain(
    "slip.air-cock",
    "the air cock is shut: the head is not raised, and nothing carries it without control power; keep clear, find out why, then open it",
)
_AIR: Final = row(
    "slip.air",
    "{set} is below the {switch} of the air switch, and the job holds",
    set=bar(1), switch=bar(1),
)  # fmt: skip
_AIR_ALONE: Final = row(
    "slip.air.own-rows", "{set} is below the {switch} of the air switch; raise it",
    set=bar(1), switch=bar(1),
)  # fmt: skip
_OIL_ALONE: Final = row("slip.oil.own-rows", "the oil is at {level}; top it up", level=percent())
_OIL: Final = row("slip.oil", "the oil is at {level} and holds the job; top it up", level=percent())
_LEVEL: Final = row("slip.coolant-level", "the coolant is at {level}; top it up", level=percent())
_LEAN: Final = row(
    "slip.coolant-lean",
    "{strength} is too lean to cool and to keep rust off; {lean} to {rich} is right",
    strength=percent(1), lean=percent(bare=True), rich=percent(),
)  # fmt: skip
_RICH: Final = row(
    "slip.coolant-rich",
    "{strength} is too rich and foams; {lean} to {rich} is right",
    strength=percent(1), lean=percent(bare=True), rich=percent(),
)  # fmt: skip
_HOSE: Final = plain(
    "slip.hose", "the wash-down hose is open: the pump puts the tank on the floor; shut it"
)
_FLOOR: Final = plain("slip.floor", "the floor is wet and somebody would slip; mop it")


def _air(session: Session) -> Message:
    supply, machine = session.saw.plant.supply, session.machine
    if supply.cock != "open":
        return NOTHING if any(map(session.saw.plant.padlocks.on, DEVICES)) else _COCK
    if supply.regulator_pa < machine.air_switch_pa:
        held = rows_as_shipped(session, "B61")
        return (_AIR if held else _AIR_ALONE)(set=supply.regulator_pa, switch=machine.air_switch_pa)
    return NOTHING


def _oil(session: Session) -> Message:
    level = session.saw.plant.supply.oil_level
    if level >= session.machine.oil_low:
        return NOTHING
    return (_OIL if rows_as_shipped(session, "B62") else _OIL_ALONE)(level=level)


def _level(session: Session) -> Message:
    level = session.saw.plant.coolant.level
    return NOTHING if level >= session.machine.coolant_low else _LEVEL(level=level)


def _strength(session: Session) -> Message:
    strength = session.saw.plant.coolant.concentration
    if strength < LEAN:
        return _LEAN(strength=strength, lean=LEAN, rich=RICH)
    if strength > RICH + 1e-9:
        return _RICH(strength=strength, lean=LEAN, rich=RICH)
    return NOTHING


def _hose(session: Session) -> Message:
    return _HOSE if session.saw.plant.coolant.wash == coolant.OPEN else NOTHING


def _floor(session: Session) -> Message:
    return _FLOOR if session.saw.plant.coolant.floor == coolant.WET else NOTHING


SLIPS: Final[dict[str, Check]] = {
    "supply.air_bar": _air,
    "supply.air_cock": _air,
    "supply.oil_percent": _oil,
    "coolant.level_percent": _level,
    "coolant.concentration_percent": _strength,
    "coolant.wash_down": _hose,
    "coolant.floor": _floor,
}
