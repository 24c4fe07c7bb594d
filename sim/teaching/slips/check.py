"""The form of a check: it reads the session and answers with one clause, or nothing when all is well.

A clause begins small and has no full stop, so that it can stand alone and inside a sentence.
"""

from collections.abc import Callable

from sim.control.site_rows import as_shipped
from sim.session.session import Session
from sim.words.message import Message

Check = Callable[[Session], Message]


def rows_as_shipped(session: Session, subject: str) -> bool:
    """Return whether this saw's rows do about a subject what the table does, so that it may be told of."""
    return as_shipped(session.saw.controller.rows, subject)
