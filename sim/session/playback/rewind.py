"""Going back from an accident: the session is played again up to a moment before it, and goes on from there.

The saw is a fresh one that has lived through the same acts, so it stands as it stood then, to the last
bit. What was seen, what it cost and who was struck stay in the books, and the record gets one more
line. A drill or an assessment has none of this: what is judged there is done once.

    if may_rewind(session):
        session = rewind(session)  # five seconds before the accident; rewind(session, 60) a minute from now

The session that was there before takes no more acts; whoever holds it goes on with the one that is returned.

Never here: what a session with a rewind is worth (see `debrief.scoring`).
"""

from collections.abc import Callable
from typing import Final

from sim.errors import CommandError
from sim.records.acts import Act, Pressed, Rewound
from sim.session.kept import told
from sim.session.kept.heard import EventKind
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import twin_of
from sim.session.playback.acting import meanwhile, play
from sim.session.rewinds import REWINDS_IN, WENT_BACK, Rewind
from sim.session.session import Session
from sim.signals import BY_KEY, Source
from sim.units import US
from sim.words.message import NOTHING, Message, plain

BEFORE_S: Final = 5.0  # the accident; a choice
REBUILT: Final = 1_000
"""Appointments of the clock that a fresh saw is reckoned as, where a record may only take so many."""

_JUDGED: Final = plain(
    "rewind.judged", "in a drill and in an assessment nothing is taken back, as at a real saw"
)
_IN_LESSONS: Final = plain(
    "rewind.judged.to-do", "end it with quit, and try it in a lesson or in practice"
)
SHIFT: Final = plain("rewind.shift", "in a shift of orders nothing is taken back")
GO_ON: Final = plain("rewind.shift.to-do", "go on with the next order")
_NO_HARM: Final = plain(
    "rewind.no-harm", "nothing has come to harm, so there is nothing to take back"
)
_AFTERWARDS: Final = plain("rewind.no-harm.to-do", "go on; after an accident it is the way on")


_NOT_STRUCK: Final = plain(
    "rewind.not-struck",
    "nothing was struck, but hands were where they were not safe; that stays, and this session is not passed",
)
_BEGIN_AGAIN: Final = plain(
    "rewind.not-struck.to-do", "go on to practise it, or end it and begin it again"
)


def against(session: Session) -> tuple[Message, Message]:
    """Return why a session cannot go back now and what to do instead; nothing twice when it can."""
    if never := _never(session):
        return never
    if session.closed:
        return told.OVER, told.READ_DEBRIEF
    if session.frozen:
        return told.FROZEN, told.WAIT
    if not session.has_harm:
        return (_NOT_STRUCK, _BEGIN_AGAIN) if session.hands.exposures else (_NO_HARM, _AFTERWARDS)
    return NOTHING, NOTHING


def _never(session: Session) -> tuple[Message, Message] | None:
    """Return why there is no going back in such a session at all, and what to do instead."""
    if session.rewinds_here:
        return None
    return (SHIFT, GO_ON) if session.scenario.mode in REWINDS_IN else (_JUDGED, _IN_LESSONS)


def may_rewind(session: Session) -> bool:
    """Return whether there is something to take back, in a session where that is allowed."""
    return not against(session)[0]


def rewind(session: Session, seconds: float | None = None) -> Session:
    """Go back to a moment before, with hands free; return the session that goes on from there.

    Hands are free where no key is held and no act is under way: else it is the moment before that key was
    pressed or that act begun. Who does nothing and comes to the same accident again goes back further,
    to before the last act.

    Args:
        session: Takes no more acts afterwards.
        seconds: From now; None for `BEFORE_S` before the last harm, which may lie further back than now.

    Raises:
        CommandError: It is not allowed there, or nothing has come to harm.
    """
    why, to_do = against(session)
    if why:
        raise CommandError(why, "rewind", to_do)
    return _go_on(session, _with_free_hands(session, _wanted_us(session, seconds)))


def go_back(
    session: Session, to_us: int, watch: Callable[[Session], None] = lambda _session: None
) -> Session:
    """Go back to an instant, as a record has it; return the session that goes on from there.

    Args:
        session: Takes no more acts afterwards.
        to_us: The acts that were begun before it stand.
        watch: Called with the fresh session before anything is done in it.

    Raises:
        CommandError: The session's mode has no going back, or it is a shift of orders.
    """
    if never := _never(session):
        why, to_do = never
        raise CommandError(why, "rewind", to_do)
    return _go_on(session, _as_at(session, to_us, watch))


def _go_on(session: Session, fresh: Session) -> Session:
    """Write the line of the record, and have the fresh session go on where the other one ends."""
    act = Rewound(session.going.now_us, fresh.going.now_us)
    session.going.leave()
    session.journal.act(act)
    _take_over(fresh, session, act)
    session.going.closed = True
    fresh.heard.tell(EventKind.ACT, WENT_BACK(at=act.at_us))
    return fresh


def _wanted_us(session: Session, seconds: float | None) -> int:
    now_us, harms = session.going.now_us, session.saw.consequences
    if seconds is not None:
        return max(now_us - round(seconds * US), 0)
    to_us = (harms[-1].at_us if harms else now_us) - round(BEFORE_S * US)
    acts = [act for act in session.done.acts if not meanwhile(act)]
    stood = session.rewinds[-1].stood if session.rewinds else None
    if stood is not None and acts and len(session.done.acts) == stood:  # nothing was done since
        to_us = min(to_us, acts[-1].at_us)
    return max(to_us, 0)


def _with_free_hands(session: Session, to_us: int) -> Session:
    """Return a fresh session as at an instant, or as at the last one before it at which hands were free."""
    while True:
        fresh = _as_at(session, to_us)
        busy = fresh.under_way
        mine = fresh.saw.held - fresh.hands.held_by_another
        held = {key for key in mine if BY_KEY[key].source is Source.KEY}
        pressed = [
            act.at_us
            for act in fresh.done.acts
            if isinstance(act, Pressed) and held.intersection(act.keys)
        ]
        if busy is not None:
            to_us = busy.begun_us
        elif pressed:
            to_us = pressed[-1]
        else:
            return fresh


def _as_at(
    session: Session, to_us: int, watch: Callable[[Session], None] = lambda _session: None
) -> Session:
    """Return a fresh session in which all that was begun before an instant has been done, as at that instant."""
    fresh = twin_of(session)
    fresh.saw.clock.allowance = allowance = session.saw.clock.allowance
    if allowance is not None:
        allowance.spend(REBUILT)
    watch(fresh)
    for act in session.done.acts:
        if act.at_us >= to_us:
            break
        if allowance is not None:
            allowance.spend()
        fresh.advance_us(max(act.at_us - fresh.going.now_us, 0))
        play(fresh, act, wait=False)
    fresh.advance_us(max(to_us - fresh.going.now_us, 0))
    return fresh


def _take_over(fresh: Session, before: Session, act: Rewound) -> None:
    """Give the fresh session the books and the record of the one from which it went back."""
    stood, bad = len(fresh.done.acts), before.tally.pieces - before.tally.good
    took = Rewind(
        act.at_us, act.to_us, stood,
        acts=tuple(before.done.acts[stood:]),
        looks=tuple(before.seen.looks[len(fresh.seen.looks) :]),
        harms=tuple(before.saw.consequences[len(fresh.saw.consequences) :]),
        exposures=tuple(before.hands.exposures[len(fresh.hands.exposures) :]),
        ordered=before.hands.ordered,
        bad_pieces=bad - (fresh.tally.pieces - fresh.tally.good),
    )  # fmt: skip
    lesson = lesson_of(fresh)
    badly = lesson is not None and lesson.badly
    fresh.rewinds = *before.rewinds, took
    fresh.done.take_over(before.done)
    fresh.heard.take_over(before.heard)
    if lesson is not None:
        lesson.went_back(badly=badly)
    fresh.journal.take_over(before.journal)
    fresh.order_key, fresh.lasting = before.order_key, before.lasting


def lived(session: Session) -> tuple[Act, ...]:
    """Return the acts of a session as its record has them: with each going back, and what it took back."""
    line = list(session.done.acts)  # what stands
    told: list[Act] = []  # what comes after it, from the back
    for took in reversed(session.rewinds):
        told = [Rewound(took.at_us, took.to_us), *line[took.stood :], *told]
        line = [*line[: took.stood], *took.acts]
    return (*line, *told)
