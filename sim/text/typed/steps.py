"""The step of a lesson in words: what is asked, why, what to beware of, and the hint.

Never here: whether it is done (see `session.lessons.lesson`).
"""

from typing import Final

from sim.session.lessons.lesson import lesson_of
from sim.session.session import Session
from sim.session.typed import listed
from sim.text.page import Part
from sim.text.typed.typed_step import Perform, typed_step
from sim.words.fields import authored, count, part
from sim.words.message import plain, row

NO_LESSON: Final = plain("step.no-lesson", "This is no lesson, and nothing is asked step by step.")
ALL_DONE: Final = plain(
    "step.all-done", "All steps of the lesson are done; quit reads the debrief."
)
_STEP: Final = row(
    "step.asked", "Step {number} of {steps}: {ask}", number=count(), steps=count(), ask=authored()
)
_WHY: Final = row("step.why", "Why: {why}", why=authored())
_CAUTION: Final = row("step.caution", "Caution: {caution}", caution=authored())
_HINT: Final = row("step.hint", "Hint: {hint}", hint=part())


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
        _STEP(number=lesson.number + 1, steps=len(lesson.steps), ask=lesson.step.ask),
        _WHY(why=lesson.step.why),
        *((_CAUTION(caution=lesson.step.caution),) if lesson.step.caution else ()),
    )


def step_or_none(session: Session) -> tuple[Part, ...]:
    """Return the step that is asked now, or that there is no lesson."""
    return step(session) or (NO_LESSON,)


def hint(session: Session, perform: Perform) -> tuple[Part, ...]:
    """Return how the present step is done, what is still missing, and how that is typed."""
    lesson = lesson_of(session)
    if lesson is None:
        return (NO_LESSON,)
    lines = typed_step(session, perform)
    told = (listed(lines),) if lines else ()
    return (_HINT(hint=lesson.hint()), *told)
