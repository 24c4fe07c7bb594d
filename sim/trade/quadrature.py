"""Points and weights that integrate along a bar's depth, square-root ends included.

Never here: what is integrated.

Theory. In the angle t of y = (1 - cos t) / 2 a curve that starts like sqrt(y) is smooth, so
equal cells in t with the two-point Gauss rule in each converge with the fourth power of the
cell. The cells' ends lie close together at both ends of the depth, where curves are steep.
Source: Gauss-Legendre and cosine substitution, any text on numerical integration.
"""

from functools import lru_cache
from math import cos, pi, sin, sqrt
from typing import Final, NamedTuple

_HALF_GAP: Final = 0.5 / sqrt(3.0)  # two-point Gauss rule on a cell of width 1


class Mesh(NamedTuple):
    """Cells of the unit depth: lower end of each, two points in each, weight of each point."""

    ends: tuple[float, ...]
    points: tuple[float, ...]
    weights: tuple[float, ...]


@lru_cache(maxsize=256)
def cosine_mesh(cells: int) -> Mesh:
    """Return the mesh of a number of cells on the depths 0 to 1; the weights sum to 1."""
    step = pi / cells
    angles = [
        (cell + 0.5 + aside) * step for cell in range(cells) for aside in (-_HALF_GAP, _HALF_GAP)
    ]
    return Mesh(
        ends=tuple((1.0 - cos(cell * step)) / 2.0 for cell in range(1, cells + 1)),
        points=tuple((1.0 - cos(angle)) / 2.0 for angle in angles),
        weights=tuple(sin(angle) * step / 4.0 for angle in angles),
    )
