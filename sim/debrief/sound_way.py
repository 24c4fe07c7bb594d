"""The way to the cause and on to a proved repair, step by step: the trainee's own, and the best plan's.

Both go on where the prices end: what was named, what was put right, and the piece that proved it.
Every step says what must hold before hands go in.

Never here: which plan is the best (see `best_path`), and points.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Final

from sim.debrief.best_path import BROKEN_OFF, Leg, LegKind
from sim.debrief.evidence import Naming
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.faults.spares import SPARES, goes_with
from sim.records.acts import Adjusted, Diagnosed, LockoutTaken, Mended, Swapped
from sim.session import inspections
from sim.session.hands.cautions import in_short, what_holds
from sim.session.hands.hazards import Opens
from sim.session.hands.table import Reach, locked_out_to_mend, to_look, to_mend
from sim.session.hands.zones import Zone
from sim.session.inspections.inspection import Inspection
from sim.session.kept import told
from sim.session.kept.deeds import Deed
from sim.session.lockout import BACK
from sim.session.session import Session
from sim.words.fields import clock, part
from sim.words.message import NOTHING, Message, plain, row, sentences

_LOOK_AT: Final = row("debrief.path.look", "Look: {look}.", look=part())
_LOOK_FIRST: Final = row(
    "debrief.path.look-first", "Look: {look} ({first}).", look=part(), first=part()
)
_TRY: Final = row("debrief.path.trial", "Trial: {trial}.", trial=part())
_LOCK_OUT: Final = plain("debrief.path.lock-out", "Lock out, and verify: hands go in.")
_COVER: Final = plain(
    "debrief.path.cover", "Open the wheel cover while there is power and the band stands."
)
_DEAD: Final = plain(
    "debrief.path.prove-dead",
    "Prove it dead at the part, the tester on a known source before and after: qualified people only.",
)
_LET_DOWN: Final = plain("debrief.path.let-down", "Let the tension of the band down.")
_WAY_BACK: Final = plain(
    "debrief.path.way-back",
    "The way back: the saw whole again, inspect, people clear, locks off, and those affected told.",
)
_NAME_IT: Final = row("debrief.path.name", "Name the cause: {cause}.", cause=part())
_PROVE_IT: Final = plain("debrief.path.prove", "Run the job, and measure a good piece.")
_PROVE_FACE: Final = plain(
    "debrief.path.prove-face",
    "Run the job, measure a piece, and put a tool to its face: both are good.",
)

_LOCKED_OUT: Final = plain("debrief.own.lock-out", "Lock-out.")
_GIVEN_BACK: Final = plain("debrief.own.way-back", "The way back from the lock-out.")
_NAMED: Final = row("debrief.own.named", "Named: {cause}.", cause=part())
_NOT_THERE: Final = plain("debrief.own.not-there", "It was never there.")
_TOO_EARLY: Final = plain("debrief.own.too-early", "Too early: others could still have been it.")
_NEEDLESS: Final = plain("debrief.own.needless", "Nothing was wrong with it.")
_PROVED: Final = row("debrief.own.proved", "A good piece at {at}: proved.", at=clock())
_NOT_PROVED: Final = plain("debrief.own.not-proved", "Not proved by a good piece.")

_BACK: Final = frozenset(step.name for step in BACK)


@dataclass(frozen=True, slots=True)
class RouteStep:
    """One step of a way."""

    said: tuple[Message, ...]  # sentences, in the order in which they are done
    cost_s: float | None = None  # None for what has no part in the price of a way

    @property
    def message(self) -> Message:
        """What it is, as one message."""
        return sentences(*self.said)


def best_steps(
    best: Sequence[Leg], hidden: Sequence[Fault], *, face: bool
) -> tuple[RouteStep, ...]:
    """Return the best plan's way, then the name of each cause, its remedy, and the proof.

    Args:
        best: The legs of that way; each is one of the steps.
        hidden: What was wrong; nothing for no steps.
        face: Whether a piece proves it only with its face, see `Scenario.proves_face`.
    """
    if not hidden:
        return ()
    steps = [*_looking(best)]
    for fault in hidden:
        steps.append(RouteStep((_NAME_IT(cause=fault.title),)))
        work = to_mend(fault)
        if locked_out_to_mend(fault):
            done = (*_outside(work), _LOCK_OUT, *_inside(work), fault.remedy, _WAY_BACK)
        else:
            done = (*what_holds(work), fault.remedy)
        steps.append(RouteStep(done))
    return (*steps, RouteStep((_PROVE_FACE if face else _PROVE_IT,)))


def _looking(legs: Sequence[Leg]) -> Iterator[RouteStep]:
    """Yield a step a leg; what a lock-out is for is looked at before the way back."""
    locked = False
    done: list[Message] = []  # in this lock-out
    for number, leg in enumerate(legs):
        looks = [*takewhile(lambda each: each.kind is LegKind.LOOK, legs[number + 1 :])]
        row = inspections.find(leg.look)
        if leg.kind is LegKind.LOCK_OUT:
            locked, done = True, []
            reaches = [to_look(look) for each in looks if (look := inspections.find(each.look))]
            cover = {said: None for reach in reaches for said in _outside(reach)}
            yield RouteStep((*cover, _LOCK_OUT), leg.cost_s)
        elif leg.kind is LegKind.TRIAL:
            yield RouteStep((_TRY(trial=leg.title),), leg.cost_s)
        elif locked and row is not None:
            before = [said for said in _inside(to_look(row)) if said not in done]
            done += before
            back = () if looks else (_WAY_BACK,)
            locked = bool(looks)
            yield RouteStep((*before, _LOOK_AT(look=leg.title), *back), leg.cost_s)
        else:
            yield RouteStep((_look(leg.title, row),), leg.cost_s)


def _look(title: Message, row: Inspection | None) -> Message:
    """Return what is looked at, and in a few words what must hold first."""
    first = in_short(to_look(row)) if row is not None else NOTHING
    return _LOOK_FIRST(look=title, first=first) if first else _LOOK_AT(look=title)


def _outside(work: Reach) -> Iterator[Message]:
    """Yield what is done before a lock-out."""
    if work.behind_cover:
        yield _COVER


def _inside(work: Reach) -> Iterator[Message]:
    """Yield what is done first under a lock-out."""
    if work.zone is Zone.CABINET:
        yield _DEAD
    if work.opens is Opens.SPRING:
        yield _LET_DOWN


def own_steps(
    session: Session, taken: Sequence[Leg], namings: Sequence[Naming]
) -> tuple[RouteStep, ...]:
    """Return what the trainee did towards the cause, in order: looks, trials, names, remedies, proof.

    Args:
        session: Whose it is.
        taken: The legs that have a price.
        namings: What each naming was worth, in order.
    """
    ever = {culprit.fault.name for culprit in session.faults.culprits}
    weighed = {(each.at_us, each.fault): each for each in namings}
    early_remedies = {(each.mended_us, each.fault) for each in namings if each.premature}
    steps: list[RouteStep] = []
    for number, deed in enumerate(session.done.all, start=1):
        act, legs = deed.act, [leg for leg in taken if leg.deed == number]
        if isinstance(act, Diagnosed):
            named = _NAMED(cause=EVERY[act.name].title)
            naming = weighed.get((act.at_us, act.name))
            early = naming is not None and naming.premature and naming.mended_us is None
            steps.append(RouteStep((named, *_judged(act.name, ever, early=early))))
        elif isinstance(act, Mended):
            cost_s = legs[0].cost_s if legs else None
            said = _put_right(deed, act.name, ever, early=(act.at_us, act.name) in early_remedies)
            steps.append(RouteStep(said, cost_s))
        elif isinstance(act, Swapped):
            early = any((act.at_us, name) in early_remedies for name in deed.cured)
            said = _exchanged(deed, act.name, ever, early=early)
            steps.append(RouteStep(said, legs[0].cost_s if legs else None))
        elif isinstance(act, Adjusted):
            early = any((act.at_us, name) in early_remedies for name in deed.cured)
            set_to = told.in_words(told.SET_TO(name=act.name, setting=act.setting))
            steps += [RouteStep((set_to, *_judged(name, ever, early=early))) for name in deed.cured]
        else:
            back = isinstance(act, LockoutTaken) and act.step in _BACK
            steps += [RouteStep((_done(leg, back=back),), leg.cost_s) for leg in legs]
    if session.tally.proved_us is not None:
        steps.append(RouteStep((_PROVED(at=session.tally.proved_us),)))
    elif session.done.put_right:
        steps.append(RouteStep((_NOT_PROVED,)))
    return tuple(steps)


def _done(leg: Leg, *, back: bool) -> Message:
    if leg.kind is LegKind.LOOK:
        return _LOOK_AT(look=leg.title)
    if leg.kind is LegKind.TRIAL:
        return _TRY(trial=leg.title)
    return _GIVEN_BACK if back else _LOCKED_OUT


def _judged(name: str, ever: set[str], *, early: bool) -> tuple[Message, ...]:
    if name not in ever:
        return (_NOT_THERE,)
    return (_TOO_EARLY,) if early else ()


def _put_right(deed: Deed, name: str, ever: set[str], *, early: bool) -> tuple[Message, ...]:
    """Return a remedy, or that it was broken off, and what is to be said of it."""
    remedy = EVERY[name].remedy
    if not deed.done:
        return (BROKEN_OFF(what=remedy),)
    if name not in ever:
        return (remedy, _NEEDLESS)
    return (remedy, _TOO_EARLY) if early else (remedy,)


def _exchanged(deed: Deed, part: str, ever: set[str], *, early: bool) -> tuple[Message, ...]:
    """Return a part's exchange, or that it was broken off, and what is to be said of it."""
    title = SPARES[part].title
    if not deed.done:
        return (BROKEN_OFF(what=title),)
    if not goes_with(part, ever):
        return (title, _NEEDLESS)
    return (title, _TOO_EARLY) if early else (title,)
