"""What a hand can set at air, oil and coolant."""

from typing import Final

from sim.plant import coolant, supply
from sim.plant.set_points.row import SetPoint, between, choice, measure, number
from sim.units import BAR
from sim.words.fields import bar, percent

_PER_CENT: Final = 0.01

SUPPLY_ROWS: Final[tuple[SetPoint, ...]] = (
    measure(
        "supply.air_bar", "air regulator", "supply",
        lambda p: p.supply.regulator_pa / BAR,
        lambda p, v: p.set_air(number(v) * BAR),
        (bar(None), lambda m: (0.0, m.air_high_pa / BAR), 0.1),
    ),
    choice(
        "supply.air_cock", "air cock of the saw", "supply",
        lambda p: p.supply.cock,
        lambda p, v: p.supply.set_cock(str(v)),
        supply.COCKS,
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
)  # fmt: skip
