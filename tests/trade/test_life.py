"""Life and warmth of a band: Taylor's law within its cap, and what coolant is worth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.trade.life import band_life_s, coolant_quality, warmer_by_k
from sim.trade.materials import Material

STEEL = Material("s", "steel", 7850, 275e6, 210e9, 1780e6, 0.17, 70 / 60, 100 / 60, "memory")


@pytest.mark.parametrize(
    ("per_cent", "worth"),
    [(0, 0.0), (2.5, 0.5), (5, 1.0), (7, 1.0), (10, 1.0), (20, 0.5), (30, 0.0), (50, 0.0)],
)
def test_coolant_is_worth_most_from_five_to_ten_per_cent(per_cent, worth):
    assert coolant_quality(per_cent / 100) == pytest.approx(worth)


def test_in_the_middle_of_its_speeds_a_band_lasts_as_long_as_it_is_known_to():
    assert band_life_s(8 * 3600, STEEL, 85 / 60, 1.0) == pytest.approx(8 * 3600)


def test_a_fifth_faster_lasts_a_quarter_as_long():
    # 1.2^8 = 4.2998
    life_s = band_life_s(3600, STEEL, 1.2 * 85 / 60, 1.0)
    assert life_s == pytest.approx(3600 / 1.2**8)


def test_a_slow_band_lasts_no_more_than_four_times_as_long():
    assert band_life_s(3600, STEEL, 20 / 60, 1.0) == pytest.approx(4 * 3600)


@given(st.floats(0.4, 1.8), st.floats(0, 1), st.floats(0, 5))
def test_less_coolant_and_more_grinding_never_lengthen_a_life(speed, worth, extra):
    good = band_life_s(3600, STEEL, speed, 1.0)

    assert band_life_s(3600, STEEL, speed, worth, extra) <= good * (1 + 1e-12)


def test_dry_a_band_lasts_a_twentieth_of_its_life_and_runs_warmer():
    assert band_life_s(3600, STEEL, 85 / 60, 0.0) == pytest.approx(0.05 * 3600)
    assert warmer_by_k(300.0, 0.0) == pytest.approx(37.5)
    assert warmer_by_k(300.0, 1.0) == pytest.approx(3.0)
