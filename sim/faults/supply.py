"""Faults of what feeds the machine: mains, control power, motor protection, air and oil."""

from typing import Final

from sim.faults.fault import Family, Who, Wreck, fault
from sim.faults.forms import beyond, misset
from sim.plant.supply import OPEN, SHUT
from sim.units import BAR

_F, _O, _M = Family.SUPPLY, Who.OPERATOR, Who.MAINTENANCE


def _shut_the_cock(wreck: Wreck) -> None:
    """Shut the air cock, the line empty as after a night."""
    plant = wreck.plant
    regulator_pa = plant.supply.regulator_pa
    plant.set_air(0.0)
    plant.supply.set_cock(SHUT)
    plant.set_air(regulator_pa)


SUPPLY_ROWS: Final = (
    fault(
        "control-fuse-blown", "Control fuse behind the isolator blown", _F,
        "the fuse of the control circuit is blown, so nothing comes through the isolator",
        "Find what blew the fuse, and fit a new one.",
        _M, 15,
        apply=lambda w: w.plant.power.spoil(lambda power: setattr(power, "fuse_24", False)),
        present=lambda w: not w.plant.power.fuse_24,
        mend=lambda w: w.plant.power.spoil(lambda power: setattr(power, "fuse_24", True)),
    ),
    fault(
        "phase-lost", "One phase of the mains missing", _F,
        "one of the three phases of the mains does not reach the saw",
        "Have a qualified electrician find why the main fuse of that phase blew, and fit a new one; what feeds that fuse is locked off, too.",
        _M, 25,
        apply=lambda w: w.plant.power.spoil(lambda power: setattr(power, "phase_lost", True)),
        present=lambda w: w.plant.power.phase_lost,
        mend=lambda w: w.plant.power.spoil(lambda power: setattr(power, "phase_lost", False)),
    ),
    fault(
        "relay-set-low", "Overload relay set too low", _F,
        "the dial of the overload relay is set under the current of the motor",
        "Set the relay to the rated current of the motor, and reset it when it is cool.",
        _M, 3,
        **misset("band.relay_a", lambda _: 4.0, lambda a, right: a < 0.85 * right),
    ),
    fault(
        "air-regulator-low", "Air regulator set too low", _F,
        "the air regulator lets too little pressure through",
        "Set the air regulator as the card has it.",
        _O, 1,
        **beyond(
            "supply.air_bar",
            lambda machine: machine.air_switch_pa / BAR - 1.5,
            lambda bar, machine: bar * BAR < machine.air_switch_pa,
        ),
    ),
    fault(
        "air-cock-shut", "Air cock of the saw shut", _F,
        "the air cock of the saw is shut, and the line has emptied",
        "Find who shut the air cock and why; then open it, with nobody under the head.",
        _O, 1,
        apply=_shut_the_cock,
        present=lambda w: w.plant.supply.cock == SHUT,
        mend=lambda w: w.plant.supply.set_cock(OPEN),
    ),
    fault(
        "oil-low", "Oil tank almost empty", _F,
        "the oil in the tank is down to where the pump begins to draw air",
        "Top the oil up to the mark.",
        _O, 5,
        **misset("supply.oil_percent", lambda _: 15, lambda percent, _: percent < 30),
    ),
)  # fmt: skip
