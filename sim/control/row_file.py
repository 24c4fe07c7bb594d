"""Reads the interlock rows that ship, and refuses to start with a table that contradicts itself.

They lie as data in the folder of the saw that ships first, so that a site copies and changes them as it does
sizes and wiring. What a site has written is read by `sim.scenario.site_rows`, in words for the reader; what
is wrong with the file that ships is a mistake of this program, and is told by its line.

Never here: what a row means (see `interlocks`), or what it says (see `row_words`).
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NoReturn

import yaml

from sim.bugs import TableError
from sim.control.actions import ACTIONS, BY_NAME
from sim.control.outputs import ON_IN
from sim.control.table import REMEMBERED, TABLES
from sim.resources import INTERLOCKS, first_saw
from sim.signals import BY_TAG
from sim.wiring.site_rows import Facts, Told, ToldRow

FIRST_ROWS: Final = first_saw(INTERLOCKS)
TEXT: Final = FIRST_ROWS.read_text("utf-8")

# The C parser is some ten times faster and is in every wheel of PyYAML. Neither makes more of a word than text.
_LOADER: Final[Any] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_REFUSES: Final = {"interlock", "action", "asked_by", "needs", "keeps", "where"}
_ACTS: Final = {"interlock", "when", "fires", "where"}
_WORDS: Final = {"true": True, "false": False}
_STATES: Final = {table.name: table.states for table in TABLES}
_EVENTS: Final = {table.name: table.events for table in TABLES}
_SUBJECTS: Final = {*_STATES, *BY_TAG, *REMEMBERED}
_DRIVES: Final = tuple(
    action.name
    for action in ACTIONS
    for table in TABLES
    if table.name == action.machine
    if any(step.event == action.event and (table.name, step.to) in ON_IN for step in table.rows)
)
"""The actions that switch an output on."""


def read_rows(text: str, path: Path, interlocks: Collection[str]) -> tuple[ToldRow, ...]:
    """Return the rows of the table, in the order of the file.

    Args:
        text: What the file holds.
        path: Of the file.
        interlocks: The numbers that there are.

    Raises:
        TableError: It is no such table, a name in it means nothing, a row is there twice, or an action that
            switches an output on needs nothing.
    """
    return _Reader(path, interlocks).read(text)


@dataclass
class _Reader:
    """Reads one file; used once."""

    path: Path
    interlocks: Collection[str]
    first: dict[object, int] = field(default_factory=dict)  # of what each row does, its line

    def read(self, text: str) -> tuple[ToldRow, ...]:
        """Return its rows."""
        try:
            root = yaml.compose(text, Loader=_LOADER)
        except yaml.YAMLError as fault:
            raise TableError(" ".join(str(fault).split()), str(self.path)) from fault
        told = self._named(root)
        if [*told] != ["rows"] or not isinstance(told["rows"], yaml.SequenceNode):
            self._refuse(root, "it has a list of rows and nothing else")
        rows = tuple(self._row(node) for node in told["rows"].value)
        needing = {row.action for row in rows}
        bare = [action for action in _DRIVES if action not in needing]
        if bare:
            self._refuse(told["rows"], f"{bare[0]} switches an output on and needs nothing")
        return rows

    def _refuse(self, node: Any, what: str) -> NoReturn:
        at = f":{node.start_mark.line + 1}:{node.start_mark.column + 1}" if node else ""
        raise TableError(what, f"{self.path}{at}")

    def _pairs(self, node: Any) -> Iterator[tuple[Any, Any]]:
        if not isinstance(node, yaml.MappingNode) or not node.value:
            self._refuse(node, "names and values belong here")
        seen: set[str] = set()
        for key, value in node.value:
            if self._text(key) in seen:
                self._refuse(key, f"{key.value} is given twice")
            seen.add(key.value)
            yield key, value

    def _named(self, node: Any) -> dict[str, Any]:
        return {key.value: value for key, value in self._pairs(node)}

    def _text(self, node: Any, known: Collection[str] = ()) -> str:
        if not isinstance(node, yaml.ScalarNode):
            self._refuse(node, "one word belongs here")
        if known and node.value not in known:
            self._refuse(node, f"{node.value} is none of {', '.join(known)}")
        return str(node.value)

    def _row(self, node: Any) -> ToldRow:
        told = self._named(node)
        refuses = "action" in told
        odd = sorted(told.keys() - (_REFUSES if refuses else _ACTS))
        wanted = {"interlock", "needs"} if refuses else {"interlock", "when", "fires"}
        wanting = sorted(wanted - told.keys())
        if odd or wanting:
            self._refuse(node, f"{', '.join((*odd, *wanting))} is too much or too little in a row")
        number = self._text(told["interlock"], self.interlocks)
        given = self._facts(told["where"]) if "where" in told else ()
        ((subject, values), *more) = self._facts(told["needs" if refuses else "when"])
        if more:
            self._refuse(node, "a row needs or follows one thing")
        if refuses:
            row = ToldRow(
                number, subject, values, given, self._text(told["action"], BY_NAME),
                self._text(told["asked_by"], ("key", "job")) if "asked_by" in told else "any",
                "keeps" in told and _WORDS[self._text(told["keeps"], _WORDS)],
            )  # fmt: skip
        else:
            fires = tuple(self._event(each) for each in self._list(told["fires"]))
            row = ToldRow(number, subject, values, given, fires=fires)
        line = self.first.setdefault(row.telling, node.start_mark.line + 1)
        if line != node.start_mark.line + 1:
            self._refuse(node, f"this row is on line {line} already")
        return row

    def _list(self, node: Any) -> list[Any]:
        found = node.value if isinstance(node, yaml.SequenceNode) else [node]
        return found or self._refuse(node, "the list is empty")

    def _facts(self, node: Any) -> Facts:
        found: list[tuple[str, tuple[Told, ...]]] = []
        for key, values in self._pairs(node):
            subject = str(key.value)
            if subject not in _SUBJECTS:
                self._refuse(key, f"the controller knows no {subject}")
            known = _STATES.get(subject, _WORDS)
            words = tuple(self._text(each, known) for each in self._list(values))
            said = words if subject in _STATES else tuple(_WORDS[each] for each in words)
            found.append((subject, said))
        return tuple(found)

    def _event(self, node: Any) -> tuple[str, str]:
        machine, _, event = self._text(node).partition(" ")
        if event not in _EVENTS.get(machine, ()):
            self._refuse(node, f"{node.value} is no event of a machine")
        return machine, event
