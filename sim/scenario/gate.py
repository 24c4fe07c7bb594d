"""The gate that every YAML file passes before anything else looks at it.

In goes a path, out come plain values (text, numbers, true/false, nothing, lists, mappings) and
the line and column of each; or a `ScenarioError` that says file, line, column and what to do,
and never another exception. A file is refused from its size before it is read, and from its
stream of YAML events before any value is built, so that no alias bomb or tower of brackets costs
time. Values are built here from the events, since a YAML library's own constructors raise what
they like (a date of month 13 is a ValueError) and let the last of two equal keys win.

Never here: what a scenario may say; that is the models'. The one importer of `yaml` in the
program.
"""

import os
import re
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NamedTuple, NoReturn, TypeAlias

import yaml

from sim.errors import ScenarioError
from sim.scenario.scalars import UNSHOWABLE, Refusal, Scalar, plain, shown, written

LARGEST_BYTES: Final = 256 * 1024
MOST_EVENTS: Final = 20_000
DEEPEST: Final = 32

Value: TypeAlias = "Scalar | list[Value] | dict[str, Value]"
Place: TypeAlias = tuple[str | int, ...]
"""The way to a value from the top: names of keys and numbers of list items, from 0."""

# The C parser is some ten times faster and is in every wheel of PyYAML; both give the same events.
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


_UNFIT: Final = re.compile(f"\t|{UNSHOWABLE.pattern}")


class Spot(NamedTuple):
    """A line and a column of a file, both counted from 1."""

    line: int
    column: int


@dataclass(frozen=True)
class Located:
    """The values of a file, and where in it each key and each value stands."""

    path: Path
    value: Value
    keys: Mapping[Place, Spot]
    values: Mapping[Place, Spot]

    def where_key(self, place: Place) -> str:
        """Return `path:line:column` of the key at a place, or of the nearest thing above it."""
        spot = self.keys.get(place)
        return self.where_value(place) if spot is None else where(self.path, spot)

    def where_value(self, place: Place) -> str:
        """Return `path:line:column` of the value at a place, or of the nearest one above it."""
        while place not in self.values and place:
            place = place[:-1]
        return where(self.path, self.values[place])


def where(path: Path, spot: Spot | None = None) -> str:
    """Return a path, and a line and column of it if given, as an error shows them."""
    name = os.fsencode(path).decode("utf-8", "replace")
    return name if spot is None else f"{name}:{spot.line}:{spot.column}"


def _spot(mark: Any) -> Spot:
    return Spot(mark.line + 1, mark.column + 1)  # the parser counts from 0


def load(path: Path) -> Located:
    """Return the plain values of a YAML file and their positions.

    Raises:
        ScenarioError: The file cannot be read, is not plain YAML, or can be read in two ways.
    """
    text = _text(path)
    for bad in _UNFIT.finditer(text):
        line = text.count("\n", 0, bad.start()) + 1
        spot = Spot(line, bad.start() - text.rfind("\n", 0, bad.start()))
        if bad[0] == "\t":
            _refuse(path, spot, "there is a tab, which YAML readers disagree about", "use spaces")
        _refuse(path, spot, f"the character U+{ord(bad[0]):04X} cannot be shown", "take it out")
    return _Builder(path).build(text)


def _refuse(path: Path, spot: Spot | None, what: str, what_to_do: str) -> NoReturn:
    raise ScenarioError(what, where(path, spot), what_to_do)


def octets(path: Path) -> bytes:
    """Return the bytes of a file that is there, not empty and small enough.

    Raises:
        ScenarioError: It is not.
    """
    try:
        state = path.stat()
        if stat.S_ISDIR(state.st_mode):
            _refuse(path, None, "this is a folder", "name a file in it")
        if not stat.S_ISREG(state.st_mode):
            _refuse(path, None, "this is a device or a pipe, not a file", "name a file")
        if state.st_size > LARGEST_BYTES:
            _too_large(path, state.st_size)
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        _refuse(path, None, "there is no such file", "check the name and the folder")
    except (OSError, ValueError) as fault:  # ValueError: a NUL character in the name
        reason = getattr(fault, "strerror", None) or str(fault)
        _refuse(path, None, f"the file cannot be read: {reason}", "check that you may read it")
    if len(content) > LARGEST_BYTES:  # it has grown since it was measured
        _too_large(path, len(content))
    if not content.strip():
        _refuse(path, None, "the file is empty", "start from one of the shipped files")
    return content


def _text(path: Path) -> str:
    content = octets(path)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        whole = content[: fault.start].decode("utf-8")
        spot = Spot(whole.count("\n") + 1, len(whole) - whole.rfind("\n"))
        _refuse(path, spot, f"the byte 0x{content[fault.start]:02x} is not UTF-8 text",
                "save the file as UTF-8")  # fmt: skip


def _too_large(path: Path, size: int) -> NoReturn:
    _refuse(
        path,
        None,
        f"the file is {size} bytes, and no scenario needs more than {LARGEST_BYTES}",
        "check that this is the file you mean",
    )


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
    root: Value = None
    open: list[_Open] = field(default_factory=list)
    keys: dict[Place, Spot] = field(default_factory=dict)
    values: dict[Place, Spot] = field(default_factory=dict)
    documents: int = 0

    def build(self, text: str) -> Located:
        """Return the built values, or raise for the first event that is not plain."""
        for count, event in enumerate(self._events(text), start=1):
            spot = _spot(event.start_mark)
            if count > MOST_EVENTS:
                self._refuse(spot, f"the file has more than {MOST_EVENTS} parts", "make it smaller")
            self._step(event, spot)
        if not self.documents:
            _refuse(self.path, None, "the file holds nothing but comments",
                    "start from one of the shipped files")  # fmt: skip
        return Located(self.path, self.root, self.keys, self.values)

    def _events(self, text: str) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse(text, Loader=_LOADER)
        except yaml.MarkedYAMLError as fault:
            mark = fault.problem_mark or fault.context_mark
            spot = None if mark is None else _spot(mark)
            clauses = (fault.context, fault.problem)
            self._refuse(spot, "this is not YAML: " + ", ".join(c for c in clauses if c),
                         "check the indent, the colons and the quotes just above")  # fmt: skip
        except yaml.YAMLError as fault:
            self._refuse(None, f"this is not YAML: {shown(str(fault))}", "check the file")

    def _refuse(self, spot: Spot | None, what: str, what_to_do: str) -> NoReturn:
        _refuse(self.path, spot, what, what_to_do)

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
            self._refuse(spot, "there is a % line for the YAML reader", "leave that line out")
        if self.documents > 1:
            self._refuse(spot, "a second document starts here", "keep one document in a file")

    def _start_node(self, event: yaml.NodeEvent, spot: Spot) -> None:
        if isinstance(event, yaml.AliasEvent):
            self._refuse(spot, f"there is an alias, *{event.anchor}", "write the value out")
        if event.anchor is not None:
            self._refuse(spot, f"there is an anchor, &{event.anchor}", "leave it out")
        if (
            isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent)
            and event.tag is not None
        ):
            self._refuse(spot, f"there is a tag, {shown(event.tag)}", "leave it out")
        if isinstance(event, yaml.ScalarEvent):
            self._put(self._scalar(event, spot), spot)
            return
        if len(self.open) == DEEPEST:
            self._refuse(spot, f"lists and mappings lie more than {DEEPEST} deep", "flatten them")
        inner: list[Value] | dict[str, Value]
        inner = {} if isinstance(event, yaml.MappingStartEvent) else []
        self.open.append(_Open(inner, self._put(inner, spot)))

    def _scalar(self, event: yaml.ScalarEvent, spot: Spot) -> Scalar:
        value = written(event.value) if event.style else plain(event.value)
        if isinstance(value, Refusal):
            self._refuse(spot, value.what, value.what_to_do)
        return value

    def _put(self, value: Value, spot: Spot) -> Place:
        """Put a value, or a mapping's next key, where it belongs; return the value's place."""
        if not self.open:
            if not isinstance(value, list | dict):
                self._refuse(
                    spot,
                    f"names and values were expected, and {shown(value)} is all there is",
                    "start from one of the shipped files",
                )
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
            found = (
                "a list or a mapping"
                if isinstance(key, list | dict)
                else "nothing"
                if key is None
                else shown(key)
            )
            self._refuse(
                spot,
                f"a name was expected before the colon, and {found} was found",
                "write a name, in quotes if it looks like a number",
            )
        place = (*parent.place, key)
        if place in self.keys:
            first = self.keys[place]
            self._refuse(
                spot,
                f"{shown(key)} is given twice, first on line {first.line}",
                "keep one of the two",
            )
        self.keys[place] = spot
        return key
