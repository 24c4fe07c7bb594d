"""The kinds of value that the rows of a record hold, and what is said of one that does not fit.

Never here: the rows (see `acts` and `rows`).
"""

from enum import StrEnum
from typing import Annotated, Final

from pydantic import ConfigDict, Field, PlainValidator, ValidationError

from sim.bugs import TableError
from sim.errors import RecordError
from sim.words.fields import name
from sim.words.message import Message, from_plain, plain, quoted, row

MOST_TEXT: Final = 4_000  # characters of a note, a mark, an expectation
LONGEST_US: Final = 500 * 86_400 * 1_000_000  # of simulated time, that a session may take
CHECKED: Final = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)
"""The rules of every row: no unknown fields, no quiet conversions, no number that is none."""

_UNREADABLE: Final = plain("record.unreadable", "it cannot be read")
_AT_FIELD: Final = row("record.at-field", "{field} does not fit", field=name())
_MISSING: Final = row("record.missing-field", "{field} is missing", field=name())
_EXTRA: Final = row("record.extra-field", "{field} has no place there", field=name())
UNSOUND: Final = plain("record.unsound", "the record is not sound")


class EventKind(StrEnum):
    """What kind of thing happened, by the word that a record has for it."""

    ACT = "act"
    REFUSED = "refused"
    CUT = "cut"
    CONSEQUENCE = "consequence"
    REASON = "reason"
    FINDING = "finding"
    UNSAFE = "unsafe"
    NOTE = "note"
    STEP = "step"
    HINT = "hint"
    INSTRUCTOR = "instructor"
    FAULT = "fault"
    HEARD = "heard"


class By(StrEnum):
    """Who did it."""

    TRAINEE = "trainee"
    INSTRUCTOR = "instructor"


def _said(told: object) -> Message:
    try:
        message = from_plain(told)
        # What cannot be told is no message; an assertion that fails there is a misfit to pydantic.
        str(message)
    except (TableError, ArithmeticError, TypeError) as fault:
        raise ValueError(str(fault)) from None
    return message


Moment = Annotated[int, Field(ge=0, le=LONGEST_US)]
"""Simulated time since the session began, us."""
Name = Annotated[str, Field(min_length=1, max_length=100)]
MaybeName = Annotated[str, Field(max_length=100)]
Words = Annotated[str, Field(max_length=MOST_TEXT)]
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Count = Annotated[int, Field(ge=0, le=1_000_000_000)]
Said = Annotated[Message, PlainValidator(_said)]
"""A message, which JSON has as `Message.plain` writes it."""

Remark = Words | Said
"""What a person wrote, or what the program itself notes."""


def remarked(remark: str | Message, most: int = MOST_TEXT) -> str | Message:
    """Return a remark as a record can hold it."""
    return remark if isinstance(remark, Message) else written(remark, most)


def as_message(remark: str | Message) -> Message:
    """Return a remark as a message."""
    return remark if isinstance(remark, Message) else quoted(remark)


def written(text: str, most: int = MOST_TEXT) -> str:
    """Return what somebody wrote as a record can hold it: cut, and what is no character replaced."""
    return text[:most].encode("utf-8", "replace").decode()


def plain_value(value: object) -> object:
    """Return a field of a row as JSON has it."""
    if isinstance(value, Message):
        return value.plain()
    return list(value) if isinstance(value, tuple) else value


def misfit(fault: Exception) -> Message:
    """Return what does not fit about a row, from what the reading of it raised."""
    if not isinstance(fault, ValidationError):
        return _UNREADABLE
    error = fault.errors()[0]
    place = ".".join(str(part) for part in error["loc"][:1])
    if not place:
        return _UNREADABLE
    # What is missing or has no place inside a field does not make the field missing.
    wrong = error["type"] if len(error["loc"]) == 1 else ""
    kind = {"missing": _MISSING, "unexpected_keyword_argument": _EXTRA}.get(wrong, _AT_FIELD)
    return kind(field=written(place, 60))


def refuse_line(what: Message, where: str) -> RecordError:
    """Return the error for a line that is not what it should be."""
    return RecordError(what, where, UNSOUND)
