"""The prints: they are the running tables, all of them and nothing else, and stand by themselves."""

import csv
import io
import re
import xml.etree.ElementTree as ElementTree

import pytest
import z3

from sim import cli
from sim.control import outputs
from sim.control.interlocks import INTERLOCKS, PERMISSIVES, REACTIONS, When, needs_of
from sim.control.table import TABLES
from sim.logic.bench.bench_page import whole_bench
from sim.logic.bench.diagrams import fans, layers, mermaid, svg
from sim.logic.bench.prints import BOX, against, cause_and_effect, csv_text, effect_of, handbook
from sim.logic.bench.rungs import Wired, every_rung
from sim.logic.bench.wiring_prints import strips
from sim.session.opening import machine_of
from sim.signals import SIGNALS

SITE = Wired.of(machine_of("harbour-saw"))
STATES = {table.name: table.states for table in TABLES}


def _domain(subject):
    return STATES.get(subject, (False, True))


def _is(subject, values, none_of=False):
    domain = _domain(subject)
    said = z3.Or([z3.Int(subject) == domain.index(value) for value in values])
    return z3.Not(said) if none_of else said


def _effects(matrix, action, origin):
    return [e for e in matrix.effects if e in (action, f"{action} ({origin})")]


@pytest.mark.parametrize("origin", [When.KEY, When.JOB])
def test_cause_and_effect_refuses_an_action_exactly_when_a_permissive_does(origin):
    matrix = cause_and_effect()[0]
    for action in {row.action for row in PERMISSIVES}:
        columns = _effects(matrix, action, origin)
        refused = z3.Or([
            z3.And(
                _is(cause.subject, cause.values, cause.none_of),
                *(_is(subject, values) for subject, values in cause.given),
            )
            for cause, effect in matrix.cells if effect in columns
        ])  # fmt: skip
        needs = needs_of(action, origin)
        allowed = z3.And([
            z3.Or(
                _is(row.need.subject, row.need.values),
                *(_is(subject, values, none_of=True) for subject, values in row.given),
            )
            for row in needs
        ])  # fmt: skip
        subjects = {row.need.subject for row in needs} | {s for row in needs for s, _ in row.given}
        in_range = [z3.And(z3.Int(s) >= 0, z3.Int(s) < len(_domain(s))) for s in subjects]
        solver = z3.Solver()
        solver.add(*in_range, refused != z3.Not(allowed))

        assert solver.check() == z3.unsat


def test_every_permissive_has_its_cell_and_no_cell_is_without_one():
    matrix = cause_and_effect()[0]

    assert set(matrix.cells) == {(against(row), effect_of(row)) for row in PERMISSIVES}
    for row in PERMISSIVES:
        cell = matrix.cells[(against(row), effect_of(row))]
        assert row.number in cell.split()
        assert ("keeps" in cell) == row.keeps


def test_every_reaction_stands_in_the_second_matrix_with_its_number():
    matrix = cause_and_effect()[1]
    table = {
        (row.subject, row.becomes, row.given, f"{machine} {event}", row.number)
        for row in REACTIONS
        for machine, event in row.fires
    }
    printed = {
        (c.subject, c.values, c.given, effect, n)
        for (c, effect), numbers in matrix.cells.items()
        for n in numbers.split()
    }

    assert printed == table


def test_the_third_matrix_is_the_table_of_outputs():
    printed = {
        (cause.subject, cause.values[0], effect) for cause, effect in cause_and_effect()[2].cells
    }

    assert printed == {(m, s, tag) for (m, s), on in outputs.ON_IN.items() for tag in on}


def test_every_row_of_cause_and_effect_has_a_box_to_tick_and_a_cause_of_its_own():
    for matrix in cause_and_effect():
        sheet = matrix.sheet()
        assert {row[0] for row in sheet.rows} == {BOX}
        assert len({row[1] for row in sheet.rows}) == len(sheet.rows) == len(matrix.causes)
        assert all(any(row[2:]) for row in sheet.rows)


def test_comma_separated_values_read_back_as_the_sheet():
    for matrix in cause_and_effect():
        sheet = matrix.sheet()
        heads, *rows = csv.reader(io.StringIO(csv_text(sheet)))

        assert tuple(heads) == sheet.heads
        assert tuple(map(tuple, rows)) == sheet.rows


def _asks(row):
    """Return who asks where a permissive applies: the job moves parts, and leaves the rest to keys."""
    parts = ("cutting_vise.", "shuttle_vise.", "shuttle.", "head.", "band.run")
    if row.when is When.ANY:
        return "key or job" if row.action.startswith(parts) else "key"
    return str(row.when)


def test_the_handbook_has_every_rule_with_its_words_and_its_hazard():
    about, needs, follows, metal, procedural = handbook()

    assert about.rows == tuple(
        (lock.number, str(lock.title), str(lock.rule), str(lock.hazard)) for lock in INTERLOCKS
    )
    assert len(needs.rows) == len(PERMISSIVES)
    for printed, row in zip(needs.rows, PERMISSIVES, strict=True):
        assert printed[0] == row.number
        assert printed[1] == row.action
        assert str(row.need.sentence) in printed[4]
        assert str(row.need.remedy) in printed[4]
        assert printed[5] == str(row.hazard)
        assert printed[2] == _asks(row)
    assert [(r[0], r[4]) for r in follows.rows] == [(r.number, str(r.reason)) for r in REACTIONS]
    assert metal.rows == tuple(
        (lock.number, str(lock.sentence)) for lock in INTERLOCKS if lock.number == "I17"
    )
    assert procedural.rows == tuple(
        (lock.number, str(lock.sentence)) for lock in INTERLOCKS if lock.number in ("I12", "I13")
    )


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_mermaid_has_every_row_of_the_machine_and_no_other(table):
    arrows = re.findall(r"^ +(\S+) --> (\S+): (\S+)$", mermaid(table), re.MULTILINE)

    assert arrows == [(row.state, row.to, row.event) for row in table.rows]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_the_drawing_has_every_state_and_says_every_row(table):
    root = ElementTree.fromstring(svg(table))
    words = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
    boxes = list(root.iter("{http://www.w3.org/2000/svg}rect"))
    fanned = fans(table)

    assert sorted(layers(table)) == sorted(table.states)
    assert len(boxes) == len(table.states)
    assert set(table.states) <= set(words)
    beside = [
        e.text
        for e in root.iter("{http://www.w3.org/2000/svg}text")
        if e.get("text-anchor") != "middle"  # those are the names in the boxes
    ]
    beside = beside[: len(beside) - _note_lines(fanned)]
    said = [event for text in beside for event in text.split(", ")]
    for row in table.rows:
        if (row.event, row.to) in fanned:
            assert f"{row.event} *" in words
        else:
            assert row.event in said
    events = {
        (row.state, row.to, row.event) for row in table.rows if (row.event, row.to) not in fanned
    }
    assert sum(said.count(e) for e in {event for *_, event in events}) == len(events)


def _note_lines(fanned):
    return sum(1 + -(-len(states) // 4) for states in fanned.values())


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_everything_drawn_lies_within_the_drawing(table):
    root = ElementTree.fromstring(svg(table))
    width, height = float(root.get("width")), float(root.get("height"))
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        x, y = float(text.get("x")), float(text.get("y"))
        long = 7.0 * len(text.text)
        left = {"start": x, "middle": x - long / 2, "end": x - long}[text.get("text-anchor")]
        assert left >= 0
        assert left + long <= width
        assert 0 < y < height
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        assert all(0 <= float(x) <= width for x in re.findall(r"[MH]([\d.]+)", path.get("d")))
        assert all(0 <= float(y) <= height for y in re.findall(r"[V,]([\d.]+)", path.get("d")))


def test_the_whole_bench_is_one_page_that_needs_no_other_file():
    text = whole_bench(SITE)

    assert "@page { size: A4" in text
    assert not re.search(r"(src|href)=|url\((?!#)|@import", text)
    drawings = len(TABLES) + len(every_rung(SITE)) + len(strips(SITE.loom))
    assert text.count("<svg") == drawings
    for row in SIGNALS:
        assert f"<td>{row.tag}</td>" in text
    assert text == whole_bench(SITE)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["diagram", "head"], "UP --> LOWERING: LOWER"),
        (["diagram", "head", "--format", "svg"], "<svg"),
        (["handbook"], "B11: the head is not up at its height stop. Raise the head."),
        (["cause-and-effect"], "☐ B11 off -> "),
        (["cause-and-effect", "--format", "csv"], "done,cause,supply.control_on"),
        (["signals"], "the head is up at its height stop"),
        (["rungs"], "[ head=RAISING ]--+--( Y11 )"),
        (["rungs", "head.lower", "--format", "svg"], "<title>S51↑: the head lower key is down."),
        (["terminals"], "1422  B11:4   X2:42   W21       head        cabinet"),
        (["terminals", "X2", "--format", "svg"], "<title>X2:42: wire 1422 to B11:4</title>"),
        (["io"], "B11  input      I5.2     A3:10          1423, 1422"),
        (["promela"], "active proctype saw()"),
        (["scxml"], '<transition event="head.LOWER" target="head.LOWERING">'),
    ],
)
def test_the_command_prints(drycycle, arguments, said):
    code, out, err = drycycle("print", *arguments)

    assert code == 0, err
    assert said in out


def test_the_command_writes_the_whole_bench_to_a_file(drycycle, tmp_path):
    path = tmp_path / "bench.html"

    code, _, _ = drycycle("print", "all", "-o", path)

    assert code == 0
    assert path.read_text(encoding="utf-8") == whole_bench(SITE)


@pytest.mark.parametrize(
    "arguments",
    [
        ["nothing"],
        ["diagram", "lathe"],
        ["signals", "head"],
        ["all", "--format", "csv"],
        ["promela", "--format", "csv"],
        ["rungs", "lathe"],
        ["terminals", "X99"],
        ["terminals", "B11", "--format", "svg"],  # only strips are drawn
        ["io", "M1"],  # on no card
        ["signals", "--machine", "quay-saw"],
        ["io", "--machine", "no-saw"],
    ],
)
def test_a_print_that_there_is_not_is_refused(drycycle, arguments):
    code, out, _ = drycycle("print", *arguments)

    assert (code, out) == (cli.BAD_INPUT, "")


@pytest.mark.parametrize(
    ("what", "name", "says"),
    [
        ("all", "bench.pdf", "all is not printed as .pdf"),
        ("signals", "signals.svg", "let it end in .txt or .csv or .html"),
        ("diagram", "all.svg", "for .svg name one machine, strip or coil"),
    ],
)
def test_a_file_is_never_written_as_something_else_than_its_ending_says(
    drycycle, what, name, says, tmp_path
):
    _, _, err = drycycle("print", what, "-o", tmp_path / name)

    assert says in err
    assert not (tmp_path / name).exists()


@pytest.mark.parametrize(
    ("name", "begins"), [("s.txt", "Signals"), ("s.csv", "tag,"), ("s", "Signals")]
)
def test_the_ending_of_a_file_says_how_it_is_printed(drycycle, name, begins, tmp_path):
    drycycle("print", "signals", "-o", tmp_path / name)

    assert (tmp_path / name).read_text(encoding="utf-8").startswith(begins)
