"""Whatever a novice does wrong in a lesson, something is said of it, and the hint leads on."""

import pytest

from sim.pilot.lesson_pilot import play_lesson
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import open_session
from sim.teaching.coach import Coach
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from tests.session.novices import MISTAKES, cases, novice

SHARE = 0.04  # of the steps; `python -m tests.session.novices` takes every one


def test_there_are_ten_mistakes():
    assert len(MISTAKES) == 10


@pytest.mark.sampled(4)
@pytest.mark.parametrize(("name", "step", "mistake"), list(cases(SHARE)))
def test_after_a_mistake_something_is_said_and_the_hint_leads_on(name, step, mistake):
    met = novice(name, step, mistake)

    assert not met.wrong, str(met)


@pytest.mark.parametrize(
    ("name", "step", "lines"),
    [
        ("03-load-and-clamp", 2, ("set head.prop in", "set mode.key in my pocket")),
        ("05-head-height-feed-and-force", 8, ("set head.feed_valve_mm_min 0",)),
        ("05-head-height-feed-and-force", 4, ("set supply.air_cock shut",)),
        ("09-automatic-job-in-production", 4, ("set head.oil_relief open",)),
        ("10-hold-go-on-and-bar-end", 2, ("wait 300",)),
        ("12-bundles", 10, ("inspect jaw-gaps", "set infeed.bar_chock in")),
        ("18-reading-the-cut", 4, ("palms job.unhold", "wait 106", "tap job.hold", "wait 38")),
    ],
)
def test_what_was_a_dead_end_has_a_way_on(name, step, lines):
    session = open_session(name)
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, step)
    for line in lines:
        perform(session, parse(line))

    assert play_lesson(session, lesson)
    assert session.saw.consequences == []


def _said(name, step, *lines):
    session = open_session(name)
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, step)
    coach = Coach(session)
    for line in lines:
        perform(session, parse(line))
        said = str(coach.remark())
    return said


def test_the_right_and_the_wrong_turn_of_the_length_stop_are_not_called_alike():
    lesson = "04-length-and-backlash"
    wrong = _said(lesson, 2, "set shuttle.stop_mm 200", "set shuttle.stop_mm 231.5")
    right = _said(lesson, 2, "set shuttle.stop_mm 240", "set shuttle.stop_mm 231.5")

    assert "As the card says" in right
    assert "As the card says" not in wrong
    assert "0.15 mm short" in wrong


@pytest.mark.parametrize("angle", [43, 44, 46])
def test_a_wrong_angle_is_not_called_as_the_card_says(angle):
    to_swing = ("13-mitre", 4)
    assert "As the card says" in _said(*to_swing, "set head.mitre_deg 45")
    wrong = _said(*to_swing, f"set head.mitre_deg {angle}")

    assert "As the card says" not in wrong
    assert "the order is for 45 degrees" in wrong.lower()


def test_what_the_lesson_wants_otherwise_than_the_card_is_told_as_the_lesson_has_it():
    back = ("13-mitre", 14)  # the head is swung back, though the order is for 45 degrees
    free = ("set head.index_plunger out", "set head.clamp_lever open")

    assert "must be 0" in _said(*back, *free, "set head.mitre_deg 30")
    assert "As the card says" not in _said(
        *back, *free, "set head.mitre_deg 30", "set head.mitre_deg 45"
    )


@pytest.mark.parametrize(("key", "says"), [("faster 2", "too slow"), ("faster 15", "too fast")])
def test_a_wrong_speed_is_told_with_its_direction(key, says):
    assert says in _said("08-first-single-cut", 3, "palms band.run", "wait 3", f"hold band.{key}")
