"""Whether the goal of a step is reached: one row a kind of condition, each read off the session.

A row yields a sentence for everything that is still wanting; a goal is reached when no row yields
any. Conditions on what was done (inspected, taken, refused) look at the deeds since the step was
asked; all others look at the machine as it stands.

Never here: how a goal is brought about.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

from sim.control.nouns import THE, state_word
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.records.acts import Inspected
from sim.scenario.steps import CARD, MEASURED, OFF, VERIFIED, Goal, Limits
from sim.session import inspections, lockout
from sim.session.card.setup_card import Line
from sim.session.kept.deeds import Deed
from sim.session.lessons import wanting
from sim.session.lessons.measures import MEASURES
from sim.session.session import Session
from sim.signals import BY_TAG, Source
from sim.trade.materials import Material
from sim.units import MINUTE, MM
from sim.words.message import NOTHING, Message, Row, sentences

SPEED: Final = "band.speed_m_min"  # the card's line for what is set by keys
LENGTH_STOP: Final = "shuttle.stop_mm"
MITRE: Final = "head.mitre_deg"

# How near to a number counts as set to it: a share of it, and never less than half a step of the
# set point. The length stop is set to the reading, an angle to the degree.
LEEWAY: Final = 0.05
SPEED_LEEWAY_M_MIN: Final = 3.0
READING_MM: Final = 0.01
MEASURED_SHARE: Final = 0.5  # of the tolerance of the drawing
TRUE_M: Final = 1e-6  # a length stop this near to its scale stands true

Unmet = Iterator[Message]


def unmet(session: Session, goal: Goal, deeds: Iterable[Deed] = ()) -> tuple[Message, ...]:
    """Return what is still wanting of a goal, a sentence each; empty when it is reached.

    Args:
        session: The session as it stands.
        goal: What is wanted.
        deeds: What was done since the goal was set.
    """
    done = tuple(deeds)
    return tuple(
        sentence
        for kind, value in goal
        if value is not None
        for sentence in KINDS[kind](session, done, value)
    )


def card_line(session: Session, name: str) -> Line | None:
    """Return the line of the set-up card for a set point, or None."""
    return next((line for line in session.card if line.name == name), None)


def speed_range(session: Session) -> Limits:
    """Return the band speeds that are right for the metal of the job on this saw, m/min."""
    return _speeds(session.card, session.stock.material)


def speed_range_there(session: Session) -> Limits:
    """Return the band speeds that are right for the bar that lies there, see `Session.lying`, m/min."""
    return _speeds(session.card_there, session.lying.material)


def _speeds(card: tuple[Line, ...], metal: Material) -> Limits:
    line = next((line for line in card if line.name == SPEED), None)
    middle = float(line.setting) if line is not None else 0.0
    return Limits(
        at_least=min(metal.speed_low_m_s * MINUTE, middle - SPEED_LEEWAY_M_MIN),
        at_most=max(metal.speed_high_m_s * MINUTE, middle + SPEED_LEEWAY_M_MIN),
    )


def near(name: str, number: float) -> Limits:
    """Return the numbers that count as a set point set to `number`."""
    if name == LENGTH_STOP:
        off = READING_MM
    else:
        row, leeway = SET_POINTS.get(name), 0.0 if name == MITRE else LEEWAY
        off = max(leeway * abs(number), row.step / 2.0) if row is not None else 0.0
    return Limits(at_least=number - off, at_most=number + off)


def as_card(line: Line, here: Setting) -> bool:
    """Return whether a set point stands as the card has it: as `Line.will_do` has it where it names a range, else near."""
    return line.will_do(here) if line.within else _is_at(line.name, here, line.setting)


def backlash_m(session: Session) -> float:
    """Return by how much the length stop stands short of its scale, m."""
    return session.saw.plant.shuttle.short_m


# The kinds --------------------------------------------------------------------------------


def _signal(session: Session, _done: tuple[Deed, ...], wanted: dict[str, bool]) -> Unmet:
    for tag, live in wanted.items():
        if session.saw.bus.seen[tag] != live:
            row = BY_TAG[tag]
            said = (wanting.MUST_SHOW if live else wanting.STILL_SHOWS)(tag=tag, meaning=row.text)
            held = row.source is Source.KEY and row.key in session.saw.held
            yield sentences(said, wanting.LET_IT_GO) if held and not live else said


def _state(session: Session, _done: tuple[Deed, ...], wanted: dict[str, tuple[str, ...]]) -> Unmet:
    for machine, states in wanted.items():
        here = session.saw.controller.machines[machine].state
        if here not in states:
            named = wanting.NAMED.intersection(states)
            said = wanting.MUST_COME_TO if named else wanting.MUST_BE
            yield said(
                machine=THE[machine],
                states=tuple(state_word(machine, state) for state in states),
                here=state_word(machine, here),
            )


def _mode(session: Session, _done: tuple[Deed, ...], wanted: str) -> Unmet:
    if session.saw.controller.image["mode"] != wanted:
        yield wanting.TURN(mode=wanted)


def _setting(
    session: Session, _done: tuple[Deed, ...], wanted: dict[str, float | str | Limits]
) -> Unmet:
    for point, given in wanted.items():
        target, here = _target(session, point, given), session.saw.read(point)
        if target is None:
            yield wanting.NO_LINE(set=point)
        elif not _as_wanted(session, point, given, target):
            if given == MEASURED and not isinstance(here, str):
                yield wanting.not_corrected(point, here)
            else:
                yield wanting.not_set(point, target, here)
        elif given == CARD and point == LENGTH_STOP and backlash_m(session) > TRUE_M:
            yield wanting.BACKLASH_IN


def _target(
    session: Session, name: str, given: float | str | Limits
) -> float | str | Limits | None:
    """Return what is wanted of a set point, the card's line put for `card`; None without one."""
    if given not in (CARD, MEASURED):
        return given
    line = card_line(session, name)
    if line is None or given == CARD or isinstance(line.setting, str):
        return line.setting if line is not None else None
    # A measurement and its correction may be off by what still makes a good piece from the next one on.
    off = MEASURED_SHARE * session.measuring.tolerance_m / MM
    return Limits(at_least=line.setting - off, at_most=line.setting + off)


def asks_for(session: Session, goal: Goal, name: str) -> bool:
    """Return whether a goal names a set point and the set point stands as the goal wants it."""
    given = (goal.setting or {}).get(name)
    target = _target(session, name, given) if given is not None else None
    return given is not None and target is not None and _as_wanted(session, name, given, target)


def set_as(session: Session, name: str, given: float | str | Limits) -> bool:
    """Return whether a set point stands as a goal would want it."""
    return not any(_setting(session, (), {name: given}))


def wanted_off_card(session: Session, goal: Goal, name: str) -> Message:
    """Return what a goal wants of a set point that is not so and that the card has otherwise; else nothing."""
    given, line = (goal.setting or {}).get(name), card_line(session, name)
    if given is None or given in (CARD, MEASURED) or line is None:
        return NOTHING
    here = session.saw.read(name)
    if _is_at(name, here, given) or _is_at(name, line.setting, given):
        return NOTHING
    return wanting.not_set(name, given, here)


def _as_wanted(
    session: Session, name: str, given: float | str | Limits, target: float | str | Limits
) -> bool:
    """Return whether a set point stands as a goal wants it; what it wants as on the card by the card's own rule."""
    line, here = card_line(session, name), session.saw.read(name)
    return as_card(line, here) if given == CARD and line is not None else _is_at(name, here, target)


def _is_at(name: str, here: Setting, target: float | str | Limits) -> bool:
    if isinstance(here, str) or isinstance(target, str):
        return here == target
    return (target if isinstance(target, Limits) else near(name, target)).holds(here)


def _backlash(session: Session, _done: tuple[Deed, ...], wanted: str) -> Unmet:
    play_mm = backlash_m(session) / MM
    there = play_mm > TRUE_M / MM
    if wanted == "out" and there:
        yield wanting.STANDS_SHORT(play=play_mm * MM)
    elif wanted == "in" and not there:
        yield wanting.STANDS_TRUE


def _speed(session: Session, _done: tuple[Deed, ...], wanted: float | str | Limits) -> Unmet:
    if session.saw.plant.band.dial.moving:
        yield wanting.CHANGES
        return
    dial = session.saw.plant.band.dial.position * MINUTE
    if isinstance(wanted, Limits):
        right = wanted
    elif isinstance(wanted, str):
        right = speed_range(session)
    else:
        low, high = wanted - SPEED_LEEWAY_M_MIN, wanted + SPEED_LEEWAY_M_MIN
        right = Limits(at_least=low, at_most=high)
    if not right.holds(dial):
        yield wanting.SPEED(wanted=wanting.SPEEDS.range(right), here=wanting.SPEEDS.here(dial))


def _measure(session: Session, _done: tuple[Deed, ...], wanted: dict[str, Limits]) -> Unmet:
    for each, right in wanted.items():
        measure = MEASURES[each]
        here = measure.read(session.saw)
        if not right.holds(here):
            limits, now = measure.amount.range(right), measure.amount.here(here)
            yield wanting.MEASURE(title=measure.title, wanted=limits, here=now)


def _cuts(session: Session, _done: tuple[Deed, ...], wanted: int) -> Unmet:
    yield from _count(len(session.saw.cuts), wanted, wanting.CUTS)


def _pieces(session: Session, _done: tuple[Deed, ...], wanted: int) -> Unmet:
    bars = session.pieces_a_cut
    yield from _count(session.tally.pieces * bars, wanted * bars, wanting.PIECES)


def _measured(session: Session, _done: tuple[Deed, ...], wanted: int) -> Unmet:
    yield from _count(session.measuring.good, wanted, wanting.MEASURED)


def _square_faces(session: Session, _done: tuple[Deed, ...], wanted: int) -> Unmet:
    here = session.measuring.square_faces(wanted)  # as the saw cuts now, and not before
    yield from _count(here, wanted, wanting.SQUARE_FACES)


def _count(here: int, wanted: int, said: Row) -> Unmet:
    if here < wanted:
        yield said(here=here, wanted=wanted)


def _inspected(_session: Session, done: tuple[Deed, ...], wanted: str) -> Unmet:
    look = inspections.find(wanted)
    if look is not None and not any(_looked(deed, look.name) for deed in done):
        yield wanting.NOT_LOOKED(look=look.name, title=look.title)


def _looked(deed: Deed, inspection: str) -> bool:
    return isinstance(deed.act, Inspected) and deed.act.name == inspection


def _lockout(session: Session, _done: tuple[Deed, ...], wanted: str) -> Unmet:
    here = session.lockout
    if wanted == OFF:
        if here.begun:
            yield wanting.TAKE_BACK
    elif wanted == VERIFIED:
        if not here.verified:
            yield here.wanting_to_verify or wanting.VERIFY
    elif not here.has(wanted):
        yield wanting.STEP(step=wanted, title=lockout.BY_NAME[wanted].title)


def _taken(_session: Session, done: tuple[Deed, ...], wanted: str) -> Unmet:
    if not any(wanted in deed.accepted for deed in done):
        yield wanting.TAKE(action=wanted)


def _refused(_session: Session, done: tuple[Deed, ...], wanted: str) -> Unmet:
    if not any(wanted in deed.refused for deed in done):
        yield wanting.REFUSE(action=wanted)


def _loaded(session: Session, _done: tuple[Deed, ...], _wanted: str) -> Unmet:
    if session.saw.plant.bar.stock is not session.stock:
        yield wanting.NOT_LOADED


KINDS: Final[dict[str, Callable[[Session, tuple[Deed, ...], Any], Unmet]]] = {
    "signal": _signal,
    "state": _state,
    "mode": _mode,
    "setting": _setting,
    "backlash": _backlash,
    "speed_m_min": _speed,
    "measure": _measure,
    "cuts": _cuts,
    "pieces": _pieces,
    "measured": _measured,
    "square_faces": _square_faces,
    "inspected": _inspected,
    "lockout": _lockout,
    "taken": _taken,
    "refused": _refused,
    "loaded": _loaded,
}
