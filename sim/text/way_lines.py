"""A way out in words of the terminal: the lines to type for each of its acts.

Never here: how a way is found, and how it is told.
"""

from math import ceil

from sim.logic.bench.way import BenchAct, Way, there


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
        machine, state = there(key)
        return f"press {key}", f"wait until {machine}.{state.lower()}", f"release {key}"
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
