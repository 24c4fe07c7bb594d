"""The vises: a short powered stroke, clamping that stays, and a jaw that was left too far away."""

import pytest

from sim.plant.set_points import BY_NAME
from sim.words.message import NOTHING

VISES = {"cutting_vise": ("B33", "B31"), "shuttle_vise": ("B34", "B32")}


@pytest.mark.parametrize("vise", VISES)
@pytest.mark.parametrize(
    ("gap_mm", "clamps"), [(0, True), (6, True), (10, True), (10.05, False), (30, False)]
)
def test_a_jaw_left_beyond_the_powered_stroke_never_clamps(hands, vise, gap_mm, clamps):
    hands.control_on()
    hands.saw.set(f"{vise}.jaw_gap_mm", gap_mm)
    hands.hold_down(f"{vise}.clamp", 120)

    assert hands.sees(VISES[vise][0]) is clamps
    assert (getattr(hands.saw.plant, vise).force_n > 0) is clamps


@pytest.mark.parametrize("vise", VISES)
def test_clamping_takes_the_way_of_the_jaw_and_the_rise_of_the_pressure(hands, vise):
    hands.control_on()
    hands.saw.set(f"{vise}.jaw_gap_mm", 6)
    clamped, back = VISES[vise]
    hands.press(f"{vise}.clamp")
    took_s = hands.until(lambda: hands.sees(clamped))
    assert took_s == pytest.approx(6 / 8 + 0.3, abs=1e-6)
    hands.release(f"{vise}.clamp")
    hands.press(f"{vise}.release")
    assert not hands.sees(clamped)

    assert hands.until(lambda: hands.sees(back)) == pytest.approx(6 / 8, abs=2e-6)


def test_a_job_with_a_jaw_too_far_away_waits_at_its_clamping(hands):
    hands.set_up()
    hands.set(cutting_vise__jaw_gap_mm=11)
    hands.ready("square")
    hands.start()
    hands.wait(300)

    assert hands.step == "CLAMP_TO_SQUARE"
    assert hands.job == "EXECUTE"
    assert hands.sees("Y31")


@pytest.mark.parametrize("vise", VISES)
def test_losing_control_power_neither_opens_nor_closes_a_vise(hands, vise):
    hands.control_on()
    hands.clamp_bar()
    hands.press("supply.emergency_stop")
    hands.wait(600)

    assert hands.sees(VISES[vise][0])
    assert getattr(hands.saw.plant, vise).clamped


@pytest.mark.parametrize("vise", VISES)
@pytest.mark.parametrize("at_s", [0.2, 0.7])
def test_a_vise_on_its_way_stands_without_power_and_never_clamps(hands, vise, at_s):
    hands.control_on()
    hands.press(f"{vise}.clamp")
    hands.wait(at_s)
    hands.press("supply.emergency_stop")
    jaw_m = getattr(hands.saw.plant, vise).jaw.position
    hands.wait(600)

    assert getattr(hands.saw.plant, vise).jaw.position == jaw_m
    assert not hands.sees(VISES[vise][0])


def test_clamping_pressure_acts_at_once_on_a_clamped_bar(hands):
    hands.control_on()
    hands.clamp_bar()
    hands.set(cutting_vise__pressure_bar=12)

    assert hands.saw.plant.cutting_vise.pressure_pa == pytest.approx(12e5)
    assert hands.sees("B33")


def test_a_leak_below_the_switch_shows_as_clamping_lost(hands):
    hands.control_on()
    hands.clamp_bar()
    hands.saw.plant.cutting_vise.spoil(0.1)
    hands.saw.bus.settle()
    assert not hands.sees("B33")
    hands.saw.plant.cutting_vise.spoil(1.0)
    hands.saw.bus.settle()

    assert hands.sees("B33")


@pytest.mark.parametrize("vise", VISES)
def test_the_jaw_can_be_slid_only_when_it_is_fully_back(hands, vise):
    hands.control_on()
    row = BY_NAME[f"{vise}.jaw_gap_mm"]
    assert row.blocked(hands.saw.plant) == NOTHING
    hands.clamp_bar()

    assert "not fully back" in str(hands.saw.blocked(row.name))
    assert hands.saw.blocked(f"{vise}.pressure_bar") == NOTHING


def test_with_no_bar_the_jaw_runs_to_the_end_of_its_stroke(hands):
    hands.control_on()
    hands.saw.plant.bar.length_m = 0.05
    hands.hold_down("shuttle_vise.clamp", 5)

    assert hands.saw.plant.shuttle_vise.jaw.position == pytest.approx(0.010)
    assert not hands.sees("B34")


def test_without_oil_nothing_that_oil_drives_moves(hands):
    hands.set_up()
    hands.saw.plant.set_oil(0.0)
    hands.saw.bus.settle()
    places = hands.places
    hands.press("cutting_vise.clamp", "shuttle.back", "head.raise")
    hands.wait(30)

    assert not hands.sees("B62")
    assert hands.places == places


def test_oil_that_comes_back_finishes_the_clamping(hands):
    hands.control_on()
    hands.press("cutting_vise.clamp")
    hands.wait(0.7)
    hands.saw.plant.set_oil(0.0)
    hands.wait(5)
    assert not hands.sees("B33")
    hands.saw.plant.set_oil(1.0)
    hands.wait(0.31)

    assert hands.sees("B33")


@pytest.mark.parametrize("vise", VISES)
@pytest.mark.parametrize(("gap_mm", "fits"), [(4, False), (6, False), (6.5, True), (12, True)])
def test_a_jaw_driven_over_a_gap_that_a_finger_fits_into_is_told_once_a_stroke(
    hands, told, vise, gap_mm, fits
):
    hands.control_on()
    hands.saw.set(f"{vise}.jaw_gap_mm", gap_mm)
    hands.hold_down(f"{vise}.clamp", 0.1)
    hands.hold_down(f"{vise}.clamp", 2)

    assert hands.harm == (["finger-room"] if fits else [])
    if fits:
        assert f"stood {gap_mm:.0f} mm from the bar" in told(hands, "finger-room")


def test_a_hand_held_vise_stops_where_its_key_was_let_go(hands):
    hands.control_on()
    hands.hold_down("cutting_vise.clamp", 0.25)
    jaw = hands.saw.plant.cutting_vise.jaw
    assert jaw.position == pytest.approx(0.002)
    hands.wait(60)

    assert jaw.position == pytest.approx(0.002)
