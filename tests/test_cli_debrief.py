"""Debrief, class report and orders from the command line."""

import csv
import io
import json
import os
import subprocess
import sys
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from statistics import mean
from tempfile import TemporaryDirectory

import pytest

from sim.cli.instructor_code import VARIABLE
from sim.debrief.class_report import class_of, csv_of
from sim.debrief.debrief import debrief, finish
from sim.pilot.autopilot import as_found, measure, power_up, whole_job
from sim.records.chain_check import read_chain
from sim.records.rows import Worth
from sim.scenario import library
from sim.session.opening import open_recorded
from sim.session.order_lines import give
from sim.session.orders import Order
from sim.session.playback.replay import replay

CODE = "left-7-right"


@cache
def _played(who, good):
    """Return the record of a drill that was played, well or badly, to its close, and its debrief."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "played.jsonl"
        session = open_recorded("posts-come-out-short", path, who)
        session.inspect("stop-play", "faulty")
        session.diagnose("stop-from-below" if good else "variator-forced")
        session.put_right("stop-from-below")
        if not good:
            session.press("supply.isolator")
            session.set("band.wheel_cover", "open")
            session.inspect("pulley")
            session.set("band.wheel_cover", "closed")
        as_found(session, 1)
        measure(session)
        return finish(session), path.read_bytes()


@cache
def _sawn(who):
    """Return the record of a whole job and its debrief."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "played.jsonl"
        session = open_recorded("rail-posts", path, who)
        whole_job(session)
        return finish(session), path.read_bytes()


def drill(path, *, who="", good=True):
    """Have the record of a drill, played well or badly to its close; return its debrief."""
    found, record = _played(who, good)
    path.write_bytes(record)
    return found


def classroom(folder):
    """Three people, five sessions; return what each came to."""
    folder.mkdir()
    worth = [
        ("bench-02", drill(folder / "a.jsonl", who="bench-02")),
        ("bench-01", drill(folder / "b.jsonl", who="bench-01", good=False)),
        ("bench-01", drill(folder / "c.jsonl", who="bench-01")),
        ("", drill(folder / "d.jsonl")),
    ]
    (folder / "more").mkdir()
    found, record = _sawn("bench-02")
    (folder / "more" / "e.jsonl").write_bytes(record)
    return [*worth, ("bench-02", found)]


# Debrief ----------------------------------------------------------------------------------


def test_a_record_is_debriefed_in_words_as_it_was_at_the_close(drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    found = drill(path, who="bench-07")

    code, out, err = drycycle("debrief", path)

    assert (code, err) == (0, "")
    assert f"Passed, {found.score} of 100." in out
    assert "0:30.0: Try the length stop for play" in out
    assert "100% Length stop approached from the wrong side" in out
    assert "1 cause is still likely" in " ".join(out.split())
    assert "Your way to the cause, and the best plan that heard the report:" in out
    assert "1: you Look: Try the length stop for play. 30 s; the plan Look: " in out
    assert "2: you Named: Length stop approached from the wrong side; the plan " in out
    assert "Up to the name: you 30 s, the plan 45 s." in out
    assert "Your way was cheaper than the plan's: 30 s, and not " in out
    assert "1 of 1 expectation came true." in out


def test_where_nothing_was_named_no_way_is_said_to_end_at_a_name(drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    finish(open_recorded("posts-come-out-short", path))

    _, out, _ = drycycle("debrief", path)

    assert "Up to the name" not in out
    assert (
        "What was wrong was not named: your looks and trials took 0 s, the plan's take 45 s" in out
    )
    assert "95 %" not in out


def test_a_debrief_as_json_has_every_part_of_it(drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    found = drill(path)

    code, out, _ = drycycle("debrief", path, "--json")
    told = json.loads(out)

    assert code == 0
    assert told["same"] is True
    assert (told["score"], told["scenario"]) == (found.score, "posts-come-out-short")
    assert {"parts", "timeline", "steps", "safety", "way_best", "cost", "redundant"} <= set(told)


def test_a_debrief_goes_into_one_page(drycycle, tmp_path):
    record, page = tmp_path / "one.jsonl", tmp_path / "one.html"
    found = drill(record)

    code, out, _ = drycycle("debrief", record, "-o", page)
    text = page.read_text(encoding="utf-8")

    assert code == 0
    assert f"{found.score} of 100" in out
    assert text.startswith("<!DOCTYPE html>")
    assert "http" not in text
    assert "The a " not in text
    assert "Your way was cheaper than the plan" in text
    HTMLParser().feed(text)


@pytest.mark.parametrize("name", ["none.jsonl", "empty.jsonl", "other.jsonl", "edited.jsonl"])
def test_a_debrief_of_what_is_no_whole_record_is_one_line_and_exit_2(name, drycycle, tmp_path):
    drill(tmp_path / "whole.jsonl")
    (tmp_path / "empty.jsonl").write_bytes(b"")
    (tmp_path / "other.jsonl").write_text("{}", encoding="utf-8")
    whole = (tmp_path / "whole.jsonl").read_bytes()
    edited = whole.replace(b'"stop-from-below"', b'"variator-forced"', 1)
    (tmp_path / "edited.jsonl").write_bytes(edited[: edited.rindex(b'{"close"')])

    code, out, err = drycycle("debrief", tmp_path / name)

    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert name in err


@pytest.mark.parametrize("torn", [0, 40], ids=["at a line's end", "in a line"])
def test_a_record_that_ends_early_is_debriefed_and_replayed_as_far_as_it_goes(
    torn, drycycle, tmp_path
):
    whole, cut = tmp_path / "whole.jsonl", tmp_path / "cut.jsonl"
    drill(whole)
    lines = whole.read_bytes().splitlines(keepends=True)
    mended = next(i for i, line in enumerate(lines) if b'"act":"put_right"' in line)
    cut.write_bytes(b"".join(lines[: mended + 1]) + lines[mended + 1][:torn])
    note = f"The record ends early, after line {mended + 1}"

    code, out, err = drycycle("debrief", cut)
    assert code == 0
    assert note in err
    assert (
        "What you named or put right up to there: Length stop approached from the wrong side."
        in out
    )
    assert "A piece of" not in out

    code, out, err = drycycle("replay", cut)
    assert code == 0
    assert note in err
    assert "The same, as far as it goes." in out

    for command in ("debrief", "replay"):
        code, out, err = drycycle(command, cut, "--json")
        told = json.loads(out)
        assert (code, told["same"]) == (0, True)
        assert note in told["ends_early"]
        assert json.loads(drycycle(command, whole, "--json")[1])["ends_early"] == ""

    home = tmp_path / "home" / "records"
    home.mkdir(parents=True)
    (home / "cut.jsonl").write_bytes(cut.read_bytes())
    code, out, err = drycycle("trace", "last", "-o", tmp_path / "cut.vcd")
    assert code == 0
    assert note in err


def test_a_record_cut_before_its_first_act_says_that_nothing_is_in_it(drycycle, tmp_path):
    drill(tmp_path / "whole.jsonl")
    cut = tmp_path / "cut.jsonl"
    cut.write_bytes((tmp_path / "whole.jsonl").read_bytes().splitlines(keepends=True)[0])

    code, out, err = drycycle("debrief", cut)

    assert (code, out) == (2, "")
    assert "nothing is in it" in err


@pytest.mark.parametrize("name", ["one.pdf", "one.txt", "one"])
def test_a_page_with_another_ending_than_html_is_refused_and_not_written(name, drycycle, tmp_path):
    drill(tmp_path / "one.jsonl")

    code, out, err = drycycle("debrief", tmp_path / "one.jsonl", "-o", tmp_path / name)

    assert (code, out) == (2, "")
    assert "one.html" in err
    assert not (tmp_path / name).exists()


def test_a_page_that_cannot_be_written_says_so(drycycle, tmp_path):
    drill(tmp_path / "one.jsonl")

    code, _, err = drycycle("debrief", tmp_path / "one.jsonl", "-o", tmp_path / "no" / "one.html")

    assert code == 2
    assert "the page cannot be written" in err


# Class ------------------------------------------------------------------------------------


def test_a_class_report_adds_up_to_what_the_sessions_were_worth(tmp_path):
    worth = classroom(tmp_path / "class")
    found = class_of(tmp_path / "class")

    assert len(found.rows) == found.total.sessions == len(worth)
    assert found.left_out == ()
    assert found.total.mean_score == pytest.approx(mean(d.score for _, d in worth))
    assert found.total.critical == sum(len(d.critical) for _, d in worth) > 0
    assert found.total.minutes == pytest.approx(sum(d.minutes for _, d in worth), abs=0.01)
    for person in found.people:
        mine = [d for who, d in worth if who == person.who]
        assert person.sessions == len(mine)
        assert person.passed == sum(d.passed for d in mine)
        assert person.mean_score == pytest.approx(mean(d.score for d in mine))
    assert sum(person.sessions for person in found.people) == found.total.sessions
    assert [row.who for row in found.rows] == sorted(row.who for row in found.rows)


def test_a_recount_plays_every_record_and_comes_to_the_same(tmp_path):
    classroom(tmp_path / "class")

    assert class_of(tmp_path / "class", recount=True) == class_of(tmp_path / "class")


def test_a_recount_leaves_out_a_record_that_tells_more_than_it_was(tmp_path):
    (tmp_path / "class").mkdir()
    session = open_recorded("posts-come-out-short", tmp_path / "class" / "a.jsonl")
    session.close(Worth(100, True, 0, 0, 0, 0, 0))

    believed, recounted = class_of(tmp_path / "class"), class_of(tmp_path / "class", recount=True)

    assert [row.score for row in believed.rows] == [100]
    assert recounted.rows == ()
    assert "comes to something else" in str(recounted.left_out[0][1])


def test_a_record_that_does_not_say_its_worth_is_played_again(tmp_path):
    (tmp_path / "class").mkdir()
    session = open_recorded("posts-come-out-short", tmp_path / "class" / "a.jsonl")
    session.inspect("stop-play")
    session.diagnose("stop-from-below")
    session.close()

    assert [row.score for row in class_of(tmp_path / "class").rows] == [debrief(session).score]


def test_records_that_cannot_be_read_are_left_out_with_their_reason(drycycle, tmp_path):
    folder = tmp_path / "class"
    worth = classroom(folder)
    drill(tmp_path / "other.jsonl", who="bench-09")
    (folder / "z.jsonl").write_bytes((tmp_path / "other.jsonl").read_bytes()[:-60])
    (folder / "a.orders.jsonl").write_text('{"order":"go"}\n', encoding="utf-8")

    code, out, _ = drycycle("class", folder, "--json")
    told = json.loads(out)

    assert code == 1
    assert len(told["rows"]) == len(worth)
    assert [name for name, _ in told["left_out"]] == ["z.jsonl"]
    assert "cut" in told["left_out"][0][1]


def _hands(path, who, *, struck):
    """Play a job in which hands were struck by the jaw, or only in its reach; return its debrief."""
    session = open_recorded("rail-posts", path, who)
    power_up(session)
    session.hold("cutting_vise.release", 4)
    if struck:
        session.hold("cutting_vise.clamp", 4)
        session.put_right("cutting-vise-leaks")
    else:
        session.set("cutting_vise.jaw_gap_mm", 5)
    return finish(session)


def test_a_class_report_says_of_each_person_how_long_hands_were_exposed_and_how_often_struck(
    drycycle, tmp_path
):
    folder = tmp_path / "class"
    folder.mkdir()
    bare = _hands(folder / "a.jsonl", "bench-01", struck=False)
    hit = _hands(folder / "b.jsonl", "bench-02", struck=True)
    _, text, _ = drycycle("class", folder)
    _, told, _ = drycycle("class", folder, "--json")
    drycycle("class", folder, "-o", tmp_path / "c.csv")
    drycycle("class", folder, "-o", tmp_path / "c.html")
    lines = list(csv.DictReader(io.StringIO((tmp_path / "c.csv").read_text(encoding="utf-8"))))
    page = (tmp_path / "c.html").read_text(encoding="utf-8")

    assert (bare.strikes, hit.strikes) == (0, 1)
    assert bare.exposures[0].seconds == 10.0
    people = {person["who"]: person for person in json.loads(told)["people"]}
    assert [people[who]["exposed_s"] for who in ("bench-01", "bench-02")] == [10.0, 0.0]
    assert [people[who]["strikes"] for who in ("bench-01", "bench-02")] == [0, 1]
    assert json.loads(told)["total"]["strikes"] == 1
    assert [(line["exposed_s"], line["strikes"]) for line in lines] == [("10.0", "0"), ("0.0", "1")]
    assert "exposed, s" in text
    assert "struck" in text
    for who, ends in (("bench-01", ["10.0", "0"]), ("bench-02", ["0.0", "1"])):
        mine = [line.split() for line in text.splitlines() if line.strip().startswith(who)]
        # Of the session, which tells of its code too, and of the person.
        assert [line[-3:] for line in mine] == [[*ends, "no"], [mine[1][-3], *ends]]
    assert page.count("Hands struck") == 2
    assert class_of(folder, recount=True) == class_of(folder)


def test_the_class_goes_into_a_table_a_page_and_a_spreadsheet(drycycle, tmp_path):
    worth = classroom(tmp_path / "class")

    code, out, _ = drycycle("class", tmp_path / "class")
    drycycle("class", tmp_path / "class", "-o", tmp_path / "c.html")
    drycycle("class", tmp_path / "class", "-o", tmp_path / "c.csv")
    rows = list(csv.DictReader(io.StringIO((tmp_path / "c.csv").read_text(encoding="utf-8"))))
    page = (tmp_path / "c.html").read_text(encoding="utf-8")

    assert code == 0
    assert "bench-01" in out
    assert sum(int(row["score"]) for row in rows) == sum(d.score for _, d in worth)
    assert page.count("<tr>") == 2 + len(worth) + 4
    assert "http" not in page


def test_a_spreadsheet_takes_no_record_for_a_formula(tmp_path):
    (tmp_path / "class").mkdir()
    drill(tmp_path / "class" / "=1+1.jsonl")

    text = csv_of(class_of(tmp_path / "class"))

    assert next(csv.DictReader(io.StringIO(text)))["record"] == "'=1+1.jsonl"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("class", "nowhere"), "there is no such folder"),
        (("class", "."), "there is no record in the folder"),
        (("class", ".", "-o", "c.pdf"), ".html or .csv"),
    ],
)
def test_a_class_report_that_cannot_be_made_is_one_line_and_exit_2(
    words, says, drycycle, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)

    code, _, err = drycycle(*words)

    assert code == 2
    assert len(err.splitlines()) == 1
    assert says in err


# Who --------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["Ada Lovelace", "=cmd", "x" * 41, "../up", "a\nb"])
def test_a_pseudonym_that_is_none_is_refused_before_there_is_a_record(who, drycycle, tmp_path):
    path = tmp_path / "one.jsonl"

    code, _, err = drycycle("play", "rail-posts", "--text", "--record", path, "--who", who)

    assert code == 2
    assert "no pseudonym" in err
    assert not path.exists()


def test_the_pseudonym_is_in_the_record(drycycle, tmp_path, monkeypatch):
    path = tmp_path / "one.jsonl"
    monkeypatch.setattr("sys.stdin", io.StringIO("wait 5\nquit\n"))

    code, _, _ = drycycle("play", "rail-posts", "--text", "--record", path, "--who", "bench-07")

    assert code == 0
    assert read_chain(path)[1]["who"] == "bench-07"
    assert class_of(tmp_path).rows[0].who == "bench-07"


# Orders -----------------------------------------------------------------------------------


def played_in_a_terminal_of_its_own(path):
    """Return a program that plays the drill with short posts and writes its record."""
    return subprocess.Popen(
        [sys.executable, "-c", "from sim.cli import main; main()",
         "play", "posts-come-out-short", "--text", "--record", str(path), "--instructor-code"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        env={**os.environ, "DRYCYCLE_HOME": str(path.parent), VARIABLE: CODE},
    )  # fmt: skip


@pytest.fixture
def coded(monkeypatch):
    """Have the code in the environment, for nobody can be asked here."""
    monkeypatch.setenv(VARIABLE, CODE)


def test_orders_from_a_second_terminal_reach_a_session_that_runs_in_the_first(
    drycycle, coded, tmp_path
):
    path = tmp_path / "one.jsonl"
    played = played_in_a_terminal_of_its_own(path)
    assert played.stdin is not None
    assert played.stdout is not None
    try:
        while "Type help" not in (line := played.stdout.readline()):
            assert line, "the session ended by itself"
        for words in (("note", "Look at the stop."), ("put-in", "variator-forced"), ("freeze",)):
            assert drycycle("instruct", path, *words)[0] == 0
        played.stdin.write("inspect jaw-gaps\nnote frozen\n")
        played.stdin.flush()
        while "Note. frozen" not in (line := played.stdout.readline()):
            assert line, "the session ended by itself"
        assert drycycle("instruct", path, "go")[0] == 0
        listed = drycycle("instruct", path)[1]
        out, _ = played.communicate("inspect jaw-gaps\nquit\n", timeout=60)
    finally:
        played.kill()

    during, _, after = out.partition("Debrief:")
    assert played.returncode == 0
    assert "The instructor let the machine go on." in during
    assert "Variator" not in during
    assert "Put in: Variator pulley forced at rest." in after
    assert "put-in a sealed fault" in listed
    assert "running" in listed
    assert "variator" not in listed
    assert [look.name for look in _replayed(path).seen.looks] == ["jaw-gaps"]


def _replayed(path):
    again = replay(path)
    assert again.same
    return again.session


def test_last_is_the_newest_record_of_the_folder(drycycle, tmp_path):
    code, _, err = drycycle("instruct", "last", "freeze")
    assert code == 2
    assert "no record" in err

    session = open_recorded("rail-posts", None)
    assert session.record_path is not None
    give(session.record_path, Order("freeze"))
    code, out, _ = drycycle("instruct", "last", "pace", "2", "--json")
    session.close()

    assert code == 0
    assert json.loads(out) == {"record": str(session.record_path), "order": "pace"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("explode",), "there is no order 'explode'"),
        (("unfreeze",), "the order for that is go"),
        (("freez",), "the nearest name is freeze"),
        (("put-in", "stop-from-bellow"), "stop-from-below"),
        (("pace", "0"), "0.25 to 20"),
        (("second", "dance"), "'dance' does not say what a second person is to do"),
        (
            ("second", "press", "cutting_vise.clmap", "in", "4"),
            "the nearest name is cutting_vise.clamp",
        ),
        (("freeze",), "the session is closed"),
    ],
)
def test_an_order_that_cannot_be_given_is_one_line_and_exit_2(words, says, drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    open_recorded("rail-posts", path).close()

    code, out, err = drycycle("instruct", path, *words)

    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert says in err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("take-out", "variator-forced"), "not hidden in this machine"),
        (("put-in", "stop-from-below"), "hidden in this machine already"),
        (("put-in", "bundle-clamp-up"), "changes nothing on this machine"),
    ],
)
def test_an_order_that_would_do_nothing_is_not_confirmed(words, says, drycycle, coded, tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path, code=CODE)
    code, out, err = drycycle("instruct", path, *words)
    session.close()

    assert (code, out) == (2, "")
    assert says in err
    assert not path.with_suffix(".orders.jsonl").exists()


@pytest.mark.parametrize("words", [("put-in", "variator-forced"), ("freeze",), ("note", "a")])
def test_an_order_without_the_code_or_with_another_is_refused_alike(
    words, drycycle, tmp_path, monkeypatch
):
    said = set()
    for number, name in enumerate(("posts-come-out-short", "rail-posts")):
        path = tmp_path / f"{number}.jsonl"
        session = open_recorded(name, path, code=CODE)
        monkeypatch.delenv(VARIABLE, raising=False)
        unasked = drycycle("instruct", path, *words)
        monkeypatch.setenv(VARIABLE, "left-7-wrong")
        wrong = drycycle("instruct", path, *words)
        session.close()
        assert (unasked[0], unasked[1], wrong[0], wrong[1]) == (2, "", 2, "")
        said |= {unasked[2], wrong[2].replace(str(path), "PATH")}
    assert len(said) == 2
    assert any("nobody can be asked" in each for each in said)
    assert any("not the instructor's code" in each for each in said)


def test_a_code_is_asked_twice_without_showing_it(drycycle, tmp_path, monkeypatch):
    asked, answers = [], iter(["left-7-right", "left-7-rigth", "short"])
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(
        "sim.cli.instructor_code.getpass", lambda prompt: (asked.append(prompt), next(answers))[1]
    )
    path = tmp_path / "one.jsonl"
    play = ("play", "rail-posts", "--text", "--record", path, "--instructor-code")

    code, _, err = drycycle(*play)
    assert (code, asked) == (2, ["The instructor's code: ", "Once more: "])
    assert "the two codes are not the same" in err
    code, _, err = drycycle(*play)
    assert (code, len(asked)) == (2, 3)
    assert "give 6 or more" in err
    assert not path.exists()


def test_what_was_ordered_in_can_be_ordered_out_once(drycycle, coded, tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path, code=CODE)
    codes = [
        drycycle("instruct", path, order, "variator-forced")[0]
        for order in ("put-in", "put-in", "take-out", "take-out", "put-in")
    ]
    session.close()

    assert codes == [0, 2, 0, 2, 0]


def test_a_session_whose_program_was_killed_takes_no_orders(drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    played = played_in_a_terminal_of_its_own(path)
    assert played.stdout is not None
    while "Type help" not in (line := played.stdout.readline()):
        assert line, "the session ended by itself"
    alive = drycycle("instruct", path)[1]
    played.kill()
    played.communicate(timeout=60)

    code, out, err = drycycle("instruct", path, "freeze")
    assert (code, out) == (2, "")
    assert "is not running" in err
    assert "running" in alive
    assert "broken off" in drycycle("instruct", path)[1]


def test_a_record_of_a_scenario_file_is_read_beside_that_file_or_says_what_is_wanting(
    drycycle, tmp_path, monkeypatch
):
    here, away = tmp_path / "here", tmp_path / "away"
    here.mkdir()
    away.mkdir()
    text = library.find("posts-come-out-short").read_text(encoding="utf-8")
    (here / "mine.yaml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(here)
    open_recorded("mine.yaml", away / "whole.jsonl").close()
    open_recorded("mine.yaml", away / "one.jsonl").journal._record.abandon()
    assert drycycle("debrief", away / "one.jsonl")[0] == 0

    monkeypatch.chdir(tmp_path)
    assert drycycle("debrief", away / "whole.jsonl")[0] == 0  # it has the scenario in it
    code, _, err = drycycle("debrief", away / "one.jsonl")
    assert code == 2
    assert "mine.yaml, is not here" in err
    assert "beside the record" in err

    (away / "mine.yaml").write_text(text, encoding="utf-8")
    assert drycycle("debrief", away / "one.jsonl")[0] == 0
    assert drycycle("replay", away / "one.jsonl")[0] == 0


# A fault put in, and no closing line ------------------------------------------------------


def put_in_and_going_on(path, *, killed=True):
    """Play a session, whose program ends before the close or after it, in which an instructor shut the air and a trainee looked."""
    session = open_recorded("posts-come-out-short", path)
    session.press("supply.isolator")
    session.inspect("air-gauge")
    session.instructor.put_in("air-cock-shut")
    session.advance(60)
    session.inspect("air-gauge")
    if killed:
        session.journal._record.abandon()
    else:
        session.close()


@pytest.mark.parametrize("command", ["debrief", "replay"])
def test_what_follows_a_seal_that_nothing_opens_is_told_as_recorded(command, drycycle, tmp_path):
    path, whole = tmp_path / "killed.jsonl", tmp_path / "whole.jsonl"
    put_in_and_going_on(path)
    put_in_and_going_on(whole, killed=False)

    code, out, err = drycycle(command, path)
    told = json.loads(drycycle(command, path, "--json")[1])

    assert code == 0
    assert told["same"] is True
    assert "At 0:10.0 the instructor put a fault in" in out
    assert "At 0:10.0 the instructor put a fault in" in told["not_played"]
    assert "for good" not in out + err
    assert "something else" not in out
    if command == "debrief":
        before, _, after = out.replace("\n  ", " ").partition("As recorded, not played again:")
        assert before.count("The air gauge shows 6.0 bar") == before.count("The air gauge") == 2
        assert after.count("The air gauge shows 0.0 bar") == after.count("The air gauge") == 1
        assert "air-cock-shut" not in out

    code, out, err = drycycle(command, whole)
    assert (code, err) == (0, "")
    assert "As recorded" not in out
    assert "the instructor put a fault in" not in out


@pytest.mark.parametrize("put_in", [False, True])
def test_of_an_assessment_that_was_broken_off_nothing_is_said_that_is_not_known(
    put_in, drycycle, coded, tmp_path
):
    file, path, page = (tmp_path / name for name in ("short.yaml", "one.jsonl", "page.html"))
    text = library.find("posts-come-out-short").read_text("utf-8")
    file.write_text(text.replace("mode: drill", "mode: assessment"), "utf-8")
    session = open_recorded(str(file), path, code=CODE)
    session.inspect("stop-play")
    if put_in:
        session.instructor.put_in("air-cock-shut")
    session.inspect("air-gauge")
    session.lasting.abandon()

    code, out, _ = drycycle("debrief", path)
    told = json.loads(drycycle("debrief", path, "--json")[1])
    assert drycycle("debrief", path, "-o", page)[0] == 0
    replayed = json.loads(drycycle("replay", path, "--json")[1])

    assert code == 0
    assert "Not finished." in out
    assert "What you named or put right up to there: nothing." in out
    assert (told["score"], told["parts"], told["passed"]) == (None, [], False)
    assert replayed["score"] is None
    for claim in (
        "of 100", "of 40", "was not named", "still has the fault", "Nothing that was wrong",
        "What you named or put right:", "still wrong:", "No harm was done.",
    ):  # fmt: skip
        assert claim not in out
        assert claim not in page.read_text("utf-8")
    # What an instructor put in is still sealed.
    assert ("What was still wrong there" in out) is not put_in
    assert ("What was wrong at the start" in out) is put_in
    assert ("Was wrong at the start" in page.read_text("utf-8")) is put_in


def test_the_page_of_such_a_record_says_so_too(drycycle, tmp_path):
    path, page = tmp_path / "killed.jsonl", tmp_path / "killed.html"
    put_in_and_going_on(path)

    code, _, _ = drycycle("debrief", path, "-o", page)

    text = page.read_text(encoding="utf-8")
    assert code == 0
    assert "At 0:10.0 the instructor put a fault in" in text
    assert "The air gauge shows 0.0 bar" in text.partition("As recorded, not played again</h2>")[2]


# What is left out, left in, and expected --------------------------------------------------


def test_a_record_that_was_cut_is_told_in_the_spreadsheet_and_beside_it(drycycle, tmp_path):
    folder, sheet = tmp_path / "class", tmp_path / "c.csv"
    folder.mkdir()
    drill(folder / "a.jsonl", who="bench-02")
    drill(tmp_path / "other.jsonl", who="bench-03")
    (folder / "z.jsonl").write_bytes((tmp_path / "other.jsonl").read_bytes()[:-60])

    code, out, _ = drycycle("class", folder, "-o", sheet)
    whole, cut = csv.DictReader(io.StringIO(sheet.read_text(encoding="utf-8")))

    assert code == 1
    assert f"{sheet}: 1 session of 1 person." in out
    assert "Left out: z.jsonl: " in out
    assert (whole["record"], whole["left_out"]) == ("a.jsonl", "")
    assert (cut["record"], cut["score"]) == ("z.jsonl", "")
    assert "cut" in cut["left_out"]


def test_a_force_left_in_at_the_close_costs_care_and_one_taken_out_does_not(tmp_path):
    def care(*values):
        session = open_recorded("rail-posts", tmp_path / f"{len(values)}.jsonl")
        for value in values:
            session.bench.force("B11", value)
        return next(part for part in finish(session).parts if str(part.title) == "Care")

    left_in, taken_out = care(True), care(True, None)

    assert (taken_out.points, str(taken_out.reason)) == (30, "No warning.")
    assert (left_in.points, left_in.of) == (20, 30)
    assert "a force or a jumper was left in" in str(left_in.reason).lower()


def test_what_was_expected_is_told_in_a_sentence(drycycle, tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.inspect("stop-play", "faulty")
    session.inspect("air-gauge", "faulty")
    finish(session)

    _, out, _ = drycycle("debrief", path)
    text = out.replace("\n  ", " ")

    assert "Try the length stop for play: you expected to find something wrong. So it was." in text
    assert "Read the air gauge: you expected to find something wrong. It was not so." in text
