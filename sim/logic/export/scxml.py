"""The tables as a state chart in SCXML 1.0 (W3C, 2015): machines, wires, latches, permissives.

One region for every machine, wire and latch, all in parallel. A row of a machine's table is a
transition on `machine.EVENT`. A command is a transition on `key.action` when a key asks, on
`job.action` when the job does; its `cond` is that the permissives hold, and that the mode gives the
part to who asks. A key that is let go is the event `wire.TAG.off`. What a transition brings about by
the tables of reactions, of sensors and of ends already shown is raised in it.

What is not in it: the job's walk through a piece, its keys and its counters, what a motion keeps,
and every time: of the palm keys, of a jog, of a wandering band, of the run-on minutes, and of the
mode switch, whose modes are taken on `mode.TAKE_...`. And an interpreter takes raised events in the
order in which they were raised, while the controller finishes what follows from one before the next.
So the chart is for reading and for drawing with other people's tools; what is proved is the model
itself (`promela`).
"""

from collections.abc import Iterable, Iterator
from typing import Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from sim.control.actions import ACTIONS, BY_NAME, Action
from sim.control.cycle import JOB_ASKS
from sim.control.interlocks import REACTIONS_TO, Permissive, When, needs_of
from sim.control.switches import ALREADY, SENSOR_EVENTS, TURNED
from sim.control.table import TABLES, StateTable, TableRow
from sim.logic.proof.memory import DEVICES, DOMAINS
from sim.signals import BY_TAG, SIGNALS, Source

NAMESPACE: Final = "http://www.w3.org/2005/07/scxml"
COMMANDS: Final = tuple(row for row in ACTIONS if not row.name.startswith("job."))
LET_GO: Final = tuple(
    row.tag
    for row in SIGNALS
    if row.source is Source.KEY and row.tag not in DEVICES and row.tag in REACTIONS_TO
)
LATCHES: Final = {"latch.deviation": "", "latch.trip_line": "S2"}  # and what sets it by going off
_TIMES: Final = ("watch.jog", "watch.run_on")  # are never set in the chart
_ASKERS: Final = {When.KEY: "key", When.JOB: "job"}
_RESET: Final = BY_NAME["supply.reset"]
_MODES_OF: Final = {When.KEY: ("MANUAL", "MAINTENANCE"), When.JOB: ("PRODUCTION",)}


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
    for latch in LATCHES:
        _switch(saw, latch, at_rest=False)
    _let_go(saw)
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
                if (action.machine, action.event) == (table.name, row.event) or (
                    action is _RESET and (table.name, row.event) == ("band", action.event)
                ):
                    for origin in askers(action):
                        condition = permitted(action, origin)
                        _transition(here, table, row, asked(action, origin), condition)


def askers(action: Action) -> tuple[When, ...]:
    """Return who can ask for a command."""
    return (When.KEY, When.JOB) if action.name in JOB_ASKS else (When.KEY,)


def asked(action: Action, origin: When) -> str:
    """Return the event of a command's being asked for."""
    return f"{_ASKERS[origin]}.{action.name}"


def permitted(action: Action, origin: When) -> str:
    """Return the condition under which a command is taken."""
    needs = [_need(row) for row in needs_of(action.name, origin)]
    if action.moves or origin is When.JOB:
        needs.append(holds("mode", _MODES_OF[origin]))
    return " && ".join(needs)


def _need(row: Permissive) -> str:
    need = holds(row.need.subject, row.need.values)
    if not row.given:
        return need
    elsewhere = [
        holds(subject, other)
        for subject, values in row.given
        if (other := [value for value in DOMAINS[subject] if value not in values])
    ]
    return f"({' || '.join((need, *elsewhere))})"


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
        then = SENSOR_EVENTS.get((tag, not value)) or TURNED.get(tag)
        if then is not None:
            _raise(edge, [then])
        _follow(edge, tag, not value)
        if tag in LATCHES and value:
            SubElement(
                here, "transition", event=asked(_RESET, When.KEY),
                cond=permitted(_RESET, When.KEY), target=state_id(tag, False),
            )  # fmt: skip
        elif LATCHES.get(tag):
            SubElement(
                here, "transition", event=f"wire.{state_id(LATCHES[tag], False)}",
                target=state_id(tag, True),
            )  # fmt: skip


def _let_go(saw: Element) -> None:
    """Have what follows from letting a key go, whatever it was that it moved."""
    keys = SubElement(saw, "state", id="keys")
    for tag in LET_GO:
        _follow(SubElement(keys, "transition", event=f"wire.{state_id(tag, False)}"), tag, False)


def _follow(transition: Element, subject: str, value: object) -> None:
    for row in REACTIONS_TO.get(subject, ()):
        if value in row.becomes:
            given = [holds(s, values) for s, values in row.given if s not in _TIMES]
            _raise(transition, row.fires, given)


def _raise(
    transition: Element, fires: Iterable[tuple[str, str]], given: Iterable[str] = ()
) -> None:
    condition = " && ".join(given)
    into = SubElement(transition, "if", cond=condition) if condition else transition
    for event in _events(fires):
        SubElement(into, "raise", event=event)


def _events(fires: Iterable[tuple[str, str]]) -> Iterator[str]:
    return (f"{machine}.{event}" for machine, event in fires)
