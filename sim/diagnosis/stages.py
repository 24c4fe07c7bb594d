"""The stages of looking for a cause: as found, powered up with the head raised, after a trial; how each is reached.

Where the head is found down, there is one more: switched on, the head as it lies.

Where a fault sets in later, nothing can be seen before it has: the first trial then is the run that
the operator reports. It goes on until harm is told, the job ends, or nothing is cut for long; then
the machine is brought home by hand and its power taken off, and the stages begin from there.

Runs the saw.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from sim.pilot import autopilot
from sim.scenario.scenario import Scenario
from sim.session.kept import told
from sim.session.kept.heard import Event, EventKind
from sim.session.session import Session
from sim.words.fields import number
from sim.words.message import NOTHING, Message, plain, row, sentences

OVER: Final = plain("stage.over", "The run is over.")
_COUNTED: Final = row("stage.counted", "The counter goes up by {pieces}.", pieces=number())
NOTHING_SHOWS: Final = plain("stage.nothing-shows", "Nothing shows.")
_LONG: Final = plain("stage.long", "It took long.")
SHOWING: Final = frozenset({
    EventKind.REFUSED, EventKind.CUT, EventKind.CONSEQUENCE, EventKind.REASON, EventKind.HEARD,
})  # fmt: skip
"""The kinds of event that anybody can see or hear."""
SWITCH_ON: Final = "switch on"
POWER_UP: Final = "power up"
TRIAL: Final = "try one piece"
RUN: Final = "run it as reported"
LOCK_OUT: Final = "lock out"  # name of the column that leads to the looks under lock-out
SIGHT: Final = "sight of "  # begins the name of a column for what is in sight, free of charge
LOCKED: Final = plain("stage.locked-out", "Locked out.")
_PATIENCE: Final = 1.5  # by the sound machine's time
_LONGEST_S: Final = 3600.0  # for a piece on the sound machine
_SLOW: Final = 1.25  # by the sound machine's time, from which anybody would say it took long
_SETTLES_S: Final = 30.0  # longer than anything waits for before it trips
_STOPS_S: Final = 10.0  # longer than the band coasts
_HOME_S: Final = 6.0  # longer than the shuttle runs
_OPENS_S: Final = 3.0  # longer than a vise opens
_SINKS_S: Final = 60.0  # longer than the head sinks without power

Reach = Callable[[Session, float | None], Message]
"""Takes a session to a stage; given how long the trial takes on the sound machine, s, None on that
machine itself; returns what is to be said of it besides what the machine was seen to do."""


@dataclass(frozen=True, slots=True)
class SearchStage:
    """What the machine has been through when the inspections are made."""

    name: str  # of the trial that leads here, empty where it is found
    title: Message  # of that trial, in the words of the shop
    suffix: str  # of the names of the looks that are made now
    after: Message  # the stage in words, nothing where the machine is as it was found
    reach: Reach
    risked: bool = False  # by the operator, before anybody came to look


def is_late(scenario: Scenario) -> bool:
    """Return whether something hidden sets in later than at the start."""
    return not all(row.from_the_start for row in scenario.faults)


def stages_for(scenario: Scenario) -> tuple[SearchStage, ...]:
    """Return the stages of a scenario, the first as it is found."""
    if is_late(scenario):
        return (_FOUND, _AS_REPORTED, _POWERED, _TRIED)
    return (_FOUND, _SWITCHED_ON, _POWERED, _TRIED) if scenario.head_down else STAGES


def reached(session: Session, stage: SearchStage, sound_s: float | None) -> Message:
    """Take a session to the next stage; return how it went.

    Args:
        session: Opened, or taken to the stage before.
        stage: One of those of the scenario.
        sound_s: How long the trial takes on the sound machine; None on that machine itself.
    """
    events, deeds, cut = (
        len(session.heard.events),
        len(session.done),
        session.saw.controller.job.cut,
    )
    said = NOTHING if session.over else stage.reach(session, sound_s)
    anew = any("job.new" in deed.accepted for deed in session.done.all[deeds:])
    counted = session.saw.controller.job.cut - (0 if anew else cut)
    return sentences(how_it_went(session, session.heard.events[events:], counted), said)


def how_it_went(session: Session, events: Sequence[Event], counted: int) -> Message:
    """Return what anybody could see of a stretch of a session, and what it waits for.

    Quantities are rounded as they are told, so that what reads alike is told once and is equal.

    Args:
        session: As it stands after the stretch.
        events: Of the stretch.
        counted: By how much the counter of the job went up.
    """
    shown = [event.message for event in events if event.kind in SHOWING]
    if counted > 0:
        shown.append(_COUNTED(pieces=counted))
    shown_once = dict.fromkeys(each.rounded() for each in (*shown, *_waits(session)))
    return sentences(*shown_once) or NOTHING_SHOWS


def _waits(session: Session) -> tuple[Message, ...]:
    if session.over:
        return (OVER,)
    return tuple(refusal.sentence for refusal in session.saw.controller.waits_for())


def _stay(_session: Session, _sound_s: float | None) -> Message:
    return NOTHING


def _switch_on(session: Session, _sound_s: float | None) -> Message:
    autopilot.power_up(session)
    return NOTHING


def _power_up(session: Session, _sound_s: float | None) -> Message:
    """Switch on, and raise the head: function tests leave it up, so every look is made with it up."""
    autopilot.power_up(session)
    autopilot.raise_head(session)
    if not session.over:
        session.advance(_SETTLES_S)
    return NOTHING


def _limit_s(sound_s: float | None) -> float:
    return _LONGEST_S if sound_s is None else _PATIENCE * sound_s


def _try_piece(session: Session, sound_s: float | None) -> Message:
    start_s = session.now_s
    autopilot.make_ready(session)
    if not session.over:
        autopilot.begin(session)
    job = session.saw.controller.job
    cut = job.cut  # that of before, where the job could not be begun
    autopilot.wait_until(
        session, lambda: job.cut > cut or job.state == "COMPLETE", _limit_s(sound_s)
    )
    if job.cut == cut or session.over:
        return NOTHING
    session.tap("job.hold")
    session.advance(_STOPS_S)
    slow = sound_s is not None and session.now_s - start_s > _SLOW * sound_s
    return _LONG if slow else NOTHING


def _run_as_reported(session: Session, sound_s: float | None) -> Message:
    job = session.saw.controller.job
    autopilot.power_up(session)
    autopilot.make_ready(session)
    if not session.over:
        autopilot.begin(session)
    cut, cuts = -1, 2 if session.scenario.job.first == "square" else 1  # the end is squared first
    while job.cut > cut and not session.over and not _harm(session):
        cut = job.cut
        autopilot.wait_until(session, partial(_goes_on, session, cut), cuts * _limit_s(sound_s))
        cuts = 1
    said = sentences(*_waits(session))
    _bring_home(session)
    return said


def _goes_on(session: Session, cut: int) -> bool:
    job = session.saw.controller.job
    return job.cut > cut or job.state == "COMPLETE" or _harm(session)


def _harm(session: Session) -> bool:
    return bool(session.saw.consequences)


def _bring_home(session: Session) -> None:
    """Stop the job, release both vises and send the shuttle forward by hand; power off."""
    acts: tuple[Callable[[], object], ...] = (
        partial(session.tap, "job.stop"),
        partial(session.advance, 2 * _STOPS_S),
        partial(session.turn, "manual"),
        partial(session.hold, "cutting_vise.release", _OPENS_S),
        partial(session.hold, "shuttle_vise.release", _OPENS_S),
        partial(session.hold, "shuttle.forward", _HOME_S),
        partial(session.release, "supply.isolator"),
        partial(session.advance, _SINKS_S),
    )  # fmt: skip
    for act in acts:
        if not session.over:
            act()


_FOUND: Final = SearchStage("", NOTHING, "", NOTHING, _stay)
_AS_REPORTED: Final = SearchStage(
    RUN,
    told.TRY_AS_REPORTED,
    " (after the run)",
    plain("stage.run", "after the run"),
    _run_as_reported,
    risked=True,
)
_SWITCHED_ON: Final = SearchStage(
    SWITCH_ON,
    told.TRY_SWITCH_ON,
    " (switched on)",
    plain("stage.switched-on", "switched on"),
    _switch_on,
)
_POWERED: Final = SearchStage(
    POWER_UP, told.TRY_POWER_UP, " (powered up)", plain("stage.powered-up", "powered up"), _power_up
)
_TRIED: Final = SearchStage(
    TRIAL,
    told.TRY_ONE_PIECE,
    " (after a trial)",
    plain("stage.trial", "after a trial"),
    _try_piece,
)

STAGES: Final = (_FOUND, _POWERED, _TRIED)
_TITLES: Final = {stage.name: stage.title for stage in (*STAGES, _AS_REPORTED, _SWITCHED_ON)}


def title_of(trial: str) -> Message:
    """Return a trial, by the name of its column in the matrix, in the words of the shop.

    Raises:
        KeyError: It is no trial.
    """
    return _TITLES[trial]
