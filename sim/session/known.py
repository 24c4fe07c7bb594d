"""Whether a name that somebody gave is known: keys, faults, steps of the lock-out, inspections, wires.

Each returns the row of its table, or says what name was perhaps meant.
"""

from collections.abc import Collection, Mapping
from typing import TypeVar

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.scenario.nearest import nearest
from sim.session import inspections, lockout
from sim.session.inspections import Inspection
from sim.signals import BY_KEY, BY_TAG, Signal

_Row = TypeVar("_Row")


def _row(table: Mapping[str, _Row], name: str, kind: str, where: str) -> _Row:
    if name not in table:
        raise _unknown(name, kind, where, table)
    return table[name]


def _unknown(name: str, kind: str, where: str, names: Collection[str]) -> CommandError:
    return CommandError(f"there is no {kind} called {name!r}", where, nearest(name, names))


def key_called(name: str, where: str = "press") -> Signal:
    """Return the wire of a key or a latch; raises CommandError."""
    return _row(BY_KEY, name, "key", where)


def wire_called(tag: str) -> Signal:
    """Return a wire; raises CommandError."""
    return _row(BY_TAG, tag, "signal", "force")


def fault_called(name: str, where: str = "diagnose") -> Fault:
    """Return a fault of the catalogue; raises CommandError."""
    return _row(CATALOGUE, name, "fault", where)


def lockout_step_called(name: str) -> lockout.Step:
    """Return a step of the lock-out; raises CommandError."""
    return _row(lockout.BY_NAME, name, "lock-out step", "lockout")


def inspection_called(name: str) -> Inspection:
    """Return an inspection; raises CommandError."""
    found = inspections.find(name)
    if found is None:
        raise _unknown(name, "inspection", "inspect", inspections.INSPECTIONS)
    return found
