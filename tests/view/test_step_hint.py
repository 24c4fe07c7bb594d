"""The hint of a lesson in the window names keys by their caps and sheets by their tabs."""

import re

import pytest

from sim.debrief.step_way import step_way
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario import library
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import open_session
from sim.view.pages.tabs import SHEETS
from sim.view.play import step_hint
from sim.words.speech import tell

LESSONS = [name for name, path in library.entries() if path.parent.name == "lessons"]
_TYPED = re.compile(r"\b[a-z]+(_[a-z]+)*\.[a-z]+(_[a-z]+)*\b|\bThe inspection is\b|\b[Tt]ap\b")


@pytest.mark.parametrize("name", LESSONS)
def test_no_hint_in_the_window_speaks_as_the_terminal_does(name):
    session = open_session(name)
    lesson = lesson_of(session)
    while not lesson.done:
        said = str(step_hint.step_hint(session, step_way(session)))
        assert "On " in said, said
        assert not _TYPED.search(said), said
        assert play_lesson(session, lesson, lesson.number + 1)


@pytest.mark.parametrize("name", LESSONS)
def test_no_hint_of_a_lesson_is_written_for_one_front_end(name):
    for step in open_session(name).scenario.steps:
        assert not _TYPED.search(step.hint or ""), step.hint


@pytest.mark.parametrize(
    ("sheet", "tab"),
    [
        (step_hint.CONSOLE, "console"), (step_hint.WALK, "walk"), (step_hint.INSPECT, "inspect"),
        (step_hint.LOCK_OUT, "lockout"),
    ],
)  # fmt: skip
def test_sheets_are_called_as_their_tabs(sheet, tab):
    assert tell(sheet) == tell(SHEETS[tab].title)


def test_what_stands_in_the_way_is_told_too():
    session = open_session("03-load-and-clamp")
    assert play_lesson(session, lesson_of(session), 2)
    session.set("head.prop", "in")
    session.set("mode.key", "in my pocket")

    assert "key of the mode switch: in the switch" in str(
        step_hint.step_hint(session, step_way(session))
    )


def test_the_feed_valve_is_told_by_its_title_and_sheet():
    session = open_session("05-head-height-feed-and-force")
    assert play_lesson(session, lesson_of(session), 9)
    said = str(step_hint.step_hint(session, step_way(session)))

    assert "On Walk round: feed valve: fastest descent, 0 is fully shut: 0 mm/min" in said
    assert "press HEAD lower" in said
