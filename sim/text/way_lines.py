"""A way out in words of the terminal: the lines to type for each of its acts.

Never here: how a way is found, and how it is told.
"""

from math import ceil
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.switches import ALREADY
from sim.control.table import TABLES
from sim.logic.bench.way import BenchAct, Way

_TABLE_OF: Final = {table.name: table for table in TABLES}


def lines_of(way: Way) -> tuple[str, ...]:
    """Return what is typed to do a way, a line each, in order."""
    return tuple(line for step in way.steps for line in typed(step.act))


def typed(act: BenchAct) -> tuple[str, ...]:
    """Return what is typed to do one act."""
    if act.verb == "tap":
        return (f"palms {act.names[0]}" if len(act.names) > 1 else f"tap {act.names[0]}",)
    if act.verb == "hold":
        (key,) = act.names
        if act.seconds:
            return (f"hold {key} {act.seconds:g}",)
        return f"press {key}", f"wait until {_there(key)}", f"release {key}"
    if act.verb == "turn":
        return (f"turn {act.names[0].removeprefix('mode.')}",)
    if act.verb == "set":
        return tuple(
            f"set {name} {setting if isinstance(setting, str) else f'{setting:g}'}"
            for name, setting in act.settings
        )
    if act.verb == "load":
        return ("load",)
    if act.verb == "wait":
        return (_waiting(act),)
    return tuple(f"{act.verb} {name}" for name in act.names)


def _waiting(act: BenchAct) -> str:
    if act.seconds:
        return f"wait {ceil(act.seconds)}"
    if act.until is None:
        return "wait still"
    machine, state = act.until
    return f"wait until {machine}.{state.lower()}"


def _there(key: str) -> str:
    """Return the state in which the part is where its key brings it."""
    action = BY_NAME[key]
    rows = _TABLE_OF[action.machine].rows
    moving = next(row.to for row in rows if row.event == action.event)
    event = ALREADY[(action.machine, moving)][2]
    end = next(row.to for row in rows if (row.state, row.event) == (moving, event))
    return f"{action.machine}.{end.lower()}"
