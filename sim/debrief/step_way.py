"""How the step of a lesson is done from where the session stands: acts that the pilot does on a copy.

It is what a hint stands on, whoever reads it: the terminal writes the acts as they are typed, the window
as keys and sheets.

Never here: how an act is called.
"""

from dataclasses import dataclass

from sim.errors import CommandError
from sim.pilot.lesson_pilot import play_lesson
from sim.records.acts import Act
from sim.session.lessons.lesson import lesson_of
from sim.session.session import Session
from sim.teaching.way_out import fresh_session


@dataclass(frozen=True, slots=True)
class StepWay:
    """Acts, and when the step is done by them; there are no acts where it is only waited for."""

    acts: tuple[Act, ...]
    until_us: int


def step_way(session: Session) -> StepWay | None:
    """Return the way that ends the present step; None where none was found."""
    if session.over or session.frozen:
        return None
    copy = fresh_session(session)
    lesson = lesson_of(copy)
    if lesson is None or lesson.done:
        return None
    known, number = len(copy.done.acts), lesson.number
    try:
        done = play_lesson(copy, lesson, number + 1)
    except CommandError:  # what the pilot did ended the run of the copy
        done = False
    return StepWay(tuple(copy.done.acts[known:]), lesson.reached_us[number]) if done else None
