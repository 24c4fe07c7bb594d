"""The way a trainee took to the cause, beside the best way there is, leg by leg with its price.

Looks, lock-outs and trials have the prices that the search for the best plan uses, so that the two ways
can be compared; a remedy on the way has its own. Reading, thinking and typing cost nothing. The best
plan has heard the report, and has the least mean cost over all causes; the best way is what that plan
does when the hidden cause is the one.

Never here: points.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from math import fsum
from typing import Final

from sim.debrief.evidence import as_hidden
from sim.diagnosis.best_plan import plan_for, plan_of
from sim.diagnosis.dependency import Matrix, Probe, cause_of
from sim.diagnosis.enough import Enough
from sim.diagnosis.matrix_from_saw import HANDS_S
from sim.diagnosis.par import Par
from sim.diagnosis.stages import LOCK_OUT, POWER_UP, SWITCH_ON, TRIAL, title_of
from sim.diagnosis.tree import leader, path
from sim.errors import EffortError
from sim.faults.catalogue import EVERY
from sim.faults.spares import SPARES
from sim.records.acts import ActKind, Diagnosed, Inspected, LockoutTaken, Mended, Swapped
from sim.session import inspections, lockout
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.hands.zones import HARMLESS
from sim.session.kept.deeds import Deed
from sim.session.session import Session
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, plain, row

NEAR_ENOUGH: Final = 0.1  # by which a plan may be dearer than its bound and pass for the best
_MIN_S: Final = 60.0
_VERIFY: Final = "verify"
_LOCKED_OUT: Final = plain("way.lock-out", "Lock out")
_SWITCHED_ON: Final = plain("way.trial.switched-on", "Switch on")
_NOT_ON: Final = plain("way.trial.not-on", "Try to switch on")
_RESET: Final = plain("way.trial.reset", "Reset the safety relay")
_RAISED: Final = plain("way.trial.raised", "Raise the head")
_NOT_RAISED: Final = plain("way.trial.not-raised", "Try to raise the head")
BROKEN_OFF: Final = row("way.broken-off", "Broken off: {what}", what=part())
_STARTED: Final = plain("way.trial.started", "Start the job")
_ISOLATOR, _CONTROL_ON, _RAISE = "supply.isolator", "supply.control_on", "head.raise"
_OF_POWER: Final = frozenset({_ISOLATOR, "supply.reset", _CONTROL_ON, _RAISE})


class LegKind(StrEnum):
    """What a leg is."""

    LOOK = "look"
    LOCK_OUT = "lock-out"
    TRIAL = "trial"
    REMEDY = "remedy"


@dataclass(frozen=True, slots=True)
class Leg:
    """One part of a way."""

    kind: LegKind
    title: Message
    cost_s: float
    look: str = ""  # the inspection, of a look
    deed: int = 0  # the number of the deed that began it, on the way that was taken
    whole_s: float = (
        0.0  # what the plan pays for it: a trial made whole, a look with the head let down
    )


@dataclass(frozen=True, slots=True)
class WaysToCause:
    """The way that was taken up to the last right cause that was named, and the best one."""

    taken: tuple[Leg, ...]
    best: tuple[Leg, ...]
    exact: bool  # the best plan is proved to be the best
    excess: float = 0.0  # by how much it can be dearer than the best at most, a share
    planned: bool = (
        True  # there is a plan at all; its way has no legs where what is in sight is enough
    )

    @property
    def near_best(self) -> bool:
        """Whether the plan in hand is the best, or as good as the best."""
        return self.excess <= NEAR_ENOUGH

    @property
    def taken_s(self) -> float:
        """What the way that was taken cost."""
        return price_s(self.taken)

    @property
    def quicker(self) -> bool:
        """Whether the way that was taken was cheaper than the best, and not by trials made in part."""
        return whole_s(self.taken) < self.best_s

    @property
    def best_s(self) -> float:
        """What the best way costs."""
        return price_s(self.best)


NO_WAYS: Final = WaysToCause((), (), exact=True, planned=False)


def price_s(legs: Sequence[Leg]) -> float:
    """Return what a way costs."""
    return fsum(leg.cost_s for leg in legs)


def whole_s(legs: Sequence[Leg]) -> float:
    """Return what a way costs at the plan's prices: trials made whole, the head let down for its looks."""
    return fsum(max(leg.cost_s, leg.whole_s) for leg in legs)


def ways(session: Session) -> WaysToCause:
    """Return both ways of a session; the best is empty where there is nothing to be found.

    Both are empty where the matrix takes too long.
    """
    try:
        matrix, plan = plan_of(as_hidden(session, put_in_first=True))
    except EffortError:
        return NO_WAYS
    cause = cause_of(sorted(fault.name for fault in session.hidden))
    taken = _taken(session, matrix.inspections)
    if not session.hidden or cause not in {row.name for row in matrix.causes}:
        return WaysToCause(taken, (), exact=True, planned=False)
    way = best_way(matrix, cause, plan)
    return WaysToCause(taken, _legs(matrix, way.columns), way.plan.exact, way.plan.worst_excess)


@dataclass(frozen=True, slots=True)
class BestWay:
    """How the best plan comes to one cause."""

    columns: tuple[str, ...]  # of the matrix, in their order
    ahead: tuple[str, ...]  # the causes that lead at the end, and look alike
    misled: tuple[str, ...]  # causes that the plan would name before, in vain
    told_apart: bool  # those ahead, from all others
    plan: Par


def best_way(matrix: Matrix, cause: str, plan: Par | None = None) -> BestWay:
    """Return how the best plan comes to a cause.

    Where the plan would name another cause first, it goes on without that one: its remedy has not
    helped.

    Args:
        matrix: The causes that are possible.
        cause: Of the matrix.
        plan: The best over the matrix; found when left out.

    Raises:
        TableError: The matrix has no such cause.
    """
    total = fsum(row.weight for row in matrix.causes)
    first = plan = plan_for(matrix) if plan is None else plan
    names: list[str] = []
    misled: list[str] = []
    left = matrix
    while True:
        looks = path(plan.tree, left, cause)
        names += [look.inspection for look in looks]
        stage = max((matrix.inspections[matrix.column(n)].leads_to for n in names), default=0)
        still = looks[-1].left if looks else plan.tree.causes
        ahead = leader(left, still)
        rest = left.among(set(still) - set(ahead)) if len(ahead) < len(still) else None
        if cause in ahead or rest is None:
            weights = {row.name: row.weight for row in left.causes}
            lead, there = (fsum(weights[n] for n in some) for some in (ahead, still))
            told = Enough(total).holds(lead, there) and cause in ahead
            return BestWay(tuple(names), ahead, tuple(misled), told, first)
        misled += ahead
        left = rest
        plan = plan_for(left, stage, total)


def _legs(matrix: Matrix, names: Sequence[str]) -> tuple[Leg, ...]:
    """Return the legs of a way through columns of the matrix."""
    legs: list[Leg] = []
    for name in names:
        column = matrix.inspections[matrix.column(name)]
        row = inspections.find(column.look)
        if column.seen:
            continue
        if row is not None:
            legs.append(Leg(LegKind.LOOK, row.title, column.cost_s, row.name))
        elif name.startswith(LOCK_OUT):
            legs.append(Leg(LegKind.LOCK_OUT, _LOCKED_OUT, column.cost_s))
        else:
            legs.append(Leg(LegKind.TRIAL, title_of(name), column.cost_s))
    return tuple(legs)


def _taken(session: Session, columns: Sequence[Probe]) -> tuple[Leg, ...]:
    walk = _Walk([cut.at_us for cut in session.saw.cuts if not cut.squaring], columns)
    named = _last_naming(session)
    deeds = session.done.all[:named]
    for number, deed in enumerate(deeds, start=1):
        walk.go(number, deed)
    if named is None:
        walk.wait(session.saw.clock.now_us)
    idle = _needed(session) | _for_no_look(deeds)
    return tuple(leg for leg in walk.legs() if leg.deed not in idle)


@dataclass(slots=True, eq=False)
class _Trial:
    """A trial as it was made, while the deeds are gone through."""

    column: str  # of the matrix
    deed: int  # the number of its first
    from_us: int
    until_us: int
    passed_us: int = 0  # in it
    waits_us: int = 0  # since its last act
    taken: set[str] = field(default_factory=set)  # keys of _OF_POWER, by the control
    asked: set[str] = field(default_factory=set)  # keys of _OF_POWER

    def passes(self) -> None:
        """Count the time since its last act as passed in it."""
        self.passed_us += self.waits_us
        self.waits_us = 0


class _Walk:
    """Goes through what was done, and gives each stretch of time to one leg at most.

    A trial costs what its column of the matrix costs, and no more than the hands at the console and the
    time that passed in it: from its first act to its last, and for a job that was started up to what
    comes next, less the looks that were made meanwhile. So a power-up costs less than in the plan, which
    watches for 30 s what comes of it: reading is free, and time that stands cannot be told from it. Made
    whole the two cost the same, and by those prices it is told who was quicker. Powering up again, after a
    lock-out for one, belongs to the trial that was first. A look costs its own seconds; to have a raised
    head rest for it is in the plan's price, and so in the price made whole.

    Args:
        pieces_us: When a piece was parted.
        columns: Of the matrix.
    """

    def __init__(self, pieces_us: Sequence[int], columns: Sequence[Probe]) -> None:
        self._pieces_us = pieces_us
        self._prices_s = prices_s = {column.name: column.cost_s for column in columns}
        self._leads_to = {c.name: c.leads_to for c in columns if not c.look}
        self._looks_s = {(c.look, c.stage): c.cost_s for c in columns if c.look}
        self._stage = 0  # of the matrix, by the trials that were begun
        # The head lay where there is a column for switching on, and raising it is one of its own.
        self._switches_on = SWITCH_ON if SWITCH_ON in prices_s else POWER_UP
        self._legs: list[Leg | _Trial] = []
        self._power: dict[str, _Trial] = {}  # by the column
        self._goes_on: _Trial | None = None  # has the time that passes now
        self._now_us = 0
        self._given_back = False  # the last step of a lock-out was one of the way back

    def wait(self, until_us: int) -> None:
        """Have time pass with nothing done."""
        on, waited_us = self._goes_on, max(until_us - self._now_us, 0)
        self._now_us += waited_us
        if on is not None:
            on.waits_us += waited_us
        if on is not None and on.column == TRIAL:
            on.passes()
            on.until_us = self._now_us

    def go(self, number: int, deed: Deed) -> None:
        """Take the next deed."""
        if not deed.played:
            return
        act, keys = deed.act, _OF_POWER.intersection(deed.keys)
        self.wait(act.at_us)
        took_s = (deed.done_us - act.at_us) / US
        if isinstance(act, Inspected):
            look = inspections.find(act.name)
            if look is not None:
                title = look.title if deed.done else BROKEN_OFF(what=look.title)
                cost_s = min(look.seconds, took_s)
                whole_s = self._planned_s(look.name) if deed.done else 0.0
                self._legs.append(Leg(LegKind.LOOK, title, cost_s, look.name, number, whole_s))
        elif isinstance(act, LockoutTaken):
            step = lockout.BY_NAME[act.step]
            anew = self._given_back and step not in lockout.BACK
            _add_step(self._legs, min(step.seconds, took_s), number, anew=anew)
            self._given_back = step in lockout.BACK
            self._goes_on = None
        elif isinstance(act, Mended):
            fault = EVERY[act.name]
            title = fault.remedy if deed.done else BROKEN_OFF(what=fault.remedy)
            cost_s = min(fault.minutes * _MIN_S, took_s)
            self._legs.append(Leg(LegKind.REMEDY, title, cost_s, deed=number))
            self._goes_on = None
        elif isinstance(act, Swapped):
            title = SPARES[act.name].title
            title = title if deed.done else BROKEN_OFF(what=title)
            cost_s = min(SPARES[act.name].minutes * _MIN_S, took_s)
            self._legs.append(Leg(LegKind.REMEDY, title, cost_s, deed=number))
            self._goes_on = None
        else:
            if "job.start" in deed.accepted:
                self._goes_on = _Trial(TRIAL, number, act.at_us, act.at_us)
                self._legs.append(self._goes_on)
                self._reach(TRIAL)
            elif keys:
                self._switch(number, deed, keys)
            self.wait(deed.done_us)
        self._now_us = max(self._now_us, deed.done_us)

    def _switch(self, number: int, deed: Deed, keys: frozenset[str]) -> None:
        """Power up, or raise the head; what does not come on shows something too."""
        column, at_us = POWER_UP if _RAISE in keys else self._switches_on, deed.act.at_us
        trial = self._power.get(column)
        if deed.kind is not ActKind.PRESS and (trial is None or _ISOLATOR in keys):
            self._goes_on = None  # switched off
            return
        if trial is None:
            trial = self._power[column] = _Trial(column, number, at_us, at_us)
        if deed.kind is ActKind.PRESS:
            trial.asked |= keys
            trial.taken |= keys & deed.accepted
        if trial not in self._legs and trial.asked != {_ISOLATOR}:
            trial.deed = number  # the isolator alone is no trial
            self._legs.append(trial)
            self._reach(column)
        if trial is self._goes_on:
            trial.passes()
        trial.waits_us, self._goes_on = 0, trial

    def _reach(self, trial: str) -> None:
        """Have the saw in the stage that a trial leads to; it is never back in an earlier one."""
        self._stage = max(self._stage, self._leads_to.get(trial, 0))

    def _planned_s(self, look: str) -> float:
        """Return what the plan pays for a look in the stage that the saw is in, s; 0 where it has none."""
        locked = self._looks_s.get((look, self._stage + 1), 0.0)
        return self._looks_s.get((look, self._stage), locked)

    def legs(self) -> list[Leg]:
        """Return the legs, each trial by what was done in it."""
        return [leg if isinstance(leg, Leg) else self._leg(leg) for leg in self._legs]

    def _leg(self, trial: _Trial) -> Leg:
        cost_s = HANDS_S + trial.passed_us / US
        priced_s = self._prices_s.get(trial.column, cost_s)
        title = self._called(trial)
        return Leg(LegKind.TRIAL, title, min(cost_s, priced_s), deed=trial.deed, whole_s=priced_s)

    def _called(self, trial: _Trial) -> Message:
        if trial.column == TRIAL:
            parted = any(trial.from_us <= at_us <= trial.until_us for at_us in self._pieces_us)
            return title_of(TRIAL) if parted else _STARTED
        if trial.asked == {_RAISE}:
            return _RAISED if _RAISE in trial.taken else _NOT_RAISED
        if _CONTROL_ON not in trial.taken:
            return _NOT_ON if _CONTROL_ON in trial.asked else _RESET
        if trial.column == SWITCH_ON:
            return title_of(SWITCH_ON)
        return title_of(POWER_UP) if _RAISE in trial.taken else _SWITCHED_ON


def _needed(session: Session) -> frozenset[int]:
    """Return the numbers of the deeds that put right what was wrong.

    Of several causes one may be put right before the next is found.
    """
    ever = {culprit.fault.name for culprit in session.faults.culprits}
    return frozenset(
        number
        for number, deed in enumerate(session.done.all, start=1)
        if (isinstance(deed.act, Mended) and deed.done and deed.act.name in ever)
        or (isinstance(deed.act, Swapped) and deed.cured)
    )


def _for_no_look(deeds: Sequence[Deed]) -> frozenset[int]:
    """Return the numbers of the steps of lock-outs under which no hands went in for a look.

    Telling, asking and a lock-out that is for a remedy alone find nothing out, and the plan's price ends
    at the names.
    """
    idle: list[int] = []
    steps: list[int] = []  # of the lock-out in hand
    verified = looked = given_back = False
    for number, deed in enumerate(deeds, start=1):
        if isinstance(deed.act, LockoutTaken):
            step = lockout.BY_NAME[deed.act.step]
            if given_back and step not in lockout.BACK:  # it is begun anew
                idle += () if looked else steps
                steps, verified, looked = [], False, False
            given_back = step in lockout.BACK
            verified |= step.name == _VERIFY
            steps.append(number)
        elif isinstance(deed.act, Inspected) and steps and not given_back:
            row = inspections.find(deed.act.name)
            if row is not None:
                went_in = verified and to_look(row).zone not in HARMLESS
                looked |= went_in or locked_out_to_look(row)
    return frozenset(idle if looked else idle + steps)


def _add_step(legs: list[Leg | _Trial], seconds: float, number: int, *, anew: bool) -> None:
    """Add a step of the lock-out to the leg before it, when that is one; one that is begun anew is a leg."""
    before = legs[-1] if legs else None
    if not anew and isinstance(before, Leg) and before.kind is LegKind.LOCK_OUT:
        legs.pop()
        seconds, number = seconds + before.cost_s, before.deed
    legs.append(Leg(LegKind.LOCK_OUT, _LOCKED_OUT, seconds, deed=number))


def _last_naming(session: Session) -> int | None:
    """Return how many deeds were done up to the last right cause named; None for all of them.

    Where one was put right and never named, that deed stands for its name.
    """
    missing = {fault.name for fault in session.hidden}
    unnamed = session.done.told_by_doing.keys() - set(session.done.named)
    for number, deed in enumerate(session.done.all, start=1):
        done = {deed.act.name} if isinstance(deed.act, Diagnosed) else set[str]()
        done |= unnamed.intersection(deed.put_right)
        missing -= done
        if done and not missing:
            return number
    return None
