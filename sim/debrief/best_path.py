"""The way a trainee took to the cause, beside the best way there is, leg by leg with its price.

Looks and trials have the prices that the search for the best plan uses, so that the two ways can be
compared. Reading, thinking and typing cost nothing, and neither does a lock-out: safety takes no
points off. The best plan has the least mean cost over all causes, and the best way is what that plan
does when the hidden cause is the one. A shorter way may exist (`direct`): a single look that tells
the hidden cause from all others. Only who guesses well, by the operator's report or by luck, goes it.

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
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.par import Par, par
from sim.diagnosis.stages import POWER_UP, TRIAL, title_of
from sim.diagnosis.tree import path
from sim.errors import EffortError
from sim.records.acts import ActKind, Diagnosed, Inspected, LockoutTaken
from sim.session import inspections, lockout
from sim.session.hands.table import locked_out_to_look
from sim.session.session import Session
from sim.words.message import Message, plain

LOCK_OUT: Final = plain("way.lock-out", "Lock out")


class LegKind(StrEnum):
    """What a leg is."""

    LOOK = "look"
    LOCK_OUT = "lock-out"
    TRIAL = "trial"


@dataclass(frozen=True, slots=True)
class Leg:
    """One part of a way."""

    kind: LegKind
    title: Message
    cost_s: float
    look: str = ""  # the inspection, of a look


@dataclass(frozen=True, slots=True)
class WaysToCause:
    """The way that was taken up to the last right cause that was named, and the best one."""

    taken: tuple[Leg, ...]
    best: tuple[Leg, ...]
    shortest: tuple[Leg, ...]
    exact: bool  # the best plan is proved to be the best

    @property
    def taken_s(self) -> float:
        """What the way that was taken cost."""
        return price_s(self.taken)

    @property
    def best_s(self) -> float:
        """What the best way costs."""
        return price_s(self.best)


NO_WAYS: Final = WaysToCause((), (), (), exact=True)


def price_s(legs: Sequence[Leg]) -> float:
    """Return what a way costs; lock-outs are free."""
    return fsum(leg.cost_s for leg in legs if leg.kind is not LegKind.LOCK_OUT)


@lru_cache(maxsize=16)
def plan_for(matrix: Matrix) -> Par:
    """Return the best plan over a matrix; worked out once."""
    return par(matrix)


def ways(session: Session) -> WaysToCause:
    """Return both ways of a session; the best is empty where there is nothing to be found.

    Both are empty where the matrix takes too long.
    """
    try:
        matrix = for_role(session.scenario, matrix_for(as_hidden(session, put_in_first=True)))
    except EffortError:
        return NO_WAYS
    names = sorted(fault.name for fault in session.hidden)
    cause = cause_of(names)
    taken = _taken(session, {column.name: column.cost_s for column in matrix.inspections})
    if not names or cause not in {row.name for row in matrix.causes}:
        return WaysToCause(taken, (), (), exact=True)
    plan = plan_for(matrix)
    best = _legs(matrix, [look.inspection for look in path(plan.tree, matrix, cause)])
    one_look = direct(matrix, cause)
    shorter = bool(one_look) and price_s(one_look) < price_s(best)
    return WaysToCause(taken, best, one_look if shorter else best, plan.exact)


def _legs(matrix: Matrix, names: Sequence[str]) -> tuple[Leg, ...]:
    """Return the legs of a way through columns of the matrix."""
    legs: list[Leg] = []
    for name in names:
        column = matrix.inspections[matrix.column(name)]
        row = inspections.find(column.look)
        if row is None:
            legs.append(Leg(LegKind.TRIAL, title_of(name), column.cost_s))
            continue
        if locked_out_to_look(row):
            legs.append(Leg(LegKind.LOCK_OUT, LOCK_OUT, column.cost_s - row.seconds))
        legs.append(Leg(LegKind.LOOK, row.title, row.seconds, row.name))
    return tuple(legs)


def direct(matrix: Matrix, cause: str) -> tuple[Leg, ...]:
    """Return the cheapest way on which one look, or one trial, tells the cause from all others.

    It has the trials that lead to that look; it is empty when no single look is enough.
    """
    ways_there: list[tuple[Leg, ...]] = []
    trials: dict[int, str] = {
        c.leads_to: c.name for c in matrix.inspections if c.leads_to > c.stage
    }
    true = matrix.causes[matrix.row(cause)]
    rivals = [row for row in matrix.causes if row.outcomes != true.outcomes]
    for place, column in enumerate(matrix.inspections):
        before = [trials[stage] for stage in range(1, column.stage + 1)]
        harmed = any(
            cause in matrix.inspections[matrix.column(name)].harms
            for name in (*before, column.name)
        )
        if not harmed and all(r.outcomes[place] != true.outcomes[place] for r in rivals):
            ways_there.append(_legs(matrix, [*before, column.name]))
    return min(ways_there, key=price_s, default=())


def _taken(session: Session, prices_s: dict[str, float]) -> tuple[Leg, ...]:
    legs: list[Leg] = []
    powered = title_of(POWER_UP)
    for deed in session.done.all[: _last_naming(session)]:
        pressed = deed.keys if deed.kind is ActKind.PRESS else ()
        tried = (deed.accepted | deed.refused).intersection(pressed)
        if isinstance(deed.act, Inspected):
            row = inspections.find(deed.act.name)
            if row is not None:
                legs.append(Leg(LegKind.LOOK, row.title, row.seconds, row.name))
        elif isinstance(deed.act, LockoutTaken):
            _add_step(legs, lockout.BY_NAME[deed.act.step].seconds)
        elif "job.start" in deed.accepted:
            legs.append(Leg(LegKind.TRIAL, title_of(TRIAL), prices_s.get(TRIAL, 0.0)))
        elif "supply.control_on" in tried and all(leg.title != powered for leg in legs):
            # What does not come on shows something too. Powering up again, after a lock-out for
            # one, costs nothing.
            legs.append(Leg(LegKind.TRIAL, powered, prices_s.get(POWER_UP, 0.0)))
    return tuple(legs)


def _add_step(legs: list[Leg], seconds: float) -> None:
    """Add a step of the lock-out to the leg before it, when that is one."""
    if legs and legs[-1].kind is LegKind.LOCK_OUT:
        seconds += legs.pop().cost_s
    legs.append(Leg(LegKind.LOCK_OUT, LOCK_OUT, seconds))


def _last_naming(session: Session) -> int | None:
    """Return how many deeds were done up to the last right cause named; None for all of them."""
    missing = {fault.name for fault in session.hidden}
    for number, deed in enumerate(session.done.all, start=1):
        if isinstance(deed.act, Diagnosed):
            missing.discard(deed.act.name)
            if not missing:
                return number
    return None
