"""The job: squaring the end, indexing, cutting, counting, and how it is done, on a whole saw."""

from dataclasses import replace

import pytest

from sim.plant.bar import Stock
from sim.scenario.machines import first_machine
from sim.signals import Direction
from sim.trade.length import pieces_per_bar
from sim.trade.sections import Round
from sim.units import MM

FIRST_MM = 12 + 101.5 - 1.5  # the bar stood 12 mm past the band before its first index


def test_a_squaring_cut_comes_first_and_is_not_counted(hands):
    hands.begin_job("square", wanted=2)
    hands.until_step("CLAMP_SHUTTLE_VISE")
    assert len(hands.saw.cuts) == 1
    assert hands.saw.controller.job.cut == 0
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 2
    assert hands.lengths_mm() == [10.5, 100.0, 100.0]
    assert [cut.squaring for cut in hands.saw.cuts] == [True, False, False]
    assert hands.harm == []


def test_a_job_begun_straight_indexes_first_and_counts_every_cut(hands):
    hands.begin_job("straight", wanted=3)
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 3
    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]
    assert not any(cut.squaring for cut in hands.saw.cuts)


def test_a_piece_longer_than_the_stroke_takes_several_strokes(hands):
    hands.set_up(piece_mm=100.0)
    hands.band_speed()
    hands.set(job__wanted=2, job__strokes=3)
    hands.ready("square")
    hands.start()
    strokes = []
    hands.saw.bus.listen(
        Direction.OUTPUT, lambda tag, value: strokes.append(tag) if tag == "Y21" and value else None
    )
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [10.5, 303.0, 303.0]
    assert len(strokes) == 6


def test_the_parts_are_driven_in_the_order_of_the_cycle(hands):
    hands.set_up()
    hands.band_speed()
    hands.clamp_bar()
    hands.tap("coolant.with_band")
    hands.ready("straight")
    hands.start()
    driven = []
    hands.saw.bus.listen(Direction.OUTPUT, lambda tag, value: driven.append(tag) if value else None)
    hands.until_job("COMPLETE")

    assert driven == ["Y22", "Y32", "Y33", "Y21", "Y31", "Q1", "Q3", "Y12", "Y11"]


def test_the_shuttle_goes_back_while_the_cut_runs(hands):
    hands.begin_job("straight", wanted=2)
    hands.until(lambda: hands.sees("Y22") and hands.step == "LOWER_HEAD")
    assert hands.sees("Y12")
    hands.until(lambda: hands.sees("B21"))

    assert hands.step == "LOWER_HEAD"
    assert hands.state("shuttle_vise") == "RELEASED"


def test_the_shuttle_stays_while_the_last_piece_is_cut(hands):
    hands.begin_job("straight", wanted=1)
    hands.until_in_metal()
    hands.until_job("COMPLETE")

    assert hands.sees("B22")
    assert hands.sees("B34")


def test_the_band_stops_with_the_job(hands):
    hands.begin_job("square", wanted=1)
    hands.until_job("COMPLETING")
    assert not hands.sees("Q1")
    assert hands.sees("B1")
    hands.until_job("COMPLETE")

    assert not hands.sees("B1")
    assert hands.state("band") == "STOPPED"


@pytest.mark.parametrize("minutes", [1, 10])
def test_the_band_runs_on_for_its_minutes_after_the_job_and_then_stops(hands, minutes):
    hands.set(job__run_on_min=minutes)
    hands.begin_job("square", wanted=1)
    hands.until_job("COMPLETE")
    assert hands.state("band") == "RUNNING"
    hands.wait(60 * minutes - 0.1)
    assert hands.sees("Q1")
    hands.wait(0.2)

    assert not hands.sees("Q1")


def test_a_band_that_runs_on_is_stopped_by_its_key_and_does_not_run_again(hands):
    hands.set(job__run_on_min=2)
    hands.begin_job("square", wanted=1)
    hands.until_job("COMPLETE")
    assert hands.tap("band.stop").accepted
    hands.wait(300)

    assert hands.state("band") == "STOPPED"
    assert hands.job == "STOPPED"


def test_a_job_starts_only_when_it_is_idle_and_says_so(hands):
    hands.set_up()
    hands.turn("PRODUCTION")
    answer = hands.tap("job.start")

    assert not answer.accepted
    assert "Start is taken when the job is idle" in str(answer.sentence)
    assert hands.tap("job.reset").accepted
    assert hands.job == "IDLE"
    assert hands.palms("job.start").accepted


def test_a_job_starts_in_production_alone(hands):
    hands.set_up()
    assert hands.tap("job.reset").accepted
    answer = hands.tap("job.start")

    assert [refusal.device for refusal in answer.refusals] == ["mode"]
    assert "Turn the mode switch to PRODUCTION" in str(answer.sentence)
    assert hands.job == "IDLE"


def test_resetting_is_refused_while_the_job_runs(hands):
    hands.begin_job("square")
    answer = hands.tap("job.reset")

    assert not answer.accepted
    assert "The job is running." in str(answer.sentence)
    assert hands.job == "EXECUTE"


def test_a_second_job_counts_from_nothing(hands):
    hands.begin_job("square", wanted=1)
    hands.until_job("COMPLETE")
    hands.ready("straight")
    assert hands.saw.controller.job.cut == 0
    hands.start()
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 1
    assert hands.lengths_mm() == [10.5, 100.0, 100.0]


def test_the_count_is_kept_through_a_stop_and_zeroed_by_new_job(hands):
    hands.begin_job("straight", wanted=3)
    hands.until(lambda: hands.saw.controller.job.cut == 1)
    hands.tap("job.stop")
    hands.until_job("STOPPED")
    hands.tap("job.reset")
    assert hands.saw.controller.job.cut == 1
    assert hands.tap("job.new").accepted

    assert hands.saw.controller.job.cut == 0


def test_new_job_is_refused_while_the_job_runs_or_is_held(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    assert not hands.tap("job.new").accepted
    hands.tap("job.hold")
    hands.until_job("HELD")

    assert not hands.tap("job.new").accepted


def test_a_job_whose_count_is_full_does_not_start_and_says_why(hands):
    hands.begin_job("straight", wanted=2)
    hands.until(lambda: hands.saw.controller.job.cut == 1)
    hands.tap("job.stop")
    hands.until_job("STOPPED")
    hands.set(job__wanted=1)
    hands.tap("job.reset")
    answer = hands.tap("job.start")

    assert not answer.accepted
    assert "The count has reached the pieces wanted" in str(answer.sentence)
    hands.tap("job.new")
    assert hands.palms("job.start").accepted


def test_a_job_that_waits_says_for_what(hands):
    hands.begin_job("straight")
    hands.until_step("SHUTTLE_FORWARD")
    hands.stick("B11", False)
    hands.wait(30)

    assert hands.step == "SHUTTLE_FORWARD"
    assert [refusal.device for refusal in hands.saw.controller.job.waits] == ["B11"]
    hands.mend("B11")
    hands.until_job("COMPLETE")
    assert hands.saw.controller.job.waits == ()


def test_a_job_begun_with_nothing_clamped_says_for_what_it_waits(hands):
    hands.set_up()
    hands.ready("straight")
    hands.start()
    hands.wait(10)

    assert hands.places[0] == 0.0
    (waits,) = hands.saw.controller.waits_for()
    assert waits.device == "B33"
    assert str(waits.said) == ("B33: the cutting vise is not clamped. Clamp the cutting vise.")


@pytest.mark.parametrize("tag", ["B41", "B42", "B51", "B54"])
def test_a_guard_opened_while_the_band_stands_holds_the_job_and_closing_it_starts_nothing(
    hands, tag
):
    hands.begin_job("straight")
    hands.until_step("CLAMP_CUTTING_VISE")
    hands.stick(tag, False)
    hands.until_job("HELD")
    hands.mend(tag)
    hands.wait(30)

    assert hands.job == "HELD"
    assert hands.state("band") == "STOPPED"


def test_a_job_gone_on_with_while_the_band_coasts_waits_for_it_to_be_driven(hands):
    hands.begin_job("straight")
    hands.until_step("LOWER_HEAD")
    assert hands.sees("B11")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.go_on()

    assert hands.saw.bus.seen["B2"]
    assert hands.state("band") == "COASTING"
    assert hands.state("head") != "LOWERING"
    assert hands.step == "BAND_TO_SPEED"


def test_a_head_moved_by_hand_in_a_hold_is_not_lowered_by_turning_the_mode_back(hands):
    hands.begin_job("straight")
    hands.until_step("BAND_TO_SPEED")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.turn("MANUAL")
    hands.hold_down("head.lower", 1)
    hands.hold_down("head.raise", 3)
    hands.turn("PRODUCTION")
    hands.wait(10)

    assert hands.job == "HELD"
    assert not hands.on & {"Y11", "Y12", "Q1"}


def test_the_shuttle_on_its_way_back_halts_when_the_last_piece_turns_out_to_be_cut(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_step("LOWER_HEAD")
    hands.until(lambda: hands.states["shuttle"] == "GOING_BACK")
    hands.saw.set("job.wanted", 1)
    hands.until_job("COMPLETE")

    assert hands.states["shuttle"] not in ("GOING_BACK", "GOING_FORWARD")


def test_a_bar_of_1063_5_mm_gives_nine_pieces_of_100_where_the_shuttle_vise_leaves_50(new_hands):
    """As the cut list has it: (1063.5 - 50) / (100 + 1.5) is 9.98."""
    short_nosed = replace(first_machine(), jaw_front_m=20 * MM, jaw_length_m=30 * MM)
    bar = Stock(new_hands().stock.material, Round(30 * MM), 1063.5 * MM, 0.0)
    hands = new_hands(bar, short_nosed)
    hands.begin_job("straight", wanted=40)
    hands.until_job("HELD", limit_s=4000)

    assert hands.reason == "the end of the bar was reached"
    assert hands.lengths_mm() == [100.0] * 9
    assert hands.saw.controller.job.cut == 9
    assert pieces_per_bar(106350, 10000, 150, remnant=5000) == 9


def test_letting_a_key_go_does_not_halt_what_the_job_drives(hands):
    hands.set_up()
    hands.clamp_bar()
    hands.press("shuttle_vise.release")
    hands.until(lambda: hands.sees("B32"))
    hands.release("shuttle_vise.release")
    hands.press("shuttle.back")
    hands.wait(0.2)
    hands.ready("straight")
    assert not hands.sees("Y22")
    assert hands.state("shuttle") == "BETWEEN"
    hands.start()
    assert hands.sees("Y22")
    hands.release("shuttle.back")

    assert hands.sees("Y22")


def test_bar_that_was_never_squared_may_be_begun_straight_by_choice(hands):
    """The machine cannot see the bar's end: whether it is square is the operator's to know."""
    hands.begin_job("straight", wanted=1)
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM]
