"""How long a band lasts at a speed and with its coolant, and how warm it runs.

Never here: tanks, pumps or gauges.

Theory. Taylor's v T^n = constant (`sim.trade.choice.life_at_speed_s`), from a life known at the
middle of the metal's range of speeds. A slower band is not allowed to last more than four times as
long: teeth that rub wear too. Coolant that is lean, rich, diverted or absent takes its share of the
life and of the cooling. All constants are chosen for this saw, with the order of magnitude of common
practice; only the trends are claimed.
"""

from typing import Final

from sim.trade.choice import life_at_speed_s
from sim.trade.materials import Material

TAYLOR_EXPONENT: Final = 0.125  # high-speed steel, from memory
MOST_GAIN: Final = 4.0
LIFE_DRY: Final = 0.15  # of the life with good coolant
LEAN: Final = 0.05  # by volume; five to ten per cent is usual for soluble oil (one workshop page)
RICH: Final = 0.10
_RICHEST: Final = 0.30  # foam; nothing left of the cooling
_HEAT_SHARE: Final = 0.1  # of the cutting power that stays in the band
_DRY_W_K: Final = 0.8  # what a dry band sheds for each kelvin
_WET_W_K: Final = 10.0  # with good coolant


def coolant_quality(concentration: float) -> float:
    """Return what a coolant of a true concentration is worth, 0 (nothing) to 1 (right)."""
    if concentration < LEAN:
        return max(0.0, concentration / LEAN)
    if concentration <= RICH:
        return 1.0
    return max(0.0, 1.0 - (concentration - RICH) / (_RICHEST - RICH))


def band_life_s(
    life_s: float, material: Material, speed_m_s: float, quality: float, extra_wear: float = 0.0
) -> float:
    """Return how long the teeth last in the cut, s.

    Args:
        life_s: Life at the middle of the metal's speeds with good coolant, s.
        material: The metal, with its range of speeds.
        speed_m_s: Band speed, m/s.
        quality: Worth of the coolant at the cut, 0 to 1.
        extra_wear: What else grinds at the teeth, as a share on top of 1.
    """
    middle_m_s = (material.speed_low_m_s + material.speed_high_m_s) / 2.0
    taylor_s = life_at_speed_s(life_s, middle_m_s, speed_m_s, TAYLOR_EXPONENT)
    share = LIFE_DRY + (1.0 - LIFE_DRY) * quality
    return min(taylor_s, MOST_GAIN * life_s) * share / (1.0 + extra_wear)


def warmer_by_k(cutting_power_w: float, quality: float) -> float:
    """Return how much warmer than the saw the band runs once it is steady, K."""
    return _HEAT_SHARE * cutting_power_w / (_DRY_W_K + (_WET_W_K - _DRY_W_K) * quality)
