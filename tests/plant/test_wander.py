"""The deviation gauge: when it is beyond its range, and the 6 seconds that stop the saw."""

from dataclasses import replace
from math import pi

import pytest

from sim.scenario.machines import first_machine
from sim.units import MM


def one_sided(plant):
    plant.blade.set_condition("one-sided")


SLACK_AND_FAR = {
    "band__tension_mpa": 155, "band__guide_span_mm": 320, "cutting_vise__pressure_bar": 40,
}  # fmt: skip


def test_a_healthy_cut_keeps_within_a_tenth_of_the_gauge(ready):
    hands = ready()
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until_in_metal()
    shown = []
    while not hands.saw.cuts:
        shown.append(hands.saw.plant.head.sawing.wander_m)
        hands.wait(1)

    assert 0.0 < max(shown) < 0.15 * MM
    assert shown[0] < shown[len(shown) // 2]
    assert hands.saw.plant.head.sawing.wander_m == 0.0


def test_the_most_that_the_gauge_shows_is_the_most_of_the_cut_and_what_its_parts_come_to_is_the_whole(
    ready,
):
    hands = ready()
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until_in_metal()
    plan, shown = hands.saw.plant.head.cutting, []
    while not hands.saw.cuts:
        shown.append(hands.saw.plant.head.sawing.wander_m)
        hands.wait(1)
    halves_m = plan.wander_m(0.0, 30 * MM), plan.wander_m(30 * MM, 60 * MM)

    assert max(shown) == pytest.approx(plan.wander_m(0.0, 60 * MM), rel=1e-2)
    assert max(halves_m) == pytest.approx(plan.wander_m(0.0, 60 * MM), rel=1e-2)
    parts_m2 = plan.area_m2(0.0, 20 * MM), plan.area_m2(20 * MM, 60 * MM)
    assert sum(parts_m2) == pytest.approx(plan.area_m2(0.0, 60 * MM), rel=1e-2)
    assert sum(parts_m2) == pytest.approx(pi * (30 * MM) ** 2, rel=1e-2)
    upper_m2, lower_m2 = plan.area_m2(0.0, 30 * MM), plan.area_m2(30 * MM, 60 * MM)
    assert upper_m2 == pytest.approx(lower_m2, rel=1e-9)  # a round is its own mirror image


def test_a_band_that_wanders_beyond_its_range_for_6_s_stops_the_saw(ran):
    hands = ran(spoil=one_sided, wanted=2, **SLACK_AND_FAR)

    assert hands.job == "STOPPED"
    assert hands.reason == "the band wandered beyond its range for too long"
    assert hands.saw.cuts == []
    assert hands.sees("B52")  # out of the metal it springs back


def test_a_short_time_beyond_the_range_does_not_stop_it(ran):
    seen = []

    def spoil(plant):
        one_sided(plant)
        plant.site.bus.listen("input", lambda tag, value: tag == "B52" and seen.append(value))

    hands = ran(
        spoil=spoil,
        head__feed_valve_mm_min=120,
        head__feed_force_n=350,
        band__guide_span_mm=155,
        cutting_vise__pressure_bar=60,
    )

    assert hands.job == "COMPLETE"
    assert seen[0] is False
    assert seen[-1] is True
    assert "cut-out-of-square" in hands.harm


def test_the_gauge_switch_opens_at_eight_tenths_of_a_millimetre(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until(lambda: not hands.sees("B52"))

    assert hands.saw.plant.head.sawing.wander_m == pytest.approx(0.8 * MM, rel=1e-6)


def test_tension_taken_up_in_the_cut_brings_the_band_back_within_its_range(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until(lambda: not hands.sees("B52"))
    hands.wait(5)
    hands.set(band__tension_mpa=295, band__guide_lock="slack")
    hands.set(band__guide_span_mm=100)

    assert hands.sees("B52")
    hands.until_job("EXECUTE")
    hands.wait(25)
    assert hands.job == "EXECUTE"


def test_a_change_that_does_not_matter_to_the_gauge_does_not_restart_its_6_s(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until(lambda: not hands.sees("B52"))
    for _ in range(3):
        hands.wait(1.5)
        hands.set(cutting_vise__pressure_bar=42)
        hands.set(cutting_vise__pressure_bar=40)
    hands.wait(1.4)
    assert hands.job == "EXECUTE"
    hands.wait(0.2)

    assert hands.saw.controller.image["latch.deviation"] is True


@pytest.mark.parametrize(("range_mm", "time_s"), [(0.3, 2.0), (1.2, 10.0)])
def test_range_and_time_are_those_of_the_machine(new_hands, post, range_mm, time_s):
    machine = replace(first_machine(), wander_limit_m=range_mm * MM, deviation_s=time_s)
    hands = new_hands(post, machine)
    one_sided(hands.saw.plant)
    hands.set_up()
    hands.set(head__stop_notch=4, head__feed_valve_mm_min=60, head__feed_force_n=300)
    hands.set(**SLACK_AND_FAR)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.band_speed()
    hands.tap("coolant.with_band")
    hands.ready("square")
    hands.start()
    hands.until(lambda: not hands.sees("B52"))
    beyond_s = hands.now_s
    assert hands.saw.plant.head.sawing.wander_m == pytest.approx(range_mm * MM, rel=1e-6)
    hands.until(lambda: hands.saw.controller.image["latch.deviation"] is True)

    assert hands.now_s - beyond_s == pytest.approx(time_s, abs=1e-6)
