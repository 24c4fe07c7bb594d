"""Whether a name that somebody gave is known: keys, faults, steps of the lock-out, inspections, wires.

Each function returns the row of its table, or refuses the name and tells the nearest one.
"""

from collections.abc import Collection, Mapping
from typing import Final, TypeVar

from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.scenario.nearest import nearest
from sim.scenario.scenario import Scenario
from sim.session import inspections, lockout
from sim.session.inspections import Inspection
from sim.session.inspections.probes import may_probe
from sim.signals import BY_KEY, BY_TAG, MODE_SWITCH, Signal
from sim.wiring.loom import Loom
from sim.words.fields import name
from sim.words.message import Row, row

_NO_KEY: Final = row("known.no-key", "there is no key called {name}", name=name())
_NO_WIRE: Final = row("known.no-signal", "there is no signal called {name}", name=name())
_NO_MODE: Final = row("known.no-mode", "there is no mode called {name}", name=name())
_NO_FAULT: Final = row("known.no-fault", "there is no fault called {name}", name=name())
_NO_STEP: Final = row(
    "known.no-lockout-step", "there is no lock-out step called {name}", name=name()
)
_NO_TERMINAL: Final = row("known.no-terminal", "there is no terminal called {name}", name=name())
_NO_LOOK: Final = row("known.no-inspection", "there is no inspection called {name}", name=name())

_MODES: Final = {BY_TAG[tag].key.partition(".")[2]: BY_TAG[tag].key for tag in MODE_SWITCH}

_Known = TypeVar("_Known")


def _found(table: Mapping[str, _Known], called: str, unknown: Row, where: str) -> _Known:
    if called not in table:
        raise _unknown(called, unknown, where, table)
    return table[called]


def _unknown(called: str, unknown: Row, where: str, names: Collection[str]) -> CommandError:
    return CommandError(unknown(name=repr(called)), where, nearest(called, names))


def key_called(key: str, where: str = "press") -> Signal:
    """Return the wire of a key or a latch.

    Raises:
        CommandError: There is no such key; the nearest is told.
    """
    return _found(BY_KEY, key, _NO_KEY, where)


def mode_key(mode: str) -> str:
    """Return the position of the mode switch for a mode; raises CommandError."""
    return _found(_MODES, mode.lower(), _NO_MODE, "turn")


def wire_called(tag: str) -> Signal:
    """Return a wire by its tag.

    Raises:
        CommandError: There is no such wire; the nearest is told.
    """
    return _found(BY_TAG, tag, _NO_WIRE, "force")


def fault_called(fault: str, where: str = "diagnose") -> Fault:
    """Return a fault of the catalogue.

    Raises:
        CommandError: There is no such fault; the nearest is told.
    """
    return _found(EVERY, fault, _NO_FAULT, where)


def may_look(scenario: Scenario, loom: Loom, look: Inspection) -> bool:
    """Return whether a scenario allows an inspection; what is metered on a wire may be probed along it."""
    allowed = scenario.inspections
    if allowed == "all" or look.base in allowed:
        return True
    metered = [each.removeprefix("meter ") for each in allowed if each.startswith("meter ")]
    return bool(look.terminals) and may_probe(loom, metered, look.terminals)


def check_terminals(loom: Loom, look: Inspection) -> None:
    """Refuse a look at a terminal that the saw does not have.

    Raises:
        CommandError: There is no such terminal; the nearest is told.
    """
    for end in look.terminals:
        if end not in loom.wires_at:
            raise _unknown(end, _NO_TERMINAL, "inspect", loom.wires_at)


def lockout_step_called(step: str) -> lockout.EnergyStep:
    """Return a step of the lock-out.

    Raises:
        CommandError: There is no such step; the nearest is told.
    """
    return _found(lockout.BY_NAME, step, _NO_STEP, "lockout")


def inspection_called(look: str) -> Inspection:
    """Return an inspection.

    Raises:
        CommandError: There is no such inspection; the nearest is told.
    """
    found = inspections.find(look)
    if found is None:
        raise _unknown(look, _NO_LOOK, "inspect", inspections.INSPECTIONS)
    return found
