"""What each interlock row is there for: take it out, and see what breaks.

A row is taken out of the live controller, and all states are searched for the first property that
breaks. What breaks is played on the live controller, which must do it without the row and not with
it. If none breaks, something else must refuse the action wherever the row did; what that is, is named,
and it is said to cover the row. During the search only devices that the row speaks of may be bad, and
MAINTENANCE is left out where it does not speak of it (`scope_of`). That is enough to show of nearly
every row that it is needed; that a row is covered is claimed within that scope only.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from sim.bugs import TableError
from sim.control.actions import BY_NAME
from sim.control.controller import Controller
from sim.control.cycle import JOB_ASKS
from sim.control.interlocks import PERMISSIVES, REACTIONS, Permissive, When
from sim.control.nouns import THE
from sim.control.table import JOB, TABLES
from sim.kernel.clock import Clock
from sim.logic.proof.compile import compiled
from sim.logic.proof.example import Example
from sim.logic.proof.memory import DOMAINS, Case
from sim.logic.proof.moves import FAILURES, Scope
from sim.logic.proof.proof import Finding, examined
from sim.logic.proof.properties import PROPERTIES, SAFETY, Ends, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.unfold import Row
from sim.signals import Bus
from sim.words.fields import name, part, parts
from sim.words.message import Message, plain
from sim.words.message import row as message

SINGLE_ROWS: Final[tuple[Row, ...]] = (*PERMISSIVES, *REACTIONS)
NUMBERS: Final = tuple(sorted({row.number for row in SINGLE_ROWS}, key=lambda n: int(n[1:])))

# Keys that do more than make their machine step.
_DO_MORE: Final = (
    "supply.reset", "job.start", "job.unhold", "job.complete", "job.reset", "job.new",
)  # fmt: skip

# What is bad when a latch is set.
_BEHIND: Final = {"latch.deviation": "B52", "latch.trip_line": "S2"}

# Tags, commands and states stand in these as they are written in the tables.
_NEEDS: Final = {
    When.ANY: message("each.needs", "{action} needs {fact}", action=name(), fact=part()),
    When.JOB: message(
        "each.needs.job", "{action} by the job needs {fact}", action=name(), fact=part()
    ),
    When.KEY: message(
        "each.needs.key", "{action} by a key needs {fact}", action=name(), fact=part()
    ),
}
_WHERE: Final = message("each.where", "{needs} where {facts}", needs=part(), facts=parts(" and "))
_REACTS: Final = message("each.reacts", "{facts}: {fires}", facts=parts(" and "), fires=parts(", "))
_FIRES: Final = message("each.fires", "{machine} {event}", machine=name(), event=name())
_ON: Final = message("each.on", "{subject}", subject=name())
_NOT: Final = message("each.not", "not {subject}", subject=name())
_IS: Final = message("each.is", "{subject} {values}", subject=name(), values=parts(" or "))
_VALUE: Final = message("each.value", "{value}", value=name())
_BY_ROW: Final = message("each.covered.row", "{number}: {row}", number=name(), row=part())
_BY_TABLE: Final = message(
    "each.covered.table", "{machine} takes {event} only where it fits", machine=part(), event=name()
)
_BY_MODE: Final = plain("each.covered.mode", "in PRODUCTION the job has all parts")
_BY_JOB: Final = plain("each.covered.job", "the job's own state")
_BY_BEGINNING: Final = plain("each.covered.beginning", "a choice does nothing until a job begins")
_ALL_THE_SAME: Final = plain(
    "each.covered.same", "what follows all the same: every state comes as with it, and as soon"
)
_NEVER_ARISES: Final = plain("each.covered.never", "what it forbids never arises")


@dataclass(frozen=True, slots=True)
class Purpose:
    """What some rows are there for."""

    rows: tuple[Row, ...]
    broken: Finding | None  # what breaks without them, None when nothing does
    covered_by: tuple[Message, ...]  # then: what else refuses wherever they did
    states: int  # that were visited

    @property
    def covered(self) -> bool:
        """Whether nothing breaks without the rows, because other rules refuse in each case."""
        return self.broken is None and bool(self.covered_by)


def rows_of(number: str) -> tuple[Row, ...]:
    """Return the rows of an interlock, none for a number that is not wired."""
    return tuple(row for row in SINGLE_ROWS if row.number == number)


def hazards(rows: Iterable[Row]) -> tuple[Message, ...]:
    """Return what some rows are there against, as the interlock table has it; each hazard once."""
    return tuple(dict.fromkeys(row.hazard for row in rows if isinstance(row, Permissive)))


def label(row: Row) -> Message:
    """Return what a row says, on one line."""
    if isinstance(row, Permissive):
        fact = told_fact(row.need.subject, row.need.values)
        needs = _NEEDS[row.when](action=row.action, fact=fact)
        given = tuple(told_fact(*each) for each in row.given)
        return _WHERE(needs=needs, facts=given) if given else needs
    facts = told_fact(row.subject, row.becomes), *(told_fact(*given) for given in row.given)
    fires = (_FIRES(machine=machine, event=event) for machine, event in row.fires)
    return _REACTS(facts=tuple(facts), fires=tuple(fires))


def told_fact(subject: str, values: Sequence[object]) -> Message:
    """Return a fact as the tables write it."""
    if set(values) <= {True, False}:
        return (_ON if values[0] else _NOT)(subject=subject)
    return _IS(subject=subject, values=tuple(_VALUE(value=str(value)) for value in values))


def scope_of(rows: Iterable[Row]) -> Scope:
    """Return the scope in which only what some rows speak of may be out of order."""
    subjects: set[str] = set()
    slow = False  # whether any speaks of MAINTENANCE
    for row in rows:
        facts = row.given
        if isinstance(row, Permissive):
            facts = (*facts, (row.need.subject, row.need.values))
            if row.action == "supply.reset":
                subjects.add("B41")  # there must be a fault to reset
            slow = slow or row.need.subject == "mode"  # which it may be there to refuse
        else:
            facts = (*facts, (row.subject, row.becomes))
        subjects.update(subject for subject, _ in facts)
        slow = slow or any(s == "mode" and "MAINTENANCE" in values for s, values in facts)
    slow = slow or not subjects.isdisjoint(("S7", "B3"))
    subjects |= {_BEHIND[subject] for subject in subjects & _BEHIND.keys()}
    modes = tuple(mode for mode in Scope().modes if slow or mode != "MAINTENANCE")
    return Scope(modes, tuple(tag for tag in FAILURES if tag in subjects))


def purpose(rows: Sequence[Row]) -> Purpose:
    """Return what some rows are there for.

    Raises:
        TableError: The live controller does not do what was found.
    """
    scope = scope_of(rows)
    whole = table_within(scope)
    one = rows[0] if len(rows) == 1 else None
    key = one if isinstance(one, Permissive) and one.action not in JOB_ASKS else None
    if key and not scope.devices:
        # Where a key is refused all the same nothing differs, and nothing need be searched but what
        # many rows have in common.
        explorer, reached = reached_within(scope)
        covered_by = tuple(_covering(key, explorer, reached))
        if covered_by:
            return Purpose(tuple(rows), None, covered_by, reached.states)
    explorer = Explorer(compiled(scope, rows, whole.model), SAFETY, whole.packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    if key and not reached.breaches:
        covered_by = tuple(_covering(key, explorer, reached))
        if covered_by:
            return Purpose(tuple(rows), None, covered_by, reached.states)
    names = [breach.name for breach in reached.breaches[:1]] or LATE
    findings = examined(explorer, reached, names)
    broken = next((finding for finding in findings if finding.broken), None)
    if broken is not None and broken.example is not None:
        stuck = isinstance(PROPERTIES[broken.name], Reachable)
        _played(broken.example, rows, with_them_too=stuck)
    covered_by = ()
    if broken is None:
        needs = [row for row in rows if isinstance(row, Permissive)]
        covered_by = tuple(
            dict.fromkeys(c for row in needs for c in _covering(row, explorer, reached))
        )
        if not needs and as_in_the_table(scope, explorer, reached):
            covered_by = (_ALL_THE_SAME,)
    return Purpose(tuple(rows), broken, covered_by, reached.states)


def as_in_the_table(scope: Scope, explorer: Explorer, reached: Reached) -> bool:
    """Return whether every layer of the search has the states that it has with the table as it is."""
    whole, known = reached_within(scope)
    same = explorer.frame.counts == whole.frame.counts and len(reached.layers) == len(known.layers)
    return same and all(map(np.array_equal, reached.layers, known.layers))


def _played(example: Example, rows: Sequence[Row], *, with_them_too: bool = False) -> None:
    """Play what breaks without some rows on the live controller.

    Args:
        example: What breaks.
        rows: That are jumpered.
        with_them_too: Whether it may be played with them as well: the way to where one gets stuck
            without them may be open with them, too, and lead on from there.

    Raises:
        TableError: Without the rows it does not do it, or with them it does and must not.
    """
    Rehearsal(example, tuple(rows)).play()
    if with_them_too:
        return
    try:
        Rehearsal(example).play()
    except TableError:
        return
    raise TableError("the live controller does it with the row in, too", where=rows[0].name)


# What is examined only once everything is reached.
LATE: Final = [name for name, row in PROPERTIES.items() if isinstance(row, Ends | Reachable)]


@lru_cache
def _shipped() -> Explorer:
    return Explorer(compiled(Scope()))


@lru_cache(maxsize=4)
def table_within(scope: Scope) -> Explorer:
    """Return what searches the table as it is, within a scope."""
    return Explorer(compiled(scope, (), _shipped().model), packing=_shipped().packing)


@lru_cache(maxsize=2)
def reached_within(scope: Scope) -> tuple[Explorer, Reached]:
    """Return what searched the table as it is within a scope, and all that it reached."""
    explorer = table_within(scope)  # whose numbering the states have, so both are kept together
    return explorer, explorer.reach()


# What covers a row -----------------------------------------------------------------------


def _covering(row: Permissive, explorer: Explorer, reached: Reached) -> list[Message]:
    """Return the rules that between them refuse the action wherever the row does.

    They are chosen one by one, that which refuses in most states first. The list is empty when some
    state is left in which nothing but the row refuses.
    """
    stands = fails(row)
    states = np.concatenate([layer[explorer.holding([stands], layer)] for layer in reached.layers])
    rules = dict(_rules(row))
    chosen: list[Message] = []
    while states.size and rules:
        refuses = {rule: explorer.holding(cases, states) for rule, cases in rules.items()}
        best = max(refuses, key=lambda rule: int(refuses[rule].sum()))
        if not refuses[best].any():
            return []
        chosen.append(best)
        del rules[best]
        states = states[~refuses[best]]
    if states.size:
        return []
    return chosen or [_NEVER_ARISES]


def _rules(row: Permissive) -> Iterator[tuple[Message, list[Case]]]:
    """Yield whatever else can stand against the row's action, and when it does."""
    machine, event = BY_NAME[row.action].machine, BY_NAME[row.action].event
    if machine == "job":
        yield _BY_JOB, _against_job(row.action)
    if machine == "first":
        yield _BY_BEGINNING, [()]
    if row.action not in _DO_MORE:
        table = next(table for table in TABLES if table.name == machine)
        takes = {step.state for step in table.rows if step.event == event}
        deaf = tuple(set(table.states) - takes)
        yield _BY_TABLE(machine=THE[machine], event=event), [((machine, deaf),)]
    for other in PERMISSIVES:
        if other.action == row.action and other is not row and other.when in (row.when, When.ANY):
            yield _BY_ROW(number=other.number, row=label(other)), [fails(other)]
    if BY_NAME[row.action].moves and row.when is not When.JOB:
        yield _BY_MODE, [(("mode", ("PRODUCTION", "NONE")),)]


def fails(row: Permissive) -> Case:
    """Return where a row stands against its action."""
    return ((row.need.subject, _others(row.need.subject, row.need.values)), *row.given)


def _others(name: str, values: Sequence[object]) -> tuple[object, ...]:
    return tuple(value for value in DOMAINS[name] if value not in values)


def _against_job(action: str) -> list[Case]:
    controller = Controller(Clock(), Bus())
    cases: list[Case] = []
    for state in JOB.states:
        controller.image["job"] = state
        if controller.job.refusals(action):
            cases.append((("job", (state,)),))
    return cases
