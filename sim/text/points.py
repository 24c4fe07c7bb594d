"""What can be set by hand, as lists: the set points and the set-up card.

In a drill or an assessment the list does not show a value that an inspection would show; until that
has been made, or the hand has set it, it names the inspection instead.

Never here: setting anything.
"""

from typing import Final

from sim.control.dials import DIALS
from sim.plant.machine import Machine
from sim.plant.set_points import BY_NAME, SET_POINTS, SetPoint, Setting
from sim.session.hands.cautions import in_short
from sim.session.hands.table import to_set
from sim.session.session import Session
from sim.session.sights.known import unread
from sim.text.page import Cell, Table
from sim.words.fields import name as names
from sim.words.fields import number, part, parts, unit
from sim.words.message import Message, plain, row
from sim.words.speech import tell

_SPEED: Final = "band.speed_m_min"

_UNSEEN: Final = row("points.unseen", "unseen; inspect {look}", look=names())
_POINTS: Final = plain("points.title", "Set points.")
_CARD: Final = plain("card.title", "Set-up card.")
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


def set_up_card(session: Session) -> Table:
    """Return the set-up card beside what the machine is set to."""
    rows = tuple(
        (
            line.name,
            _spelled(line.name, line.setting),
            _now(session, line.name),
            "" if line.name == _SPEED else in_short(to_set(line.name)) or "",
            line.reason,
            line.source,
        )
        for line in session.card
    )
    return Table(_CARD, ("name", "set to", "now", "", "because", "source:"), rows)


def unsound_said(session: Session) -> tuple[Message, ...]:
    """Return what is said under the card where no plan of it is sound; nothing where one is."""
    return (session.unsound,) if session.unsound else ()


def _now(session: Session, name: str) -> Message:
    if name == _SPEED:
        return _BY_DIAL(speed=session.saw.plant.band.dial.position * 60)
    return shown(session, name)


def _spelled(point: str, setting: Setting) -> Message:
    """Return a setting as it is typed; a word with what it means where the reader has another."""
    if not isinstance(setting, str):
        return _NUMBER(number=round(setting, 3))
    word = _WORD(word=setting)
    row = BY_NAME.get(point)
    meant = row.told(setting) if row is not None else word
    return word if tell(meant) == setting else _MEANS(word=setting, meant=meant)
