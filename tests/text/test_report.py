"""The debrief in words says everything the debrief holds."""

from dataclasses import replace

import pytest

from sim.debrief.debrief import Debrief, ScorePart
from sim.debrief.scoring import Outcome
from sim.session.kept.heard import Event, EventKind
from sim.session.kept.news import PIECE
from sim.session.kept.told import KEY_TAKEN
from sim.text.events import line_of
from sim.text.page import Printer, Table, may_draw
from sim.text.report import CAUTION, report
from sim.words.message import quoted

OIL, PIN = quoted("Oil low"), quoted("Pin under the collar")
BAD = Debrief(
    title=quoted("Stair stringers"), score=0, outcome=Outcome.NOT_PASSED,
    parts=(ScorePart("cause", quoted("Cause"), 25, 50, quoted("1 of 2 causes named.")), ScorePart("care", quoted("Care"), 5, 20, quoted("2 wrong causes."))),
    critical=(quoted("The band would have broken."),),
    causes=(OIL, PIN), named=(OIL,), still_wrong=(PIN,),
    pieces=2, good=1, minutes=12.34, money=140.0,
    timeline=(
        Event(61_500_000, EventKind.CUT, PIECE),
        Event(62_000_000, EventKind.ACT, KEY_TAKEN(action="job.hold")),
    ),
    teaches=quoted("Look at the pin."), sound_path=(quoted("Look."), quoted("Mend.")),
)  # fmt: skip


def written(*parts, drawn=False):
    lines = []
    Printer(lines.append, drawn=drawn).put(*parts)
    return lines


def test_the_verdict_and_the_critical_act_come_before_everything_else():
    lines = written(*report(BAD))

    assert lines[:3] == [
        "Debrief: Stair stringers",
        "Not passed, 0 of 100.",
        "Critical, and enough to fail: The band would have broken.",
    ]


def test_every_part_of_the_score_is_told_with_its_reason():
    lines = written(*report(BAD))

    assert "  Cause: 25 of 50; 1 of 2 causes named." in lines
    assert "  Care: 5 of 20; 2 wrong causes." in lines


def test_causes_time_line_way_and_lesson_are_told():
    text = "\n".join(written(*report(BAD)))

    assert "What was wrong: Oil low; Pin under the collar." in text
    assert "What you named or put right: Oil low." in text
    assert "What is still wrong: Pin under the collar." in text
    assert (
        "2 pieces cut, 1 good, in 12.3 simulated minutes. Harm done: 140 units of money (invented)."
        in text
    )
    assert "1:01.5 Cut. A piece fell." in text
    assert "1:02.0 Taken: job.hold." in text
    assert "1. Look.\n2. Mend." in text
    assert "To remember: Look at the pin." in text
    assert str(CAUTION).split(":")[0] in text


def test_a_long_line_is_wrapped_and_a_row_of_a_table_is_one_sentence():
    lines = written(
        quoted("word " * 60),
        Table(quoted("Rows."), ("name", "now", ""), (("a", "3", "why."), ("b", "", ""))),
    )

    assert max(map(len, lines)) <= 100
    assert lines[-3:] == ["Rows.", "  a: now 3; why.", "  b"]


def test_a_drawn_table_keeps_names_whole_on_a_narrow_terminal(monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    name = "cutting_vise.pressure_bar"

    text = "\n".join(
        written(Table(quoted("Points."), ("name", ""), ((name, "word " * 30),)), drawn=True)
    )

    assert name in text
    assert max(map(len, text.split("\n"))) <= 60


CUT_LIST = Table(
    quoted("The cut list."), ("order", "", "", "", ""),
    (
        ("rail-posts", "S275JR", "round:60", "230 mm, good within 0.3 mm", "due after 240 min"),
        ("frame-mitres", "S235JR", "square-tube:60x3", "620 mm, good within 0.8 mm", "due after 420 min"),
    ),
)  # fmt: skip


@pytest.mark.parametrize(("columns", "drawn"), [(60, False), (140, True)])
def test_a_table_that_a_terminal_is_too_narrow_for_is_told_in_sentences(
    monkeypatch, columns, drawn
):
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = "\n".join(written(CUT_LIST, drawn=True)).split("\n")

    assert any("─" in line for line in lines) is drawn
    assert max(map(len, lines)) <= columns
    told = " ".join("\n".join(lines).split())
    assert (
        "frame-mitres: S235JR; square-tube:60x3; 620 mm, good within 0.8 mm" in told
    ) is not drawn


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_a_terminal_without_colour_is_written_plain(monkeypatch, name, value):
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert may_draw()

    monkeypatch.setenv(name, value)
    assert not may_draw()


@pytest.mark.parametrize(
    ("at_us", "text"),
    [(0, "0:00.0"), (59_999_999, "0:59.9"), (60_000_000, "1:00.0"), (3_661_250_000, "1:01:01.2")],
)
def test_a_time_is_told_in_minutes_and_seconds(at_us, text):
    assert str(line_of(Event(at_us, EventKind.ACT, quoted("So.")))) == f"{text} So."


def test_one_is_told_in_the_singular():
    for pieces, told in ((1, "1 piece cut, "), (0, "0 pieces cut, ")):
        assert told in "\n".join(written(*report(replace(BAD, pieces=pieces))))


def test_no_control_character_gets_on_to_the_page_whoever_wrote_it():
    table = Table(quoted("T\x07."), ("a", "b"), (("x\x1b[2J", "y\r"),))

    assert written(quoted("one\x1b[31m two\n"), table) == [
        "one\\x1b[31m two", "T\\x07.", "  x\\x1b[2J: b y.",
    ]  # fmt: skip


def test_the_name_of_a_file_is_never_folded_so_that_it_can_be_copied(monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    name = "/home/somebody/records/reset-no-longer-helps-20260101-183559-537989.jsonl"

    assert f"  {name}" in written(quoted(f"The record of this session: {name}"), drawn=True)
