"""The step of a lesson in words: what is asked, why, what to beware of, and the hint.

Never here: whether it is done (see `session.lessons.lesson`).
"""

from typing import Final

from sim.session.lessons.lesson import lesson_of
from sim.session.playback.rewind import may_rewind
from sim.session.session import Session
from sim.session.typed import listed
from sim.text.page import Part
from sim.text.typed.typed_step import Perform, steps_done, typed_step
from sim.words.fields import authored, count, part
from sim.words.message import plain, row

__all__ = ["ALL_DONE", "NO_LESSON", "NO_WAY", "hint", "step", "step_or_none", "steps_done"]

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
_BACK: Final = plain(
    "step.hint.back",
    "The run is over: type rewind first, which goes back to before what came to harm; then do it right.",
)
NO_WAY: Final = plain(
    "step.hint.no-way",
    "From here no way to the end of this step was found. End with quit, and begin the lesson again.",
)


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
    """Return how the present step is done, what is still missing, and how that is typed; it is put down."""
    lesson = lesson_of(session)
    if lesson is None:
        return (NO_LESSON,)
    told = _HINT(hint=lesson.hint())
    if session.over and may_rewind(session):
        return (_BACK, told)
    if lesson.done or session.over:
        return (told,)
    lines = typed_step(session, perform)
    if not session.frozen:
        session.take_hint(lesson.taken_hint)
    return (told, listed(lines) if lines else NO_WAY)
