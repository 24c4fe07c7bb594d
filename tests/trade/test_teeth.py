"""Force on a tooth and room in its gullet, against sums done by hand and bounds."""

from math import radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.sections import (
    Angle,
    Bundle,
    Rectangle,
    Round,
    RoundTube,
    Square,
    SquareTube,
    mitre_factor,
)
from sim.trade.teeth import (
    depths_to_look_at_m,
    feed_for_teeth_m_s,
    gullet_area_m2,
    gullet_depth_m,
    gullet_fill,
    gullet_fill_at,
    strain_at_most,
    tooth_limit_n,
    tooth_strain_at,
    walls_m,
)
from sim.units import MM

PITCH = 6.35 * MM
size = st.floats(10, 200)
SECTION = st.one_of(
    st.builds(lambda d: Round(d * MM), size),
    st.builds(lambda a: Square(a * MM), size),
    st.builds(lambda w, h: Rectangle(w * MM, h * MM), size, size),
    st.builds(lambda d, t: RoundTube(d * MM, d * t * MM), size, st.floats(0.02, 0.45)),
    st.builds(lambda a, t: SquareTube(a * MM, a * t * MM), size, st.floats(0.02, 0.45)),
    st.builds(lambda a, t: Angle(a * MM, a * t * MM), size, st.floats(0.05, 0.45)),
    st.builds(lambda d, n: Bundle(Round(d * MM), n), st.floats(10, 40), st.integers(2, 5)),
)
CONDITIONS = st.builds(
    CutConditions,
    kc11_pa=st.floats(700e6, 2600e6),
    mc=st.floats(0.1, 0.3),
    pitch_m=st.sampled_from([25.4 * MM / n for n in (2, 3, 4, 6, 8, 10, 14, 18)]),
    kerf_m=st.just(1.5 * MM),
    band_speed_m_s=st.floats(0.33, 1.83),
    thrust_ratio=st.floats(0.8, 3.0),
)


def test_four_teeth_an_inch_have_gullets_of_2_2_mm_and_7_mm2():
    assert gullet_depth_m(PITCH) == pytest.approx(2.2225 * MM)
    assert gullet_area_m2(PITCH) == pytest.approx(7.0564e-6, rel=1e-4)


def test_a_chip_of_20_um_over_58_mm_just_fills_such_a_gullet():
    # 0.0202738 x 58 x 6 = 7.0553 mm2
    assert gullet_fill(20.277e-6, 58 * MM, PITCH) == pytest.approx(1.0, rel=1e-3)
    assert gullet_fill(20.277e-6, 58 * MM, PITCH, packed=0.5) == pytest.approx(2.0, rel=1e-3)


def test_a_tooth_of_four_to_the_inch_stands_238_n_and_a_third_of_three_a_ninth_of_it():
    assert tooth_limit_n(PITCH, 1.5 * MM) == pytest.approx(238.125)
    assert tooth_limit_n(PITCH, 1.5 * MM, teeth=7.0) == pytest.approx(238.125)
    assert tooth_limit_n(PITCH, 1.5 * MM, teeth=1.0) == pytest.approx(238.125 / 9)


def test_the_walls_of_a_tube_are_told_apart_from_its_whole_contact():
    tube = RoundTube(60 * MM, 5 * MM)
    assert walls_m(tube, 30 * MM) == pytest.approx((5 * MM, 5 * MM))
    assert walls_m(tube, 2.5 * MM) == pytest.approx((23.979 * MM, 23.979 * MM), rel=1e-4)
    assert walls_m(tube, 61 * MM) == (0.0, 0.0)


def test_strain_in_the_middle_of_a_post_by_hand():
    cut = CutConditions(1780e6, 0.17, PITCH, 1.5 * MM, 1.0, 1.0)
    table = cut_table(Round(60 * MM), 300.0, 1.0, cut)  # the valve out of the way

    # 60 mm over 6.35 mm teeth share 300 N: 31.75 N each, of 238.1 N
    assert tooth_strain_at(table, 30 * MM) == pytest.approx(31.75 / 238.125, rel=1e-3)


@given(SECTION, CONDITIONS, st.floats(50, 1500), st.floats(1e-4, 4e-3), st.floats(1, 4))
def test_the_quick_bound_is_never_passed(section, cut, force_n, valve_m_s, surge):
    table = cut_table(section, force_n, valve_m_s, cut)
    bound = strain_at_most(table, surge, 0.3) * (1 + 1e-6)

    for depth_m in depths_to_look_at_m(section):
        assert tooth_strain_at(table, depth_m, surge, 0.3) <= bound
        assert gullet_fill_at(table, depth_m, surge, 0.3) <= bound


def test_the_quick_bound_is_reached_by_a_bar_that_is_alike_at_every_depth():
    cut = CutConditions(1780e6, 0.17, PITCH, 1.5 * MM, 1.0, 1.0)
    for valve_m_s, fills in ((1e-3, False), (5e-3, True)):  # a square has its worst everywhere
        table = cut_table(Square(90 * MM), 1e6, valve_m_s, cut)
        strain = tooth_strain_at(table, 45 * MM, 1.2, 0.3)

        assert strain_at_most(table, 1.2, 0.3) == pytest.approx(
            max(strain, gullet_fill_at(table, 45 * MM, 1.2, 0.3))
        )
        assert (gullet_fill_at(table, 45 * MM, 1.2, 0.3) > 1.0) == fills


@given(SECTION, CONDITIONS, st.floats(50, 1500), st.floats(0, radians(60)))
def test_at_the_feed_that_teeth_allow_none_is_in_danger_and_at_twice_the_margin_one_is(
    section, cut, force_n, mitre_rad
):
    feed_m_s = feed_for_teeth_m_s(section, cut, widening=mitre_factor(mitre_rad))

    def worst(valve_m_s, force):
        table = cut_table(section, force, valve_m_s, cut, mitre_rad)
        return max(
            max(tooth_strain_at(table, d), gullet_fill_at(table, d))
            for d in depths_to_look_at_m(section)
        )

    assert worst(feed_m_s, force_n) <= 1.0 + 1e-9
    assert worst(feed_m_s * 1.49, 1e9) < 1.0
    assert worst(feed_m_s * 1.51 ** (1 / (1 - cut.mc)), 1e9) > 1.0


@given(SECTION, CONDITIONS, st.floats(1e-4, 4e-3))
def test_jerks_and_packed_gullets_never_ease_a_tooth(section, cut, valve_m_s):
    table = cut_table(section, 400.0, valve_m_s, cut)
    for depth_m in depths_to_look_at_m(section)[::7]:
        even = tooth_strain_at(table, depth_m)
        assert tooth_strain_at(table, depth_m, surge=2.0) > even
        assert tooth_strain_at(table, depth_m, packed=0.5) >= even


def test_the_worst_places_of_a_box_are_among_the_depths_looked_at():
    box = SquareTube(50 * MM, 4 * MM)
    depths = depths_to_look_at_m(box)
    assert any(abs(d - 4 * MM) < 1e-6 and d > 4 * MM for d in depths)
    assert all(0.0 < d < 50 * MM for d in depths)


@pytest.mark.parametrize("bar", [Round(60 * MM), RoundTube(60 * MM, 3 * MM), Square(50 * MM)])
def test_a_bar_that_is_its_own_mirror_image_is_looked_at_in_mirrored_depths(bar):
    depths = depths_to_look_at_m(bar)

    assert depths == pytest.approx(tuple(bar.height_m - depth_m for depth_m in reversed(depths)))
