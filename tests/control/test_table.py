"""Every row of every state table, and every pair of state and event that has no row."""

import logging
from collections import deque

import pytest

from sim.bugs import TableError
from sim.control.machine import TableMachine
from sim.control.table import CYCLE, JOB, TABLES, StateTable, TableRow, check

BY_NAME = {table.name: table for table in TABLES}
ROWS = [(table.name, row) for table in TABLES for row in table.rows]
ABSENT = [
    (table.name, state, event)
    for table in TABLES
    for state in table.states
    for event in table.events
    if not any((row.state, row.event) == (state, event) for row in table.rows)
]


def path_to(table, state):
    """Return the shortest run of events from the table's first state."""
    ways = deque([(table.initial, ())])
    been = set()
    while ways:
        here, events = ways.popleft()
        if here == state:
            return events
        if here not in been:
            been.add(here)
            ways.extend((row.to, (*events, row.event)) for row in table.rows if row.state == here)
    raise AssertionError(f"{table.name} never gets to {state}")


def machine_in(name, state):
    machine = TableMachine(BY_NAME[name])
    for event in path_to(BY_NAME[name], state):
        assert machine.fire(event)
    assert machine.state == state
    return machine


@pytest.mark.parametrize(("name", "row"), ROWS, ids=lambda value: str(value))
def test_every_row_goes_where_it_says(name, row):
    machine = machine_in(name, row.state)
    fired = machine.fired

    assert machine.takes(row.event)
    assert machine.fire(row.event)
    assert machine.state == row.to
    assert machine.fired == fired + 1


@pytest.mark.parametrize(("name", "state", "event"), ABSENT)
def test_an_event_without_a_row_changes_nothing(name, state, event):
    machine = machine_in(name, state)
    fired = machine.fired

    assert not machine.takes(event)
    assert not machine.fire(event)
    assert machine.state == state
    assert machine.fired == fired


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_an_event_of_another_machine_changes_nothing(table):
    machine = TableMachine(table)

    assert not machine.fire("NO_SUCH_EVENT")
    assert machine.state == table.initial


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_no_state_can_be_entered_past_the_table(table):
    machine = TableMachine(table)

    assert set(machine._events) == set(table.events)
    assert machine.state == table.initial
    # `transitions` puts no trigger of its own on its model.
    assert vars(machine).keys() == {"name", "table", "state", "fired", "_events"}


def test_two_rows_for_one_state_and_event_are_a_table_error():
    twice = StateTable(
        "door", "SHUT", (TableRow("SHUT", "OPEN", "OPENED"), TableRow("SHUT", "OPEN", "SHUT"))
    )

    with pytest.raises(TableError, match="door: two rows for SHUT on OPEN"):
        check(twice)
    with pytest.raises(TableError, match="two rows"):
        TableMachine(twice)


def test_a_state_that_no_row_leads_to_is_a_table_error():
    lost = StateTable("door", "SHUT", (TableRow("AJAR", "OPEN", "SHUT"),))

    with pytest.raises(TableError, match="door: no row leads to AJAR"):
        check(lost)


def test_running_a_machine_logs_nothing():
    assert logging.getLogger("transitions").level == logging.WARNING


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_no_machine_has_a_state_it_cannot_leave(table):
    assert {row.state for row in table.rows} == set(table.states)


def test_the_cycle_goes_through_the_steps_of_a_piece_in_order():
    steps = [CYCLE.initial]
    machine = TableMachine(CYCLE)
    machine.fire("BEGIN_PIECE")
    while machine.state != "COUNT":
        steps.append(machine.state)
        assert machine.fire("NEXT")

    assert steps == [
        "PARKED",
        "RELEASE_SHUTTLE_VISE",
        "SHUTTLE_BACK",
        "CLAMP_SHUTTLE_VISE",
        "RELEASE_CUTTING_VISE",
        "SHUTTLE_FORWARD",
        "CLAMP_CUTTING_VISE",
        "BAND_TO_SPEED",
        "LOWER_HEAD",
        "RAISE_HEAD",
    ]


def test_the_job_can_be_aborted_from_everywhere_but_an_abort():
    aborts = {row.state for row in JOB.rows if row.event == "ABORT"}

    assert set(JOB.states) - aborts == {"ABORTING", "ABORTED"}


@pytest.mark.parametrize("name", ["band", "cutting_vise", "shuttle_vise", "shuttle", "head"])
def test_whatever_moves_loses_its_motion_with_the_power(name):
    moving = {
        "band": {"STARTING", "RUNNING"},
        "cutting_vise": {"CLAMPING", "RELEASING"},
        "shuttle_vise": {"CLAMPING", "RELEASING"},
        "shuttle": {"GOING_BACK", "GOING_FORWARD"},
        "head": {"RAISING", "LOWERING"},
    }[name]

    assert {r.state for r in BY_NAME[name].rows if r.event == "POWER_LOST"} == moving
