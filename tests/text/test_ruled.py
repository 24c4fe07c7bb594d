"""Tables ruled for a terminal, and how far something has come."""

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.text.progress import tracked
from sim.text.ruled import breaks_words, ruled
from sim.text.tables import print_told

BARS = (("times", "pieces, mm"), (("6", "1 x 5100 + 1 x 2600"), ("12", "2 x 2700")))


def test_a_table_that_fits_has_its_heads_over_a_line_and_its_numbers_to_the_right():
    assert ruled("Bars", *BARS, 80, right=[0]).split("\n") == [
        "Bars",
        "",
        "  times   pieces, mm",
        " ─────────────────────────────",
        "      6   1 x 5100 + 1 x 2600",
        "     12   2 x 2700",
        "",
    ]


def test_without_heads_there_is_no_line():
    assert ruled("T", ("", ""), (("abc", "def"),), 80).split("\n") == ["T", "", "  abc   def", ""]


CELLS = st.text(st.sampled_from("ab ñ"), max_size=40)


@given(
    rows=st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=4),
    width=st.integers(30, 100),
)
def test_no_line_is_wider_than_the_terminal_and_no_word_is_lost(rows, width):
    lines = ruled("Title", ("one", "two", "three"), rows, width).split("\n")

    assert max(map(len, lines)) <= width
    told = sorted("".join(lines[4:]).replace(" ", ""))
    assert told == sorted("".join(map("".join, rows)).replace(" ", ""))


def test_a_column_that_must_stay_whole_is_not_folded():
    name = "cutting_vise.pressure_bar"

    lines = ruled("T", ("name", "says"), ((name, "word " * 30),), 60, whole=[0]).split("\n")

    assert sum(name in line for line in lines) == 1
    assert max(map(len, lines)) <= 60


def test_what_moves_the_cursor_is_not_written():
    assert "\x1b" not in ruled("T\x1b[2J", ("a",), (("x\x1b[2J\r",),), 60)


@pytest.mark.parametrize("terminal", [True, False])
def test_how_far_it_has_come_is_shown_on_a_terminal_only_and_cleared_at_the_end(
    monkeypatch, capsys, terminal
):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal, raising=False)

    assert list(tracked("ab", "Checking", 2)) == ["a", "b"]

    shown = capsys.readouterr().err.split("\r")
    if terminal:
        assert [words for words in shown if words.strip()] == [
            "Checking 0/2",
            "Checking 1/2",
            "Checking 2/2",
        ]
        assert shown[-2].strip() == ""
    else:
        assert shown == [""]


def test_quiet_shows_nothing(monkeypatch, capsys):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)

    assert list(tracked("ab", "Checking", 2, quiet=True)) == ["a", "b"]
    assert capsys.readouterr().err.strip() == ""


def test_words_break_last_of_all():
    row = ("square-tube:60x3", "good within a tenth of a millimetre", "due after noon")
    text = ruled("T", ("a", "b", "c"), (row,), 50)

    assert not breaks_words(("a", "b", "c"), (row,), 50)
    for word in " ".join(row).split():
        assert word in text
    assert breaks_words(("a", "b", "c"), (row,), 40)
    assert breaks_words(("a", "b", "c"), (row,), 60, whole=[1])


@pytest.mark.parametrize(("columns", "drawn"), [(50, False), (140, True)])
def test_a_printed_table_that_a_terminal_is_too_narrow_for_is_told_row_by_row(
    monkeypatch, capsys, columns, drawn
):
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    heads = ("order", "bars", "change-over", "cutting", "measuring", "standing")
    print_told("The orders", heads, [("frame-mitres", "T1, T2", "12.5", "31.0", "2.0", "7.5")])
    out = capsys.readouterr().out

    assert ("─" in out) is drawn
    assert max(map(len, out.splitlines())) <= columns
    if not drawn:
        assert "  frame-mitres: bars T1, T2; change-over 12.5;" in out
