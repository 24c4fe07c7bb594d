"""Wander over the depth of a cut, against the strip of `trade.band` and brute force."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.trade.band import Band, centre_compliance_m_n, strand_force_n, wander_m
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.sections import Round, RoundTube, Square
from sim.trade.wander import (
    Wander,
    most_thrust_n,
    peak_pull_n,
    peak_thrust_n,
    pull_n,
    thrust_n,
)
from sim.units import MM, MPA

STEEL = CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 1.0, 1.2)
STRIP = Band(34 * MM, 1.1 * MM)


def give(span_mm, mpa=230.0):
    return centre_compliance_m_n(
        span_mm * MM, strand_force_n(mpa * MPA, STRIP), STRIP.sideways_stiffness_n_m2
    )


def test_where_the_feed_force_rules_the_thrust_is_the_feed_force():
    table = cut_table(Square(50 * MM), 300.0, 1.0, STEEL)

    assert thrust_n(table, 20 * MM) == pytest.approx(300.0)
    assert pull_n(table, 20 * MM) == pytest.approx(250.0)
    assert peak_thrust_n(table) == pytest.approx(300.0)
    assert peak_pull_n(table) == pytest.approx(250.0)


def test_far_down_it_is_the_give_of_the_strip_under_the_side_force():
    table = cut_table(Square(400 * MM), 300.0, 1.0, STEEL)
    wander = Wander(table, 0.2 * give(260))
    expected = wander_m(0.2 * 300.0, 260 * MM, strand_force_n(230 * MPA, STRIP), STRIP)

    assert wander.at_m(399 * MM) == pytest.approx(expected, rel=1e-3)
    assert wander.at_m(40 * MM) == pytest.approx(expected * (1 - exp(-1)), rel=1e-3)
    assert wander.at_m(0.0) == 0.0


@given(st.floats(50, 1500), st.floats(2e-4, 4e-3), st.floats(0.02, 1.0), st.floats(60, 340))
def test_the_stretches_beyond_a_limit_are_those_that_brute_force_finds(
    force_n, valve_m_s, side, span_mm
):
    table = cut_table(Round(90 * MM), force_n, valve_m_s, STEEL)
    wander = Wander(table, side * give(span_mm))
    limit_m = 0.5 * MM
    stretches = wander.beyond_m(limit_m)

    edges_m = [edge for stretch in stretches for edge in stretch if 1e-6 < edge < 90 * MM - 1e-6]
    assert [wander.at_m(edge) for edge in edges_m] == [pytest.approx(limit_m, rel=1e-3)] * len(
        edges_m
    )
    for i in range(1, 900):
        depth_m = i * 0.1 * MM
        shown = wander.at_m(depth_m)
        if abs(shown - limit_m) > 0.02 * MM:
            assert (shown > limit_m) == any(a <= depth_m < b for a, b in stretches)


def test_a_stretch_begins_and_ends_where_the_band_is_at_the_limit():
    # so heavy a feed that it passes the limit on its way down a square, and comes back in no part of it
    table = cut_table(Square(90 * MM), 300.0, 1.0, STEEL)
    wander = Wander(table, 0.8 * give(260))
    limit_m = wander.at_m(30 * MM)
    ((start_m, end_m),) = wander.beyond_m(limit_m)

    assert start_m == pytest.approx(30 * MM, rel=1e-6)
    assert end_m == 90 * MM


@given(st.floats(50, 1500), st.floats(2e-4, 4e-3))
def test_the_largest_deviation_is_not_missed_by_much(force_n, valve_m_s):
    wander = Wander(cut_table(RoundTube(80 * MM, 8 * MM), force_n, valve_m_s, STEEL), 1e-6)
    brute = max(wander.at_m(i * 0.02 * MM) for i in range(4001))

    assert wander.most_m(0.0, 80 * MM) == pytest.approx(brute, rel=0.1)
    assert wander.most_m(0.0, 80 * MM) <= brute * (1 + 1e-9)


@given(st.floats(0.0005, 0.01), st.floats(10, 200), st.floats(0.02, 1.0))
def test_a_bar_cut_with_the_most_thrust_is_out_of_square_by_just_the_limit(limit, height_mm, side):
    side_give = side * give(120)
    force_n = most_thrust_n(limit, height_mm * MM, side_give)
    bar = Square(height_mm * MM)
    table = cut_table(bar, force_n, 1e3, STEEL)
    bottom = Wander(table, side_give).at_m(bar.height_m * (1 - 1e-9))

    assert bottom / bar.height_m == pytest.approx(limit, rel=1e-4)
