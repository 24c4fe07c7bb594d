"""Looks at mains, motor protection, air, oil and coolant, and the walk-round."""

from typing import Final

from sim.plant import coolant, supply
from sim.plant.padlocks import DEVICES
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, control_power, way
from sim.words.fields import amperes, bar, one_of, part, parts, percent
from sim.words.message import Message, plain, row

_WEAK, _STRONG = 0.05, 0.10  # of soluble oil; a workshop page, weak

SEEN_ODD: Final = row("inspection.walk-round.seen", "You see that {odd}.", odd=parts(", and that "))
_NOTHING_ODD: Final = plain(
    "inspection.walk-round.nothing", "Nothing stands open, lies about or drips."
)
_GUARD_OPEN: Final = plain("inspection.walk-round.guard", "the band guard stands open")
_COVER_OPEN: Final = plain("inspection.walk-round.cover", "the wheel cover stands open")
_ARM_UP: Final = plain(
    "inspection.walk-round.arm", "the support arm stands up in the way of the shuttle"
)
_HOSE_OPEN: Final = plain("inspection.walk-round.hose", "the valve of the wash-down hose is open")
_FLOOR_WET: Final = plain("inspection.walk-round.floor", "the floor is wet")
_COCK_SHUT: Final = plain("inspection.walk-round.cock", "the air cock is shut")
_LOCKS: Final = plain("inspection.walk-round.padlock", "a padlock hangs on the saw")
_PROP_IN: Final = plain("inspection.walk-round.prop", "the prop is swung in under the head")
_CHOCK_IN: Final = plain("inspection.walk-round.chock", "the chock at the rollers is in")
_HOOD_UP: Final = plain("inspection.walk-round.hood", "the infeed hood is open")
_RELIEF_OPEN: Final = plain("inspection.walk-round.relief", "an oil relief stands open")
_BUTTONS: Final = row(
    "inspection.buttons.found",
    "The isolator stands at {isolator}; the emergency stop at the console is {stop}, that at the infeed "
    "{infeed}; the trip line is {line}.",
    isolator=one_of("on", "off"),
    stop=one_of("out", "pressed in"),
    infeed=one_of("out", "pressed in"),
    line=one_of("home", "pulled"),
)
_FUSE_BLOWN: Final = plain(
    "inspection.fuses.motor-blown", "one of the three fuses of the band motor is blown"
)
_PUMP_BLOWN: Final = plain(
    "inspection.fuses.pump-blown", "one of the three fuses of the oil pump is blown"
)
_FUSES_WHOLE: Final = plain("inspection.fuses.motor-whole", "all fuses of the motors are whole")
_MAIN_BLOWN: Final = plain(
    "inspection.fuses.main-blown", "one of the three main fuses of the saw is blown"
)
_MAINS_WHOLE: Final = plain("inspection.fuses.main-whole", "the three main fuses are whole")
_FUSES: Final = row(
    "inspection.fuses.found",
    "The control fuse is {control}, {mains}, and {motor}.",
    control=one_of("blown", "whole"),
    mains=part(),
    motor=part(),
)
_RELAY: Final = row(
    "inspection.overload-relay.found",
    "The overload relay {flag}; its dial stands at {dial}.",
    flag=one_of("has tripped", "is set"),
    dial=amperes(1),
)
_AIR: Final = row("inspection.air-gauge.found", "The air gauge shows {air}.", air=bar(1))
_COCK: Final = row(
    "inspection.air-cock.found", "The air cock is {cock}.", cock=one_of(*supply.COCKS)
)
_OIL: Final = row(
    "inspection.oil-glass.found", "The oil stands at {level} of the glass.", level=percent()
)
_PRESSURE: Final = plain("inspection.oil-pressure.shown", "The oil gauge shows pressure.")
_NO_PRESSURE: Final = row(
    "inspection.oil-pressure.none",
    "The oil gauge shows nothing; the motor of the pump {motor}.",
    motor=one_of("is heard", "is silent", "hums"),
)
_TANK_EMPTY: Final = plain(
    "inspection.coolant-tank.empty", "The coolant tank is empty but for the sump."
)
_TANK_LOW: Final = plain("inspection.coolant-tank.low", "The coolant tank is low.")
_TANK_FULL: Final = plain(
    "inspection.coolant-tank.plenty", "There is plenty of coolant in the tank."
)
_FLOWS: Final = plain("inspection.coolant-flow.runs", "Coolant runs.")
_DRY: Final = plain("inspection.coolant-flow.none", "No coolant runs.")
_LEAN: Final = plain("inspection.refractometer.weak", "The refractometer shows less than 5 %.")
_RICH: Final = plain("inspection.refractometer.strong", "The refractometer shows more than 10 %.")
_RIGHT: Final = plain(
    "inspection.refractometer.right", "The refractometer shows between 5 and 10 %."
)
_BLOCKED: Final = plain("inspection.nozzle.blocked", "The nozzle is full of chips.")
_FREE: Final = plain("inspection.nozzle.free", "The nozzle is free.")
_SPLIT: Final = plain("inspection.nozzle.split", "The nozzle is free, and the hose to it is split.")
_HOSE: Final = row(
    "inspection.wash-hose.found",
    "The valve of the wash-down hose is {valve}; the floor is {floor}.",
    valve=one_of(*coolant.COCKS),
    floor=one_of(*coolant.FLOORS),
)


def plain_to_see(saw: Saw) -> tuple[Message, ...]:
    """Return what stands open, in the way or wet, and is seen from the console without a walk."""
    plant = saw.plant
    odd = (
        (plant.band.guide.guard == "open", _GUARD_OPEN),
        (plant.band.guide.cover == "open", _COVER_OPEN),
        (plant.supports.arm == "up", _ARM_UP),
        (plant.coolant.floor == "wet", _FLOOR_WET),
        (plant.head.prop == "in", _PROP_IN),
        (plant.hood.state == "open", _HOOD_UP),
    )
    return tuple(said for there, said in odd if there)


def _walk_round(saw: Saw) -> Message:
    plant = saw.plant
    screws = plant.cutting_vise.relief, plant.shuttle_vise.relief, plant.head.lift.relief
    odd = (
        (plant.coolant.wash == "open", _HOSE_OPEN),
        (plant.supply.cock == "shut", _COCK_SHUT),
        (any(map(plant.padlocks.on, DEVICES)), _LOCKS),
        (plant.supports.chock == "in", _CHOCK_IN),
        ("open" in screws, _RELIEF_OPEN),
    )
    seen = (*plain_to_see(saw), *(said for there, said in odd if there))
    return SEEN_ODD(odd=seen) if seen else _NOTHING_ODD


def _buttons(saw: Saw) -> Message:
    return _BUTTONS(
        isolator="on" if saw.bus.driven("Q0") else "off",
        stop="out" if saw.bus.driven("S1") else "pressed in",
        infeed="out" if saw.bus.driven("S9") else "pressed in",
        line="home" if saw.bus.driven("S2") else "pulled",
    )


def _fuses(saw: Saw) -> Message:
    power = saw.plant.power
    motor = _FUSES_WHOLE
    if power.blown:
        motor = _PUMP_BLOWN if "Q2" in power.blown else _FUSE_BLOWN
    return _FUSES(
        control="whole" if saw.plant.power.fuse_24 else "blown",
        mains=_MAIN_BLOWN if power.phase_lost else _MAINS_WHOLE,
        motor=motor,
    )


def _relay(saw: Saw) -> Message:
    relay = saw.plant.band.relay
    return _RELAY(flag="has tripped" if relay.tripped else "is set", dial=relay.setting_a)


def _air(saw: Saw) -> Message:
    return _AIR(air=saw.plant.supply.air_pa)


def _cock(saw: Saw) -> Message:
    return _COCK(cock=saw.plant.supply.cock)


def _oil(saw: Saw) -> Message:
    return _OIL(level=saw.plant.supply.oil_level)


def _oil_pressure(saw: Saw) -> Message:
    if saw.plant.supply.oil:
        return _PRESSURE
    fed = saw.plant.power.moves("Q2", saw.bus.seen["Q2"], None)
    motor = "hums" if "Q2" in saw.plant.hums else "is heard" if fed else "is silent"
    return _NO_PRESSURE(motor=motor)


def _tank(saw: Saw) -> Message:
    level, machine = saw.plant.coolant.level, saw.plant.site.machine
    if level < machine.coolant_empty:
        return _TANK_EMPTY
    return _TANK_LOW if level < machine.coolant_low else _TANK_FULL


def _coolant_flow(saw: Saw) -> Message:
    return _FLOWS if saw.plant.coolant.flowing else _DRY


def _refractometer(saw: Saw) -> Message:
    strength = saw.plant.coolant.concentration
    if strength < _WEAK:
        return _LEAN
    return _RICH if strength > _STRONG else _RIGHT


def _nozzle(saw: Saw) -> Message:
    if saw.plant.coolant.blocked:
        return _BLOCKED
    return _SPLIT if saw.plant.coolant.split else _FREE


def _hose(saw: Saw) -> Message:
    return _HOSE(valve=saw.plant.coolant.wash, floor=saw.plant.coolant.floor)


_G: Final = Kind.GAUGE

SUPPLY_LOOKS: Final[tuple[Inspection, ...]] = (
    way("walk-round", "Walk once round the saw", "supply", 60, _walk_round, kind=Kind.WALK),
    way("buttons", "Look at isolator, stop buttons and trip line", "supply", 10, _buttons),
    way("fuses", "Open the cabinet and look at the fuses", "supply", 45, _fuses),
    way(
        "overload-relay", "Open the cabinet and look at the overload relay", "supply", 40, _relay,
        reads=("band.relay_a", "band.relay"),
    ),
    way(
        "air-gauge", "Read the air gauge", "supply", 10, _air, kind=_G,
        reads=("supply.air_bar",), shows=("supply.air_bar",),
    ),
    way("air-cock", "Look at the air cock", "supply", 10, _cock, reads=("supply.air_cock",)),
    way(
        "oil-glass", "Look at the oil glass", "supply", 15, _oil, kind=_G,
        reads=("supply.oil_percent",), shows=("supply.oil_percent",),
    ),
    way(
        "oil-pressure", "Read the oil gauge and listen to the pump", "supply", 15, _oil_pressure,
        kind=_G, needs=control_power,
    ),
    way(
        "coolant-tank", "Look into the coolant tank", "coolant", 15, _tank, kind=_G,
        reads=("coolant.level_percent",), shows=("coolant.level_percent", "coolant.concentration_percent", "coolant.wash_down"),
    ),
    way("coolant-flow", "Look whether coolant runs on to the band", "coolant", 10, _coolant_flow),
    way(
        "refractometer", "Put a drop of coolant on the refractometer", "coolant", 45, _refractometer, kind=_G,
        reads=("coolant.concentration_percent",),
    ),
    way("nozzle", "Look at the coolant nozzle", "coolant", 20, _nozzle),
    way(
        "wash-hose", "Look at wash-down hose and floor", "coolant", 15, _hose,
        reads=("coolant.wash_down", "coolant.floor"),
    ),
)  # fmt: skip
