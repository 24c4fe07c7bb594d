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

from pydantic import Field, TypeAdapter

from sim.records.kinds import (
    CHECKED,
    By,
    MaybeName,
    Moment,
    Name,
    Remark,
    Said,
    Words,
    misfit,
    plain_value,
    refuse_line,
)  # fmt: skip
from sim.words.fields import name, part
from sim.words.message import row

_NO_ACT: Final = row("record.no-act", "this line is no act")
_UNFIT: Final = row("record.act.unfit", "the act {act} does not fit: {why}", act=name(), why=part())
ON_FAULTS: Final = frozenset({"put-in", "take-out"})
"""The orders on a fault, as they are typed: what is said of one before the close can tell a cause."""

Keys = Annotated[tuple[Name, ...], Field(min_length=1, max_length=20)]


class ActKind(StrEnum):
    """The kinds of act, by the word that a record has for each."""

    PRESS = "press"
    RELEASE = "release"
    SET = "set"
    INSPECT = "inspect"
    ASK = "ask"
    LOCKOUT = "lockout"
    LOAD = "load"
    DIAGNOSE = "diagnose"
    REPORT = "report"
    PUT_RIGHT = "put_right"
    SWAP = "swap"
    BREAK_OFF = "break_off"
    FORCE = "force"
    JUMPER = "jumper"
    NOTE = "note"
    HINT = "hint"
    REWIND_TO = "rewind_to"
    PUT_IN = "put_in"
    TAKE_OUT = "take_out"
    SECOND = "second"
    FREEZE = "freeze"
    PACE = "pace"
    MARK = "mark"
    ORDER_REFUSED = "order_refused"
    BEGIN_SHIFT = "begin_shift"
    TAKE = "take"


# The trainee's ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Pressed:
    """Keys and latches were pressed at one instant."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.PRESS
    at_us: Moment
    keys: Keys


@dataclass(frozen=True, slots=True)
class Released:
    """Keys were let go, or latches turned back."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.RELEASE
    at_us: Moment
    keys: Keys


@dataclass(frozen=True, slots=True)
class Adjusted:
    """A set point or a dial was set by hand."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.SET
    at_us: Moment
    name: Name
    setting: float | Name


@dataclass(frozen=True, slots=True)
class Inspected:
    """The machine was looked at in one of the listed ways."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.INSPECT
    at_us: Moment
    name: Name
    expect: Words = ""  # what was expected beforehand


@dataclass(frozen=True, slots=True)
class Asked:
    """The control was asked what blocks a key."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.ASK
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class LockoutTaken:
    """One step of the lock-out, or of the way back."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.LOCKOUT
    at_us: Moment
    step: Name


@dataclass(frozen=True, slots=True)
class BarLoaded:
    """A fresh bar was put on the saw."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.LOAD
    at_us: Moment
    how: Name = "crane"  # a way of `trade.handling`


@dataclass(frozen=True, slots=True)
class Diagnosed:
    """A fault was named as the cause."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.DIAGNOSE
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class FindingReported:
    """A finding of a round was reported, with what is to be done about it."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.REPORT
    at_us: Moment
    name: Name
    calls_for: Name  # a word of `session.morning.CLASSES`


@dataclass(frozen=True, slots=True)
class Mended:
    """The remedy for a fault was applied."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.PUT_RIGHT
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class Swapped:
    """A part was exchanged for a spare, to see whether the trouble goes."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.SWAP
    at_us: Moment
    name: Name


@dataclass(frozen=True, slots=True)
class BrokenOff:
    """What the trainee was busy with was broken off, and the hands taken out."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.BREAK_OFF
    at_us: Moment


@dataclass(frozen=True, slots=True)
class Forced:
    """A wire was held at a value, or let go with None."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.FORCE
    at_us: Moment
    tag: Name
    value: bool | None


@dataclass(frozen=True, slots=True)
class Jumpered:
    """A jumper was put over an interlock, or taken out."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.JUMPER
    at_us: Moment
    name: Name
    on: bool


@dataclass(frozen=True, slots=True)
class Noted:
    """A remark of the trainee's, or something the instructor says to them."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.NOTE
    at_us: Moment
    text: Remark
    by: By = By.TRAINEE


@dataclass(frozen=True, slots=True)
class Hinted:
    """A hint was taken; the message is written down, so that it need not be worked out anew."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.HINT
    at_us: Moment
    message: Said


@dataclass(frozen=True, slots=True)
class Rewound:
    """The session went back to a moment before; what was done from there on is undone on the saw.

    The acts begun before that moment stand. The line is added behind what it takes back, which stays.
    """

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.REWIND_TO
    at_us: Moment
    to_us: Moment

    def __post_init__(self) -> None:
        """Hold the one against the other; raises ValueError."""
        if self.to_us > self.at_us:
            raise ValueError(f"{self.to_us} lies after {self.at_us}")


@dataclass(frozen=True, slots=True)
class ShiftBegun:
    """A shift of orders began, on a saw that was switched on."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.BEGIN_SHIFT
    at_us: Moment


@dataclass(frozen=True, slots=True)
class OrderTaken:
    """An order of a shift was taken, and the bar of the rack that it is cut from."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.TAKE
    at_us: Moment
    order: Name
    bar: Name


# The instructor's -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PutIn:
    """A fault was put into the machine as it ran."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.PUT_IN
    at_us: Moment
    name: Name
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class TakenOut:
    """A hidden fault was taken out."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.TAKE_OUT
    at_us: Moment
    name: Name
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class SecondTold:
    """A second person was told to come, to go, or to work the saw."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.SECOND
    at_us: Moment
    told: Words
    who: Name
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Frozen:
    """Time and hands were stopped, or let go on."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.FREEZE
    at_us: Moment
    on: bool
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Paced:
    """The front end was told how many times as fast to run."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.PACE
    at_us: Moment
    factor: float
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Marked:
    """An instant was marked for the debrief."""

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.MARK
    at_us: Moment
    text: Remark
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class OrderRefused:
    """An order that reached the session and was not taken; nothing came of it.

    Why an order on a fault was not taken can tell a cause, so it is sealed until the close.
    """

    __pydantic_config__: ClassVar = CHECKED
    kind: ClassVar = ActKind.ORDER_REFUSED
    at_us: Moment
    order: MaybeName  # empty where a line was no order
    why: Said | None = None  # None where it is sealed
    sealed: Annotated[str, Field(max_length=8_000)] = ""


Act = (
    Pressed | Released | Adjusted | Inspected | Asked | LockoutTaken | BarLoaded | Diagnosed | FindingReported | Mended
    | Swapped | BrokenOff | Forced | Jumpered | Noted | Hinted | Rewound | PutIn | TakenOut | SecondTold | Frozen | Paced | Marked
    | OrderRefused | ShiftBegun | OrderTaken
)  # fmt: skip


def is_order(act: Act) -> bool:
    """Return whether an act came from an instructor, or from somebody who gave himself out for one."""
    return isinstance(act, OrderRefused) or getattr(act, "by", None) is By.INSTRUCTOR


def is_carried_out(act: Act) -> bool:
    """Return whether an act is an order that was carried out; what a window notes itself is none."""
    noted = isinstance(act, Marked) and not isinstance(act.text, str)
    return is_order(act) and not noted and not isinstance(act, OrderRefused)


_ADAPTERS: Final[dict[str, TypeAdapter[Any]]] = {
    each.kind.value: TypeAdapter(each) for each in get_args(Act)
}


def line_of(act: Act) -> dict[str, object]:
    """Return an act as a line of a record has it; fields at their default are left out."""
    line: dict[str, object] = {"act": act.kind.value}
    for each in fields(act):
        value = getattr(act, each.name)
        if value != each.default or value is By.INSTRUCTOR:
            line[each.name] = plain_value(value)
    return line


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
        raise refuse_line(_NO_ACT(), where)
    told = {key: value for key, value in line.items() if key != "act"}
    try:
        act: Act = _ADAPTERS[line["act"]].validate_json(json.dumps(told))
    except (ValueError, RecursionError) as fault:
        raise refuse_line(_UNFIT(act=line["act"], why=misfit(fault)), where) from None
    return act
