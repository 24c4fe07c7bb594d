"""What is typed wrongly at the command line is told by its own cause, and what cures it."""

import io
import sys

import pytest

from sim.debrief.debrief import finish
from sim.logic.proof.moves import Scope
from sim.scenario import library
from sim.session.opening import open_recorded
from sim.view.pages.tabs import SHEETS


def _record(path, who=""):
    path.parent.mkdir(parents=True, exist_ok=True)
    finish(open_recorded("rail-posts", path, who))


def test_next_refuses_a_folder_that_is_not_there_and_a_person_nobody_is(drycycle, tmp_path):
    assert drycycle("next")[0] == 0  # with no records yet
    code, out, err = drycycle("next", "--folder", tmp_path / "nowhere")
    assert (code, out) == (2, "")
    assert "there is no such folder" in err

    _record(tmp_path / "records" / "one.jsonl", "bench-07")
    folder = tmp_path / "records"
    assert drycycle("next", "--folder", folder, "--who", "bench-07")[0] == 0
    code, out, err = drycycle("next", "--folder", folder, "--who", "bench-70")
    assert (code, out) == (2, "")
    assert "no finished session is of bench-70; the nearest name is bench-07" in err


def test_class_of_a_file_says_that_it_is_one(drycycle, tmp_path):
    _record(tmp_path / "one.jsonl")

    code, _, err = drycycle("class", tmp_path / "one.jsonl")

    assert code == 2
    assert "this is a file, and no folder; name a folder with records" in err


def test_a_record_that_is_not_there_has_nothing_to_do_with_the_disk(drycycle, tmp_path):
    code, _, err = drycycle("debrief", tmp_path / "nothere.jsonl")

    assert code == 2
    assert "disk" not in err
    assert "name a session record" in err


def test_a_property_nobody_knows_is_told_before_a_library_is_missed(drycycle, monkeypatch):
    monkeypatch.setattr("sim.extras.find_spec", lambda _library: None)

    code, _, err = drycycle("prove", "nope")
    assert code == 2
    assert "there is no property called 'nope'" in err
    assert "numpy" not in err

    assert "numpy" in drycycle("prove", "dead")[2]


@pytest.mark.parametrize(
    ("file", "says"),
    [("v.txt", "a counterexample is no .txt file"), ("v", "no file without an ending")],
)
def test_a_counterexample_is_written_as_what_it_is(file, says, drycycle, tmp_path):
    code, _, err = drycycle("prove", "dead", "-o", tmp_path / file)

    assert code == 2
    assert says in err
    assert "let it end in .vcd" in err


def test_a_proof_that_holds_says_that_there_is_nothing_to_play(drycycle, monkeypatch):
    monkeypatch.setattr("sim.text.reports.prove_report.SMALLEST", Scope(("MANUAL",), ()))

    code, out, _ = drycycle("prove", "dead", "--quick", "--play", "--text")

    assert code == 0
    assert "Nothing is broken, so there is nothing to play" in out


def test_the_help_of_shot_names_every_sheet(drycycle):
    _, out, _ = drycycle("shot", "--help")
    told = " ".join(out.split()).partition("Which sheet is open: ")[2].partition(".")[0]

    assert told.replace(" or ", ", ").split(", ") == list(SHEETS)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("jumper I99", "there is no interlock or action called 'I99'; the nearest name is I"),
        ("jumper heed.lower", "the nearest name is head.lower"),
        ("jumper foo", "there is no interlock or action called 'foo'"),
        ("jumper head.lower", "jumper needs more than that"),
        ("set shuttle.stop_mm 1e9", "1000000000.0 mm is outside 5 to 600"),
    ],
)
def test_a_line_in_the_terminal_is_refused_for_what_is_wrong_with_it(
    line, says, drycycle, monkeypatch
):
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{line}\n"))

    code, out, _ = drycycle("play", "rail-posts", "--text")

    assert code == 2
    assert says in out.replace("\n  ", " ")


@pytest.mark.parametrize("how", [(), ("--text",)])
def test_an_assessment_is_not_played_without_a_record(how, drycycle, tmp_path):
    asked = tmp_path / "asked.yaml"
    text = library.find("posts-come-out-short").read_text("utf-8")
    asked.write_text(text.replace("mode: drill", "mode: assessment"), "utf-8")

    code, out, err = drycycle("play", asked, "--no-record", *how)

    assert (code, out) == (2, "")
    assert "an assessment is not played without a record" in err


@pytest.mark.parametrize("words", ["dances", "comes", "press", "leaves now"])
def test_what_a_second_person_cannot_be_told_is_refused_in_a_sentence_that_fits(words, drycycle):
    code, _, err = drycycle("instruct", "none.jsonl", "second", *words.split())

    assert code == 2
    assert f"'{words}' does not say what a second person is to do" in err
