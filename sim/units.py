"""Conversions between shop units and SI, and nothing else.

Inside the program everything is SI (m, s, N, Pa, W, rad).
"""

from typing import Final

MM: Final = 1e-3  # m
MINUTE: Final = 60.0  # s
BAR: Final = 1e5  # Pa
MPA: Final = 1e6  # Pa
INCH: Final = 0.0254  # m, exact by definition (international inch, 1959)
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


def m_min_from_m_s(value_m_s: float) -> float:
    """Return metres a minute from metres a second."""
    return value_m_s * MINUTE


def m_s_from_mm_min(value_mm_min: float) -> float:
    """Return metres a second from millimetres a minute."""
    return value_mm_min * MM / MINUTE


def mm_min_from_m_s(value_m_s: float) -> float:
    """Return millimetres a minute from metres a second."""
    return value_m_s / MM * MINUTE


def pa_from_bar(value_bar: float) -> float:
    """Return pascals from bar."""
    return value_bar * BAR


def us_from_s(value_s: float) -> int:
    """Return whole microseconds from seconds, rounded to the nearest."""
    return round(value_s * US)


def s_from_us(value_us: int) -> float:
    """Return seconds from whole microseconds."""
    return value_us / US
