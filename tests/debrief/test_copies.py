"""A session counts once, however many files tell of it, and a class report tells of its code."""

import csv
import io
import json
import shutil

import pytest

from sim.cli.instructor_code import VARIABLE
from sim.debrief.class_report import class_of, csv_of, html_of
from sim.debrief.debrief import finish
from sim.debrief.progress import done_in
from sim.records.chain_check import read_chain
from sim.session import order_key
from sim.session.opening import open_recorded, read
from tests.records.chains import ChainWriter

CODE = "left-7-right"


@pytest.fixture(autouse=True)
def _quick_keys(monkeypatch):
    monkeypatch.setattr(order_key, "_COST", 16)


def played(path, name="posts-come-out-short", code=""):
    session = open_recorded(name, path, "bench-07", code=code)
    session.inspect("stop-play")
    finish(session)
    return path


def left_out(folder, **how):
    return {name: str(why) for name, why in class_of(folder, **how).left_out}


@pytest.mark.parametrize("recount", [False, True])
def test_copies_count_once_and_are_named_with_what_they_are_a_copy_of(recount, tmp_path):
    one = played(tmp_path / "one.jsonl")
    (tmp_path / "again").mkdir()
    for copy in ("a copy of one.jsonl", "again/one.jsonl"):
        shutil.copy(one, tmp_path / copy)
    played(tmp_path / "other.jsonl")

    found = class_of(tmp_path, recount=recount)

    assert [row.record for row in found.rows] == ["one.jsonl", "other.jsonl"]
    assert found.total.sessions == 2
    assert left_out(tmp_path, recount=recount) == {
        "a copy of one.jsonl": "it is a copy of one.jsonl",
        "again/one.jsonl": "it is a copy of one.jsonl",
    }
    assert len(done_in(tmp_path)) == 2


def test_two_attempts_of_one_drill_are_no_copies(tmp_path):
    for number in range(3):
        played(tmp_path / f"{number}.jsonl")

    assert len(class_of(tmp_path).rows) == len(done_in(tmp_path)) == 3


def test_the_beginning_of_a_record_is_told_as_that_and_another_one_as_broken_off(tmp_path):
    one = played(tmp_path / "one.jsonl")
    lines = one.read_bytes().splitlines(keepends=True)
    (tmp_path / "begun.jsonl").write_bytes(b"".join(lines[:-2]))
    (tmp_path / "torn.jsonl").write_bytes(b"".join(lines[:-1]) + lines[-1][:40])
    session = open_recorded("rail-posts", tmp_path / "killed.jsonl")
    session.lasting.abandon()

    told = left_out(tmp_path)

    assert told["begun.jsonl"] == "it is the beginning of one.jsonl, which goes on"
    assert told["torn.jsonl"] == "it is the beginning of one.jsonl, which goes on"
    assert "broken off" in told["killed.jsonl"]
    assert len(class_of(tmp_path).rows) == 1


def test_of_two_records_of_one_session_that_differ_neither_counts(tmp_path):
    one = played(tmp_path / "one.jsonl")
    lines = read_chain(one)
    header = {
        key: value
        for key, value in lines[0].items()
        if key not in ("record", "format", "engine", "head")
    }
    forged = ChainWriter(tmp_path / "two.jsonl", header, durable=False)
    for line in lines[1:-1]:
        forged.append(line | ({"who": "bench-08"} if line.get("act") == "open" else {}))
    forged.close(lines[-1]["last"])

    told = left_out(tmp_path)

    assert class_of(tmp_path).rows == ()
    assert "of the same session as two.jsonl" in told["one.jsonl"]
    assert "of the same session as one.jsonl" in told["two.jsonl"]
    assert done_in(tmp_path) == ()


def test_a_class_report_tells_whose_code_a_session_was_begun_with(drycycle, tmp_path, monkeypatch):
    text = read("posts-come-out-short")[1].read_text("utf-8")
    asked = tmp_path / "asked.yaml"
    asked.write_text(text.replace("mode: drill", "mode: assessment"), "utf-8")
    folder = tmp_path / "class"
    for record, scenario, code in (
        ("a-none", asked, ""), ("b-own", asked, "mine-is-it"), ("c-right", asked, CODE),
        ("d-drill", "posts-come-out-short", "mine-is-it"),
    ):  # fmt: skip
        played(folder / f"{record}.jsonl", str(scenario), code)

    alone, held = class_of(folder), class_of(folder, code=CODE)
    shown = drycycle("class", folder)[1]
    monkeypatch.setenv(VARIABLE, CODE)
    marked = drycycle("class", folder)[1]
    told = json.loads(drycycle("class", folder, "--json")[1])

    def codes(found):
        return {row.record[0]: row.code for row in found.rows}

    assert codes(alone) == {"a": "none", "b": "one", "c": "one", "d": "one"}
    assert codes(held) == {"a": "none", "b": "another", "c": "instructor", "d": "another"}
    assert [row.record[0] for row in held.rows if row.marked] == ["b"]
    assert {row["record"][0]: row["code"] for row in told["rows"]} == codes(held)
    lines = csv.DictReader(io.StringIO(csv_of(held)))
    assert {line["record"][0]: line["code"] for line in lines} == codes(held)
    assert "MARKED" not in shown
    assert marked.count("MARKED: another one") == html_of(held).count("MARKED") == 1
    assert "the instructor" in marked


def test_the_code_is_asked_for_where_that_is_wanted(drycycle, tmp_path, monkeypatch):
    played(tmp_path / "one.jsonl")
    monkeypatch.delenv(VARIABLE, raising=False)

    code, out, err = drycycle("class", tmp_path, "--instructor-code")

    assert (code, out) == (2, "")
    assert "nobody can be asked" in err
