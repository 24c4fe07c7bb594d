"""The job: trim, index, cut, count, complete, hold and resume, on a whole saw."""

import pytest

from sim.signals import Direction
from sim.units import MM

BEFORE_THE_CUT = (
    "GRIP_FOR_TRIM",
    "FREE_SHUTTLE_VISE",
    "SHUTTLE_TO_STOP",
    "GRIP_SHUTTLE_VISE",
    "FREE_CUTTING_VISE",
    "SHUTTLE_TO_BLADE",
    "GRIP_CUTTING_VISE",
    "BAND_TO_SPEED",
)
FIRST_MM = 12 + 101.5 - 1.5  # the bar stood 12 mm past the blade before its first index


def test_a_trim_cut_comes_first_and_is_not_counted(hands):
    hands.begin_job("trim", wanted=2)
    hands.until_step("GRIP_SHUTTLE_VISE")
    assert len(hands.saw.cuts) == 1
    assert hands.saw.controller.job.cut == 0
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 2
    assert hands.lengths_mm() == [10.5, 100.0, 100.0]
    assert [cut.trim for cut in hands.saw.cuts] == [True, False, False]
    assert hands.harm == []


def test_a_job_begun_on_a_piece_indexes_first_and_counts_every_cut(hands):
    hands.begin_job("piece", wanted=3)
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 3
    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]
    assert not any(cut.trim for cut in hands.saw.cuts)


def test_a_piece_longer_than_the_stroke_takes_several_strokes(hands):
    hands.set_up(piece_mm=100.0)
    hands.band_speed()
    hands.set(job__wanted=2, job__strokes=3)
    hands.arm()
    hands.begin("trim")
    strokes = []
    hands.saw.bus.listen(
        Direction.OUTPUT, lambda tag, value: strokes.append(tag) if tag == "Y21" and value else None
    )
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [10.5, 303.0, 303.0]
    assert len(strokes) == 6


def test_the_stations_are_driven_in_the_order_of_the_cycle(hands):
    hands.begin_job("piece", wanted=1)
    driven = []
    hands.saw.bus.listen(Direction.OUTPUT, lambda tag, value: driven.append(tag) if value else None)
    hands.until_job("COMPLETE")

    assert driven == ["Y22", "Y32", "Y33", "Y21", "Y31", "Q1", "Q3", "Y12", "Y11"]


def test_the_shuttle_goes_back_while_the_cut_runs(hands):
    hands.begin_job("piece", wanted=2)
    hands.until(lambda: hands.sees("Y22") and hands.step == "LOWER_HEAD")
    assert hands.sees("Y12")
    hands.until(lambda: hands.sees("B21"))

    assert hands.step == "LOWER_HEAD"
    assert hands.state("shuttle_vise") == "OPEN"


def test_the_shuttle_stays_while_the_last_piece_is_cut(hands):
    hands.begin_job("piece", wanted=1)
    hands.until_in_metal()
    hands.until_job("COMPLETE")

    assert hands.sees("B22")
    assert hands.sees("B34")


def test_the_band_in_auto_stops_with_the_job(hands):
    hands.begin_job("trim", wanted=1)
    hands.until_job("COMPLETING")
    assert not hands.sees("Q1")
    assert hands.sees("B1")
    hands.until_job("COMPLETE")

    assert not hands.sees("B1")
    assert hands.state("band") == "STOPPED"


def test_the_band_in_hand_runs_on_after_the_job(hands):
    hands.begin_job("trim", wanted=1)
    hands.until_in_metal()
    hands.tap("band.hand")
    hands.until_job("COMPLETE")
    hands.wait(60)

    assert hands.state("band") == "RUNNING"
    assert hands.sees("Q1")
    hands.tap("band.stop")
    assert not hands.sees("Q1")


def test_a_job_begins_only_when_armed_and_says_so(hands):
    hands.set_up()
    answer = hands.start("job.begin_on_trim")

    assert not answer.accepted
    assert "Arm the job first" in str(answer.sentence)
    hands.arm()
    assert hands.job == "IDLE"
    assert {hands.saw.controller.image[f"mode.{s}"] for s in ("band", "head", "shuttle")} == {
        "AUTO"
    }
    assert hands.start("job.begin_on_trim").accepted


def test_arming_is_refused_while_the_job_runs(hands):
    hands.begin_job("trim")
    answer = hands.tap("job.arm")

    assert not answer.accepted
    assert "execute" in str(answer.sentence)
    assert hands.job == "EXECUTE"


def test_a_second_job_counts_from_nothing(hands):
    hands.begin_job("trim", wanted=1)
    hands.until_job("COMPLETE")
    hands.arm()
    hands.begin("piece")
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 1
    assert hands.lengths_mm() == [10.5, 100.0, 100.0]


def test_a_job_that_waits_says_for_what(hands):
    hands.begin_job("piece")
    hands.until_step("SHUTTLE_TO_BLADE")
    hands.stick("B11", False)
    hands.wait(30)

    assert hands.step == "SHUTTLE_TO_BLADE"
    assert [refusal.device for refusal in hands.saw.controller.job.waits] == ["B11"]
    hands.mend("B11")
    hands.until_job("COMPLETE")
    assert hands.saw.controller.job.waits == ()


@pytest.mark.parametrize("tag", ["B41", "B42", "B51"])
def test_a_guard_opened_while_the_band_stands_holds_the_job_and_closing_it_starts_nothing(
    hands, tag
):
    hands.begin_job("piece")
    hands.until_step("GRIP_CUTTING_VISE")
    hands.stick(tag, False)
    hands.until_job("HELD")
    hands.mend(tag)
    hands.wait(30)

    assert hands.job == "HELD"
    assert hands.state("band") == "STOPPED"


def test_a_job_resumed_while_the_band_still_coasts_at_speed_waits_for_it_to_be_driven(hands):
    hands.begin_job("piece")
    hands.until_step("BAND_TO_SPEED")
    hands.until_step("LOWER_HEAD")
    hands.tap("job.hold")
    hands.arm()
    hands.begin("piece")

    assert hands.saw.bus.seen["B2"]
    assert hands.state("band") == "COASTING"
    assert hands.state("head") != "LOWERING"
    assert hands.step == "BAND_TO_SPEED"


def test_a_head_taken_out_of_a_held_cut_by_hand_is_not_lowered_by_its_selector(hands):
    hands.begin_job("piece")
    hands.until_step("LOWER_HEAD")
    hands.wait(5)
    hands.tap("head.hand")
    hands.press("head.lift")
    hands.wait(1)
    hands.release("head.lift")
    hands.tap("head.auto")

    assert hands.states["head"] != "LOWERING"


def test_a_job_does_not_begin_while_a_station_that_it_moves_is_in_hand(hands):
    hands.set_up()
    hands.arm()
    hands.tap("shuttle.hand")
    answer = hands.start("job.begin_on_trim")

    assert [refusal.device for refusal in answer.refusals] == ["mode.shuttle"]
    assert hands.job == "IDLE"


def test_the_shuttle_on_its_way_back_halts_when_the_last_piece_turns_out_to_be_cut(hands):
    hands.begin_job("piece", wanted=2)
    hands.until_step("LOWER_HEAD")
    hands.until(lambda: hands.states["shuttle"] == "TO_STOP")
    hands.saw.set("job.wanted", 1)
    hands.until_job("COMPLETE")

    assert hands.states["shuttle"] not in ("TO_STOP", "TO_BLADE")


def test_a_coolant_that_ran_in_hand_follows_the_band_once_it_is_in_auto(hands):
    hands.set_up()
    hands.tap("coolant.flow")
    hands.tap("coolant.auto")

    assert hands.states["coolant"] == "DRY"


def test_a_band_turned_to_auto_while_the_job_is_held_stops(hands):
    hands.begin_job("piece")
    hands.until_step("GRIP_CUTTING_VISE")
    hands.tap("job.hold")
    hands.tap("band.hand")
    hands.start("band.start")
    hands.wait(2)
    hands.tap("band.auto")

    assert hands.state("band") == "COASTING"


def test_a_bar_that_nothing_holds_is_not_indexed(hands):
    hands.set_up()
    hands.arm()
    hands.begin("piece")
    hands.wait(10)

    assert hands.places[0] == 0.0
    assert [refusal.device for refusal in hands.saw.controller.job.waits] == ["B33"]


# Hold ------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_hold_before_the_head_has_left_its_limit_holds_at_once(hands, step):
    hands.begin_and_get_to(step)
    answer = hands.tap("job.hold")

    assert answer.accepted
    assert hands.job == "HELD"
    assert hands.reason == "the hold key was pressed"
    assert hands.on & {"Q1", "Y11", "Y12", "Y21", "Y22"} == set()
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
    held.wait(20)
    held.resume()
    for hands in (held, other):
        hands.until_job("COMPLETE")

    assert held.lengths_mm() == other.lengths_mm()
    assert held.saw.controller.job.cut == 3
    assert held.harm == []


@pytest.mark.parametrize("into_the_cut_s", [-1, 0.5])
def test_hold_after_the_head_has_left_its_limit_finishes_the_cut(hands, into_the_cut_s):
    hands.begin_job("piece", wanted=3)
    hands.until(lambda: hands.step == "LOWER_HEAD" and not hands.sees("B11"))
    if into_the_cut_s > 0:
        hands.until_in_metal()
    hands.tap("job.hold")
    assert hands.job == "HOLDING"
    hands.until_job("HELD")

    assert hands.lengths_mm() == [FIRST_MM]
    assert hands.saw.controller.job.cut == 1
    assert hands.sees("B11")
    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0, 100.0]


def test_hold_while_the_head_lifts_counts_the_piece_first(hands):
    hands.begin_and_get_to("LIFT_HEAD")
    hands.tap("job.hold")
    assert hands.job == "HOLDING"
    hands.until_job("HELD")

    assert hands.saw.controller.job.cut == 1


def test_hold_with_the_feed_valve_shut_lets_the_lower_valve_go(hands):
    hands.begin_job("piece")
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
    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_a_second_hold_keeps_the_reason_of_the_first(hands):
    hands.begin_job("piece")
    hands.until_step("SHUTTLE_TO_STOP")
    hands.saw.plant.set_air(3e5)
    hands.saw.bus.settle()
    assert hands.job == "HELD"
    hands.tap("job.hold")

    assert hands.reason == "the air pressure is low"


def test_hold_is_refused_when_there_is_no_job(hands):
    hands.set_up()
    answer = hands.tap("job.hold")

    assert not answer.accepted
    assert "nothing to hold" in str(answer.sentence)


def test_resuming_takes_arm_and_then_begin_on_piece(hands):
    hands.begin_and_get_to("SHUTTLE_TO_BLADE")
    hands.tap("job.hold")
    assert "Arm the job again" in str(hands.start("job.begin_on_piece").sentence)
    assert hands.job == "HELD"
    hands.arm()
    assert hands.job == "HELD"
    assert "Resume with begin on piece" in str(hands.start("job.begin_on_trim").sentence)
    assert hands.start("job.begin_on_piece").accepted

    assert hands.job == "EXECUTE"
    assert hands.reason == ""


def test_resuming_needs_what_beginning_needs(hands):
    hands.begin_and_get_to("SHUTTLE_TO_BLADE")
    hands.tap("job.hold")
    hands.arm()
    hands.stick("B42", False)
    answer = hands.start("job.begin_on_piece")

    assert not answer.accepted
    assert [refusal.device for refusal in answer.refusals] == ["B42"]
    assert hands.job == "HELD"


def test_a_hold_armed_once_must_be_armed_again_after_the_next_hold(hands):
    hands.begin_and_get_to("SHUTTLE_TO_BLADE")
    for _ in range(2):
        hands.tap("job.hold")
        assert not hands.start("job.begin_on_piece").accepted
        hands.resume()
        hands.wait(0.05)


# Reasons that hold the job by themselves --------------------------------------------------


def hold_air(hands):
    hands.saw.plant.set_air(3e5)


def mend_air(hands):
    hands.saw.plant.set_air(6e5)


def hold_oil(hands):
    hands.saw.plant.set_oil(0.2)


def mend_oil(hands):
    hands.saw.plant.set_oil(1.0)


LOW = {
    "air": (hold_air, mend_air, "the air pressure is low", "B61"),
    "oil": (hold_oil, mend_oil, "the oil level is low", "B62"),
}


@pytest.mark.parametrize("what", LOW)
def test_low_air_or_oil_holds_with_its_reason_and_goes_on_when_put_right(hands, what):
    spoil, mend, reason, device = LOW[what]
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    spoil(hands)
    hands.saw.bus.settle()
    assert hands.job == "HOLDING"
    hands.until_job("HELD")

    assert hands.reason == reason
    assert hands.lengths_mm() == [FIRST_MM]
    hands.arm()
    answer = hands.start("job.begin_on_piece")
    assert [refusal.device for refusal in answer.refusals] == [device]
    mend(hands)
    hands.saw.bus.settle()
    hands.wait(30)
    assert hands.job == "HELD"
    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_the_end_of_the_bar_holds_the_job_and_a_new_bar_lets_it_go_on(hands, stair_rod):
    hands.begin_job("trim", wanted=40)
    hands.until_job("HELD", limit_s=3000)

    assert hands.reason == "the end of the bar was reached"
    made = hands.saw.controller.job.cut
    assert 0 < made < 40
    remnant_mm = hands.saw.plant.bar.length_m / MM
    assert 230.0 <= remnant_mm < 230.0 + 101.5
    hands.arm()
    assert [r.device for r in hands.start("job.begin_on_piece").refusals] == ["B53"]
    hands.saw.plant.load(stair_rod)
    hands.saw.bus.settle()
    hands.set(job__wanted=made + 1)
    hands.tap("cutting_vise.hand", "cutting_vise.free")
    hands.wait(2)
    hands.tap("cutting_vise.grip")
    hands.wait(2)
    hands.resume()
    hands.until_job("COMPLETE", limit_s=3000)
    assert hands.saw.controller.job.cut == made + 1


def test_an_overload_in_the_cut_lifts_the_head_and_holds(hands):
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    hands.stick("F1", False)
    assert not hands.sees("Q1")
    assert hands.sees("Y11")
    hands.until_job("HELD")

    assert hands.reason == "the overload relay tripped"
    assert hands.state("band") == "TRIPPED"
    assert hands.sees("B11")
    assert hands.lengths_mm() == []


def test_after_an_overload_reset_restarts_nothing_and_resuming_finishes_the_cut(hands):
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    hands.stick("F1", False)
    hands.until_job("HELD")
    hands.until(lambda: not hands.sees("B1"))
    assert not hands.tap("supply.reset").accepted
    hands.mend("F1")
    assert hands.tap("supply.reset").accepted
    places = hands.places
    hands.wait(60)
    assert hands.on == {"K1", "Q2"}
    assert hands.places == places

    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]
    assert hands.saw.controller.job.cut == 2
    assert hands.harm == []


@pytest.mark.parametrize("station", ["cutting_vise", "shuttle_vise", "shuttle", "head"])
def test_a_station_turned_to_hand_before_the_cut_holds_the_job(hands, station):
    hands.begin_and_get_to("SHUTTLE_TO_BLADE")
    hands.tap(f"{station}.hand")

    assert hands.job == "HELD"
    assert hands.reason == f"the {station.replace('_', ' ')} was turned to HAND"
    front_m = hands.places[2]
    hands.wait(30)
    assert hands.places[2] == front_m
    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm()[0] == FIRST_MM


@pytest.mark.parametrize("station", ["cutting_vise", "shuttle_vise", "shuttle"])
def test_a_station_turned_to_hand_in_the_cut_lets_the_cut_be_finished(hands, station):
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    hands.tap(f"{station}.hand")
    assert hands.job == "HOLDING"
    assert hands.sees("Y12")
    hands.until_job("HELD")

    assert hands.lengths_mm() == [FIRST_MM]
    assert hands.saw.controller.job.cut == 1


def test_the_shuttle_turned_to_hand_on_its_way_back_stops_there(hands):
    hands.begin_job("piece", wanted=2)
    hands.until(lambda: hands.sees("Y22") and hands.step == "LOWER_HEAD")
    hands.wait(0.1)
    hands.tap("shuttle.hand")

    assert not hands.sees("Y22")
    assert not hands.sees("B21")
    hands.until_job("HELD")
    hands.resume()
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def test_the_head_turned_to_hand_in_the_cut_waits_below_for_a_hand_to_lift_it(hands):
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    hands.tap("head.hand")
    hands.until(lambda: hands.step == "LIFT_HEAD")
    hands.wait(30)
    assert hands.job == "HOLDING"
    assert hands.sees("B12")
    hands.press("head.lift")
    hands.until_job("HELD")
    hands.release("head.lift")

    assert hands.saw.controller.job.cut == 1


@pytest.mark.parametrize("station", ["band", "coolant"])
def test_band_and_coolant_turned_to_hand_do_not_hold_the_job(hands, station):
    hands.begin_job("piece", wanted=2)
    hands.until_in_metal()
    hands.tap(f"{station}.hand")
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM, 100.0]


def hold_the_shuttle_key(hands):
    """Have the shuttle run to its stop by hand, its vise free and the bar held."""
    hands.set_up()
    hands.grip_bar()
    hands.tap("shuttle_vise.free")
    hands.until(lambda: hands.sees("B32"))
    hands.press("shuttle.to_stop")
    hands.wait(0.2)
    assert hands.sees("Y22")


def test_a_motion_begun_by_hand_ends_when_its_station_is_turned_to_auto(hands):
    hold_the_shuttle_key(hands)
    hands.arm()

    assert not hands.sees("Y22")
    assert hands.state("shuttle") == "BETWEEN"


def test_letting_a_key_go_does_not_halt_what_the_job_drives(hands):
    hold_the_shuttle_key(hands)
    hands.arm()
    hands.begin("piece")
    assert hands.sees("Y22")
    hands.release("shuttle.to_stop")

    assert hands.sees("Y22")
