"""How something is typed, line by line: played by the pilot on a copy of the session first.

It is the step of a lesson, or the bringing of a bar. The lines are then tried on a second copy, and told
only if they lead to the goal there. Waiting times are rounded, as coarsely as the lines still lead to it.

Never here: what a goal means.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from math import ceil
from typing import Final

from sim.debrief.step_way import step_way
from sim.errors import CommandError, DrycycleError
from sim.faults.catalogue import EVERY
from sim.faults.spares import SPARES
from sim.pilot.autopilot import bring_bar
from sim.records import acts
from sim.records.acts import (
    Adjusted,
    BarLoaded,
    Diagnosed,
    FindingReported,
    Inspected,
    LockoutTaken,
    Mended,
    Pressed,
    Released,
    Swapped,
)  # fmt: skip
from sim.session import inspections, known, lockout
from sim.session.hands.table import to_set
from sim.session.lessons.lesson import lesson_of
from sim.session.session import PALM_KEYS, Session
from sim.teaching.way_out import fresh_session
from sim.text.typed.language import parse
from sim.text.typed.reading import MODES, TypedAct
from sim.trade.handling import CRANE, loading_s
from sim.units import US

Perform = Callable[[Session, TypedAct], object]

_ROUNDED: Final = (0.5, 0.1, 0.001)  # s, coarse to fine
_SHORT_US: Final = (
    US // 2
)  # a key that is held less has something go as far as it is to, and no further
_SHORT_UNIT_S: Final = 0.1
_MOST_LINES: Final = (
    40  # a prop and a lock-out there and back are within it; of what is longer, the beginning
)
_MODE_KEY: Final = "mode.key"
_MODE_OF: Final = {known.mode_key(mode): mode for mode in MODES}


def typed_step(session: Session, perform: Perform) -> tuple[str, ...]:
    """Return lines that do the present step of a lesson; none when no way was found.

    Args:
        session: The lesson's.
        perform: What does an act to a session, as `acts` has it.
    """
    way = step_way(session)
    if way is None:
        return ()
    number = steps_done(session)
    lines = _tried(session, way.acts, way.until_us, lambda copy: steps_done(copy) > number, perform)
    return lines[:_MOST_LINES]  # then the hint is asked for again


def typed_load(session: Session, perform: Perform) -> tuple[str, ...]:
    """Return lines that have the next bar brought, nobody in danger; none when no way was found.

    Args:
        session: Whose stock that bar is.
        perform: As for `typed_step`.
    """
    copy = fresh_session(session)
    known = len(copy.done.all)
    with suppress(CommandError):  # what the pilot did ended the run of the copy
        bring_bar(copy)
    if not _brought(copy, known):
        return ()
    acts_of = tuple(deed.act for deed in copy.done.all[known:])
    return _tried(
        session, acts_of, copy.saw.clock.now_us, lambda tried: _brought(tried, known), perform
    )


def _brought(copy: Session, known: int) -> bool:
    """Return whether a bar was brought since so many deeds, and no hands were where something moved."""
    deeds = copy.done.all[known:]
    loaded = any(
        isinstance(deed.act, BarLoaded) and deed.answer is not None and deed.answer.taken
        for deed in deeds
    )
    return loaded and not any(deed.unsafe for deed in deeds)


def _tried(
    session: Session,
    done: Sequence[acts.Act],
    until_us: int,
    leads: Callable[[Session], bool],
    perform: Perform,
) -> tuple[str, ...]:
    """Return acts as lines that lead on a copy where the acts did; none where they do not."""
    rests_us = session.saw.controller.times.mode_rests_us
    for unit_s in _ROUNDED:
        span_us = session.saw.clock.now_us, until_us
        lines = _lines(done, span_us, unit_s, rests_us, session.stock.mass_kg)
        if _leads(session, lines, leads, perform):
            return tuple(lines)
    return ()


def steps_done(session: Session) -> int:
    """Return how many steps of the lesson are done; 0 without a lesson."""
    lesson = lesson_of(session)
    return lesson.number if lesson is not None else 0


def _leads(
    session: Session, lines: Sequence[str], leads: Callable[[Session], bool], perform: Perform
) -> bool:
    """Return whether lines lead somewhere, and harm nothing, on a copy of the session."""
    copy = fresh_session(session)
    harm = len(copy.saw.consequences)
    try:
        for line in lines:
            act = parse(line)
            if act is not None:
                perform(copy, act)
    except DrycycleError:
        return False
    return leads(copy) and len(copy.saw.consequences) == harm


def _lines(
    done: Sequence[acts.Act], span_us: tuple[int, int], unit_s: float, rests_us: int, mass_kg: float
) -> list[str]:
    """Return acts as lines, with the waiting between them.

    Args:
        done: The acts.
        span_us: From when to when they are done.
        unit_s: To which waiting is rounded.
        rests_us: How long the mode switch rests until its mode takes effect.
        mass_kg: Of a fresh bar.
    """
    lines: list[str] = []
    at_us, until_us = span_us
    index = 0
    while index < len(done):
        act = done[index]
        lines += _wait(act.at_us - at_us, unit_s)
        after = done[index + 1] if index + 1 < len(done) else None
        if isinstance(act, Pressed) and isinstance(after, Released) and _lets_go(act, after):
            lines.append(_pressed_and_let_go(act, after.at_us - act.at_us, unit_s))
            act, index = after, index + 1
        else:
            lines.append(_line(act))
        at_us = act.at_us + round(_takes_s(act, rests_us, mass_kg) * US)
        index += 1
    return [*lines, *_wait(until_us - at_us, unit_s)]


def _lets_go(press: Pressed, after: Released) -> bool:
    return set(after.keys) == set(press.keys)


def _pressed_and_let_go(press: Pressed, held_us: int, unit_s: float) -> str:
    if not held_us and set(PALM_KEYS) < set(press.keys):
        return f"palms {' '.join(key for key in press.keys if key not in PALM_KEYS)}"
    keys = " ".join(press.keys)
    unit_s = min(unit_s, _SHORT_UNIT_S) if held_us < _SHORT_US else unit_s
    return f"hold {keys} {_time(held_us, unit_s)}" if held_us else f"tap {keys}"


def _line(act: acts.Act) -> str:
    match act:
        case Pressed(keys=(key,)) if key in _MODE_OF:
            return f"turn {_MODE_OF[key]}"
        case Pressed(keys=keys) | Released(keys=keys):
            return f"{act.kind} {' '.join(keys)}"
        case Adjusted(name=name, setting=setting):
            return f"set {name} {setting if isinstance(setting, str) else f'{setting:g}'}"
        case LockoutTaken(step=step):
            return f"lockout {step}"
        case Mended(name=name):
            return f"fix {name}"
        case Swapped(name=name):
            return f"swap {name}"
        case BarLoaded(how=how):
            return "load" if how == CRANE else f"load {how}"
        case FindingReported(name=name, calls_for=calls_for):
            return f"report {name} as {calls_for}"
        case Inspected(name=name) | Diagnosed(name=name):
            return f"{act.kind} {name}"
        case _:
            return act.kind.value


def _takes_s(act: acts.Act, mode_rests_us: int, mass_kg: float) -> float:
    """Return the simulated time that an act takes by itself, s."""
    match act:
        case Pressed(keys=(key,)) if key in _MODE_OF:
            return mode_rests_us / US
        case Inspected(name=name):
            row = inspections.find(name)
            return row.seconds if row is not None else 0.0
        case Adjusted(name=name):
            rests_us = mode_rests_us if name == _MODE_KEY else 0
            return to_set(name).seconds + rests_us / US
        case LockoutTaken(step=step):
            return lockout.BY_NAME[step].seconds
        case Mended(name=name):
            return EVERY[name].minutes * 60.0
        case Swapped(name=name):
            return SPARES[name].minutes * 60.0
        case BarLoaded(how=how):
            return loading_s(how, mass_kg)
        case _:
            return 0.0


def _wait(time_us: int, unit_s: float) -> list[str]:
    return [f"wait {_time(time_us, unit_s)}"] if time_us > 0 else []


def _time(time_us: int, unit_s: float) -> str:
    return f"{ceil(time_us / US / unit_s) * unit_s:g}"
