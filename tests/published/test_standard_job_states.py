"""The job's states against ISA-TR88.00.02.

FOUND: states and transitions are those of the OPC Foundation's node set for that report (file
Opc.Ua.PackML.NodeSet2.xml in UA-Nodeset, model version 1.01 of 2020-10-08, MIT licence); the table
below is ours, written down from it. The report itself was not read. That Reset leads from Stopped
to Resetting is the usual reading of that file.
"""

from collections import deque

import pytest

from sim.control.machine import TableMachine
from sim.control.table import JOB

DONE = "STATE_COMPLETE"
RUNNING = (
    "IDLE", "STARTING", "EXECUTE", "COMPLETING", "COMPLETE", "RESETTING", "HOLDING", "HELD",
    "UNHOLDING", "SUSPENDING", "SUSPENDED", "UNSUSPENDING",
)  # fmt: skip
CLEARED = (*RUNNING, "STOPPING", "STOPPED", "CLEARING")
WAITING = ("STOPPED", "IDLE", "SUSPENDED", "ABORTED", "HELD", "COMPLETE")

PUBLISHED = {
    ("IDLE", "START"): "STARTING",
    ("STARTING", DONE): "EXECUTE",
    ("EXECUTE", "COMPLETE"): "COMPLETING",
    ("COMPLETING", DONE): "COMPLETE",
    ("COMPLETE", "RESET"): "RESETTING",
    ("STOPPED", "RESET"): "RESETTING",
    ("RESETTING", DONE): "IDLE",
    ("HOLDING", DONE): "HELD",
    ("HELD", "UNHOLD"): "UNHOLDING",
    ("UNHOLDING", DONE): "EXECUTE",
    ("EXECUTE", "SUSPEND"): "SUSPENDING",
    ("SUSPENDING", DONE): "SUSPENDED",
    ("SUSPENDED", "UNSUSPEND"): "UNSUSPENDING",
    ("UNSUSPENDING", DONE): "EXECUTE",
    ("STOPPING", DONE): "STOPPED",
    ("ABORTING", DONE): "ABORTED",
    ("ABORTED", "CLEAR"): "CLEARING",
    ("CLEARING", DONE): "STOPPED",
    **{
        (state, "HOLD"): "HOLDING"
        for state in (
            "EXECUTE", "STARTING", "UNHOLDING", "SUSPENDING", "SUSPENDED", "UNSUSPENDING",
        )
    },
    **{(state, "STOP"): "STOPPING" for state in RUNNING},
    **{(state, "ABORT"): "ABORTING" for state in CLEARED},
}  # fmt: skip

# What the saw leaves out on purpose: it stands in no line, so nothing up or down the line can make
# it wait, and it is never suspended.
LEFT_OUT = {"SUSPENDING", "SUSPENDED", "UNSUSPENDING"}

OURS = {(row.state, row.event): row.to for row in JOB.rows}


def test_the_published_table_has_seventeen_states():
    states = {state for state, _ in PUBLISHED} | set(PUBLISHED.values())

    assert len(states) == 17
    assert states - set(JOB.states) == LEFT_OUT
    assert set(JOB.states) <= states


def test_every_row_of_the_saw_is_published_and_every_published_row_is_the_saws_or_left_out():
    left_out = {
        (state, event): to
        for (state, event), to in PUBLISHED.items()
        if state in LEFT_OUT or to in LEFT_OUT
    }

    kept = {pair: to for pair, to in PUBLISHED.items() if pair not in left_out}

    assert kept == OURS


def machine_in(state):
    """Return a job machine brought to a state by its own events."""
    ways = deque([(JOB.initial, ())])
    been = set()
    while ways:
        here, events = ways.popleft()
        if here == state:
            machine = TableMachine(JOB)
            assert all(machine.fire(event) for event in events)
            return machine
        if here not in been:
            been.add(here)
            ways.extend((to, (*events, e)) for (s, e), to in OURS.items() if s == here)
    raise AssertionError(state)


@pytest.mark.parametrize("state", ["STOPPING", "STOPPED", "CLEARING", "ABORTING", "ABORTED"])
def test_stop_is_refused_outside_running(state):
    # DERIVED from the nesting of the published states.
    assert not machine_in(state).fire("STOP")


@pytest.mark.parametrize("state", ["ABORTING", "ABORTED"])
def test_abort_is_refused_only_in_an_abort(state):
    assert not machine_in(state).fire("ABORT")
    assert {s for s in JOB.states if machine_in(s).takes("ABORT")} == set(JOB.states) - {
        "ABORTING",
        "ABORTED",
    }


@pytest.mark.parametrize("state", [s for s in JOB.states if s not in ("ABORTING", "ABORTED")])
def test_from_every_state_abort_clear_and_reset_lead_to_idle(state):
    machine = machine_in(state)
    for event in ("ABORT", DONE, "CLEAR", DONE, "RESET", DONE):
        assert machine.fire(event)

    assert machine.state == "IDLE"


def test_no_way_leads_from_aborted_to_execute_without_clear_reset_and_start():
    for missing in ("CLEAR", "RESET", "START"):
        reached, ways = {"ABORTED"}, ["ABORTED"]
        while ways:
            here = ways.pop()
            for (state, event), to in OURS.items():
                if state == here and event != missing and to not in reached:
                    reached.add(to)
                    ways.append(to)

        assert "EXECUTE" not in reached


@pytest.mark.parametrize("state", [s for s in JOB.states if s not in WAITING and s != "EXECUTE"])
def test_an_acting_state_ends_by_itself_and_a_waiting_one_does_not(state):
    # FOUND: acting states end in -ing; wait states wait for a command.
    assert state.endswith("ING")
    assert machine_in(state).takes(DONE)
    assert not any(machine_in(waiting).takes(DONE) for waiting in WAITING if waiting in JOB.states)


def test_the_saw_goes_through_the_published_states_in_a_whole_job(hands):
    machine = hands.saw.controller.machines["job"]
    been = []
    fire = machine.fire

    def watched(event):
        done = fire(event)
        if done:
            been.append(machine.state)
        return done

    machine.fire = watched
    hands.begin_job("straight", wanted=1)
    hands.until_step("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.go_on()
    hands.until_job("COMPLETE")

    assert been[been.index("RESETTING") :] == [
        "RESETTING", "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "EXECUTE",
        "COMPLETING", "COMPLETE",
    ]  # fmt: skip
