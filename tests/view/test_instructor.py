"""An instructor at the window: faults in and out, freeze, pace, note and mark, all of it in the record."""

import pytest
from pygame import Surface

from sim.faults.catalogue import CATALOGUE
from sim.records.settings import Settings
from sim.resources import shipped
from sim.session.order_key import key_for
from sim.session.orders import Order
from sim.view.pages.app import App, start_drawing
from sim.view.play.instructor_seat import InstructorSeat

from .conftest import Person, person_at

CODE = "left-7-right"


def coming(person, code=CODE):
    """Open the sheet and type the code."""
    person.strike("f11")
    person.click("instructor.code")
    person.type(code)
    person.click("instructor.unlock")
    return person


@pytest.fixture
def at_the_posts() -> Person:
    """Somebody at the clean job, which was begun with an instructor's code."""
    person = person_at(scenario="rail-posts", code=CODE)
    person.play.go("console")
    person.play.paused = True
    person.frame()
    return person


@pytest.fixture
def instructed(at_the_posts):
    return coming(at_the_posts)


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
    coming(instructed)
    instructed.frame()
    ticked = [w.name for w in instructed.app.stage.live if w.name.startswith("instructor.fault.")
              and w.face and any(w.face())]  # fmt: skip
    assert not ticked  # the sheet does not tell either


def test_an_order_that_is_refused_says_why_and_is_on_the_record(instructed):
    instructed.click("instructor.fault.variator-forced")
    instructed.click("instructor.take-out")
    assert "it is not hidden in the machine" in str(instructed.play.orders.answer)
    last = instructed.session.done.acts[-1]
    assert last.kind == "order_refused"
    assert last.order == "take-out"
    assert all("variator" not in str(event.message) for event in instructed.session.heard.events)


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


# The code ---------------------------------------------------------------------------------


def assessment(tmp_path, code=""):
    drill = shipped("scenarios") / "drills" / "posts-come-out-short.yaml"
    asked = tmp_path / "asked.yaml"
    asked.write_text(drill.read_text("utf-8").replace("mode: drill", "mode: assessment"), "utf-8")
    return person_at(scenario=str(asked), code=code)


def orders_on(person):
    """Return the widgets of the sheet that order anything."""
    return {name for name in person.app.stage.by_name if name.startswith("instructor.")} - {
        "instructor.title", "instructor.words", "instructor.code", "instructor.unlock",
        "instructor.answer", "instructor.none-taken", "instructor.no-faults",
    }  # fmt: skip


def test_nothing_is_ordered_before_the_code_is_typed(at_the_posts):
    at_the_posts.strike("f11")
    assert orders_on(at_the_posts) == set()
    assert "instructor.code" in at_the_posts.app.stage.by_name


def test_a_wrong_code_opens_nothing_and_is_on_the_record(at_the_posts):
    coming(at_the_posts, "left-7-wrong")
    assert orders_on(at_the_posts) == set()
    last = at_the_posts.session.done.acts[-1]
    assert (last.kind, str(last.why)) == ("order_refused", "a wrong code was typed at the window")
    labels = " ".join(w.label for w in at_the_posts.app.stage.tree.walk())
    assert "a wrong code was typed" in labels
    assert "left-7" not in labels


def test_the_code_is_typed_unseen_and_return_takes_it(at_the_posts):
    at_the_posts.strike("f11")
    at_the_posts.click("instructor.code")
    at_the_posts.type(CODE)
    shown = at_the_posts.app.stage.by_name["instructor.code"]
    assert CODE not in str(shown.face())
    at_the_posts.strike("return")
    assert "instructor.freeze" in orders_on(at_the_posts)
    assert at_the_posts.play.orders.code.text == ""


def test_the_code_is_wanted_again_when_the_sheet_was_left(instructed):
    instructed.strike("escape")
    instructed.strike("f11")
    assert orders_on(instructed) == set()


def test_without_a_code_the_sheet_has_no_faults_and_says_how_to_begin_with_one():
    person = person_at(scenario="rail-posts")
    person.strike("f11")
    assert "instructor.freeze" in orders_on(person)
    assert not any(name.startswith(("instructor.fault.", "instructor.put-in"))
                   for name in orders_on(person))  # fmt: skip
    said = person.app.stage.by_name["instructor.no-faults"].label
    assert "--instructor-code" in said


def test_an_order_that_no_widget_offers_is_refused_too():
    person = person_at(scenario="rail-posts")
    person.play.order(Order("put-in", fault="air-cock-shut"))
    assert not person.session.hidden
    assert person.session.done.acts[-1].kind == "order_refused"


def test_an_assessment_without_a_code_takes_no_order_at_the_window(tmp_path):
    person = assessment(tmp_path)
    person.strike("f11")
    assert orders_on(person) == set()
    assert "takes no orders" in person.app.stage.by_name["instructor.none-taken"].label
    person.play.order(Order("freeze"))
    assert not person.session.frozen


def test_an_assessment_with_a_code_takes_every_order_of_whoever_has_it(tmp_path):
    person = coming(assessment(tmp_path, CODE))
    assert {"instructor.freeze", "instructor.second"} <= orders_on(person)
    assert any(name.startswith("instructor.fault.") for name in orders_on(person))


def test_an_order_on_a_fault_in_an_assessment_is_answered_alike_whatever_is_hidden(tmp_path):
    """The trainee may have begun it with a code of his own."""
    person = coming(assessment(tmp_path, CODE))
    answers = {}
    for verb, fault in (
        ("put-in", "stop-from-below"), ("put-in", "variator-forced"), ("put-in", "bundle-clamp-up"),
        ("take-out", "air-cock-shut"), ("take-out", "stop-from-below"),
    ):  # fmt: skip
        person.play.order(Order(verb, fault=fault))
        answers.setdefault(verb, set()).add(str(person.play.orders.answer))

    said = "Ordered: {}. What comes of it is told in the debrief."
    assert answers == {verb: {said.format(verb)} for verb in answers}
    assert _acts(person)[-5:] == [
        "order_refused", "put_in", "order_refused", "order_refused", "take_out",
    ]  # fmt: skip


def test_each_session_that_is_begun_in_a_window_has_the_windows_code():
    start_drawing()
    app = App(Surface((1280, 720)), None, settings=Settings(), code=CODE)
    keys = []
    for name in ("rail-posts", "posts-come-out-short"):
        app.open(name)
        keys.append(app.play.session.order_key)
    app.home()
    assert all(key_for(CODE, key.salt, key.check) == key for key in keys)
    assert keys[0].salt != keys[1].salt
