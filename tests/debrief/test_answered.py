"""A drill whose answer was shown before it was played is practice, in debrief, class report and schedule."""

import shutil
from datetime import date

import pytest

from sim.authoring.search import put_right
from sim.debrief.class_report import class_of, html_of
from sim.debrief.debrief import debrief, finish
from sim.debrief.progress import best_of, done_in, due, records_folder
from sim.debrief.scoring import Outcome
from sim.pilot import autopilot
from sim.records.folder import new_record_path
from sim.scenario import library
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay

DRILL = "posts-come-out-short"
REMARK = "Played after its answer was shown: practice."


def given_up(path, name=DRILL, who="bench-07"):
    """Quit at once; what is hidden stands in the debrief."""
    session = open_recorded(name, path, who)
    finish(session)
    return session


def played_well(path, name=DRILL, who="bench-07"):
    session = open_recorded(name, path, who)
    session.inspect("stop-play")
    session.diagnose("stop-from-below")
    put_right(session, "stop-from-below")
    autopilot.prove(session)
    return session


def test_who_could_read_the_answer_before_has_practised_however_well_it_went(tmp_path):
    given_up(tmp_path / "one.jsonl")

    found = finish(played_well(tmp_path / "two.jsonl"))

    assert found.score == 100
    assert (found.outcome, found.passed) == (Outcome.PRACTISED, False)
    assert REMARK in str(found.why)
    again = replay(tmp_path / "two.jsonl")
    assert again.same
    assert debrief(again.session) == found


def test_the_first_attempt_counts_and_one_after_that_of_somebody_else(tmp_path):
    first = finish(played_well(tmp_path / "one.jsonl"))
    other = finish(played_well(tmp_path / "two.jsonl", who="bench-08"))
    second = finish(played_well(tmp_path / "three.jsonl"))

    assert first.passed
    assert other.passed
    assert not second.passed
    assert REMARK not in str(first.why)


@pytest.mark.parametrize(("mode", "told"), [("drill", True), ("assessment", False)])
def test_a_drill_that_was_broken_off_can_be_read_and_an_assessment_cannot(mode, told, tmp_path):
    file = tmp_path / "short.yaml"
    text = library.find(DRILL).read_text("utf-8").replace("mode: drill", f"mode: {mode}")
    file.write_text(text, "utf-8")
    running = open_recorded(str(file), tmp_path / "one.jsonl")
    assert not open_recorded(str(file), tmp_path / "two.jsonl").origin.answer_known  # one runs
    running.lasting.abandon()

    session = open_recorded(str(file), tmp_path / "three.jsonl")

    assert session.origin.answer_known is told


def test_a_file_that_tells_the_same_under_another_name_is_the_same_drill(tmp_path):
    given_up(tmp_path / "one.jsonl")
    shutil.copy(library.find(DRILL), tmp_path / "mine.yaml")

    again = open_recorded(str(tmp_path / "mine.yaml"), tmp_path / "two.jsonl", "bench-07")
    other = open_recorded("cut-smokes", tmp_path / "three.jsonl", "bench-07")

    assert again.origin.answer_known
    assert not other.origin.answer_known


def test_an_earlier_record_is_found_in_the_record_folder_too_and_a_spoilt_one_is_passed_over(
    tmp_path,
):
    given_up(new_record_path(DRILL), who="bench-09")
    (tmp_path / "spoilt.jsonl").write_text(f"{DRILL}\n{{", "utf-8")

    session = open_recorded(DRILL, tmp_path / "two.jsonl", "bench-09")

    assert session.origin.answer_known


def test_what_hides_nothing_has_no_answer(tmp_path):
    given_up(tmp_path / "one.jsonl", "rail-posts")

    assert not open_recorded("rail-posts", tmp_path / "two.jsonl", "bench-07").origin.answer_known


@pytest.mark.parametrize("recount", [False, True])
def test_the_class_report_tells_it_and_counts_no_pass(recount, tmp_path):
    given_up(tmp_path / "one.jsonl")
    finish(played_well(tmp_path / "two.jsonl"))

    found = class_of(tmp_path, recount=recount)

    assert not found.left_out
    assert found.total.passed == 0
    told = {row.record: str(row.came_to) for row in found.rows}
    assert told == {
        "one.jsonl": "not passed",
        "two.jsonl": "practised, after its answer was shown",
    }
    assert told["two.jsonl"] in html_of(found)


def test_it_is_neither_a_pass_nor_a_miss_of_a_skill_and_another_drill_is_proposed(
    tmp_path, monkeypatch
):
    monkeypatch.setattr("sim.session.opening.today", lambda: "2026-01-10")
    given_up(tmp_path / "one.jsonl", who="")
    finish(played_well(tmp_path / "two.jsonl", who=""))
    monkeypatch.setattr("sim.debrief.progress.records_folder", lambda: tmp_path)

    rows = {each.advice.skill: each for each in due(today=date(2026, 1, 10))}

    assert len(done_in(tmp_path)) == 2
    assert rows["measuring"].advice.attempts == 1
    assert rows["measuring"].advice.passes == 0
    assert rows["measuring"].scenario != DRILL
    assert not best_of(done_in(records_folder()))[DRILL].passed


# Rehearsed ------------------------------------------------------------------------------------

TRIES = {
    "a name": lambda session: session.diagnose("stop-from-below"),
    "a wrong name": lambda session: session.diagnose("band-worn"),
    "a remedy": lambda session: put_right(session, "stop-from-below"),
    "a setting": lambda session: session.set("shuttle_vise.pressure_bar", 50.0),
}
LOOKS = {"nothing": lambda _: None, "a look": lambda session: session.inspect("stop-play")}


@pytest.fixture
def assessment(tmp_path):
    file = tmp_path / "short.yaml"
    text = library.find(DRILL).read_text("utf-8").replace("mode: drill", "mode: assessment")
    file.write_text(text, "utf-8")
    return str(file)


def killed(name, path, does, who="bench-07"):
    session = open_recorded(name, path, who)
    does(session)
    session.lasting.abandon()


@pytest.mark.sampled(2)
@pytest.mark.parametrize("tried", TRIES)
def test_an_assessment_that_was_rehearsed_and_killed_makes_the_next_attempt_practice(
    tried, assessment, tmp_path
):
    killed(assessment, tmp_path / "one.jsonl", TRIES[tried], who="Bench-07")
    session = played_well(tmp_path / "two.jsonl", assessment)
    found = finish(session)

    assert not session.origin.answer_known
    assert found.outcome is Outcome.PRACTISED
    assert "Rehearsed: an earlier attempt at it broke off" in str(found.why)
    assert "Its answer was not shown" in str(found.why)
    again = replay(tmp_path / "two.jsonl")
    assert again.same
    assert debrief(again.session) == found


@pytest.mark.parametrize("seen", LOOKS)
def test_one_that_broke_off_before_anything_was_tried_counts_for_nothing(
    seen, assessment, tmp_path
):
    killed(assessment, tmp_path / "one.jsonl", LOOKS[seen])

    assert finish(played_well(tmp_path / "two.jsonl", assessment)).passed


def test_what_somebody_else_tried_is_no_rehearsal(assessment, tmp_path):
    killed(assessment, tmp_path / "one.jsonl", TRIES["a name"], who="bench-08")

    assert finish(played_well(tmp_path / "two.jsonl", assessment)).passed


def test_the_class_report_says_that_it_was_rehearsed(assessment, tmp_path):
    killed(assessment, tmp_path / "one.jsonl", TRIES["a name"])
    finish(played_well(tmp_path / "two.jsonl", assessment))
    told = {row.record: str(row.came_to) for row in class_of(tmp_path).rows}

    assert told["two.jsonl"] == "practised, after it was rehearsed"


def test_a_pseudonym_is_the_same_in_small_letters_and_in_large(tmp_path):
    given_up(tmp_path / "one.jsonl", who="BENCH-07")

    assert open_recorded(DRILL, tmp_path / "two.jsonl", "bench-07").origin.answer_known
