"""What a change of a site's interlock rows does: it breaks a property, nothing differs, or nothing breaks.

Each change is looked at by itself, beside the table as it stands. A row that is changed is one taken out and one
put in; where only its words are, nothing is. That nothing differs is claimed only where the two
controllers do the same in every state, whatever is bad (see `likeness`). Otherwise all is searched in which
nothing but what the row speaks of is bad. A row that is taken out is judged as `each` judges it. With a row that
is put in, the first property that breaks is the verdict, and the shortest way to it is played on the live
controller. If none breaks, a state is looked for in which the row makes a difference; where none
is met, just that is said. Whether all changes hold together is for `proof` to say, and for
`still_broken` where `proof` did not look so far.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from sim.control.interlocks import Permissive, Rows
from sim.control.site_rows import ROW_OF, TOLD_OF, row_from, rows_of
from sim.logic.proof.compile import compiled
from sim.logic.proof.each import (
    LATE,
    as_in_the_table,
    fails,
    purpose,
    reached_within,
    scope_of,
    table_within,
)
from sim.logic.proof.likeness import differences, parts
from sim.logic.proof.memory import DOMAINS, Case
from sim.logic.proof.proof import Finding, examined, prove
from sim.logic.proof.properties import SAFETY
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Explorer
from sim.logic.proof.unfold import Row
from sim.wiring.site_rows import SiteRows, ToldRow


class RowVerdict(StrEnum):
    """What came of a change."""

    FATAL = "fatal"  # a property breaks
    REDUNDANT = "redundant"  # the controller does what it did before, in every state
    HARMLESS = "harmless"  # something differs, and nothing breaks
    UNMET = "unmet"  # nothing breaks, and no state was met in which something differs


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row that is out or in, and what came of it."""

    row: Row
    out: bool
    verdict: RowVerdict
    broken: Finding | None  # what breaks, with the shortest way
    states: int  # that were visited


def changes(
    site: SiteRows, report: Callable[[int, int], None] = lambda _at, _total: None
) -> tuple[RowChange, ...]:
    """Return what each change of a site does by itself.

    Args:
        site: What it has changed.
        report: Told before each change which it is, from 1, and how many there are.

    Raises:
        TableError: A name means nothing, or the live controller does not do what was found.
    """
    reworded = {told.telling for told in site.also} & {TOLD_OF[n].telling for n in site.without}
    found: list[RowChange] = []
    total = len(site.without) + len(site.also)
    for name in site.without:
        report(len(found) + 1, total)
        same = TOLD_OF[name].telling in reworded
        found.append(_same(ROW_OF[name], out=True) if same else _without(ROW_OF[name]))
    for told in site.also:
        report(len(found) + 1, total)
        same = told.telling in reworded
        found.append(_same(row_from(told), out=False) if same else _with(told))
    return tuple(found)


def still_broken(
    found: Sequence[RowChange], rows: Rows, bypassed: tuple[Row, ...] = ()
) -> tuple[Finding, ...]:
    """Return what breaks with all changes together, of all that some of them break by themselves.

    All is searched in which nothing but what one of the changed rows speaks of is bad.

    Args:
        found: What some changes do by themselves.
        rows: Of the site's controller, with all its changes.
        bypassed: Rows that are jumpered in it.
    """
    names = dict.fromkeys(one.broken.name for one in found if one.broken is not None)
    if not names:
        return ()
    spoken_of = scope_of(one.row for one in found if not one.out).devices
    scope = replace(scope_of(one.row for one in found), spoken_of=spoken_of)
    return tuple(
        each for each in prove([*names], bypassed, scope, rows=rows).findings if each.broken
    )


def _same(row: Row, *, out: bool) -> RowChange:
    """Return the change of a row that does what it did, in other words."""
    return RowChange(row, out, RowVerdict.REDUNDANT, None, 0)


@lru_cache(maxsize=64)
def _without(row: Row) -> RowChange:
    rows = rows_of(SiteRows(without=(row.name,)))
    apart = differences(rows)
    if not apart:
        return _same(row, out=True)
    found = purpose((row,))
    verdict = RowVerdict.HARMLESS
    if found.broken is not None:
        verdict = RowVerdict.FATAL
    elif found.covered_by and not parts(
        apart, _speaks(row), rows, *reached_within(scope_of((row,)))
    ):
        verdict = RowVerdict.UNMET
    return RowChange(row, True, verdict, found.broken, found.states)


@lru_cache(maxsize=64)
def _with(told: ToldRow) -> RowChange:
    row = row_from(told)
    rows = rows_of(SiteRows(also=(told,)))
    apart = differences(rows)
    if not apart:
        return _same(row, out=False)
    # What no row of the table looks at, such as the infeed hood by hand, this one may look at.
    scope = scope_of((row,))
    scope = replace(scope, spoken_of=scope.devices)
    explorer = Explorer(compiled(scope, rows=rows), SAFETY, table_within(scope).packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    names = [breach.name for breach in reached.breaches[:1]] or LATE
    broken = next((each for each in examined(explorer, reached, names) if each.broken), None)
    if broken is not None and broken.example is not None:
        Rehearsal(broken.example, rows=rows).play()
        return RowChange(row, False, RowVerdict.FATAL, broken, reached.states)
    differs = parts(apart, _speaks(row), rows, explorer, reached)
    differs = differs or not as_in_the_table(scope, explorer, reached)
    verdict = RowVerdict.HARMLESS if differs else RowVerdict.UNMET
    return RowChange(row, False, verdict, None, reached.states)


def _speaks(row: Row) -> Case:
    """Return where a row can say anything, as far as that is no matter of a key."""
    case = fails(row) if isinstance(row, Permissive) else row.given
    return tuple(fact for fact in case if fact[0] in DOMAINS)
