"""Odd records, their chain and every hash as they must be: what the gate of records has to hold.

    python -m tests.reliability.odd_records --records 10000

makes so many from whole ones, each with one to three things wrong that a person or a disk would not
think of, and gives them to every command that reads records. A record is drawn by seed and number and
is drawn again from these: `--first 4711 --records 1`.
"""

import argparse
import contextlib
import copy
import io
import json
import os
import random
import sys
import tempfile
import time
from hashlib import sha256
from pathlib import Path
from unittest import mock

from sim import cli
from sim.debrief.library_entries import read_library
from sim.diagnosis import causes, matrix_from_saw
from sim.errors import DrycycleError
from sim.faults.catalogue import CATALOGUE
from sim.plant.set_points import SET_POINTS
from sim.records.chain import START, hash_of
from sim.records.chain_check import read_chain
from sim.records.kinds import LONGEST_US, EventKind
from sim.records.rows import Worth
from sim.records.seal import fault_seal, hidden_text, opened_text
from sim.resources import shipped
from sim.session import lockout
from sim.session.inspections import INSPECTIONS
from sim.session.opening import open_recorded
from sim.signals import BY_KEY, SIGNALS
from sim.view.play.player import player_from
from sim.words.reader import ENGLISH
from sim.words.speech import read_by

DEEP = json.loads("[" * 300 + "]" * 300)
ODD = (
    None, True, -1, 10**400, 1e308, 0.5, "", "\ud800", "x" * 20_000, "\x1b[2J", [], {}, DEEP,
    {"key": "cut.piece"}, {"key": "cut.piece", "fields": {"length": 10**400}}, ["plunger-on-the-land"],
    2**63, "NaN", "gone",
)  # fmt: skip
GONE = "gone"
DAY_US = 86_400 * 1_000_000
TIMES = (-1, 0, 1, 0.5, DAY_US, LONGEST_US, LONGEST_US + 1, 10**18, 10**400, 2**63, "0", None)
DAYS = ("", "0001-01-01", "9999-12-31", "2026-13-45", "2026-02-30", "20260101", "now", "-1")
OFTEN = "faults: [{name: bar-sensor-wire, intermittent: {period_s: 0.1, share: 0.5}}]"
COMMANDS = ("replay", "debrief", "trace", "instruct", "window")
FEW = (
    "air-regulator-low",
    "oil-low",
    "bar-sensor-wire",
    "guard-open",
)  # causes, or it would take days


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


def whole_records(folder: Path) -> list[list[dict]]:
    """Return the lines of three whole records: of a lesson, and of a practice and a drill of one's own."""
    text = shipped("scenarios").joinpath("rail-posts.yaml").read_text(encoding="utf-8")
    text = (
        text.replace("wanted: 24", "wanted: 2") + "\ninspections: [air-gauge, guards, oil-glass]\n"
    )
    drill = text.replace("mode: practice", "mode: drill") + "faults: [{name: bar-sensor-wire}]\n"
    for name, said_there in (("own", text), ("own-drill", drill)):
        (folder / f"{name}.yaml").write_text(said_there, encoding="utf-8")
    return [
        recorded(folder / "1.jsonl", "02-two-hand-start", hidden=False),
        recorded(folder / "2.jsonl", str(folder / "own.yaml"), hidden=True),
        recorded(folder / "3.jsonl", str(folder / "own-drill.yaml"), hidden=True),
    ]


@contextlib.contextmanager
def few_causes():
    """Have no more than a few causes be told apart."""
    few = {name: CATALOGUE[name] for name in FEW}
    with (
        mock.patch.object(causes, "CATALOGUE", few),
        mock.patch.object(matrix_from_saw, "EVERY", few),  # which names what is kept on the disk
    ):
        yield


def chained(lines: list[tuple[str, dict | str]]) -> str:
    """Return a record of lines, each of a kind and with a content, and every hash as it then must be."""
    text, head = "", START
    for seq, (kind, told) in enumerate(lines):
        if kind == "close" and isinstance(told, dict):
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


def of_kinds(lines: list[dict]) -> list[tuple[str, dict]]:
    """Return the lines of a whole record with their kinds."""
    last = len(lines) - 1
    return [
        ("close" if k == last else "act" if k else "begin", line) for k, line in enumerate(lines)
    ]


def written(lines: list[dict], changed: int, content: dict | str) -> str:
    """Return a record with one line's content changed, and every hash as it then must be."""
    rows = of_kinds(lines)
    kind, _ = rows[changed]
    return chained([*rows[:changed], (kind, content), *rows[changed + 1 :]])


def changed(line: dict, way: tuple[str, ...], value: object) -> dict:
    """Return a line with another value at the end of a way into it, or without what is there."""
    told = copy.deepcopy(line)
    at = told
    for step in way[:-1]:
        at = at[step]
    if value == GONE:
        del at[way[-1]]
    else:
        at[way[-1]] = value
    return told


def ways(line: dict, way: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Return the way to every field of a line, those of a message among them."""
    found = []
    for key, value in line.items():
        if key in ("count", "head") and not way:
            continue
        found.append((*way, key))
        if isinstance(value, dict) and key != "debrief":
            found += ways(value, (*way, key))
    return found


# By chance ------------------------------------------------------------------------------------


def _some(rows, rng, at_least=1):
    return rng.randrange(at_least, len(rows))


def _at(line, way):
    for step in way:
        line = line[step]
    return line


def _odd_value(rows, rng):
    place = _some(rows, rng, 0)
    kind, line = rows[place]
    if found := ways(line):
        rows[place] = kind, changed(line, rng.choice(found), rng.choice(ODD))


def _value_of_another(rows, rng):
    """Put a value where one of another line or field stands, so that its type may be right."""
    place, other = _some(rows, rng), _some(rows, rng)
    here, there = ways(rows[place][1]), ways(rows[other][1])
    same = [way for way in there if any(way[-1] == each[-1] for each in here)]
    if here and there:
        way = rng.choice(same if same and rng.random() < 0.7 else there)
        into = rng.choice([each for each in here if each[-1] == way[-1]] or here)
        rows[place] = rows[place][0], changed(rows[place][1], into, _at(rows[other][1], way))


def _number(rows, rng):
    place = _some(rows, rng)
    line = rows[place][1]
    found = [w for w in ways(line) if isinstance(_at(line, w), int | float)]
    if found:
        way = rng.choice(found)
        value = _at(line, way)
        near = [value + 1, value - 1, -value, value * 10, not value, 1e999]
        with contextlib.suppress(
            OverflowError
        ):  # one that was made huge before stays a whole number
            near += [value / 3, float(value)]
        rows[place] = rows[place][0], changed(line, way, rng.choice(near))


def _time(rows, rng):
    place = _some(rows, rng)
    way = ("last", "at_us") if rows[place][0] == "close" else ("at_us",)
    if isinstance(rows[place][1].get(way[0]), dict if len(way) == 2 else int):
        rows[place] = rows[place][0], changed(rows[place][1], way, rng.choice(TIMES))


def _later(rows, rng):
    """Put everything from a line on off, so that the order stays and the times are absurd."""
    first, by_us = _some(rows, rng), rng.choice((DAY_US, LONGEST_US // 2, LONGEST_US, 10**17))
    for place in range(first, len(rows)):
        kind, line = rows[place]
        for way in (("at_us",), ("last", "at_us")):
            told = line if len(way) == 1 else line.get("last", {})
            if isinstance(told, dict) and isinstance(told.get("at_us"), int):
                line = changed(line, way, told["at_us"] + by_us)
        rows[place] = kind, line


def _drop(rows, rng):
    del rows[_some(rows, rng, 0)]


def _repeat(rows, rng):
    row = rows[_some(rows, rng, 0)]
    rows.insert(_some(rows, rng, 0), copy.deepcopy(row))


def _swap(rows, rng):
    one, other = _some(rows, rng, 0), _some(rows, rng, 0)
    rows[one], rows[other] = rows[other], rows[one]


def _end_early(rows, rng):
    del rows[rng.randrange(1, len(rows)) :]


def _other_kind(rows, rng):
    place = _some(rows, rng, 0)
    rows[place] = rng.choice(["begin", "act", "close", "other"]), rows[place][1]


def _names(rng):
    return rng.choice([
        rng.choice(sorted(BY_KEY)), rng.choice(sorted(CATALOGUE)), rng.choice(sorted(INSPECTIONS)),
        rng.choice(SET_POINTS).name, rng.choice(SIGNALS).tag, rng.choice(sorted(lockout.BY_NAME)),
        "crystal-ball", "I4", "=cmd|' /C calc'!A0", "\u202ename", "../../etc",
    ])  # fmt: skip


def _act(rng, at_us):
    name = _names(rng)
    return rng.choice([
        {"act": "press", "keys": [rng.choice(sorted(BY_KEY))] * rng.choice([1, 1, 2, 20, 21])},
        {"act": "release", "keys": [name]},
        {"act": "set", "name": name, "setting": rng.choice([0, -1e9, 1e300, name, "open", 12.5])},
        {"act": "inspect", "name": name, "expect": rng.choice(["", "faulty", "x" * 4_000])},
        {"act": "lockout", "step": name}, {"act": "load"}, {"act": "diagnose", "name": name},
        {"act": "put_right", "name": name}, {"act": "break_off"},
        {"act": "force", "tag": name, "value": rng.choice([True, False, None, 1])},
        {"act": "jumper", "name": name, "on": rng.choice([True, False])},
        {"act": "note", "text": rng.choice(["", "a", {"key": "cut.piece"}]), "by": rng.choice(["trainee", "instructor", "x"])},
        {"act": "hint", "message": {"key": rng.choice(["session.found", "hint.try", "nowhere"]), "fields": {"found": name}}},
        {"act": "put_in", "name": name, "by": "instructor"},
        {"act": "take_out", "seal": "0" * 64, "by": "instructor"},
        {"act": "put_in", "seal": fault_seal(0, name, ""), "by": "instructor"},
        {"act": "second", "told": rng.choice(["comes Ada", "leaves", f"press {name} in 10", "press head.raise in 1e18"]), "who": "Ada", "by": "instructor"},
        {"act": "freeze", "on": rng.choice([True, False]), "by": "instructor"},
        {"act": "pace", "factor": rng.choice([0, -1, 1e300, 2.0]), "by": "instructor"},
        {"act": "mark", "text": name, "by": "instructor"},
        {"act": rng.choice(["sing", "open"])}, {"event": rng.choice([*map(str, EventKind), "none"]), "message": {"key": "session.found"}},
    ]) | {"at_us": at_us}  # fmt: skip


def _acts(rows, rng):
    """Put acts in that nobody did, some with names that there are not, most in their right order."""
    for _ in range(rng.choice([1, 1, 3, 40])):
        place = min(_some(rows, rng) + 1, len(rows) - 1)
        before = rows[place - 1][1].get("at_us", 0) if isinstance(rows[place - 1][1], dict) else 0
        after = before if isinstance(before, int) and 0 <= before < 10**12 else 0
        rows.insert(place, ("act", _act(rng, after)))


def _opening(rows, rng):
    for place, (kind, line) in enumerate(rows):
        if line.get("act") == "open":
            field, values = rng.choice([
                ("day", DAYS), ("who", ("", "\u202e", "=1+1", "x" * 100)), ("mode", ("lesson", "drill", "", "exam")),
                ("scenario", ("", "no-such", "../x", "02-two-hand-start")), ("machine", ("", "quay-saw", "none")),
                ("scenario_sha256", ("", "0" * 64)), ("seal", ("0" * 64,)), ("path", ("", "/dev/zero", "x" * 4096)),
            ])  # fmt: skip
            rows[place] = kind, line | {field: rng.choice(values)}


def _text(rows, rng):
    """Have the record hold another scenario or machine, its digest put right."""
    nonce = next(
        (
            line["last"].get("nonce", "")
            for k, line in rows
            if k == "close" and isinstance(line.get("last"), dict)
        ),
        "",
    )
    for place, (kind, line) in enumerate(rows):
        if line.get("act") != "open":
            continue
        line = dict(line)
        if rng.random() < 0.3 and isinstance(line.get("machine_text"), str):
            line["machine_text"] = _spoilt(line["machine_text"], rng)
            rows[place] = kind, line
            continue
        with contextlib.suppress(ValueError, KeyError, TypeError, AttributeError):
            sealed = "scenario_sealed" in line
            text = (
                opened_text(line["scenario_sealed"], nonce).decode()
                if sealed
                else line["scenario_text"]
            )
            text = _spoilt(text, rng)
            line["scenario_sha256"] = sha256(text.encode()).hexdigest()
            line["scenario_sealed" if sealed else "scenario_text"] = (
                hidden_text(text.encode(), nonce) if sealed else text
            )
        rows[place] = kind, line


def _spoilt(text, rng):
    lines = text.split("\n")
    place = rng.randrange(len(lines))
    match rng.randrange(6):
        case 0:
            del lines[place]
        case 1:
            lines.insert(place, lines[rng.randrange(len(lines))])
        case 2:
            words = [w for line in lines for w in line.split() if any(map(str.isdigit, w))]
            if words:
                wanted, to = (
                    rng.choice(words),
                    rng.choice(["0", "1e308", "-1", ".nan", "1", "99999"]),
                )
                lines = [line.replace(wanted, to) for line in lines]
        case 3:
            lines[place] = lines[place][: rng.randrange(len(lines[place]) + 1)]
        case 4:
            lines = [*(line for line in lines if not line.startswith("faults:")), OFTEN]
        case _:
            lines.append(
                rng.choice(
                    ["steps: []", "faults: []", "&a [*a]", "\t", "mode: lesson", "inspections: []"]
                )
            )
    return "\n".join(lines)


def _closing(rows, rng):
    for place, (kind, line) in enumerate(rows):
        if kind == "close" and isinstance(line.get("last"), dict):
            last = dict(line["last"])
            field, values = rng.choice([
                ("summary", (None, GONE, last.get("summary", {}) | {"score": rng.choice([-1, 101, 10**400, 1e999, True, "100"])} if isinstance(last.get("summary"), dict) else {})),
                ("nonce", ("", "0" * 200, "\u202e")), ("state", ("0" * 64,)), ("faults", ([], ["oil-low"], ["crystal-ball"])),
                ("sealed", ([], ["oil-low"] * 3, ["crystal-ball", "oil-low"])), ("debrief", (None, {}, {"score": 10**400}, {"a": DEEP})),
                ("at_us", (0, DAY_US, LONGEST_US)),
            ])  # fmt: skip
            rows[place] = (
                kind,
                changed(line, ("last", field), rng.choice(values)) if field in last else line,
            )


CHANGES = (
    _odd_value, _odd_value, _value_of_another, _value_of_another, _number, _number, _time, _later, _drop,
    _repeat, _swap, _end_early, _other_kind, _acts, _acts, _acts, _opening, _text, _closing, _closing,
)  # fmt: skip


def odd_record(whole: list[list[dict]], seed: int, number: int) -> str:
    """Return the odd record of a number, made from one of some whole ones."""
    rng = random.Random(f"{seed}/{number}")
    rows = copy.deepcopy(of_kinds(rng.choice(whole)))
    for _ in range(rng.choice([1, 1, 2, 3])):
        if len(rows) > 1:
            rng.choice(CHANGES)(rows, rng)
    text = chained(rows)
    if rng.random() < 0.05:
        text = text[: rng.randrange(len(text))]
    return text


# What the commands make of them ---------------------------------------------------------------


def said(*words: object) -> tuple[int, str, str]:
    """Return the exit code, output and errors of the command `drycycle` with some words."""
    out, err = io.StringIO(), io.StringIO()
    with (
        mock.patch.object(sys, "argv", ["drycycle", *map(str, words)]),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            cli.main()
        except SystemExit as ended:
            code = ended.code
        finally:
            read_by(ENGLISH)
    return code or 0, out.getvalue(), err.getvalue()


def fine(code: int, out: str, err: str) -> bool:
    """Return whether a command did what was asked, or refused in one sentence."""
    one_line = code != 2 or err.count("\n") == 1
    return code in (0, 1, 2) and "Traceback" not in out + err and one_line


def tried(path: Path, command: str, out: Path) -> str:
    """Return what is wrong with how a command takes a record; nothing where it is fine."""
    if command == "window":
        with contextlib.suppress(DrycycleError):
            player_from(path)
        return ""
    more = {"trace": ("-o", out / "out.vcd"), "debrief": ("-o", out / "out.html")}.get(command, ())
    told = said(command, path, *more)
    return "" if fine(*told) else f"{path.name} {command}: {told[0]} {told[2][-300:]}"


def main() -> int:
    """Try the commands on so many odd records; return 1 where one did not answer as it should."""
    ask = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    ask.add_argument("--records", type=int, default=100)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument("--seed", type=int, default=13)
    ask.add_argument("--minutes", type=float, default=1e9)
    given = ask.parse_args()
    until_s = time.monotonic() + given.minutes * 60
    wrong: list[str] = []
    slowest, done = (0.0, ""), 0
    with tempfile.TemporaryDirectory() as place, few_causes():
        folder = Path(place)
        os.environ.update(DRYCYCLE_HOME=place, DRYCYCLE_LANGUAGE="en")
        records = folder / "records"
        records.mkdir()
        whole = whole_records(folder)
        for number in range(given.first, given.first + given.records):
            path = records / f"{number}.jsonl"
            path.write_text(odd_record(whole, given.seed, number), encoding="utf-8")
            for command in COMMANDS:
                began_s = time.monotonic()
                try:
                    told = tried(path, command, folder)
                except Exception as fault:  # noqa: BLE001 - that there is none is what is tried
                    told = f"{path.name} {command}: {fault!r}"
                slowest = max(slowest, (time.monotonic() - began_s, f"{command} {number}"))
                if told:
                    wrong.append(told)
                    print(told, flush=True)
            done += 1
            if len(list(records.iterdir())) >= 100 or time.monotonic() > until_s:
                wrong += _over_folder(records, folder)
                print(f"{done} tried, {len(wrong)} wrong", flush=True)
            if time.monotonic() > until_s:
                break
        wrong += _over_folder(records, folder)
        bugs = folder / "bugs.log"
        if bugs.exists():
            print(bugs.read_text()[-3000:])
    print(
        f"{done} odd records from number {given.first}, {len(wrong)} wrong; slowest {slowest[0]:.1f} s: {slowest[1]}"
    )
    return 1 if wrong else 0


def _over_folder(records, folder):
    """Open Home, `next` and `class` over what lies in the folder, and empty it."""
    if not any(records.iterdir()):
        return []
    wrong = []
    try:
        read_library()
    except Exception as fault:  # noqa: BLE001 - that there is none is what is tried
        wrong.append(f"home: {fault!r}")
    for words in (
        ("class", records, "--json"),
        ("class", records),
        ("next",),
        ("next", "--who", "bench-07"),
        ("list", "scenarios"),
    ):
        told = said(*words)
        if not fine(*told):
            wrong.append(f"{words}: {told[0]} {told[2][-300:]}")
    for each in wrong:
        print(each, flush=True)
    for path in records.iterdir():
        path.unlink()
    return wrong


if __name__ == "__main__":
    raise SystemExit(main())
