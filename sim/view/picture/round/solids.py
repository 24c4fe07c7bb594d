"""Convex solids: prisms along an axis, of which boxes and cylinders are made.

An outline runs counter-clockwise as seen from where its axis points to, so that every face shows its outer
side the right way round, and what is turned away is found by the sign of its area on the screen.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from sim.view.kit.palette import Colour
from sim.view.picture.round.camera import Spot

Outline = Sequence[tuple[float, float]]
_SIDES = 36


@dataclass(frozen=True, slots=True)
class Face:
    """One face.

    Attributes:
        corners: Numbers of its points.
        soft: A side of something round: no edges of its own, and five tones.
    """

    corners: tuple[int, ...]
    soft: bool = False


@dataclass(frozen=True, slots=True)
class Solid:
    """One solid.

    Attributes:
        points: Its corners, m.
        faces: Of them.
        colour: In full light.
        part: Of which part of the machine it is.
    """

    points: tuple[Spot, ...]
    faces: tuple[Face, ...]
    colour: Colour
    part: str = ""

    def moved(self, to: Callable[[Spot], Spot]) -> "Solid":
        """Return it with every point put elsewhere."""
        return Solid(tuple(map(to, self.points)), self.faces, self.colour, self.part)


def prism(
    outline: Outline, axis: int, start_m: float, end_m: float, colour: Colour, part: str = "",
    *, soft: bool = False,
) -> Solid:  # fmt: skip
    """Return an outline drawn along an axis: 0 for x, 1 for y, 2 for z.

    Args:
        outline: In the plane of the next axis and the one after it.
        axis: Along which it is drawn.
        start_m: Where it begins.
        end_m: Where it ends; beyond the start.
        colour: In full light.
        part: Of which part it is.
        soft: Whether its sides are those of something round.
    """
    points: list[Spot] = []
    for along_m in (start_m, end_m):
        for one, other in outline:
            spot = [along_m, one, other]
            points.append((spot[-axis % 3], spot[(1 - axis) % 3], spot[(2 - axis) % 3]))
    count = len(outline)
    faces = [Face(tuple(range(count - 1, -1, -1))), Face(tuple(range(count, 2 * count)))]
    for here in range(count):
        after = (here + 1) % count
        faces.append(Face((here, after, count + after, count + here), soft))
    return Solid(tuple(points), tuple(faces), colour, part)


def box(
    x_m: tuple[float, float], y_m: tuple[float, float], z_m: tuple[float, float],
    colour: Colour, part: str = "",
) -> Solid:  # fmt: skip
    """Return a box between two values of each axis."""
    (y0, y1), (z0, z1) = y_m, z_m
    return prism(((y0, z0), (y1, z0), (y1, z1), (y0, z1)), 0, *x_m, colour, part)


def circle(middle: tuple[float, float], radius_m: float, sides: int = _SIDES) -> Outline:
    """Return the outline of a circle."""
    return tuple(
        (
            middle[0] + radius_m * cos(2 * pi * side / sides),
            middle[1] + radius_m * sin(2 * pi * side / sides),
        )
        for side in range(sides)
    )


def cylinder(
    axis: int, middle: tuple[float, float], radius_m: float, ends_m: tuple[float, float],
    colour: Colour, part: str = "", sides: int = _SIDES,
) -> Solid:  # fmt: skip
    """Return a cylinder along an axis."""
    return prism(circle(middle, radius_m, sides), axis, *ends_m, colour, part, soft=True)
