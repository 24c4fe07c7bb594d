"""While a session runs, nothing that is done beside it tells what is hidden in its machine.

The same assessment and the same drill are opened with one cause and another; every command that reads a
record is done beside them, and must say the same words, end with the same code, leave the same files,
and play nothing at all: what is never played takes no longer for one cause than for another.
"""

import json
import os
import re
import shlex
import shutil

import pytest

from sim.cli.commands import DRYCYCLE
from sim.cli.instructor_code import VARIABLE
from sim.diagnosis import matrix_from_saw
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.scenario import library
from sim.session import order_key
from sim.session.opening import open_recorded
from sim.session.order_lines import Orders, orders_path
from sim.session.orders import TAKES, Order, obey
from sim.session.session import Session
from sim.words.reader import ENGLISH, Reader
from sim.words.speech import read_by, tell

CODE = "left-7-right"
CAUSES = ("stop-from-below", "variator-forced", "air-cock-shut", "back-limit-wire")
COMMANDS = (
    ("debrief", "RECORD"), ("debrief", "RECORD", "--json"), ("debrief", "RECORD", "-o", "PAGE.html"),
    ("replay", "RECORD"), ("replay", "RECORD", "--json"), ("trace", "RECORD", "-o", "WIRES.vcd"),
    ("class", "FOLDER"), ("class", "FOLDER", "--json"), ("class", "FOLDER", "--recount"),
    ("class", "FOLDER", "-o", "CLASS.csv"), ("next",), ("next", "--folder", "FOLDER"), ("list",),
    ("instruct", "RECORD"), ("instruct", "RECORD", "--json"), ("instruct", "RECORD", "freeze"),
    *(("instruct", "RECORD", verb, fault) for verb in ("put-in", "take-out") for fault in CAUSES),
    ("instruct", "RECORD", "go"), ("instruct", "RECORD", "pace", "2"), ("instruct", "RECORD", "note", "look"),
    ("instruct", "RECORD", "mark", "here"), ("instruct", "RECORD", "second", "sets band.brush_mm 2"),
)  # fmt: skip
READ_NO_RECORD = {
    "list",
    "check",
    "draw",
    "schema",
    "run",
    "play",
    "shot",
    "print",
    "prove",
    "calc",
    "what",
    "sentences",
}
"""Commands that take no record: what they tell of a scenario they tell whoever has its file."""


@pytest.fixture(autouse=True)
def _quick_keys(monkeypatch):
    """Have a code cost little to try: many are, here."""
    monkeypatch.setattr(order_key, "_COST", 16)


def scenario_with(cause, mode, folder):
    """Return the drill with short posts in a mode and with another cause, as a file of its own."""
    text = library.find("posts-come-out-short").read_text("utf-8")
    text = re.sub(r"^mode: drill$", f"mode: {mode}", text, flags=re.MULTILINE)
    text, changed = re.subn(r"stop-from-below", cause, text)
    assert changed == 1
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "asked.yaml"
    path.write_text(text, "utf-8")
    return path


def begun(cause, mode, folder, code=""):
    """Return a session that runs, with a few acts in it, and its record."""
    record = folder / "one.jsonl"
    session = open_recorded(str(scenario_with(cause, mode, folder)), record, code=code)
    session.press("supply.isolator")
    session.note("looks odd")
    return session, record


@pytest.fixture
def beside(drycycle, tmp_path, monkeypatch):
    """Do a command beside a session in a folder of its own; return all that it tells."""

    def do(words, folder, record):
        names = {"RECORD": record, "FOLDER": folder}
        typed = [str(names.get(word, folder / word if "." in word else word)) for word in words]
        before = {path: path.stat().st_size for path in folder.rglob("*")}
        with monkeypatch.context() as patched:
            patched.setattr(Session, "__init__", played_all_the_same)
            code, out, err = drycycle(*typed)
        new = sorted(path.name for path in folder.rglob("*") if path not in before)
        for path in folder.rglob("*"):
            if path not in before and path.is_file():
                new.append(plain(path.read_text("utf-8", "replace"), folder))
                path.unlink()
        return code, plain(out, folder), plain(err, folder), new

    def plain(text, folder):
        text = text.replace(str(folder), "FOLDER").replace(folder.name, "FOLDER")
        return re.sub(r"[0-9a-f]{8,64}", "DIGEST", text)

    return do


def played_all_the_same(*_words, **_named):
    raise AssertionError("a session was opened to answer")


@pytest.mark.parametrize(
    ("mode", "code"), [("drill", ""), ("assessment", ""), ("assessment", CODE)]
)
def test_every_command_beside_a_running_session_tells_the_same_whatever_is_hidden(
    mode, code, beside, tmp_path, monkeypatch
):
    told = {words: set() for words in COMMANDS}
    for cause in CAUSES:
        folder = tmp_path / cause
        session, record = begun(cause, mode, folder, code)
        if code:
            monkeypatch.setenv(VARIABLE, "left-7-wrong")
        for words in COMMANDS:
            said = beside(words, folder, record)
            told[words].add(repr(said))
            for name in CAUSES:
                assert name not in said[1] + "".join(said[3]), (words, name)
        session.journal._record.abandon()
    assert {words: said for words, said in told.items() if len(said) != 1} == {}


def test_every_command_and_every_order_is_tried_here():
    tried = {words[0] for words in COMMANDS}
    assert tried | READ_NO_RECORD == {command.name for command in DRYCYCLE.commands}
    ordered = {words[2] for words in COMMANDS if words[0] == "instruct" and words[2:]}
    assert ordered - {"--json"} == set(TAKES)


@pytest.mark.parametrize("code", ["", CODE])
def test_every_command_on_an_assessment_that_was_cut_tells_the_same_whatever_is_hidden(
    code, beside, tmp_path, monkeypatch
):
    told = {words: set() for words in COMMANDS}
    for cause in CAUSES:
        folder = tmp_path / cause
        session, record = begun(cause, "assessment", folder, code)
        session.journal._record.abandon()
        if code:
            monkeypatch.setenv(VARIABLE, "left-7-wrong")
        for words in COMMANDS:
            said = beside(words, folder, record)
            told[words].add(repr(said))
            for name in CAUSES:
                assert name not in said[1] + "".join(said[3]), (words, name)
    assert {words: said for words, said in told.items() if len(said) != 1} == {}


@pytest.mark.sampled(2)
@pytest.mark.parametrize("cut", [False, True], ids=["running", "cut"])
def test_no_file_that_is_there_names_the_cause_of_an_assessment(cut, tmp_path, monkeypatch):
    """Record, orders and what else lies in the home folder are searched, octet by octet.

    What is kept lists the whole catalogue, and is the same for every cause.
    """
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    kept = {}
    for cause in CAUSES[:2]:
        monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / f"kept-{len(kept)}"))
        matrix_from_saw._prior_or_not.cache_clear()
        matrix_from_saw._weighed.cache_clear()
        folder = tmp_path / cause.replace("-", "")
        session, _ = begun(cause, "assessment", folder, CODE)
        (folder / "asked.yaml").unlink()  # the instructor's
        session.instructor.put_in("brush-backed-off")
        session.inspect("input-lamps")
        session.diagnose("guard-open")
        matrix_from_saw.matrix_for(session.scenario)
        if cut:
            session.journal._record.abandon()
        titles = [row.title for row in (CATALOGUE[cause], CATALOGUE["brush-backed-off"])]
        words = [cause, "brush-backed-off", *(words for title in titles for words in said(title))]
        files = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
        here = {
            path.name: content
            for path, content in files.items()
            if f"kept-{len(kept)}" in path.parts
        }
        assert len(here) > 2
        kept[cause] = here
        for path, content in files.items():
            if any(part.startswith("kept-") for part in path.parts):
                continue
            found = [word for word in words if word.encode() in path.name.encode() + content]
            assert not found, (path, found)
        if not cut:
            session.journal._record.abandon()
    assert len({repr(here) for here in kept.values()}) == 1


def said(message):
    """Return a message in every language."""
    for language in ("en", "es"):
        read_by(Reader(language=language))
        yield tell(message)
    read_by(ENGLISH)


@pytest.mark.parametrize("copied", [False, True])
@pytest.mark.parametrize("command", ["debrief", "replay", "trace"])
def test_the_record_of_a_running_session_is_not_told_of_even_as_a_copy(
    command, copied, beside, tmp_path
):
    folder = tmp_path / "one"
    session, record = begun(CAUSES[0], "drill", folder)
    if copied:
        shutil.copyfile(record, folder / "copy.jsonl")
        record = folder / "copy.jsonl"
    words = (command, "RECORD", *(("-o", "WIRES.vcd") if command == "trace" else ()))

    code, out, err, new = beside(words, folder, record)

    assert (code, out, new) == (2, "", [])
    assert "the session of this record is still running" in err
    session.close()


def test_a_copy_elsewhere_is_known_by_a_record_in_the_record_folder(drycycle, tmp_path):
    session = open_recorded("posts-come-out-short", None)
    copy = tmp_path / "elsewhere" / "copy.jsonl"
    copy.parent.mkdir()
    shutil.copyfile(session.record_path, copy)

    running = drycycle("debrief", copy)
    session.journal._record.abandon()
    killed = drycycle("debrief", copy)

    assert (running[0], running[1]) == (2, "")
    assert killed[0] == 0


@pytest.mark.parametrize("command", ["debrief", "replay"])
def test_an_assessment_that_was_broken_off_is_told_of_only_with_the_code(
    command, drycycle, beside, tmp_path, monkeypatch
):
    told = set()
    for cause in CAUSES[:2]:
        folder = tmp_path / cause
        session, record = begun(cause, "assessment", folder)
        session.journal._record.abandon()
        told.add(repr(beside((command, "RECORD"), folder, record)))
    assert len(told) == 1
    assert "only to whoever has the instructor's code" in told.pop()

    folder = tmp_path / "coded"
    session, record = begun(CAUSES[0], "assessment", folder, CODE)
    session.journal._record.abandon()
    assert beside((command, "RECORD"), folder, record)[0] == 2  # nobody can be asked
    monkeypatch.setenv(VARIABLE, "left-7-wrong")
    assert "not the instructor's code" in beside((command, "RECORD"), folder, record)[2]
    monkeypatch.setenv(VARIABLE, CODE)
    code, out, _ = drycycle(command, record)
    assert code == 0
    assert "Length stop approached from the wrong side" in out or command == "replay"


@pytest.mark.parametrize("mode", ["drill", "assessment"])
@pytest.mark.parametrize("command", ["debrief", "replay", "trace"])
def test_a_session_that_runs_is_not_told_of_even_with_its_code(
    command, mode, beside, drycycle, tmp_path, monkeypatch
):
    folder = tmp_path / "one"
    session, record = begun(CAUSES[0], mode, folder, CODE)
    monkeypatch.setenv(VARIABLE, CODE)
    words = (command, "RECORD", *(("-o", "WIRES.vcd") if command == "trace" else ()))

    code, out, err, new = beside(words, folder, record)

    assert (code, out, new) == (2, "", [])
    assert "the session of this record is still running" in err
    session.close()
    assert drycycle("debrief", record)[0] == 0


def test_a_code_of_the_trainees_own_tells_nothing_of_an_assessment_that_runs(
    drycycle, tmp_path, monkeypatch
):
    """Every order on a fault is answered and listed alike, whatever is hidden, and played by nobody."""
    monkeypatch.setenv(VARIABLE, CODE)
    told = set()
    for cause in CAUSES:
        session, record = begun(cause, "assessment", tmp_path / cause, CODE)
        said = []
        for words in (
            ("put-in", CAUSES[0]),
            ("take-out", CAUSES[0]),
            ("put-in", "bundle-clamp-up"),
        ):
            with monkeypatch.context() as patched:
                patched.setattr(Session, "__init__", played_all_the_same)
                said.append(drycycle("instruct", record, *words))
            assert said[-1][0] == 0
            assert "what comes of it is told in the debrief" in said[-1][1]
        Orders(record).carry_out(session)
        said.append(drycycle("instruct", record))
        assert "Orders on faults are listed after the close" in said[-1][1]
        assert json.loads(drycycle("instruct", record, "--json")[1])["acts"] == []
        told.add(repr(said))
        session.close()
        assert json.loads(drycycle("instruct", record, "--json")[1])["acts"]
    assert len(told) == 1


def test_without_the_code_no_order_on_a_fault_is_listed(drycycle, tmp_path, monkeypatch):
    session, record = begun(CAUSES[0], "practice", tmp_path / "one", CODE)
    for order in (
        Order("put-in", fault=CAUSES[1]),
        Order("put-in", fault=CAUSES[0]),
        Order("freeze"),
    ):
        obey_or_refuse(session, order)
    listed = {}
    for code in ("", "left-7-wrong", CODE):
        monkeypatch.setenv(VARIABLE, code)
        listed[code] = drycycle("instruct", record)[1]
    session.close()

    assert listed[""] == listed["left-7-wrong"]
    assert "freeze" in listed[""]
    assert "put-in" not in listed[""]
    assert "sealed" not in listed[""]
    assert "put-in a sealed fault" in listed[CODE]
    assert "refused: put-in" in listed[CODE]


def obey_or_refuse(session, order):
    try:
        obey(session, order)
    except CommandError as fault:
        session.instructor.refused(order.order, fault.what)


def test_the_records_of_sessions_that_run_are_named_so_that_they_can_be_typed(
    drycycle, tmp_path, monkeypatch
):
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "my own"))
    sessions = [open_recorded("rail-posts", None) for _ in range(2)]

    code, out, err = drycycle("instruct", "last", "freeze")

    assert (code, out) == (2, "")
    for session in sessions:
        assert shlex.quote(str(session.record_path)) in err or os.name == "nt"
        session.close()


def test_record_and_orders_are_as_long_and_of_the_same_lines_whatever_is_put_in(tmp_path):
    lengths = set()
    for cause in sorted(CATALOGUE):
        session = open_recorded("rail-posts", tmp_path / f"{cause}.jsonl")
        if not session.faults.would_change(CATALOGUE[cause]):
            continue
        session.instructor.put_in(cause)
        lengths.add(session.record_path.read_text().splitlines()[-1].count(""))
        session.journal._record.abandon()
        assert not orders_path(session.record_path).exists()
    assert len(lengths) == 1
