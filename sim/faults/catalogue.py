"""The catalogue of faults: every cause that a drill can hide and a trainee can name.

Imports `fault` and what it reads of the plant.
"""

from math import ceil, floor
from typing import Final

from sim.faults.fault import Family, Fault, Who, Wreck
from sim.units import MM

CLEARANCE_M: Final = (
    8 * MM
)  # between the band and the bar with the head up; common practice, no source
_PAST_M: Final = 5 * MM  # how far the counter is run past a setting to take the backlash out
_HAIR_M: Final = 1e-6


def _hole_that_clears(wreck: Wreck) -> int:
    machine = wreck.plant.site.machine
    hole = ceil((wreck.plant.bar.height_m + CLEARANCE_M) / machine.hole_step_m - 1e-9)
    return min(hole, machine.holes)


def _pin_too_low(wreck: Wreck) -> None:
    machine = wreck.plant.site.machine
    hole = max(floor((wreck.plant.bar.height_m - _HAIR_M) / machine.hole_step_m), 1)
    wreck.plant.head.pin(hole, through=wreck.plant.head.pin_through)


def _too_low(wreck: Wreck) -> bool:
    head, machine = wreck.plant.head, wreck.plant.site.machine
    return head.hole * machine.hole_step_m <= wreck.plant.bar.height_m


def _turn_up_from_below(wreck: Wreck) -> None:
    shuttle = wreck.plant.shuttle
    setting_m = shuttle.counter_m
    shuttle.wind_to(setting_m - _PAST_M)
    shuttle.wind_to(setting_m)


def _run_past_and_back(wreck: Wreck) -> None:
    shuttle = wreck.plant.shuttle
    setting_m = shuttle.counter_m
    shuttle.wind_to(setting_m + _PAST_M)
    shuttle.wind_to(setting_m)


_ROWS: Final = (
    Fault(
        "pin-under-collar", "Height-stop pin under the collar", Family.SET_UP,
        "the pin of the head height stop is under the collar instead of through it",
        "Set the collar down and push the pin through it.",
        Who.OPERATOR, 2, False, ("bar-into-band",),
        apply=lambda w: w.plant.head.pin(w.plant.head.hole, through=False),
        present=lambda w: not w.plant.head.pin_through,
        mend=lambda w: w.plant.head.pin(w.plant.head.hole, through=True),
    ),
    Fault(
        "height-stop-low", "Height stop set too low for the bar", Family.SET_UP,
        "the collar of the head height stop is pinned at a hole lower than the bar is high",
        "Pin the collar at the lowest hole that clears the bar.",
        Who.OPERATOR, 2, False, ("bar-into-band",),
        apply=_pin_too_low,
        present=_too_low,
        mend=lambda w: w.plant.head.pin(_hole_that_clears(w), through=w.plant.head.pin_through),
    ),
    Fault(
        "variator-forced", "Variator pulley forced at rest", Family.MECHANICAL,
        "the variator pulley is damaged and slips, because the speed was changed at rest",
        "Lock out, open the wheel cover, and fit new pulley halves and a belt.",
        Who.MAINTENANCE, 45, True, (),
        apply=lambda w: w.plant.band.set_damage(0.6),
        present=lambda w: w.plant.band.damage > 0.0,
        mend=lambda w: w.plant.band.set_damage(0.0),
    ),
    Fault(
        "counter-from-below", "Length counter approached from the wrong side", Family.SET_UP,
        "the length counter was turned up to its setting, so the backlash of its screw is still in",
        "Run the counter past the setting and back to it.",
        Who.OPERATOR, 1, False, (),
        apply=_turn_up_from_below,
        present=lambda w: w.plant.shuttle.counter_m - w.plant.shuttle.stop_m > _HAIR_M,
        mend=_run_past_and_back,
    ),
)  # fmt: skip

CATALOGUE: Final = {row.name: row for row in _ROWS}
