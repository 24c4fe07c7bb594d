"""Interlock rows taken out of the live controller, and states swapped in its tables.

Here the first permissive and the first reaction of each interlock are taken out one by one, and what
breaks is played on the live controller. `drycycle prove --each` takes out every row there is, and
fails when one is neither needed nor covered.
"""

from dataclasses import replace
from functools import cache

import pytest

from sim.control import controller
from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.control.table import TABLES, TableRow
from sim.logic.proof.compile import compiled
from sim.logic.proof.each import NUMBERS, label, purpose, rows_of
from sim.logic.proof.moves import SMALLEST, Scope
from sim.logic.proof.proof import examined
from sim.logic.proof.properties import PROGRESS, PROPERTIES, SAFETY, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Explorer


def held_against_the_live_controller(found):
    """Play what breaks on the live controller, and hold its last state against the property."""
    example = found.broken.example
    played = Rehearsal(example, found.rows).play()
    row = PROPERTIES[found.broken.name]
    if isinstance(row, Reachable):
        return
    if hasattr(row, "cases"):
        assert row.broken_by(played.state)
    else:
        before = example.strides[-2].state if len(example.strides) > 1 else example.first
        assert row.broken_by(example.strides[-1].move.name, before, played.state)
    whole = Rehearsal(example)
    with pytest.raises(Exception, match="the live controller does not do it"):
        whole.play()


@pytest.mark.parametrize("number", NUMBERS)
def test_without_an_interlock_the_live_controller_does_what_it_is_there_for(number):
    found = purpose(rows_of(number))

    assert found.broken is not None
    held_against_the_live_controller(found)


FIRST_ROWS = tuple(
    {
        (row.number, type(row)): row for row in (*reversed(PERMISSIVES), *reversed(REACTIONS))
    }.values()
)


@pytest.mark.sampled(6)
@pytest.mark.parametrize("row", FIRST_ROWS, ids=lambda row: f"{row.number} {label(row)}")
def test_without_a_row_a_property_breaks_or_something_else_refuses_all_the_same(row):
    found = purpose((row,))

    if found.broken is None:
        assert found.covered_by
        assert isinstance(row, type(PERMISSIVES[0]))
    else:
        held_against_the_live_controller(found)


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


@pytest.mark.sampled(3)
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
    broken = [found for found in examined(explorer, reached, names) if not found.holds]

    assert broken
    Rehearsal(broken[0].example).play()
