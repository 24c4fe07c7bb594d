"""Ten mistakes of a novice, made at a step of a lesson, and the way on that the hint tells after each.

Each mistake is lines as they are typed, made from how the step is rightly typed. After it the hint is asked
for and typed to the letter until the step is done. What may not be: no sentence, an exception, a hint that
leads nowhere, a coach who claims what is not so.

`python -m tests.session.novices` makes each mistake at each step of each lesson.
"""

import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.dials import BY_NAME as DIALS
from sim.debrief.debrief import Debrief, finish
from sim.errors import CommandError
from sim.pilot.lesson_pilot import play_lesson
from sim.plant.harm.consequences import Severity
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points.row import Setting
from sim.scenario import library
from sim.session.card.setup_card import Line
from sim.session.lessons.goals import card_line, near
from sim.session.lessons.lesson import Lesson, lesson_of
from sim.session.opening import open_session
from sim.session.session import Session
from sim.teaching import remarks
from sim.teaching.coach import Coach
from sim.teaching.way_out import fresh_session
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.typed.steps import NO_WAY
from sim.text.typed.steps import hint as step_hint
from sim.text.typed.typed_step import typed_step
from sim.words.message import Message

LESSONS: Final = tuple(name for name, path in library.entries() if path.parent.name == "lessons")
AWAY_S: Final = 300
_LETS_GO_S: Final = 2
_MOST_HINTED: Final = 200  # lines
_OTHER_WAY: Final = {
    "head.raise": "head.lower", "band.faster": "band.slower", "shuttle.forward": "shuttle.back",
    "cutting_vise.clamp": "cutting_vise.release", "shuttle_vise.clamp": "shuttle_vise.release",
    "job.hold": "job.unhold",
}  # fmt: skip
OTHER_WAY: Final = _OTHER_WAY | {there: here for here, there in _OTHER_WAY.items()}
_MOVES: Final = tuple(sorted(name for name, row in ACTIONS.items() if row.halt))


@dataclass
class At:
    """A lesson as it has come to a step, and how the step is typed."""

    session: Session
    lesson: Lesson
    right: tuple[str, ...]
    chance: Random

    @property
    def after(self) -> tuple[str, ...]:
        """How the step after this one is typed; nothing at the last."""
        copy = fresh_session(self.session)
        lesson = lesson_of(copy)
        assert lesson is not None
        if not play_lesson(copy, lesson, lesson.number + 1) or lesson.done:
            return ()
        return typed_step(copy, perform)


def _wrong_order(at: At) -> Iterable[str]:
    """Do what comes after first, or the end of the step before its beginning."""
    return at.after or tuple(reversed(at.right))


def _one_hand(at: At) -> Iterable[str]:
    """Start with one palm key."""
    started = [line.split()[1] for line in at.right if line.startswith("palms ")]
    key = started[0] if started else "band.run"
    return (f"tap {key}", "press palm.left", "wait 6", "release palm.left")


def _wrong_place(at: At) -> Iterable[str]:
    """Look where nothing was asked for, and set what nobody asked for."""
    looks = ("chips", "jaw-gaps", "oil-glass", "coolant-tank", "buttons", "tension-gauge")
    asked = {line.split()[1] for line in at.right if line.startswith("set ")}
    others = sorted(set(SET_POINTS) - asked - {"mode.key"})
    point = at.chance.choice(others)
    return (f"inspect {at.chance.choice(looks)}", f"set {point} {_other(at, point)}")


def _wrong_key(at: At) -> Iterable[str]:
    """Hold a movement key that the step does not ask for."""
    asked = {word for line in at.right for word in line.split()}
    return (f"hold {at.chance.choice([key for key in _MOVES if key not in asked])} {_LETS_GO_S}",)


def _wrong_value(at: At) -> Iterable[str]:
    """Set what the step sets, or else what the card has, to another value."""
    asked = [line.split()[1] for line in at.right if line.startswith("set ")]
    card = [line.name for line in at.session.card if line.name in SET_POINTS]
    points = asked[:2] or at.chance.sample(card, 1)
    return tuple(f"set {point} {_other(at, point)}" for point in dict.fromkeys(points))


def _other(at: At, point: str) -> str:
    """Return a value of a set point that is not what the card says, and not what it has."""
    here = at.session.saw.read(point)
    if point in DIALS:
        return f"{DIALS[point].high:g}"
    row = SET_POINTS[point]
    if row.words:
        return next(word for word in row.words if word != here)
    line = card_line(at.session, point)
    right = float(line.setting if line is not None and not isinstance(line.setting, str) else here)
    low, high = row.limits(at.session.machine)
    for share in at.chance.sample((0.3, 0.6, 1.5, 2.0), 4):
        tried = min(max(right * share, low), high)
        tried = round(tried / row.step) * row.step if row.step else tried
        if low <= tried <= high and not near(point, right).holds(tried):
            return f"{tried:g}"
    return f"{low if abs(low - right) > abs(high - right) else high:g}"


def _wrong_direction(at: At) -> Iterable[str]:
    """Press the key of the other direction, or wind the stop to its reading from below."""
    for line in at.right:
        for word in line.split():
            if word in OTHER_WAY:
                return (f"hold {OTHER_WAY[word]} {_LETS_GO_S}",)
    points = [line.split()[1] for line in at.right if line.startswith("set ")]
    numbers = [point for point in points if point in SET_POINTS and not SET_POINTS[point].words]
    if numbers:
        low, _ = SET_POINTS[numbers[0]].limits(at.session.machine)
        return (f"set {numbers[0]} {low:g}",)
    return (f"hold head.lower {_LETS_GO_S}",)


def _pause(at: At) -> Iterable[str]:
    """Do half of the step, and then nothing for a minute."""
    return (*at.right[: (len(at.right) + 1) // 2], "wait 60")


def _away(_at: At) -> Iterable[str]:
    """Go away for five minutes."""
    return (f"wait {AWAY_S}",)


def _closes(_at: At) -> Iterable[str]:
    """Close the session; `novice` goes on with it."""
    return ()


def _repeats(at: At) -> Iterable[str]:
    """Do the step, and all of it once more."""
    return (*at.right, *at.right)


MISTAKES: Final[dict[str, Callable[[At], Iterable[str]]]] = {
    "wrong order": _wrong_order,
    "one hand": _one_hand,
    "wrong place": _wrong_place,
    "wrong key": _wrong_key,
    "wrong value": _wrong_value,
    "wrong direction": _wrong_direction,
    "pause in the middle": _pause,
    "away for five minutes": _away,
    "closes the window": _closes,
    "repeats": _repeats,
}


@dataclass
class Met:
    """What came of one mistake."""

    lesson: str
    step: int
    mistake: str
    lines: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)  # what may not be
    over: bool = False  # the run ended, by an accident

    def __str__(self) -> str:
        where = f"{self.lesson}, step {self.step + 1}, {self.mistake}"
        told = "\n    ".join((*self.lines, "--", *self.said, "--", *self.hints))
        return f"{where}: {'; '.join(self.wrong) or 'well'}\n    {told}"


def novice(name: str, step: int, mistake: str, machine: str = "", seed: int = 0) -> Met:
    """Play a lesson to a step, make a mistake there, and go on as the hints say."""
    session = open_session(name, machine=machine)
    lesson = lesson_of(session)
    assert lesson is not None
    assert play_lesson(session, lesson, step)
    return mistaken(session, name, mistake, seed)


def mistaken(session: Session, name: str, mistake: str, seed: int = 0) -> Met:
    """Make a mistake in a session of a lesson, and go on as the hints say to the end of the step."""
    lesson = lesson_of(session)
    assert lesson is not None
    step = lesson.number
    met = Met(name, step, mistake)
    coach = Coach(session)
    at = At(
        session, lesson, typed_step(session, perform), Random(f"{name} {step} {mistake} {seed}")
    )
    if not at.right:
        met.wrong.append("the hint tells no way even before")
    for line in MISTAKES[mistake](at):
        if not session.over:
            _type(session, coach, line, met)
    if mistake == "closes the window":
        session = _closed_and_gone_on_with(session, met)
        lesson = lesson_of(session)
        assert lesson is not None
    elif not session.over and not met.said and met.lines != [f"wait {AWAY_S}"]:
        met.wrong.append("nothing was said")
    if session.over:
        met.over = True
        if not met.said:
            met.wrong.append("the run ended without a word")
        return met
    _follow_hints(session, lesson, step, met)
    return met


def _type(session: Session, coach: Coach, line: str, met: Met) -> None:
    met.lines.append(line)
    heard = len(session.heard.events)
    try:
        act = parse(line)
        assert act is not None
        answers = perform(session, act)
    except CommandError as error:
        met.said.append(f"{line}: {error.message}")
        return
    told = [str(each) for each in answers if isinstance(each, Message) and each]
    told += [str(event.message) for event in session.heard.events[heard:]]
    remark = coach.remark()
    if remark:
        told.append(f"Coach: {remark}")
        met.wrong += claims(session, remark)
    met.said += [each for each in told if each]


def claims(session: Session, said: Message) -> Iterator[str]:
    """Yield what a remark claims and is not so."""
    for each in _within(said):
        if each.row is remarks.AS_CARD:
            adjusted = session.done.acts[-1]
            line = card_line(session, getattr(adjusted, "name", ""))
            if line is None or not _as_said(line, session.saw.read(line.name)):
                yield f"called as the card says, and it is not: {said}"


def _as_said(line: Line, here: Setting) -> bool:
    """Return whether a setting is what the card says, or what it leaves alone."""
    if line.will_do(here):
        return True
    numbers = not isinstance(line.setting, str) and not isinstance(here, str)
    return numbers and near(line.name, line.setting).holds(float(here))


def _within(said: Message) -> Iterator[Message]:
    yield said
    for _, value in said.values:
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, Message):
                yield from _within(each)


def _closed_and_gone_on_with(session: Session, met: Met) -> Session:
    """Close a session, hold its debrief to what it is, and return one that stands where it stood."""
    again = fresh_session(session)
    found: Debrief = finish(session)
    if found.passed:
        met.wrong.append("closed in the midst, and passed")
    if not found.why:
        met.wrong.append("closed in the midst, and nothing says why it is not passed")
    met.said.append(str(found.why))
    return again


def _follow_hints(session: Session, lesson: Lesson, step: int, met: Met) -> None:
    """Type what the hints say until the step and the next one are done, and have the pilot do the rest."""
    for number in (step, step + 1):
        while lesson.number <= number and lesson.step is not None and not session.over:
            if len(met.hints) > _MOST_HINTED or not _one_hint(session, lesson, met):
                break
    if session.over:
        met.wrong.append(f"the hint ended the run: {_harm(session)}")
    elif not met.wrong and not _to_the_end(session, lesson):
        met.over = _damaged(session)
        if not met.over:
            met.wrong.append(f"step {lesson.number + 1} is not done: {_harm(session)}")


def _one_hint(session: Session, lesson: Lesson, met: Met) -> bool:
    """Type what a hint says; return whether it says anything."""
    hint, lines = lesson.hint(), typed_step(session, perform)
    met.hints += [str(hint), *lines]
    if not hint:
        met.wrong.append("the hint is empty")
    for line in lines:
        act = parse(line)
        if act is not None and not session.over:
            perform(session, act)
    if not lines and not (NO_WAY in step_hint(session, perform) and _damaged(session)):
        met.wrong.append("the hint tells no way")
    return bool(lines)


def _to_the_end(session: Session, lesson: Lesson) -> bool:
    try:
        return play_lesson(session, lesson)
    except CommandError:
        assert session.over
        return False


def _damaged(session: Session) -> bool:
    """Whether something is broken, which is told: then the lesson is begun again."""
    return any(each.row.severity is not Severity.WARNING for each in session.saw.consequences)


def _harm(session: Session) -> str:
    return ", ".join(each.row.name for each in session.saw.consequences) or "no harm"


def cases(share: float = 1.0, seed: int = 0) -> Iterator[tuple[str, int, str]]:
    """Yield lesson, step and mistake: each mistake at each step, or at a share of the steps, once at least."""
    chance = Random(seed)
    for name in LESSONS:
        steps = range(len(open_session(name).scenario.steps))
        for mistake in MISTAKES:
            wanted = max(1, round(share * len(steps)))
            for step in sorted(chance.sample(steps, min(wanted, len(steps)))):
                yield name, step, mistake


if __name__ == "__main__":
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    only = sys.argv[2] if len(sys.argv) > 2 else ""
    tried = failed = over = 0
    for name, step, mistake in cases(share):
        if only not in name:
            continue
        tried += 1
        try:
            met = novice(name, step, mistake)
        except Exception as error:  # noqa: BLE001
            import traceback

            print(f"{name}, step {step + 1}, {mistake}: raised {error!r}", flush=True)
            traceback.print_exc(limit=-4, file=sys.stdout)
            failed += 1
            continue
        over += met.over
        if met.over:
            print(f"  accident: {name}, step {step + 1}, {mistake}: {met.lines}", flush=True)
        if met.wrong:
            failed += 1
            print(met, flush=True)
    print(f"{tried} mistakes, {failed} badly met, {over} ended by an accident")
