"""The deviation gauge: when it is beyond its range, and the 20 seconds that stop the saw."""

import pytest

from sim.units import MM


def one_sided(plant):
    plant.blade.set_condition("one-sided")


SLACK_AND_FAR = {
    "band__tension_mpa": 155, "band__guide_span_mm": 320, "cutting_vise__pressure_bar": 40,
}  # fmt: skip


def test_a_healthy_cut_keeps_within_a_tenth_of_the_gauge(ready):
    hands = ready()
    hands.grip_bar()
    hands.arm()
    hands.begin("trim")
    hands.until_in_metal()
    shown = []
    while not hands.saw.cuts:
        shown.append(hands.saw.plant.head.sawing.wander_m)
        hands.wait(1)

    assert 0.0 < max(shown) < 0.15 * MM
    assert shown[0] < shown[len(shown) // 2]
    assert hands.saw.plant.head.sawing.wander_m == 0.0


def test_a_band_that_wanders_beyond_its_range_for_20_s_stops_the_saw(ran):
    hands = ran(spoil=one_sided, wanted=2, **SLACK_AND_FAR)

    assert hands.job == "STOPPED"
    assert hands.reason == "the band wandered beyond its range for more than 20 s"
    assert hands.saw.cuts == []
    assert hands.sees("B52")  # out of the metal it springs back


def test_a_short_time_beyond_the_range_does_not_stop_it(ran):
    seen = []

    def spoil(plant):
        one_sided(plant)
        plant.site.bus.listen("input", lambda tag, value: tag == "B52" and seen.append(value))

    hands = ran(
        spoil=spoil, head__feed_valve_mm_min=120, head__feed_force_n=350, band__guide_span_mm=320
    )

    assert hands.job == "COMPLETE"
    assert seen[0] is False
    assert seen[-1] is True
    assert "cut-out-of-square" in hands.harm


def test_the_gauge_switch_opens_at_one_and_a_half_millimetres(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.grip_bar()
    hands.arm()
    hands.begin("trim")
    hands.until(lambda: not hands.sees("B52"))

    assert hands.saw.plant.head.sawing.wander_m == pytest.approx(1.5 * MM, rel=1e-6)


def test_tension_taken_up_in_the_cut_brings_the_band_back_within_its_range(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.grip_bar()
    hands.arm()
    hands.begin("trim")
    hands.until(lambda: not hands.sees("B52"))
    hands.wait(5)
    hands.set(band__tension_mpa=295)

    assert hands.sees("B52")
    hands.until_job("EXECUTE")
    hands.wait(25)
    assert hands.job == "EXECUTE"


def test_a_change_that_does_not_matter_to_the_gauge_does_not_restart_its_20_s(ready):
    hands = ready(**SLACK_AND_FAR)
    one_sided(hands.saw.plant)
    hands.grip_bar()
    hands.arm()
    hands.begin("trim")
    hands.until(lambda: not hands.sees("B52"))
    for _ in range(3):
        hands.wait(5)
        hands.set(cutting_vise__pressure_bar=42)
        hands.set(cutting_vise__pressure_bar=40)
    hands.wait(4.9)
    assert hands.job == "EXECUTE"
    hands.wait(0.2)

    assert hands.saw.controller.image["latch.deviation"] is True
