"""The infeed hood: a job wants it shut, opening it halts what moves under it, shutting it starts nothing."""

import pytest

from sim.control.cycle import STEPS as CYCLE_STEPS

from .steps import BEFORE_THE_CUT, MOVING_BAR

UNDER_IT = [step for step in MOVING_BAR if CYCLE_STEPS[step].part in ("shuttle", "shuttle_vise")]
SHUTTLE_SIDE = {"Y21", "Y22", "Y32", "Y34"}
MOTION = {*SHUTTLE_SIDE, "Q1", "Y11", "Y12", "Y31", "Y33"}


def test_the_steps_under_the_hood_are_those_of_shuttle_and_shuttle_vise():
    assert UNDER_IT == [
        "RELEASE_SHUTTLE_VISE", "SHUTTLE_BACK", "CLAMP_SHUTTLE_VISE", "SHUTTLE_FORWARD",
    ]  # fmt: skip


@pytest.mark.parametrize("step", UNDER_IT)
def test_opening_it_halts_what_moves_under_it_at_once_and_holds_the_job(hands, step):
    hands.begin_and_get_to(step)
    assert hands.on & SHUTTLE_SIDE
    hands.set(**{"infeed.hood": "open"})

    assert not hands.on & SHUTTLE_SIDE
    assert hands.job == "HELD"
    assert hands.reason == "the infeed hood was opened"


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_shutting_it_starts_nothing_and_unhold_goes_on(hands, step):
    hands.begin_and_get_to(step)
    hands.set(**{"infeed.hood": "open"})
    hands.until_job("HELD")
    assert not hands.on & MOTION
    assert [r.device for r in hands.tap("job.unhold").refusals] == ["B43"]
    assert hands.job == "HELD"
    hands.set(**{"infeed.hood": "shut"})
    places = hands.places
    hands.wait(60)
    assert hands.job == "HELD"
    assert hands.on & MOTION == set()
    assert hands.places[:3] == places[:3]
    hands.go_on()
    hands.until_job("COMPLETE")

    assert hands.saw.controller.job.cut == 3
    assert hands.harm == []


def test_opening_it_in_the_cut_lets_the_cut_be_finished_and_sends_no_shuttle_back(hands):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.set(**{"infeed.hood": "open"})
    assert hands.job == "HOLDING"
    while hands.job == "HOLDING":
        assert not hands.on & SHUTTLE_SIDE
        hands.wait(0.1)

    assert hands.job == "HELD"
    assert hands.saw.controller.job.cut == 1
    assert hands.reason == "the infeed hood was opened"


def test_a_shuttle_on_its_way_back_in_the_cut_is_halted(hands):
    hands.begin_job("straight")
    hands.until(lambda: hands.step == "LOWER_HEAD" and hands.sees("Y22"))
    hands.set(**{"infeed.hood": "open"})

    assert not hands.on & SHUTTLE_SIDE
    assert hands.state("shuttle") == "BETWEEN"


def test_opening_it_while_a_job_completes_stops_it_and_shutting_it_starts_nothing(hands):
    hands.begin_job("straight")
    hands.until_step("CLAMP_SHUTTLE_VISE")
    hands.tap("job.complete")
    hands.set(**{"infeed.hood": "open"})
    hands.until_job("STOPPED")
    hands.set(**{"infeed.hood": "shut"})
    hands.wait(60)

    assert hands.reason == "the infeed hood was opened"
    assert hands.on & MOTION == set()


def test_a_job_does_not_begin_with_it_open(hands):
    hands.set_up()
    hands.ready()
    hands.set(**{"infeed.hood": "open"})
    answer = hands.tap("job.start")

    assert [(r.interlock, r.device) for r in answer.refusals] == [("I19", "B43")]


def test_by_hand_it_may_stand_open(hands):
    hands.control_on()
    hands.set(**{"infeed.hood": "open"})
    hands.hold_down("shuttle_vise.release", 3)
    assert hands.tap("shuttle.back").accepted
    hands.hold_down("shuttle.back", 1)

    assert hands.sees("B43") is False
    assert not hands.sees("B22")
