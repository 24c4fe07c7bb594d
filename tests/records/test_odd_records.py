"""Odd values in every field of a record, its hashes put right: told in words, never a traceback.

What does not fit is left out and listed; a record that cannot be used at all is one sentence.
"""

import copy
import itertools
import json
from pathlib import Path

import pytest

from sim.records.chain import START, hash_of
from sim.records.chain_check import read_chain
from sim.records.rows import Worth
from sim.session.opening import open_recorded

DEEP = json.loads("[" * 300 + "]" * 300)
ODD = (
    None, True, -1, 10**400, 1e308, 0.5, "", "\ud800", "x" * 20_000, "\x1b[2J", [], {}, DEEP,
    {"key": "cut.piece"}, {"key": "cut.piece", "fields": {"length": 10**400}}, ["plunger-on-the-land"],
    2**63, "NaN", "gone",
)  # fmt: skip
GONE = "gone"


def recorded(path: Path, name: str, *, hidden: bool) -> list[dict]:
    """Return the lines of a record in which a person does a bit of everything."""
    session = open_recorded(name, path, who="bench-07")
    session.press("supply.isolator")
    session.release("supply.isolator")
    session.set("head.feed_force_n", 130)
    session.set("band.guard", "open")
    session.inspect("air-gauge", "as it should be")
    session.lock_out("tell")
    session.load_bar()
    session.bench.force("B11", True)
    session.bench.jumper("I4")
    session.note("a remark")
    session.take_hint(session.heard.events[-1].message)
    session.instructor.freeze(True)
    session.instructor.freeze(False)
    session.instructor.pace(2.0)
    session.instructor.mark("here")
    if hidden:
        session.diagnose("air-regulator-low")
        session.put_right("oil-low")
        session.instructor.put_in("oil-low")
        session.instructor.take_out("oil-low")
    session.advance(1)
    session.close(Worth(80, True, 1.5, 0, 1, 0, 0), {"score": 80})
    return read_chain(path)


def written(lines: list[dict], changed: int, content: dict | str) -> str:
    """Return a record with one line's content changed, and every hash as it then must be."""
    text, head = "", START
    for seq, line in enumerate(lines):
        last = seq == len(lines) - 1
        kind = "begin" if not seq else "close" if last else "act"
        told = dict(line) if seq != changed else content
        if last:
            told = {"count": seq, "head": head} | {k: v for k, v in told.items() if k == "last"}
        body = (
            told
            if isinstance(told, str)
            else json.dumps(told, sort_keys=True, separators=(",", ":"))
        )
        hash_ = hash_of(kind, seq, head, body)
        text += f'{{"{kind}":{body},"h":"{hash_}","prev":"{head}","seq":{seq}}}\n'
        head = hash_
    return text


def _changed(line: dict, way: tuple[str, ...], value: object) -> dict:
    told = copy.deepcopy(line)
    at = told
    for step in way[:-1]:
        at = at[step]
    if value == GONE:
        del at[way[-1]]
    else:
        at[way[-1]] = value
    return told


def _ways(line: dict, way: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Return the way to every field of a line, those of a message among them."""
    found = []
    for key, value in line.items():
        if key in ("count", "head") and not way:
            continue
        found.append((*way, key))
        if isinstance(value, dict) and key != "debrief":
            found += _ways(value, (*way, key))
    return found


def odd_records(lines: list[dict], of_each: int) -> list[str]:
    """Return records with one odd value each."""
    values = itertools.cycle(ODD)
    return [
        written(lines, seq, _changed(line, way, next(values)))
        for seq, line in enumerate(lines)
        for way in _ways(line)
        for _ in range(of_each)
    ]


COMMANDS = ("debrief", "replay", "trace", "instruct")


def _fine(code: int, out: str, err: str) -> bool:
    return (
        code in (0, 1, 2) and "Traceback" not in out + err and (code != 2 or err.count("\n") == 1)
    )


@pytest.mark.parametrize(
    ("scenario", "hidden", "of_each", "commands"),
    [
        ("02-two-hand-start", False, 2, COMMANDS),
        ("rail-posts", True, 1, ("trace", "instruct")),
    ],
)
def test_an_odd_value_in_any_field_is_told_in_words(
    scenario, hidden, of_each, commands, drycycle, tmp_path
):
    lines = recorded(tmp_path / "whole.jsonl", scenario, hidden=hidden)
    odd = odd_records(lines, of_each)
    folder = tmp_path / "home" / "records"
    folder.mkdir(parents=True)
    for number, text in enumerate(odd):
        (folder / f"{number}.jsonl").write_text(text, encoding="utf-8")

    failed = []
    for number, command in itertools.product(range(len(odd)), commands):
        more = ("-o", tmp_path / "out.vcd") if command == "trace" else ()
        told = drycycle(command, folder / f"{number}.jsonl", *more)
        if not _fine(*told):
            failed.append((number, command, *told))

    assert not failed, failed[:3]
    assert len(odd) > 100


def test_commands_over_a_folder_of_odd_records_list_what_they_leave_out(drycycle, tmp_path):
    lines = recorded(tmp_path / "whole.jsonl", "02-two-hand-start", hidden=False)
    odd = odd_records(lines, 4)
    folder = tmp_path / "home" / "records"
    folder.mkdir(parents=True)
    for number, text in enumerate(odd):
        (folder / f"{number}.jsonl").write_text(text, encoding="utf-8")

    code, out, err = drycycle("class", folder, "--json")
    told = json.loads(out)
    assert (code, err) == (1, "")
    assert len(told["rows"]) + len(told["left_out"]) == len(odd)
    assert len(told["left_out"]) > 40
    for words in (("next",), ("next", "--who", "bench-07"), ("list", "scenarios")):
        assert _fine(*drycycle(*words)), words
