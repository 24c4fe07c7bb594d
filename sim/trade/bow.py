"""A bar that is not straight: how it lies in the jaws, and what that does to the pieces sawn off it.

Never here: which bar is bent, or what presses on it.

Theory. The bow lies level, to one side, as an arc of one radius. Its rise h over a chord c gives its curvature
kappa = 8 h / (c^2 + 4 h^2) (geometry of the circle). Between two flat jaws it touches one with its middle and
the other with its ends, whichever way it is bowed, so the chord of what lies between them comes to lie along
the jaws, and at their end, where the band goes down, the bar leans from them by kappa l / 2. Pressed by F it
is a beam on two ends under a push in the middle and gives F l^2 / (16 E I) there. From F = 4 E I kappa / l on its
middle lies flat, two arms of length b = 2 E I kappa / F stand off beyond, and the lean left over is kappa b / 2; it
never is quite nothing. (Beam statics, small bending; the same as for a leaf pressed on a flat.)

The face stands square to the jaws and so leans from the bar by what the bar leans from them. A square is laid
along the side of the piece next to the face, and that side bends on from there: half of its own turn comes
on top. The two faces of a piece turn against each other by kappa p, so one of its edges is longer than the
other by kappa p w. So face and index are off in proportion to the bow: a piece is longer along its outer edge by
half of kappa p w than the stop is set for. By how much the middle line is longer than its chord is of second order,
some hundredths of a millimetre at 6 mm a metre, and left out. The band is not pushed aside by a bow: it goes
straight down, through a bar that leans, and its own wander is as in a straight one. A couple of friction is the same in jaws that touch at middle and ends as in jaws
that touch all along: mu F l / 2, so a bowed bar is held as well.

Left out is what a bowed bar does on its way: the shuttle vise is taken to float sideways (common practice, no
source), and how such a bar bears on a side roller hangs on where that stands and how it gives.

How straight bars come, from memory, not read in full: EN 10060 (hot rolled rounds over 25 to 80 mm) 0.4 % of
the length; EN 10210-2 (hot finished hollow sections) 0.2 % of the length and 3 mm in any metre; EN 10278 (bright
bars) 0.5 to 1.5 mm a metre. Of 0.4 % of six metres, 0.7 mm in any metre are left.
"""

from functools import lru_cache
from math import fsum, sqrt
from typing import Final

from sim.trade.bounds import require_above_zero
from sim.trade.quadrature import cosine_mesh
from sim.trade.sections import Bundle, Section
from sim.units import MM

STRAIGHTEDGE_M: Final = 1.0  # over which a bow is told
SQUARE_M: Final = 0.15  # of a square along the side of a piece; common practice, no source
BOW_ANY_METRE_M: Final = 3.0 * MM  # that EN 10210-2 lets pass; from memory
_CELLS: Final = 32  # of each stretch of a section


def curvature_1_m(rise_m: float, chord_m: float = STRAIGHTEDGE_M) -> float:
    """Return the curvature of an arc, 1/m, from its rise over a chord, m.

    Raises:
        DrycycleError: The chord has no length.
    """
    require_above_zero("bow", chord_m=chord_m)
    return 8.0 * rise_m / (chord_m**2 + 4.0 * rise_m**2)


def rise_m(curvature_1_m: float, chord_m: float) -> float:
    """Return how far an arc rises over a chord, m."""
    half = curvature_1_m * chord_m / 2.0
    return half * chord_m / 2.0 / (1.0 + sqrt(1.0 - half**2))


@lru_cache(maxsize=64)
def sideways_m4(section: Section) -> float:
    """Return the second moment of area of a section that is bent sideways, m4; of a bundle, of loose bars."""
    if isinstance(section, Bundle):
        return section.count * section.rows * sideways_m4(section.section)
    mesh, found = cosine_mesh(_CELLS), []
    for top_m, bottom_m in zip(section.breaks_m, section.breaks_m[1:], strict=False):
        for point, weight in zip(mesh.points, mesh.weights, strict=True):
            outer_m, inner_m = section.half_widths_m(top_m + point * (bottom_m - top_m))
            strip = 2.0 / 3.0 * (max(outer_m, 0.0) ** 3 - max(min(inner_m, outer_m), 0.0) ** 3)
            found.append(weight * (bottom_m - top_m) * strip)
    return fsum(found)


def flat_from_n(curvature_1_m: float, jaw_m: float, stiffness_n_m2: float) -> float:
    """Return the force from which a bowed bar lies flat in the middle of its jaws, N.

    Args:
        curvature_1_m: Of the bar, 1/m.
        jaw_m: How much of it lies between the jaws, m.
        stiffness_n_m2: E I of the bar, N m2.

    Raises:
        DrycycleError: Nothing lies between the jaws.
    """
    require_above_zero("bow", jaw_m=jaw_m)
    return 4.0 * stiffness_n_m2 * curvature_1_m / jaw_m


def lean_at_jaws_rad(
    curvature_1_m: float, jaw_m: float, stiffness_n_m2: float, force_n: float
) -> float:
    """Return by how much a bowed bar leans from its jaws where they end, rad.

    Args:
        curvature_1_m: Of the bar, 1/m.
        jaw_m: How much of it lies between the jaws, m.
        stiffness_n_m2: E I of the bar, N m2.
        force_n: With which the jaws press, N.

    Raises:
        DrycycleError: Nothing lies between the jaws.
    """
    if force_n <= flat_from_n(curvature_1_m, jaw_m, stiffness_n_m2):
        return curvature_1_m * jaw_m / 2.0 - force_n * jaw_m**2 / (16.0 * stiffness_n_m2)
    return stiffness_n_m2 * curvature_1_m**2 / force_n


def face_lean_rad(at_jaws_rad: float, curvature_1_m: float, piece_m: float) -> float:
    """Return by how much a face is out of square to the side of its piece, rad.

    Args:
        at_jaws_rad: By how much the bar leant from the jaws.
        curvature_1_m: Of the bar, 1/m.
        piece_m: Length of the piece; a square reaches no further than `SQUARE_M`.
    """
    return at_jaws_rad + curvature_1_m * min(piece_m, SQUARE_M) / 2.0


def edges_differ_m(curvature_1_m: float, piece_m: float, width_m: float) -> float:
    """Return by how much the outer edge of a bowed piece is longer than its inner one, m."""
    return curvature_1_m * piece_m * width_m
