"""How fast a load lets itself down through the oil: a feed valve, and a needle behind it.

Never here: what raises it, power, or what the band meets.

Theory. The feed valve is pressure-compensated: it holds the rate that it is set to, whatever the load.
The needle of the exhaust throttle is a sharp-edged orifice, Q = Cd A sqrt(2 dp / rho), and its area goes
with the square of its turns. Both are in line, so the oil passes at the rate of the one that lets less
through, the needle with all the pressure of the load behind it. Cd of a sharp edge in a wide pipe is
pi / (pi + 2) (Kirchhoff's free jet; in books on fluid power after Merritt, from memory).
"""

from math import pi, sqrt
from typing import Final

from sim.trade.bounds import require_above_zero

SHARP_EDGE_DISCHARGE: Final = pi / (pi + 2.0)
OIL_DENSITY_KG_M3: Final = 870.0  # usual for mineral hydraulic oil, from memory


def orifice_flow_m3_s(area_m2: float, drop_pa: float) -> float:
    """Return the flow of oil through a sharp-edged orifice, m3/s; the drop is not below zero."""
    return SHARP_EDGE_DISCHARGE * area_m2 * sqrt(2.0 * drop_pa / OIL_DENSITY_KG_M3)


def orifice_for_m2(rate_m_s: float, load_n: float, piston_m2: float) -> float:
    """Return the area of an orifice that lets a load down at a rate, m2.

    Raises:
        DrycycleError: Load or piston is zero or less.
    """
    require_above_zero("descent", load_n=load_n, piston_m2=piston_m2)
    return rate_m_s * piston_m2 / orifice_flow_m3_s(1.0, load_n / piston_m2)


def needle_m_s(open_share: float, full_m2: float, load_n: float, piston_m2: float) -> float:
    """Return how fast a load sinks through a needle, m/s.

    Args:
        open_share: Its turns by those at which it is fully open, 0 to 1.
        full_m2: Its area fully open, m2.
        load_n: What presses on the oil, N.
        piston_m2: Area of the piston, m2.
    """
    return orifice_flow_m3_s(full_m2 * open_share**2, load_n / piston_m2) / piston_m2


def descent_m_s(valve_m_s: float, needle_rate_m_s: float) -> float:
    """Return how fast a load sinks through a compensated valve and a needle in line, m/s."""
    return min(valve_m_s, needle_rate_m_s)
