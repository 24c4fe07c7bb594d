"""The state tables of the machines in the controller: supply, mode, parts, choices, job and cycle.

Rule 1: every state that a machine can be in, and every step from one to another, is in this file.
Rule 2: this file does not know who asked. Whether a command may be given, and what follows from a
state by itself, is decided in `interlocks`; what a state energises, in `outputs`.

Theory. Each subsystem is a small flat machine: a state says where the thing is (CLAMPED), an event
what happened (HAS_CLAMPED, from a switch) or what was asked (CLAMP). A (state, event) pair that has no
row does nothing. Two rows for one pair are an error when the program starts.
The job's states are those of ISA-TR88.00.02, less SUSPENDED and its kin: this saw stands in no line.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.bugs import TableError


@dataclass(frozen=True, slots=True)
class TableRow:
    """In this state, on this event, go there."""

    state: str
    event: str
    to: str


@dataclass(frozen=True, slots=True)
class StateTable:
    """One machine: its name, its first state, and its rows."""

    name: str
    initial: str
    rows: tuple[TableRow, ...]

    def __hash__(self) -> int:
        """Hash by the name alone: no two tables share one, and hashing all rows takes long."""
        return hash(self.name)

    @property
    def states(self) -> tuple[str, ...]:
        """Every state, in the order in which the rows name them."""
        named = [self.initial] + [s for row in self.rows for s in (row.state, row.to)]
        return tuple(dict.fromkeys(named))

    @property
    def events(self) -> tuple[str, ...]:
        """Every event, in the order in which the rows name them."""
        return tuple(dict.fromkeys(row.event for row in self.rows))


def _each(states: Sequence[str], event: str, to: str) -> tuple[TableRow, ...]:
    """Write out one row for each state: analysis must see every row."""
    return tuple(TableRow(state, event, to) for state in states)


SUPPLY: Final = StateTable(
    "supply",
    "DEAD",
    (
        TableRow("DEAD", "ISOLATOR_ON", "TRIPPED"),
        TableRow("TRIPPED", "RESET", "OFF"),
        TableRow("OFF", "CONTROL_ON", "ON"),
        *_each(("OFF", "ON"), "EMERGENCY", "TRIPPED"),
        *_each(("TRIPPED", "OFF", "ON"), "ISOLATOR_OFF", "DEAD"),
    ),
)

# While the mode switch is turned, and half a second after, the saw has no mode.
MODE: Final = StateTable(
    "mode",
    "MANUAL",
    (
        *_each(("MANUAL", "MAINTENANCE", "PRODUCTION"), "TURN", "NONE"),
        TableRow("NONE", "TAKE_MANUAL", "MANUAL"),
        TableRow("NONE", "TAKE_MAINTENANCE", "MAINTENANCE"),
        TableRow("NONE", "TAKE_PRODUCTION", "PRODUCTION"),
    ),
)

BAND: Final = StateTable(
    "band",
    "STOPPED",
    (
        TableRow("STOPPED", "START", "STARTING"),
        TableRow("STARTING", "AT_SPEED", "RUNNING"),
        *_each(("STARTING", "RUNNING"), "STOP", "COASTING"),
        *_each(("STARTING", "RUNNING"), "POWER_LOST", "COASTING"),
        TableRow("COASTING", "STANDSTILL", "STOPPED"),
        *_each(("STOPPED", "STARTING", "RUNNING", "COASTING"), "TRIP", "TRIPPED"),
        TableRow("TRIPPED", "RESET", "STOPPED"),
    ),
)


def _vise(name: str) -> StateTable:
    return StateTable(
        name,
        "RELEASED",
        (
            *_each(("RELEASED", "RELEASING", "BETWEEN"), "CLAMP", "CLAMPING"),
            TableRow("CLAMPING", "HAS_CLAMPED", "CLAMPED"),
            *_each(("CLAMPED", "CLAMPING", "BETWEEN"), "RELEASE", "RELEASING"),
            TableRow("RELEASING", "IS_BACK", "RELEASED"),
            TableRow("CLAMPED", "CLAMPING_LOST", "BETWEEN"),
            *_each(("CLAMPING", "RELEASING"), "HALT", "BETWEEN"),
            *_each(("CLAMPING", "RELEASING"), "POWER_LOST", "BETWEEN"),
            TableRow("BETWEEN", "HAS_CLAMPED", "CLAMPED"),
            TableRow("BETWEEN", "IS_BACK", "RELEASED"),
            TableRow("RELEASED", "LEFT_BACK", "BETWEEN"),
        ),
    )


CUTTING_VISE: Final = _vise("cutting_vise")
SHUTTLE_VISE: Final = _vise("shuttle_vise")

SHUTTLE: Final = StateTable(
    "shuttle",
    "FORWARD",
    (
        *_each(("FORWARD", "BETWEEN", "GOING_FORWARD"), "GO_BACK", "GOING_BACK"),
        *_each(("BACK", "BETWEEN", "GOING_BACK"), "GO_FORWARD", "GOING_FORWARD"),
        TableRow("GOING_BACK", "REACHED_BACK", "BACK"),
        TableRow("GOING_FORWARD", "REACHED_FORWARD", "FORWARD"),
        *_each(("GOING_BACK", "GOING_FORWARD"), "HALT", "BETWEEN"),
        *_each(("GOING_BACK", "GOING_FORWARD"), "POWER_LOST", "BETWEEN"),
        TableRow("BACK", "LEFT_BACK", "BETWEEN"),
        TableRow("FORWARD", "LEFT_FORWARD", "BETWEEN"),
        TableRow("BETWEEN", "REACHED_BACK", "BACK"),
        TableRow("BETWEEN", "REACHED_FORWARD", "FORWARD"),
    ),
)

HEAD: Final = StateTable(
    "head",
    "UP",
    (
        *_each(("UP", "BETWEEN", "RAISING"), "LOWER", "LOWERING"),
        *_each(("DOWN", "BETWEEN", "LOWERING"), "RAISE", "RAISING"),
        TableRow("LOWERING", "REACHED_DOWN", "DOWN"),
        TableRow("RAISING", "REACHED_UP", "UP"),
        *_each(("LOWERING", "RAISING"), "HALT", "BETWEEN"),
        *_each(("LOWERING", "RAISING"), "POWER_LOST", "BETWEEN"),
        TableRow("UP", "LEFT_UP", "BETWEEN"),
        TableRow("DOWN", "LEFT_DOWN", "BETWEEN"),
        TableRow("BETWEEN", "REACHED_UP", "UP"),
        TableRow("BETWEEN", "REACHED_DOWN", "DOWN"),
    ),
)

COOLANT: Final = StateTable(
    "coolant",
    "OFF",
    (
        TableRow("OFF", "FLOW", "FLOWING"),
        TableRow("FLOWING", "CEASE", "OFF"),
        TableRow("FLOWING", "POWER_LOST", "OFF"),
    ),
)

# What is chosen at the console. Coolant that was on stays off when the power comes back.
COOLANT_CHOICE: Final = StateTable(
    "coolant_choice",
    "OFF",
    (
        *_each(("WITH_BAND", "ON"), "CHOOSE_OFF", "OFF"),
        *_each(("OFF", "ON"), "CHOOSE_WITH_BAND", "WITH_BAND"),
        *_each(("OFF", "WITH_BAND"), "CHOOSE_ON", "ON"),
        TableRow("ON", "POWER_LOST", "OFF"),
    ),
)

# How a job begins: by squaring the bar's end, or straight with a piece.
FIRST: Final = StateTable(
    "first",
    "SQUARE",
    (
        TableRow("STRAIGHT", "CHOOSE_SQUARE", "SQUARE"),
        TableRow("SQUARE", "CHOOSE_STRAIGHT", "STRAIGHT"),
    ),
)

# The states of ISA-TR88.00.02 from which its Stop and Abort commands lead away.
_STOPPABLE = (
    "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "COMPLETE",
    "RESETTING",
)  # fmt: skip
_ABORTABLE = (*_STOPPABLE, "STOPPED", "STOPPING", "CLEARING")

JOB_RUNS: Final = ("STARTING", "EXECUTE", "UNHOLDING")
JOB_UNDER_WAY: Final = (*JOB_RUNS, "HOLDING", "COMPLETING")  # it has the parts

JOB: Final = StateTable(
    "job",
    "STOPPED",
    (
        *_each(("STOPPED", "COMPLETE"), "RESET", "RESETTING"),
        TableRow("RESETTING", "STATE_COMPLETE", "IDLE"),
        TableRow("IDLE", "START", "STARTING"),
        TableRow("STARTING", "STATE_COMPLETE", "EXECUTE"),
        TableRow("EXECUTE", "COMPLETE", "COMPLETING"),
        TableRow("COMPLETING", "STATE_COMPLETE", "COMPLETE"),
        *_each(JOB_RUNS, "HOLD", "HOLDING"),
        TableRow("HOLDING", "STATE_COMPLETE", "HELD"),
        TableRow("HELD", "UNHOLD", "UNHOLDING"),
        TableRow("UNHOLDING", "STATE_COMPLETE", "EXECUTE"),
        *_each(_STOPPABLE, "STOP", "STOPPING"),
        TableRow("STOPPING", "STATE_COMPLETE", "STOPPED"),
        *_each(_ABORTABLE, "ABORT", "ABORTING"),
        TableRow("ABORTING", "STATE_COMPLETE", "ABORTED"),
        TableRow("ABORTED", "CLEAR", "CLEARING"),
        TableRow("CLEARING", "STATE_COMPLETE", "STOPPED"),
    ),
)

# The steps of one piece. NEXT walks down the list; a branch is two different events.
_UNCUT = (
    "RELEASE_SHUTTLE_VISE", "SHUTTLE_BACK", "CLAMP_SHUTTLE_VISE", "RELEASE_CUTTING_VISE",
    "SHUTTLE_FORWARD", "CLAMP_CUTTING_VISE", "CLAMP_TO_SQUARE", "BAND_TO_SPEED",
)  # fmt: skip
_SECURES = ("SECURE_CUTTING_VISE", "SECURE_SHUTTLE_VISE")
_STEPS = (*_UNCUT, "LOWER_HEAD", "RAISE_HEAD", "COUNT", *_SECURES)
CYCLE: Final = StateTable(
    "cycle",
    "PARKED",
    (
        TableRow("PARKED", "BEGIN_PIECE", "RELEASE_SHUTTLE_VISE"),
        TableRow("PARKED", "BEGIN_SQUARE", "CLAMP_TO_SQUARE"),
        TableRow("RELEASE_SHUTTLE_VISE", "NEXT", "SHUTTLE_BACK"),
        TableRow("SHUTTLE_BACK", "NEXT", "CLAMP_SHUTTLE_VISE"),
        TableRow("CLAMP_SHUTTLE_VISE", "NEXT", "RELEASE_CUTTING_VISE"),
        TableRow("RELEASE_CUTTING_VISE", "NEXT", "SHUTTLE_FORWARD"),
        TableRow("SHUTTLE_FORWARD", "NEXT", "CLAMP_CUTTING_VISE"),
        TableRow("CLAMP_CUTTING_VISE", "STROKES_LEFT", "RELEASE_SHUTTLE_VISE"),
        TableRow("CLAMP_CUTTING_VISE", "NEXT", "BAND_TO_SPEED"),
        TableRow("CLAMP_TO_SQUARE", "NEXT", "BAND_TO_SPEED"),
        TableRow("BAND_TO_SPEED", "NEXT", "LOWER_HEAD"),
        TableRow("LOWER_HEAD", "NEXT", "RAISE_HEAD"),
        TableRow("LOWER_HEAD", "BAND_STANDS", "BAND_TO_SPEED"),
        TableRow("RAISE_HEAD", "NEXT", "COUNT"),
        TableRow("COUNT", "PIECES_LEFT", "RELEASE_SHUTTLE_VISE"),
        TableRow("COUNT", "LAST_PIECE", "PARKED"),
        # The job is completed before the bar was fed: both vises clamp, and nothing is cut.
        *_each(_UNCUT, "SECURE", "SECURE_CUTTING_VISE"),
        TableRow("SECURE_CUTTING_VISE", "NEXT", "SECURE_SHUTTLE_VISE"),
        TableRow("SECURE_SHUTTLE_VISE", "NEXT", "PARKED"),
        # The job is stopped: the head is raised, and nothing else is done.
        *_each(_STEPS, "WITHDRAW", "WITHDRAW"),
        *_each((*_STEPS, "WITHDRAW"), "PARK", "PARKED"),
    ),
)

TABLES: Final = (
    SUPPLY, MODE, BAND, CUTTING_VISE, SHUTTLE_VISE, SHUTTLE, HEAD, COOLANT, COOLANT_CHOICE, FIRST,
    JOB, CYCLE,
)  # fmt: skip

REMEMBERED: Final = (
    "latch.deviation", "latch.trip_line", "watch.deviation", "watch.jog", "watch.run_on",
)  # fmt: skip
"""What the controller keeps beside the states: latches, and what is being timed; true or false."""


def check(table: StateTable) -> None:
    """Hold a table to its own rules.

    Raises:
        TableError: Two rows for one (state, event), or a state that no row leads to.
    """
    seen: set[tuple[str, str]] = set()
    for row in table.rows:
        if (row.state, row.event) in seen:
            raise TableError(f"two rows for {row.state} on {row.event}", where=table.name)
        seen.add((row.state, row.event))
    reached = {table.initial} | {row.to for row in table.rows}
    for state in table.states:
        if state not in reached:
            raise TableError(f"no row leads to {state}", where=table.name)
