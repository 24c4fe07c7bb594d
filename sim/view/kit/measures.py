"""Units on the screen: metric as the machine has them, or inch units worked out from them.

The factors are exact by definition or products of such (inch, foot, pound-force; 1959 agreement).
"""

from dataclasses import dataclass
from typing import Final

from sim.units import INCH, MM
from sim.view.kit.words import say

_POUND_FORCE_N: Final = 4.4482216152605  # exact: 0.45359237 kg at 9.80665 m/s2
_PSI_PA: Final = _POUND_FORCE_N / INCH**2
_FOOT_MM: Final = 12 * INCH / MM


@dataclass(frozen=True, slots=True)
class Other:
    """What a metric unit is in inch units."""

    word: str
    factor: float  # inch units in one metric unit
    decimals: int  # more than the metric value has


_INCH: Final[dict[str, Other]] = {
    "mm": Other("in", MM / INCH, 2),
    "m": Other("ft", 1000 / _FOOT_MM, 0),
    "m/min": Other("ft/min", 1000 / _FOOT_MM, 0),
    "mm/min": Other("in/min", MM / INCH, 1),
    "bar": Other("psi", 1e5 / _PSI_PA, 0),
    "MPa": Other("ksi", 1e3 / _PSI_PA, 1),
    "N": Other("lbf", 1 / _POUND_FORCE_N, 0),
    "cm³/min": Other("in³/min", (0.01 / INCH) ** 3, 2),
}


@dataclass(frozen=True, slots=True)
class Measures:
    """How lengths, speeds, pressures and forces are written."""

    inch: bool = False

    def _other(self, unit: str) -> Other | None:
        return _INCH.get(unit) if self.inch else None

    def unit(self, unit: str) -> str:
        """Return the unit that is written for a metric one."""
        other = self._other(unit)
        return say(other.word if other else unit)

    def number(self, value: float, unit: str, decimals: int = 0, *, sign: bool = False) -> str:
        """Return a metric value as a number in the units that are written."""
        other = self._other(unit)
        if other:
            value, decimals = value * other.factor, decimals + other.decimals
        text = f"{value:+.{decimals}f}" if sign else f"{value:.{decimals}f}"
        return text.lstrip("-") if float(text) == 0.0 and not sign else text

    def words(self, value: float, unit: str, decimals: int = 0, *, sign: bool = False) -> str:
        """Return a metric value with the unit that is written."""
        return f"{self.number(value, unit, decimals, sign=sign)} {self.unit(unit)}".strip()

    def metric(self, value: float, unit: str) -> float:
        """Return what a value that somebody typed is in the metric unit."""
        other = self._other(unit)
        return value / other.factor if other else value


METRIC: Final = Measures()
