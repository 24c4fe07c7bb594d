"""A session that the system ends: by a signal, by a terminal that goes, by a window that is closed."""

import contextlib
import fcntl
import os
import pty
import select
import signal
import subprocess
import sys
import termios
import time
from pathlib import Path

import pygame
import pytest

from sim.errors import CommandError
from sim.records.ending import Ended, asked, listening, whole
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay
from sim.text.typed.console import play
from sim.view.pages.app import App
from sim.view.pages.window import run
from sim.words.message import NOTHING

ROOT = Path(__file__).resolve().parents[2]
MAIN = "import sys; from sim.cli import main; main()"
WINDOW = """
import sys
from pathlib import Path
from sim.errors import CommandError
from sim.records.ending import listening
from sim.view.pages.window import run

with listening():
    run("rail-posts", Path(sys.argv[1]))
"""


@pytest.fixture(autouse=True)
def heard():
    """Have the signals heard as at a terminal, though the tests run under nohup or in the background."""
    heard_by = {
        signal.SIGHUP: signal.SIG_DFL,
        signal.SIGTERM: signal.SIG_DFL,
        signal.SIGINT: signal.default_int_handler,
    }
    before = {number: signal.signal(number, handler) for number, handler in heard_by.items()}
    yield
    for number, handler in before.items():
        signal.signal(number, handler)


def begin(program, *words, home, **options):
    environment = os.environ | {
        "PYTHONPATH": str(ROOT), "DRYCYCLE_HOME": str(home), "TERM": "dumb",
        "SDL_VIDEODRIVER": "dummy",
    }  # fmt: skip
    return subprocess.Popen(
        [sys.executable, "-c", program, *map(str, words)], env=environment, cwd=ROOT, **options
    )


def wait_for(reached, program):
    """Wait until something is so, for as long as the program runs."""
    while not reached():
        assert program.poll() is None
        time.sleep(0.02)


class AtTerminal:
    """A session in a terminal of its own."""

    def __init__(self, tmp_path):
        self.record = tmp_path / "one.jsonl"
        self.master, slave = pty.openpty()
        self.program = begin(
            MAIN, "play", "rail-posts", "--text", "--record", self.record, home=tmp_path / "home",
            stdin=slave, stdout=slave, stderr=slave, start_new_session=True,
            preexec_fn=_make_controlling,
        )  # fmt: skip
        os.close(slave)
        self.said = b""
        self.until(b"words.")
        os.write(self.master, b"press supply.isolator; note here\n")
        self.until(b"Note. here\r\n> ")
        time.sleep(0.3)  # the prompt stands there a moment before it is read at

    def until(self, words):
        begun = len(self.said)
        while words not in self.said[begun:]:
            self.said += self._read()

    def rest(self):
        """Read what is still said, and return the exit code."""
        with contextlib.suppress(OSError):  # the end of what is said there
            while read := self._read():
                self.said += read
        return self.program.wait(timeout=60)

    def _read(self):
        ready, _, _ = select.select([self.master], [], [], 60)
        assert ready
        return os.read(self.master, 4096)


def _make_controlling():
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def ended_well(path):
    """Return the notes of a record, which has its closing line and plays again to the same state."""
    record = read_record(path)
    assert record.closing is not None
    assert replay(path).same
    return [act.text for _, act in record.acts if act.kind == "note"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_at_the_prompt_ends_the_session_with_its_closing_line(tmp_path, number):
    there = AtTerminal(tmp_path)
    there.program.send_signal(number)

    assert there.rest() == 128 + number
    assert ended_well(there.record) == ["here"]


def test_ctrl_c_at_the_prompt_reads_the_debrief(tmp_path):
    there = AtTerminal(tmp_path)
    os.write(there.master, b"\x03")

    assert there.rest() == 0
    assert b"The record of this session" in there.said
    assert ended_well(there.record) == ["here"]
    assert read_record(there.record).closing.summary is not None


def test_a_terminal_that_is_closed_ends_the_session_with_its_closing_line(tmp_path):
    there = AtTerminal(tmp_path)
    os.close(there.master)

    assert there.program.wait(timeout=60) == 128 + signal.SIGHUP
    assert ended_well(there.record) == ["here"]
    assert not (tmp_path / "home" / "bugs.log").exists()


def test_a_window_that_is_told_to_end_closes_its_record(tmp_path):
    path = tmp_path / "one.jsonl"
    program = begin(WINDOW, path, home=tmp_path / "home")
    wait_for(lambda: path.exists() and path.read_bytes().count(b"\n") >= 2, program)
    program.send_signal(signal.SIGTERM)

    assert program.wait(timeout=60) == 128 + signal.SIGTERM
    assert ended_well(path) == []


def test_a_window_that_is_closed_closes_its_record(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    monkeypatch.setattr(pygame.event, "get", lambda: [pygame.event.Event(pygame.QUIT)])
    assert run("rail-posts", tmp_path / "one.jsonl") == 0
    assert ended_well(tmp_path / "one.jsonl") == []


def test_a_window_that_breaks_closes_its_record_all_the_same(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))

    def broken(_self):
        raise ZeroDivisionError

    monkeypatch.setattr(App, "tick", broken)
    with pytest.raises(ZeroDivisionError):
        run("rail-posts", tmp_path / "one.jsonl")
    assert ended_well(tmp_path / "one.jsonl") == []


# ---- within an act


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_within_an_act_waits_until_the_act_is_done(tmp_path, number):
    session = open_recorded("rail-posts", tmp_path / "one.jsonl")

    session.saw.clock.after(2_000_000, lambda: os.kill(os.getpid(), number))
    lines = ("press supply.isolator", "wait 5", "note never")
    with listening(), pytest.raises(KeyboardInterrupt if number == signal.SIGINT else Ended):
        play(session, iter(lines), lambda _line: None, interactive=False)

    assert session.closed
    assert session.now_s == 5.0
    assert ended_well(tmp_path / "one.jsonl") == []


@pytest.mark.parametrize(
    ("first", "second"),
    [("SIGHUP", "SIGHUP"), ("SIGTERM", "SIGHUP"), ("SIGHUP", "SIGTERM"), ("SIGINT", "SIGHUP")],
)
def test_a_terminal_that_says_more_than_once_that_it_goes_tears_no_act(first, second):
    done = []

    def act():
        with whole():
            for each in (first, second):
                os.kill(os.getpid(), getattr(signal, each))
                done.append(asked())

    with listening(), pytest.raises((Ended, KeyboardInterrupt)):
        act()
    assert done == [True, True]
    assert not asked()


def test_a_signal_within_an_act_that_is_refused_is_not_forgotten():
    def act():
        with whole():
            os.kill(os.getpid(), signal.SIGTERM)
            raise CommandError(NOTHING)

    with listening(), pytest.raises(Ended):
        act()


def test_signals_do_afterwards_what_they_did_before_and_what_is_ignored_stays_so():
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)  # as nohup has it
    there = signal.getsignal(signal.SIGTERM)
    try:
        with listening():
            assert signal.getsignal(signal.SIGHUP) is signal.SIG_IGN
            assert signal.getsignal(signal.SIGTERM) is not there
        assert signal.getsignal(signal.SIGTERM) is there
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_second_signal_within_an_act_leaves_a_record_that_reads_as_cut(tmp_path, number):
    session = open_recorded("rail-posts", tmp_path / "one.jsonl")
    for after_us in (1_000_000, 2_000_000):
        session.saw.clock.after(after_us, lambda: os.kill(os.getpid(), number))
    lines = ("press supply.isolator", "wait 5", "note never")
    with listening(), pytest.raises(Ended):
        play(session, iter(lines), lambda _line: None, interactive=False)

    assert session.now_s == 2.0
    assert read_record(tmp_path / "one.jsonl", allow_cut=True).closing is None
    assert replay(tmp_path / "one.jsonl", allow_cut=True).same
