"""The band between its guides against closed forms and a boundary-value solver.

The finite-element route is in test_trade_finite_elements.py.
"""

from math import atanh, exp, pi

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp
from scipy.linalg import eigh
from scipy.optimize import brentq

from sim.trade.band import (
    Band,
    centre_compliance_m_n,
    runs_out_at_n,
    slip_limit_n,
    strand_force_n,
    stress_lost_to_heat_pa,
    tension_stress_pa,
    wander_m,
    wheel_bending_stress_pa,
)

MM = 1e-3
BAND = Band(27 * MM, 0.9 * MM)  # E 210 GPa
T_N = 4860.0


def test_pull_of_a_strand_and_load_on_the_wheel() -> None:
    # DERIVED: 24.3 mm2 at 200 MPa
    assert strand_force_n(200e6, BAND) == pytest.approx(T_N, rel=1e-12)
    assert 2 * strand_force_n(200e6, BAND) == pytest.approx(9720.0, rel=1e-12)
    assert tension_stress_pa(T_N, BAND) == pytest.approx(200e6, rel=1e-12)


@pytest.mark.parametrize(("wheel_mm", "stress_mpa"), [(300, 630.0), (400, 472.5)])
def test_bending_round_the_wheel(wheel_mm: float, stress_mpa: float) -> None:
    # DERIVED, strength of materials; the exact E t / (D + t) is 0.3 % less: 628.1 at 300
    stress_pa = wheel_bending_stress_pa(BAND, wheel_mm * MM)
    exact_pa = 210e9 * 0.9 / (wheel_mm + 0.9)

    assert stress_pa == pytest.approx(stress_mpa * 1e6, rel=1e-12)
    assert stress_pa == pytest.approx(exact_pa, rel=0.0031)


@pytest.mark.parametrize(
    ("span_mm", "tension_n", "built_in", "give_mm_n"),
    [  # DERIVED; PyNite and scipy agreed to six digits
        (300, T_N, False, 0.014566),
        (300, T_N, True, 0.013700),
        (150, T_N, False, 0.006850),
        (450, T_N, False, 0.022282),
        (300, T_N / 2, False, 0.028414),
    ],
)
def test_sideways_give_of_the_worked_band(
    span_mm: float, tension_n: float, built_in: bool, give_mm_n: float
) -> None:
    wander_a_newton_m = wander_m(1.0, span_mm * MM, tension_n, BAND, built_in)

    assert wander_a_newton_m == pytest.approx(give_mm_n * MM, abs=6e-10)


@pytest.mark.parametrize("built_in", [False, True])
@pytest.mark.parametrize("tension_n", [0.5, 300.0, 4860.0, 9000.0])
def test_sideways_give_is_that_of_scipy_solve_bvp(built_in: bool, tension_n: float) -> None:
    # DERIVED, against scipy.integrate.solve_bvp on EI w'' = T w - P x / 2 + M0, half the span
    half_m, stiffness = 0.15, BAND.sideways_stiffness_n_m2
    k2 = tension_n / stiffness * half_m**2  # on the unit half-span

    def slope(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        # y: deflection, slope, moment, shear, in units that make the load in the middle 1
        return np.vstack([y[1], y[2], y[3], k2 * y[2]])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        guide = a[1] if built_in else a[2]
        return np.array([a[0], guide, b[1], b[3] - k2 * b[1] - 1.0])

    x = np.linspace(0, 1, 200)
    solution = solve_bvp(slope, ends, x, np.zeros((4, x.size)), tol=1e-9, max_nodes=50_000)
    give_m_n = abs(solution.y[0, -1]) * half_m**3 / stiffness / 2.0

    assert solution.success
    assert centre_compliance_m_n(0.3, tension_n, stiffness, built_in) == pytest.approx(
        give_m_n, rel=1e-6
    )


@pytest.mark.parametrize(("built_in", "beam"), [(False, 48.0), (True, 192.0)])
def test_without_tension_the_band_is_a_beam(built_in: bool, beam: float) -> None:
    # DERIVED: L^3 / 48 EI and L^3 / 192 EI
    stiffness = BAND.sideways_stiffness_n_m2
    give_m_n = centre_compliance_m_n(0.3, 1e-9, stiffness, built_in)

    assert give_m_n == pytest.approx(0.3**3 / (beam * stiffness), rel=1e-9)
    assert centre_compliance_m_n(0.3, 0.0, stiffness, built_in) == pytest.approx(give_m_n, rel=1e-9)


def test_at_real_tension_the_band_is_a_string_and_no_beam() -> None:
    # DERIVED: L / 4T is 0.015432, L^3 / 48EI is 1.633 mm/N, some 112 times too soft
    give_m_n = wander_m(1.0, 0.3, T_N, BAND)
    string_m_n, beam_m_n = 0.3 / (4 * T_N), 0.3**3 / (48 * BAND.sideways_stiffness_n_m2)

    assert string_m_n == pytest.approx(0.015432 * MM, rel=1e-4)
    assert beam_m_n == pytest.approx(1.633 * MM, rel=1e-3)
    assert give_m_n == pytest.approx(string_m_n, rel=0.06)
    assert beam_m_n / give_m_n == pytest.approx(112, abs=0.5)


def test_closed_form_and_its_series_meet() -> None:
    # DERIVED: on either side of the switch from one to the other
    stiffness = BAND.sideways_stiffness_n_m2
    edge_n = 4 * stiffness * 1e-4 / 0.3**2
    below = centre_compliance_m_n(0.3, edge_n * (1 - 1e-9), stiffness)
    above = centre_compliance_m_n(0.3, edge_n * (1 + 1e-9), stiffness)

    assert below == pytest.approx(above, rel=1e-8)


def test_twenty_newtons_push_the_band_three_tenths_aside() -> None:
    # DERIVED
    assert wander_m(20.0, 0.3, T_N, BAND) == pytest.approx(0.291 * MM, abs=5e-7)


def test_a_warm_band_between_fixed_wheels_loses_tension() -> None:
    # DERIVED; alpha MEMORY
    assert stress_lost_to_heat_pa(BAND, 10.0) == pytest.approx(25.2e6, rel=1e-12)


def test_slip_limit_on_the_driving_wheel() -> None:
    # DERIVED: Euler and Eytelwein; and the sum of the friction round the wheel by quad
    limit_n = slip_limit_n(T_N, 0.15)
    slack_n = T_N - limit_n / 2
    friction_n = quad(lambda angle: 0.15 * slack_n * exp(0.15 * angle), 0, pi)[0]

    assert limit_n == pytest.approx(2248.8, abs=0.05)
    assert friction_n == pytest.approx(limit_n, rel=1e-9)


def _ritz_n(
    span_m: float,
    tension_n: float,
    band: Band,
    load_m: float,
    carried: bool = False,
    waves: int = 56,
) -> float:
    """Feed force at which a strand runs out, by the energy of so many sine waves of bending and of twist.

    Textbook energies (MEMORY): EI u'' and T u', GJ and the tension's share T (w^2 + t^2) / 12 of the twist, the
    moment P x / 2 through both, and the load that sinks by its distance from the middle. With `carried` the
    moment is what the tension leaves of it edgewise, that of a tie rod.
    """
    width, thick = band.width_m, band.thickness_m
    ei, gj = 210e9 * width * thick**3 / 12, 210e9 / 2.6 * width * thick**3 / 3
    x, cell = np.linspace(0, span_m, 800, endpoint=False), span_m / 800
    x = x + cell / 2
    moment_m = np.minimum(x, span_m - x) / 2
    if carried:
        pulled = (tension_n / (210e9 * thick * width**3 / 12)) ** 0.5
        moment_m = np.sinh(2 * moment_m * pulled) / (2 * pulled * np.cosh(pulled * span_m / 2))
    k = np.arange(1, waves + 1) * pi / span_m
    slope, bend = k[:, None] * np.cos(np.outer(k, x)), -(k**2)[:, None] * np.sin(np.outer(k, x))
    coupled = (bend * moment_m) @ np.sin(np.outer(k, x)).T * cell
    middle = np.sin(k * span_m / 2)
    none = np.zeros((waves, waves))
    stiff = np.block([
        [(ei * bend @ bend.T + tension_n * slope @ slope.T) * cell, none],
        [none, (gj + tension_n * (width**2 + thick**2) / 12) * slope @ slope.T * cell],
    ])  # fmt: skip
    softens = np.block([[none, coupled], [coupled.T, -load_m * np.outer(middle, middle)]])
    return float(1 / eigh(-softens, stiff, eigvals_only=True).max())


def test_a_strand_under_no_tension_runs_out_as_its_energy_says() -> None:
    # MEMORY, Timoshenko and Gere: 16.94 sqrt(B C) / L^2 for a load in the middle of the depth
    band, span_m = Band(34 * MM, 1.1 * MM), 0.2
    ei, gj = band.sideways_stiffness_n_m2, 210e9 / 2.6 * band.width_m * band.thickness_m**3 / 3
    assert _ritz_n(span_m, 0.0, band, 0.0) == pytest.approx(
        16.94 * (ei * gj) ** 0.5 / span_m**2, rel=1e-3
    )


@pytest.mark.parametrize("span_mm", [500, 1000, 2000, 5000])
def test_without_tension_a_strand_runs_out_as_a_narrow_beam(span_mm: float) -> None:
    # MEMORY, Timoshenko and Gere: 16.94 sqrt(B C) / L^2 (1 - 1.74 a/L sqrt(B/C)), the load a over the middle
    band, span_m = Band(34 * MM, 1.1 * MM), span_mm * MM
    ei, gj = band.sideways_stiffness_n_m2, 210e9 / 2.6 * band.width_m * band.thickness_m**3 / 3
    edge = 1.74 * band.width_m / 2 / span_m * (ei / gj) ** 0.5
    published_n = 16.94 * (ei * gj) ** 0.5 / span_m**2 * (1 - edge)

    assert runs_out_at_n(span_m, 0.0, band) == pytest.approx(published_n, rel=0.02)


@pytest.mark.parametrize(("width_mm", "thickness_mm"), [(13, 0.6), (34, 1.1), (41, 1.3), (67, 1.6)])
@pytest.mark.parametrize("tension_mpa", [0, 20, 100, 230, 300])
def test_a_strand_runs_out_at_what_its_energy_says(
    width_mm: float, thickness_mm: float, tension_mpa: float
) -> None:
    # DERIVED, against scipy.linalg.eigh
    band = Band(width_mm * MM, thickness_mm * MM)
    tension_n = strand_force_n(tension_mpa * 1e6, band)
    for span_mm in (40, 100, 200, 340, 420):
        energy_n = _ritz_n(span_mm * MM, tension_n, band, band.width_m / 2)

        assert runs_out_at_n(span_mm * MM, tension_n, band) == pytest.approx(energy_n, rel=0.02)


@pytest.mark.parametrize("width_mm", [27.0, 16.0, 5.4])
def test_a_drawn_strand_without_stiffness_runs_out_as_a_string(width_mm: float) -> None:
    # DERIVED: with EI nil the twist is atanh(z x / half the span), z = P L / 4 sqrt(C T), and the load a over the
    # middle asks (z + a sqrt(T/C)) atanh z = 1. Over four metres EI counts for little; narrow, GJ counts for more.
    band, span_m = Band(width_mm * MM, 0.3 * MM), 4.0
    tension_n = strand_force_n(300e6, band)
    twist = 210e9 / 2.6 * band.width_m * band.thickness_m**3 / 3
    twist += tension_n * (band.width_m**2 + band.thickness_m**2) / 12
    arm = band.width_m / 2 * (tension_n / twist) ** 0.5
    z = brentq(lambda z: (z + arm) * atanh(z) - 1, 0.01, 0.99)
    string_n = 4 * z * (twist * tension_n) ** 0.5 / span_m

    assert runs_out_at_n(span_m, tension_n, band) == pytest.approx(string_n, rel=0.02)


def test_run_out_and_its_series_meet() -> None:
    # DERIVED: on either side of u = 0.1, where one takes over from the other. The term left out of the series is
    # 61/5280 u^6 (sympy), so Q is short of 6e-8 of itself there, and the force of half that.
    ei, span_m = BAND.sideways_stiffness_n_m2, 0.3
    edge_n = ei * (0.2 / span_m) ** 2
    below, above = (runs_out_at_n(span_m, edge_n * by, BAND) for by in (1 - 1e-9, 1 + 1e-9))

    assert below == pytest.approx(above, rel=6e-8)


@pytest.mark.parametrize(("span_mm", "under"), [(100, 0.005), (200, 0.02), (340, 0.05)])
def test_what_the_tension_carries_edgewise_is_left_out_on_the_careful_side(
    span_mm: float, under: float
) -> None:
    # DERIVED, scipy.linalg.eigh with the moment of a tie rod beside the one of a beam, at 230 MPa
    band = Band(34 * MM, 1.1 * MM)
    at = (span_mm * MM, strand_force_n(230e6, band), band, 17 * MM)

    assert _ritz_n(*at) / _ritz_n(*at, carried=True) == pytest.approx(1 - under, abs=0.003)
