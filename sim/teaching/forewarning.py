"""What is said of a key that nothing blocks and that would do harm as things stand.

Never here: what stands against a key (see `session.why`).
"""

from typing import Final

from sim.session.session import Session
from sim.session.why import VARIATOR
from sim.teaching.slips.keys import before_pressed
from sim.words.fields import part
from sim.words.message import Message, row

_SPOKEN_IN: Final = ("lesson", "practice")
_BUT: Final = row("why.but", "But {slip}.", slip=part())


def forewarning(session: Session, key: str) -> tuple[Message, ...]:
    """Return all for which a key had better not be pressed though nothing blocks it, a sentence each.

    In a drill and an assessment only a rule is told that nobody needs a look inside for: what lies
    where, and what is clamped, is for the trainee to see.
    """
    if session.over:
        return ()
    if session.scenario.mode not in _SPOKEN_IN and key not in VARIATOR:
        return ()
    return tuple(_BUT(slip=slip) for slip in before_pressed(session.saw, key))
