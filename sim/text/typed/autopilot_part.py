"""The autopilot at one part of the work: it does it, or stops and says what it waits for.

Never here: how the work is done (see `pilot.autopilot`).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.control.decision import Decision
from sim.pilot import autopilot
from sim.session.session import Session
from sim.session.why import LOCKED_OFF, no_power
from sim.text.typed import waiting
from sim.words.fields import clock, part
from sim.words.message import NOTHING, Message, plain, row, sentences

_DONE: Final = row(
    "answer.auto.done",
    "The autopilot has done its part; it is now {now}.",
    now=clock(tenths=True),
)
_STOPS: Final = row(
    "answer.auto.stops",
    "The autopilot stops here; it is now {now}. {why}",
    now=clock(tenths=True), why=part(),
)  # fmt: skip
_NO_POWER: Final = plain("answer.auto.stops.power", "Control power is not on.")
_POWER_FIRST: Final = plain(
    "answer.auto.stops.power-first", "auto power switches it on; no stop is let out by it."
)
_WANT_POWER: Final = ("ready", "setup", "start")
_NOT_READY: Final = plain(
    "answer.auto.stops.ready",
    "The head is not at its height stop, or the band is not at the card's speed.",
)
_NOT_BEGUN: Final = plain("answer.auto.stops.begin", "The job has not begun.")
_NO_JOB: Final = plain("answer.auto.stops.no-job", "No job runs. Begin one first.")
_RESTS: Final = row("answer.auto.stops.rests", "The job rests: {reason}.", reason=part())


@dataclass(frozen=True, slots=True)
class _Part:
    """One part of the work, how it is seen to be done, and what is said where it is not."""

    does: Callable[[Session], object]
    done: Callable[[Session], bool]
    undone: Message


def do_part(session: Session, name: str) -> Message:
    """Have the autopilot do a part of the work; return that it is done, or why it stopped."""
    part, before = _PARTS[name], len(session.done.all)
    if name in _WANT_POWER and not session.over:
        dead, to_do = no_power(session.saw)
        if dead:
            first = NOTHING if to_do is LOCKED_OFF else _POWER_FIRST
            return _STOPS(now=session.saw.clock.now_us, why=sentences(dead, to_do, first))
    if name == "start" and session.unsound:
        return _STOPS(now=session.saw.clock.now_us, why=session.unsound)
    part.does(session)
    now_us = session.saw.clock.now_us
    if part.done(session):
        return _DONE(now=now_us)
    refused = next(_refusals(session, before), None)
    waits = tuple(refusal.said for refusal in session.saw.controller.waits_for())
    why = refused.sentence if refused is not None else sentences(*waits)
    return _STOPS(now=now_us, why=why or _why_it_rests(session, name) or part.undone)


def _why_it_rests(session: Session, name: str) -> Message:
    """Return why a job that was to run rests, where a reason is known, or nothing."""
    reason = session.saw.controller.job.reason
    return _RESTS(reason=reason) if name == "run" and reason else NOTHING


def _refusals(session: Session, before: int) -> Iterator[Decision]:
    """Yield what was refused and not taken in the end, among the deeds since so many."""
    for deed in session.done.all[before:]:
        final = {decision.action: decision for decision in deed.decisions}
        yield from (final[action] for action in sorted(deed.refused))


def _run(session: Session) -> None:
    """Let a job that runs go on until it rests, or until nothing moves any more."""
    waiting.for_job(session)


def _has_power(session: Session) -> bool:
    return session.saw.controller.machines["supply"].state == "ON"


def _is_ready(session: Session) -> bool:
    speeds = [line for line in session.card if line.name == "band.speed_m_min"]
    return session.saw.bus.seen["B11"] and all(
        autopilot.at_speed(session, float(line.setting)) for line in speeds
    )


def _runs(session: Session) -> bool:
    return session.saw.controller.job.state not in waiting.AT_REST


def _is_done(session: Session) -> bool:
    return session.saw.controller.job.state == "COMPLETE"


_PARTS: Final[dict[str, _Part]] = {
    "power": _Part(autopilot.power_up, _has_power, _NO_POWER),
    "ready": _Part(autopilot.make_ready, _is_ready, _NOT_READY),
    "setup": _Part(autopilot.set_up, _is_ready, _NOT_READY),
    "start": _Part(autopilot.begin, _runs, _NOT_BEGUN),
    "run": _Part(_run, _is_done, _NO_JOB),
}
