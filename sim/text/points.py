"""What can be set by hand, as lists: the set points and the set-up card.

In a drill or an assessment the list does not show a value that an inspection would show; until that
has been made, or the hand has set it, it names the inspection instead.

Never here: setting anything.
"""

from collections.abc import Sequence
from typing import Final

from sim.control.dials import DIALS
from sim.plant.machine import Machine
from sim.plant.set_points import BY_NAME, SET_POINTS, SetPoint, Setting
from sim.session.card.setup_card import Line
from sim.session.hands.cautions import in_short
from sim.session.hands.table import to_set
from sim.session.lessons.goals import LENGTH_STOP, MITRE
from sim.session.session import Session
from sim.session.sights.known import hides, unread
from sim.text.page import Cell, Part, Table
from sim.words.fields import name as names
from sim.words.fields import number, part, parts, unit
from sim.words.message import Message, plain, row
from sim.words.speech import tell

_SPEED: Final = "band.speed_m_min"
_VALVE: Final = "head.feed_valve_mm_min"

_UNSEEN: Final = row("points.unseen", "unseen; inspect {look}", look=names())
_POINTS: Final = plain("points.title", "Set points.")
_CARD: Final = plain("card.title", "Set-up card.")
_TO_SET: Final = plain("card.to-set.title", "Set-up card: what is to be set.")
_NOTHING_TO_SET: Final = plain(
    "card.nothing-to-set", "Set-up card: nothing is to be set, as far as is known."
)
_RIGHT: Final = row("card.right", "These can stay as they are: {lines}.", lines=parts(", "))
_UNREAD: Final = row("card.unread", "Not looked at yet, to be: {lines}.", lines=parts(", "))
_LINE: Final = row("card.line", "{name} {setting}", name=names(), setting=part())
_MORE: Final = row(
    "card.more", "{all} shows every line with its reason, {word} those with that in their name.",
    all=names(), word=names(),
)  # fmt: skip
_NONE: Final = row("card.none", "No line of the card has {word} in its name.", word=names())
ALL: Final = "all"
_NUMBER: Final = row("points.number", "{number}", number=number(None))
_FROM_TO: Final = row(
    "points.from-to", "{low} to {high} {unit}",
    low=number(None), high=number(None), unit=unit(),
)  # fmt: skip
_COUNT: Final = row("points.count", "{low} to {high}", low=number(), high=number())
_ONE_OF: Final = row("points.one-of", "{words}", words=parts(" or "))
_WORD: Final = row("points.word", "{word}", word=names())
_MEANS: Final = row("points.word-means", "{word} ({meant})", word=names(), meant=part())
_BY_DIAL: Final = row("points.by-dial", "{speed}, by the dial", speed=number())


def shown(session: Session, name: str) -> Message:
    """Return a set point's value in words, or the inspection that would show it."""
    if look := unread(session, name):
        return _UNSEEN(look=look)
    return _spelled(name, session.saw.read(name))


def points(session: Session) -> Table:
    """Return the set points and counters with values and limits, in the units they are set in."""
    rows: list[tuple[Cell, ...]] = [
        (
            row.name,
            row.title,
            shown(session, row.name),
            _can_be(row, session.machine),
            in_short(to_set(row.name)) or "",
        )
        for row in SET_POINTS
        if row.fitted(session.machine)
    ]
    rows += [
        (row.name, row.title, shown(session, row.name), _COUNT(low=row.low, high=row.high), "")
        for row in DIALS
    ]
    return Table(_POINTS, ("name", "", "now", "can be", ""), tuple(rows))


def _can_be(row: SetPoint, machine: Machine) -> Message:
    if row.words:
        return _ONE_OF(words=tuple(_spelled(row.name, word) for word in row.words))
    low, high = row.limits(machine)
    return _FROM_TO(low=low, high=high, unit=row.unit)


def card(session: Session, asked: str = "") -> tuple[Part, ...]:
    """Return the set-up card: what is to be set with its reasons, and the rest in short.

    Args:
        session: Whose card it is.
        asked: `all` for every line with its reason; another word for the lines with it in their name.
    """
    if asked.lower() == ALL:
        return (set_up_card(session),)
    if asked:
        found = [line for line in session.card if asked.lower().replace(" ", "_") in line.name]
        return (_lines_of(session, _CARD, found) if found else _NONE(word=asked),)
    unseen = [line for line in session.card if line.name != _SPEED and unread(session, line.name)]
    right = [line for line in session.card if line not in unseen and _stands(session, line)]
    wrong = [line for line in session.card if line not in unseen and line not in right]
    asked_of = tuple(
        _LINE(name=each.name, setting=_spelled(each.name, each.setting)) for each in unseen
    )
    as_is = tuple(_LINE(name=each.name, setting=_now(session, each.name)) for each in right)
    return (
        _lines_of(session, _TO_SET, wrong) if wrong else _NOTHING_TO_SET,
        *((_UNREAD(lines=asked_of),) if unseen else ()),
        *((_RIGHT(lines=as_is),) if right else ()),
        _MORE(all="card all", word="card WORD"),
    )


def _stands(session: Session, line: Line) -> bool:
    """Return whether a line needs no hand, as far as the setting alone tells it.

    Of the length stop it does not: its play is in or out. A new band is fed with less at first.
    """
    if line.name == _SPEED:
        return line.will_do(round(session.saw.plant.band.dial.position * 60))
    fresh = session.saw.plant.blade.fresh > 0.0 and not hides(session)
    if line.name == LENGTH_STOP or (line.name == _VALVE and fresh):
        return False
    return line.will_do(session.saw.read(line.name))


def set_up_card(session: Session) -> Table:
    """Return the set-up card beside what the machine is set to."""
    return _lines_of(session, _CARD, session.card)


def _lines_of(session: Session, title: Message, lines: Sequence[Line]) -> Table:
    rows = tuple(
        (
            line.name,
            _spelled(line.name, line.setting),
            _now(session, line.name),
            "" if line.name == _SPEED else in_short(to_set(line.name)) or "",
            line.reason,
            line.source,
        )
        for line in lines
    )
    return Table(title, ("name", "set to", "now", "", "because", "source:"), rows)


def unsound_said(session: Session) -> tuple[Message, ...]:
    """Return what is said under the card where no plan of it is sound; nothing where one is."""
    return (session.unsound,) if session.unsound else ()


def _now(session: Session, name: str) -> Message:
    if name == _SPEED:
        return _BY_DIAL(speed=session.saw.plant.band.dial.position * 60)
    return shown(session, name)


def as_read(point: str, setting: float) -> float:
    """Return a number as its scale is read: as many decimals as the step of the set point has, at most three."""
    row = BY_NAME.get(point)
    if row is None or point == MITRE:  # an order may want half a degree
        return round(setting, 3)
    decimals = next(n for n in range(4) if n == 3 or round(row.step, n) == row.step)
    return round(setting, decimals)


def _spelled(point: str, setting: Setting) -> Message:
    """Return a setting as it is typed; a word with what it means where the reader has another."""
    if not isinstance(setting, str):
        return _NUMBER(number=as_read(point, setting))
    word = _WORD(word=setting)
    row = BY_NAME.get(point)
    meant = row.told(setting) if row is not None else word
    return word if tell(meant) == setting else _MEANS(word=setting, meant=meant)
