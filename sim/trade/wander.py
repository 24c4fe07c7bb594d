"""How far the band wanders sideways on its way down, and where it passes a limit.

Never here: gauges, lamps or timers.

Theory. Teeth that do not cut evenly to both sides push the band aside with a share of the feed
force. The tensioned strip between the guides gives (`sim.trade.band`), the kerf follows where the
band points, and so the deviation grows towards force x give as the cut gets deeper:

    w(y) = share x F(y) x give x (1 - exp(-y / y0))

The depth y0 over which it grows is chosen for this saw; that it grows so is a simplification of a
band that steers itself. What matters holds by statics: a wider span, less tension, more feed force
and more uneven teeth each make the band wander more.

Beam strength. Pressed on its teeth the strand is a beam-column: what it is aside grows as 1 / (1 - F/Fc)
towards the force at which it runs out (`sim.trade.band.runs_out_at_n`; the magnifier is Timoshenko's). Up to
half of that force, beyond which the set-up card does not go, the give above was chosen with it in, so it magnifies
only what is beyond.
"""

from dataclasses import dataclass
from math import exp, inf
from typing import Final

from sim.trade.cut_table import EVEN_STEPS, CutTable

GROWTH_DEPTH_M: Final = 0.04  # chosen for this saw
MAGNIFIED_FROM: Final = 0.5  # of the force at which the strand runs out; chosen for this saw
_NEARLY: Final = 0.95  # of it; from there the guides hold what is left, and it grows no more
_HALVINGS: Final = 30


@dataclass(frozen=True, slots=True)
class Wander:
    """The deviation of one cut, by depth.

    Args:
        table: The cut.
        side_give_m_n: Share of the feed force that goes sideways, by the give of the span, m/N.
        runs_out_n: Feed force at which the strand runs out sideways, N.
    """

    table: CutTable
    side_give_m_n: float
    runs_out_n: float = inf

    def at_m(self, depth_m: float) -> float:
        """Return how far the band stands beside its line at a depth, m."""
        return self._aside_m(thrust_n(self.table, depth_m)) * _grown(depth_m)

    def _aside_m(self, pressed_n: float) -> float:
        return self.side_give_m_n * pressed_n * magnified(pressed_n / self.runs_out_n)

    def most_m(self, from_m: float, to_m: float) -> float:
        """Return the largest deviation between two depths, m."""
        step_m = (to_m - from_m) / EVEN_STEPS
        return max(self.at_m(from_m + i * step_m) for i in range(EVEN_STEPS + 1))

    @property
    def most_of_all_m(self) -> float:
        """The largest deviation of the whole cut, m."""
        cut, step_m = self.table.conditions, self.table.section.height_m / EVEN_STEPS
        pressed_n = [p / cut.band_speed_m_s * cut.thrust_ratio for p in self.table.powers_w]
        return max([self._aside_m(n) * _grown(i * step_m) for i, n in enumerate(pressed_n)])

    def beyond_m(self, limit_m: float) -> tuple[tuple[float, float], ...]:
        """Return the stretches of depth, m, on which the deviation is over a limit."""
        height_m = self.table.section.height_m
        most_thrust_n = peak_thrust_n(self.table)
        if self._aside_m(most_thrust_n) * _grown(height_m) <= limit_m:
            return ()
        depths_m = [height_m * i / EVEN_STEPS for i in range(EVEN_STEPS + 1)]
        over = [self.at_m(depth_m) > limit_m for depth_m in depths_m]
        found: list[tuple[float, float]] = []
        start_m: float | None = None
        for i in range(1, len(depths_m)):
            if over[i] == over[i - 1]:
                continue
            edge_m = self._crossing_m(depths_m[i - 1], depths_m[i], limit_m)
            if over[i]:
                start_m = edge_m
            elif start_m is not None:
                found.append((start_m, edge_m))
                start_m = None
        if start_m is not None:
            found.append((start_m, height_m))
        return tuple(found)

    def _crossing_m(self, low_m: float, high_m: float, limit_m: float) -> float:
        over_at_low = self.at_m(low_m) > limit_m
        for _ in range(_HALVINGS):
            middle_m = (low_m + high_m) / 2.0
            if (self.at_m(middle_m) > limit_m) == over_at_low:
                low_m = middle_m
            else:
                high_m = middle_m
        return high_m


def magnified(share: float) -> float:
    """Return how much more the band gives, 1 or more, by its feed force as a share of that at which it runs out."""
    return (1.0 - MAGNIFIED_FROM) / (1.0 - min(max(share, MAGNIFIED_FROM), _NEARLY))


def most_thrust_n(out_of_square: float, height_m: float, side_give_m_n: float) -> float:
    """Return the feed force at which a bar of a height is cut so far out of square, N.

    Args:
        out_of_square: Largest deviation over the height, m a m.
        height_m: Height of the bar as it lies, m.
        side_give_m_n: As in `Wander`, m/N.
    """
    return out_of_square * height_m / (side_give_m_n * _grown(height_m))


def thrust_n(table: CutTable, depth_m: float) -> float:
    """Return the force with which the band is pressed into the metal at a depth, N."""
    return pull_n(table, depth_m) * table.conditions.thrust_ratio


def pull_n(table: CutTable, depth_m: float) -> float:
    """Return the force along the band at a depth, N."""
    return table.power_w(depth_m) / table.conditions.band_speed_m_s


def peak_pull_n(table: CutTable) -> float:
    """Return the largest force along the band in the cut, N."""
    return table.peak_power_w / table.conditions.band_speed_m_s


def peak_thrust_n(table: CutTable) -> float:
    """Return the largest force into the metal in the cut, N."""
    return peak_pull_n(table) * table.conditions.thrust_ratio


def _grown(depth_m: float) -> float:
    return 1.0 - exp(-depth_m / GROWTH_DEPTH_M)
