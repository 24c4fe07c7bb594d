"""What happened as lines with their simulated time: one row for each kind of event.

Never here: what happened (see `session.heard`).
"""

from typing import Final

from sim.session.kept.heard import Event, EventKind
from sim.session.kept.told import KEY_TAKEN, in_words
from sim.words.fields import clock, part
from sim.words.message import Message, Row, row


def _row(key: str, english: str) -> Row:
    return row(f"event.{key}", f"{{at}} {english}", at=clock(tenths=True), said=part())


_AS_IT_IS: Final = _row("plain", "{said}")
_TAKEN: Final = _row("taken", "Taken: {said}.")
_TOLD_AS: Final = {
    EventKind.REFUSED: _row("refused", "Refused. {said}"),
    EventKind.CUT: _row("cut", "Cut. {said}"),
    EventKind.CONSEQUENCE: _row("consequence", "Harm. {said}"),
    EventKind.FINDING: _row("finding", "Found. {said}"),
    EventKind.UNSAFE: _row("unsafe", "UNSAFE. {said}"),
    EventKind.NOTE: _row("note", "Note. {said}"),
    EventKind.HINT: _row("hint", "Hint. {said}"),
}


def line_of(event: Event) -> Message:
    """Return one thing that happened as a line with its simulated time."""
    told = _TAKEN if event.message.row is KEY_TAKEN else _TOLD_AS.get(event.kind, _AS_IT_IS)
    return told(at=event.at_us, said=in_words(event.message))
