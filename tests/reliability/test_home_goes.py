"""The record outlasts its file: home removed, the record renamed or cut, the disk full, no place at all."""

import errno
import json
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from pygame import Surface

from sim.debrief.class_report import class_of
from sim.debrief.debrief import finish
from sim.debrief.progress import done_in
from sim.errors import RecordError
from sim.kernel import pacing
from sim.records import lasting, store
from sim.records.chain_check import read_chain
from sim.records.lasting import LastingRecord
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.order_lines import Orders, give
from sim.session.orders import Order
from sim.session.playback.replay import replay
from sim.session.who_may import record_to_tell
from sim.text import page
from sim.text.reports.instruct_report import last_record
from sim.text.typed.console import play
from sim.view.pages.app import App, start_drawing
from sim.view.play import play as play_of

BEFORE, AFTER = ("press supply.isolator", "note before"), ("note after", "wait 2", "note last")


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A home of its own, and a folder for temporary files beside it."""
    folder, temporary = tmp_path / "here" / "home", tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setenv("DRYCYCLE_HOME", str(folder))
    monkeypatch.setattr(page, "WIDTH", 1000)  # a sentence is a line
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    return folder


def home_removed(record):
    shutil.rmtree(record.parent.parent)


def home_and_what_it_lies_in_removed(record):
    shutil.rmtree(record.parent.parent.parent)


def renamed(record):
    record.rename(record.with_name("elsewhere.jsonl"))


def cut(record):
    os.truncate(record, record.stat().st_size - 10)


def emptied(record):
    os.truncate(record, 0)


def grown(record):
    with record.open("ab") as file:
        file.write(b"not a line\n")


def replaced(record):
    record.unlink()
    record.write_text("another file")


HARMS = (
    home_removed, home_and_what_it_lies_in_removed, renamed, cut, emptied, grown, replaced,
)  # fmt: skip


def empty_files(folder):
    return [
        path for path in folder.rglob("*")
        if path.is_file() and not path.stat().st_size and path.suffix == ".jsonl"
    ]  # fmt: skip


def notes_in(path):
    return [act.text for _, act in read_record(path).acts if act.kind == "note"]


def typed(*lines, between=lambda: None):
    """Yield lines, and do something before those after."""
    yield from BEFORE
    between()
    yield from lines


@pytest.mark.parametrize("harm", HARMS)
def test_in_the_terminal_the_trainee_is_told_at_once_and_every_act_is_kept(home, tmp_path, harm):
    session, said = open_recorded("rail-posts", None), []
    asked = session.record_path

    def do_harm():
        harm(asked)
        said.append("HARM")

    code = play(session, typed(*AFTER, between=do_harm), said.append, interactive=False)
    told = [n for n, line in enumerate(said) if "Nothing is lost" in line]
    kept = session.record_path

    assert code == 0
    assert told == [said.index("HARM") + 1]  # before anything else is said
    assert said[-1].endswith(str(kept))
    assert kept != asked
    assert notes_in(kept) == ["before", "after", "last"]
    assert replay(kept).same
    assert empty_files(tmp_path) == []


@pytest.mark.parametrize("harm", HARMS)
def test_in_the_window_the_trainee_is_told_at_once_and_every_act_is_kept(home, harm, monkeypatch):
    start_drawing()
    app = App(Surface((1280, 720)), "rail-posts")
    session = app.play.session
    asked = session.record_path
    session.note("before")
    harm(asked)
    half_a_second_on_s = pacing.wall_s() + 0.5
    monkeypatch.setattr(play_of, "wall_s", lambda: half_a_second_on_s)
    app.tick()
    app.stage.frame()
    kind, said = app.play.coach()
    session.note("after")
    app.finish()

    assert kind == "consequence"
    assert "Nothing is lost" in said
    assert str(session.record_path) in said
    assert notes_in(session.record_path) == ["before", "after"]
    assert replay(session.record_path).same


def test_a_record_that_goes_while_the_debrief_is_worked_out_is_still_named_where_it_lies(home):
    session, said = open_recorded("rail-posts", None), []
    asked, close = session.record_path, session.lasting.close

    def close_and_lose(last):
        close(last)
        home_removed(asked)

    session.lasting.close = close_and_lose
    play(session, iter(BEFORE), said.append, interactive=False)

    assert said[-1].endswith(str(session.record_path))
    assert session.record_path.is_file()
    assert replay(session.record_path).same


# ---- a disk that takes no more


@pytest.fixture
def full(monkeypatch):
    """Folders whose disk is full: nothing in them grows."""
    folders, paths = set(), {}
    os_open, os_write = os.open, os.write

    def opened(path, *rest, **more):
        descriptor = os_open(path, *rest, **more)
        paths[descriptor] = (
            Path(os.fsdecode(path)) if isinstance(path, str | bytes | Path) else None
        )
        return descriptor

    def written(descriptor, octets):
        path = paths.get(descriptor)
        if path is not None and folders.intersection(path.parents):
            raise OSError(errno.ENOSPC, "No space left on device")
        return os_write(descriptor, octets)

    monkeypatch.setattr(store.os, "open", opened)
    monkeypatch.setattr(store.os, "write", written)
    return folders


def test_a_full_disk_sends_the_record_to_another_one(home, tmp_path, full):
    session, said = open_recorded("rail-posts", None), []
    asked = session.record_path
    here, temporary = tmp_path / "here", tmp_path / "temporary"
    lines = typed(*AFTER, between=lambda: full.add(here))

    assert play(session, lines, said.append, interactive=False) == 0
    assert session.record_path.parent == temporary
    assert sum("No space left on device. Nothing is lost" in line for line in said) == 1
    assert said[-1].endswith(str(session.record_path))
    assert replay(session.record_path).same
    assert notes_in(session.record_path) == ["before", "after", "last"]
    assert notes_in_cut(asked) == ["before"]
    assert empty_files(tmp_path) == []


def notes_in_cut(path):
    return [act.text for _, act in read_record(path, allow_cut=True).acts if act.kind == "note"]


@pytest.mark.parametrize("again", ["before the close", "at the close"])
def test_where_every_disk_is_full_it_goes_on_in_memory_and_is_saved_when_there_is_room(
    home, tmp_path, full, again
):
    session, said = open_recorded("rail-posts", None), []
    asked = session.record_path

    def more():
        yield from typed("note in memory", between=lambda: full.add(tmp_path))
        assert session.record_path is None
        if again == "before the close":
            full.clear()
            yield from (f"note {number}" for number in range(70))
            assert session.record_path == asked
        yield "note last"

    close = session.lasting.close

    def room(last):
        full.clear()
        return close(last)

    session.lasting.close = room
    assert play(session, more(), said.append, interactive=False) == 0
    assert sum("goes on in memory" in line for line in said) == 1
    assert sum("There is room again" in line for line in said) == 1
    assert said[-1].endswith(str(asked))
    assert {"before", "in memory", "last"} <= set(notes_in(asked))
    assert replay(asked).same
    assert empty_files(tmp_path) == []
    assert len([*tmp_path.rglob("*.jsonl")]) == 1


def test_what_can_be_saved_nowhere_is_said_and_no_file_is_named(home, tmp_path, full):
    session, said = open_recorded("rail-posts", None), []
    asked = session.record_path
    lines = typed(*AFTER, between=lambda: full.add(tmp_path))
    play(session, lines, said.append, interactive=False)

    assert session.record_path is None
    assert "could not be saved" in said[-1]
    assert "No space left" in said[-1]
    assert notes_in_cut(asked) == ["before"]  # what was acknowledged before lies there still
    assert empty_files(tmp_path) == []


def test_a_record_that_cannot_be_begun_leaves_no_empty_file(home, tmp_path, full):
    full.add(tmp_path)
    with pytest.raises(RecordError, match="No space left") as caught:
        open_recorded("rail-posts", None)

    assert "--no-record" in str(caught.value.what_to_do)
    assert [*tmp_path.rglob("*.jsonl")] == []


def test_no_rescue_file_takes_the_place_of_another(home, tmp_path):
    paths = []
    for number in range(3):
        folder = tmp_path / f"at{number}"
        folder.mkdir()
        record = LastingRecord(folder / "one.jsonl", durable=False)
        shutil.rmtree(folder)
        record.append({"number": number})
        record.close({})
        paths.append(record.path)

    assert len(set(paths)) == 3
    assert [read_chain(path)[1]["number"] for path in paths] == [0, 1, 2]


def test_a_rescued_record_counts_like_any_other_where_it_is_put(home, tmp_path):
    session, said = open_recorded("rail-posts", None, "bench-07"), []
    asked = session.record_path
    play(
        session, typed(*AFTER, between=lambda: home_removed(asked)), said.append, interactive=False
    )
    home.joinpath("records").mkdir(parents=True)
    shutil.move(session.record_path, home / "records")

    assert [each.who for each in done_in(home / "records")] == ["bench-07"]


@pytest.mark.parametrize("harm", [renamed, cut, replaced])
def test_a_record_is_rescued_into_its_own_folder_where_last_and_class_find_it(home, harm):
    session = open_recorded("rail-posts", None, "bench-07")
    asked = session.record_path
    orders = Orders(asked)
    session.note("before")
    harm(asked)
    assert session.record_news()
    rescued = session.record_path

    assert rescued.parent == asked.parent
    assert last_record() == rescued  # one session, though two files are held
    give(rescued, Order("freeze"))
    assert orders.carry_out(session)
    finish(session)
    assert [row.record for row in class_of(rescued.parent).rows] == [rescued.name]
    assert len(done_in(rescued.parent)) == 1


def test_the_pack_in_memory_is_the_record_to_the_last_byte(tmp_path):
    record = LastingRecord(tmp_path / "one.jsonl", {"scenario": "Ø"}, durable=False)
    for at_us in range(2000):
        record.append({"at_us": at_us, "note": 'Ø 60 mm, 木\n\x00 {} \\ "h":"'})
    record.close({"score": 91})
    packed = b"".join(line + b"\n" for line in record._packed.lines())

    assert packed == (tmp_path / "one.jsonl").read_bytes()
    assert json.loads(next(record._packed.lines(2001)))["close"]["count"] == 2001
    assert len(record._packed._pressed) < len(packed) / 40


def test_room_is_looked_for_now_and_then_and_not_at_each_line(tmp_path, full, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    record, looks = LastingRecord(tmp_path / "one.jsonl", durable=False), []
    full.add(tmp_path)
    elsewhere = LastingRecord._elsewhere
    monkeypatch.setattr(
        LastingRecord, "_elsewhere", lambda self: looks.append(1) or elsewhere(self)
    )
    for at_us in range(1000):
        record.append({"at_us": at_us})
    full.clear()
    record.close({})

    assert 10 <= len(looks) <= 1000 // lasting._RARELY + 2
    assert record.path == tmp_path / "one.jsonl"
    assert len(read_chain(tmp_path / "one.jsonl")) == 1002


@pytest.mark.parametrize("harm", [renamed, cut, home_removed])
def test_what_is_left_of_a_record_that_was_rescued_tells_nothing_while_its_session_runs(
    home, tmp_path, harm
):
    session = open_recorded("posts-come-out-short", None)
    session.note("before")
    copy = tmp_path / "copy.jsonl"
    shutil.copy(session.record_path, copy)
    harm(session.record_path)
    assert session.record_news()
    for left in (*home.rglob("*.jsonl"), copy, session.record_path):
        with pytest.raises(RecordError, match="still running"):
            record_to_tell(left, lambda: "")

    session.close()
    assert record_to_tell(session.record_path, lambda: "").closing is not None
