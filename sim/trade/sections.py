"""Cross-sections of bars as the band meets them: how much metal is in its way at a depth.

Never here: materials, forces, or which bar is on which saw.

Depth is measured downwards from the side that the band touches first. Every bar here is
symmetric about the upright line through its middle and, at any depth, is an outer width less
an inner gap; so one pair of half-widths a shape gives contact length and contact intervals.

| shape      | lies                                  | outer half-width, then inner gap       |
| ---------- | ------------------------------------- | -------------------------------------- |
| Round      | -                                     | sqrt(y (D - y))                        |
| Square     | on a side                             | a / 2                                  |
| Rectangle  | on its width                          | w / 2                                  |
| tubes      | as the solid bar, sharp corners       | the same, less the bore at y - t       |
| Angle      | inverted V, apex up, sharp corners    | y, then back along the leg ends; gap   |
|            |                                       | y - t sqrt 2 below the inner corner    |
| IBeam      | web upright, a flange first, no fillet| w / 2 in a flange, web / 2 between     |
| Bundle     | bars touching in a row, rows on top   | each bar's own, moved aside            |

At a jump in width (the underside of a flange) the contact is that of the deeper side; at the
very bottom it is that of the last metal. Above the bar and below it the contact is nothing.
Source: plane geometry.
"""

from dataclasses import dataclass
from math import cos, pi, sqrt
from typing import Final, Protocol, TypeAlias

from sim.errors import DrycycleError
from sim.trade.bounds import require_above_zero
from sim.words.fields import name
from sim.words.message import plain, row

Intervals: TypeAlias = tuple[tuple[float, float], ...]

_ROOT_2: Final = sqrt(2.0)

_ALONG: Final = row("section.mitre", "a mitre of {angle} rad runs along the bar", angle=name())
_LESS_SWIVEL: Final = plain("section.mitre.do", "swivel the head less than a quarter turn")
_SOLID: Final = row(
    "section.solid",
    "a wall of {wall} m leaves no hollow in {outside} m",
    wall=name(), outside=name(),
)  # fmt: skip
_THINNER: Final = plain(
    "section.solid.do", "give a wall under half the outside size, or a solid bar"
)


class _Outline(Protocol):
    """What a shape has to say of itself; the rest follows for every shape alike."""

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""


def _contact_length_m(outline: _Outline, depth_m: float) -> float:
    """Return the length of metal across the band at a depth, m; nothing off the bar."""
    outer_m, inner_m = outline.half_widths_m(depth_m)
    return 2.0 * (outer_m - inner_m)


def _contact_intervals_m(outline: _Outline, depth_m: float) -> Intervals:
    """Return where metal starts and ends across the band at a depth, m from the middle."""
    outer_m, inner_m = outline.half_widths_m(depth_m)
    if outer_m <= inner_m:
        return ()
    if inner_m > 0.0:
        return ((-outer_m, -inner_m), (inner_m, outer_m))
    return ((-outer_m, outer_m),)


def _mass_kg_m(outline: _Outline, density_kg_m3: float) -> float:
    """Return the mass of a metre of the bar, kg/m, from its density in kg/m3."""
    return outline.area_m2 * density_kg_m3


def mitre_factor(angle_rad: float) -> float:
    """Return by how much a mitre stretches the contact across the band: 1 / cos(angle).

    The head swivels about the upright axis, so depths stay and widths grow.

    Args:
        angle_rad: Swivel from the square cut, rad, under a quarter turn either way.

    Raises:
        DrycycleError: At a quarter turn or beyond the band would run along the bar.
    """
    stretch = cos(angle_rad)
    if stretch < 1e-9 or abs(angle_rad) > pi / 2:
        raise DrycycleError(_ALONG(angle=str(angle_rad)), "mitre", _LESS_SWIVEL)
    return 1.0 / stretch


def _require_wall(owner: str, wall_m: float, least_outside_m: float) -> None:
    require_above_zero(owner, wall_m=wall_m)
    if 2.0 * wall_m >= least_outside_m:
        what = _SOLID(wall=str(wall_m), outside=str(least_outside_m))
        raise DrycycleError(what, owner, _THINNER)


@dataclass(frozen=True)
class Round:
    """A solid round bar."""

    diameter_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("Round", diameter_m=self.diameter_m)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return self.diameter_m

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.diameter_m

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return pi * self.diameter_m**2 / 4.0

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.diameter_m / 2.0, self.diameter_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        square_m2 = depth_m * (self.diameter_m - depth_m)
        return (sqrt(square_m2), 0.0) if square_m2 > 0.0 else (0.0, 0.0)


@dataclass(frozen=True)
class Rectangle:
    """A solid flat bar, lying on its width."""

    width_m: float
    height_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("Rectangle", width_m=self.width_m, height_m=self.height_m)

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return self.width_m * self.height_m

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.height_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        return (self.width_m / 2.0, 0.0) if 0.0 <= depth_m <= self.height_m else (0.0, 0.0)


@dataclass(frozen=True)
class Square:
    """A solid square bar, lying on a side."""

    side_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("Square", side_m=self.side_m)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return self.side_m

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.side_m

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return self.side_m**2

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.side_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        return (self.side_m / 2.0, 0.0) if 0.0 <= depth_m <= self.side_m else (0.0, 0.0)


@dataclass(frozen=True)
class RoundTube:
    """A round tube; its longest contact is where the bore is just reached."""

    diameter_m: float
    wall_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("RoundTube", diameter_m=self.diameter_m)
        _require_wall("RoundTube", self.wall_m, self.diameter_m)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return self.diameter_m

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.diameter_m

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return pi * self.wall_m * (self.diameter_m - self.wall_m)

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        outside_m, wall_m = self.diameter_m, self.wall_m
        return (0.0, wall_m, outside_m / 2.0, outside_m - wall_m, outside_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        outer_m2 = depth_m * (self.diameter_m - depth_m)
        if outer_m2 <= 0.0:
            return (0.0, 0.0)
        inner_m2 = outer_m2 - self.wall_m * (self.diameter_m - self.wall_m)
        return (sqrt(outer_m2), sqrt(inner_m2) if inner_m2 > 0.0 else 0.0)


@dataclass(frozen=True)
class RectangularTube:
    """A rectangular tube with sharp corners, lying on its width."""

    width_m: float
    height_m: float
    wall_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("RectangularTube", width_m=self.width_m, height_m=self.height_m)
        _require_wall("RectangularTube", self.wall_m, min(self.width_m, self.height_m))

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return 2.0 * self.wall_m * (self.width_m + self.height_m - 2.0 * self.wall_m)

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.wall_m, self.height_m - self.wall_m, self.height_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        if not 0.0 <= depth_m <= self.height_m:
            return (0.0, 0.0)
        hollow = self.wall_m <= depth_m < self.height_m - self.wall_m
        return (self.width_m / 2.0, self.width_m / 2.0 - self.wall_m if hollow else 0.0)


@dataclass(frozen=True)
class SquareTube:
    """A square tube with sharp corners, lying on a side."""

    side_m: float
    wall_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("SquareTube", side_m=self.side_m)
        _require_wall("SquareTube", self.wall_m, self.side_m)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return self.side_m

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.side_m

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return 4.0 * self.wall_m * (self.side_m - self.wall_m)

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.wall_m, self.side_m - self.wall_m, self.side_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        if not 0.0 <= depth_m <= self.side_m:
            return (0.0, 0.0)
        hollow = self.wall_m <= depth_m < self.side_m - self.wall_m
        return (self.side_m / 2.0, self.side_m / 2.0 - self.wall_m if hollow else 0.0)


@dataclass(frozen=True)
class Angle:
    """An equal-leg angle with sharp corners, standing as an inverted V, apex up."""

    leg_m: float
    thickness_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("Angle", leg_m=self.leg_m)
        _require_wall("Angle", self.thickness_m, self.leg_m)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return (self.leg_m + self.thickness_m) / _ROOT_2

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.leg_m * _ROOT_2

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        return self.thickness_m * (2.0 * self.leg_m - self.thickness_m)

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.thickness_m * _ROOT_2, self.leg_m / _ROOT_2, self.height_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        past_tips_m = self.leg_m * _ROOT_2 - depth_m
        outer_m = depth_m if depth_m < past_tips_m else past_tips_m
        inner_m = depth_m - self.thickness_m * _ROOT_2
        if outer_m <= inner_m or outer_m <= 0.0:
            return (0.0, 0.0)
        return (outer_m, inner_m if inner_m > 0.0 else 0.0)


@dataclass(frozen=True)
class IBeam:
    """An I-beam without fillets, web upright, so that a flange is cut first."""

    height_m: float
    width_m: float
    web_m: float
    flange_m: float

    contact_length_m = _contact_length_m
    contact_intervals_m = _contact_intervals_m
    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero(
            "IBeam", height_m=self.height_m, web_m=self.web_m, slack_m=self.width_m - self.web_m
        )
        _require_wall("IBeam", self.flange_m, self.height_m)

    @property
    def area_m2(self) -> float:
        """Metal area of the section, m2."""
        between_m = self.height_m - 2.0 * self.flange_m
        return 2.0 * self.flange_m * self.width_m + self.web_m * between_m

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        return (0.0, self.flange_m, self.height_m - self.flange_m, self.height_m)

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap at a depth, m."""
        if not 0.0 <= depth_m <= self.height_m:
            return (0.0, 0.0)
        in_web = self.flange_m <= depth_m < self.height_m - self.flange_m
        return ((self.web_m if in_web else self.width_m) / 2.0, 0.0)


Bar: TypeAlias = (
    Round | Square | Rectangle | RoundTube | SquareTube | RectangularTube | Angle | IBeam
)


@dataclass(frozen=True)
class Bundle:
    """Equal bars side by side and touching, `count` in a row, `rows` straight on top.

    Intervals of bars that touch at a depth are one interval: a tooth finds no gap there.
    """

    section: Bar
    count: int
    rows: int = 1

    mass_kg_m = _mass_kg_m

    def __post_init__(self) -> None:
        require_above_zero("Bundle", count=self.count, rows=self.rows)

    @property
    def height_m(self) -> float:
        """Height as it lies on the bed, m."""
        return self.section.height_m * self.rows

    @property
    def width_m(self) -> float:
        """Width between the vise jaws, m."""
        return self.section.width_m * self.count

    @property
    def area_m2(self) -> float:
        """Metal area of all the bars together, m2."""
        return self.section.area_m2 * self.count * self.rows

    @property
    def breaks_m(self) -> tuple[float, ...]:
        """Depths at which the contact length jumps, kinks or turns, m, ends included."""
        bar_height_m = self.section.height_m
        below_top = self.section.breaks_m[1:]
        rows = (row * bar_height_m for row in range(self.rows))
        return (0.0, *(top_m + depth_m for top_m in rows for depth_m in below_top))

    def half_widths_m(self, depth_m: float) -> tuple[float, float]:
        """Return the outer half-width and the inner half-gap of one bar at a depth, m."""
        bar = self.section
        if self.rows > 1:
            bar_height_m = bar.height_m
            depth_m -= bar_height_m * min(max(0, int(depth_m / bar_height_m)), self.rows - 1)
        return bar.half_widths_m(depth_m)

    def contact_length_m(self, depth_m: float) -> float:
        """Return the length of metal across the band at a depth, m; nothing off the bars."""
        outer_m, inner_m = self.half_widths_m(depth_m)
        return 2.0 * (outer_m - inner_m) * self.count

    def contact_intervals_m(self, depth_m: float) -> Intervals:
        """Return where metal starts and ends across the band at a depth, m from the middle."""
        bar_width_m = self.section.width_m
        touching_m = bar_width_m * 1e-9
        single = _contact_intervals_m(self, depth_m)
        joined: list[tuple[float, float]] = []
        for bar in range(self.count):
            aside_m = (bar - (self.count - 1) / 2.0) * bar_width_m
            for start_m, end_m in single:
                if joined and start_m + aside_m - joined[-1][1] < touching_m:
                    joined[-1] = (joined[-1][0], end_m + aside_m)
                else:
                    joined.append((start_m + aside_m, end_m + aside_m))
        return tuple(joined)


Section: TypeAlias = Bar | Bundle


def one_of(section: Section) -> Bar:
    """Return the bar itself, or one of those of a bundle."""
    return section.section if isinstance(section, Bundle) else section


def bars_in(section: Section) -> int:
    """Return how many bars are cut at once: 1, or those of a bundle."""
    return section.count * section.rows if isinstance(section, Bundle) else 1
