"""Conversions between shop units and SI, the weight of a mass, and nothing else.

Inside the program everything is SI (m, s, N, Pa, W, rad).
"""

from typing import Final

MM: Final = 1e-3  # m
MINUTE: Final = 60.0  # s
BAR: Final = 1e5  # Pa
MPA: Final = 1e6  # Pa
INCH: Final = 0.0254  # m, exact by definition (international inch, 1959)
GRAVITY_M_S2: Final = 9.81
US: Final = 1_000_000  # microseconds in a second


def m_from_mm(value_mm: float) -> float:
    """Return metres from millimetres."""
    return value_mm * MM


def mm_from_m(value_m: float) -> float:
    """Return millimetres from metres."""
    return value_m / MM


def m_s_from_m_min(value_m_min: float) -> float:
    """Return metres a second from metres a minute."""
    return value_m_min / MINUTE
