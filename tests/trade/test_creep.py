"""Creep in the cut against scipy's quadrature, slip of an index against a step by step sum."""

from math import isinf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sim.trade.creep import SKEW_AT, creep_m, index_slip_m
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.sections import Round
from sim.trade.wander import peak_pull_n, pull_n
from sim.units import MM

STEEL = CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 1.0, 1.0)
TABLE = cut_table(Round(60 * MM), 300.0, 1e-3, STEEL)


@given(st.floats(1, 700), st.sampled_from([SKEW_AT, 1.0, 0.5]))
def test_creep_is_the_integral_of_what_is_missing(holding_n, times):
    def missing(depth_m):
        load_n = times * pull_n(TABLE, depth_m)
        return max(0.0, 1.0 - holding_n / load_n) if load_n > 0 else 0.0

    whole, _ = quad(missing, 0.0, 60 * MM, limit=400, points=[1 * MM, 30 * MM, 59 * MM])
    crept = creep_m(TABLE, holding_n, times, 0.02, 0.0, 60 * MM)

    assert crept == pytest.approx(0.02 * whole, abs=0.02 * 60 * MM * 0.01)


def test_nothing_held_creeps_at_the_full_rate_and_enough_held_not_at_all():
    assert creep_m(TABLE, 0.0, SKEW_AT, 0.02, 0.0, 60 * MM) == pytest.approx(1.2 * MM)
    assert creep_m(TABLE, 2 * peak_pull_n(TABLE), SKEW_AT, 0.02, 0.0, 60 * MM) == 0.0


def test_creep_adds_up_over_parts_of_a_cut():
    parts = [creep_m(TABLE, 200.0, 2.0, 0.02, a * MM, b * MM) for a, b in ((0, 25), (25, 60))]

    assert sum(parts) == pytest.approx(creep_m(TABLE, 200.0, 2.0, 0.02, 0.0, 60 * MM), rel=0.01)


@pytest.mark.parametrize("holding_n", [0.0, 100.0, 200.0, 300.0])
def test_a_round_creeps_as_far_on_the_way_out_as_on_the_way_in(holding_n):
    # DERIVED: a round is its own mirror image
    to_its_middle, beyond = (
        creep_m(TABLE, holding_n, SKEW_AT, 0.02, a * MM, (a + 30) * MM) for a in (0, 30)
    )

    assert to_its_middle > 0.0
    assert beyond == pytest.approx(to_its_middle, rel=1e-9)


def stepped_slip_m(holding_n, mass_kg, speed, ramp, drag):
    """The same move, walked through in small steps: a shuttle on ramps, a bar held by friction."""
    dt, drag_n = 1e-5, drag * mass_kg * 9.81
    shuttle = bar = shuttle_v = bar_v = 0.0
    slowing = False
    while not (slowing and shuttle_v <= 0.0 and bar_v <= 1e-9):
        slowing = slowing or shuttle >= 0.4
        shuttle_v = max(0.0, min(speed, shuttle_v + (-ramp if slowing else ramp) * dt))
        # Friction of the jaws pulls the bar towards the shuttle's speed, the rollers drag it back.
        most = (holding_n - drag_n) / mass_kg * dt
        least = -(holding_n + drag_n) / mass_kg * dt
        bar_v = max(0.0, bar_v + min(max(shuttle_v - bar_v, least), most))
        shuttle += shuttle_v * dt
        bar += bar_v * dt
    return shuttle - bar


@pytest.mark.parametrize(
    ("holding_n", "drag", "slips"),
    [
        (3000.0, 0.05, "nowhere"),
        (560.0, 0.05, "nowhere"),
        (400.0, 0.05, "speeding up"),
        (300.0, 0.05, "speeding up"),
        (200.0, 0.02, "on both ramps"),
        (150.0, 0.01, "on both ramps"),
    ],
)
def test_the_slip_of_an_index_is_that_of_a_step_by_step_sum(holding_n, drag, slips):
    case = (370.0, 0.15, 1.0, drag)
    slip_m, drag_n = index_slip_m(holding_n, *case), drag * 370.0 * 9.81

    assert (slip_m > 1 * MM) == (slips != "nowhere")
    assert (holding_n + drag_n < 370.0) == (slips == "on both ramps")  # of a ramp of 1 m/s2
    assert slip_m == pytest.approx(stepped_slip_m(holding_n, *case), abs=2e-5)


def test_a_grip_below_the_drag_leaves_the_bar_where_it_is():
    assert isinf(index_slip_m(100.0, 370.0, 0.15, 1.0, 0.05))


@given(st.floats(1, 500), st.floats(200, 5000), st.floats(1.01, 2.0))
def test_a_heavier_bar_never_slips_less(mass_kg, holding_n, more):
    light = index_slip_m(holding_n, mass_kg, 0.15, 1.0, 0.05)
    heavy = index_slip_m(holding_n, mass_kg * more, 0.15, 1.0, 0.05)

    assert heavy >= light - 1e-12
