"""The debrief in the window leads on, and marks the looks that told nothing new as every other debrief does."""

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.proposals import LEFT
from sim.pilot.lesson_pilot import play_lesson
from sim.session.opening import open_session
from sim.view.pages.debrief_page import DebriefPage, Onward
from sim.words.message import quoted
from sim.words.speech import tell

from .conftest import person_at


def _nothing() -> None:
    return


def test_a_lesson_that_was_passed_leads_on_to_the_next_one_by_the_last_key_of_the_page():
    person = person_at()
    person.click("home.go")
    assert play_lesson(person.session, person.play.lesson)
    person.app.finish()
    person.frame()
    assert person.app.stage.page.debrief.passed
    assert person.app.stage.stops()[-1].name == "debrief.next"
    assert "Starting with two hands" in person.widget("debrief.next").label

    person.click("debrief.next")

    assert person.session.origin.scenario == "02-two-hand-start"


def test_a_lesson_that_was_not_passed_leads_to_itself():
    person = person_at()
    person.click("pick.03-load-and-clamp")
    person.app.finish()
    person.frame()
    assert "Load and clamp" in person.widget("debrief.next").label

    person.click("debrief.next")

    assert person.session.origin.scenario == "03-load-and-clamp"


def test_what_comes_after_a_drill_is_what_home_goes_on_with():
    person = person_at()
    person.app.open("posts-come-out-short")
    person.app.finish()
    person.frame()
    led = person.widget("debrief.next").label
    person.app.home()
    why = person.app.stage.page.library.why

    assert tell(why) in led


@pytest.mark.parametrize("size", [(1280, 720), (3840, 2160)])
def test_the_key_that_leads_on_is_44_px_high(size):
    person = person_at(size)
    found = debrief(open_session("rail-posts", nonce="for tests"))
    onward = Onward(quoted("Coolant"), LEFT, _nothing)
    person.app.stage.show(DebriefPage(found, None, _nothing, None, None, onward=onward))
    assert min(person.widget("debrief.next").rect.size) >= 44


def test_a_look_made_to_prove_what_was_named_is_not_said_to_have_told_nothing():
    session = open_session("posts-come-out-short", nonce="for tests")
    for name in ("stop-play", "stop-play"):
        session.inspect(name)
    session.diagnose("stop-from-below")
    session.put_right("stop-from-below")
    session.inspect("stop-play")
    found = debrief(session)
    assert [step.redundant for step in found.steps if step.look] == [False, True, True]
    person = person_at()
    page = DebriefPage(found, None, _nothing, None, None)
    page.show("belief")
    person.app.stage.show(page)
    person.frame()
    told = [
        widget.label
        for name, widget in person.app.stage.by_name.items()
        if name.startswith("belief.") and "Try the length stop for play" in widget.label
    ]

    assert ["nothing new" in each for each in told] == [False, True, False]
