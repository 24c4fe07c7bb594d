"""The form of a check: it reads the session and answers with a sentence, or nothing when all is well.

Imports `session`.
"""

from collections.abc import Callable

from sim.drill.session import Session

Check = Callable[[Session], str]
