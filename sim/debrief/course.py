"""The order of the course, and where it begins. Home's first frame waits for this, so nothing heavy is loaded here.

Never here: what somebody has done of it.
"""

from collections.abc import Iterable
from typing import Final

from sim.session.shelf import Listed
from sim.words.message import plain

FIRST: Final = plain("next.why.first", "Nothing is on record yet: the course begins here.")
_EASY_FIRST: Final = {"lesson": 0, "practice": 1, "drill": 2, "assessment": 3}


def ease_of(scenario: Listed) -> tuple[int, int]:
    """Return by what a scenario is easier than another: its kind, then its level."""
    return _EASY_FIRST[scenario.mode], scenario.level


def in_course_order(scenarios: Iterable[Listed]) -> list[Listed]:
    """Return scenarios in the order of the course: lessons by number, then practice and drills from the easy ones on."""
    return sorted(
        scenarios, key=lambda sc: (_EASY_FIRST[sc.mode], 0 if sc.mode == "lesson" else sc.level)
    )
