"""A lesson asks step by step, the coach says a sentence to every act, and neither speaks in a drill."""

import pytest

from sim.pilot.lesson_pilot import play_lesson
from sim.session.opening import library_entries

from .conftest import person_at

_LESSONS = [name for name, scenario in library_entries() if scenario.mode == "lesson"]


def _asked(person) -> str:
    person.frame()
    return person.app.stage.by_name["lesson.ask"].label


def test_the_strip_asks_for_one_step_after_the_other():
    person = person_at(scenario="02-two-hand-start")
    person.play.go("console")
    person.play.paused = True
    assert _asked(person) == "Switch the isolator on, press reset, and switch control on."
    person.power_up()
    person.play.tick()
    assert _asked(person) == "Raise the head to its height stop."
    person.key_down("y")
    person.wait(8.0)
    person.key_up("y")
    person.play.tick()
    assert _asked(person) == "Press band run with one hand, and nothing else."
    person.strike("q")
    person.play.tick()
    assert _asked(person).startswith("Press band run, hold one palm key down, wait a second")
    person.strike("q")
    person.play.paused = False
    person.key_down("x")
    person.wait(1.0)
    person.key_down("p")
    person.play.tick()
    assert _asked(person).startswith("Let the right palm key go")


def test_the_hint_key_tells_how():
    person = person_at(scenario="02-two-hand-start")
    person.play.go("console")
    person.click("lesson.hint")
    kind, text = person.play.coach()
    assert kind == "answer"
    assert text == (
        "On Console: press SUPPLY isolator and leave it so; press SUPPLY reset; press SUPPLY control on."
    )
    assert len(person.session.done.hints) == 1


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", _LESSONS)
def test_every_lesson_can_be_seen_to_its_end(name):
    person = person_at(scenario=name)
    person.play.go("console")
    for number in range(1, len(person.play.lesson.steps) + 1):
        assert play_lesson(person.session, person.play.lesson, number)
        person.play.tick()
        person.frame()
        shown = _asked(person)
        assert shown == str(person.play.lesson.ask)
    assert person.play.lesson.done
    assert "lesson.hint" not in person.app.stage.by_name


def test_the_coach_speaks_in_practice_and_not_in_a_drill(at_the_posts, at_short_posts):
    for person, speaks in ((at_the_posts, True), (at_short_posts, False)):
        person.play.go("console")
        person.frame()
        person.click("key.band.run")
        person.play.tick()
        assert (person.play.coach()[0] == "coach") is speaks


def test_what_stands_against_a_key_is_said_before_it_is_pressed(at_the_posts):
    stage = at_the_posts.app.stage
    stage.ask(at_the_posts.see("key.head.raise").rect.center)
    bubble = stage.page.bubble()
    assert bubble.anchor == "key.head.raise"
    assert not bubble.refusal
    assert "control power" in bubble.text
    assert "head.raise" not in at_the_posts.session.saw.held
    stage.focus = "key.band.run"
    at_the_posts.key_down("/", "?")
    assert stage.page.bubble().anchor == "key.band.run"


def test_an_instructor_can_freeze_the_window(at_short_posts):
    session = at_short_posts.session
    session.instructor.freeze(True)
    at_short_posts.play.go("console")
    at_short_posts.strike("1")
    assert "supply.isolator" not in session.saw.held
    assert at_short_posts.play.coach()[0] == "instructor"
    session.instructor.freeze(False)
    at_short_posts.strike("1")
    assert "supply.isolator" in session.saw.held


def test_what_is_expected_of_a_look_is_kept_for_the_debrief(at_short_posts):
    at_short_posts.click("tab.inspect")
    at_short_posts.click("inspect.expect.sound")
    at_short_posts.click("inspect.stop-play")
    assert at_short_posts.session.seen.looks[-1].expected == "sound"
    assert at_short_posts.play.expect == ""
    at_short_posts.click("inspect.stop-plunger")
    assert at_short_posts.session.seen.looks[-1].expected == ""


def test_a_set_point_that_an_inspection_reads_is_not_read_for_nothing_in_a_drill(at_short_posts):
    points = at_short_posts.play.points
    row = next(r for r in points.rows if r.name == "head.stop_plunger")
    assert points.read(row) is None
    at_short_posts.play.inspect("stop-plunger")
    at_short_posts.hands_back()
    assert points.read(row) == "home"
    other = next(r for r in points.rows if r.name == "head.stop_notch")
    assert points.read(other) is None
    at_short_posts.play.put("head.stop_notch", 4)
    at_short_posts.hands_back()
    assert points.read(other) == 4
