"""The band motor: its current, and the overload relay that watches its heat.

Never here: contactors, resets or who pressed what.

Theory. The relay stands in for the motor's heat by one number, `heat`, which follows the
square of the current ratio with one time constant, and trips at the square of `trip_factor`:

    t = tau ln((i^2 - heat_before) / (i^2 - k^2))

Form as in IEC 60255-149 (from memory). With tau 250 s and k 1.125 it trips between 4 and 10 s
at 7.2 times its setting from cold, which is trip class 10 (a maker's page that cites
IEC 60947-4-1), and never at 1.05 times. The motor's idle current is taken as constant; only
the working part of the current follows the load (textbook simplification, from memory).
"""

from dataclasses import dataclass
from math import exp, inf, log, sqrt
from typing import Final

from sim.trade.bounds import require_above_zero, require_fraction

TIME_CONSTANT_S: Final = 250.0
TRIP_FACTOR: Final = 1.125


@dataclass(frozen=True)
class Motor:
    """What the rating plate of a three-phase motor says."""

    rated_power_w: float
    voltage_v: float
    power_factor: float
    efficiency: float

    def __post_init__(self) -> None:
        require_above_zero(
            "Motor",
            rated_power_w=self.rated_power_w,
            voltage_v=self.voltage_v,
        )
        require_fraction("Motor", power_factor=self.power_factor, efficiency=self.efficiency)


def rated_current_a(motor: Motor) -> float:
    """Return the line current at rated power, A."""
    electric_w = motor.rated_power_w / motor.efficiency
    return electric_w / (sqrt(3.0) * motor.voltage_v * motor.power_factor)


def current_ratio(shaft_power_w: float, motor: Motor) -> float:
    """Return line current / rated current at a shaft power.

    The working current goes with the power; the idle current stays at its rated share.
    """
    load = shaft_power_w / motor.rated_power_w
    working_square = (load * motor.power_factor) ** 2
    return sqrt(working_square + 1.0 - motor.power_factor**2)


def trip_time_s(
    current_ratio: float,
    preload_ratio: float = 0.0,
    time_constant_s: float = TIME_CONSTANT_S,
    trip_factor: float = TRIP_FACTOR,
) -> float:
    """Return how long a current takes to trip the relay, s; infinity if it never does.

    Args:
        current_ratio: Line current by the relay's setting.
        preload_ratio: Current that ran until the relay's heat was steady; 0 from cold.
        time_constant_s: Time constant of the relay's heat, s.
        trip_factor: Current ratio that it just carries for ever.
    """
    return time_to_trip_s(current_ratio, preload_ratio**2, time_constant_s, trip_factor)


def time_to_trip_s(
    current_ratio: float,
    heat: float,
    time_constant_s: float = TIME_CONSTANT_S,
    trip_factor: float = TRIP_FACTOR,
) -> float:
    """Return how long until the relay trips from a heat, s; 0 if it is there already."""
    limit = trip_factor**2
    if heat >= limit:
        return 0.0
    target = current_ratio**2
    if target <= limit:
        return inf
    return time_constant_s * log((target - heat) / (target - limit))


def heat_after(
    heat: float, current_ratio: float, elapsed_s: float, time_constant_s: float = TIME_CONSTANT_S
) -> float:
    """Return the relay's heat after a time at one current; 1 is that of the rated current."""
    target = current_ratio**2
    return target + (heat - target) * exp(-elapsed_s / time_constant_s)
