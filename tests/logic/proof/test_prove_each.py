"""Interlock rows taken out of the live controller, and states swapped in its tables.

`drycycle prove --each` takes out every row there is, plays what breaks on the live controller, and
fails when a row is neither needed nor covered; `.ci/run` calls it. Here a row of each kind is taken
out, and the playing itself is tried.
"""

from dataclasses import replace
from functools import cache

import pytest

from sim.bugs import TableError
from sim.control import controller
from sim.control.table import TABLES, TableRow
from sim.logic.proof import each
from sim.logic.proof.compile import compiled
from sim.logic.proof.each import label, purpose, rows_of
from sim.logic.proof.moves import SMALLEST, Scope
from sim.logic.proof.proof import examined
from sim.logic.proof.properties import PROGRESS, PROPERTIES, SAFETY, Never
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Explorer


def row_called(number, words):
    """Return the one row of an interlock whose label has some words."""
    (row,) = (row for row in rows_of(number) if words in str(label(row)))
    return row


@pytest.mark.parametrize(
    ("number", "words", "breaks"),
    [
        ("I2", "supply.reset needs S1", "stopped"),
        ("I4", "shuttle.forward needs B11", "into the band"),
        ("I5", "shuttle.back by the job needs B33", "one vise"),
        ("I11", "not B61 and job COMPLETING: job STOP", "starved"),
    ],
)
def test_without_a_row_a_property_breaks_that_the_row_is_there_for(number, words, breaks):
    row = row_called(number, words)
    found = purpose((row,))

    assert found.broken.name == breaks
    played = Rehearsal(found.broken.example, found.rows).play()
    broken = PROPERTIES[breaks]
    if isinstance(broken, Never):
        assert broken.broken_by(played.state)
    else:
        *_, before, last = found.broken.example.strides
        assert broken.broken_by(last.move.name, before.state, played.state)


def test_a_row_without_which_the_tables_refuse_all_the_same_is_covered_by_them():
    found = purpose((row_called("I1", "supply.control_on needs Q0"),))

    assert found.broken is None
    assert [str(rule) for rule in found.covered_by] == [
        "the supply takes CONTROL_ON only where it fits"
    ]


def test_a_reaction_changes_nothing_only_where_every_layer_is_as_with_it():
    scope = Scope(SMALLEST.modes, ())
    explorer, reached = each.reached_within(scope)
    *others, last = reached.layers
    fewer = replace(reached, layers=[*others, last[:-1]])
    earlier = replace(reached, layers=others)

    assert each.as_in_the_table(scope, explorer, reached)
    assert not each.as_in_the_table(scope, explorer, fewer)
    assert not each.as_in_the_table(scope, explorer, earlier)


def test_what_the_live_controller_does_with_the_row_in_too_is_no_purpose():
    (row,) = (r for r in rows_of("I4") if r.action == "shuttle.forward")
    example = purpose((row,)).broken.example
    harmless = replace(example, strides=example.strides[:1])

    with pytest.raises(TableError, match="with the row in, too"):
        each._played(harmless, (row,))


SWAPS = (
    ("band", "RUNNING", "TRIP", "COASTING"),
    ("band", "COASTING", "STANDSTILL", "STARTING"),
    ("supply", "ON", "EMERGENCY", "OFF"),
    ("supply", "DEAD", "ISOLATOR_ON", "ON"),
    ("cutting_vise", "CLAMPED", "CLAMPING_LOST", "CLAMPING"),
    ("shuttle", "GOING_FORWARD", "HALT", "GOING_BACK"),
    ("head", "LOWERING", "POWER_LOST", "RAISING"),
    ("head", "LOWERING", "HALT", "LOWERING"),
    ("coolant", "FLOWING", "POWER_LOST", "FLOWING"),
    ("job", "EXECUTE", "HOLD", "EXECUTE"),
    ("job", "STOPPING", "STATE_COMPLETE", "HELD"),
    ("job", "CLEARING", "STATE_COMPLETE", "EXECUTE"),
    ("cycle", "COUNT", "LAST_PIECE", "RELEASE_SHUTTLE_VISE"),
)  # fmt: skip


@cache
def numbering(scope):
    """Return the numbering of the tables as they are, which spares the scouting."""
    return Explorer(compiled(scope)).packing


@pytest.mark.sampled(7)
@pytest.mark.parametrize(("machine", "state", "event", "to"), SWAPS)
def test_a_state_swapped_in_a_table_breaks_a_property(monkeypatch, machine, state, event, to):
    tables = []
    for table in TABLES:
        rows = [
            TableRow(row.state, row.event, to)
            if (table.name, row.state, row.event) == (machine, state, event)
            else row
            for row in table.rows
        ]
        tables.append(replace(table, rows=tuple(rows)))
    assert tuple(tables) != TABLES
    scope = Scope(SMALLEST.modes, ("B41",) if machine in ("band", "job") else ())
    packing = numbering(scope)
    monkeypatch.setattr(controller, "TABLES", tuple(tables))

    explorer = Explorer(compiled(scope), SAFETY, packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    names = [breach.name for breach in reached.breaches] or [row.name for row in PROGRESS]
    broken = [found for found in examined(explorer, reached, names) if found.broken]

    assert broken
    Rehearsal(broken[0].example).play()
