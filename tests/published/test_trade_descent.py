"""Descent through oil against Torricelli, Kirchhoff's jet and the common figures of hydraulics."""

from math import sqrt

import pytest

from sim.trade.descent import (
    OIL_DENSITY_KG_M3,
    SHARP_EDGE_DISCHARGE,
    descent_m_s,
    needle_m_s,
    orifice_flow_m3_s,
    orifice_for_m2,
)

PISTON_M2, LOAD_N = 4e-4, 588.6


def test_discharge_of_a_sharp_edge_is_that_of_kirchhoffs_free_jet() -> None:
    # MEMORY: Kirchhoff 1869, contraction of a plane jet pi / (pi + 2) = 0.611; books on fluid power use 0.60 to 0.62
    assert pytest.approx(0.611, abs=5e-4) == SHARP_EDGE_DISCHARGE


def test_flow_of_a_worked_orifice() -> None:
    # DERIVED: 1 mm2, 10 bar, 870 kg/m3: 47.95 m/s by Torricelli, 0.611 of it by area, 1.758 l/min
    assert sqrt(2 * 1e6 / OIL_DENSITY_KG_M3) == pytest.approx(47.95, abs=0.01)
    assert orifice_flow_m3_s(1e-6, 1e6) * 6e4 == pytest.approx(1.758, abs=0.001)


def test_the_oil_loses_just_the_work_of_the_load() -> None:
    # DERIVED: power of the load is drop by flow, whatever the orifice
    rate_m_s = needle_m_s(1.0, 5e-8, LOAD_N, PISTON_M2)

    assert LOAD_N * rate_m_s == pytest.approx(
        LOAD_N / PISTON_M2 * orifice_flow_m3_s(5e-8, LOAD_N / PISTON_M2), rel=1e-12
    )


def test_four_times_the_load_sinks_twice_as_fast_and_half_the_turns_a_quarter() -> None:
    # DERIVED: square root of the drop; MEMORY: a needle's area goes about with the square of its lift
    rate_m_s = needle_m_s(1.0, 5e-8, LOAD_N, PISTON_M2)

    assert needle_m_s(1.0, 5e-8, 4 * LOAD_N, PISTON_M2) == pytest.approx(2 * rate_m_s)
    assert needle_m_s(0.5, 5e-8, LOAD_N, PISTON_M2) == pytest.approx(rate_m_s / 4)


def test_an_orifice_sized_for_a_rate_lets_the_load_down_at_it() -> None:
    # DERIVED by hand: 250 mm/min on 4 cm2 is 1.667 ml/s; 588.6 N is 14.715 bar, 58.16 m/s
    area_m2 = orifice_for_m2(250e-3 / 60, LOAD_N, PISTON_M2)

    assert area_m2 == pytest.approx(1.6667e-6 / 58.16 / 0.611, rel=1e-3)
    assert needle_m_s(1.0, area_m2, LOAD_N, PISTON_M2) == pytest.approx(250e-3 / 60)


def test_a_compensated_valve_in_line_with_a_needle_passes_the_lesser_rate() -> None:
    # MEMORY: ISO 1219 draws the compensated valve as one that holds its flow; behind a tighter
    # restriction it is wide open and adds nothing
    assert descent_m_s(1e-3, 4e-3) == 1e-3
    assert descent_m_s(4e-3, 1e-3) == 1e-3
