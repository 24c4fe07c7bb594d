"""Hold and unhold: the step under way is ended, a cut is finished, and the job goes on from there."""

import pytest

from sim.control.cycle import STEPS as CYCLE_STEPS
from sim.units import MM, US

from .steps import BEFORE_THE_CUT, MOVING_BAR

FIRST_MM = 12 + 101.5 - 1.5  # the bar stood 12 mm past the band before its first index
MOTION = {"Q1", "Y11", "Y12", "Y21", "Y22", "Y31", "Y32", "Y33", "Y34"}


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_hold_before_the_cut_ends_the_step_under_way_and_then_holds(hands, step):
    hands.begin_and_get_to(step)
    assert hands.tap("job.hold").accepted
    row = CYCLE_STEPS[step]
    if step in MOVING_BAR:
        assert hands.job == "HOLDING"
        hands.until_job("HELD")
        assert hands.state(row.part) == row.done
    assert hands.job == "HELD"
    assert hands.reason == "the hold key was pressed"
    assert hands.on & MOTION == set()
    shuttle_m, head_m, front_m, *_ = hands.places
    hands.wait(60)

    assert hands.places[:3] == (shuttle_m, head_m, front_m)
    assert hands.step == step


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_a_job_held_before_the_cut_goes_on_as_if_nothing_had_been(new_hands, step):
    held, other = new_hands(), new_hands()
    for hands in (held, other):
        hands.begin_and_get_to(step)
    held.tap("job.hold")
    held.until_job("HELD")
    held.wait(20)
    held.go_on()
    for hands in (held, other):
        hands.until_job("COMPLETE")

    assert held.lengths_mm() == other.lengths_mm()
    assert held.saw.controller.job.cut == 3
    assert held.harm == []


def test_hold_10_ms_before_and_after_the_head_has_left_its_limit(new_hands):
    def begun():
        hands = new_hands()
        hands.begin_job("straight", wanted=3)
        return hands

    watched = begun()
    watched.until(lambda: watched.step == "LOWER_HEAD" and not watched.sees("B11"))
    left_us = watched.saw.clock.now_us

    before = begun()
    before.saw.advance_to(left_us - 10_000)
    assert before.sees("Y12")
    before.tap("job.hold")
    assert before.job == "HELD"
    assert before.on & MOTION == set()
    assert before.sees("B11")
    before.wait(60)
    assert before.lengths_mm() == []

    after = begun()
    after.saw.advance_to(left_us + 10_000)
    after.tap("job.hold")
    assert after.job == "HOLDING"
    after.until_job("HELD")
    assert after.lengths_mm() == [FIRST_MM]
    assert after.saw.controller.job.cut == 1
    assert after.sees("B11")

    for hands in (before, after):
        hands.go_on()
        hands.until_job("COMPLETE")
        assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]
        assert hands.saw.controller.job.cut == 3


def test_hold_in_the_cut_finishes_it_raises_the_head_and_then_holds(hands):
    hands.begin_job("straight", wanted=3)
    hands.until_in_metal()
    hands.tap("job.hold")
    assert hands.job == "HOLDING"
    hands.until_job("HELD")

    assert hands.lengths_mm() == [FIRST_MM]
    assert hands.saw.controller.job.cut == 1
    assert hands.sees("B11")
    hands.go_on()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]


def test_hold_while_the_head_is_raised_counts_the_piece_first(hands):
    hands.begin_and_get_to("RAISE_HEAD")
    hands.tap("job.hold")
    assert hands.job == "HOLDING"
    hands.until_job("HELD")

    assert hands.saw.controller.job.cut == 1
    assert hands.sees("B11")


def test_hold_with_the_feed_valve_shut_lets_the_lower_valve_go(hands):
    hands.begin_job("straight")
    hands.set(head__feed_valve_mm_min=0)
    hands.until(lambda: hands.sees("Y12"))
    hands.wait(1)
    assert hands.sees("B11")
    hands.tap("job.hold")

    assert hands.job == "HELD"
    assert not hands.sees("Y12")
    hands.set(head__feed_valve_mm_min=200)
    head_m = hands.places[1]
    hands.wait(30)
    assert hands.places[1] == head_m
    hands.go_on()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_a_second_hold_keeps_the_reason_of_the_first(hands):
    hands.begin_job("straight")
    hands.until_step("SHUTTLE_BACK")
    hands.saw.plant.set_air(3e5)
    hands.saw.bus.settle()
    hands.until_job("HELD")
    assert hands.tap("job.hold").accepted

    assert hands.reason == "the air pressure is low"


def test_hold_is_refused_when_no_job_runs(hands):
    hands.set_up()
    answer = hands.tap("job.hold")

    assert not answer.accepted
    assert "Only a running job can be held" in str(answer.sentence)


def test_going_on_takes_unhold_and_both_palm_keys(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    assert not hands.tap("job.start").accepted
    assert not hands.tap("job.unhold").accepted
    assert hands.job == "HELD"
    assert hands.palms("job.unhold").accepted

    assert hands.job == "EXECUTE"
    assert hands.reason == ""


def test_going_on_needs_what_starting_needs(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.stick("B42", False)
    answer = hands.tap("job.unhold")

    assert not answer.accepted
    assert [refusal.device for refusal in answer.refusals] == ["B42"]
    assert hands.job == "HELD"


def test_going_on_needs_production_and_the_head_up(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.turn("MANUAL")
    hands.hold_down("head.lower", 15)
    assert hands.job == "HELD"

    devices = [refusal.device for refusal in hands.tap("job.unhold").refusals]
    assert devices == ["B11", "mode"]
    hands.hold_down("head.raise", 3)
    hands.turn("PRODUCTION")
    assert hands.palms("job.unhold").accepted


# Bar moved in a hold -----------------------------------------------------------------------


def load_by_hand(hands):
    """Release both vises in MANUAL, put a fresh bar in, and clamp both."""
    hands.turn("MANUAL")
    for vise, back in (("cutting_vise", "B31"), ("shuttle_vise", "B32")):
        hands.press(f"{vise}.release")
        hands.until(lambda back=back: hands.sees(back))
        hands.release(f"{vise}.release")
    hands.saw.plant.load(hands.stock)
    hands.saw.bus.settle()
    hands.clamp_bar()
    hands.turn("PRODUCTION")


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_a_bar_loaded_in_a_hold_is_squared_first_and_the_squaring_is_not_counted(hands, step):
    hands.begin_and_get_to(step)
    hands.tap("job.hold")
    hands.until_job("HELD")
    load_by_hand(hands)
    assert hands.job == "HELD"
    assert not hands.tap("job.straight").accepted
    hands.go_on()
    hands.until_job("COMPLETE")

    assert [cut.squaring for cut in hands.saw.cuts] == [True, False, False, False]
    assert hands.lengths_mm()[1:] == [100.0, 100.0, 100.0]
    assert hands.saw.controller.job.cut == 3
    assert hands.harm == []


def test_a_hold_in_which_nothing_was_moved_by_hand_goes_on_where_it_was(hands):
    hands.begin_and_get_to("CLAMP_CUTTING_VISE")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.turn("MANUAL")
    hands.wait(5)
    hands.turn("PRODUCTION")
    hands.go_on()
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]


# Reasons that hold the job by themselves --------------------------------------------------


def low_air(hands):
    hands.saw.plant.set_air(3e5)


def mend_air(hands):
    hands.saw.plant.set_air(6e5)


def low_oil(hands):
    hands.saw.plant.set_oil(0.2)


def mend_oil(hands):
    hands.saw.plant.set_oil(1.0)


def low_coolant(hands):
    hands.saw.plant.coolant.set_level(0.05)


def mend_coolant(hands):
    hands.saw.plant.coolant.set_level(1.0)


LOW = {
    "air": (low_air, mend_air, "the air pressure is low", "B61"),
    "oil": (low_oil, mend_oil, "the oil level is low", "B62"),
}


def to_hold_again(hands, *devices):
    """See that the job does not go on while the cause stands, nor by itself once it is gone."""
    hands.until_job("HELD")
    assert [r.device for r in hands.tap("job.unhold").refusals] == [*devices]


@pytest.mark.parametrize("what", LOW)
def test_air_or_oil_low_in_the_cut_stops_lowering_and_band_at_once_and_the_piece_is_scrap(
    hands, what
):
    spoil, mend, reason, device = LOW[what]
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    spoil(hands)
    hands.saw.bus.settle()
    assert hands.on & {"Q1", "Y12"} == set()
    low_m = hands.saw.plant.head.place.position
    to_hold_again(hands, "B11", device)
    hands.wait(60)
    assert hands.saw.plant.head.place.position == low_m

    assert hands.reason == reason
    assert hands.lengths_mm() == []
    mend(hands)
    hands.saw.bus.settle()
    hands.wait(30)
    assert hands.job == "HELD"
    assert hands.on & MOTION == set()
    assert hands.saw.controller.job.cut == 0


@pytest.mark.parametrize("what", LOW)
def test_after_air_or_oil_was_low_in_the_cut_the_end_is_squared_and_the_piece_made_again(
    hands, what
):
    spoil, mend, _, _ = LOW[what]
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    spoil(hands)
    hands.saw.bus.settle()
    hands.until_job("HELD")
    mend(hands)
    hands.saw.bus.settle()
    hands.until(lambda: hands.state("band") == "STOPPED")
    hands.turn("MANUAL")
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.turn("PRODUCTION")
    hands.go_on()
    hands.until_job("COMPLETE")

    assert [cut.squaring for cut in hands.saw.cuts] == [True, False, False]
    assert hands.lengths_mm()[1:] == [100.0, 100.0]
    assert hands.saw.controller.job.cut == 2
    assert hands.harm == []


@pytest.mark.parametrize("what", LOW)
def test_air_or_oil_low_before_the_cut_ends_the_step_and_goes_on_when_put_right(hands, what):
    spoil, mend, reason, device = LOW[what]
    hands.begin_job("straight", wanted=2)
    hands.until_step("CLAMP_SHUTTLE_VISE")
    spoil(hands)
    hands.saw.bus.settle()
    to_hold_again(hands, device)
    assert hands.reason == reason
    assert hands.state("shuttle_vise") == "CLAMPED"
    mend(hands)
    hands.saw.bus.settle()
    hands.wait(30)
    assert hands.job == "HELD"
    hands.go_on()
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_coolant_low_in_the_cut_lets_it_be_finished_and_holds(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    low_coolant(hands)
    hands.saw.bus.settle()
    assert hands.job == "HOLDING"
    assert hands.sees("Y12")
    to_hold_again(hands, "B63")

    assert hands.reason == "the coolant is low"
    assert hands.lengths_mm() == [FIRST_MM]
    mend_coolant(hands)
    hands.saw.bus.settle()
    hands.go_on()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_coolant_low_with_coolant_off_holds_nothing(hands):
    hands.begin_job("straight", wanted=1)
    hands.tap("coolant.off")
    hands.until_in_metal()
    low_coolant(hands)
    hands.saw.bus.settle()
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM]


def test_the_end_of_the_bar_holds_the_job_and_a_new_bar_is_squared_and_goes_on(hands):
    hands.begin_job("square", wanted=40)
    hands.until_job("HELD", limit_s=3000)

    assert hands.reason == "the end of the bar was reached"
    made = hands.saw.controller.job.cut
    assert 0 < made < 40
    remnant_mm = hands.saw.plant.bar.length_m / MM
    assert 230.0 <= remnant_mm < 230.0 + 101.5
    assert [r.device for r in hands.tap("job.unhold").refusals] == ["B53"]
    load_by_hand(hands)
    hands.set(job__wanted=made + 1)
    hands.go_on()
    hands.until_job("COMPLETE", limit_s=3000)
    assert hands.saw.controller.job.cut == made + 1
    assert [cut.squaring for cut in hands.saw.cuts[-2:]] == [True, False]


def test_an_overload_in_the_cut_stops_lowering_and_band_at_once_and_holds(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    hands.stick("F1", False)
    assert hands.on & {"Q1", "Y11", "Y12"} == set()
    low_m = hands.saw.plant.head.place.position
    hands.until_job("HELD")
    hands.wait(60)

    assert hands.saw.plant.head.place.position == low_m
    assert hands.reason == "the overload relay tripped"
    assert hands.state("band") == "TRIPPED"
    assert not hands.sees("B11")
    assert hands.lengths_mm() == []


def test_after_an_overload_reset_restarts_nothing_and_going_on_squares_the_end(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    hands.stick("F1", False)
    hands.until_job("HELD")
    hands.until(lambda: not hands.sees("B1"))
    assert not hands.tap("supply.reset").accepted
    hands.mend("F1")
    assert hands.tap("supply.reset").accepted
    assert hands.state("band") == "STOPPED"
    places = hands.places
    hands.wait(60)
    assert hands.on == {"K1", "Q2", "Y13"}
    assert hands.places == places

    hands.turn("MANUAL")
    hands.hold_down("head.raise", 5)
    hands.turn("PRODUCTION")
    hands.go_on()
    hands.until_job("COMPLETE")
    assert [cut.squaring for cut in hands.saw.cuts] == [True, False, False]
    assert hands.saw.controller.job.cut == 2
    assert hands.harm == []


def test_the_hold_of_a_job_lasts_as_long_as_its_step(hands):
    """A stroke of 101.5 mm at 150 mm/s, held when it has begun."""
    hands.begin_job("straight")
    hands.until_step("SHUTTLE_FORWARD")
    began_us = hands.saw.clock.now_us
    hands.tap("job.hold")
    hands.until_job("HELD")

    assert (hands.saw.clock.now_us - began_us) / US == pytest.approx(101.5 / 150, abs=1e-5)


@pytest.mark.parametrize("after_s", [0.05, 0.4])
def test_air_lost_while_the_head_is_raised_holds_at_once_and_the_piece_is_counted_after_it_is_up(
    hands, after_s
):
    """Else the head would set off by itself when the air comes back."""
    hands.begin_job("straight", wanted=3)
    hands.until_step("RAISE_HEAD")
    hands.wait(after_s)
    assert hands.sees("Y11")
    low_air(hands)
    hands.saw.bus.settle()
    assert hands.job == "HELD"
    assert hands.on & MOTION == set()
    head_m = hands.places[1]
    mend_air(hands)
    hands.saw.bus.settle()
    hands.wait(60)
    assert hands.places[1] == head_m
    assert hands.step == "RAISE_HEAD"
    assert [refusal.device for refusal in hands.tap("job.unhold").refusals] == ["B11"]
    hands.turn("MANUAL")
    hands.hold_down("head.raise", 5)
    hands.turn("PRODUCTION")
    hands.go_on()
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 3
    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]
    assert hands.harm == []


def test_air_lost_while_a_stopped_job_raises_its_head_ends_that_too(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    hands.tap("job.stop")
    hands.wait(0.1)
    assert hands.sees("Y11")
    low_air(hands)
    hands.saw.bus.settle()
    hands.until_job("STOPPED")
    head_m = hands.places[1]
    mend_air(hands)
    hands.saw.bus.settle()
    hands.wait(60)

    assert hands.places[1] == head_m
    assert hands.on & MOTION == set()
