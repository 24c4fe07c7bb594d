"""What to do after a session: the same once more, or the next of the course.

It follows from the session alone, as its debrief does; what is due by all records is `debrief.progress`.

Never here: the command or the page that leads there, which each front end has its own words for.
"""

from dataclasses import dataclass

from sim.debrief.course import in_course_order
from sim.debrief.debrief import Debrief
from sim.session.shelf import listed
from sim.words.message import NOTHING, Message, quoted


@dataclass(frozen=True, slots=True)
class WhatNext:
    """A scenario to go on with."""

    scenario: str  # its name; empty where none can be named
    title: Message = NOTHING
    again: bool = False  # the same once more


def what_next(found: Debrief) -> WhatNext:
    """Return what to do after a session: what was not passed again, and then the next of the course.

    What was passed only with something taken back is done again, without. A drill whose answer was shown in its
    debrief is not: it would be practice.
    """
    course = in_course_order(listed())
    names = [each.name for each in course]
    if found.own or found.scenario not in names:
        return WhatNext("")
    here = names.index(found.scenario)
    hides = course[here].mode in ("drill", "assessment")
    if not found.passed and not hides:
        return WhatNext(found.scenario, quoted(course[here].title), again=True)
    if here + 1 == len(course):
        return WhatNext("")
    return WhatNext(names[here + 1], quoted(course[here + 1].title))
