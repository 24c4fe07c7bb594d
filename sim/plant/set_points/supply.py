"""What a hand can set at air, oil and coolant."""

from typing import Final

from sim.plant import coolant, mode_key, supply
from sim.plant.head import PROP_OUT
from sim.plant.padlocks import AIR_COCK
from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, between, choice, measure, number
from sim.units import BAR
from sim.words.fields import bar, percent
from sim.words.message import NOTHING, Message, plain

_PER_CENT: Final = 0.01

_COCK_LOCKED: Final = plain(
    "set-point.supply.air-cock.locked",
    "A padlock hangs on the air cock. It comes off by whoever put it on.",
)


def _cock_locked(plant: Plant) -> Message:
    return _COCK_LOCKED if plant.padlocks.on(AIR_COCK) else NOTHING


def _turn_cock(plant: Plant, cock: str) -> None:
    """Turn the air cock; locked, it stays as it is."""
    if not plant.padlocks.on(AIR_COCK):
        if cock == supply.SHUT and not plant.head.rests and plant.head.prop == PROP_OUT:
            plant.site.tell("head-unsupported")
        plant.supply.set_cock(cock)


SUPPLY_ROWS: Final[tuple[SetPoint, ...]] = (
    measure(
        "supply.air_bar", "air regulator", "supply",
        lambda p: p.supply.regulator_pa / BAR,
        lambda p, v: p.set_air(number(v) * BAR),
        (bar(None), lambda m: (0.0, m.air_high_pa / BAR), 0.1),
    ),
    choice(
        "supply.air_cock", "air cock of the saw (shut, it vents what is behind it)", "supply",
        lambda p: p.supply.cock,
        lambda p, v: _turn_cock(p, str(v)),
        supply.COCKS, _cock_locked,
    ),
    measure(
        "supply.oil_percent", "oil: level of the tank", "supply",
        lambda p: p.supply.oil_level / _PER_CENT,
        lambda p, v: p.set_oil(number(v) * _PER_CENT),
        (percent(None), between(0, 100), 5),
    ),
    measure(
        "coolant.level_percent", "coolant: level of the tank, topped up with ready mixture", "coolant",
        lambda p: p.coolant.level / _PER_CENT,
        lambda p, v: p.coolant.set_level(number(v) * _PER_CENT),
        (percent(None), between(0, 100), 5),
    ),
    measure(
        "coolant.concentration_percent", "coolant: strength by the refractometer, corrected", "coolant",
        lambda p: p.coolant.concentration / _PER_CENT,
        lambda p, v: p.coolant.mix(number(v) * _PER_CENT),
        (percent(None), between(0, 40), 0.5),
        scale=False,
    ),
    choice(
        "coolant.wash_down", "wash-down hose valve", "coolant",
        lambda p: p.coolant.wash,
        lambda p, v: p.coolant.set_wash(str(v)),
        coolant.COCKS,
    ),
    choice(
        "coolant.floor", "the floor round the saw; dry once mopped", "coolant",
        lambda p: p.coolant.floor,
        lambda p, v: p.coolant.mop(str(v)),
        coolant.FLOORS,
    ),
    choice(
        "mode.key", "key of the mode switch", "mode",
        lambda p: p.mode_key.place,
        lambda p, v: p.mode_key.put(str(v)),
        mode_key.PLACES,
    ),
)  # fmt: skip
