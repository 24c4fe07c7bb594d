"""Every debrief ends in what to do next, in the words of the front end that it is read in."""

import pytest

from sim.debrief.course import in_course_order
from sim.debrief.debrief import debrief
from sim.debrief.debrief_html import html
from sim.debrief.what_next import what_next
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario import library
from sim.session.kept.heard import EventKind
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import open_session
from sim.session.shelf import listed
from sim.text.report import report

from .eventful import debrief_by_few


def _played(name, steps=None):
    session = open_session(name)
    play_lesson(session, lesson_of(session), steps)
    return debrief(session)


def test_a_lesson_that_was_passed_leads_to_the_next():
    following = what_next(_played("01-power-up-and-stops"))

    assert (following.scenario, following.again) == ("02-two-hand-start", False)


def test_a_lesson_that_was_left_is_done_again():
    following = what_next(_played("01-power-up-and-stops", 3))

    assert (following.scenario, following.again) == ("01-power-up-and-stops", True)


def test_a_drill_whose_answer_was_shown_is_not_proposed_again():
    found = debrief(open_session("posts-come-out-short"))

    assert not found.passed
    assert what_next(found).scenario != "posts-come-out-short"


def test_after_the_last_of_the_course_and_after_a_file_of_ones_own_no_scenario_is_named(tmp_path):
    last = in_course_order(listed())[-1].name
    own = tmp_path / "mine.yaml"
    own.write_text(
        library.find("rail-posts").read_text("utf-8").replace("wanted: ", "wanted: 1"), "utf-8"
    )

    assert what_next(debrief_by_few(open_session(last))).scenario == ""
    assert what_next(debrief_by_few(open_session(str(own)))).scenario == ""


@pytest.mark.parametrize("name", ["01-power-up-and-stops", "rail-posts", "posts-come-out-short"])
def test_a_debrief_in_the_terminal_ends_in_a_command(name):
    last = str(report(debrief(open_session(name)))[-1])

    assert last.startswith("Next: ")
    assert "drycycle play " in last
    command = last.partition("drycycle play ")[2].partition(". ")[0]
    assert library.find(command).is_file()


def test_the_page_of_a_debrief_tells_it_too_and_that_of_the_last_one_tells_none():
    left = html(_played("01-power-up-and-stops", 3))
    last = html(debrief_by_few(open_session(in_course_order(listed())[-1].name)))

    assert "Next: the same once more, Power up, and the stops (01-power-up-and-stops)." in left
    assert "Next: " not in last


def test_a_step_that_was_done_with_hands_in_danger_is_no_success():
    session = open_session("01-power-up-and-stops")
    session.press("supply.isolator")
    session.inspect("band-over-bar")
    told = [each for each in session.heard.events if "Step 1" in str(each.message)]

    assert [each.kind for each in told] == [EventKind.NOTE]
    assert "not as it should be" in str(told[0].message)


def test_a_step_that_was_done_well_is_one_and_so_is_the_next_after_a_bad_one():
    session = open_session("01-power-up-and-stops")
    session.press("supply.isolator")
    session.inspect("band-over-bar")
    session.tap("supply.reset")
    told = [each.kind for each in session.heard.events if "Step 3" in str(each.message)]

    assert told == [EventKind.STEP]
