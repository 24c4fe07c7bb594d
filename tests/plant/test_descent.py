"""The way down: the bleed screw, a head that nothing holds, air that runs out, and leaks."""

from math import exp, log

import pytest

from sim.plant.bar import Stock
from sim.trade.sections import Round
from sim.units import MM, US


def height_mm(hands):
    return hands.saw.plant.head.place.position / MM


def cutting(ready, **settings):
    """A saw in the midst of a cut in AUTO."""
    hands = ready(**settings)
    hands.grip_bar()
    hands.set(job__wanted=1)
    hands.arm()
    hands.begin("trim")
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


def test_with_the_bleed_screw_open_the_head_comes_down_evenly(ready):
    hands = ready(head__feed_valve_mm_min=60)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert max(went) == pytest.approx(min(went), rel=1e-3)


def test_with_the_bleed_screw_shut_the_head_sticks_and_slips_and_is_as_fast_on_the_whole(ready):
    hands = ready(head__feed_valve_mm_min=60, head__lift_throttle_turns=0)
    top_mm = height_mm(hands)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert sum(1 for mm in went if mm == 0.0) == pytest.approx(0.7 * len(went), abs=5)
    assert max(went) == pytest.approx(0.05 / 0.3, rel=1e-3)
    assert top_mm - height_mm(hands) == pytest.approx(6.0, abs=1e-6)


def test_a_bleed_screw_half_way_to_open_sticks_half_as_long(ready):
    hands = ready(head__feed_valve_mm_min=60, head__lift_throttle_turns=0.125)
    hands.press("head.lower")
    went = paces(hands, 6)

    assert sum(1 for mm in went if mm == 0.0) == pytest.approx(0.35 * len(went), abs=5)


def test_a_jerky_descent_is_told_once_a_cut_with_its_step(ran, told):
    hands = ran(wanted=2, head__lift_throttle_turns=0)

    assert hands.harm == ["descent-jerky"] * 2
    assert "steps of up to 1.50 mm" in told(hands, "descent-jerky")
    assert hands.lengths_mm() == [112.0, 100.0]


def test_a_jerky_fast_descent_strips_teeth_that_an_even_one_spares(ran):
    fast = {"head__feed_valve_mm_min": 250}

    assert "teeth-stripped" in ran(head__lift_throttle_turns=0, **fast).harm
    assert ran(**fast).harm == []


def test_a_jerky_cut_takes_no_more_steps_of_the_clock(ran):
    def steps(**settings):
        hands = ran(**settings)
        return hands.saw.controller.fired

    assert steps(head__lift_throttle_turns=0) == steps()


def test_letting_go_of_the_key_while_the_head_sticks_holds_it(ready):
    hands = ready(head__feed_valve_mm_min=60, head__lift_throttle_turns=0)
    hands.press("head.lower")
    hands.wait(3.2)
    hands.release("head.lower")
    there = height_mm(hands)
    hands.wait(30)

    assert height_mm(hands) == there


# Falling ------------------------------------------------------------------------------------


def test_a_shut_valve_holds_the_head_without_power_while_there_is_air(ready):
    hands = ready(head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(600)

    assert height_mm(hands) == top_mm
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
    way_m = hands.saw.plant.head.place.position - 60 * MM
    hands.press("supply.emergency_stop")
    hands.set(supply__air_cock="shut")
    took_s = hands.until(lambda: "head-dropped" in hands.harm, 3600)

    assert took_s == pytest.approx(600 * log(6.0 / 1.0) + way_m / 0.3, abs=0.001)


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

    assert took_s == pytest.approx(600 * log(6.0 / 4.5), abs=1e-3)
    assert hands.reason == "the air pressure is low"
    hands.wait(100)
    assert supply.air_pa == pytest.approx(4.5e5 * exp(-100 / 600), rel=1e-6)
    hands.set(supply__air_cock="open")
    assert hands.sees("B61")


@pytest.mark.parametrize(("per_cent", "lit"), [(29, False), (31, True)])
def test_the_oil_switch_makes_at_30_per_cent(hands, per_cent, lit):
    hands.set(supply__oil_percent=per_cent)

    assert hands.sees("B62") is lit


def test_without_oil_nothing_lifts_and_topping_up_lets_it(ready):
    hands = ready(head__stop_notch=6, supply__oil_percent=4)
    before = height_mm(hands)
    hands.hold_down("head.lift", 2)
    assert height_mm(hands) == before
    hands.set(supply__oil_percent=80)
    hands.hold_down("head.lift", 2)

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


def test_a_weak_lift_takes_as_much_longer(ready):
    hands = ready(head__stop_notch=10)
    hands.saw.plant.head.choke_lift(0.25)
    began_us, before = hands.saw.clock.now_us, height_mm(hands)
    hands.press("head.lift")
    hands.until(lambda: hands.sees("B11"))

    took_s = (hands.saw.clock.now_us - began_us) / US
    assert took_s == pytest.approx((200 - before) / 15, abs=1e-3)
