"""The form of a check: it reads the session and answers with a sentence, or nothing when all is well."""

from collections.abc import Callable

from sim.session.session import Session

Check = Callable[[Session], str]
