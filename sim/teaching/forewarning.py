"""What is said of a key that would do harm as things stand, though nothing blocks it or a way to it is told.

Never here: what stands against a key (see `session.why`).
"""

from collections.abc import Callable, Iterator
from typing import Final

from sim.plant.vise import VISES
from sim.session.lessons.goals import speed_range_there
from sim.session.session import Session
from sim.session.why import VARIATOR
from sim.teaching import remarks, slips
from sim.teaching.slips.keys import before_pressed, finger_room
from sim.units import MINUTE
from sim.words.fields import count, minutes, mm, part
from sim.words.message import NOTHING, Message, plain, row

_SPOKEN_IN: Final = ("lesson", "practice")
_BUT: Final = row("why.but", "But {slip}.", slip=part())
_LOWERED_AT_REST: Final = plain(
    "why.rule.head.lower",
    "the band stands, and no interlock checks it here: on to the bar the head comes down only with the "
    "band running and the bar clamped",
)
_STARTED_BURIED: Final = plain(
    "why.rule.band.run", "the band is started only with its teeth clear of the bar"
)
DRY: Final = plain(
    "why.dry", "the coolant is off, and the job would cut dry; choose it with the band first"
)


_IN_AIR: Final = row(
    "why.in-air",
    "the head stands {over} above the bar, {time} of air at this feed; lower it to the ring by its key, with the feed valve open",
    over=mm(0), time=minutes(1),
)  # fmt: skip
_PROP: Final = "head.prop"
_LONG_S: Final = 60.0  # lost by a head that is not lowered first; less is not worth a word
_COUNT_STANDS: Final = row(
    "why.count",
    "the counter stands at {cut} of {wanted}, so the job ends after {to_come} more; for a new order press job.new first",
    cut=count(), wanted=count(), to_come=count(),
)  # fmt: skip


def forewarning(session: Session, key: str) -> tuple[Message, ...]:
    """Return all for which a key had better not be pressed though nothing blocks it, a sentence each.

    In a drill and an assessment only a rule is told that nobody needs a look inside for: what lies
    where, and what is clamped, is for the trainee to see.
    """
    if session.over:
        return ()
    spoken = session.scenario.mode in _SPOKEN_IN
    slips = before_pressed(session.saw, key) if spoken or key in VARIATOR else ()
    rules = () if spoken or key not in _RULES else _RULES[key](session)
    return tuple(_BUT(slip=slip) for slip in (*slips, *rules)) + of_start(session, key)


def of_start(session: Session, key: str) -> tuple[Message, ...]:
    """Return what is off at the console, and at a jaw, for a job that would be started now, a sentence each.

    It is told with a way to the start, too, which chooses no coolant, sets no speed and slides no jaw.
    """
    if session.over:
        return ()
    spoken = session.scenario.mode in _SPOKEN_IN
    high = long_in_air(session) if spoken and key in _STARTS else NOTHING
    closes = spoken and key in _CLOSES_JAWS
    room = (finger_room(session.saw, vise) for vise in VISES) if closes else ()
    fingers = next((_BUT(slip=slip) for slip in room if slip), NOTHING)
    above = _BUT(slip=high) if high else NOTHING
    propped = slips.slip(session, _PROP) if spoken and closes else NOTHING
    prop = _BUT(slip=propped) if propped else NOTHING
    return (
        *filter(None, (fingers, prop, above)),
        *(_at_console(session) if key in _STARTS else ()),
    )


def counted_before(session: Session) -> Message:
    """Return that a job started now ends early by the count of the last one, a clause; nothing from zero or a full count."""
    job = session.saw.controller.job
    if not 0 < job.cut < job.wanted:
        return NOTHING
    return _COUNT_STANDS(cut=job.cut, wanted=job.wanted, to_come=job.to_come)


def long_in_air(session: Session) -> Message:
    """Return that the first cut of a job started now begins far above the bar, a clause; nothing where little is lost.

    The head comes down at the feed of the cut; the key with the feed valve wide is the only quicker way.
    """
    plant, high_m_s = session.saw.plant, session.machine.valve_high_m_s
    head, down_m_s = plant.head, plant.head.lift.down_m_s
    if down_m_s <= 0.0:
        return NOTHING
    here_m = head.place.position
    lost_s = (here_m - head.stop_m) * (1.0 / down_m_s - 1.0 / high_m_s)
    over_m = here_m - plant.bar.height_m
    return _IN_AIR(over=over_m, time=over_m / down_m_s) if lost_s > _LONG_S else NOTHING


def would_be_dry(session: Session) -> bool:
    """Return whether a job that is started now would cut dry, since no coolant was chosen."""
    return session.saw.controller.image["coolant_choice"] == "OFF"


def _at_console(session: Session) -> Iterator[Message]:
    if would_be_dry(session):
        yield _BUT(slip=DRY)
    if counted := counted_before(session):
        yield _BUT(slip=counted)
    right, dial_m_s = speed_range_there(session), session.saw.plant.band.dial.position
    if not right.holds(dial_m_s * MINUTE):
        slow = dial_m_s * MINUTE < right.low
        yield (remarks.DIAL_SLOW if slow else remarks.DIAL_FAST)(
            dial=dial_m_s, metal=session.lying.material.name, low=right.low / MINUTE,
            high=right.high / MINUTE,
        )  # fmt: skip


def _at_rest(session: Session, rule: Message) -> tuple[Message, ...]:
    """Return a rule for a band that stands, which everybody sees."""
    return () if session.saw.plant.band.turning else (rule,)


_STARTS: Final = ("job.start",)
_CLOSES_JAWS: Final = ("job.start", "job.unhold")
_RULES: Final[dict[str, Callable[[Session], tuple[Message, ...]]]] = {
    "head.lower": lambda session: _at_rest(session, _LOWERED_AT_REST),
    "band.run": lambda session: _at_rest(session, _STARTED_BURIED),
}
