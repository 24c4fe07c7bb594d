"""What each interlock row is there for: take it out, and see what breaks.

A row is taken out of the live controller and the rest is searched for the first property that
breaks. If none does, whatever else refuses the action, wherever the row did, is named: it covers
the row. Only what the row speaks of may be out of order meanwhile (`scope_of`): that is enough to
break nearly all, and a claim that a row is covered is made for that much only.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np

from sim.control.actions import ACTIONS, BY_NAME, STATIONS
from sim.control.controller import Controller
from sim.control.cycle import STEPS
from sim.control.interlocks import PERMISSIVES, REACTIONS, Permissive, When
from sim.control.table import JOB, TABLES
from sim.kernel.clock import Clock
from sim.logic.proof.compile import compiled
from sim.logic.proof.memory import DOMAINS
from sim.logic.proof.moves import FAILURES, Case, Scope
from sim.logic.proof.proof import Finding, examined
from sim.logic.proof.properties import PROGRESS, SAFETY
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.unfold import Row
from sim.signals import Bus

SINGLE_ROWS: Final[tuple[Row, ...]] = (*PERMISSIVES, *REACTIONS)
NUMBERS: Final = tuple(sorted({row.number for row in SINGLE_ROWS}, key=lambda n: int(n[1:])))

# Asked by keys alone, never by the job.
_ONLY_BY_KEY: Final = frozenset(
    row.name for row in ACTIONS if row.name not in {step.action for step in STEPS.values()}
)

# What is bad when a latch is set.
_BEHIND: Final = {"latch.deviation": "B52"}


@dataclass(frozen=True, slots=True)
class Purpose:
    """What some rows are there for."""

    rows: tuple[Row, ...]
    broken: Finding | None  # what breaks without them, None when nothing does
    covered_by: tuple[str, ...]  # then: what else refuses wherever they did
    states: int  # that were visited

    @property
    def covered(self) -> bool:
        """Whether nothing breaks, and something else is there in each case."""
        return self.broken is None and bool(self.covered_by)


def rows_of(number: str) -> tuple[Row, ...]:
    """Return the rows of an interlock, none for a number that is not wired."""
    return tuple(row for row in SINGLE_ROWS if row.number == number)


def hazards(rows: Iterable[Row]) -> tuple[str, ...]:
    """Return what some rows are there against, as the interlock table has it; each hazard once."""
    return tuple(dict.fromkeys(str(row.hazard) for row in rows if isinstance(row, Permissive)))


def label(row: Row) -> str:
    """Return what a row says, as one line."""
    if isinstance(row, Permissive):
        who = {When.AUTO: " by the job", When.HAND: " by a key", When.ANY: ""}[row.when]
        return f"{row.action}{who} needs {_fact(row.need.subject, row.need.values)}"
    given = "".join(f" and {_fact(*fact)}" for fact in row.given)
    fires = ", ".join(f"{machine} {event}" for machine, event in row.fires)
    return f"{_fact(row.subject, row.becomes)}{given}: {fires}"


def _fact(subject: str, values: Sequence[object]) -> str:
    if set(values) <= {True, False}:
        return subject if values[0] else f"not {subject}"
    return f"{subject} {' or '.join(map(str, values))}"


def scope_of(rows: Iterable[Row]) -> Scope:
    """Return the scope in which only what some rows speak of may be out of order."""
    subjects: set[str] = set()
    for row in rows:
        if isinstance(row, Permissive):
            subjects.add(row.need.subject)
            if row.action == "supply.reset":
                subjects.add("B41")  # there must be a fault to reset
        else:
            subjects |= {row.subject, *(subject for subject, _ in row.given)}
    subjects |= {_BEHIND[subject] for subject in subjects & _BEHIND.keys()}
    return Scope(
        tuple(station for station in STATIONS if f"mode.{station}" in subjects),
        tuple(tag for tag in FAILURES if tag in subjects),
    )


def purpose(rows: Sequence[Row]) -> Purpose:
    """Return what some rows are there for."""
    scope = scope_of(rows)
    whole = _whole(scope)
    if len(rows) == 1 and isinstance(rows[0], Permissive) and rows[0].action in _ONLY_BY_KEY:
        # Where a key is refused all the same, nothing differs and nothing need be searched.
        covered_by = tuple(_covering(rows[0], whole, _reached(scope)))
        if covered_by:
            return Purpose(tuple(rows), None, covered_by, _reached(scope).states)
    explorer = Explorer(compiled(scope, rows, whole.model), SAFETY, whole.packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    names = [breach.name for breach in reached.breaches[:1]] or [row.name for row in PROGRESS]
    findings = examined(explorer, reached, names)
    broken = next((finding for finding in findings if not finding.holds), None)
    covered_by = ()
    if broken is None:
        needs = [row for row in rows if isinstance(row, Permissive)]
        covered_by = tuple(
            dict.fromkeys(c for row in needs for c in _covering(row, explorer, reached))
        )
    return Purpose(tuple(rows), broken, covered_by, reached.states)


@lru_cache
def _shipped() -> Explorer:
    return Explorer(compiled(Scope()))


@lru_cache(maxsize=4)
def _whole(scope: Scope) -> Explorer:
    return Explorer(compiled(scope, (), _shipped().model), packing=_shipped().packing)


@lru_cache(maxsize=2)
def _reached(scope: Scope) -> Reached:
    return _whole(scope).reach()


# What covers a row -----------------------------------------------------------------------


def _covering(row: Permissive, explorer: Explorer, reached: Reached) -> list[str]:
    """Return what refuses the action wherever the row would, fewest first; none if it is not all."""
    fails: Case = ((row.need.subject, _others(row.need.subject, row.need.values)),)
    left = [layer[explorer.holding([fails], layer)] for layer in reached.layers]
    states = np.concatenate(left)
    rules = dict(_rules(row))
    chosen = []
    while states.size and rules:
        refuses = {name: explorer.holding(cases, states) for name, cases in rules.items()}
        best = max(refuses, key=lambda name: int(refuses[name].sum()))
        if not refuses[best].any():
            return []
        chosen.append(best)
        del rules[best]
        states = states[~refuses[best]]
    if states.size:
        return []
    return chosen or ["what it forbids never arises"]


def _rules(row: Permissive) -> Iterator[tuple[str, list[Case]]]:
    """Yield whatever else can stand against the row's action, and when it does."""
    machine, event = BY_NAME[row.action].machine, BY_NAME[row.action].event
    if machine not in ("job",) and row.action != "supply.reset":
        table = next(table for table in TABLES if table.name == machine)
        deaf = tuple(set(table.states) - {one.state for one in table.rows if one.event == event})
        yield (
            f"the {machine.replace('_', ' ')} takes {event} only where it fits",
            [((machine, deaf),)],
        )
    if machine == "job":
        yield "the job's own state", _against_job(row.action)
    for other in PERMISSIVES:
        if other.action == row.action and other is not row and other.when in (row.when, When.ANY):
            fails: Any = (other.need.subject, _others(other.need.subject, other.need.values))
            yield f"{other.number}: {label(other)}", [(fails,)]


def _others(name: str, values: Sequence[object]) -> tuple[object, ...]:
    return tuple(value for value in DOMAINS[name] if value not in values)


def _against_job(action: str) -> list[Case]:
    controller = Controller(Clock(), Bus())
    cases: list[Case] = []
    for state in JOB.states:
        for armed in (False, True):
            controller.image.update({"job": state, "job.armed": armed})
            if controller.job.refusals(action):
                cases.append((("job", (state,)), ("job.armed", (armed,))))
    return cases
