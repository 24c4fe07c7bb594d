"""The steps that a scenario file may ask for: what is refused, where, and in which words; the proof."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft7Validator

from sim.authoring.check import check
from sim.errors import ScenarioError
from sim.scenario import library
from sim.scenario.gate import load
from sim.scenario.schema import json_schema
from sim.scenario.steps import Limits
from sim.session.lessons.amounts import Amount
from sim.session.opening import read, vocabulary
from sim.words.fields import number

AMOUNT = Amount("test.limits", number())
LESSON = """\
title: Mine
mode: lesson
stock:
  material: S275JR
  section: {shape: round, diameter_mm: 60}
  length_mm: 3000
  front_mm: 12
job: {length_mm: 230, wanted: 2}
steps:
  - ask: Switch the isolator on.
    why: It feeds the cabinet.
    goal: {signal: {Q0: true}}
  - ask: Raise the head.
    why: It must be clear.
    goal: GOAL
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "mine.yaml"

    def write(goal, old="", new=""):
        text = LESSON.replace("GOAL", goal)
        assert not old or text.count(old) == 1
        path.write_text(text.replace(old, new) if old else text, encoding="utf-8")
        return str(path)

    return write


@pytest.mark.parametrize(
    ("goal", "place", "says", "advises"),
    [
        ("{signal: {B111: true}}", "15:21", "no signal 'B111'", "B11"),
        ("{signal: {B11: 1}}", "15:26", "true or false was expected, and 1", "true or false"),
        ("{signal: B11}", "15:20", "names and values", "signal: {Q0: true}"),
        ("{signl: {B11: true}}", "15:12", "no name 'signl'", "signal"),
        ("{}", "15:11", "without a condition", "add one of signal"),
        ("{signal: {}}", "15:11", "without a condition", "add one of signal"),
        ("{state: {jop: [EXECUTE]}}", "15:20", "no machine 'jop'", "job"),
        ("{state: {job: [EXECUTING]}}", "15:26", "no state of job 'EXECUTING'", "EXECUTE"),
        ("{state: {job: EXECUTE}}", "15:25", "a list was expected", "job: [EXECUTE]"),
        ("{state: {job: []}}", "15:25", "at least 1", "1"),
        ("{mode: PRODUKTION}", "15:18", "MANUAL, MAINTENANCE, PRODUCTION", "PRODUCTION"),
        ("{mode: {band: AUTO}}", "15:18", "MANUAL, MAINTENANCE, PRODUCTION", "names are"),
        ("{setting: {head.hole: card}}", "15:22", "no set point 'head.hole'", "head.prop"),
        ("{setting: {head.stop_plunger: over}}", "15:41", "home, on the land", "the names are"),
        ("{setting: {head.stop_plunger: {at_least: 1}}}", "15:52", "a range was found", "home"),
        ("{setting: {head.stop_notch: 13}}", "15:39", "limits", "up to 12"),
        ("{setting: {head.stop_notch: {at_most: 13}}}", "15:49", "limits", "up to 12"),
        ("{setting: {head.stop_notch: {at_lest: 3}}}", "15:40", "no name 'at_lest'", "at_least"),
        ("{setting: {head.stop_notch: {}}}", "15:39", "no limits", "at_least"),
        ("{setting: {head.stop_notch: {at_least: 5, at_most: 3}}}", "15:50", "nothing is", "smaller"),
        ("{setting: {head.stop_notch: true}}", "15:39", "a number, a word or a range", "card"),
        ("{backlash: inn}", "15:22", "in, out", "in"),
        ("{speed_m_min: [85]}", "15:25", "a number, a word or a range", "card"),
        ("{speed_m_min: crad}", "15:25", "one of card was expected", "card"),
        ("{measure: {head.hight_mm: {at_least: 3}}}", "15:22", "no measure", "head.height_mm"),
        ("{measure: {head.height_mm: 3}}", "15:38", "names and values", "names and values"),
        ("{pieces: 0}", "15:20", "at least 1", "1"),
        ("{inspected: pully}", "15:23", "no inspection 'pully'", "pulley"),
        ("{lockout: verifed}", "15:21", "no step of the lock-out", "verified"),
        ("{taken: head.up}", "15:19", "no action 'head.up'", "head.raise"),
        ("{loaded: bar}", "15:20", "one of stock", "stock"),
        ("{refused: band.runs}", "15:21", "no action 'band.runs'", "band.run"),
    ],
)  # fmt: skip
def test_a_goal_that_the_machine_does_not_know_is_told_at_its_place(
    file, untold, goal, place, says, advises
):
    path = file(goal)
    with pytest.raises(ScenarioError) as caught:
        read(path)

    assert str(caught.value.where) == f"{path}:{place}"
    assert says in str(caught.value.what)
    assert advises in str(caught.value.what_to_do)
    assert not untold(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ("mode: lesson", "mode: practice", "2:7", "a practice has no steps"),
        ("    why: It must be clear.\n", "", "13:5", "why: it is missing"),
        ("ask: Raise the head.", "ask: ''", "13:10", "0 characters"),
        ("    why: It must be clear.", "    whhy: It must be clear.", "14:5", "no name 'whhy'"),
    ],
)
def test_a_step_that_is_not_whole_is_told_at_its_place(file, untold, old, new, place, says):
    path = file("{signal: {B11: true}}", old, new)
    with pytest.raises(ScenarioError) as caught:
        read(path)

    assert str(caught.value.where) == f"{path}:{place}"
    assert says in str(caught.value.what)
    assert not untold(caught.value)


def test_a_lesson_without_steps_is_no_lesson(tmp_path):
    path = tmp_path / "none.yaml"
    path.write_text(LESSON[: LESSON.index("steps:")], encoding="utf-8")

    with pytest.raises(ScenarioError, match="a lesson has steps, and none was found"):
        read(str(path))


def test_the_schema_offers_an_editor_every_name_that_a_goal_may_use(file):
    schema = json_schema(vocabulary())
    Draft7Validator.check_schema(schema)
    judge = Draft7Validator(schema)
    for name in library.names():
        path = library.find(name)
        assert not list(judge.iter_errors(load(path).value)), path

    for wrong in ("{signal: {B111: true}}", "{state: {job: [EXECUTING]}}", "{taken: head.up}",
                  "{setting: {head.hole: card}}", "{lockout: sefe}", "{mode: AUTO}",
                  "{measure: {head.hight_mm: {at_least: 3}}}", "{inspected: pully}"):  # fmt: skip
        value = load(Path(file(wrong))).value
        assert list(judge.iter_errors(json.loads(json.dumps(value)))), wrong


def test_a_range_reads_as_it_is_said():
    assert str(AMOUNT.range(Limits(at_least=3))) == "at least 3"
    assert str(AMOUNT.range(Limits(at_most=3))) == "at most 3"
    assert str(AMOUNT.range(Limits(at_least=1, at_most=6))) == "1 to 6"
    assert Limits(at_least=1, at_most=6).holds(6)
    assert not Limits(at_most=6).holds(6.1)


# ---- the proof


def failing(path):
    return {str(f.claim.title): str(f.detail) for f in check(path).verdicts if not f.holds}


def test_a_lesson_that_can_be_done_is_proved(file):
    assert failing(file("{signal: {B11: true}, state: {supply: ['ON']}}")) == {}


def test_a_step_that_cannot_be_reached_is_told_with_what_it_wants(file):
    found = failing(file("{state: {supply: ['ON']}, signal: {Q0: false}}"))

    assert list(found) == ["every step can be reached"]
    assert found["every step can be reached"].startswith("1 of 2 steps; step 2 wants: ")


def test_a_step_that_asks_for_nothing_is_told(file):
    assert failing(file("{signal: {Q0: true}}")) == {
        "every step asks for something": "step 2 is done as soon as it is asked"
    }


def test_a_lesson_that_leads_into_harm_is_told(file):
    # The band is never brought to its speed, and the card's feed is for that speed.
    found = failing(file("{cuts: 1}"))

    assert "Teeth stripped" in found["who does as asked harms nothing"]
