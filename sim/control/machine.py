"""Runs a state table with `transitions`; the only file that imports it.

Flat machines, no generated `to_<state>` methods, no callbacks: a machine knows its state and
nothing else, and what follows from a step is decided by who asked for it. The guard is looked up
before a trigger is pulled, because being refused is the normal case in training.
"""

import logging
from functools import lru_cache
from typing import Any, Protocol, cast

from transitions import Event, Machine

from sim.control.table import StateTable, check

logging.getLogger("transitions").setLevel(logging.WARNING)


class Runner(Protocol):
    """What a machine is asked, whoever runs its table."""

    table: StateTable
    fired: int

    @property
    def state(self) -> str:
        """The present state."""

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""


class _BareEvent(Event):
    """An event of a flat machine without callbacks.

    Looking for the callbacks that there are none of took an eighth of a whole job.
    """

    def trigger(self, model: Any) -> bool:
        """Make the step that the state has a row for; return whether there was one.

        It takes no more than this: only a machine of ours pulls it, and room for arguments that
        never come cost as much as the step.
        """
        rows = self.transitions.get(model.state)
        if not rows:
            return False
        model.state = rows[0].dest
        model.fired += 1
        return True


class _BareMachine(Machine):
    event_cls = _BareEvent


@lru_cache
def _built(table: StateTable) -> Machine:
    """Return the rules of a table as `transitions` has them.

    They are the same for every saw, and building them takes most of the time a new saw takes.
    """
    check(table)
    return _BareMachine(
        model=None,
        states=list(table.states),
        initial=table.initial,
        transitions=[[row.event, row.state, row.to] for row in table.rows],
        auto_transitions=False,
        send_event=False,
    )


class TableMachine:
    """One running machine; it is the model that `transitions` keeps the state in.

    Attributes:
        state: The present state. To be read only; a plain attribute, because every step asks for it.
        fired: How many steps it has made.
    """

    def __init__(self, table: StateTable) -> None:
        self.name = table.name
        self.table = table
        self.state = table.initial
        self._events = cast("dict[str, _BareEvent]", _built(table).events)
        self.fired = 0

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""
        rows = self._events.get(event)
        return rows is not None and bool(rows.transitions.get(self.state))

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""
        rows = self._events.get(event)
        return rows is not None and rows.trigger(self)
