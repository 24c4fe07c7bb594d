"""An instructor at the window: faults in and out, freeze, pace, note and mark, all of it in the record."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.resources import shipped
from sim.view.play.instructor_seat import InstructorSeat

from .conftest import person_at


@pytest.fixture
def instructed(at_the_posts):
    at_the_posts.strike("f11")
    return at_the_posts


def _acts(person):
    return [act.kind for act in person.session.done.acts]


def test_opening_the_sheet_is_in_the_record(instructed):
    assert instructed.play.tab == "instructor"
    last = instructed.session.done.acts[-1]
    assert (last.kind, last.by) == ("mark", "instructor")


def test_a_fault_is_put_in_and_taken_out_again(instructed):
    instructed.click("instructor.search")
    instructed.type("air cock")
    instructed.click("instructor.fault.air-cock-shut")
    instructed.click("instructor.put-in")
    assert [fault.name for fault in instructed.session.hidden] == ["air-cock-shut"]
    instructed.click("instructor.take-out")
    assert not instructed.session.hidden
    assert _acts(instructed)[-2:] == ["put_in", "take_out"]


def test_the_trainee_sees_no_name_of_a_fault_once_the_sheet_is_left(instructed):
    instructed.click("instructor.search")
    instructed.type("air cock")
    instructed.click("instructor.fault.air-cock-shut")
    instructed.click("instructor.put-in")
    instructed.strike("escape")
    instructed.frame()
    labels = " ".join(w.label for w in instructed.app.stage.tree.walk())
    assert str(CATALOGUE["air-cock-shut"].title) not in labels
    assert instructed.play.orders == InstructorSeat(instructed.session)
    instructed.strike("f11")
    instructed.frame()
    ticked = [w.name for w in instructed.app.stage.live if w.name.startswith("instructor.fault.")
              and w.face and any(w.face())]  # fmt: skip
    assert not ticked  # the sheet does not tell either


def test_an_order_that_is_refused_says_why_and_is_marked(instructed):
    instructed.click("instructor.fault.variator-forced")
    instructed.click("instructor.take-out")
    assert "it is not hidden in the machine" in str(instructed.play.orders.answer)
    last = instructed.session.done.acts[-1]
    assert last.kind == "mark"
    assert "take-out" in str(last.text)
    assert "variator" not in str(last.text)


def test_freeze_stops_the_machine_and_go_lets_it_on(instructed):
    instructed.click("instructor.freeze")
    assert instructed.session.frozen
    instructed.session.advance_us(1_000_000)
    assert instructed.session.now_s == 0.0
    instructed.click("instructor.freeze")
    assert not instructed.session.frozen
    assert _acts(instructed)[-2:] == ["freeze", "freeze"]


def test_pace_note_and_mark_are_acts_of_the_instructor(instructed):
    instructed.click("instructor.pace.2")
    assert instructed.session.instructor.pace_factor == 2.0
    instructed.click("instructor.text")
    instructed.type("look again")
    instructed.click("instructor.tell")
    assert "look again" in instructed.play.coach()[1]
    instructed.click("instructor.text")
    instructed.type("slow here")
    instructed.click("instructor.mark")
    assert _acts(instructed)[-3:] == ["pace", "note", "mark"]
    assert all("slow here" not in str(event.message) for event in instructed.session.heard.events)


def test_everything_is_reached_by_the_keyboard():
    person = person_at(scenario="rail-posts")
    person.strike("f11")
    for _ in range(len(person.app.stage.stops())):
        person.strike("tab")
        if person.app.stage.focus == "instructor.freeze":
            break
    person.strike("return")
    assert person.session.frozen


def test_in_an_assessment_no_fault_is_put_in_or_taken_out_at_the_trainees_window(tmp_path):
    drill = shipped("scenarios") / "drills" / "posts-come-out-short.yaml"
    asked = tmp_path / "asked.yaml"
    asked.write_text(drill.read_text("utf-8").replace("mode: drill", "mode: assessment"), "utf-8")
    person = person_at(scenario=str(asked))
    person.strike("f11")
    names = person.app.stage.by_name
    assert "instructor.freeze" in names
    assert not any(name.startswith("instructor.fault.") for name in names)
