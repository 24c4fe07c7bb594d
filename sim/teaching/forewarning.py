"""What is said of a key that nothing blocks and that would do harm as things stand.

Never here: what stands against a key (see `session.why`).
"""

from typing import Final

from sim.session.session import Session
from sim.session.why import VARIATOR
from sim.teaching.slips.keys import BEFORE_PRESSED
from sim.words.fields import part
from sim.words.message import Message, row

_SPOKEN_IN: Final = ("lesson", "practice")
_BUT: Final = row("why.but", "But {slip}.", slip=part())


def forewarning(session: Session, key: str) -> tuple[Message, ...]:
    """Return why a key had better not be pressed though nothing blocks it, a sentence; often nothing.

    In a drill and an assessment only a rule is told that nobody needs a look inside for: what lies
    where, and what is clamped, is for the trainee to see.
    """
    if key not in BEFORE_PRESSED or session.over:
        return ()
    if session.scenario.mode not in _SPOKEN_IN and key not in VARIATOR:
        return ()
    slip = BEFORE_PRESSED[key](session.saw)
    return (_BUT(slip=slip),) if slip else ()
