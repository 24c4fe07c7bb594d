"""What a person did, as a record has it: one frozen row a kind of act, each with its own fields.

The same rows are what a session keeps of its deeds and what is played again, so nothing is written
down that cannot be read back. A line that is no act, or has other fields, is refused by `act_from`.

Never here: what an act does to a saw, or whether a name in it is known.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Annotated, Any, ClassVar, Final, get_args

from pydantic import ConfigDict, Field, PlainValidator, TypeAdapter, ValidationError

from sim.bugs import TableError
from sim.errors import RecordError
from sim.words.message import Message, from_plain

MOST_TEXT: Final = 4_000  # characters of a note, a mark, an expectation
LONGEST_US: Final = 30 * 86_400 * 1_000_000  # of simulated time, that a session may take

Moment = Annotated[int, Field(ge=0, le=LONGEST_US)]
"""Simulated time since the session began, us."""
Name = Annotated[str, Field(min_length=1, max_length=100)]
Words = Annotated[str, Field(max_length=MOST_TEXT)]


def _said(told: object) -> Message:
    try:
        return from_plain(told)
    except TableError as fault:
        raise ValueError(str(fault)) from None


Said = Annotated[Message, PlainValidator(_said)]
"""A message, which JSON has as `Message.plain` writes it."""

_CHECKED: Final = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


class ActKind(StrEnum):
    """The kinds of act, by the word that a record has for each."""

    PRESS = "press"
    RELEASE = "release"
    SET = "set"
    INSPECT = "inspect"
    LOCKOUT = "lockout"
    LOAD = "load"
    DIAGNOSE = "diagnose"
    PUT_RIGHT = "put_right"
    FORCE = "force"
    JUMPER = "jumper"
    NOTE = "note"
    HINT = "hint"
    PUT_IN = "put_in"
    TAKE_OUT = "take_out"
    FREEZE = "freeze"
    PACE = "pace"
    MARK = "mark"


class By(StrEnum):
    """Who did it."""

    TRAINEE = "trainee"
    INSTRUCTOR = "instructor"


# The trainee's ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Pressed:
    """Keys and latches were pressed at one instant."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.PRESS
    at_us: Moment
    keys: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Released:
    """Keys were let go, or latches turned back."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.RELEASE
    at_us: Moment
    keys: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Adjusted:
    """A set point or a dial was set by hand."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.SET
    at_us: Moment
    name: Name
    setting: float | Name


@dataclass(frozen=True, slots=True)
class Inspected:
    """The machine was looked at in one of the listed ways."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.INSPECT
    at_us: Moment
    name: Name
    expect: Words = ""  # what was expected beforehand


@dataclass(frozen=True, slots=True)
class LockoutTaken:
    """One step of the lock-out, or of the way back."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.LOCKOUT
    at_us: Moment
    step: Name


@dataclass(frozen=True, slots=True)
class BarLoaded:
    """A fresh bar was put on the saw."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.LOAD
    at_us: Moment


@dataclass(frozen=True, slots=True)
class Diagnosed:
    """A fault was named as the cause."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.DIAGNOSE
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class Mended:
    """The remedy for a fault was applied."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.PUT_RIGHT
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class Forced:
    """A wire was held at a value, or let go with None."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.FORCE
    at_us: Moment
    tag: Name
    value: bool | None


@dataclass(frozen=True, slots=True)
class Jumpered:
    """A jumper was put over an interlock, or taken out."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.JUMPER
    at_us: Moment
    name: Name
    on: bool


@dataclass(frozen=True, slots=True)
class Noted:
    """A remark of the trainee's, or something the instructor says to them."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.NOTE
    at_us: Moment
    text: Words
    by: By = By.TRAINEE


@dataclass(frozen=True, slots=True)
class Hinted:
    """A hint was taken; the message is written down, so that it need not be worked out anew."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.HINT
    at_us: Moment
    message: Said


# The instructor's -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PutIn:
    """A fault was put into the machine as it ran."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.PUT_IN
    at_us: Moment
    name: Name
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class TakenOut:
    """A hidden fault was taken out."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.TAKE_OUT
    at_us: Moment
    name: Name
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Frozen:
    """Time and hands were stopped, or let go on."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.FREEZE
    at_us: Moment
    on: bool
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Paced:
    """The front end was told how many times as fast to run."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.PACE
    at_us: Moment
    factor: float
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Marked:
    """An instant was marked for the debrief."""

    __pydantic_config__: ClassVar = _CHECKED
    kind: ClassVar = ActKind.MARK
    at_us: Moment
    text: Words
    by: By = By.INSTRUCTOR


Act = (
    Pressed | Released | Adjusted | Inspected | LockoutTaken | BarLoaded | Diagnosed | Mended
    | Forced | Jumpered | Noted | Hinted | PutIn | TakenOut | Frozen | Paced | Marked
)  # fmt: skip

_ADAPTERS: Final[dict[str, TypeAdapter[Any]]] = {
    row.kind.value: TypeAdapter(row) for row in get_args(Act)
}


def written(text: str, most: int = MOST_TEXT) -> str:
    """Return what somebody wrote as a record can hold it: cut, and what is no character replaced."""
    return text[:most].encode("utf-8", "replace").decode()


def line_of(act: Act) -> dict[str, object]:
    """Return an act as a line of a record has it; what is as usual is left out."""
    line: dict[str, object] = {"act": act.kind.value}
    for row in fields(act):
        value = getattr(act, row.name)
        if value != row.default or value is By.INSTRUCTOR:
            line[row.name] = _plain(value)
    return line


def _plain(value: object) -> object:
    if isinstance(value, Message):
        return value.plain()
    return list(value) if isinstance(value, tuple) else value


def is_act(line: Mapping[str, Any]) -> bool:
    """Return whether a line says that it is an act which can be played."""
    kind = line.get("act")
    return isinstance(kind, str) and kind in _ADAPTERS


def act_from(line: Mapping[str, Any], where: str) -> Act:
    """Return the act of a line.

    Args:
        line: Made of JSON's values.
        where: What to say of its place.

    Raises:
        RecordError: It is no act, or its fields are not those of its kind.
    """
    if not is_act(line):
        raise RecordError("this line is no act", where, "the record is not sound")
    told = {name: value for name, value in line.items() if name != "act"}
    try:
        act: Act = _ADAPTERS[line["act"]].validate_json(json.dumps(told))
    except (ValidationError, ValueError, RecursionError) as fault:
        raise RecordError(
            f"the act {line['act']} does not fit: {_first(fault)}", where, "the record is not sound"
        ) from None
    return act


def _first(fault: Exception) -> str:
    if not isinstance(fault, ValidationError):
        return "it cannot be read"
    error = fault.errors(include_url=False, include_input=False)[0]
    place = ".".join(str(part) for part in error["loc"])
    return f"{place}: {error['msg']}" if place else error["msg"]
