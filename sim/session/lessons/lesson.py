"""A lesson under way: which step is asked, and whether the machine has come to what it asks for.

A lesson follows its session: it looks after every act and after every moment at which anything
happens on the machine. So a state that lasts only a moment counts, and it makes no difference how
often a screen is drawn. Any way that leads to the goal is right.

Never here: what a goal means (see `goals`), what is said about an act (see `coach`).
"""

from typing import Final

from sim.scenario.steps import Step
from sim.session.kept.heard import EventKind
from sim.session.lessons.goals import unmet
from sim.session.session import Session
from sim.units import US
from sim.words.fields import number
from sim.words.message import Message, plain, quoted, row, sentences

CLOSING: Final = plain("lesson.done", "The lesson is done.")
STEP_DONE: Final = row(
    "lesson.step.done", "Step {number} of {steps} is done.", number=number(), steps=number()
)

STEP_DONE_BADLY: Final = row(
    "lesson.step.done-badly",
    "Step {number} of {steps} is done, and not as it should be: go by what was told meanwhile.",
    number=number(), steps=number(),
)  # fmt: skip
_NO_SUCCESS: Final = (EventKind.UNSAFE, EventKind.CONSEQUENCE)
HINT_TAKEN: Final = row(
    "lesson.hint.taken", "The hint for step {number} of {steps} was read.",
    number=number(), steps=number(),
)  # fmt: skip


class Lesson:
    """The steps of one session's scenario, and how far they are done."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.steps = session.scenario.steps
        self.reached_us: list[int] = []  # when each step was done
        self.idle: list[int] = []  # numbers, from 1, of steps that held as soon as they were asked
        self._since = 0  # deeds before the present step was asked
        self._heard = 0  # events before it
        self._badly = False  # before what was heard last was taken back

    @property
    def number(self) -> int:
        """How many steps are done; the present step is the next one."""
        return len(self.reached_us)

    @property
    def step(self) -> Step | None:
        """The step that is asked now, None when all are done."""
        return None if self.done else self.steps[self.number]

    @property
    def done(self) -> bool:
        """Whether every step is done."""
        return self.number == len(self.steps)

    @property
    def ask(self) -> Message:
        """What is asked now, a sentence."""
        return quoted(self.steps[self.number].ask) if not self.done else CLOSING

    def wanting(self) -> tuple[Message, ...]:
        """Return what is still wanting of the present step, a sentence each."""
        if self.done:
            return ()
        deeds = self._session.done.all[self._since :]
        return unmet(self._session, self.steps[self.number].goal, deeds)

    def hint(self) -> Message:
        """Return how the present step is done, and what is still wanting."""
        if self.done:
            return CLOSING
        own = self.steps[self.number].hint
        return sentences(*(() if not own else (quoted(own),)), *self.wanting())

    @property
    def taken_hint(self) -> Message:
        """That the hint of the present step was read, as a record keeps it."""
        return HINT_TAKEN(number=self.number + 1, steps=len(self.steps))

    def update(self) -> None:
        """Look whether the present step is done; the session calls it, a front end need not."""
        just_asked = not any(deed.by_hand for deed in self._session.done.all)
        while not self.done and not self.wanting():
            now_us = self._session.saw.clock.now_us
            self.reached_us.append(now_us)
            if just_asked:
                self.idle.append(self.number)
            just_asked = True
            self._since = len(self._session.done)
            self._tell_done()

    def _tell_done(self) -> None:
        """Say that the step is done; it is no success where somebody could have been hurt, or something broke."""
        heard, bad = self._session.heard, self.badly
        self._heard, self._badly = len(heard.events), False
        said = STEP_DONE_BADLY if bad else STEP_DONE
        kind = EventKind.NOTE if bad else EventKind.STEP
        heard.tell(kind, said(number=self.number, steps=len(self.steps)))

    @property
    def badly(self) -> bool:
        """Whether somebody could have been hurt, or something broke, since the present step was asked."""
        heard = self._session.heard.events[self._heard :]
        return self._badly or any(event.kind in _NO_SUCCESS for event in heard)

    def went_back(self, *, badly: bool) -> None:
        """Count nothing that is in the books by now: it was taken back, but for what came `badly` before it."""
        self._heard, self._badly = len(self._session.heard.events), badly

    def took_s(self) -> tuple[float, ...]:
        """Return how long each step that is done took, s of simulated time."""
        began = [0, *self.reached_us]
        return tuple((b - a) / US for a, b in zip(began, self.reached_us, strict=False))


def lesson_of(session: Session) -> Lesson | None:
    """Return the lesson that follows a session, begun now if need be; None without steps."""
    if not session.scenario.steps:
        return None
    for follower in session.going.followers:
        if isinstance(follower, Lesson):
            return follower
    lesson = Lesson(session)
    session.follow(lesson)
    lesson.update()
    return lesson
