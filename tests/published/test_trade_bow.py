"""A bowed bar against independent geometry and statics: circles through three points, shapely, numpy, scipy.

How straight bars come is from memory (EN 10060, EN 10210-2, EN 10278), not read in full.
"""

from math import asin, cos, isclose, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import nnls
from shapely import Polygon

from sim.trade.bow import (
    SQUARE_M,
    curvature_1_m,
    edges_differ_m,
    face_lean_rad,
    flat_from_n,
    lean_at_jaws_rad,
    rise_m,
    sideways_m4,
)
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Square,
    SquareTube,
)

rises_m = st.floats(1e-4, 0.02)
chords_m = st.floats(0.2, 3.0)


@given(rises_m, chords_m)
def test_the_curvature_is_that_of_the_circle_through_ends_and_crown(rise, chord_m):
    # DERIVED: a x + b y + c = x^2 + y^2 through three points, solved by numpy
    points = np.array([(-chord_m / 2, 0.0), (chord_m / 2, 0.0), (0.0, rise)])
    a, b, c = np.linalg.solve(np.column_stack([points, np.ones(3)]), (points**2).sum(axis=1))
    radius_m = np.sqrt(c + a * a / 4 + b * b / 4)

    assert curvature_1_m(rise, chord_m) == pytest.approx(1 / radius_m, rel=1e-6)
    assert rise_m(curvature_1_m(rise, chord_m), chord_m) == pytest.approx(rise, rel=1e-9)


def test_four_in_a_thousand_over_six_metres_are_two_thirds_of_a_millimetre_in_any_metre():
    # EN 10060 from memory: rounds over 25 to 80 mm, 0.4 % of the length
    assert rise_m(curvature_1_m(0.004 * 6.0, 6.0), 1.0) == pytest.approx(0.00067, abs=5e-6)


def second_moment_m4(shape: Polygon) -> float:
    """About the upright axis, by Green's theorem along every ring of a polygon."""

    def ring(coordinates):
        x, y = np.asarray(coordinates).T
        cross = x[:-1] * y[1:] - x[1:] * y[:-1]
        return abs(np.sum(cross * (x[:-1] ** 2 + x[:-1] * x[1:] + x[1:] ** 2)) / 12)

    return ring(shape.exterior.coords) - sum(ring(hole.coords) for hole in shape.interiors)


def circle(radius_m):
    turns = np.linspace(0.0, 2 * pi, 4001)
    return [(radius_m * cos(turn), radius_m * sin(turn)) for turn in turns]


def box(width_m, height_m):
    x, y = width_m / 2, height_m / 2
    return [(-x, -y), (x, -y), (x, y), (-x, y), (-x, -y)]


_LEG, _T = (
    0.05 / 2**0.5,
    0.006 * 2**0.5,
)  # of the angle: half its spread, and its legs along the upright
SHAPES = {
    "round": (Round(0.06), Polygon(circle(0.03))),
    "square": (Square(0.05), Polygon(box(0.05, 0.05))),
    "rectangle": (Rectangle(0.07, 0.02), Polygon(box(0.07, 0.02))),
    "round tube": (RoundTube(0.06, 0.003), Polygon(circle(0.03), [circle(0.027)])),
    "square tube": (SquareTube(0.04, 0.003), Polygon(box(0.04, 0.04), [box(0.034, 0.034)])),
    "rectangular tube": (
        RectangularTube(0.08, 0.04, 0.003), Polygon(box(0.08, 0.04), [box(0.074, 0.034)]),
    ),
    "I-beam": (
        IBeam(0.1, 0.06, 0.005, 0.008),
        Polygon(box(0.06, 0.1)).difference(
            Polygon([(0.0025, -0.042), (0.03, -0.042), (0.03, 0.042), (0.0025, 0.042)])
        ).difference(
            Polygon([(-0.0025, -0.042), (-0.03, -0.042), (-0.03, 0.042), (-0.0025, 0.042)])
        ),
    ),
    "angle": (
        Angle(0.05, 0.006),
        Polygon([
            (0, 0), (_LEG, -_LEG), (_LEG - _T / 2, -_LEG - _T / 2), (0, -_T),
            (-_LEG + _T / 2, -_LEG - _T / 2), (-_LEG, -_LEG),
        ]),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SHAPES)
def test_the_second_moment_of_a_section_is_that_of_its_polygon(name):
    # DERIVED: Green's theorem on polygons drawn here
    section, shape = SHAPES[name]

    assert section.area_m2 == pytest.approx(shape.area, rel=1e-5)
    assert sideways_m4(section) == pytest.approx(second_moment_m4(shape), rel=1e-4)


def test_the_second_moment_of_a_rectangle_and_a_round_is_that_of_the_handbooks():
    assert sideways_m4(Rectangle(0.07, 0.02)) == pytest.approx(0.02 * 0.07**3 / 12, rel=1e-6)
    assert sideways_m4(Round(0.06)) == pytest.approx(pi * 0.06**4 / 64, rel=1e-6)
    loose = Bundle(Round(0.02), 3, 2)
    assert sideways_m4(loose) == pytest.approx(6 * sideways_m4(Round(0.02)))


def pressed(curvature: float, jaw_m: float, stiffness: float, force_n: float, cells: int = 60):
    """Slope at the end of half a bowed beam that is pressed on a flat: least energy, nowhere through it.

    Its own curve and its bending are in one sum, 1/2 E I (v'' - kappa)^2, and the jaw's half of the force at its end; what lies
    on the flat is found by non-negative least squares, and not told to it.
    """
    dx = jaw_m / 2 / cells
    bends = np.zeros(
        (cells, cells)
    )  # v'' at the nodes 0 to cells - 1, from v at the nodes 1 to cells
    bends[0, 0] = 2.0  # level in the middle by symmetry, and touching
    for node in range(1, cells):
        for at, factor in ((node - 1, 1.0), (node, -2.0), (node + 1, 1.0)):
            if at > 0:
                bends[node, at - 1] += factor
    weights = np.sqrt(np.where(np.arange(cells) == 0, 0.5, 1.0))  # half a cell in the middle
    root = weights[:, None] * bends
    wanted = weights * curvature * dx**2
    load = np.zeros(cells)
    load[-1] = force_n / 2 * dx**3 / stiffness
    found, _ = nnls(root, wanted - np.linalg.solve(root.T, load), maxiter=100 * cells)
    return (found[-1] - found[-2]) / dx + curvature * dx / 2


@pytest.mark.parametrize("share", [0.0, 0.3, 0.9, 1.0, 1.5, 3.0, 6.0])
def test_a_bar_pressed_in_flat_jaws_leans_as_a_beam_with_contact_found_by_least_energy(share):
    # DERIVED, against an obstacle problem solved by scipy
    curvature, jaw_m, stiffness = 0.048, 0.12, 8400.0
    force_n = share * flat_from_n(curvature, jaw_m, stiffness)

    assert lean_at_jaws_rad(curvature, jaw_m, stiffness, force_n) == pytest.approx(
        pressed(curvature, jaw_m, stiffness, force_n), rel=1e-3
    )


def test_a_push_in_the_middle_gives_the_slope_of_the_handbooks_at_the_ends():
    # F l^2 / (16 E I), any table of beams, from memory
    lean = lean_at_jaws_rad(0.05, 0.1, 1e5, 0.0) - lean_at_jaws_rad(0.05, 0.1, 1e5, 1000.0)

    assert lean == pytest.approx(1000.0 * 0.1**2 / (16 * 1e5))


@given(st.floats(0.005, 0.08), st.floats(0.03, 1.2), st.floats(0.01, 0.2), st.floats(0.05, 0.2))
def test_a_piece_is_the_part_of_a_ring_between_two_chords_of_the_jaws(
    curvature, piece_m, width_m, jaw_m
):
    # DERIVED: points on two circles, and the face along the normal of the chord in the jaws
    radius_m = 1.0 / curvature

    def at(way_m, radius_m=radius_m):
        turn = way_m * curvature
        return np.array([radius_m * sin(turn), radius_m * (1 - cos(turn))])

    jaws = at(0.0) - at(-jaw_m)
    side = at(min(piece_m, SQUARE_M))
    turned = jaws[0] * side[1] - jaws[1] * side[0]
    between = asin(turned / np.linalg.norm(jaws) / np.linalg.norm(side))
    found = face_lean_rad(lean_at_jaws_rad(curvature, jaw_m, 1e5, 0.0), curvature, piece_m)
    outer_m = piece_m * curvature * (radius_m + width_m / 2)
    inner_m = piece_m * curvature * (radius_m - width_m / 2)

    assert found == pytest.approx(between, rel=1e-3)
    assert isclose(
        edges_differ_m(curvature, piece_m, width_m), outer_m - inner_m, rel_tol=1e-6, abs_tol=1e-12
    )
