"""The way a trainee took to the cause, beside the best way there is, leg by leg with its price.

Looks, lock-outs and trials have the prices that the search for the best plan uses, so that the two ways
can be compared; a remedy on the way has its own. Reading, thinking and typing cost nothing. The best
plan has heard the report, and has the least mean cost over all causes; the best way is what that plan
does when the hidden cause is the one.

Never here: points.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from math import fsum
from typing import Final

from sim.debrief.evidence import as_hidden
from sim.diagnosis.dependency import Matrix, cause_of
from sim.diagnosis.enough import Enough
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.par import Par, par
from sim.diagnosis.stages import LOCK_OUT, POWER_UP, SWITCH_ON, TRIAL, title_of
from sim.diagnosis.tree import leader, path
from sim.errors import EffortError
from sim.faults.catalogue import CATALOGUE
from sim.records.acts import ActKind, Diagnosed, Inspected, LockoutTaken, Mended
from sim.session import inspections, lockout
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.hands.zones import HARMLESS
from sim.session.kept.deeds import Deed
from sim.session.session import Session
from sim.words.message import Message, plain

NEAR_ENOUGH: Final = 0.1  # by which a plan may be dearer than its bound and pass for the best
_MIN_S: Final = 60.0
_VERIFY: Final = "verify"
_LOCKED_OUT: Final = plain("way.lock-out", "Lock out")


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
    def best_s(self) -> float:
        """What the best way costs."""
        return price_s(self.best)


NO_WAYS: Final = WaysToCause((), (), exact=True, planned=False)


def price_s(legs: Sequence[Leg]) -> float:
    """Return what a way costs."""
    return fsum(leg.cost_s for leg in legs)


@lru_cache(maxsize=16)
def plan_for(matrix: Matrix, stage: int = 0, total: float | None = None) -> Par:
    """Return the best plan over a matrix from a stage on; worked out once.

    Args:
        matrix: The causes that are possible.
        stage: The stage that the machine is in.
        total: The weight of all causes before anything was seen; that of the matrix when left out.
    """
    weight = fsum(cause.weight for cause in matrix.causes) if total is None else total
    return par(matrix, stage, enough=Enough(weight))


def ways(session: Session) -> WaysToCause:
    """Return both ways of a session; the best is empty where there is nothing to be found.

    Both are empty where the matrix takes too long.
    """
    try:
        matrix = for_role(session.scenario, matrix_for(as_hidden(session, put_in_first=True)))
    except EffortError:
        return NO_WAYS
    cause = cause_of(sorted(fault.name for fault in session.hidden))
    taken = _taken(session, {column.name: column.cost_s for column in matrix.inspections})
    if not session.hidden or cause not in {row.name for row in matrix.causes}:
        return WaysToCause(taken, (), exact=True, planned=False)
    way = best_way(matrix, cause)
    return WaysToCause(taken, _legs(matrix, way.columns), way.plan.exact, way.plan.worst_excess)


@dataclass(frozen=True, slots=True)
class BestWay:
    """How the best plan comes to one cause."""

    columns: tuple[str, ...]  # of the matrix, in their order
    ahead: tuple[str, ...]  # the causes that lead at the end, and look alike
    misled: tuple[str, ...]  # causes that the plan would name before, in vain
    told_apart: bool  # those ahead, from all others
    plan: Par


def best_way(matrix: Matrix, cause: str) -> BestWay:
    """Return how the best plan comes to a cause.

    Where the plan would name another cause first, it goes on without that one: its remedy has not
    helped.

    Raises:
        TableError: The matrix has no such cause.
    """
    total = fsum(row.weight for row in matrix.causes)
    first = plan = plan_for(matrix)
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


def _taken(session: Session, prices_s: dict[str, float]) -> tuple[Leg, ...]:
    legs: list[Leg] = []
    given_back = False  # the last step of a lock-out was one of the way back
    trials: dict[str, str] = {"supply.control_on": POWER_UP}  # that a key stands for
    if SWITCH_ON in prices_s:  # the head lay, and raising it was a step of its own
        trials = {"supply.control_on": SWITCH_ON, "head.raise": POWER_UP}
    deeds = session.done.all[: _last_naming(session)]
    for number, deed in enumerate(deeds, start=1):
        pressed = deed.keys if deed.kind is ActKind.PRESS else ()
        tried = (deed.accepted | deed.refused).intersection(pressed)
        if isinstance(deed.act, Inspected):
            row = inspections.find(deed.act.name)
            if row is not None:
                legs.append(Leg(LegKind.LOOK, row.title, row.seconds, row.name, number))
        elif isinstance(deed.act, LockoutTaken):
            step = lockout.BY_NAME[deed.act.step]
            anew = given_back and step not in lockout.BACK
            _add_step(legs, step.seconds, number, anew=anew)
            given_back = step in lockout.BACK
        elif isinstance(deed.act, Mended):
            fault = CATALOGUE[deed.act.name]
            legs.append(Leg(LegKind.REMEDY, fault.remedy, fault.minutes * _MIN_S, deed=number))
        elif "job.start" in deed.accepted:
            cost_s = prices_s.get(TRIAL, 0.0)
            legs.append(Leg(LegKind.TRIAL, title_of(TRIAL), cost_s, deed=number))
        else:
            # What does not come on shows something too. Powering up again, after a lock-out for
            # one, costs nothing.
            for name in (name for key, name in trials.items() if key in tried):
                if all(leg.title != title_of(name) for leg in legs):
                    cost_s = prices_s.get(name, 0.0)
                    legs.append(Leg(LegKind.TRIAL, title_of(name), cost_s, deed=number))
    idle = _needed(session) | _for_no_look(deeds)
    return tuple(leg for leg in legs if leg.deed not in idle)


def _needed(session: Session) -> frozenset[int]:
    """Return the numbers of the deeds that put right what was wrong.

    Of several causes one may be put right before the next is found.
    """
    ever = {culprit.fault.name for culprit in session.faults.culprits}
    return frozenset(
        number
        for number, deed in enumerate(session.done.all, start=1)
        if isinstance(deed.act, Mended) and deed.act.name in ever
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


def _add_step(legs: list[Leg], seconds: float, number: int, *, anew: bool) -> None:
    """Add a step of the lock-out to the leg before it, when that is one; one that is begun anew is a leg."""
    if not anew and legs and legs[-1].kind is LegKind.LOCK_OUT:
        before = legs.pop()
        seconds, number = seconds + before.cost_s, before.deed
    legs.append(Leg(LegKind.LOCK_OUT, _LOCKED_OUT, seconds, deed=number))


def _last_naming(session: Session) -> int | None:
    """Return how many deeds were done up to the last right cause named; None for all of them."""
    missing = {fault.name for fault in session.hidden}
    for number, deed in enumerate(session.done.all, start=1):
        if isinstance(deed.act, Diagnosed):
            missing.discard(deed.act.name)
            if not missing:
                return number
    return None
