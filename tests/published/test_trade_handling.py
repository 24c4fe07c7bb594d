"""Lifting by hand against the NIOSH equation, ISO 11228-1 and statics; nobody here has read them in full."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sim.trade.handling import (
    ALONE,
    ALONE_KG,
    CRANE,
    LOAD_CONSTANT_KG,
    PAIR,
    PAIR_KG,
    WAYS,
    loading_s,
    recommended_kg,
    tips,
    too_much,
)


def test_the_best_lift_is_the_load_constant() -> None:
    # MEMORY: NIOSH 1991, 23 kg at H 25 cm, V 75 cm, D up to 25 cm, not turned, seldom, gripped well
    assert recommended_kg(0.25, 0.75, 0.25) == pytest.approx(23.0)
    assert pytest.approx(23.0) == LOAD_CONSTANT_KG
    assert recommended_kg(0.10, 0.75, 0.05) == pytest.approx(23.0)


@pytest.mark.parametrize(
    ("lift", "multiplier"),
    [
        ((0.50, 0.75, 0.25), 0.50),  # MEMORY: HM 25 / 50
        ((0.63, 0.75, 0.25), 0.40),  # MEMORY: HM at 63 cm, the end of its table
        ((0.25, 0.00, 0.25), 0.78),  # MEMORY: VM at 0 cm; metric table 0.78
        ((0.25, 1.75, 0.25), 0.70),  # MEMORY: VM at 175 cm
        ((0.25, 0.75, 0.70), 0.88),  # MEMORY: DM at 70 cm
        ((0.25, 0.75, 1.75), 0.85),  # MEMORY: DM at 175 cm
        ((0.25, 0.75, 0.25, 90.0), 0.71),  # MEMORY: AM at 90 degrees
        ((0.25, 0.75, 0.25, 135.0), 0.57),  # MEMORY: AM at 135 degrees
    ],
)
def test_each_multiplier_is_that_of_its_printed_table(lift, multiplier: float) -> None:
    assert recommended_kg(*lift) / 23.0 == pytest.approx(multiplier, abs=0.006)


def test_multipliers_of_grip_and_frequency_multiply() -> None:
    # MEMORY: CM poor 0.90, FM 0.88 at one a minute and two hours
    assert recommended_kg(0.25, 0.75, 0.25, 0.0, 0.88, 0.90) == pytest.approx(23 * 0.792)


def test_the_limits_of_this_saw() -> None:
    # DERIVED: 23 x 25/35 x 0.904 is 14.85, rounded down; MEMORY: no more than 25 kg by ISO 11228-1; a team of two lifts 2/3
    # of the sum of what each could
    assert ALONE_KG == 14.0
    assert ALONE_KG <= 23 * 25 / 35 * 0.904 < 25.0
    assert PAIR_KG == 18.0 <= 4 / 3 * ALONE_KG
    assert PAIR_KG < 2 * ALONE_KG


@pytest.mark.parametrize(
    ("mass_kg", "length_m", "how"),
    [(7.4, 3.0, "alone"), (7.4, 3.1, "pair"), (16.0, 2.0, "pair"), (20.0, 2.0, "crane"),
     (133.0, 6.0, "crane"), (1480.0, 6.0, "crane")],
)  # fmt: skip
def test_a_bar_goes_by_mass_and_length(mass_kg: float, length_m: float, how: str) -> None:
    # common practice, no source: a long bar swings, and is never carried alone
    ways = [ALONE, PAIR, CRANE]

    assert next(way for way in ways if not too_much(way, mass_kg, length_m)) == how
    assert not too_much(CRANE, mass_kg, length_m)


def test_a_bar_lies_on_rollers_whose_span_its_middle_is_over() -> None:
    # DERIVED: moments about the last roller before the band, and about the furthest
    assert not tips(6.0, 0.012, -4.5, -0.3)  # its middle at -2.988
    assert tips(9.2, 0.012, -4.5, -0.3)  # its middle at -4.588, beyond the furthest
    assert tips(0.6, 0.012, -4.5, -0.3)  # its middle at -0.288, before the last
    weight_n, arm_m = 100.0, 9.2 / 2 - 0.012 - 4.5
    assert weight_n * arm_m > 0.0  # what turns it over the furthest roller


def test_more_mass_never_takes_less_time() -> None:
    for how in WAYS:
        times = [loading_s(how, mass_kg) for mass_kg in range(0, 2000, 50)]
        assert times == sorted(times)
        assert times[0] < times[-1]
    assert loading_s(PAIR, 15.0) < loading_s(CRANE, 15.0)


@pytest.mark.parametrize(
    ("hands_in", "height_in", "travel_in", "grip", "pounds"),
    [  # MEMORY: applications manual of the equation, "loading punch press stock": origin and destination
        (23, 15, 49, 0.95, 16.3),
        (23, 64, 49, 1.00, 14.5),
    ],
)
def test_a_worked_example_of_the_equation(hands_in, height_in, travel_in, grip, pounds) -> None:
    inch, pound = 0.0254, 0.4536
    limit_kg = recommended_kg(hands_in * inch, height_in * inch, travel_in * inch, 0.0, 1.0, grip)

    # Never more than printed; less by 25 cm for 10 in, 23 kg for 51 lb, and what its tables round up.
    assert 0.94 * pounds * pound <= limit_kg <= pounds * pound


@given(st.floats(0.2, 12.0), st.floats(0.0, 0.5), st.floats(1.0, 6.0))
def test_a_bar_tips_just_where_a_roller_would_have_to_hold_it_down(
    length_m: float, front_m: float, rollers_m: float
) -> None:
    # DERIVED: forces and moments of a beam on two rollers, solved as equations
    middle_m = front_m - length_m / 2
    rear, near = np.linalg.solve([[1.0, 1.0], [-rollers_m, 0.0]], [1.0, middle_m])
    assume(min(abs(rear), abs(near)) > 1e-9)

    assert tips(length_m, front_m, -rollers_m, 0.0) == bool(min(rear, near) < 0.0)
