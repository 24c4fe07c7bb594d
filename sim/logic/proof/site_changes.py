"""What a change of a site's interlock rows does: it breaks a property, nothing differs, or nothing breaks.

Each change is looked at by itself, beside the table as it stands, and within the scope in which only what
its row speaks of may be bad (`each.scope_of`). A row that is changed is one taken out and one put in; where
only its words are, nothing is. A row that is taken out is judged as `each` judges it. With a
row that is put in, all states are searched again: the first property that breaks is the verdict, and the
shortest way to it is played on the live controller. Whether all changes hold together is for `proof` to say.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from sim.control.site_rows import ROW_OF, TOLD_OF, row_from, rows_of
from sim.logic.proof.compile import compiled
from sim.logic.proof.each import (
    LATE,
    as_in_the_table,
    purpose,
    scope_of,
    table_within,
)
from sim.logic.proof.proof import Finding, examined
from sim.logic.proof.properties import SAFETY
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Explorer
from sim.logic.proof.unfold import Row
from sim.wiring.site_rows import SiteRows, ToldRow


class RowVerdict(StrEnum):
    """What came of a change."""

    FATAL = "fatal"  # a property breaks
    REDUNDANT = "redundant"  # the saw does what it did before, everywhere
    HARMLESS = "harmless"  # something differs, and nothing breaks


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row that is out or in, and what came of it."""

    row: Row
    out: bool
    verdict: RowVerdict
    broken: Finding | None  # what breaks, with the shortest way
    states: int  # that were visited


def changes(site: SiteRows) -> tuple[RowChange, ...]:
    """Return what each change of a site does by itself.

    Raises:
        TableError: A name means nothing, or the live controller does not do what was found.
    """
    reworded = {told.telling for told in site.also} & {TOLD_OF[n].telling for n in site.without}
    return (
        *(
            _same(ROW_OF[name], out=True)
            if TOLD_OF[name].telling in reworded
            else _without(ROW_OF[name])
            for name in site.without
        ),
        *(
            _same(row_from(told), out=False) if told.telling in reworded else _with(told)
            for told in site.also
        ),
    )


def _same(row: Row, *, out: bool) -> RowChange:
    """Return the change of a row that does what it did, in other words."""
    return RowChange(row, out, RowVerdict.REDUNDANT, None, 0)


@lru_cache(maxsize=64)
def _without(row: Row) -> RowChange:
    found = purpose((row,))
    verdict = RowVerdict.REDUNDANT if found.covered_by else RowVerdict.HARMLESS
    if found.broken is not None:
        verdict = RowVerdict.FATAL
    return RowChange(row, True, verdict, found.broken, found.states)


@lru_cache(maxsize=64)
def _with(told: ToldRow) -> RowChange:
    row = row_from(told)
    scope = scope_of((row,))
    rows = rows_of(SiteRows(also=(told,)))
    explorer = Explorer(compiled(scope, rows=rows), SAFETY, table_within(scope).packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    names = [breach.name for breach in reached.breaches[:1]] or LATE
    broken = next((each for each in examined(explorer, reached, names) if not each.holds), None)
    if broken is not None and broken.example is not None:
        Rehearsal(broken.example, rows=rows).play()
        return RowChange(row, False, RowVerdict.FATAL, broken, reached.states)
    same = as_in_the_table(scope, explorer, reached)
    verdict = RowVerdict.REDUNDANT if same else RowVerdict.HARMLESS
    return RowChange(row, False, verdict, None, reached.states)
