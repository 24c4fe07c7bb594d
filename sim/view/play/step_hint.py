"""How the step of a lesson is done, in the words of the window: keys by their caps, sheets by their tabs.

Never here: which acts do it (see `debrief.step_way`).
"""

from collections.abc import Iterator, Sequence
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.debrief.step_way import StepWay
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.records import acts
from sim.records.acts import Adjusted, BarLoaded, Inspected, LockoutTaken, Pressed, Released
from sim.session import inspections, lockout
from sim.session.lessons.lesson import CLOSING, lesson_of
from sim.session.session import PALM_KEYS, Session
from sim.units import US
from sim.view.play.key_words import called
from sim.words.fields import number, part, parts, seconds
from sim.words.message import NOTHING, Message, plain, quoted, row, sentences

_MOST: Final = 10  # acts that are told at once; then the hint is asked for again
_LONG_US: Final = 2 * US  # a wait that is told
CONSOLE: Final = plain("step-hint.console", "Console")
WALK: Final = plain("step-hint.walk", "Walk round")
INSPECT: Final = plain("step-hint.inspect", "Inspect")
LOCK_OUT: Final = plain("step-hint.lockout", "Lock out")
DIAGNOSE: Final = plain("step-hint.diagnose", "Diagnose")
_ON: Final = row("step-hint.on", "On {sheet}: {acts}.", sheet=part(), acts=parts("; "))
_BY_KEYS: Final = plain(
    "step-hint.palm-by-key",
    "A palm key that is clicked lets go by itself after half a second: hold X and P on the keyboard.",
)
_THEN: Final = plain("step-hint.then", "Then ask for the hint again.")
_NO_WAY: Final = plain(
    "step-hint.no-way",
    "From here no way to the end of this step was found. Choose Finish, and begin the lesson again.",
)
PRESS: Final = row("step-hint.press", "press {cap}", cap=part())
HOLD: Final = row("step-hint.hold", "hold {cap} for some {time}", cap=part(), time=seconds(1))
KEEP: Final = row("step-hint.keep", "press {cap} and leave it so", cap=part())
LET_GO: Final = row("step-hint.let-go", "let go of {cap}", cap=part())
PALMS: Final = row("step-hint.palms", "press {cap}, then both palm keys together", cap=part())
TURN: Final = row("step-hint.turn", "turn the switch to {cap}", cap=part())
SET: Final = row("step-hint.set", "{title}: {setting}", title=part(), setting=part())
LOOK: Final = row("step-hint.look", "{look}", look=part())
_LOAD: Final = plain("step-hint.load", "have a fresh bar loaded")
_WAIT: Final = row("step-hint.wait", "wait {time}", time=seconds(0))
_DIAL: Final = row("step-hint.dial", "{number}", number=number(None))


def step_hint(session: Session, way: StepWay | None) -> Message:
    """Return how the present step of a lesson is done from where the session stands.

    Args:
        session: That of the lesson.
        way: What does the step; None where none was found.
    """
    lesson = lesson_of(session)
    if lesson is None or lesson.step is None:
        return CLOSING
    own = quoted(lesson.step.hint) if lesson.step.hint else NOTHING
    if way is None:
        return sentences(own, _NO_WAY)
    told = list(_told(way.acts, session.saw.clock.now_us, way.until_us))
    more = (_THEN,) if len(told) > _MOST else ()
    if any(_one_palm(act) for act in way.acts):
        more = _BY_KEYS, *more
    return sentences(own, *by_sheet(told[:_MOST]), *more)


def _one_palm(act: acts.Act) -> bool:
    return isinstance(act, Pressed) and len({*act.keys} & {*PALM_KEYS}) == 1


def by_sheet(told: Sequence[tuple[Message, Message]]) -> Iterator[Message]:
    """Yield a sentence for each run of acts on one sheet."""
    at = 0
    while at < len(told):
        sheet = told[at][0]
        run = [said for here, said in told[at:]]
        length = next((n for n, (here, _) in enumerate(told[at:]) if here is not sheet), len(run))
        yield _ON(sheet=sheet, acts=tuple(run[:length]))
        at += length


def _told(
    way: Sequence[acts.Act], from_us: int, until_us: int
) -> Iterator[tuple[Message, Message]]:
    """Yield each act with the sheet that it is done on."""
    at, now_us = 0, from_us
    while at < len(way):
        act, after = way[at], way[at + 1] if at + 1 < len(way) else None
        keyed = isinstance(act, Pressed | Released)
        if keyed and act.at_us - now_us >= _LONG_US:
            yield CONSOLE, _WAIT(time=(act.at_us - now_us) / US)
        now_us = act.at_us if keyed else after.at_us if after is not None else until_us
        if (
            isinstance(act, Pressed)
            and isinstance(after, Released)
            and set(act.keys) == set(after.keys)
        ):
            yield CONSOLE, _keyed(act, after.at_us - act.at_us)
            at, now_us = at + 1, after.at_us
        else:
            yield from _one(act)
        at += 1
    if until_us - now_us >= _LONG_US:
        yield CONSOLE, _WAIT(time=(until_us - now_us) / US)


def _keyed(press: Pressed, held_us: int) -> Message:
    keys = [key for key in press.keys if key not in PALM_KEYS]
    if set(PALM_KEYS) < set(press.keys):
        return PALMS(cap=called(keys[0]))
    if press.keys[0].startswith("mode."):
        return TURN(cap=called(press.keys[0]))
    return (
        HOLD(cap=called(press.keys[0]), time=held_us / US)
        if held_us
        else PRESS(cap=called(press.keys[0]))
    )


def _one(act: acts.Act) -> Iterator[tuple[Message, Message]]:
    match act:
        case Pressed(keys=keys) | Released(keys=keys):
            said = KEEP if isinstance(act, Pressed) else LET_GO
            for key in keys:
                yield CONSOLE, (TURN if key.startswith("mode.") else said)(cap=called(key))
        case Adjusted(name=name, setting=setting) if name in SET_POINTS:
            point = SET_POINTS[name]
            yield WALK, SET(title=point.title, setting=point.told(setting))
        case Adjusted(name=name, setting=setting):
            yield CONSOLE, SET(title=DIALS[name].title, setting=_DIAL(number=float(setting)))
        case Inspected(name=name) if look := inspections.find(name):
            yield INSPECT, LOOK(look=look.title)
        case LockoutTaken(step=step):
            yield LOCK_OUT, LOOK(look=lockout.BY_NAME[step].title)
        case BarLoaded():
            yield WALK, _LOAD
        case _:  # no lesson asks for it
            pass
