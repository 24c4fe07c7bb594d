"""How fast the head comes down on its oil, and how hard its weight can press the band.

Never here: air pressure, switches or what the band meets.

Theory. The feed valve is taken as a sharp-edged orifice, Q = Cd A sqrt(2 dp / rho): speed goes
with the square root of the load and the oil's thickness does not matter. A laminar throttle
would be slow in the cold and a pressure-compensated valve deaf to the load; this saw has
neither. Cd of a sharp edge in a wide pipe is pi / (pi + 2). Source: "Fluid Power
Engineering", p. 27, citing Merritt 1967.
"""

from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

from sim.trade.bounds import require_above_zero

GRAVITY_M_S2: Final = 9.81
SHARP_EDGE_DISCHARGE: Final = pi / (pi + 2.0)
OIL_DENSITY_KG_M3: Final = 870.0  # usual for mineral hydraulic oil, from memory


@dataclass(frozen=True)
class HeadWeights:
    """The weight of the head and its arms about the rear pivot, all measured level."""

    mass_kg: float
    mass_arm_m: float
    cylinder_arm_m: float
    band_arm_m: float

    def __post_init__(self) -> None:
        require_above_zero(
            "Head",
            mass_kg=self.mass_kg,
            mass_arm_m=self.mass_arm_m,
            cylinder_arm_m=self.cylinder_arm_m,
            band_arm_m=self.band_arm_m,
        )


def cylinder_load_n(head: HeadWeights, feed_force_n: float = 0.0) -> float:
    """Return what the cylinder carries while the metal carries the feed force, N; never below 0."""
    moment_nm = head.mass_kg * GRAVITY_M_S2 * head.mass_arm_m - feed_force_n * head.band_arm_m
    return max(0.0, moment_nm / head.cylinder_arm_m)


def feed_force_n(head: HeadWeights, cylinder_n: float) -> float:
    """Return the force that the band presses with while the cylinder carries a part, N."""
    moment_nm = head.mass_kg * GRAVITY_M_S2 * head.mass_arm_m - cylinder_n * head.cylinder_arm_m
    return max(0.0, moment_nm / head.band_arm_m)


def cylinder_pressure_pa(load_n: float, bore_m: float) -> float:
    """Return the oil pressure under a load, Pa."""
    return load_n / (pi * bore_m**2 / 4.0)


def orifice_flow_m3_s(
    diameter_m: float,
    pressure_drop_pa: float,
    discharge: float = SHARP_EDGE_DISCHARGE,
    density_kg_m3: float = OIL_DENSITY_KG_M3,
) -> float:
    """Return the flow through a sharp-edged orifice, m3/s; drop not below zero."""
    area_m2 = pi * diameter_m**2 / 4.0
    return discharge * area_m2 * sqrt(2.0 * pressure_drop_pa / density_kg_m3)


def descent_speed_m_s(
    load_n: float,
    bore_m: float,
    orifice_m: float,
    discharge: float = SHARP_EDGE_DISCHARGE,
    density_kg_m3: float = OIL_DENSITY_KG_M3,
) -> float:
    """Return how fast a load pushes the cylinder down through the orifice, m/s."""
    pressure_pa = cylinder_pressure_pa(load_n, bore_m)
    flow_m3_s = orifice_flow_m3_s(orifice_m, pressure_pa, discharge, density_kg_m3)
    return flow_m3_s / (pi * bore_m**2 / 4.0)


def orifice_for_speed_m(
    speed_m_s: float,
    load_n: float,
    bore_m: float,
    discharge: float = SHARP_EDGE_DISCHARGE,
    density_kg_m3: float = OIL_DENSITY_KG_M3,
) -> float:
    """Return the orifice that lets a load down at a speed, m: `descent_speed_m_s` backwards."""
    unit_m_s = descent_speed_m_s(load_n, bore_m, 1.0, discharge, density_kg_m3)
    return sqrt(speed_m_s / unit_m_s)


def speed_under_load_m_s(speed_m_s: float, load_n: float, other_load_n: float) -> float:
    """Return the descent at another load with the valve left alone, m/s: as its square root."""
    return speed_m_s * sqrt(other_load_n / load_n)
