"""What the controller can remember, as variables with few values each.

A variable is one entry of the controller's image that is not a key: a machine's state, a switch, a
latch, what is being timed, what the job remembers of its piece. The counters on the JOB strip are no
variables. Three questions stand for them: whether the present piece is the last, whether it needs
another stroke, and whether the band runs on after the job. A hand can turn the counters at any
moment, so either answer is always possible. Nor is it a variable which start waits for the palm
keys: all that stands against it is asked again when they go down.
"""

from collections.abc import Mapping
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.signals import BY_TAG, MODE_SWITCH, SIGNALS, Source

Value = object
State = dict[str, Value]
Fact = tuple[str, tuple[Value, ...]]  # the variable has one of the values
Case = tuple[Fact, ...]  # all of them


def holds(case: Case, state: Mapping[str, Value]) -> bool:
    """Return whether a case holds in a state."""
    return all(state[name] in values for name, values in case)


_WATCHED: Final = "B52"  # the controller times how long the band wanders
_AT_ANY_TIME: Final = {  # what is read at any time, not only in the moment in which it changes
    _WATCHED,
    *MODE_SWITCH,
    *(tag for tag, _ in SENSOR_EVENTS),
    *(row.need.subject for row in PERMISSIVES),
    *(subject for row in REACTIONS for subject, _ in row.given),
}
_AT_ITS_EDGE: Final = {row.subject for row in REACTIONS}
DEVICES: Final = tuple(
    row.tag
    for row in SIGNALS
    if row.tag in _AT_ANY_TIME or (row.tag in _AT_ITS_EDGE and row.source is not Source.KEY)
)
"""Switches and latches that the controller reads, and the enabling device; no other key is read but
in the moment in which it goes down or comes up."""
CAN_FAIL: Final = tuple(tag for tag in DEVICES if BY_TAG[tag].fails)
"""Those whose row says what their going bad looks like; their good side is True."""

LAST_PIECE: Final = "count.last"
MORE_STROKES: Final = "count.more"
RUNS_ON: Final = "job.run_on"
QUESTIONS: Final = (LAST_PIECE, MORE_STROKES, RUNS_ON)

_LATCHES: Final = (
    "latch.deviation", "latch.trip_line", "watch.deviation", "watch.jog", "watch.run_on",
    "job.squaring", "job.fed", "job.owes",
)  # fmt: skip

DOMAINS: Final[dict[str, tuple[Value, ...]]] = {
    **{table.name: table.states for table in TABLES},
    **dict.fromkeys(DEVICES, (False, True)),
    **dict.fromkeys(_LATCHES, (False, True)),
}

# Two ends of one travel are never reached at once, and a band at speed turns.
NEVER_TOGETHER: Final = (
    (("B31", True), ("B33", True)),
    (("B32", True), ("B34", True)),
    (("B21", True), ("B22", True)),
    (("B11", True), ("B12", True)),
    (("B1", False), ("B2", True)),
)


# For each variable that is in one of these pairs, what each of its values is never together with.
APART: Final[dict[str, dict[Value, tuple[str, Value]]]] = {}
for _one, _other in NEVER_TOGETHER:
    APART.setdefault(_one[0], {})[_one[1]] = _other
    APART.setdefault(_other[0], {})[_other[1]] = _one


def possible(known: dict[str, Value], name: str, value: Value) -> bool:
    """Return whether `name` can have the value beside what is known."""
    if name not in APART or value not in APART[name]:
        return True
    other, other_value = APART[name][value]
    return known.get(other) != other_value


# The motions that have permissives to keep: by machine, the states that they are seen by.
KEPT: Final[dict[str, tuple[str, ...]]] = {
    table.name: states
    for table in TABLES
    if (
        states := tuple(
            dict.fromkeys(
                step.to
                for row in PERMISSIVES
                for step in table.rows
                if row.keeps
                and BY_NAME[row.action].machine == table.name
                and step.event == BY_NAME[row.action].event
            )
        )
    )
}

# A variable matters only where all of these variables have one of these values; otherwise it is kept
# at its first value, so that states that act alike count as one. The enabling device and the
# variator's lowest speed are read in MAINTENANCE only, when there is power for a motion; both may
# become anything there. The safety relay is asked only where the safety circuit counts as reset. How a
# job begins is read in the move that begins it, and may be anything then (see `moves`).
_TO_BE_ENABLED: Final[Case] = (("mode", ("MAINTENANCE",)), ("supply", ("ON",)))
MATTERS_IN: Final[dict[str, Case]] = {
    "S7": _TO_BE_ENABLED,
    "B3": _TO_BE_ENABLED,
    "K0": (("supply", ("OFF", "ON")),),
    "first": (("first", ()),),
}


def tidied(state: State) -> State:
    """Return the state with every variable that no longer matters at its first value."""
    tidy = dict(state)
    for name, case in MATTERS_IN.items():
        if not holds(case, tidy):
            tidy[name] = DOMAINS[name][0]
    return tidy
