"""Somebody who begins: three acts to the first step of the first lesson, and the saw answers within a minute."""

import pytest

from .conftest import person_at

ANSWERS_S = 60.0


def _began():
    """Return somebody who has clicked the large button at home and made the look that is asked first: three acts."""
    person = person_at()
    for act in ("home.go", "brief.begin", "inspect.band-over-bar"):
        person.click(act)
    person.frame()
    person.play.tick()
    return person


def test_three_acts_from_the_start_of_the_program_do_the_first_step():
    person = _began()
    assert person.play.lesson.number == 1


def test_the_saw_answers_within_a_minute_and_five_acts():
    person = _began()
    assert not any(person.session.saw.bus.seen[tag] for tag in ("Q0", "K1"))
    person.click("tab.console")
    person.click("key.supply.isolator")
    assert person.session.saw.bus.seen["Q0"]
    assert person.session.now_s <= ANSWERS_S
    person.play.paused = False
    person.click("key.supply.reset")
    person.click("key.supply.control_on")
    assert person.session.saw.controller.image["supply"] == "ON"
    assert person.session.now_s <= ANSWERS_S


@pytest.mark.parametrize("leave", ["f2", "escape", "tab.console"])
def test_going_to_another_sheet_lets_no_time_pass_before_it_is_begun(leave):
    person = person_at()
    person.click("home.go")
    if leave.startswith("tab"):
        person.click(leave)
    else:
        person.strike(leave)
    assert person.play.tab == "console"
    assert person.play.paused
    assert "stands" in person.app.stage.by_name


def test_begin_lets_time_pass_and_coming_back_to_the_brief_does_not():
    person = person_at()
    person.click("home.go")
    person.click("brief.begin")
    assert (person.play.tab, person.play.paused) == ("inspect", False)  # where the first act is lit
    person.wait(1.0)
    person.play.paused = True
    person.strike("f1")
    person.click("brief.begin")
    assert (person.play.tab, person.play.paused) == ("inspect", True)
