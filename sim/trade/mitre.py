"""A cut seen from above: what a mitre does to kerf, trim, piece and the end of the bar.

Never here: depth, force and time of a cut (`sim.trade.cut_table`), or which cut is made next.

Theory. The bar lies against the fixed jaw. `across` is measured from that jaw, 0 to the width of the
bar; `x` runs along the bar, away from the stock. A head swung by `a` cuts the plane x = across tan(a),
so at the moving jaw it cuts further out. A kerf of width k, square to its plane, takes k / cos(a) along the bar,
at every place across: a piece between two cuts of one angle is a parallelogram whose two long
edges are alike, so the length stop wants piece + k / cos(a) and nothing for the angle itself.

An end of a bar is a line from edge to edge, broken where a cut ran out of the bar before it was
across. To take the whole of a square end off, it must stand out past the band, at the fixed jaw, by
width x tan(a); else a corner of the old end stays.
Source: plane geometry.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import tan

from sim.trade.sections import mitre_factor

_HAIR_M = 1e-9


def kerf_along_m(kerf_m: float, mitre_rad: float) -> float:
    """Return what a kerf takes of the bar along its length, m: kerf / cos(angle).

    Args:
        kerf_m: Width of the cut, square to its plane, m.
        mitre_rad: Swivel from the square cut, rad.

    Raises:
        DrycycleError: At a quarter turn or beyond.
    """
    return kerf_m * mitre_factor(mitre_rad)


def lean_m(width_m: float, mitre_rad: float) -> float:
    """Return by how much an end at an angle runs along the bar from edge to edge, m: width x tan(angle).

    It is also the least by which a square end must stand out past the band for a mitred first cut,
    and by which the long point of an end is beyond its short point.

    Args:
        width_m: Of the bar, from jaw to jaw, m.
        mitre_rad: Swivel from the square cut, rad.
    """
    return width_m * tan(mitre_rad)


@dataclass(frozen=True, slots=True)
class BarEnd:
    """An end of a bar from above.

    Attributes:
        points: (across, x) of its corners, m, from the fixed jaw to the other edge.
    """

    points: tuple[tuple[float, float], ...]

    @property
    def width_m(self) -> float:
        """From edge to edge, m."""
        return self.points[-1][0]

    def x_at_m(self, across_m: float) -> float:
        """Return where it is at a place across, m; held at its edges."""
        points = self.points
        for (near_m, near_x), (far_m, far_x) in pairwise(points):
            if across_m <= far_m:
                share = (across_m - near_m) / (far_m - near_m)
                return near_x + max(share, 0.0) * (far_x - near_x)
        return points[-1][1]

    def moved(self, by_m: float) -> "BarEnd":
        """Return it so much further out, m."""
        return BarEnd(tuple([(across_m, x_m + by_m) for across_m, x_m in self.points]))

    def cut(self, mitre_rad: float) -> "BarEnd":
        """Return what is left of it after a cut through x = 0 at the fixed jaw: the nearer of the two everywhere."""
        slope = tan(mitre_rad)
        corners = list(self.points)
        over = [x_m - slope * across_m for across_m, x_m in corners]
        found: list[tuple[float, float]] = []
        for number, ((across_m, x_m), beyond_m) in enumerate(zip(corners, over, strict=True)):
            if number and over[number - 1] * beyond_m < 0.0:
                share = over[number - 1] / (over[number - 1] - beyond_m)
                near_m = corners[number - 1][0]
                crossing_m = near_m + share * (across_m - near_m)
                found.append((crossing_m, slope * crossing_m))
            found.append((across_m, min(x_m, slope * across_m)))
        return BarEnd(_straightened(found))


def square_end(width_m: float, x_m: float = 0.0) -> BarEnd:
    """Return a square end at a place along the bar, m."""
    return BarEnd(((0.0, x_m), (width_m, x_m)))


def _straightened(points: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return corners without those that lie on the line between their neighbours."""
    kept = points[:1]
    for middle, after in pairwise(points[1:]):
        (near_m, near_x), (across_m, x_m), (far_m, far_x) = kept[-1], middle, after
        on_line_x = near_x + (far_x - near_x) * (across_m - near_m) / (far_m - near_m)
        if abs(x_m - on_line_x) > _HAIR_M:
            kept.append(middle)
    return (*kept, points[-1])


@dataclass(frozen=True, slots=True)
class Off:
    """What a cut took off, or would take off, beyond its kerf.

    Attributes:
        long_m: Longest line along the bar from end to end, m: at its longer edge, where both ends are whole.
        short_m: Along its shorter edge, m; 0 where that edge is gone.
        corner_m: By how much the end of the bar did not reach the plane of the cut, m along the bar: 0 if the
            cut took the whole end off.
    """

    long_m: float
    short_m: float
    corner_m: float


def taken_off(end: BarEnd, mitre_rad: float, kerf_m: float) -> Off:
    """Return what a cut through x = 0 at the fixed jaw takes off an end.

    Args:
        end: Of the bar, as it stands before the cut.
        mitre_rad: Swivel from the square cut, rad.
        kerf_m: Width of the cut, square to its plane, m.
    """
    slope, along_m = tan(mitre_rad), kerf_along_m(kerf_m, mitre_rad)
    over = [x_m - slope * across_m for across_m, x_m in end.points]
    edges = over[0] - along_m, over[-1] - along_m
    return Off(max(0.0, max(over) - along_m), max(0.0, min(edges)), max(0.0, -min(over)))
