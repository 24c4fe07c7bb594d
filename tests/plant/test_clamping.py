"""Clamping pressure between slipping and crushing, clamped bundles, and jaws that rub."""

from math import hypot

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.trade.crush import (
    closing_m,
    collapse_n,
    dent_m,
    first_yield_n,
    ring_closing_m,
    wall_stiffness_n_m2,
)
from sim.trade.sections import Bundle, Round, RoundTube, SquareTube
from sim.units import BAR, MM

PER_BAR_N = 20e-4 * BAR * 0.9  # piston, pressure, seals
HOLD = 2 * 0.15


@pytest.fixture
def row(steel):
    return Stock(steel, Bundle(Round(30 * MM), 3), 6.0, 12 * MM)


def holding_for(pull_n, times):
    """Pressure in bar at which the jaws hold a pull so many times."""
    return times * pull_n / (HOLD * PER_BAR_N)


def test_a_bar_held_twice_over_does_not_move(ran):
    assert ran(cutting_vise__pressure_bar=holding_for(300, 2.05)).harm == []


def test_a_bar_held_less_than_twice_turns_and_less_than_once_slides(ran, told):
    turned = ran(cutting_vise__pressure_bar=holding_for(300, 1.1))
    slid = ran(cutting_vise__pressure_bar=5)

    assert "slid by 0.00 mm" in told(turned, "bar-slipped")
    assert turned.lengths_mm() == [112.0]
    assert turned.saw.cuts[0].out_of_square > 0.002
    assert slid.lengths_mm()[0] > 112.05
    slid_mm = slid.lengths_mm()[0] - 112.0
    assert f"slid by {slid_mm:.2f} mm" in told(slid, "bar-slipped")


def test_a_bar_that_turned_in_its_jaws_is_out_by_the_turn_over_half_their_length(ran):
    held, turned = ran(), ran(cutting_vise__pressure_bar=holding_for(300, 1.1))
    slipped = next(each for each in turned.saw.consequences if each.kind == "bar-slipped")
    turn_m = slipped.detail["turn"]
    along, across = held.saw.cuts[0].out_of_square, turn_m / (60 * MM)  # jaws of 120 mm

    assert turned.saw.cuts[0].out_of_square == pytest.approx(hypot(along, across), rel=0.02)
    assert across > 5 * along


def test_the_weaker_the_clamping_the_further_the_bar_turns(ran):
    faces = [ran(cutting_vise__pressure_bar=bar).saw.cuts[0].out_of_square for bar in (5, 7, 9, 12)]

    assert faces == sorted(faces, reverse=True)
    assert faces[0] > 5 * faces[-1]


def test_a_bar_held_by_next_to_nothing_is_snatched(ran, told):
    hard = {"head__feed_force_n": 1300, "head__feed_valve_mm_min": 250}
    hands = ran(cutting_vise__pressure_bar=5, **hard)

    assert hands.harm[-1] == "bar-snatched"
    assert "the vise held 270 N" in told(hands, "bar-snatched")
    assert hands.saw.plant.site.wrecked


def test_oil_on_the_jaws_lets_slip_what_they_held_dry(ran):
    assert ran(cutting_vise__pressure_bar=13).harm == []
    oily = ran(cutting_vise__pressure_bar=13, spoil=lambda p: p.cutting_vise.oil_jaws(0.07))

    assert "bar-slipped" in oily.harm


def test_a_thin_tube_is_dented_as_deep_as_the_ring_formula_says(ran, told, tube, steel):
    fine = {"band__teeth_per_inch": 18, "band__brush_mm": 0.5}
    hands = ran(
        tube, wanted=2, cutting_vise__pressure_bar=12, shuttle_vise__pressure_bar=33, **fine
    )
    clamping_n = 33 * PER_BAR_N
    dent = dent_m(tube.section, steel, clamping_n, 80 * MM)

    assert hands.harm[0] == "tube-crushed"
    assert set(hands.harm) == {"tube-crushed"}
    assert dent > 0.1 * MM
    assert f"{clamping_n:.0f} N and left a dent of {dent / MM:.2f} mm" in told(
        hands, "tube-crushed"
    )
    assert f"it takes {first_yield_n(tube.section, steel, 80 * MM):.0f} N" in told(
        hands, "tube-crushed"
    )
    assert hands.saw.cuts[0].dent_m == 0.0
    assert hands.saw.cuts[1].dent_m == pytest.approx(dent)
    assert hands.saw.plant.bar.dent_front_m == pytest.approx(dent)  # in what comes off next


def test_a_dent_ends_where_the_stroke_of_the_jaw_ends(ready, tube, steel, told):
    hands = ready(tube, shuttle_vise__pressure_bar=60, shuttle_vise__jaw_gap_mm=6)
    hands.clamp("shuttle_vise")
    vise, section = hands.saw.plant.shuttle_vise, tube.section
    bears_n = collapse_n(section, steel, 80 * MM)
    springs_m = 4 * MM - hands.saw.plant.bar.dent_m  # ten of stroke, six of gap

    assert 3 * MM < hands.saw.plant.bar.dent_m < 4 * MM
    assert springs_m == pytest.approx(
        ring_closing_m(bears_n, 28.5 * MM, wall_stiffness_n_m2(210e9, 80 * MM, 3 * MM)), rel=1e-3
    )
    assert vise.cylinder_n == pytest.approx(60 * PER_BAR_N)
    assert vise.force_n == pytest.approx(bears_n, rel=1e-3)
    assert "dent of 3." in told(hands, "tube-crushed")


@given(
    wall_mm=st.floats(1.2, 5.0),
    across_mm=st.floats(25, 100),
    bar=st.floats(5, 60),
    gap_mm=st.floats(0, 10),
    shape=st.sampled_from([RoundTube, SquareTube]),
    count=st.integers(1, 3),
)
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_dent_goes_beyond_the_stroke(
    new_hands, steel, wall_mm, across_mm, bar, gap_mm, shape, count
):
    one = shape(across_mm * MM, wall_mm * MM)
    hands = new_hands(Stock(steel, Bundle(one, count) if count > 1 else one, 6.0, 12 * MM))
    hands.control_on()
    hands.set(shuttle_vise__pressure_bar=bar, shuttle_vise__jaw_gap_mm=gap_mm)
    hands.hold_down("shuttle_vise.clamp", 4)
    vise, own = hands.saw.plant.shuttle_vise, hands.saw.plant.bar

    assert vise.clamped
    assert own.dent_m * count <= (10 - hands.saw.plant.shuttle_vise.gap_m / MM) * MM + 1e-9
    assert vise.force_n <= vise.cylinder_n
    closes_m = closing_m(own.stock.section, steel, vise.force_n * (1 - 1e-9), 80 * MM)
    assert closes_m <= vise.stroke_left_m + 1e-6


def test_pressure_raised_on_a_clamped_tube_dents_it_then(ready, tube):
    hands = ready(tube, cutting_vise__pressure_bar=12, shuttle_vise__pressure_bar=12)
    hands.clamp_bar()
    assert hands.harm == []
    hands.set(shuttle_vise__pressure_bar=35)

    assert hands.harm == ["tube-crushed"]


def test_a_solid_bar_takes_the_most_that_the_vise_has(ran):
    assert ran(cutting_vise__pressure_bar=60, shuttle_vise__pressure_bar=60).harm == []


def test_a_row_of_bars_without_the_clamp_shifts_and_with_it_does_not(ran, row):
    fine = {"band__teeth_per_inch": 6, "head__feed_force_n": 400}
    loose, clamped = ran(row, **fine), ran(row, cutting_vise__bundle_clamp="down", **fine)

    assert "bar-slipped" in loose.harm
    assert clamped.harm == []


def test_three_loose_bars_shift_as_clamped_ones_do_in_jaws_that_press_with_their_share(ran, row):
    fine = {"band__teeth_per_inch": 6, "head__feed_force_n": 400}
    loose = ran(row, cutting_vise__pressure_bar=60, **fine)
    share = loose.machine.loose_share / 3
    clamped = ran(
        row, cutting_vise__pressure_bar=60 * share, cutting_vise__bundle_clamp="down", **fine
    )
    lean = loose.saw.cuts[0].out_of_square

    assert "bar-slipped" in loose.harm
    assert lean == pytest.approx(clamped.saw.cuts[0].out_of_square, rel=1e-6)
    assert lean > 2 * ran(row, cutting_vise__bundle_clamp="down", **fine).saw.cuts[0].out_of_square


def test_more_bars_in_a_row_without_the_clamp_shift_further(ran, steel):
    def turned(count):
        bars = Stock(steel, Bundle(Round(20 * MM), count), 6.0, 12 * MM)
        return ran(bars, head__feed_force_n=300, band__teeth_per_inch=8).saw.cuts[0].out_of_square

    assert turned(2) < turned(3) < turned(5)


def test_the_clamp_is_nothing_to_a_single_bar(ran):
    down, up = ran(cutting_vise__bundle_clamp="down"), ran()

    assert down.harm == up.harm == []
    assert down.saw.cuts == up.saw.cuts


def test_a_weakly_clamped_shuttle_vise_leaves_a_heavy_bar_behind(ran, steel, told):
    heavy = Stock(steel, Round(100 * MM), 6.0, 12 * MM)
    weak = ran(heavy, shuttle_vise__pressure_bar=6, wanted=2)
    strong = ran(heavy, shuttle_vise__pressure_bar=30, wanted=2)

    assert strong.lengths_mm() == [112.0, 100.0]
    assert strong.harm == []
    # v^2/2 (1/a - 1/ramp), speeding up less slowing down, mass and drag from the bar
    mass_kg = 7850 * 3.14159265 * 0.05**2 * 6.0
    hold_n, drag_n = HOLD * 6 * PER_BAR_N, 0.05 * mass_kg * 9.81
    short_mm = 1e3 * 0.15**2 / 2 * (mass_kg / (hold_n - drag_n) - 1.0)
    short_mm -= 1e3 * 0.15**2 / 2 * max(0.0, mass_kg / (hold_n + drag_n) - 1.0)
    assert weak.lengths_mm()[0] == pytest.approx(112.0 - short_mm, abs=1e-3)
    assert "bar-slipped" in weak.harm
    assert f"stayed behind by {short_mm:.2f} mm" in told(weak, "bar-slipped")


def test_seized_rollers_make_the_same_clamping_too_weak(ran):
    hands = ran(shuttle_vise__pressure_bar=7, spoil=lambda p: p.shuttle.drag_bar(0.25))

    assert ran(shuttle_vise__pressure_bar=7).lengths_mm() == [112.0]
    assert hands.lengths_mm()[0] < 111.9


@pytest.mark.parametrize("vise", ["cutting_vise", "shuttle_vise"])
def test_a_jaw_left_touching_scores_the_bar_that_is_drawn_past_it(ran, vise):
    assert "bar-scored" in ran(wanted=2, **{f"{vise}__jaw_gap_mm": 0}).harm
    assert ran(wanted=2, **{f"{vise}__jaw_gap_mm": 1}).harm == []


def test_repeated_slips_are_told_once_a_cut(ran):
    hands = ran(wanted=3, cutting_vise__pressure_bar=6)

    assert hands.harm.count("bar-slipped") == 3
    assert hands.harm.count("cut-out-of-square") == 3
