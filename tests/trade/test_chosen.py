"""Numbers chosen for this saw, with no source to hold them to: each is held by what follows from it."""

from math import exp, inf
from types import SimpleNamespace

import pytest

from sim.plant.blade import SHARP
from sim.plant.cut import _dangers_at
from sim.trade.choice import chart_teeth_per_inch, narrowest_contact_m, too_few_teeth
from sim.trade.creep import slide_at, snatched_at
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.edge import EDGE_SHARP_M, rubs_badly, starved, worn_out
from sim.trade.measuring import BY_NAME, face_tool
from sim.trade.sections import Bundle, Round, RoundTube, Square, SquareTube
from sim.trade.teeth import tooth_limit_n, tooth_strain_at
from sim.trade.toothed_cut import ToothEdge, toothed_cut
from sim.trade.wander import magnified, pull_n
from sim.units import INCH, MM

UM = 1e-6
PITCH_M = 6.35 * MM
CUT = CutConditions(1780e6, 0.17, PITCH_M, 1.5 * MM, 1.0, 1.0)
SOFT = 1.25  # hardness of what is rubbed by that of the metal, structural steel


def test_from_nineteen_twentieths_of_what_it_carries_the_guides_hold_a_strand_at_ten_times() -> (
    None
):
    # DERIVED: half the reserve at which it begins to give more, by the twentieth that is left
    assert magnified(0.94) == pytest.approx(0.5 / 0.06)
    assert magnified(0.95) == magnified(3.0) == pytest.approx(0.5 / 0.05)


def test_twice_the_chip_that_a_band_stands_for_long_doubles_what_goes_sideways() -> None:
    valve_m_s = 18 * UM / PITCH_M  # 1 m/s of band; 9 um is what it stands
    cut = toothed_cut(Square(0.05), 1e6, valve_m_s, CUT, ToothEdge(EDGE_SHARP_M, SOFT))

    assert cut.chip_m == pytest.approx(18 * UM)
    assert cut.sideways == pytest.approx(2.0)


@pytest.mark.parametrize(("rubbed", "told"), [(0.635, False), (0.645, True)])
def test_teeth_are_told_to_rub_from_one_over_the_square_of_the_hardening(rubbed, told) -> None:
    assert rubs_badly(rubbed, SOFT) == told  # 1 / 1.25^2 = 0.64


@pytest.mark.parametrize(("chip_um", "told"), [(1.06, True), (1.07, False)])
def test_a_feed_is_told_to_starve_teeth_from_65_hundredths_of_that(chip_um, told) -> None:
    # DERIVED: (1 - chip / (0.6 x 5 um))^2 x 1.25^2 = 0.65 at 1.065 um
    assert starved(chip_um * UM, SOFT) == told


def test_past_its_life_a_band_presses_seven_times_as_hard_at_half_as_much_again() -> None:
    assert worn_out(1.1) == 1.0
    assert worn_out(1.3) == pytest.approx(exp(12 * 0.2**2))
    assert worn_out(1.5) == pytest.approx(6.82, abs=0.01)


def test_a_twentieth_of_a_tooth_too_few_is_not_counted() -> None:
    assert not too_few_teeth(Square(2.951 * PITCH_M), PITCH_M)
    assert too_few_teeth(Square(2.949 * PITCH_M), PITCH_M)


@pytest.mark.parametrize(
    ("limit_mm", "tool"), [(0.24, "square"), (0.22, "feeler"), (0.087, "feeler"), (0.079, None)]
)
def test_a_face_is_proved_by_what_is_sure_to_half_of_what_counts_as_square(limit_mm, tool) -> None:
    # DERIVED: a square is sure to 0.115 mm, a feeler to 0.042; twice these are 0.231 and 0.083
    assert face_tool(limit_mm * MM) is (BY_NAME[tool] if tool else None)


def test_the_narrowest_of_a_round_is_its_chord_a_tenth_of_the_way_in() -> None:
    # DERIVED: 2 sqrt(r^2 - (0.8 r)^2)
    assert narrowest_contact_m(Round(60 * MM)) == pytest.approx(36 * MM, rel=1e-6)


def test_in_the_first_and_last_tenth_teeth_are_taken_to_be_three() -> None:
    # At a chip that the valve gives, each tooth carries the same force everywhere; what differs is
    # what it stands, by the teeth that share the blow: DERIVED, (teeth / 3)^2.
    bar = Round(20 * MM)  # its chord a tenth of the way in is 12 mm, 1.9 teeth
    table = cut_table(bar, 1e6, 1e-4, CUT)
    before, after = (tooth_strain_at(table, share * 20 * MM) for share in (0.099, 0.101))
    teeth = 12.05 / 6.35

    assert after / before == pytest.approx((3 / teeth) ** 2, rel=0.01)
    assert tooth_strain_at(table, 0.901 * 20 * MM) == pytest.approx(before)
    assert tooth_limit_n(PITCH_M, 1.5 * MM, 3.0) == tooth_limit_n(PITCH_M, 1.5 * MM)


@pytest.mark.parametrize(
    ("bar", "share", "torn"),
    [
        (Round(60 * MM), 0.24, True), (Round(60 * MM), 0.26, False),
        (Square(60 * MM), 0.12, True), (Square(60 * MM), 0.13, False),
    ],
)  # fmt: skip
def test_a_bar_held_with_less_than_a_quarter_of_the_pull_is_torn_out_and_a_flat_one_with_half_of_that(
    bar, share, torn
) -> None:
    table = cut_table(bar, 300.0, 1.0, CUT)
    held_n = share * pull_n(table, 30 * MM)
    setup = SimpleNamespace(
        holding_n=held_n, pull_limit_n=inf, surge=1.0, packed=0.0, blade=SimpleNamespace(name=SHARP),
        stock=SimpleNamespace(section=bar),
    )  # fmt: skip
    kinds = [danger.kind for danger in _dangers_at(setup, table, 30 * MM)]

    assert ("bar-snatched" in kinds) == torn
    assert snatched_at(bar, 1.0) < slide_at(bar, 1.0)  # it slides long before


@pytest.mark.parametrize("tube", [SquareTube(40 * MM, 3 * MM), RoundTube(60 * MM, 3 * MM)])
def test_a_third_tube_or_round_in_a_row_asks_for_no_coarser_band_and_a_third_square_does(
    tube,
) -> None:
    """Common practice, from memory: tubes in a row are taken for one with twice the wall."""
    one, two, six = (chart_teeth_per_inch(Bundle(tube, count)) for count in (1, 2, 6))
    assert one > two == six
    assert not too_few_teeth(Bundle(tube, 6), INCH / 6)
    assert too_few_teeth(Bundle(tube, 6), INCH / 3)

    one, two, six = (chart_teeth_per_inch(Bundle(Round(20 * MM), count)) for count in (1, 2, 6))
    assert one > two == six

    solid = [chart_teeth_per_inch(Bundle(Square(20 * MM), count)) for count in (1, 2, 6)]
    assert solid == sorted(solid, reverse=True)
    assert len(set(solid)) == 3
