"""The step of a lesson in words: what is asked, why, what to beware of, and the hint.

Never here: whether it is done (see `drill.lesson`).
"""

from typing import Final

from sim.session.lesson import lesson_of
from sim.session.session import Session
from sim.session.typed import listed
from sim.text.page import Part
from sim.text.typed_step import Perform, typed_step

NO_LESSON: Final = "This is no lesson, and nothing is asked step by step."
ALL_DONE: Final = "All steps of the lesson are done; quit reads the debrief."


def steps_done(session: Session) -> int:
    """Return how many steps of the lesson are done; 0 without a lesson."""
    lesson = lesson_of(session)
    return lesson.number if lesson is not None else 0


def step(session: Session) -> tuple[Part, ...]:
    """Return the step that is asked now; nothing without a lesson."""
    lesson = lesson_of(session)
    if lesson is None:
        return ()
    if lesson.step is None:
        return (ALL_DONE,)
    return (
        f"Step {lesson.number + 1} of {len(lesson.steps)}: {lesson.step.ask}",
        f"Why: {lesson.step.why}",
        *((f"Caution: {lesson.step.caution}",) if lesson.step.caution else ()),
    )


def step_or_none(session: Session) -> tuple[Part, ...]:
    """Return the step that is asked now, or that there is no lesson."""
    return step(session) or (NO_LESSON,)


def hint(session: Session, perform: Perform) -> tuple[Part, ...]:
    """Return how the present step is done, what it is still wanting, and how that is typed."""
    lesson = lesson_of(session)
    if lesson is None:
        return (NO_LESSON,)
    lines = typed_step(session, perform)
    told = (str(listed(lines)),) if lines else ()
    return (f"Hint: {lesson.hint()}", *told)
