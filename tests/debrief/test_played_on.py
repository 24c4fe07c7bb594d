"""A scenario is its digest: an easy file under the name of a drill is no such drill, and no forgery passes."""

import csv
import io
import json
from datetime import date
from hashlib import sha256

import pytest

from sim.debrief.class_report import class_of, csv_of, html_of
from sim.debrief.debrief import finish
from sim.debrief.played_on import scenarios_that_ship
from sim.debrief.progress import best_of, done_in, due, records_folder
from sim.errors import RecordError
from sim.pilot import autopilot
from sim.records.chain_check import read_chain
from sim.records.seal import hidden_text, opened_text, scenario_seal
from sim.scenario import library
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay
from tests.records.chains import ChainWriter

DRILL = "posts-come-out-short"


def played(folder, scenario=DRILL, record="one", cause="stop-from-below", machine=""):
    """Play a drill from a file or by its name, and find its cause; return the record."""
    path = folder / f"{record}.jsonl"
    session = open_recorded(str(scenario), path, "bench-07", machine)
    session.inspect("stop-play")
    session.diagnose(cause)
    session.put_right(cause)
    autopilot.as_found(session, 1)
    autopilot.measure(session)
    finish(session)
    return path


def own_file(folder, name=DRILL, **changed):
    """Write the drill with short posts under a name, with a line more, and with other words in it."""
    text = library.find(DRILL).read_text("utf-8")
    for old, new in {**changed}.items():
        assert old in text
        text = text.replace(old, new)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}.yaml"
    path.write_text(text + "# eased\n", "utf-8")
    return path


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    folder = tmp_path / "home" / "records"
    folder.mkdir(parents=True)
    return folder


def counted(folder):
    """Return how often the skill of the drill was tried, by what is due."""
    [skill] = [each for each in due(folder, "bench-07", date(2030, 1, 1))
               if each.advice.skill == "length stop"]  # fmt: skip
    return skill.advice.attempts


def test_what_ships_counts_by_its_digest_under_any_name(home, tmp_path):
    copy = tmp_path / "my-posts.yaml"
    copy.write_bytes(library.find(DRILL).read_bytes())
    played(home, copy)

    [row] = class_of(home).rows
    assert (row.scenario, row.own, row.on) == (DRILL, "", DRILL)
    assert row.digest == sha256(copy.read_bytes()).hexdigest()
    assert [each.scenario for each in done_in(home)] == [DRILL]
    assert counted(home) == 1


@pytest.mark.parametrize("recount", [False, True])
def test_an_easy_file_under_the_name_of_a_drill_is_told_as_an_own_file(recount, home, tmp_path):
    file = own_file(tmp_path / "mine")
    digest = sha256(file.read_bytes()).hexdigest()
    played(home, file)
    told = f"own file {DRILL} ({digest[:8]})"

    found = class_of(home, recount=recount)

    [row] = found.rows
    assert row.on == told
    assert (found.total.sessions, found.total.own) == (1, 1)
    assert told in html_of(found)
    [line] = csv.DictReader(io.StringIO(csv_of(found)))
    assert (line["scenario"], line["own"]) == (told, "file")


def test_an_own_file_counts_towards_nothing(home, tmp_path):
    played(home, own_file(tmp_path / "mine"))

    assert [each.scenario for each in done_in(home)] == [""]
    assert DRILL not in best_of(done_in(records_folder()))
    assert counted(home) == 0


def test_a_drill_on_a_saw_of_ones_own_is_told_as_that_and_counts_towards_nothing(home, tmp_path):
    saw = tmp_path / "slow-saw.yaml"
    saw.write_text("title: A slow saw\nshuttle: {speed_mm_s: 60}\n", "utf-8")
    played(home, DRILL, "two", machine="harbour-saw")
    played(home, DRILL, machine=str(saw))

    own, shipped = class_of(home).rows
    assert own.on.startswith(f"{DRILL} on a saw of its own (")
    assert shipped.on == DRILL
    assert counted(home) == 1


def test_the_command_line_says_so_too(drycycle, home, tmp_path):
    file = own_file(tmp_path / "mine")
    record = played(home, file)
    told = f"own file {DRILL} ({sha256(file.read_bytes()).hexdigest()[:8]})"

    assert told in " ".join(drycycle("class", home)[1].split())
    assert json.loads(drycycle("class", home, "--json")[1])["rows"][0]["scenario"] == told
    assert told in " ".join(drycycle("debrief", record)[1].split())
    page = tmp_path / "page.html"
    assert drycycle("debrief", record, "-o", page)[0] == 0
    assert told in page.read_text("utf-8")


def test_every_shipped_scenario_has_a_digest_of_its_own():
    assert sorted(scenarios_that_ship().values()) == sorted(library.names())


# Forged -----------------------------------------------------------------------------------


def forged(record, opening=None, closing=None):
    """Write a record anew, chain and all, with other things in its opening and closing."""
    _, first, *rest, last = read_chain(record)
    record.unlink()
    with ChainWriter(record, durable=False) as writer:
        writer.append({**first, **(opening(first, last["last"]) if opening else {})})
        for line in rest:
            writer.append(line)
        end = last["last"]
        writer.close({**end, **(closing(end) if closing else {})})
    return record


def shipped_digest(_opening, _closing):
    return {"scenario_sha256": sha256(library.find(DRILL).read_bytes()).hexdigest()}


def shipped_text(_opening, closing):
    text = library.find(DRILL).read_bytes()
    sealed = {"scenario_sealed": hidden_text(text, closing["nonce"])}
    return shipped_digest(_opening, closing) | sealed


def another_seal(_opening, closing):
    return {"seal": scenario_seal(["variator-forced"], closing["nonce"])}


FORGED = {
    "digest": ("does not fit its digest", True, {"opening": shipped_digest}),
    "mode": ("another mode", True, {"opening": lambda *_: {"mode": "practice"}}),
    "seal": ("otherwise than the record does: the seal", False, {"opening": another_seal}),
    "faults": (
        "otherwise than the record does: the faults", False,
        {"closing": lambda _: {"faults": ["variator-forced"]}},
    ),
    "worth": (
        "comes to something else", False,
        {"closing": lambda end: {"summary": {**end["summary"], "score": 99}}},
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", FORGED)
def test_a_forged_record_is_left_out_and_the_reason_says_which(what, home, tmp_path):
    says, at_once, how = FORGED[what]
    own = what == "digest"
    forged(played(home, own_file(tmp_path / "mine") if own else DRILL), **how)

    recounted, believed = class_of(home, recount=True), class_of(home)

    [(_, why)] = recounted.left_out
    assert says in str(why)
    assert recounted.rows == ()
    assert bool(believed.left_out) == at_once


def test_an_easy_session_under_the_text_of_the_drill_does_not_play_again(home, tmp_path):
    easy = own_file(tmp_path / "mine", **{"stop-from-below": "back-limit-wire"})
    record = forged(
        played(home, easy, cause="back-limit-wire"), opening=shipped_text,
        closing=lambda _: {"faults": ["stop-from-below"]},
    )  # fmt: skip
    with pytest.raises(RecordError, match="the seal"):
        replay(record)

    record.unlink()
    record = forged(
        played(home, easy, cause="back-limit-wire"),
        opening=lambda first, end: (
            shipped_text(first, end) | {"seal": scenario_seal(["stop-from-below"], end["nonce"])}
        ),
        closing=lambda _: {"faults": ["stop-from-below"]},
    )
    [(_, why)] = class_of(home, recount=True).left_out
    assert "comes to something else" in str(why)


def test_the_mode_of_an_own_file_is_held_against_its_text(home, tmp_path):
    record = forged(
        played(home, own_file(tmp_path / "mine")), opening=lambda *_: {"mode": "assessment"}
    )
    with pytest.raises(RecordError, match="otherwise than the record does: the mode"):
        replay(record)


def test_what_a_record_has_of_a_scenario_is_what_was_played(home):
    record = played(home)
    _, first, *_, last = read_chain(record)
    text = opened_text(first["scenario_sealed"], last["last"]["nonce"])
    assert text == library.find(DRILL).read_bytes()
