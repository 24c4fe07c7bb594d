"""Coolant strength and mixing against a maker's numbers and balances of oil."""

import pytest

from sim.trade.coolant import (
    concentration,
    reading,
    top_up,
)

LITRE = 1e-3


def test_reading_of_five_with_a_factor_of_one_and_a_half_is_seven_and_a_half() -> None:
    # FOUND: hamma-uwt.de questions page, same numbers
    assert concentration(0.05, 1.5) == pytest.approx(0.075, rel=1e-12)
    assert reading(0.075, 1.5) == pytest.approx(0.05, rel=1e-12)


def test_worked_mix() -> None:
    # DERIVED
    mix = top_up(80 * LITRE, 0.075, 100 * LITRE, 0.06)
    assert mix.concentrate_m3 == pytest.approx(0.0, abs=1e-12)
    assert mix.water_m3 == pytest.approx(20 * LITRE, rel=1e-9)


@pytest.mark.parametrize("present", [0.0, 0.03, 0.07])
def test_a_topped_up_tank_holds_as_much_oil_as_was_poured_in(present: float) -> None:
    # DERIVED: balance of oil
    mix = top_up(60 * LITRE, present, 100 * LITRE, 0.07)
    oil_m3 = 60 * LITRE * present + mix.concentrate_m3

    assert oil_m3 / (100 * LITRE) == pytest.approx(0.07, rel=1e-9)
    assert mix.concentrate_m3 + mix.water_m3 == pytest.approx(40 * LITRE, rel=1e-12)
