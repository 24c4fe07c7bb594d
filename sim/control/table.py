"""The state tables of the eight machines in the controller.

Rule 1: every state that the controller can be in, and every step from one to another, is in this
file. Rule 2: this file does not know who asked. Whether a command may be given is decided in
`interlocks`, what it energises in `outputs`, what follows from it in `interlocks.REACTIONS`.

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
class Row:
    """In this state, on this event, go there."""

    state: str
    event: str
    to: str


@dataclass(frozen=True, slots=True)
class Table:
    """One machine: its name, its first state, and its rows."""

    name: str
    initial: str
    rows: tuple[Row, ...]

    @property
    def states(self) -> tuple[str, ...]:
        """Every state, in the order in which the rows name them."""
        named = [self.initial] + [s for row in self.rows for s in (row.state, row.to)]
        return tuple(dict.fromkeys(named))

    @property
    def events(self) -> tuple[str, ...]:
        """Every event, in the order in which the rows name them."""
        return tuple(dict.fromkeys(row.event for row in self.rows))


def _each(states: Sequence[str], event: str, to: str) -> tuple[Row, ...]:
    """Write out one row for each state: analysis must see every row."""
    return tuple(Row(state, event, to) for state in states)


SUPPLY: Final = Table(
    "supply",
    "DEAD",
    (
        Row("DEAD", "ISOLATOR_ON", "OFF"),
        Row("OFF", "CONTROL_ON", "ON"),
        *_each(("OFF", "ON"), "EMERGENCY_PRESSED", "EMERGENCY"),
        Row("EMERGENCY", "EMERGENCY_RELEASED", "OFF"),
        *_each(("OFF", "ON", "EMERGENCY"), "ISOLATOR_OFF", "DEAD"),
    ),
)

BAND: Final = Table(
    "band",
    "STOPPED",
    (
        Row("STOPPED", "START", "STARTING"),
        Row("STARTING", "AT_SPEED", "RUNNING"),
        *_each(("STARTING", "RUNNING"), "STOP", "COASTING"),
        *_each(("STARTING", "RUNNING"), "POWER_LOST", "COASTING"),
        Row("COASTING", "STANDSTILL", "STOPPED"),
        *_each(("STOPPED", "STARTING", "RUNNING", "COASTING"), "TRIP", "TRIPPED"),
        Row("TRIPPED", "RESET", "STOPPED"),
    ),
)


def _vise(name: str) -> Table:
    return Table(
        name,
        "OPEN",
        (
            *_each(("OPEN", "FREEING", "BETWEEN"), "GRIP", "GRIPPING"),
            Row("GRIPPING", "GRIPPED", "GRIPPED"),
            *_each(("GRIPPED", "GRIPPING", "BETWEEN"), "FREE", "FREEING"),
            Row("FREEING", "FREED", "OPEN"),
            Row("GRIPPED", "GRIP_LOST", "BETWEEN"),
            *_each(("GRIPPING", "FREEING"), "POWER_LOST", "BETWEEN"),
            Row("BETWEEN", "GRIPPED", "GRIPPED"),
            Row("BETWEEN", "FREED", "OPEN"),
            Row("OPEN", "LEFT_BACK", "BETWEEN"),
        ),
    )


CUTTING_VISE: Final = _vise("cutting_vise")
SHUTTLE_VISE: Final = _vise("shuttle_vise")

SHUTTLE: Final = Table(
    "shuttle",
    "FORWARD",
    (
        *_each(("FORWARD", "BETWEEN", "TO_BLADE"), "GO_TO_STOP", "TO_STOP"),
        *_each(("AT_STOP", "BETWEEN", "TO_STOP"), "GO_TO_BLADE", "TO_BLADE"),
        Row("TO_STOP", "REACHED_STOP", "AT_STOP"),
        Row("TO_BLADE", "REACHED_BLADE", "FORWARD"),
        *_each(("TO_STOP", "TO_BLADE"), "HALT", "BETWEEN"),
        *_each(("TO_STOP", "TO_BLADE"), "POWER_LOST", "BETWEEN"),
        Row("AT_STOP", "LEFT_STOP", "BETWEEN"),
        Row("FORWARD", "LEFT_BLADE", "BETWEEN"),
        Row("BETWEEN", "REACHED_STOP", "AT_STOP"),
        Row("BETWEEN", "REACHED_BLADE", "FORWARD"),
    ),
)

HEAD: Final = Table(
    "head",
    "UP",
    (
        *_each(("UP", "BETWEEN", "LIFTING"), "LOWER", "LOWERING"),
        *_each(("DOWN", "BETWEEN", "LOWERING"), "LIFT", "LIFTING"),
        Row("LOWERING", "REACHED_DOWN", "DOWN"),
        Row("LIFTING", "REACHED_UP", "UP"),
        *_each(("LOWERING", "LIFTING"), "HALT", "BETWEEN"),
        *_each(("LOWERING", "LIFTING"), "POWER_LOST", "BETWEEN"),
        Row("UP", "LEFT_UP", "BETWEEN"),
        Row("DOWN", "LEFT_DOWN", "BETWEEN"),
        Row("BETWEEN", "REACHED_UP", "UP"),
        Row("BETWEEN", "REACHED_DOWN", "DOWN"),
    ),
)

COOLANT: Final = Table(
    "coolant",
    "DRY",
    (
        Row("DRY", "FLOW", "FLOWING"),
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

JOB: Final = Table(
    "job",
    "STOPPED",
    (
        *_each(("STOPPED", "COMPLETE"), "RESET", "RESETTING"),
        Row("RESETTING", "STATE_COMPLETE", "IDLE"),
        Row("IDLE", "START", "STARTING"),
        Row("STARTING", "STATE_COMPLETE", "EXECUTE"),
        Row("EXECUTE", "COMPLETE", "COMPLETING"),
        Row("COMPLETING", "STATE_COMPLETE", "COMPLETE"),
        *_each(("STARTING", "EXECUTE", "UNHOLDING"), "HOLD", "HOLDING"),
        Row("HOLDING", "STATE_COMPLETE", "HELD"),
        Row("HELD", "UNHOLD", "UNHOLDING"),
        Row("UNHOLDING", "STATE_COMPLETE", "EXECUTE"),
        *_each(_STOPPABLE, "STOP", "STOPPING"),
        Row("STOPPING", "STATE_COMPLETE", "STOPPED"),
        *_each(_ABORTABLE, "ABORT", "ABORTING"),
        Row("ABORTING", "STATE_COMPLETE", "ABORTED"),
        Row("ABORTED", "CLEAR", "CLEARING"),
        Row("CLEARING", "STATE_COMPLETE", "STOPPED"),
    ),
)

# The steps of one piece. NEXT walks down the list; a branch is two different events.
CYCLE: Final = Table(
    "cycle",
    "PARKED",
    (
        *_each(("PARKED",), "BEGIN_PIECE", "FREE_SHUTTLE_VISE"),
        *_each(("PARKED",), "BEGIN_TRIM", "GRIP_FOR_TRIM"),
        Row("FREE_SHUTTLE_VISE", "NEXT", "SHUTTLE_TO_STOP"),
        Row("SHUTTLE_TO_STOP", "NEXT", "GRIP_SHUTTLE_VISE"),
        Row("GRIP_SHUTTLE_VISE", "NEXT", "FREE_CUTTING_VISE"),
        Row("FREE_CUTTING_VISE", "NEXT", "SHUTTLE_TO_BLADE"),
        Row("SHUTTLE_TO_BLADE", "NEXT", "GRIP_CUTTING_VISE"),
        Row("GRIP_CUTTING_VISE", "STROKES_LEFT", "FREE_SHUTTLE_VISE"),
        Row("GRIP_CUTTING_VISE", "NEXT", "BAND_TO_SPEED"),
        Row("GRIP_FOR_TRIM", "NEXT", "BAND_TO_SPEED"),
        Row("BAND_TO_SPEED", "NEXT", "LOWER_HEAD"),
        Row("LOWER_HEAD", "NEXT", "LIFT_HEAD"),
        Row("LOWER_HEAD", "BAND_STANDS", "BAND_TO_SPEED"),
        Row("LIFT_HEAD", "NEXT", "COUNT"),
        Row("COUNT", "PIECES_LEFT", "FREE_SHUTTLE_VISE"),
        Row("COUNT", "LAST_PIECE", "PARKED"),
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


def check(table: Table) -> None:
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
