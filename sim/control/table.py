"""The state tables of the machines in the controller: the supply, the stations, the job and its cycle.

Rule 1: every state that a machine can be in, and every step from one to another, is in this file.
Rule 2: this file does not know who asked. Whether a command may be given, and what follows from a
state by itself, is decided in `interlocks`; what a state energises, in `outputs`.

Theory. Each subsystem is a small flat machine: a state says where the thing is (GRIPPED), an event
what happened (GRIPPED, from a switch) or what was asked (GRIP). A (state, event) pair that has no
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
        TableRow("DEAD", "ISOLATOR_ON", "OFF"),
        TableRow("OFF", "CONTROL_ON", "ON"),
        *_each(("OFF", "ON"), "EMERGENCY_PRESSED", "EMERGENCY"),
        TableRow("EMERGENCY", "EMERGENCY_RELEASED", "OFF"),
        *_each(("OFF", "ON", "EMERGENCY"), "ISOLATOR_OFF", "DEAD"),
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
        "OPEN",
        (
            *_each(("OPEN", "FREEING", "BETWEEN"), "GRIP", "GRIPPING"),
            TableRow("GRIPPING", "GRIPPED", "GRIPPED"),
            *_each(("GRIPPED", "GRIPPING", "BETWEEN"), "FREE", "FREEING"),
            TableRow("FREEING", "FREED", "OPEN"),
            TableRow("GRIPPED", "GRIP_LOST", "BETWEEN"),
            *_each(("GRIPPING", "FREEING"), "POWER_LOST", "BETWEEN"),
            TableRow("BETWEEN", "GRIPPED", "GRIPPED"),
            TableRow("BETWEEN", "FREED", "OPEN"),
            TableRow("OPEN", "LEFT_BACK", "BETWEEN"),
        ),
    )


CUTTING_VISE: Final = _vise("cutting_vise")
SHUTTLE_VISE: Final = _vise("shuttle_vise")

SHUTTLE: Final = StateTable(
    "shuttle",
    "FORWARD",
    (
        *_each(("FORWARD", "BETWEEN", "TO_BLADE"), "GO_TO_STOP", "TO_STOP"),
        *_each(("AT_STOP", "BETWEEN", "TO_STOP"), "GO_TO_BLADE", "TO_BLADE"),
        TableRow("TO_STOP", "REACHED_STOP", "AT_STOP"),
        TableRow("TO_BLADE", "REACHED_BLADE", "FORWARD"),
        *_each(("TO_STOP", "TO_BLADE"), "HALT", "BETWEEN"),
        *_each(("TO_STOP", "TO_BLADE"), "POWER_LOST", "BETWEEN"),
        TableRow("AT_STOP", "LEFT_STOP", "BETWEEN"),
        TableRow("FORWARD", "LEFT_BLADE", "BETWEEN"),
        TableRow("BETWEEN", "REACHED_STOP", "AT_STOP"),
        TableRow("BETWEEN", "REACHED_BLADE", "FORWARD"),
    ),
)

HEAD: Final = StateTable(
    "head",
    "UP",
    (
        *_each(("UP", "BETWEEN", "LIFTING"), "LOWER", "LOWERING"),
        *_each(("DOWN", "BETWEEN", "LOWERING"), "LIFT", "LIFTING"),
        TableRow("LOWERING", "REACHED_DOWN", "DOWN"),
        TableRow("LIFTING", "REACHED_UP", "UP"),
        *_each(("LOWERING", "LIFTING"), "HALT", "BETWEEN"),
        *_each(("LOWERING", "LIFTING"), "POWER_LOST", "BETWEEN"),
        TableRow("UP", "LEFT_UP", "BETWEEN"),
        TableRow("DOWN", "LEFT_DOWN", "BETWEEN"),
        TableRow("BETWEEN", "REACHED_UP", "UP"),
        TableRow("BETWEEN", "REACHED_DOWN", "DOWN"),
    ),
)

COOLANT: Final = StateTable(
    "coolant",
    "DRY",
    (
        TableRow("DRY", "FLOW", "FLOWING"),
        *_each(("FLOWING",), "DRY", "DRY"),
        *_each(("FLOWING",), "POWER_LOST", "DRY"),
    ),
)

# The states of ISA-TR88.00.02 from which its Stop and Abort commands lead away.
_STOPPABLE = (
    "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "COMPLETE",
    "RESETTING",
)  # fmt: skip
_ABORTABLE = (*_STOPPABLE, "STOPPED", "STOPPING", "CLEARING")

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
        *_each(("STARTING", "EXECUTE", "UNHOLDING"), "HOLD", "HOLDING"),
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
CYCLE: Final = StateTable(
    "cycle",
    "PARKED",
    (
        *_each(("PARKED",), "BEGIN_PIECE", "FREE_SHUTTLE_VISE"),
        *_each(("PARKED",), "BEGIN_TRIM", "GRIP_FOR_TRIM"),
        TableRow("FREE_SHUTTLE_VISE", "NEXT", "SHUTTLE_TO_STOP"),
        TableRow("SHUTTLE_TO_STOP", "NEXT", "GRIP_SHUTTLE_VISE"),
        TableRow("GRIP_SHUTTLE_VISE", "NEXT", "FREE_CUTTING_VISE"),
        TableRow("FREE_CUTTING_VISE", "NEXT", "SHUTTLE_TO_BLADE"),
        TableRow("SHUTTLE_TO_BLADE", "NEXT", "GRIP_CUTTING_VISE"),
        TableRow("GRIP_CUTTING_VISE", "STROKES_LEFT", "FREE_SHUTTLE_VISE"),
        TableRow("GRIP_CUTTING_VISE", "NEXT", "BAND_TO_SPEED"),
        TableRow("GRIP_FOR_TRIM", "NEXT", "BAND_TO_SPEED"),
        TableRow("BAND_TO_SPEED", "NEXT", "LOWER_HEAD"),
        TableRow("LOWER_HEAD", "NEXT", "LIFT_HEAD"),
        TableRow("LOWER_HEAD", "BAND_STANDS", "BAND_TO_SPEED"),
        TableRow("LIFT_HEAD", "NEXT", "COUNT"),
        TableRow("COUNT", "PIECES_LEFT", "FREE_SHUTTLE_VISE"),
        TableRow("COUNT", "LAST_PIECE", "PARKED"),
        *_each(
            (
                "FREE_SHUTTLE_VISE", "SHUTTLE_TO_STOP", "GRIP_SHUTTLE_VISE", "FREE_CUTTING_VISE",
                "SHUTTLE_TO_BLADE", "GRIP_CUTTING_VISE", "GRIP_FOR_TRIM", "BAND_TO_SPEED",
                "LOWER_HEAD", "LIFT_HEAD", "COUNT",
            ),
            "PARK",
            "PARKED",
        ),
    ),
)  # fmt: skip

TABLES: Final = (SUPPLY, BAND, CUTTING_VISE, SHUTTLE_VISE, SHUTTLE, HEAD, COOLANT, JOB, CYCLE)


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
