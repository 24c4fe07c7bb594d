"""A site's interlock file: which rows of the table its controller does without, and which it has besides.

It lies beside sizes and wiring in the folder of a machine. Every name in it is one of the table's: the proofs
know what the controller reads, and speak of nothing else.

Never here: what a row does (see `sim.control.site_rows`).
"""

from collections.abc import Iterator, Mapping
from json import dumps
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, Field, StringConstraints

from sim.control.actions import BY_NAME
from sim.control.interlocks import PERMISSIVES, REACTIONS, THE_ROWS
from sim.control.site_rows import ROW_OF, has_words, needing_nothing, row_from, telling
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN, refuse
from sim.signals import MODE_SWITCH
from sim.wiring.site_rows import Facts, SiteRow, SiteRows, Told
from sim.words.fields import name
from sim.words.message import plain, row

_STATES: Final = {table.name: table.states for table in TABLES}
_EVENTS: Final = {
    table.name: tuple(dict.fromkeys(each.event for each in table.rows)) for table in TABLES
}
_KEPT: Final = tuple(dict.fromkeys(each.action for each in PERMISSIVES if each.keeps))
READ: Final = tuple(
    dict.fromkeys(
        (
            *_STATES,
            *MODE_SWITCH,
            *(tag for tag, _ in SENSOR_EVENTS),
            *(each.need.subject for each in PERMISSIVES),
            *(subject for each in PERMISSIVES for subject, _ in each.given),
            *(subject for each in REACTIONS for subject, _ in each.given),
        )
    )
)
"""What the controller reads at any time."""
WATCHED: Final = tuple(dict.fromkeys((*READ, *(each.subject for each in REACTIONS))))
"""What it sees change; a key only in the moment in which it goes down or comes up."""

_NO_ROW: Final = row("site-rows.no-row", "the table has no row {row}", row=name())
_OUT_TWICE: Final = row("site-rows.out-twice", "{row} is taken out twice", row=name())
_IN_TWICE: Final = plain("site-rows.in-twice", "this row is there twice")
_ONCE: Final = plain("site-rows.once", "leave one of them")
_BARE: Final = row(
    "site-rows.bare", "{action} is left without anything that it needs", action=name()
)
_BARE_DO: Final = plain(
    "site-rows.bare.do", "keep one of its rows: nothing may move that nothing can stop"
)
_NEITHER: Final = plain("site-rows.neither", "this row neither refuses nor does anything")
_NEITHER_DO: Final = plain(
    "site-rows.neither.do", "give action and needs, or when and fires, and not both"
)
_NO_ACTION: Final = row("site-rows.no-action", "there is no action {action}", action=name())
_NOT_KEPT: Final = row(
    "site-rows.not-kept", "the controller halts no {action} that has begun", action=name()
)
_NOT_KEPT_DO: Final = row(
    "site-rows.not-kept.do", "leave keeps out, or use it for {actions}", actions=name()
)
_NOT_READ: Final = row("site-rows.not-read", "the controller reads no {subject}", subject=name())
_ONE: Final = plain("site-rows.one", "a row speaks of one thing here")
_ONE_DO: Final = plain("site-rows.one.do", "give one, and write another row for the next")
_NO_VALUE: Final = row(
    "site-rows.no-value", "{subject} is never {value}", subject=name(), value=name()
)
_TRUE_OR_FALSE: Final = plain("site-rows.true-or-false", "give true where it is on, or false")
_NO_EVENT: Final = row("site-rows.no-event", "{fired} is no event of a machine", fired=name())
_WORDS: Final = row(
    "site-rows.words", "the table says nothing of {subject} with these values", subject=name()
)
_WORDS_DO: Final = plain(
    "site-rows.words.do", "give fact and to_do: what the console says where it does not hold"
)

_Text = Annotated[str, StringConstraints(min_length=1, max_length=200)]
_Short = Annotated[str, StringConstraints(min_length=1, max_length=40)]
_Value = bool | _Short
_Facts = dict[_Short, _Value | tuple[_Value, ...]]


class RowTold(BaseModel):
    """One row of a site's own."""

    model_config = PLAIN
    interlock: Annotated[str, StringConstraints(pattern=r"^[A-Z][0-9]{1,3}$")]
    action: _Short | None = Field(default=None, description="That needs something.")
    asked_by: Literal["any", "key", "job"] = "any"
    needs: _Facts | None = Field(default=None, description="What it needs, one thing.")
    keeps: bool = Field(default=False, description="Whether it is halted when that goes.")
    when: _Facts | None = Field(default=None, description="What becomes something, one thing.")
    fires: tuple[_Short, ...] = Field(default=(), max_length=10)
    where: _Facts | None = Field(default=None, description="Where the row applies.")
    fact: _Text | None = None
    to_do: _Text | None = None
    reason: _Text | None = None
    hazard: _Text | None = None


class InterlocksFile(BaseModel):
    """The rows that are out, and those that are in."""

    model_config = PLAIN
    without: tuple[_Short, ...] = Field(default=(), max_length=200)
    also: tuple[RowTold, ...] = Field(default=(), max_length=200)


def site_rows_of(located: Located, told: Any, place: Place = ()) -> SiteRows:
    """Return the changes that a file tells.

    Args:
        located: The file, for the places in it.
        told: It, as the model has read it.
        place: Where in the file the changes stand.

    Raises:
        ScenarioError: A name in it means nothing, a row is there twice, or an action is left bare.
    """
    for index, each in enumerate(told.without):
        at = (*place, "without", index)
        if each not in ROW_OF:
            refuse(located, at, _NO_ROW(row=each), nearest(each, ROW_OF))
        if each in told.without[:index]:
            refuse(located, at, _OUT_TWICE(row=each), _ONCE)
    also: list[SiteRow] = []
    for index, each in enumerate(told.also):
        at = (*place, "also", index)
        new = _row(located, at, each)
        if any(telling(new) == telling(other) for other in also):
            refuse(located, at, _IN_TWICE, _ONCE)
        also.append(new)
    site = SiteRows(tuple(told.without), tuple(also))
    rows = THE_ROWS.changed((ROW_OF[each] for each in site.without), map(row_from, site.also))
    bare = needing_nothing(rows)
    if bare:
        refuse(located, (*place, "without"), _BARE(action=bare[0]), _BARE_DO, key=True)
    return site


def _row(located: Located, at: Place, told: RowTold) -> SiteRow:
    needs, reacts = bool(told.action and told.needs), bool(told.when and told.fires)
    mixed = (told.action or told.needs) and (told.when or told.fires)
    if mixed or not (needs or reacts):
        refuse(located, at, _NEITHER, _NEITHER_DO)
    given = _facts(located, (*at, "where"), told.where or {}, READ)
    if reacts:
        ((subject, values),) = _single(located, (*at, "when"), told.when or {}, WATCHED)
        fires = tuple(_event(located, (*at, "fires", i), f) for i, f in enumerate(told.fires))
        return SiteRow(
            told.interlock, subject, values, given, fires=fires, said=told.reason or "",
            hazard=told.hazard or "",
        )  # fmt: skip
    action = str(told.action)
    if action not in BY_NAME:
        refuse(located, (*at, "action"), _NO_ACTION(action=action), nearest(action, BY_NAME))
    if told.keeps and action not in _KEPT:
        advice = _NOT_KEPT_DO(actions=", ".join(_KEPT))
        refuse(located, (*at, "keeps"), _NOT_KEPT(action=action), advice)
    ((subject, values),) = _single(located, (*at, "needs"), told.needs or {}, READ)
    made = SiteRow(
        told.interlock, subject, values, given, action, told.asked_by, told.keeps,
        said=told.fact or "", to_do=told.to_do or "", hazard=told.hazard or "",
    )  # fmt: skip
    if not has_words(made):
        refuse(located, (*at, "needs"), _WORDS(subject=subject), _WORDS_DO, key=True)
    return made


def _single(located: Located, at: Place, told: Mapping[str, Any], known: tuple[str, ...]) -> Facts:
    if len(told) != 1:
        refuse(located, at, _ONE, _ONE_DO, key=True)
    return _facts(located, at, told, known)


def _facts(located: Located, at: Place, told: Mapping[str, Any], known: tuple[str, ...]) -> Facts:
    found: list[tuple[str, tuple[Told, ...]]] = []
    for subject, value in told.items():
        if subject not in known:
            refuse(
                located,
                (*at, subject),
                _NOT_READ(subject=subject),
                nearest(subject, known),
                key=True,
            )
        values = value if isinstance(value, tuple) else (value,)
        found.append((subject, tuple(_value(located, (*at, subject), subject, v) for v in values)))
    return tuple(found)


def _value(located: Located, at: Place, subject: str, value: Told) -> Told:
    states = _STATES.get(subject)
    if states is None:
        if isinstance(value, bool):
            return value
        refuse(located, at, _NO_VALUE(subject=subject, value=value), _TRUE_OR_FALSE)
    if value not in states:
        shown = str(value)
        refuse(located, at, _NO_VALUE(subject=subject, value=shown), nearest(shown, states))
    return value


def _event(located: Located, at: Place, fired: str) -> tuple[str, str]:
    machine, _, event = fired.partition(" ")
    if event not in _EVENTS.get(machine, ()):
        known = [f"{table} {each}" for table, events in _EVENTS.items() for each in events]
        refuse(located, at, _NO_EVENT(fired=fired), nearest(fired, known))
    return machine, event


def written(site: SiteRows) -> Iterator[str]:
    """Yield the lines that tell the changes whole, as a part of a machine's text; none where there are none."""
    if not site:
        return
    yield "interlocks:"
    if site.without:
        yield f"  without: {dumps(site.without)}"
    if site.also:
        yield "  also:"
        yield from (f"    - {dumps(_as_told(each))}" for each in site.also)


def _as_told(each: SiteRow) -> dict[str, object]:
    """Return a row as a file has it."""
    said = {"fact": each.said, "to_do": each.to_do} if each.action else {"reason": each.said}
    told: dict[str, object] = {
        "interlock": each.interlock, "action": each.action, "hazard": each.hazard, **said,
        "needs" if each.action else "when": {each.subject: each.values},
        "where": dict(each.given), "fires": [" ".join(fired) for fired in each.fires],
    }  # fmt: skip
    if each.action:
        told |= {"asked_by": each.asked_by, "keeps": each.keeps}
    return {key: value for key, value in told.items() if value not in ("", {}, [])}
