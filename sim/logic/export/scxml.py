"""The tables as a state chart in SCXML 1.0 (W3C, 2015): machines, wires, selectors, permissives.

One region for every machine, wire, selector and latch, all in parallel. A row of a machine's table
is a transition on `machine.EVENT`. A command is a transition on `key.action` when a key asks, on
`job.action` when the job does; its `cond` is that the permissives hold, and the station's selector
stands right. What a transition brings about by the tables of reactions, of sensors and of ends
already shown is raised in it.

What is not in it: the job's walk through a piece, its keys and its counters, who asked for a motion
and what that keeps, the time of two hands and of a wandering band. And an interpreter takes raised
events in the order in which they were raised, while the controller finishes what follows from one
before the next. So the chart is for reading and for drawing with other people's tools; what is
proved is the model itself (`promela`).
"""

from collections.abc import Iterable, Iterator
from typing import Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from sim.control.actions import ACTIONS, BY_NAME, STATIONS, Action
from sim.control.interlocks import REACTIONS_TO, When, needs_of
from sim.control.switches import ALREADY, SENSOR_EVENTS
from sim.control.table import TABLES, StateTable, TableRow
from sim.logic.proof.memory import DEVICES
from sim.signals import BY_TAG

NAMESPACE: Final = "http://www.w3.org/2005/07/scxml"
COMMANDS: Final = tuple(row for row in ACTIONS if row.machine != "job")
_ASKERS: Final = {When.HAND: "key", When.AUTO: "job"}
_RESET: Final = BY_NAME["supply.reset"]
_LATCH: Final = "latch.deviation"


def export() -> str:
    """Return the chart as XML."""
    root = Element(
        "scxml", xmlns=NAMESPACE, version="1.0", datamodel="ecmascript", name="saw", initial="saw"
    )
    saw = SubElement(root, "parallel", id="saw")
    for table in TABLES:
        _machine(saw, table)
    for tag in DEVICES:
        _switch(saw, tag, at_rest=BY_TAG[tag].at_rest)
    for station in STATIONS:
        _selector(saw, station)
    _switch(saw, _LATCH, at_rest=False)
    indent(root)
    return f"{tostring(root, encoding='unicode')}\n"


def state_id(subject: str, value: object) -> str:
    """Return the name of a region's state."""
    return f"{subject}.{({True: 'on', False: 'off'}[value]) if isinstance(value, bool) else value}"


def holds(subject: str, values: Iterable[object]) -> str:
    """Return the condition that something has one of some values."""
    either = " || ".join(f"In('{state_id(subject, value)}')" for value in values)
    return f"({either})"


def _machine(saw: Element, table: StateTable) -> None:
    region = SubElement(saw, "state", id=table.name, initial=state_id(table.name, table.initial))
    for state in table.states:
        here = SubElement(region, "state", id=state_id(table.name, state))
        for row in (row for row in table.rows if row.state == state):
            _transition(here, table, row, f"{table.name}.{row.event}")
            for action in COMMANDS:
                if (action.machine, action.event) == (table.name, row.event):
                    for origin in askers(action):
                        condition = permitted(action, origin)
                        _transition(here, table, row, asked(action, origin), condition)


def askers(action: Action) -> tuple[When, ...]:
    """Return who can ask for a command."""
    return (When.HAND, When.AUTO) if action.name.partition(".")[0] in STATIONS else (When.HAND,)


def asked(action: Action, origin: When) -> str:
    """Return the event of a command's being asked for."""
    return f"{_ASKERS[origin]}.{action.name}"


def permitted(action: Action, origin: When) -> str:
    """Return the condition under which a command is taken."""
    needs = [holds(row.need.subject, row.need.values) for row in needs_of(action.name, origin)]
    if not action.any_mode or origin is When.AUTO:
        needs.append(holds(f"mode.{action.machine}", (str(origin),)))
    return " && ".join(needs)


def _transition(
    here: Element, table: StateTable, row: TableRow, event: str, condition: str = ""
) -> None:
    transition = SubElement(here, "transition", event=event)
    if condition:
        transition.set("cond", condition)
    transition.set("target", state_id(table.name, row.to))
    _follow(transition, table.name, row.to)
    already = ALREADY.get((table.name, row.to))
    if already is not None:
        tag, shown, then = already
        _raise(transition, [(table.name, then)], [holds(tag, (shown,))])


def _switch(saw: Element, tag: str, *, at_rest: bool) -> None:
    region = SubElement(saw, "state", id=tag, initial=state_id(tag, at_rest))
    for value in (False, True):
        here = SubElement(region, "state", id=state_id(tag, value))
        edge = SubElement(
            here, "transition", event=f"wire.{state_id(tag, not value)}",
            target=state_id(tag, not value),
        )  # fmt: skip
        if (tag, not value) in SENSOR_EVENTS:
            _raise(edge, [SENSOR_EVENTS[(tag, not value)]])
        _follow(edge, tag, not value)
        if tag == _LATCH and value:
            SubElement(
                here, "transition", event=asked(_RESET, When.HAND),
                cond=permitted(_RESET, When.HAND), target=state_id(tag, False),
            )  # fmt: skip


def _selector(saw: Element, station: str) -> None:
    subject = f"mode.{station}"
    region = SubElement(saw, "state", id=subject, initial=state_id(subject, "HAND"))
    for was, becomes in (("HAND", "AUTO"), ("AUTO", "HAND")):
        here = SubElement(region, "state", id=state_id(subject, was))
        turned = SubElement(
            here, "transition", event=f"turn.{station}.{becomes}",
            target=state_id(subject, becomes),
        )  # fmt: skip
        if (station, becomes) != ("head", "HAND"):  # a cut that was begun is finished
            _raise(turned, [(station, "HALT")])
        _follow(turned, subject, becomes)


def _follow(transition: Element, subject: str, value: object) -> None:
    for row in REACTIONS_TO.get(subject, ()):
        if value in row.becomes:
            _raise(transition, row.fires, [holds(s, values) for s, values in row.given])


def _raise(
    transition: Element, fires: Iterable[tuple[str, str]], given: Iterable[str] = ()
) -> None:
    condition = " && ".join(given)
    into = SubElement(transition, "if", cond=condition) if condition else transition
    for event in _events(fires):
        SubElement(into, "raise", event=event)


def _events(fires: Iterable[tuple[str, str]]) -> Iterator[str]:
    return (f"{machine}.{event}" for machine, event in fires)
