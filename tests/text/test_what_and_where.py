"""`what`, `where` and `repeat`: asked at any time, for nothing, and said again as it was said."""

import os
import pty
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.debrief.debrief import finish
from sim.glossary import TERMS
from sim.session.opening import open_session
from sim.text.typed.console import play
from sim.text.typed.language import asks_only, parse
from sim.words.reader import Reader
from sim.words.speech import read_by
from tests.debrief.eventful import FEW, few_causes

ASKED = (
    "what", "what kerf", "what b11", "what head.up", "where", "where head.lower", "where F25", "repeat",
)  # fmt: skip


def said(*lines, name="rail-posts", interactive=False):
    written = []
    session = open_session(name, nonce="for tests")
    code = play(session, lines, written.append, interactive=interactive)
    return code, "\n".join(written).replace("\n  ", " ")


def of_line(line, **how):
    """Return what is written to a line, and nothing of what stands before and after it."""
    code, told = said("note here it begins", line, "note here it ends", **how)
    _, quiet = said("note here it begins", "note here it ends", **how)
    lines = quiet.split("\n")
    return code, [each for each in told.split("\n") if each not in lines]


def test_a_word_is_explained():
    code, told = of_line("what gullets")

    assert code == 0
    assert told[0].startswith("Gullet: The hollow between two teeth.")


def test_alone_it_lists_the_words_by_group():
    _, told = of_line("what")

    assert "The band and its teeth: band, tooth, edge," in " ".join(told)


def test_what_is_nearly_a_word_is_asked_about_and_the_session_goes_on():
    code, told = of_line("what gulet")

    assert code == 2
    assert "line 2: what: 'gulet' is not explained here; did you mean gullet, gullets" in told


def test_in_spanish_both_words_are_known():
    read_by(Reader("es"))

    assert of_line("what garganta")[1] == of_line("what gullet")[1]


@pytest.mark.sampled(3)
@pytest.mark.parametrize("line", ASKED)
def test_it_costs_no_time_and_is_no_act_in_an_assessment(line):
    def kept(*lines):
        session = open_session("nobody-will-say", nonce="for tests")
        session.scenario = session.scenario.model_copy(update={"mode": "assessment"})
        said = ("press isolator", *lines, "inspect walk-round expect sound")
        with few_causes((*FEW, "lower-valve-shut")):
            play(session, said, [].append, False)
            found = finish(session)
        return session.saw.clock.now_us, session.done.acts, found.score

    assert asks_only(line)
    assert kept(line, line) == kept()


def test_where_says_part_and_what_must_hold_first():
    assert of_line("where brush_mm")[1] == [
        "band.brush_mm: chip brush: depth into the gullets. It is done in reach of the band, in 60 s. "
        "Before hands go in: lock-out first."
    ]


def test_repeat_says_once_more_what_was_said_last():
    _, once = said("look")
    _, twice = said("look", "repeat")

    def count(told):
        return told.count("The mode is MANUAL.")

    assert count(twice) == count(once) + 1


def test_repeat_is_never_empty_and_repeats_itself():
    _, told = said("time", "repeat", "repeat")
    assert told.count("since the session began.") == 3

    _, told = said("repeat")
    assert told.count("Type help for the words.") == 2


def test_repeat_says_a_mistake_and_the_rest_of_its_own_line():
    _, told = said("foo", "repeat", interactive=True)
    assert told.count("There is no word called 'foo'") == 2

    _, told = said("time; repeat")
    assert told.count("since the session began.") == 2


def test_a_lesson_repeats_its_step():
    _, told = said("look", "press isolator", name="02-two-hand-start")
    _, again = said("look", "press isolator", "repeat", name="02-two-hand-start")

    assert again.count("Step 1 of") >= told.count("Step 1 of")
    assert parse("repeat").word == "repeat"


@pytest.mark.skipif(sys.platform == "win32", reason="opens a terminal of its own")
def test_a_note_of_the_instructor_is_said_while_a_line_is_awaited(tmp_path):
    env = {
        **os.environ,
        "DRYCYCLE_HOME": str(tmp_path / "home"),
        "TERM": "dumb",
        "PYTHONPATH": str(Path.cwd()),
    }
    record = tmp_path / "run.jsonl"
    ask = [
        sys.executable,
        "-c",
        "import sys; from sim.cli import main; sys.argv[0] = 'drycycle'; sys.exit(main())",
    ]
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [*ask, "play", "rail-posts", "--text", "--record", str(record)],
        env=env, stdin=theirs, stdout=theirs, stderr=theirs,
    ) as running:  # fmt: skip
        os.close(theirs)
        try:
            assert _until(ours, b"\n> ")
            os.write(ours, b"loo")
            subprocess.run(
                [*ask, "instruct", str(record), "note", "Look", "at", "the", "counter."],
                env=env, check=True, capture_output=True, timeout=120,
            )  # fmt: skip
            told = _until(ours, b"counter.", b"> loo")
            os.write(ours, b"k\nquit\n")
            rest = _until(ours, b"The record of this session")
        finally:
            if not _ends(running):
                running.terminate()
    os.close(ours)

    assert b"Look at the counter." in told
    assert b"The mode is MANUAL." in rest  # the line went on where it was


def _ends(running):
    try:
        return running.wait(timeout=60) is not None
    except subprocess.TimeoutExpired:
        return False


def _until(terminal, *signs, seconds=120.0):
    """Read a terminal until the signs have come, one after the other; return what was read."""
    read, at, late = b"", 0, time.monotonic() + seconds
    for sign in signs:
        while (found := read.find(sign, at)) < 0:
            assert time.monotonic() < late, read
            ready, _, _ = select.select([terminal], [], [], 1.0)
            if ready:
                try:
                    read += os.read(terminal, 65_536)
                except OSError:  # the other end is closed
                    return read
        at = found + len(sign)
    return read


def test_the_glossary_is_printed_with_every_word(drycycle, tmp_path):
    code, out, _ = drycycle("print", "glossary")

    assert code == 0
    assert all(str(each.word) in out for each in TERMS.values())
    assert drycycle("print", "glossary", "-o", str(tmp_path / "words.html"))[0] == 0
    assert "<table" in (tmp_path / "words.html").read_text("utf-8")
