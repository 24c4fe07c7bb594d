"""What hangs in the cabinet: interlock handbook, cause and effect, list of signals.

A sheet is a table with a title, in the language of who reads now; every word in it comes from the
running tables, and there is no second copy. Tags, actions, machines, states and events stand as the
tables name them, in every language. Cause and effect follows the idea of IEC 62881 (not read):
causes down, effects across, with a box to tick for each row that was rehearsed.

Never here: pages (`bench_page`) and drawings (`diagrams`).
"""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.control import outputs
from sim.control.cycle import JOB_ASKS
from sim.control.interlocks import (
    INTERLOCKS,
    THE_ROWS,
    Interlock,
    InterlockRow,
    Permissive,
    Reaction,
    Rows,
    When,
)
from sim.signals import BY_TAG, SIGNALS, Direction, Signal, Source
from sim.words.fields import name, part, parts
from sim.words.message import Message, plain, row, sentences
from sim.words.speech import reader, tell

BOX: Final = "☐"
Given = tuple[tuple[str, tuple[object, ...]], ...]


@dataclass(frozen=True, slots=True)
class PrintSheet:
    """A table, as it is read."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class PrintCause:
    """The subject is one of the values, or `none_of` them, while the others hold."""

    subject: str
    values: tuple[object, ...]
    none_of: bool = False
    given: Given = ()

    @property
    def label(self) -> Message:
        """The cause in words."""
        said = _is(self.subject, self.values, none_of=self.none_of)
        return _WHILE(said=said, given=_all(self.given)) if self.given else said


@dataclass(frozen=True, slots=True)
class PrintMatrix:
    """Causes, effects, and what stands where they meet."""

    title: Message
    means: Message  # what a filled cell says, a sentence
    causes: tuple[PrintCause, ...]
    effects: tuple[str, ...]
    cells: dict[tuple[PrintCause, str], str]

    @property
    def caption(self) -> Message:
        """Its title, and what a filled cell says."""
        return _CAPTION(title=self.title, means=self.means)

    def sheet(self) -> PrintSheet:
        """Return it as a table, with a box to tick for each row."""
        rows = tuple(
            (BOX, tell(cause.label), *(self.cells.get((cause, e), "") for e in self.effects))
            for cause in self.causes
        )
        heads = tell(DONE), tell(CAUSE), *map(reader().name, self.effects)
        return PrintSheet(tell(self.caption), heads, rows)


DONE: Final = plain("print.done", "done")
CAUSE: Final = plain("print.cause", "cause")
_CAPTION: Final = row("print.caption", "{title}. {means}", title=part(), means=part())
_WHILE: Final = row("print.while", "{said}, while {given}", said=part(), given=part())
_ALL: Final = row("print.all", "{facts}", facts=parts(" and "))
_IS_ON: Final = row("print.is-on", "{subject} on", subject=name())
_IS_OFF: Final = row("print.is-off", "{subject} off", subject=name())
_IS: Final = row("print.is", "{subject} {values}", subject=name(), values=parts(" or "))
_IS_NOT: Final = row("print.is-not", "{subject} not {values}", subject=name(), values=parts(" or "))
_VALUE: Final = row("print.value", "{value}", value=name())
_SET: Final = plain("print.set", "set")
_NOT_SET: Final = plain("print.not-set", "not set")


def _is(subject: str, values: tuple[object, ...], *, none_of: bool = False) -> Message:
    if subject in BY_TAG and len(values) == 1:
        return (_IS_ON if values[0] else _IS_OFF)(subject=subject)
    told = tuple(_value(value) for value in values)
    return (_IS_NOT if none_of else _IS)(subject=subject, values=told)


def _value(value: object) -> Message:
    if isinstance(value, bool):
        return _SET if value else _NOT_SET
    return _VALUE(value=str(value))


def _all(given: Given) -> Message:
    return _ALL(facts=tuple(_is(subject, values) for subject, values in given))


# PrintCause and effect -------------------------------------------------------------------------

_REFUSING: Final = (
    plain("print.refusing.title", "What blocks an action"),
    plain(
        "print.refusing.means", "The interlock refuses it; 'keeps' also halts it while it lasts."
    ),
)
_FOLLOWING: Final = (
    plain("print.following.title", "What follows by itself"),
    plain("print.following.means", "The event is fired when the cause comes."),
)
_ENERGISING: Final = (
    plain("print.energising.title", "What is energised"),
    plain("print.energising.means", "The output is on as long as the cause lasts."),
)
_KEEPS: Final = row("print.keeps", "{number} keeps", number=name())
_ON: Final = plain("print.on", "on")
_OFF: Final = plain("print.off", "off")


def cause_and_effect(rows: Rows = THE_ROWS) -> tuple[PrintMatrix, ...]:
    """Return the three matrices of some rows: what refuses which action, what follows, what is energised."""
    return _refusing(rows), _following(rows), _energising()


def _refusing(rows: Rows) -> PrintMatrix:
    cells: dict[tuple[PrintCause, str], str] = {}
    for permissive in rows.permissives:
        key = (against(permissive), effect_of(permissive))
        number = tell((_KEEPS if permissive.keeps else _NUMBER)(number=permissive.number))
        cells[key] = " ".join(filter(None, (cells.get(key), number)))
    return _matrix(_REFUSING, cells)


def _following(rows: Rows) -> PrintMatrix:
    cells: dict[tuple[PrintCause, str], str] = {}
    for reaction in rows.reactions:
        for machine, event in reaction.fires:
            key = (
                PrintCause(reaction.subject, reaction.becomes, given=reaction.given),
                f"{machine} {event}",
            )
            number = tell(_NUMBER(number=reaction.number))
            cells[key] = " ".join(filter(None, (cells.get(key), number)))
    return _matrix(_FOLLOWING, cells)


def _energising() -> PrintMatrix:
    power = ("supply", ("ON",))
    cells = {
        (PrintCause(machine, (state,), given=() if machine == "supply" else (power,)), tag): tell(
            _ON
        )
        for (machine, state), tags in outputs.ON_IN.items()
        for tag in tags
    }
    return _matrix(_ENERGISING, cells)


def _matrix(
    words: tuple[Message, Message], cells: dict[tuple[PrintCause, str], str]
) -> PrintMatrix:
    causes = tuple(dict.fromkeys(cause for cause, _ in cells))
    return PrintMatrix(*words, causes, tuple(dict.fromkeys(effect for _, effect in cells)), cells)


def against(row: Permissive) -> PrintCause:
    """Return the cause that makes a permissive refuse."""
    need = row.need
    if need.values in ((True,), (False,)):
        return PrintCause(need.subject, (not need.values[0],), given=row.given)
    return PrintCause(need.subject, need.values, none_of=True, given=row.given)


def effect_of(row: Permissive) -> str:
    """Return the column of a permissive: its action, and who asks if that matters."""
    return row.action if row.when is When.ANY else f"{row.action} ({row.when})"


# The handbook -----------------------------------------------------------------------------

_NUMBER: Final = row("print.number", "{number}", number=name())
_NO: Final = plain("print.no", "no.")
_RULE: Final = plain("print.rule", "rule")
_HAZARD: Final = plain("print.hazard", "hazard")
_INTERLOCK_HEADS: Final = (_NO, plain("print.about", "about"), _RULE, _HAZARD)
_PERMISSIVE_HEADS: Final = (
    _NO, plain("print.action", "action"), plain("print.asked-by", "asked by"),
    plain("print.needs", "needs"), plain("print.or-it-says", "or it says"), _HAZARD,
)  # fmt: skip
_REACTION_HEADS: Final = (
    _NO, plain("print.when", "when"), plain("print.meanwhile", "while"),
    plain("print.follows", "follows"), plain("print.reason", "reason shown"),
)  # fmt: skip
_LASTS: Final = row("print.lasts", "{need}, as long as it lasts", need=part())
_WHERE: Final = row("print.needs-where", "{need}, where {given}", need=part(), given=part())
_ASKED_BY: Final = {
    When.ANY: plain("print.asked-by.any", "key or job"),
    When.KEY: plain("print.asked-by.key", "key"),
    When.JOB: plain("print.asked-by.job", "job"),
}


_TITLES: Final = (
    plain("print.handbook.interlocks", "Interlocks: what each is for"),
    plain("print.handbook.permissives", "Interlocks: what each action needs"),
    plain("print.handbook.reactions", "Reactions: what follows by itself"),
    plain(
        "print.handbook.metal",
        "Rules that locks and contacts of the machine carry out, without the controller",
    ),
    plain("print.handbook.unwired", "Rules that are practised and not wired"),
)

_SITE: Final = plain("print.site", "What the site has changed in the rows")
_SITE_HEADS: Final = (_NO, plain("print.change", "change"), plain("print.row", "row"))
_OUT: Final = plain("print.site.out", "taken out")
_IN: Final = plain("print.site.in", "put in")


def handbook(rows: Rows = THE_ROWS) -> tuple[PrintSheet, ...]:
    """Return the handbook: interlocks, permissives, reactions, rules that are not wired; what a site changed last."""
    interlocks, permissives, reactions, metal, practised = _TITLES
    return (
        sheet_of(interlocks, _INTERLOCK_HEADS, map(_interlock, INTERLOCKS)),
        sheet_of(permissives, _PERMISSIVE_HEADS, map(_permissive, rows.permissives)),
        sheet_of(reactions, _REACTION_HEADS, map(_reaction, rows.reactions)),
        sheet_of(
            metal,
            (_NO, _RULE),
            ((_number(lock.number), lock.sentence) for lock in INTERLOCKS if lock.metal),
        ),
        sheet_of(
            practised,
            (_NO, _RULE),
            ((_number(lock.number), lock.sentence) for lock in INTERLOCKS if lock.practised),
        ),
        *_changes(rows),
    )


def _changes(rows: Rows) -> Iterator[PrintSheet]:
    """Yield the sheet of what a site has changed in the rows; none where it has not."""
    before: tuple[InterlockRow, ...] = (*THE_ROWS.permissives, *THE_ROWS.reactions)
    now: tuple[InterlockRow, ...] = (*rows.permissives, *rows.reactions)
    changed = [
        *((_OUT, each) for each in before if each not in now),
        *((_IN, each) for each in now if each not in before),
    ]
    if changed:
        told = ((_number(e.number), change, _VALUE(value=e.name)) for change, e in changed)
        yield sheet_of(_SITE, _SITE_HEADS, told)


def sheet_of(
    title: Message, heads: Iterable[Message], rows: Iterable[Iterable[Message]]
) -> PrintSheet:
    """Return messages as a table of the reader's words."""
    told = tuple(tuple(map(tell, cells)) for cells in rows)
    return PrintSheet(tell(title), tuple(map(tell, heads)), told)


def _number(number: str) -> Message:
    return _NUMBER(number=number)


def _interlock(lock: Interlock) -> tuple[Message, ...]:
    return _number(lock.number), lock.title, lock.rule, lock.hazard


def _permissive(row: Permissive) -> tuple[Message, ...]:
    need = row.need
    fact = _is(need.subject, need.values)
    lasting = _LASTS(need=fact) if row.keeps else fact
    return (
        _number(row.number), _VALUE(value=row.action), _ASKED_BY[_asker(row)],
        _WHERE(need=lasting, given=_all(row.given)) if row.given else lasting,
        sentences(need.sentence, need.remedy), row.hazard,
    )  # fmt: skip


def _asker(row: Permissive) -> When:
    """Return who asks for the action where the permissive applies: the job asks for some only."""
    only_keys = row.when is When.ANY and row.action not in JOB_ASKS
    return When.KEY if only_keys else row.when


def _reaction(row: Reaction) -> tuple[Message, ...]:
    fires = ", ".join(f"{machine} {event}" for machine, event in row.fires)
    return (
        _number(row.number), _is(row.subject, row.becomes), _all(row.given),
        _VALUE(value=fires), row.reason,
    )  # fmt: skip


# The wires --------------------------------------------------------------------------------

_SIGNALS: Final = plain("print.signals", "Signals")
TAG: Final = plain("print.tag", "tag")
WAY: Final = plain("print.direction", "direction")
ON_MEANS: Final = plain("print.on-means", "on means")
_SIGNAL_HEADS: Final = (
    TAG, WAY,
    plain("print.driven-by", "driven by"), plain("print.at-rest", "at rest"),
    plain("print.key", "key"), ON_MEANS,
)  # fmt: skip
DIRECTION: Final = {
    Direction.INPUT: plain("print.input", "input"),
    Direction.OUTPUT: plain("print.output", "output"),
}
_SOURCE: Final = {
    Source.KEY: plain("print.source.key", "key"),
    Source.LATCH: plain("print.source.latch", "latch"),
    Source.SWITCH: plain("print.source.switch", "switch"),
    Source.SENSOR: plain("print.source.sensor", "sensor"),
    Source.CONTROL: plain("print.source.control", "control"),
}


def signal_list() -> PrintSheet:
    """Return every wire: tag, direction, what drives it, at rest, key, meaning."""
    return sheet_of(_SIGNALS, _SIGNAL_HEADS, map(_signal, SIGNALS))


def _signal(wire: Signal) -> tuple[Message, ...]:
    return (
        _VALUE(value=wire.tag), DIRECTION[wire.direction], _SOURCE[wire.source],
        _ON if wire.at_rest else _OFF, _VALUE(value=wire.key), wire.text,
    )  # fmt: skip


# As text ----------------------------------------------------------------------------------


def csv_text(sheet: PrintSheet) -> str:
    """Return a sheet as comma-separated values with its heads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(sheet.heads)
    writer.writerows(sheet.rows)
    return out.getvalue()


def sheet_text(sheet: PrintSheet) -> str:
    """Return a sheet for reading: a row is a line, its cells under each other."""
    table = [sheet.heads, *sheet.rows]
    widths = [max(len(cells[column]) for cells in table) for column in range(len(sheet.heads))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)).rstrip()
        for cells in table
    ]
    return "\n".join([sheet.title, *lines])


def matrix_text(matrix: PrintMatrix) -> str:
    """Return a matrix for reading: a line for each cause, with its filled cells."""
    sheet = matrix.sheet()
    lines = [sheet.title]
    for box, cause, *cells in sheet.rows:
        filled = [f"{h}: {c}" for h, c in zip(sheet.heads[2:], cells, strict=True) if c]
        lines.append(f"{box} {cause} -> {'; '.join(filled)}")
    return "\n".join(lines)
