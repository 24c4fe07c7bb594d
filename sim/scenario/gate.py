"""The gate that every YAML file passes before anything else looks at it.

In goes a path, out come plain values (text, numbers, true/false, nothing, lists, mappings) and
the line and column of each; or a `ScenarioError` that says file, line, column and what to do,
and never another exception. A file is refused from its size before it is read, and from its
stream of YAML events before any value is built, so that no alias bomb or tower of brackets costs
time. Values are built here from the events, since a YAML library's own constructors raise what
they like (a date of month 13 is a ValueError) and let the last of two equal keys win.

Never here: what a scenario may say; that is the models'. The rows that ship are read in `sim.control.row_file`;
nothing else imports `yaml`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NoReturn

import yaml

from sim.scenario.file_text import START_FROM_SHIPPED, read_text, refuse_file
from sim.scenario.located import Located, Place, Spot, Value
from sim.scenario.scalars import Scalar, Unclear, plain_word, shown, written
from sim.scenario.slips.clauses import clause
from sim.scenario.slips.expected import UNKNOWN, Expected
from sim.scenario.slips.indents import short
from sim.scenario.slips.lines import slip_in
from sim.scenario.slips.quotes import in_quotes
from sim.scenario.slips.slip import NO_HYPHEN_SPACE, NOTE_ONLY, QUOTED, WRITE
from sim.scenario.slips.typed_number import WITH_POINT
from sim.words.fields import name, number, part, parts
from sim.words.message import Message, plain, row

MOST_EVENTS: Final = 20_000
DEEPEST: Final = 32
_LONGEST_LOOKED_AT: Final = 32 * 1024  # characters; no file that ships is longer
_LOST_HYPHEN: Final = re.compile(r"[ \t]*-(?=[^\s-])")
_NO_NOTES: Final = ("//", ";", "<<<", ">>>", "===")
_NOTE: Final = re.compile(r"\s*(#\S.*)")

# The C parser is some ten times faster and is in every wheel of PyYAML; both give the same events.
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_MANY: Final = row("gate.many", "the file has more than {most} parts", most=number())
_SMALLER: Final = plain("gate.many.do", "make it smaller")
_COMMENTS: Final = plain("gate.comments", "the file holds nothing but comments")
_NO_YAML: Final = row("gate.no-yaml", "this is not YAML: {clauses}", clauses=parts(", "))
_JUST_ABOVE: Final = plain(
    "gate.no-yaml.do", "check the indent, the colons and the quotes just above"
)
_ODD_YAML: Final = row("gate.odd-yaml", "this is not YAML: {said}", said=name())
_CHECK: Final = plain("gate.odd-yaml.do", "check the file")
_PERCENT: Final = plain("gate.percent", "there is a % line for the YAML reader")
_LEAVE_LINE: Final = plain("gate.percent.do", "leave that line out")
_SECOND: Final = plain("gate.second", "a second document starts here")
_ONE_DOCUMENT: Final = plain("gate.second.do", "keep one document in a file")
_ALIAS: Final = row("gate.alias", "there is an alias, {alias}", alias=name())
_WRITE_OUT: Final = plain("gate.alias.do", "write the value out, or put a text in quotes")
_ANCHOR: Final = row("gate.anchor", "there is an anchor, {anchor}", anchor=name())
_TAG: Final = row("gate.tag", "there is a tag, {tag}", tag=name())
_LEAVE_OUT: Final = plain("gate.leave-out", "leave it out, or put a text in quotes")
_DEEP: Final = row("gate.deep", "lists and mappings lie more than {most} deep", most=number())
_FLATTEN: Final = plain("gate.deep.do", "flatten them")
_ALONE: Final = row(
    "gate.alone", "names and values were expected, and {found} is all there is", found=name()
)
_NO_NAME: Final = row(
    "gate.no-name",
    "a name was expected before the colon, and {found} was found",
    found=part(),
)
_SHOWN: Final = row("gate.shown", "{value}", value=name())
_NOTHING: Final = plain("gate.nothing", "nothing")
_LIST_OR_MAPPING: Final = plain("gate.list-or-mapping", "a list or a mapping")
_WRITE_NAME: Final = plain("gate.no-name.do", "write a name, in quotes if it looks like a number")
_WRITE_POINT: Final = plain(
    "gate.no-name.point",
    "write a name, in quotes if it looks like a number; decimals stand after a point, like 23.5",
)
_TWICE: Final = row(
    "gate.twice", "{name} is given twice, first on line {line}", name=name(), line=number()
)
_WHOLE_BEFORE: Final = re.compile(r":\s*([-+]?\d+),$")
_DIGITS: Final = re.compile(r"\d+")
_KEEP: Final = plain("gate.twice.do", "keep one of the two")


def _spot(mark: Any) -> Spot:
    return Spot(mark.line + 1, mark.column + 1)  # the parser counts from 0


def load(path: Path, content: bytes | None = None, expected: Expected = UNKNOWN) -> Located:
    """Return the plain values of a YAML file and their positions.

    Args:
        path: The file.
        content: What it holds, where it need not be there any more.
        expected: What such a file holds; told where a word can be read in two ways, or a line is no YAML.

    Raises:
        ScenarioError: The file cannot be read, is not plain YAML, or can be read in two ways.
    """
    return _Builder(path, expected).build(read_text(path, content))


@dataclass
class _Open:
    """A list or mapping whose end has not come yet."""

    value: "list[Value] | dict[str, Value]"
    place: Place
    key: str | None = None  # of a mapping: the key that waits for its value


@dataclass
class _Builder:
    """Builds the values of one file from its events; used once."""

    path: Path
    expected: Expected
    root: Value = None
    open: list[_Open] = field(default_factory=list)
    keys: dict[Place, Spot] = field(default_factory=dict)
    values: dict[Place, Spot] = field(default_factory=dict)
    documents: int = 0
    lines: list[str] = field(default_factory=list)

    def build(self, text: str) -> Located:
        """Return the built values, or raise for the first event that is not plain."""
        self.lines = text.split("\n")
        for count, event in enumerate(self._events(text), start=1):
            spot = _spot(event.start_mark)
            if count > MOST_EVENTS:
                self._refuse(spot, _MANY(most=MOST_EVENTS), _SMALLER)
            self._step(event, spot)
        if not self.documents:
            self._refuse(None, _COMMENTS, START_FROM_SHIPPED)
        return Located(self.path, self.root, self.keys, self.values)

    def _events(self, text: str) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse(text, Loader=_LOADER)
        except yaml.MarkedYAMLError as fault:
            mark = fault.problem_mark or fault.context_mark
            spot = None if mark is None else _spot(mark)
            self._slip(spot)
            said = tuple(clause(each) for each in (fault.context, fault.problem) if each)
            self._refuse(spot, _NO_YAML(clauses=said), _JUST_ABOVE)
        except yaml.YAMLError as fault:
            self._refuse(None, _ODD_YAML(said=shown(str(fault))), _CHECK)

    def _slip(self, stopped: Spot | None) -> None:
        """Refuse the slip that is found in the lines down to where the parser stopped."""
        if sum(map(len, self.lines)) > _LONGEST_LOOKED_AT:
            return  # nobody wrote that by hand
        slip = slip_in(self.lines, stopped, self.expected)
        if slip is not None:
            self._refuse(slip.spot, slip.what, slip.what_to_do)

    def _refuse(self, spot: Spot | None, what: Message, what_to_do: Message) -> NoReturn:
        refuse_file(self.path, spot, what, what_to_do)

    def _step(self, event: yaml.Event, spot: Spot) -> None:
        if isinstance(event, yaml.DocumentStartEvent):
            self._start_document(event, spot)
        elif isinstance(event, yaml.NodeEvent):
            self._start_node(event, spot)
        elif isinstance(event, yaml.CollectionEndEvent):
            self.open.pop()

    def _start_document(self, event: yaml.DocumentStartEvent, spot: Spot) -> None:
        self.documents += 1
        if event.version or event.tags:
            self._refuse(spot, _PERCENT, _LEAVE_LINE)
        if self.documents > 1:
            self._refuse(spot, _SECOND, _ONE_DOCUMENT)

    def _start_node(self, event: yaml.NodeEvent, spot: Spot) -> None:
        if isinstance(event, yaml.AliasEvent):
            self._refuse(spot, _ALIAS(alias=f"*{event.anchor}"), _WRITE_OUT)
        if event.anchor is not None:
            self._refuse(spot, _ANCHOR(anchor=f"&{event.anchor}"), _LEAVE_OUT)
        if (
            isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent)
            and event.tag is not None
        ):
            self._refuse(spot, _TAG(tag=shown(event.tag)), _LEAVE_OUT)
        if isinstance(event, yaml.ScalarEvent):
            self._put(self._scalar(event, spot), spot)
            return
        if len(self.open) == DEEPEST:
            self._refuse(spot, _DEEP(most=DEEPEST), _FLATTEN)
        inner: list[Value] | dict[str, Value]
        inner = {} if isinstance(event, yaml.MappingStartEvent) else []
        self.open.append(_Open(inner, self._put(inner, spot)))

    def _scalar(self, event: yaml.ScalarEvent, spot: Spot) -> Scalar:
        value = written(event.value) if event.style else plain_word(event.value)
        if isinstance(value, Unclear):
            value = value if event.style else self._told(event.value, value)
            self._refuse(spot, value.what, value.what_to_do)
        if not event.style:
            self._unseen(event, spot)
        return value

    def _told(self, word: str, unclear: Unclear) -> Unclear:
        """Return what to say of a word that can be read in two ways, where it stands."""
        if not self.open:
            return unclear
        parent = self.open[-1]
        if isinstance(parent.value, dict) and parent.key is None:
            return self.expected.no_name(parent.place, word, unclear)
        step = len(parent.value) if isinstance(parent.value, list) else parent.key or ""
        return self.expected.advice((*parent.place, step), word, unclear)

    def _unseen(self, event: yaml.ScalarEvent, spot: Spot) -> None:
        """Refuse what YAML takes in silence and nobody means: a lost hyphen, a text taken for a note."""
        first, last = event.start_mark, event.end_mark
        assert first is not None  # the parser marks every event
        assert last is not None
        for below in range(first.line + 1, min(last.line + 1, len(self.lines))):
            lost = _LOST_HYPHEN.match(self.lines[below])
            if lost is not None and event.value:
                line = short(f"- {self.lines[below][lost.end() :].strip()}")
                self._refuse(Spot(below + 1, lost.end()), NO_HYPHEN_SPACE, WRITE(line=line))
        if event.value == "" and self.open and self.open[-1].key is not None:
            line = (
                self.lines[spot.line - 1][spot.column - 1 :] if spot.line <= len(self.lines) else ""
            )
            note = _NOTE.match(line)
            if note is not None:
                said = in_quotes(self.open[-1].key, note[1])
                self._refuse(
                    Spot(spot.line, spot.column + note.start(1)), NOTE_ONLY, QUOTED(line=said)
                )

    def _put(self, value: Value, spot: Spot) -> Place:
        """Put a value, or a mapping's next key, where it belongs; return the value's place."""
        if not self.open:
            if not isinstance(value, list | dict):
                first = next(iter(str(value).split()), "")
                known = first.rstrip(";,:=") in self.expected.names or first.startswith(_NO_NOTES)
                self._slip(spot if known else None)
                self._refuse(spot, _ALONE(found=shown(value)), START_FROM_SHIPPED)
            self.root = value
            place: Place = ()
        else:
            parent = self.open[-1]
            if isinstance(parent.value, list):
                place = (*parent.place, len(parent.value))
                parent.value.append(value)
            elif parent.key is None:
                parent.key = self._key(value, parent, spot)
                return parent.place
            else:
                place = (*parent.place, parent.key)
                parent.value[parent.key], parent.key = value, None
        self.values[place] = spot
        return place

    def _key(self, key: Value, parent: _Open, spot: Spot) -> str:
        if not isinstance(key, str):
            number_ = isinstance(key, int | float) and not isinstance(key, bool)
            comma = self._decimal_comma(spot) if number_ else None
            to_do = comma or (_WRITE_POINT if number_ else _WRITE_NAME)
            self._refuse(spot, _NO_NAME(found=_found(key)), to_do)
        place = (*parent.place, key)
        if place in self.keys:
            first = self.keys[place]
            self._refuse(spot, _TWICE(name=shown(key), line=first.line), _KEEP)
        self.keys[place] = spot
        return key

    def _decimal_comma(self, spot: Spot) -> Message | None:
        """Return how to write a number of which the parser took the decimals for a name, as in {kerf_mm: 1,9}."""
        line = self.lines[spot.line - 1]
        whole = _WHOLE_BEFORE.search(line[: spot.column - 1])
        decimals = _DIGITS.match(line[spot.column - 1 :])
        if whole is None or decimals is None:
            return None
        return WITH_POINT(value=f"{whole[1]}.{decimals[0]}")


def _found(key: Value) -> Message:
    """Return what stands where a name was expected."""
    if isinstance(key, list | dict):
        return _LIST_OR_MAPPING
    return _NOTHING if key is None else _SHOWN(value=shown(key))
