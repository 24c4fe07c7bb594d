"""A counterexample in words: its moves, what each changes, how it ends, and on a live controller."""

import sys
from typing import Final

from sim.control import lamps
from sim.control.table import TABLES
from sim.logic.proof.example import Example
from sim.logic.proof.memory import State
from sim.logic.proof.proof import Finding
from sim.logic.proof.properties import PROPERTIES, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.unfold import Row
from sim.signals import OUTPUTS
from sim.text.tables import print_said
from sim.words.fields import name, part, parts
from sim.words.message import NOTHING, Message, plain, row
from sim.words.speech import tell

_MACHINES: Final = {
    table.name: plain(
        f"example.machine.{table.name.replace('_', '-')}", table.name.replace("_", " ")
    )
    for table in TABLES
}
_SHORTEST: Final = row(
    "example.shortest", 'The shortest way to break "{property}":', property=part()
)
_MOVE: Final = row(
    "example.move", "{number}. {move}: {changes}", number=name(), move=part(), changes=part()
)
_MOVED: Final = row("example.moved", "{number}. {move}", number=name(), move=part())
_CLAUSES: Final = row("example.clauses", "{clauses}", clauses=parts(", "))
_CHANGE: Final = row(
    "example.change", "{what} {before} -> {after}", what=part(), before=name(), after=name()
)
_NO_CHANGE: Final = plain("example.no-change", "no machine changes")
_WIRE: Final = row("example.name", "{name}", name=name())
_STATE: Final = row("example.state", "{what} {state}", what=part(), state=name())
_ENDS: Final = row("example.ends", "It ends with {states}.", states=parts(", "))
_STUCK: Final = row(
    "example.stuck",
    "From there it can never happen now. It ends with {states}.",
    states=parts(", "),
)
_LIVE: Final = plain("example.live", "On a live controller:")
_ENTER: Final = plain("example.enter", "[Enter] for the next move")
_SHOWS: Final = row(
    "example.shows", "     lamps: {lamps}; outputs on: {outputs}", lamps=part(), outputs=part()
)
_NONE: Final = plain("example.none", "none")
_DONE: Final = row(
    "example.done", 'The live controller has done it: "{property}" is broken.', property=part()
)
_NUMBER_WIDTH: Final = 3


def print_example(finding: Finding, example: Example) -> None:
    """Print the shortest way in which a property is broken."""
    print_said(NOTHING, _SHORTEST(property=finding.sentence))
    before = example.first
    for number, stride in enumerate(example.strides, 1):
        print_said(
            _MOVE(
                number=_right(number), move=stride.clauses, changes=_changes(before, stride.state)
            )
        )
        before = stride.state
    stuck = isinstance(PROPERTIES[finding.name], Reachable)
    states = tuple(
        _STATE(what=told, state=str(example.last[machine])) for machine, told in _MACHINES.items()
    )
    print_said((_STUCK if stuck else _ENDS)(states=states))


def play_in_terminal(finding: Finding, rows: tuple[Row, ...]) -> None:
    """Step through an example on a live controller: the lamps and outputs after each move."""
    if finding.example is None:
        return
    print_said(NOTHING, _LIVE)
    rehearsal = Rehearsal(finding.example, rows)
    while rehearsal.left:
        if sys.stdin.isatty() and sys.stdout.isatty():
            input(f"  {tell(_ENTER)}")
        stride = rehearsal.step()
        lit = tuple(
            lamp.word for lamp in lamps.lit(rehearsal.controller.image, rehearsal.controller.rows)
        )
        on = tuple(_WIRE(name=tag) for tag in OUTPUTS if rehearsal.bus.seen[tag])
        print_said(
            _MOVED(number=_right(rehearsal.made), move=stride.clauses),
            _SHOWS(lamps=_listed(lit), outputs=_listed(on)),
        )
    print_said(_DONE(property=finding.sentence))


def _right(number: int) -> str:
    return f"{number:{_NUMBER_WIDTH}}"


def _listed(said: tuple[Message, ...]) -> Message:
    return _CLAUSES(clauses=said) if said else _NONE


def _changes(before: State, after: State) -> Message:
    changed = tuple(
        _CHANGE(what=_called(each), before=str(before[each]), after=str(after[each]))
        for each in after
        if after[each] != before[each] and not isinstance(after[each], bool)
        and not each.startswith("origin.")
    )  # fmt: skip
    return _CLAUSES(clauses=changed) if changed else _NO_CHANGE


def _called(variable: str) -> Message:
    return _MACHINES.get(variable) or _WIRE(name=variable.replace("_", " "))
