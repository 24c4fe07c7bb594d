"""Complete, stop and abort in each step of a piece: what is counted, and what the next start owes."""

import pytest

from .steps import BEFORE_THE_CUT, MOVING_BAR, STEPS

FIRST_MM = 12 + 101.5 - 1.5  # the bar stood 12 mm past the band before its first index
NOT_FED = (
    "CLAMP_TO_SQUARE",
    "RELEASE_SHUTTLE_VISE",
    "SHUTTLE_BACK",
    "CLAMP_SHUTTLE_VISE",
    "RELEASE_CUTTING_VISE",
)
MOTION = {"Q1", "Y11", "Y12", "Y21", "Y22", "Y31", "Y32", "Y33", "Y34"}


def count(hands):
    return hands.saw.controller.job.cut


def head_up_by_hand(hands):
    """Raise the head in MANUAL, as far as its stop."""
    hands.turn("MANUAL")
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.turn("PRODUCTION")


def start_again(hands):
    """Bring the job from STOPPED to running."""
    hands.until(lambda: not hands.sees("B1"))
    if not hands.sees("B11"):
        head_up_by_hand(hands)
    assert hands.tap("job.reset").accepted
    hands.start()


# Complete --------------------------------------------------------------------------------


@pytest.mark.parametrize("step", NOT_FED)
def test_complete_before_the_bar_is_fed_clamps_both_vises_and_cuts_nothing(hands, step):
    hands.begin_and_get_to(step)
    assert hands.tap("job.complete").accepted
    hands.until_job("COMPLETE")

    assert hands.sees("B33")
    assert hands.sees("B34")
    assert hands.lengths_mm() == []
    assert count(hands) == 0
    assert hands.reason == "the complete key was pressed"
    assert hands.on & MOTION == set()


@pytest.mark.parametrize("step", [step for step in STEPS if step not in NOT_FED])
def test_complete_once_the_bar_is_fed_makes_the_piece_and_no_other(hands, step):
    hands.begin_and_get_to(step)
    assert hands.tap("job.complete").accepted
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [FIRST_MM]
    assert count(hands) == 1
    assert hands.sees("B11")
    assert hands.state("band") == "STOPPED"


def test_complete_while_the_band_comes_to_speed_for_squaring_cuts_nothing(hands):
    hands.begin_job("square", wanted=1)
    hands.until_step("BAND_TO_SPEED")
    hands.tap("job.complete")
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == []
    assert hands.state("band") == "STOPPED"


def test_complete_after_the_first_of_three_strokes_makes_the_piece(hands):
    hands.begin_job("straight", wanted=3, strokes=3)
    hands.until(lambda: hands.saw.controller.job.stroke == 1)
    hands.until_step("SHUTTLE_BACK")
    hands.tap("job.complete")
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [12 + 3 * 101.5 - 1.5]
    assert count(hands) == 1


def test_complete_is_refused_in_a_hold_and_says_to_go_on_first(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    answer = hands.tap("job.complete")

    assert not answer.accepted
    assert "go on from a hold first" in str(answer.sentence)
    assert hands.job == "HELD"


def test_reset_from_complete_zeroes_the_count(hands):
    hands.begin_and_get_to("BAND_TO_SPEED")
    hands.tap("job.complete")
    hands.until_job("COMPLETE")
    assert count(hands) == 1
    hands.tap("job.reset")

    assert count(hands) == 0


# Stop --------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", STEPS)
def test_stop_takes_the_feed_off_raises_the_head_with_the_band_running_and_then_stops_it(
    hands, step
):
    hands.begin_and_get_to(step)
    ran = hands.sees("Q1")
    assert hands.tap("job.stop").accepted
    assert hands.on & {"Y12", "Y21", "Y22"} == set()
    if ran and not hands.sees("B11"):
        assert hands.sees("Q1")
        assert hands.sees("Y11")
    hands.until_job("STOPPED")

    assert hands.sees("B11")
    assert hands.state("band") == "STOPPED"
    assert hands.reason == "the job stop key was pressed"
    assert hands.on & MOTION == set()
    assert count(hands) == 0


@pytest.mark.parametrize("step", [step for step in STEPS if step not in NOT_FED])
def test_after_a_stop_with_bar_fed_the_next_start_squares_and_straight_is_refused(hands, step):
    hands.begin_and_get_to(step)
    hands.tap("job.stop")
    hands.until_job("STOPPED")
    answer = hands.tap("job.straight")
    assert not answer.accepted
    assert "the bar's end is not square" in str(answer.sentence)
    start_again(hands)
    hands.until_job("COMPLETE")

    # Where the piece had been parted already, the squaring cut finds nothing left to take off.
    parted = step == "RAISE_HEAD"
    assert [cut.squaring for cut in hands.saw.cuts] == [not parted, False, False, False]
    assert hands.lengths_mm()[1:] == [100.0, 100.0, 100.0]
    assert count(hands) == 3
    assert hands.harm == []


@pytest.mark.parametrize("step", NOT_FED[1:])
def test_after_a_stop_before_the_bar_was_fed_straight_stays_allowed(hands, step):
    hands.begin_and_get_to(step)
    hands.tap("job.stop")
    hands.until_job("STOPPED")

    assert hands.tap("job.straight").accepted


@pytest.mark.parametrize("state", ["held", "idle", "complete"])
def test_stop_ends_a_job_that_does_not_run_too(hands, state):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    if state == "held":
        hands.tap("job.hold")
        hands.until_job("HELD")
    else:
        hands.tap("job.complete")
        hands.until_job("COMPLETE")
        if state == "idle":
            hands.tap("job.reset")
    assert hands.tap("job.stop").accepted
    hands.until_job("STOPPED")

    assert hands.on & MOTION == set()


# Abort: the emergency stop and the isolator -------------------------------------------------


def way_back(hands, how):
    """Come back from an abort as the design has it, up to the job reset and the head up."""
    if how == "isolator":
        hands.press("supply.isolator")
    else:
        hands.release(how)
    hands.until(lambda: not hands.sees("B1"))
    assert hands.tap("supply.reset").accepted
    assert hands.tap("supply.control_on").accepted
    before = hands.places
    assert hands.tap("job.clear").accepted
    assert hands.job == "STOPPED"
    assert hands.tap("job.reset").accepted
    assert hands.places == before
    assert hands.job == "IDLE"
    if not hands.sees("B11"):
        head_up_by_hand(hands)


@pytest.mark.parametrize("how", ["supply.emergency_stop", "supply.infeed_stop"])
def test_an_emergency_stop_in_the_second_of_three_strokes_keeps_count_and_bar(hands, how):
    hands.begin_job("straight", wanted=2, strokes=3)
    hands.until(lambda: count(hands) == 1)
    hands.until(lambda: hands.saw.controller.job.stroke == 1 and hands.step == "SHUTTLE_FORWARD")
    hands.wait(0.2)
    hands.press(how)
    assert hands.on == set()
    assert hands.job == "ABORTED"
    front_m = hands.saw.plant.bar.front_m
    length_m = hands.saw.plant.bar.length_m
    hands.wait(60)
    way_back(hands, how)

    assert count(hands) == 1
    assert (hands.saw.plant.bar.front_m, hands.saw.plant.bar.length_m) == (front_m, length_m)
    assert hands.saw.controller.job.stroke == 0
    assert not hands.tap("job.straight").accepted
    hands.start()
    hands.until_job("COMPLETE")
    assert count(hands) == 2
    assert [cut.squaring for cut in hands.saw.cuts] == [False, True, False]
    assert hands.lengths_mm()[-1] == 303.0
    assert hands.harm == []


def test_the_isolator_off_in_mid_cut_spoils_the_piece_and_it_is_never_counted(hands):
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    hands.release("supply.isolator")
    assert hands.on == set()
    assert hands.job == "ABORTED"
    hands.wait(10)
    way_back(hands, "isolator")
    assert count(hands) == 0
    hands.start()
    hands.until_job("COMPLETE")

    assert count(hands) == 2
    assert [cut.squaring for cut in hands.saw.cuts if cut.counted] == [True, False, False]
    assert hands.lengths_mm()[-2:] == [100.0, 100.0]


def test_a_cut_that_sinks_through_after_the_power_was_cut_is_not_counted(hands):
    """The head sinks on without power: a piece may fall, and nobody has made it."""
    hands.begin_job("straight", wanted=2)
    hands.until_in_metal()
    hands.press("supply.emergency_stop")
    hands.wait(600)

    assert count(hands) == 0
    assert not any(cut.counted for cut in hands.saw.cuts)


@pytest.mark.parametrize("step", STEPS)
def test_the_way_back_from_an_abort_moves_nothing_until_start(hands, step):
    hands.begin_and_get_to(step)
    hands.press("supply.emergency_stop")
    hands.until(lambda: not hands.sees("B1"))
    hands.wait(1)
    hands.release("supply.emergency_stop")
    assert hands.on == set()
    assert [r.device for r in hands.tap("supply.control_on").refusals] == ["supply"]
    assert not hands.tap("job.clear").accepted
    assert hands.tap("supply.reset").accepted
    assert hands.on == set()
    assert hands.tap("supply.control_on").accepted
    assert hands.on == {"K1", "Q2", "Y13"}
    for key, state in (("job.clear", "STOPPED"), ("job.reset", "IDLE")):
        assert hands.tap(key).accepted
        hands.wait(5)
        assert hands.job == state
        assert hands.on == {"K1", "Q2", "Y13"}


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_after_power_up_the_job_is_aborted_if_one_was_under_way(hands, step):
    hands.begin_and_get_to(step)
    hands.release("supply.isolator")
    hands.press("supply.isolator")

    assert hands.job == "ABORTED"


@pytest.mark.parametrize("state", ["fresh", "idle", "complete"])
def test_after_power_up_the_job_is_stopped_if_none_was_under_way(hands, state):
    if state == "complete":
        hands.begin_job("square", wanted=1)
        hands.until_job("COMPLETE")
    elif state == "idle":
        hands.set_up()
        hands.ready("square")
    else:
        hands.set_up()
    hands.release("supply.isolator")
    hands.press("supply.isolator")

    assert hands.job == "STOPPED"


@pytest.mark.parametrize("step", [step for step in MOVING_BAR if step not in NOT_FED])
def test_an_abort_with_bar_fed_owes_a_square_end_through_a_loss_of_power(hands, step):
    hands.begin_and_get_to(step)
    hands.release("supply.isolator")
    hands.wait(5)
    way_back(hands, "isolator")
    answer = hands.tap("job.straight")

    assert not answer.accepted
    assert "begin by squaring the end" in str(answer.sentence).lower()
