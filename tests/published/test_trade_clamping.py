"""Clamping, slip and crush against statics, an energy derivation in sympy and scipy's quadrature.

The finite-element route is in test_trade_finite_elements.py.
"""

from math import copysign, pi, sin, sqrt

import numpy as np
import pytest
import shapely
import sympy
from scipy.integrate import quad
from scipy.optimize import brentq, linprog

from sim.trade.clamping import (
    Jaws,
    clamping_force_n,
    clamping_window_pa,
    holding_force_n,
    pressure_to_hold_pa,
)
from sim.trade.crush import (
    RING_CLOSING,
    RING_OPENING,
    across_m,
    closing_m,
    collapse_n,
    dent_m,
    first_yield_n,
    frame_closing_m,
    frame_moments_nm,
    pressed_n,
    ring_closing_m,
    squeeze,
    wall_stiffness_n_m2,
    yield_moment_nm,
)
from sim.trade.materials import Material
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    RectangularTube,
    Round,
    RoundTube,
    SquareTube,
)

MM = 1e-3
STEEL = Material("S235JR", "", 7850, 235e6, 210e9, 1780e6, 0.17, 1.1, 1.7, "")
LENGTH_M = 0.1
TUBE, BOX = RoundTube(60 * MM, 3 * MM), SquareTube(50 * MM, 4 * MM)
ANGLE = Angle(50 * MM, 5 * MM)
R_M, I_M4, A_M = 28.5 * MM, 225e-12, 46 * MM


@pytest.mark.parametrize(
    ("bore_mm", "pressure_bar", "force_n"), [(63, 6, 1870.3), (50, 30, 5890.5)]
)
def test_clamping_force_is_pressure_by_area(
    bore_mm: float, pressure_bar: float, force_n: float
) -> None:
    # DERIVED
    area_m2 = pi * (bore_mm * MM) ** 2 / 4

    assert clamping_force_n(pressure_bar * 1e5, area_m2) == pytest.approx(force_n, abs=0.06)


def test_two_jaws_hold_by_friction_ten_times_the_worked_cut() -> None:
    # DERIVED; friction 0.15 is inside the FOUND range 0.15 to 0.30 (Gieck handbook)
    holding_n = holding_force_n(0.15, 5890.5)

    assert holding_n == pytest.approx(1767.1, abs=0.06)
    assert holding_n / 177.5 == pytest.approx(9.96, abs=0.005)


def ring_moments_nm(force_n: float, radius_m: float) -> tuple[float, float]:
    """Return the moment under the loads and, of opposite sign, at the sides, N m."""
    return force_n * radius_m / pi, force_n * radius_m * (0.5 - 1.0 / pi)


def test_ring_factors_are_those_of_an_energy_derivation() -> None:
    # DERIVED by Castigliano in sympy: (pi^2 - 8)/(4 pi) closing
    w, r, m0 = sympy.symbols("W R M0", positive=True)
    angle = sympy.symbols("angle")
    # quarter from the load, all over E I
    moment = m0 - w * r / 2 * sympy.sin(angle)
    energy = 4 * sympy.integrate(moment**2 / 2 * r, (angle, 0, sympy.pi / 2))
    redundant = sympy.solve(sympy.diff(energy, m0), m0)[0]
    closing = sympy.diff(energy, w).subs(m0, redundant)

    assert sympy.simplify(closing / (w * r**3) - (sympy.pi**2 - 8) / (4 * sympy.pi)) == 0
    assert float(closing / (w * r**3)) == pytest.approx(RING_CLOSING, rel=1e-12)
    at_load, at_side = ring_moments_nm(1.0, 1.0)
    assert float(redundant / (w * r)) == pytest.approx(at_load, rel=1e-12)
    assert float(redundant / (w * r)) - 0.5 == pytest.approx(-at_side, rel=1e-12)


def test_ring_factors_are_the_handbook_ones() -> None:
    # MEMORY: Roark, circular rings, case 1
    at_load, at_side = ring_moments_nm(1.0, 1.0)

    assert at_load == pytest.approx(0.3183, abs=5e-5)
    assert at_side == pytest.approx(0.1817, abs=5e-5)
    assert pytest.approx(0.1488, abs=5e-5) == RING_CLOSING


def test_a_ring_opens_across_the_load_by_nine_tenths_of_what_it_closes_along_it() -> None:
    # DERIVED by Castigliano in sympy with a dummy load across; MEMORY: Roark gives 0.137 and 0.149
    w, h, r, angle = sympy.symbols("W H R angle", positive=True)
    m0 = sympy.symbols("M0")
    # quarter from the load: half of W, and half of a dummy pull H across it, over E I
    moment = m0 - w * r / 2 * sympy.sin(angle) - h * r / 2 * (1 - sympy.cos(angle))
    energy = 4 * sympy.integrate(sympy.expand(moment**2) / 2 * r, (angle, 0, sympy.pi / 2))
    redundant = sympy.solve(sympy.diff(energy, m0), m0)[0]
    opening = sympy.diff(energy, h).subs(m0, redundant).subs(h, 0)

    assert abs(float(opening / (w * r**3))) == pytest.approx(RING_OPENING, rel=1e-9)
    assert pytest.approx(0.1366, abs=5e-5) == RING_OPENING
    least_m, most_m = across_m(TUBE, 2 * MM)
    assert least_m == pytest.approx(58 * MM)
    assert (most_m - 60 * MM) / (2 * MM) == pytest.approx(0.1366 / 0.1488, abs=1e-3)


def test_a_jaw_at_the_end_of_its_stroke_presses_with_what_the_wall_bears() -> None:
    # DERIVED: below yield force is stiffness by way; 1 kN closes the worked tube by 0.07289 mm
    assert pressed_n(TUBE, STEEL, 3000.0, LENGTH_M, 0.07289 * MM) == pytest.approx(1000, rel=1e-3)
    assert pressed_n(TUBE, STEEL, 900.0, LENGTH_M, 0.07289 * MM) == 900.0
    # collapsed, it bears its limit load and no more, 4 Mp / R
    assert pressed_n(TUBE, STEEL, 12e3, LENGTH_M, 6 * MM) == pytest.approx(7421.0, rel=1e-4)
    springs_m = 0.14878 * 7421.0 * R_M**3 / (210e9 * I_M4)
    assert dent_m(TUBE, STEEL, 12e3, LENGTH_M, 6 * MM) == pytest.approx(
        6 * MM - springs_m, rel=1e-3
    )


def test_worked_tube_under_a_kilonewton() -> None:
    # DERIVED: OD 60, t 3, 100 long, E 210 GPa
    stiffness = wall_stiffness_n_m2(210e9, LENGTH_M, 3 * MM)
    at_load_nm, _ = ring_moments_nm(1000.0, R_M)

    assert stiffness == pytest.approx(210e9 * I_M4, rel=1e-12)
    assert at_load_nm == pytest.approx(9.0718, abs=5e-5)
    assert at_load_nm / yield_moment_nm(1.0, LENGTH_M, 3 * MM) == pytest.approx(60.48e6, abs=5e3)
    assert ring_closing_m(1000.0, R_M, stiffness) == pytest.approx(0.07289 * MM, abs=5e-9)
    assert closing_m(TUBE, STEEL, 1000.0, LENGTH_M) == pytest.approx(0.07289 * MM, abs=5e-9)


def test_worked_tube_at_first_yield_and_at_collapse() -> None:
    # DERIVED: pi sy b t^2 / 6R, and 4 Mp / R, which is 6 / pi times as much
    at_yield_n = first_yield_n(TUBE, STEEL, LENGTH_M)
    at_load_nm, _ = ring_moments_nm(at_yield_n, R_M)
    stiffness = 210e9 * I_M4

    assert at_yield_n == pytest.approx(3885.7, abs=0.06)
    assert at_load_nm == pytest.approx(yield_moment_nm(STEEL.yield_pa, LENGTH_M, 3 * MM), rel=1e-12)
    assert collapse_n(TUBE, STEEL, LENGTH_M) == pytest.approx(7421.0, abs=0.06)
    assert collapse_n(TUBE, STEEL, LENGTH_M) / at_yield_n == pytest.approx(1.9099, abs=5e-5)
    assert ring_closing_m(at_yield_n, R_M, stiffness) == pytest.approx(0.2832 * MM, abs=6e-8)


def test_worked_square_tube_as_a_frame() -> None:
    # DERIVED by slope and deflection; PyNite gave 8625.0, 2875.0 and 0.022632
    middle_nm, corner_nm = frame_moments_nm(1000.0, A_M, A_M)
    stiffness = wall_stiffness_n_m2(210e9, LENGTH_M, 4 * MM)

    assert stiffness / 210e9 == pytest.approx(533.33e-12, rel=1e-5)
    assert middle_nm == pytest.approx(8.625, rel=1e-12)
    assert corner_nm == pytest.approx(2.875, rel=1e-12)
    assert middle_nm / yield_moment_nm(1.0, LENGTH_M, 4 * MM) == pytest.approx(32.34e6, abs=5e3)
    assert frame_closing_m(1000.0, A_M, A_M, stiffness) == pytest.approx(0.022632 * MM, abs=5e-10)
    assert frame_closing_m(1000.0, A_M, A_M, stiffness) == pytest.approx(
        5 * 1000 * A_M**3 / (192 * stiffness), rel=1e-12
    )
    assert first_yield_n(BOX, STEEL, LENGTH_M) == pytest.approx(7265.7, abs=0.06)


def test_worked_rectangular_frame() -> None:
    # DERIVED: L 60 loaded, h 40, same walls
    middle_nm, corner_nm = frame_moments_nm(1000.0, 60 * MM, 40 * MM)

    assert corner_nm == pytest.approx(4.5, rel=1e-12)
    assert middle_nm + corner_nm == pytest.approx(1000 * 0.06 / 4, rel=1e-12)


def _curvature(share: float) -> float:
    """Curvature of a perfectly plastic rectangle, in units of first yield."""
    size = abs(share)
    return copysign(size if size <= 1 else 1 / sqrt(max(3 - 2 * size, 1e-12)), share)


def _scipy_dent_factor(load: float, lever, length: float, kinks: list[float]) -> float:
    """Closing of a quarter wall with unit EI and first-yield moment, by quad and brentq."""

    def turn(loaded: float) -> float:
        return quad(
            lambda s: _curvature(loaded - load * lever(s)), 0, length, points=kinks, limit=400
        )[0]

    largest = load * max(lever(length * i / 500) for i in range(501))
    low, high = max(0.0, largest - 1.5) + 1e-9, min(1.5, largest) - 1e-9
    loaded = brentq(turn, low, high) if turn(high) > 0 else high
    return (
        -4
        * quad(lambda s: _curvature(loaded - load * lever(s)) * lever(s), 0, length, limit=400)[0]
    )


@pytest.mark.filterwarnings("ignore::scipy.integrate.IntegrationWarning")
@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.9])
def test_dent_of_a_yielding_tube_is_that_of_a_plastic_ring(share: float) -> None:
    # DERIVED: perfectly plastic thin ring, small bending, by scipy quad and brentq; ours sums 48
    # pieces, so a twenty-fifth of a dent is allowed
    bar = squeeze(TUBE, STEEL, LENGTH_M)
    force_n = bar.yield_n + share * (bar.collapse_n - bar.yield_n)
    unit_m = bar.yield_moment_nm * R_M**2 / bar.stiffness_n_m2
    load = force_n * R_M / bar.yield_moment_nm
    whole_m = _scipy_dent_factor(load, lambda a: sin(a) / 2, pi / 2, [pi / 4]) * unit_m

    assert dent_m(TUBE, STEEL, force_n, LENGTH_M) == pytest.approx(
        whole_m - bar.give_m_n * force_n, rel=0.04, abs=1e-6
    )


@pytest.mark.filterwarnings("ignore::scipy.integrate.IntegrationWarning")
@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.9])
def test_dent_of_a_yielding_square_tube_is_that_of_a_plastic_frame(share: float) -> None:
    # DERIVED: as above, lever x/2 on half a face and a quarter of the side up half the other
    bar = squeeze(BOX, STEEL, LENGTH_M)
    force_n = bar.yield_n + share * (bar.collapse_n - bar.yield_n)
    unit_m = bar.yield_moment_nm * A_M**2 / bar.stiffness_n_m2
    load = force_n * A_M / bar.yield_moment_nm
    whole_m = _scipy_dent_factor(load, lambda s: min(s, 0.5) / 2, 1.0, [0.5]) * unit_m

    assert dent_m(BOX, STEEL, force_n, LENGTH_M) == pytest.approx(
        whole_m - bar.give_m_n * force_n, rel=0.04, abs=1e-6
    )


@pytest.mark.parametrize(
    "bar", [TUBE, BOX, RectangularTube(80 * MM, 40 * MM, 3 * MM), ANGLE], ids=lambda bar: type(bar)
)
def test_pieces_of_a_wall_give_together_what_the_closed_form_has(bar) -> None:
    # DERIVED by Castigliano: where the loaded point does not turn, the wall gives as its levers scatter about
    # their mean; where it turns freely, about nothing. 48 pieces are within a two-thousandth.
    wall = squeeze(bar, STEEL, LENGTH_M)
    levers, pieces = np.array(wall.levers_m), np.array(wall.pieces_m)
    about = 0.0 if isinstance(bar, Angle) else np.average(levers, weights=pieces)
    quarters = 2 if isinstance(bar, Angle) else 4
    give_m_n = quarters * np.sum(pieces * (levers - about) ** 2) / wall.stiffness_n_m2

    assert give_m_n == pytest.approx(wall.give_m_n, rel=5e-4)


@pytest.mark.parametrize("load", [1.15, 1.25, 1.35, 1.45])
def test_dent_of_a_yielding_angle_is_that_of_two_plastic_cantilevers(load: float) -> None:
    # MEMORY: end of a cantilever of plastic rectangles, by its give at first yield,
    # (5 - (3 + p) sqrt(3 - 2 p)) / p^2, with p the load by that of first yield; it springs back by p
    yield_n = first_yield_n(ANGLE, STEEL, LENGTH_M)
    at_yield_m = closing_m(ANGLE, STEEL, yield_n, LENGTH_M)
    whole = (5 - (3 + load) * sqrt(3 - 2 * load)) / load**2

    assert dent_m(ANGLE, STEEL, load * yield_n, LENGTH_M) == pytest.approx(
        (whole - load) * at_yield_m, rel=0.01
    )


def test_an_angle_folds_where_its_apex_is_a_plastic_hinge() -> None:
    # DERIVED: full plastic moment b t^2 / 4 of a rectangle, over the height of the apex above the tips
    plastic_nm, height_m = 235e6 * LENGTH_M * (5 * MM) ** 2 / 4, 47.5 * MM / sqrt(2)

    assert collapse_n(ANGLE, STEEL, LENGTH_M) == pytest.approx(plastic_nm / height_m, rel=1e-12)


def test_a_folded_angle_closes_until_its_tips_meet() -> None:
    # DERIVED: distance of the two ends of its legs, by shapely
    ends = shapely.LineString([(50, 0), (50, 5)]), shapely.LineString([(0, 50), (5, 50)])

    assert closing_m(ANGLE, STEEL, 1e6, LENGTH_M) == pytest.approx(
        shapely.distance(*ends) * MM, rel=1e-12
    )


def test_a_beam_is_pressed_through_its_flanges_alone() -> None:
    # DERIVED: only where metal reaches from jaw to jaw does it carry; how high that is, by counting
    beam = IBeam(100 * MM, 55 * MM, 4.1 * MM, 5.7 * MM)
    depths_m = (np.arange(100_000) + 0.5) / 100_000 * 100 * MM
    across = sum(beam.contact_length_m(depth_m) >= 55 * MM for depth_m in depths_m) / 1e6
    area_m2 = across * LENGTH_M

    assert first_yield_n(beam, STEEL, LENGTH_M) == pytest.approx(235e6 * area_m2, rel=1e-4)
    assert closing_m(beam, STEEL, 1000.0, LENGTH_M) == pytest.approx(
        1000.0 * 55 * MM / (210e9 * area_m2), rel=1e-4
    )


def _limit_load(levers: list[float]) -> float:
    """Largest load that some free moment leaves below the full plastic moment everywhere."""
    # unknowns: load, free moment; -1 <= free - load * lever <= 1
    rows = [[-lever, 1.0] for lever in levers] + [[lever, -1.0] for lever in levers]
    return -linprog([-1.0, 0.0], A_ub=rows, b_ub=[1.0] * len(rows), bounds=(None, None)).fun


@pytest.mark.parametrize(
    ("tube", "levers_m", "wall_mm"),
    [
        (TUBE, [R_M / 2 * sin(pi / 2 * i / 200) for i in range(201)], 3),
        (BOX, [A_M / 4 * i / 200 for i in range(201)], 4),
        (RectangularTube(80 * MM, 40 * MM, 3 * MM), [0.037 / 4 * i / 200 for i in range(201)], 3),
    ],
    ids=["round", "square", "rectangular"],
)
def test_collapse_is_the_limit_load_of_plasticity(tube, levers_m: list[float], wall_mm: float):
    # DERIVED: lower-bound theorem as a linear programme, scipy.optimize.linprog
    plastic_nm = 235e6 * LENGTH_M * (wall_mm * MM) ** 2 / 4

    assert collapse_n(tube, STEEL, LENGTH_M) == pytest.approx(
        _limit_load(levers_m) * plastic_nm, rel=1e-6
    )


def test_angle_held_by_its_tips_gives_like_two_slanted_cantilevers() -> None:
    # DERIVED: each leg a cantilever of length a under F cos 45, twice, turned back by cos 45
    angle, a = ANGLE, 47.5 * MM
    stiffness = 210e9 * 0.1 * (5 * MM) ** 3 / 12
    across_m = (500 / sqrt(2)) * a**3 / (3 * stiffness)

    assert closing_m(angle, STEEL, 500.0, LENGTH_M) == pytest.approx(
        2 * across_m / sqrt(2), rel=1e-12
    )
    assert first_yield_n(angle, STEEL, LENGTH_M) * a / sqrt(2) == pytest.approx(
        235e6 * 0.1 * (5 * MM) ** 2 / 6, rel=1e-12
    )


def test_clamping_window_of_the_worked_tube() -> None:
    # DERIVED: 177.5 N twice over by 2 mu F, and 3885.7 N, both over 20 cm2
    jaws = Jaws(20e-4, LENGTH_M, efficiency=1.0, friction=0.15)
    least_pa, most_pa = clamping_window_pa(TUBE, STEEL, 177.5, jaws, safety=2.0)

    assert least_pa == pytest.approx(2 * 177.5 / 0.3 / 20e-4, rel=1e-12)
    assert most_pa == pytest.approx(3885.7 / 20e-4, rel=2e-5)
    assert pressure_to_hold_pa(177.5, jaws) == pytest.approx(least_pa / 2, rel=1e-12)


def test_a_stack_shares_the_grip_and_a_row_passes_it_on() -> None:
    # DERIVED: springs side by side and in line
    one_m = closing_m(TUBE, STEEL, 1000.0, LENGTH_M)

    assert closing_m(Bundle(TUBE, 3), STEEL, 1000.0, LENGTH_M) == pytest.approx(3 * one_m)
    assert closing_m(Bundle(TUBE, 1, 2), STEEL, 2000.0, LENGTH_M) == pytest.approx(one_m)
    assert first_yield_n(Bundle(TUBE, 3, 2), STEEL, LENGTH_M) == pytest.approx(2 * 3885.7, rel=2e-5)


def test_jaws_never_close_beyond_the_walls_of_a_folded_tube() -> None:
    # DERIVED: the bore of each, 54, 42 and 74 mm
    for tube, bore_mm in ((TUBE, 54), (BOX, 42), (RectangularTube(80 * MM, 40 * MM, 3 * MM), 74)):
        assert closing_m(tube, STEEL, 1e6, LENGTH_M) == pytest.approx(bore_mm * MM, rel=1e-12)


def test_a_solid_bar_takes_the_full_grip_of_the_saw() -> None:
    # common practice, no source: solid bar, full clamping; 60 bar on 20 cm2 is 12 kN
    assert first_yield_n(Round(10 * MM), STEEL, LENGTH_M) > 12e3
    assert dent_m(Round(10 * MM), STEEL, 12e3, LENGTH_M) == 0.0
