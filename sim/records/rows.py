"""What the other lines of a record hold, one frozen row a kind; with `acts` this is the schema.

The opening says what was played, on what, by whom and with which arithmetic; an event says what
happened on the machine; the closing tells the last state, opens the seals, and keeps what was said of
the session then. Fields that nothing fills yet keep room for a helper, a course and the attempt in
it, the record that one was forked from, zones and exposures.

Never here: what was done (see `acts`), or whether a name is known.
"""

import json
import platform
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Annotated, Any, ClassVar, Final, Literal, TypeVar

from pydantic import Field, TypeAdapter

from sim.records.kinds import (
    CHECKED,
    By,
    Count,
    Digest,
    EventKind,
    MaybeName,
    Moment,
    Name,
    Said,
    misfit,
    plain_value,
    refuse_line,
)
from sim.words.fields import part
from sim.words.message import Row, row

SHIFT_MODE: Final = "shift"
"""What an opening has for its mode where its file is no scenario but a shift of orders."""
SUMS: Final = "math.fsum"  # how the physics adds up, which decides the last bit
_MOST_FILE: Final = 400_000  # characters: the largest file of a scenario in base 64


FileText = Annotated[str, Field(max_length=_MOST_FILE)]
_Row = TypeVar("_Row")


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """What a record was made on, as far as it can decide the last bit of a number."""

    __pydantic_config__: ClassVar = CHECKED
    python: MaybeName
    implementation: MaybeName
    sums: MaybeName


def this_arithmetic() -> Arithmetic:
    """Return that of this process."""
    return Arithmetic(platform.python_version(), platform.python_implementation(), SUMS)


@dataclass(frozen=True, slots=True)
class Fork:
    """The record that this one goes on from, and where."""

    __pydantic_config__: ClassVar = CHECKED
    head: Digest
    at_us: Moment


@dataclass(frozen=True, slots=True)
class Opening:
    """The first line that a session writes."""

    __pydantic_config__: ClassVar = CHECKED
    mode: Name
    seal: Digest  # of the scenario's faults
    scenario: MaybeName = ""
    path: Annotated[str, Field(max_length=4_096)] = ""  # as it was named
    scenario_sha256: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    scenario_text: FileText = ""  # the file, where there is nothing to seal
    scenario_sealed: FileText = ""  # else under the nonce's key stream, see `seal`
    machine: MaybeName = ""
    machine_text: FileText = ""
    arithmetic: Arithmetic | None = None
    day: Annotated[str, Field(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    who: MaybeName = ""  # a pseudonym
    helper: MaybeName = ""
    course: MaybeName = ""
    course_version: MaybeName = ""
    attempt: Annotated[int, Field(ge=1, le=1_000_000)] | None = None
    fork: Fork | None = None
    seed: Annotated[int, Field(ge=0, le=2**31)] = 0  # of scatter and readings; 0 for none
    orders_salt: Annotated[str, Field(pattern=r"^([0-9a-f]{32})?$")] = ""
    # Of the instructor's code.
    orders_check: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    answer_known: bool = False  # an earlier record told the trainee what is hidden
    rehearsed: bool = False  # or a name or a remedy was tried in one that has no end

    @property
    def of_shift(self) -> bool:
        """Whether it opens a shift of orders."""
        return self.mode == SHIFT_MODE


@dataclass(frozen=True, slots=True)
class Happened:
    """One event on the machine."""

    __pydantic_config__: ClassVar = CHECKED
    event: EventKind
    at_us: Moment
    message: Said
    zone: MaybeName = ""
    hands: MaybeName = ""
    until_us: Moment | None = None


@dataclass(frozen=True, slots=True)
class SealedAct:
    """What an instructor did to a fault that is not named before the close."""

    __pydantic_config__: ClassVar = CHECKED
    act: Literal["put_in", "take_out"]
    at_us: Moment
    seal: Digest
    by: By = By.INSTRUCTOR


@dataclass(frozen=True, slots=True)
class Worth:
    """What a session was worth, in figures."""

    __pydantic_config__: ClassVar = CHECKED
    score: Annotated[int, Field(ge=0, le=100)]
    passed: bool
    minutes: Annotated[float, Field(ge=0, le=1e6)]
    critical: Count
    hints: Count
    good: Count
    pieces: Count
    exposed_s: Annotated[float, Field(ge=0, le=1e8)] = 0.0  # hands with nothing to protect them
    strikes: Count = 0  # times that hands were struck
    # What came of it; empty in records that say only whether it was passed.
    outcome: Literal["", "passed", "found", "practised", "not passed"] = ""

    def __post_init__(self) -> None:
        """Hold the two against each other; raises ValueError."""
        if self.outcome and self.passed != (self.outcome == "passed"):
            raise ValueError(f"passed is {self.passed}, and it came to {self.outcome}")


@dataclass(frozen=True, slots=True)
class Closing:
    """The last line of a session that was ended."""

    __pydantic_config__: ClassVar = CHECKED
    at_us: Moment
    state: Digest  # of the saw
    faults: tuple[Name, ...]  # of the scenario
    nonce: Annotated[str, Field(max_length=200)]  # opens every seal
    sealed: tuple[Name, ...] = ()  # faults, in the order of their seals
    summary: Worth | None = None
    debrief: dict[str, Any] | None = None  # as it was said then, in values; messages by their keys


_ADAPTERS: Final[dict[type, TypeAdapter[Any]]] = {
    kind: TypeAdapter(kind) for kind in (Opening, Happened, SealedAct, Closing)
}
_UNFIT: Final[dict[type, Row]] = {
    Opening: row("record.open.unfit", "the opening line does not fit: {why}", why=part()),
    Happened: row("record.event.unfit", "the event does not fit: {why}", why=part()),
    SealedAct: row("record.sealed.unfit", "the sealed act does not fit: {why}", why=part()),
    Closing: row("record.close.unfit", "the closing line does not fit: {why}", why=part()),
}


def row_from(kind: type[_Row], line: Mapping[str, Any], where: str) -> _Row:
    """Return the row that a line holds.

    Args:
        kind: Opening, Happened, SealedAct or Closing.
        line: Made of JSON's values.
        where: What to say of its place.

    Raises:
        RecordError: Its fields are not those of the kind.
    """
    try:
        found: _Row = _ADAPTERS[kind].validate_json(json.dumps(line))
    except (ValueError, RecursionError) as fault:
        raise refuse_line(_UNFIT[kind](why=misfit(fault)), where) from None
    return found


def plain_row(kept: Any) -> dict[str, object]:
    """Return a row as JSON has it; fields at their default are left out."""
    line: dict[str, object] = {}
    kind: Any = type(kept)
    for name, default in _defaults(kind):
        value = getattr(kept, name)
        if value != default:
            nested = hasattr(value, "__pydantic_config__")
            line[name] = plain_row(value) if nested else plain_value(value)
    return line


@cache
def _defaults(kind: Any) -> tuple[tuple[str, object], ...]:
    """Return the fields of a kind of row, each with its default."""
    return tuple((each.name, each.default) for each in fields(kind))
