"""Records with anything in them, their chain as it must be: each command opens or says in one sentence why not.

A sample; `python -m tests.reliability.odd_records --records 10000` is the long run.
"""

import json
from datetime import date

import pytest

from sim.debrief.class_report import class_of
from sim.debrief.debrief import debrief
from sim.debrief.library_entries import read_library
from sim.debrief.progress import due
from sim.diagnosis.matrix_from_saw import MOST_CALLS, matrix_for
from sim.errors import EffortError, RecordError
from sim.kernel.clock import Allowance, Clock
from sim.pilot import autopilot
from sim.records.chain_check import read_chain
from sim.records.kinds import LONGEST_US
from sim.records.rows import Worth
from sim.scenario.scenario import HiddenFault, Intermittent
from sim.session.opening import open_recorded, open_session, read
from sim.session.playback.replay import replay
from sim.view.play.player import player_from
from tests.reliability.odd_records import (
    COMMANDS,
    DAY_US,
    FEW,
    OFTEN,
    changed,
    few_causes,
    fine,
    odd_record,
    said,
    tried,
    whole_records,
    written,
)

SEED = 14  # another than that of the long run
RECORDS = 24


@pytest.fixture
def home(tmp_path, monkeypatch):
    """The program's own folder, with an empty folder for records."""
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    (tmp_path / "home" / "records").mkdir(parents=True)
    with few_causes():
        yield tmp_path / "home"


def test_odd_records_open_or_are_refused_in_a_sentence(home, tmp_path):
    whole = whole_records(tmp_path)
    records = home / "records"
    for number in range(RECORDS):
        text = odd_record(whole, SEED, number)
        (records / f"{number}.jsonl").write_text(text, encoding="utf-8")
    assert (records / "0.jsonl").read_text() == odd_record(whole, SEED, 0)  # by its number alone

    wrong = [tried(path, each, tmp_path) for path in records.iterdir() for each in COMMANDS]
    read_library()

    assert not any(wrong), [each for each in wrong if each]
    for words in (
        ("class", records),
        ("class", records, "--recount"),
        ("next",),
        ("list", "scenarios"),
    ):
        assert fine(*said(*words)), words


# A day of a fault that comes and goes ten times a second ---------------------------------------


@pytest.fixture
def often(home, tmp_path):
    """The lines of a record on a saw with such a fault."""
    whole_records(tmp_path)
    file = tmp_path / "often.yaml"
    text = (tmp_path / "own-drill.yaml").read_text()
    file.write_text(text[: text.index("faults:")] + OFTEN + "\n")
    session = open_recorded(str(file), tmp_path / "often.jsonl")
    session.press("supply.isolator")
    session.advance(5)
    session.close(Worth(80, True, 1.5, 0, 1, 0, 0), {"score": 80})
    return read_chain(tmp_path / "often.jsonl")


def _forged(lines, tmp_path, us, summary=True):
    folder = tmp_path / "class"
    folder.mkdir(exist_ok=True)
    closing = changed(lines[-1], ("last", "at_us"), us)
    if not summary:
        closing = changed(closing, ("last", "summary"), "gone")
    path = folder / "forged.jsonl"
    path.write_text(written(lines, len(lines) - 1, closing))
    return path


def test_a_forged_month_of_it_is_given_up_when_it_is_played(often, tmp_path, monkeypatch):
    monkeypatch.setattr("sim.session.playback.replay.MOST_CALLS", 20_000)
    path = _forged(often, tmp_path, LONGEST_US)
    with pytest.raises(RecordError, match="cannot be played to its end: more than 20"):
        replay(path)
    with pytest.raises(EffortError):
        player_from(path)
    told = said("replay", path)
    assert (told[0], told[2].count("\n")) == (2, 1)


def test_a_class_leaves_out_what_would_take_too_long_and_believes_what_is_told(
    often, tmp_path, monkeypatch
):
    monkeypatch.setattr("sim.debrief.class_report.MOST_CALLS", 20_000)
    path = _forged(often, tmp_path, DAY_US, summary=False)
    ((name, why),) = class_of(path.parent).left_out
    assert name == "forged.jsonl"
    assert "takes too long" in str(why)

    _forged(often, tmp_path, DAY_US)
    (row,) = class_of(path.parent).rows
    assert row.score == 80


def test_a_matrix_that_would_take_too_long_is_given_up_once(monkeypatch):
    monkeypatch.setattr("sim.diagnosis.matrix_from_saw.MOST_CALLS", 3_000)
    fault = HiddenFault(name=FEW[2], intermittent=Intermittent(period_s=0.1, share=0.5))
    drill = read("posts-come-out-short")[0].model_copy(
        update={"inspections": ("air-gauge",), "faults": (fault,)}
    )
    with few_causes():
        faults = []
        for _ in range(2):
            with pytest.raises(EffortError) as fault:
                matrix_for(drill)
            faults.append(fault.value)
    assert faults[0] is faults[1]
    assert MOST_CALLS > 1_000_000


def test_a_debrief_says_that_it_takes_too_long_and_tells_the_rest(monkeypatch):
    monkeypatch.setattr("sim.diagnosis.worlds.MOST_CALLS", 2)
    session = open_session("posts-come-out-short")
    autopilot.power_up(session)
    autopilot.raise_head(session)
    session.inspect("stop-play")
    session.close()

    told = debrief(session)

    assert "takes too long" in str(told.not_weighed)
    assert told.causes


def test_a_clock_with_an_allowance_stops_when_it_is_used_up():
    clock, other, allowance = Clock(), Clock(), Allowance(3)
    clock.allowance = other.allowance = allowance
    for each in (clock, other, clock):
        each.after(1, lambda: None)
    with pytest.raises(EffortError, match="more than 3 things"):
        other.after(1, lambda: None)


# Other figures that nobody would think of -------------------------------------------------------


def test_a_fault_put_in_after_more_than_a_day_is_weighed_like_any_other():
    session = open_session("rail-posts")
    session.advance(86_400)
    session.advance(3_600)
    session.instructor.put_in("oil-low")
    session.inspect("oil-glass")
    session.close()
    with few_causes():
        assert debrief(session).causes


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_what_is_next_is_told_whatever_day_a_record_claims(day, home, tmp_path):
    lines = whole_records(tmp_path)[0]
    at = next(k for k, line in enumerate(lines) if line.get("act") == "open")
    path = home / "records" / "one.jsonl"
    path.write_text(written(lines, at, lines[at] | {"day": day}))
    for today in (date(1, 1, 1), date(2026, 11, 29), date(9999, 12, 31)):
        assert due(today=today)


@pytest.mark.parametrize("score", [10**400, -1, 101, 80.0, True, "80", None])
@pytest.mark.parametrize("command", ["class", "next"])
def test_a_score_that_is_none_is_refused(score, command, home, tmp_path):
    lines = whole_records(tmp_path)[0]
    path = home / "records" / "one.jsonl"
    path.write_text(
        written(lines, len(lines) - 1, changed(lines[-1], ("last", "summary", "score"), score))
    )
    code, out, err = said(command, "--json", *([path.parent] if command == "class" else []))
    assert (code, err) == (1 if command == "class" else 0, "")
    if command == "class":
        assert json.loads(out)["rows"] == []
    read_library()


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "9" * 5_000])
@pytest.mark.parametrize("field", ["minutes", "score", "at_us"])
def test_numbers_that_are_none_are_refused(field, number, home, tmp_path):
    lines = whole_records(tmp_path)[0]
    path = home / "records" / "one.jsonl"
    last = json.dumps(lines[-1]["last"], sort_keys=True, separators=(",", ":"))
    told = {key: value for key, value in lines[-1].items() if key != "last"}
    value = lines[-1]["last"]["summary"].get(field, lines[-1]["last"].get(field))
    body = json.dumps(told, sort_keys=True, separators=(",", ":"))[:-1] + f',"last":{last}}}'
    odd = body.replace(f'"{field}":{value}', f'"{field}":{number}')
    assert odd != body
    path.write_text(written(lines, len(lines) - 1, odd))
    assert said("replay", path)[0] == 2
    assert said("class", path.parent)[0] == 1
    assert said("next")[0] == 0
    read_library()
