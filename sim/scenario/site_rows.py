"""The interlock file of a saw: every row that its controller walks.

It lies beside sizes and wiring in the folder of a machine. What a site's file has other than the one that ships
is what the site has changed. Every name in it is one of the table's: the proofs know what the controller reads,
and speak of nothing else.

Never here: what a row does (see `sim.control.site_rows`).
"""

from collections.abc import Iterator, Mapping
from json import dumps
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, Field, StringConstraints

from sim.control.actions import BY_NAME
from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.control.site_rows import (
    changed,
    difference,
    has_words,
    needing_nothing,
    out_of_order,
    whole,
)
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN, refuse
from sim.signals import MODE_SWITCH
from sim.wiring.site_rows import Facts, SiteRows, Told, ToldRow
from sim.words.fields import name, number
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

_IN_TWICE: Final = plain("site-rows.in-twice", "this row is there twice")
_ONCE: Final = row(
    "site-rows.once", "leave one of them; the other is on line {line}", line=number()
)
_ORDER: Final = row(
    "site-rows.order",
    "the rows for {subject} act one after the other, and these stand in another order than on the saw that ships",
    subject=name(),
)  # fmt: skip
_ORDER_DO: Final = row("site-rows.order.do", "put this row before line {line}", line=number())
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
    """One row: an action that needs something, or something that follows by itself."""

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
    """All rows."""

    model_config = PLAIN
    rows: tuple[RowTold, ...] = Field(
        max_length=400, description="All that the controller refuses, and does by itself."
    )


def site_rows_of(located: Located, told: Any, place: Place = ()) -> SiteRows:
    """Return what a file has other than the table that ships.

    Args:
        located: The file, for the places in it.
        told: It, as the model has read it.
        place: Where in the file its list of rows stands.

    Raises:
        ScenarioError: A name in it means nothing, a row is there twice, rows that act one after the other stand
            in another order, or an action is left bare.
    """
    where: Place = (*place, "rows")
    first: dict[object, int] = {}
    rows: list[ToldRow] = []
    for index, each in enumerate(told.rows):
        rows.append(_row(located, (*where, index), each))
        before = first.setdefault(rows[-1].telling, index)
        if before != index:
            line = _line(located, (*where, before))
            refuse(located, (*where, index), _IN_TWICE, _ONCE(line=line))
    wrong = out_of_order(rows)
    if wrong is not None:
        what = _ORDER(subject=rows[wrong[0]].subject)
        line = _line(located, (*where, wrong[1]))
        refuse(located, (*where, wrong[0]), what, _ORDER_DO(line=line))
    site = difference(rows)
    bare = needing_nothing(changed(site))
    if bare:
        refuse(located, where, _BARE(action=bare[0]), _BARE_DO, key=True)
    return site


def _line(located: Located, place: Place) -> int:
    return located.values[place].line


def _row(located: Located, at: Place, told: RowTold) -> ToldRow:
    needs, reacts = bool(told.action and told.needs), bool(told.when and told.fires)
    mixed = (told.action or told.needs) and (told.when or told.fires)
    if mixed or not (needs or reacts):
        refuse(located, at, _NEITHER, _NEITHER_DO)
    given = _facts(located, (*at, "where"), told.where or {}, READ)
    if reacts:
        ((subject, values),) = _single(located, (*at, "when"), told.when or {}, WATCHED)
        fires = tuple(_event(located, (*at, "fires", i), f) for i, f in enumerate(told.fires))
        return ToldRow(
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
    made = ToldRow(
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
    """Yield the lines that tell all rows, as a part of a machine's text; none where they are those that ship."""
    if not site:
        return
    yield "interlocks:"
    yield "  rows:"
    yield from (f"    - {dumps(_as_told(each))}" for each in whole(site))


def _as_told(each: ToldRow) -> dict[str, object]:
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
