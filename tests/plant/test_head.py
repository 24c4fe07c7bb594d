"""The head: raising, descent, height stop, sinking without power, and what it meets."""

from dataclasses import replace
from itertools import pairwise

import pytest

from sim.scenario.machines import first_machine

BAR_MM = 30


def height_mm(hands):
    return hands.saw.plant.head.place.position * 1e3


def lowered_to(hands, mm):
    """Bring the head down through the air with its valve, and stop it there."""
    hands.set(head__feed_valve_mm_min=200)
    hands.hold_down("head.lower", (height_mm(hands) - mm) / (200 / 60))
    assert height_mm(hands) == pytest.approx(mm, abs=1e-3)


def test_the_head_is_raised_at_its_rate_and_stops_where_the_ring_says(hands):
    hands.set_up()
    lowered_to(hands, 40)
    hands.press("head.raise")
    took_s = hands.until(lambda: hands.sees("B11"))

    assert took_s == pytest.approx(20 / 60, abs=1e-5)
    hands.wait(10)
    assert height_mm(hands) == pytest.approx(60, abs=1e-3)


@pytest.mark.parametrize("notch", [1, 3, 12])
@pytest.mark.parametrize("plunger", ["home", "on the land"])
def test_the_notch_sets_the_height_of_the_ring_wherever_its_plunger_is(hands, notch, plunger):
    hands.set(head__stop_notch=notch, head__stop_plunger=plunger)

    assert hands.saw.plant.head.stop_m * 1e3 == pytest.approx(20 * notch)


def stroke(hands):
    """Lower the head off its limit and raise it to it again."""
    hands.hold_down("head.lower", 6)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")


@pytest.mark.parametrize(("plunger", "creeps_mm"), [("home", 0), ("on the land", 10)])
def test_a_ring_on_the_land_creeps_down_with_every_stroke_and_the_limit_makes_earlier(
    hands, plunger, creeps_mm
):
    hands.set_up()
    hands.set(head__stop_notch=6, head__stop_plunger=plunger)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    heights = [height_mm(hands)]
    for _ in range(4):
        stroke(hands)
        heights.append(height_mm(hands))

    steps = [before - after for before, after in pairwise(heights)]
    assert steps == [pytest.approx(creeps_mm, abs=0.1)] * 4


def test_the_ring_creeps_no_lower_than_half_a_step_and_snapped_home_it_is_back_at_its_notch(hands):
    hands.set_up()
    hands.saw.plant.head.ride_ring(50)
    assert hands.saw.plant.head.stop_m * 1e3 == pytest.approx(10)
    hands.set(head__stop_plunger="home")

    assert hands.saw.plant.head.stop_m * 1e3 == pytest.approx(60)


@pytest.mark.parametrize("mm_min", [10, 60, 250])
def test_the_head_comes_down_through_air_at_the_feed_valves_rate(hands, mm_min):
    hands.set_up()
    hands.set(head__feed_valve_mm_min=mm_min)
    top_mm = height_mm(hands)
    hands.hold_down("head.lower", 6)

    assert height_mm(hands) == pytest.approx(top_mm - mm_min / 10)


def test_a_feed_valve_changed_on_the_way_down_changes_the_pace_at_once(hands):
    hands.set_up()
    top_mm = height_mm(hands)
    hands.set(head__feed_valve_mm_min=60)
    hands.press("head.lower")
    hands.wait(10)
    hands.set(head__feed_valve_mm_min=180)
    hands.wait(10)

    assert height_mm(hands) == pytest.approx(top_mm - 10 - 30)


def test_a_feed_valve_fully_shut_holds_a_head_that_is_driven_down(hands):
    hands.set_up()
    hands.set(head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.hold_down("head.lower", 60)

    assert height_mm(hands) == top_mm


# Without control power ----------------------------------------------------------------------


def test_without_control_power_the_head_sinks_at_the_feed_valves_rate(hands):
    hands.set_up()
    hands.set(head__feed_valve_mm_min=120)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(10)
    assert height_mm(hands) == pytest.approx(top_mm - 20)
    hands.release("supply.emergency_stop")
    hands.wait(5)
    assert height_mm(hands) == pytest.approx(top_mm - 30)
    hands.power_on()
    hands.wait(60)

    assert height_mm(hands) == pytest.approx(top_mm - 30)


def test_a_sinking_head_comes_to_rest_on_the_bar_or_at_the_bottom(new_hands, stair_rod):
    for stock, rest_mm in ((stair_rod, BAR_MM), (replace(stair_rod, front_m=-0.01), -3)):
        hands = new_hands(stock)
        hands.set_up()
        hands.press("supply.emergency_stop")
        hands.wait(600)

        assert height_mm(hands) == pytest.approx(rest_mm, abs=1e-3)
        assert hands.harm == []


def test_a_shut_feed_valve_lets_the_head_creep_without_power_while_there_is_air(hands):
    hands.set_up()
    hands.set(head__feed_valve_mm_min=0)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(600)
    assert height_mm(hands) == pytest.approx(top_mm - 0.6 * 10)
    hands.saw.plant.set_air(0.0)
    hands.wait(2)

    assert height_mm(hands) == pytest.approx(BAR_MM, abs=1e-3)


def test_a_feed_valve_shut_on_a_sinking_head_slows_it_to_a_creep(hands):
    hands.set_up()
    hands.set(head__feed_valve_mm_min=120)
    hands.press("supply.emergency_stop")
    hands.wait(5)
    hands.set(head__feed_valve_mm_min=0)
    mm = height_mm(hands)
    hands.wait(60)

    assert height_mm(hands) == pytest.approx(mm - 0.6)


@pytest.mark.parametrize("valve_mm_min", [0, 120])
def test_a_machine_whose_head_holds_keeps_it_without_power_whatever_its_valve(
    new_hands, stair_rod, valve_mm_min
):
    hands = new_hands(stair_rod, replace(first_machine(), head_sinks=False))
    hands.set_up()
    hands.set(head__feed_valve_mm_min=valve_mm_min)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(3600)

    assert height_mm(hands) == top_mm
    assert hands.harm == []


@pytest.mark.parametrize("sinks", [True, False])
def test_the_air_carries_the_head_of_every_machine_and_who_lets_it_out_drops_it(
    new_hands, stair_rod, sinks
):
    """29 CFR 1910.147(d)(5), ISO 14118: gravity is an energy; a valve is no holding device."""
    hands = new_hands(stair_rod, replace(first_machine(), head_sinks=sinks))
    hands.set_up()
    hands.set(head__feed_valve_mm_min=0)
    hands.press("supply.emergency_stop")
    hands.set(supply__air_cock="shut")
    hands.wait(20)

    assert hands.harm == ["head-unsupported", "head-dropped"]
    assert hands.saw.plant.head.rests


def test_a_cylinder_that_leaks_lets_a_head_sink_that_its_valves_hold(new_hands, stair_rod):
    """No valve is a holding device."""
    hands = new_hands(stair_rod, replace(first_machine(), head_sinks=False))
    hands.set_up()
    hands.saw.plant.head.leak(1e-3 / 60)
    top_mm = height_mm(hands)
    hands.press("supply.emergency_stop")
    hands.wait(600)

    assert height_mm(hands) == pytest.approx(top_mm - 10)


def test_without_air_the_head_cannot_be_raised(hands):
    hands.set_up()
    lowered_to(hands, 40)
    hands.saw.plant.set_air(0.0)
    hands.saw.bus.settle()
    hands.hold_down("head.raise", 5)

    assert height_mm(hands) == pytest.approx(40, abs=1e-3)
    assert not hands.sees("B61")


# The height stop and the next index ----------------------------------------------------------


def run_two_pieces(hands, ridden=0, **settings):
    hands.set_up()
    hands.band_speed()
    hands.tap("coolant.with_band")
    hands.set(**settings)
    if ridden:
        hands.saw.plant.head.ride_ring(ridden)
    hands.set(job__wanted=2)
    hands.ready("square")
    hands.start()
    hands.wait(600)


@pytest.mark.parametrize(
    "settings",
    [
        {"head__stop_notch": 1},
        {"ridden": 4},
        {"head__stop_notch": 2, "ridden": 2},
    ],
)
def test_a_head_that_stops_too_low_has_the_next_index_drive_the_bar_into_the_band(hands, settings):
    run_two_pieces(hands, **settings)

    assert hands.harm == ["bar-into-band"]
    assert hands.lengths_mm() == [10.5]
    assert hands.sees("B11")
    (harm,) = hands.saw.consequences
    assert f"bar {BAR_MM} mm high" in str(harm.sentence)
    assert harm.at_us == hands.saw.clock.now_us


@pytest.mark.parametrize(
    "settings", [{"head__stop_notch": 2}, {"head__stop_notch": 5, "ridden": 1}]
)
def test_a_head_that_stops_above_the_bar_lets_it_pass(hands, settings):
    run_two_pieces(hands, **settings)

    assert hands.harm == []
    assert hands.lengths_mm() == [10.5, 100.0, 100.0]


def test_a_ring_left_on_the_land_lets_two_good_ones_pass_and_wrecks_the_third(hands):
    hands.set_up()
    hands.band_speed()
    hands.tap("coolant.with_band")
    hands.set(head__stop_notch=2, head__stop_plunger="on the land", job__wanted=5)
    hands.ready("square")
    hands.start()
    hands.wait(600)

    assert hands.lengths_mm() == [10.5, 100.0, 100.0]
    assert hands.harm == ["bar-into-band"]


def test_after_the_run_is_wrecked_time_stands(hands):
    run_two_pieces(hands, head__stop_notch=1)
    now_us = hands.saw.clock.now_us
    hands.wait(100)

    assert hands.saw.clock.now_us == now_us


def carried(hands, key="shuttle.forward"):
    """Have the shuttle carry the bar by hand; the key stays down."""
    if key == "shuttle.forward":
        hands.stick("B11", True)  # its contact is welded: sound, it would hold the shuttle
    hands.hold_down("shuttle.back", 0.5)
    hands.clamp("shuttle_vise")
    hands.press(key)


def test_bar_pushed_against_a_band_that_stands_low_in_front_of_it_collides(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, front_m=-0.02))
    hands.set_up()
    lowered_to(hands, 20)
    carried(hands)
    hands.wait(1)

    assert hands.harm == ["bar-into-band"]
    assert hands.saw.plant.bar.front_m == pytest.approx(0.0005, abs=1e-6)


def test_a_head_let_down_in_front_of_moving_bar_is_run_into(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, front_m=-0.06))
    hands.set_up()
    lowered_to(hands, 30.5)
    carried(hands)
    hands.press("head.lower")
    hands.wait(1)

    assert hands.harm == ["bar-into-band"]


def test_a_head_let_down_on_bar_that_has_just_come_under_it_is_a_collision(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, front_m=-0.005))
    hands.set_up()
    lowered_to(hands, 30.3)
    carried(hands)
    hands.press("head.lower")
    hands.wait(1)

    assert hands.harm[0] == "bar-into-band"
    assert "head came down" in str(hands.saw.consequences[0].sentence)


def test_bar_drawn_back_with_the_band_in_its_kerf_collides(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.tap("band.stop")
    hands.wait(4)
    hands.let_go("cutting_vise")
    carried(hands, "shuttle.back")
    hands.wait(1)

    assert hands.harm == ["bar-into-band"]


# On to metal ---------------------------------------------------------------------------------


def cut_in_part(hands, seconds=3.0):
    """By hand: band on at 60 m/min, the bar clamped, head down into the bar, and stopped there."""
    hands.band_speed()
    hands.clamp("cutting_vise")
    hands.palms("band.run")
    hands.wait(2)
    hands.press("head.lower")
    hands.until(lambda: hands.saw.plant.head.cutting is not None)
    hands.wait(seconds)
    hands.release("head.lower")


def test_a_band_pressed_on_the_bar_at_rest_has_its_teeth_chipped(hands):
    hands.set_up()
    hands.press("head.lower")
    hands.wait(60)
    assert hands.harm == ["teeth-pressed"]
    hands.set(head__feed_valve_mm_min=100)
    hands.set(head__feed_force_n=200)
    hands.wait(10)
    assert hands.harm == ["teeth-pressed"]
    assert height_mm(hands) == pytest.approx(BAR_MM, abs=1e-3)


def test_a_head_still_lowered_when_the_band_comes_to_rest_in_its_kerf_presses_the_teeth(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.press("head.lower")
    hands.wait(1)
    hands.tap("band.stop")
    hands.wait(1)
    assert hands.saw.plant.band.turning
    assert hands.harm == []
    hands.wait(10)

    assert hands.harm == ["teeth-pressed"]
    assert str(hands.saw.consequences[0].detail) == (
        "The band came to rest on the bar while the head was still being lowered."
    )


def test_a_head_let_go_before_the_band_comes_to_rest_in_its_kerf_presses_nothing(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.press("head.lower")
    hands.wait(1)
    hands.tap("band.stop")
    hands.wait(1)
    assert hands.saw.plant.band.turning
    hands.release("head.lower")
    hands.wait(10)

    assert hands.harm == []


def test_an_emergency_stop_in_a_cut_by_hand_presses_nothing(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.press("head.lower")
    hands.wait(1)
    hands.press("supply.emergency_stop")
    hands.wait(10)

    assert not hands.saw.plant.band.turning
    assert hands.harm == []


def test_a_head_that_sinks_on_to_the_bar_without_power_does_no_harm(hands):
    hands.set_up()
    hands.press("supply.emergency_stop")
    hands.wait(60)

    assert hands.harm == []


def test_bar_that_no_vise_holds_is_snatched(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.wait(2)
    hands.press("head.lower")
    hands.wait(60)

    assert hands.harm == ["bar-snatched"]


@pytest.mark.parametrize("held", [True, False])
def test_a_band_started_with_its_teeth_on_a_bar_snatches_it_unless_a_vise_holds_it(
    hands, told, held
):
    hands.set_up()
    if held:
        hands.hold_down("cutting_vise.clamp", 3)
    hands.set(head__feed_valve_mm_min=200)
    hands.hold_down("head.lower", 30)
    pressed = list(hands.harm)
    hands.palms("band.run")
    assert hands.harm == pressed
    hands.wait(1)

    assert hands.harm[len(pressed) :] == ([] if held else ["bar-snatched"])
    assert held or "started while its teeth lay on the bar" in told(hands, "bar-snatched")


def test_a_vise_released_in_the_cut_loses_the_bar(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.press("head.lower")
    hands.wait(1)
    hands.press("cutting_vise.release")

    assert hands.harm == ["clamping-lost"]


def test_a_vise_released_with_the_head_at_rest_in_the_kerf_loses_nothing(hands):
    hands.set_up()
    cut_in_part(hands)
    hands.let_go("cutting_vise")
    hands.wait(5)

    assert hands.harm == []
