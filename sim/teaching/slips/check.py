"""The form of a check: it reads the session and answers with one clause, or nothing when all is well.

A clause begins small and has no full stop, so that it can stand alone and inside a sentence.
"""

from collections.abc import Callable

from sim.session.session import Session
from sim.words.message import Message

Check = Callable[[Session], Message]
