"""The rows that ship are refused with their line when they contradict themselves, before anything walks them."""

import pytest

from sim.bugs import TableError
from sim.control.interlocks import BY_NUMBER
from sim.control.row_file import FIRST_ROWS, TEXT, read_rows
from sim.control.row_words import row_of
from sim.wiring.site_rows import ToldRow
from sim.words.message import NOTHING

ROW = "  - {interlock: I4, action: job.start, needs: {B11: true}}\n"
ACTS = "  - {interlock: I9, when: {job: HELD}, fires: [band STOP]}\n"


def line_of(row):
    return TEXT[: TEXT.index(row)].count("\n") + 1


@pytest.mark.parametrize(
    ("row", "other", "at", "says"),
    [
        (ROW, ROW.replace("B11", "B99"), "B11", "the controller knows no B99"),
        (ROW, ROW.replace("true", "yes"), "true", "yes is none of true, false"),
        (ROW, ROW.replace("start", "strat"), "job", "job.strat is none of"),
        (ROW, ROW.replace("I4", "I40"), "I4", "I40 is none of"),
        (ROW, ROW.replace("true}", "true, B12: true}"), "{interlock", "one thing"),
        (ROW, ROW.replace("job.start", "[job.start]"), "job", "one word belongs here"),
        (ROW, ROW.replace("true}", "[]}"), "true", "the list is empty"),
        (ROW, ROW.replace("B11: true", ""), "{B11", "names and values belong here"),
        (ROW, ROW.replace("}}", "}, fact: it is not}"), "{interlock", "fact is too much"),
        (ROW, ROW.replace(", needs: {B11: true}", ""), "{interlock", "needs is too much or too little"),
        (ROW, ROW.replace("}}", "}, interlock: I4}"), None, "interlock is given twice"),
        (ACTS, ACTS.replace("HELD", "HELT"), "HELD", "HELT is none of"),
        (ACTS, ACTS.replace("STOP", "STOPP"), "band", "band STOPP is no event of a machine"),
        (ACTS, ACTS.replace("fires: [band STOP]", "where: {B1: true}"), "{interlock", "fires is too much"),
    ],
)  # fmt: skip
def test_a_row_that_means_nothing_is_refused_at_its_place(row, other, at, says):
    with pytest.raises(TableError) as refused:
        read_rows(TEXT.replace(row, other), FIRST_ROWS, BY_NUMBER)

    column = row.index(at) if at else other.rindex("interlock")
    assert f"interlocks.yaml:{line_of(row)}:{column + 1}: " in str(refused.value)
    assert says in str(refused.value)


def test_a_row_that_is_there_twice_is_refused_with_both_lines():
    again = ROW.replace("true}}", "[true]}}")
    with pytest.raises(TableError, match=f"this row is on line {line_of(ROW)} already") as refused:
        read_rows(TEXT + again, FIRST_ROWS, BY_NUMBER)
    last = TEXT.count("\n") + 1
    assert f"interlocks.yaml:{last}:5: " in str(refused.value)


@pytest.mark.parametrize("action", ["supply.control_on", "band.run", "head.raise", "shuttle.back"])
def test_an_action_that_switches_an_output_on_needs_something(action):
    less = "".join(line for line in TEXT.splitlines(keepends=True) if action not in line)
    with pytest.raises(TableError, match=f"{action} switches an output on and needs nothing"):
        read_rows(less, FIRST_ROWS, BY_NUMBER)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("rows: [", "while parsing"),
        ("", "names and values belong here"),
        ("- a\n", "names and values belong here"),
        ("rows: 3\n", "a list of rows"),
        ("also: []\n", "a list of rows"),
        ("rows: [3]\n", "names and values belong here"),
    ],
)
def test_what_is_no_table_is_refused(text, says):
    with pytest.raises(TableError, match=says):
        read_rows(text, FIRST_ROWS, BY_NUMBER)


@pytest.mark.parametrize(
    "told",
    [
        ToldRow("I4", "B12", (True,), action="job.start"),
        ToldRow("I4", "B12", (True,), fires=(("band", "STOP"),)),
    ],
)
def test_a_row_of_which_nothing_is_said_does_not_ship(told):
    with pytest.raises(TableError, match="nothing is said of"):
        row_of(told, NOTHING, ships=True)
