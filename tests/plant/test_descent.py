"""The way down: air in the oil, the throttle of the lift, a head that nothing holds, and leaks."""

from dataclasses import replace
from math import exp, log

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.scenario.machines import first_machine
from sim.trade.descent import descent_m_s, needle_m_s, orifice_for_m2
from sim.trade.sections import Round
from sim.units import MM, US


def height_mm(hands):
    return hands.saw.plant.head.place.position / MM


def airy(plant):
    plant.head.let_air_in(1.0)


def cutting(ready, **settings):
    """A saw in the midst of a cut of a job."""
    hands = ready(**settings)
    hands.clamp_bar()
    hands.set(job__wanted=1)
    hands.ready("square")
    hands.start()
    hands.until_in_metal()
    return hands


def paces(hands, seconds, step_s=0.05):
    """How far the head came down in each of many short steps, in mm."""
    went = []
    for _ in range(round(seconds / step_s)):
        before = height_mm(hands)
        hands.wait(step_s)
        went.append(before - height_mm(hands))
    return went


def test_with_no_air_in_its_oil_the_head_comes_down_evenly(ready):
    hands = ready(head__feed_valve_mm_min=60)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert went == [pytest.approx(0.05, rel=1e-3)] * 120  # 60 mm/min


def test_with_air_in_its_oil_the_head_sticks_and_slips_and_is_as_fast_on_the_whole(ready):
    hands = ready(head__feed_valve_mm_min=60)
    hands.saw.plant.head.let_air_in(1.0)
    top_mm = height_mm(hands)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert sum(1 for mm in went if mm == 0.0) == pytest.approx(0.7 * len(went), abs=5)
    assert max(went) == pytest.approx(0.05 / 0.3, rel=1e-3)
    assert top_mm - height_mm(hands) == pytest.approx(6.0, abs=1e-6)


def test_half_as_much_air_sticks_half_as_long(ready):
    hands = ready(head__feed_valve_mm_min=60)
    hands.saw.plant.head.let_air_in(0.5)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert sum(1 for mm in went if mm == 0.0) == pytest.approx(0.35 * len(went), abs=5)


def test_a_jerky_descent_is_told_once_a_cut_with_its_step(ran, told):
    hands = ran(wanted=2, spoil=airy)

    assert hands.harm == ["descent-jerky"] * 2
    assert "steps of up to 1.50 mm" in told(hands, "descent-jerky")
    assert hands.lengths_mm() == [112.0, 100.0]


def test_a_jerky_fast_descent_strips_teeth_that_an_even_one_spares(ran):
    fast = {"head__feed_valve_mm_min": 250}

    assert "teeth-stripped" in ran(spoil=airy, **fast).harm
    assert ran(**fast).harm == []


def test_a_jerky_cut_takes_no_more_steps_of_the_clock(ran):
    def steps(**settings):
        hands = ran(**settings)
        return hands.saw.controller.fired

    assert steps(spoil=airy) == steps()


def test_letting_go_of_the_key_while_the_head_sticks_holds_it(ready):
    hands = ready(head__feed_valve_mm_min=60)
    airy(hands.saw.plant)
    hands.press("head.lower")
    hands.wait(3.2)
    hands.release("head.lower")
    there = height_mm(hands)
    hands.wait(30)

    assert height_mm(hands) == there


def test_bleeding_takes_the_jerks_out(ready):
    hands = ready(head__feed_valve_mm_min=60)
    airy(hands.saw.plant)
    hands.press("head.lower")
    hands.wait(3)
    hands.saw.plant.head.let_air_in(0.0)
    went = paces(hands, 3)

    assert went == [pytest.approx(0.05, rel=1e-3)] * 60


@given(
    turns=st.floats(0.02, 3), mm_min=st.floats(5, 250),
    head_kg=st.floats(20, 300), piston_cm2=st.floats(1, 20),
)  # fmt: skip
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_head_comes_down_as_the_checked_function_says(
    new_hands, stair_rod, turns, mm_min, head_kg, piston_cm2
):
    machine = replace(first_machine(), head_kg=head_kg, lift_piston_m2=piston_cm2 * 1e-4)
    hands = new_hands(stair_rod, machine)
    hands.set_up()
    hands.set(head__feed_valve_mm_min=mm_min, head__lift_throttle_turns=turns)
    top_mm = height_mm(hands)
    hands.hold_down("head.lower", 4)

    load_n = head_kg * 9.81
    full_m2 = orifice_for_m2(machine.valve_high_m_s, load_n, machine.lift_piston_m2)
    share = min(1.0, turns / machine.throttle_open)
    needle = needle_m_s(share, full_m2, load_n, machine.lift_piston_m2)
    says_m_s = descent_m_s(hands.saw.plant.head.valve_m_s, needle)
    assert top_mm - height_mm(hands) == pytest.approx(4 * says_m_s / MM, rel=1e-6)
    assert says_m_s > 0.0


# The exhaust throttle of the lift -------------------------------------------------------------


@pytest.mark.parametrize("turns", [0.25, 1, 3])
def test_a_throttle_a_quarter_turn_open_or_more_does_not_matter(ran, turns):
    open_, other = ran(), ran(head__lift_throttle_turns=turns)

    assert other.harm == []
    assert other.saw.cuts == open_.saw.cuts


@pytest.mark.parametrize(("turns", "mm_min"), [(0.05, 10), (0.1, 40), (0.2, 160)])
def test_a_throttle_nearly_shut_makes_the_head_slow_by_the_square_of_its_turns(
    ready, turns, mm_min
):
    hands = ready(head__feed_valve_mm_min=250, head__lift_throttle_turns=turns)
    top_mm = height_mm(hands)
    hands.hold_down("head.lower", 3)

    assert top_mm - height_mm(hands) == pytest.approx(mm_min / 20, rel=1e-6)


def test_a_throttle_fully_shut_lets_nothing_down(ready):
    hands = ready(head__lift_throttle_turns=0)
    top_mm = height_mm(hands)
    hands.hold_down("head.lower", 60)

    assert height_mm(hands) == top_mm


@pytest.mark.parametrize(("turns", "short_mm"), [(0.05, 2.0), (0.125, 1.25), (1, 0.0)])
def test_beside_the_bar_it_stops_short_of_its_lowest_place(ready, steel, turns, short_mm):
    beside = Stock(steel, Round(60 * MM), 0.5, -100 * MM)
    hands = ready(beside, head__lift_throttle_turns=turns, head__feed_valve_mm_min=250)
    hands.hold_down("head.lower", 800)

    assert height_mm(hands) == pytest.approx(-3 + short_mm, abs=1e-6)
    assert hands.sees("B12") is (short_mm == 0.0)


def test_nearly_shut_it_dives_through_the_last_of_the_bar_and_the_job_never_sees_it_down(ran, told):
    hands = ran(hours=1.0, head__lift_throttle_turns=0.1)

    assert hands.harm[0] == "dived-through"
    assert "the last 1.2 mm" in told(hands, "dived-through")
    assert hands.lengths_mm() == [112.0]
    assert hands.job == "EXECUTE"
    assert hands.step == "LOWER_HEAD"
    (waits,) = hands.saw.controller.waits_for()
    assert waits.device == "B12"
    assert hands.saw.controller.job.cut == 0


def test_the_dive_strips_teeth_where_its_chip_is_more_than_a_tooth_stands(ran, told):
    dived = ran(hours=1.0, head__lift_throttle_turns=0.1)

    assert "dived through the last of the bar" in told(dived, "teeth-stripped")
    assert ran().harm == []


# Falling ------------------------------------------------------------------------------------


def test_a_shut_valve_lets_the_head_creep_without_power_while_there_is_air_and_is_no_drop(ready):
    hands = ready(head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(600)

    assert height_mm(hands) == pytest.approx(top_mm - 6.0)
    assert hands.harm == []


def test_a_head_that_nothing_holds_falls_on_the_bar_with_its_energy(ready, told):
    hands = ready(head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.set(supply__air_bar=0)
    hands.wait(2)

    assert hands.harm == ["head-dropped"]
    assert height_mm(hands) == pytest.approx(60, abs=1e-3)
    fallen_mm = top_mm - 60
    energy_j = 60 * 9.81 * fallen_mm / 1e3
    assert f"fell {fallen_mm:.0f} mm and struck with {energy_j:.0f} J" in told(
        hands, "head-dropped"
    )


def test_a_head_that_falls_beside_the_bar_lands_at_its_bottom(ready, steel, told):
    short = Stock(steel, Round(60 * MM), 0.5, -100 * MM)  # not under the band
    hands = ready(short, head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.set(supply__air_bar=0)
    hands.wait(2)

    assert hands.harm == ["head-dropped"]
    assert height_mm(hands) == pytest.approx(-3)
    assert f"fell {top_mm + 3:.0f} mm" in told(hands, "head-dropped")


def test_with_the_air_cock_shut_the_head_falls_when_the_pressure_has_run_out(ready):
    hands = ready(head__feed_valve_mm_min=0)
    lasts_s = 3 * log(6.0 / 1.0)  # the cock vents what is behind it
    way_m = hands.saw.plant.head.place.position - 60 * MM - lasts_s * 0.6 * MM / 60
    hands.press("supply.emergency_stop")
    hands.set(supply__air_cock="shut")
    took_s = hands.until(lambda: "head-dropped" in hands.harm, 3600)

    assert took_s == pytest.approx(lasts_s + way_m / 0.3, abs=0.001)


def test_an_open_valve_lets_the_head_sink_without_power_and_is_no_drop(ready):
    hands = ready(head__feed_valve_mm_min=120)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(5)
    assert top_mm - height_mm(hands) == pytest.approx(10, abs=1e-3)
    hands.wait(600)

    assert height_mm(hands) == pytest.approx(60, abs=1e-3)
    assert hands.harm == []


def test_the_air_pressure_runs_out_exponentially_and_holds_the_job(ready):
    hands = cutting(ready, head__feed_valve_mm_min=15)
    hands.set(supply__air_cock="shut")
    took_s = hands.until(lambda: not hands.sees("B61"))
    supply = hands.saw.plant.supply

    assert took_s == pytest.approx(3 * log(6.0 / 4.5), abs=1e-3)
    assert hands.reason == "the air pressure is low"
    hands.wait(2)
    assert supply.air_pa == pytest.approx(4.5e5 * exp(-2 / 3), rel=1e-6)
    hands.set(supply__air_cock="open")
    assert hands.sees("B61")


@pytest.mark.parametrize(("per_cent", "lit"), [(29, False), (31, True)])
def test_the_oil_switch_makes_at_30_per_cent(hands, per_cent, lit):
    hands.set(supply__oil_percent=per_cent)

    assert hands.sees("B62") is lit


def test_without_oil_nothing_is_raised_and_topping_up_raises_it(ready):
    hands = ready(head__stop_notch=6, supply__oil_percent=4)
    before = height_mm(hands)
    hands.hold_down("head.raise", 2)
    assert height_mm(hands) == before
    hands.set(supply__oil_percent=80)
    hands.hold_down("head.raise", 2)

    assert height_mm(hands) > before + 10


# Leaks --------------------------------------------------------------------------------------


def test_a_leaking_lock_lets_the_head_sink_off_its_switch_under_power(ready):
    hands = ready(head__stop_notch=5)
    top_mm = height_mm(hands)
    assert hands.sees("B11")
    hands.saw.plant.head.leak(1 * MM / 60)
    hands.wait(120)

    assert height_mm(hands) == pytest.approx(top_mm - 2, abs=1e-3)
    assert not hands.sees("B11")


def test_a_clogged_filter_takes_as_much_longer(ready):
    hands = ready(head__stop_notch=10)
    hands.saw.plant.head.choke(0.25)
    began_us, before = hands.saw.clock.now_us, height_mm(hands)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))

    took_s = (hands.saw.clock.now_us - began_us) / US
    assert took_s == pytest.approx((200 - before) / 15, abs=1e-3)
