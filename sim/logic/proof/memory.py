"""What the controller can remember, as variables with few values each.

A variable is one entry of the controller's image that is not a key: a machine's state, a switch, a
selector, a latch, who asked for a motion, the job's two flags. The counters on the JOB strip are no
variables. Two questions stand for them: whether the present piece is the last, and whether it needs
another stroke. A hand can turn the counters at any moment, so either answer is always possible.
"""

from typing import Final

from sim.control.actions import STATIONS
from sim.control.interlocks import PERMISSIVES, REACTIONS, When
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.signals import BY_TAG, SIGNALS, Source

Value = object
State = dict[str, Value]

_WATCHED: Final = "B52"  # the controller times how long the band wanders
_ASKED: Final = {
    _WATCHED,
    *(tag for tag, _ in SENSOR_EVENTS),
    *(row.need.subject for row in PERMISSIVES),
    *(row.subject for row in REACTIONS),
    *(subject for row in REACTIONS for subject, _ in row.given),
}
DEVICES: Final = tuple(
    row.tag for row in SIGNALS if row.tag in _ASKED and (row.source is not Source.KEY or row.fails)
)
"""Switches and latches that the controller reads, besides its keys; the rest drive lamps only."""
CAN_FAIL: Final = tuple(tag for tag in DEVICES if BY_TAG[tag].fails)
"""Those whose row says what their going bad looks like; their good side is True."""

LAST_PIECE: Final = "count.last"
MORE_STROKES: Final = "count.more"
QUESTIONS: Final = (LAST_PIECE, MORE_STROKES)

_ORIGINS: Final = (When.HAND, When.AUTO)

DOMAINS: Final[dict[str, tuple[Value, ...]]] = {
    **{table.name: table.states for table in TABLES},
    **dict.fromkeys(DEVICES, (False, True)),
    **{f"mode.{station}": ("HAND", "AUTO") for station in STATIONS},
    "origin.shuttle": _ORIGINS,
    "origin.head": _ORIGINS,
    "latch.deviation": (False, True),
    "watch.deviation": (False, True),
    "job.armed": (False, True),
    "job.trimming": (False, True),
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


# The motions of the job that have permissives to keep.
DRIVEN_BY_JOB: Final = {"shuttle": ("TO_STOP", "TO_BLADE"), "head": ("LOWERING",)}

MOVING: Final = {"shuttle": ("TO_STOP", "TO_BLADE"), "head": ("LIFTING", "LOWERING")}

# A variable matters only while the second variable has one of these values; otherwise it is written
# before it is read again. Then it is kept at its first value, so that states that act alike count as
# one.
MATTERS_IN: Final[dict[str, tuple[str, tuple[Value, ...]]]] = {
    "origin.shuttle": ("shuttle", MOVING["shuttle"]),
    "origin.head": ("head", MOVING["head"]),
    "job.armed": ("job", ("HELD",)),
    "job.trimming": (
        "cycle",
        ("GRIP_FOR_TRIM", "BAND_TO_SPEED", "LOWER_HEAD", "LIFT_HEAD", "COUNT"),
    ),
}


def tidied(state: State) -> State:
    """Return the state with every variable that no longer matters at its first value."""
    tidy = dict(state)
    for name, (other, values) in MATTERS_IN.items():
        if tidy[other] not in values:
            tidy[name] = DOMAINS[name][0]
    return tidy
