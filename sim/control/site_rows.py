"""The interlock rows of a site's saw: those of the table, without some and with some of its own.

Never here: how a file says what is changed (see `sim.scenario.site_rows`), or what a change does to a
property (see `sim.logic.proof.site_changes`).
"""

from dataclasses import replace
from functools import lru_cache
from typing import Final

from sim.bugs import TableError
from sim.control import needs
from sim.control.actions import BY_NAME
from sim.control.interlock import InterlockRow, Permissive, Reaction, When
from sim.control.interlocks import BY_NUMBER, PERMISSIVES, REACTIONS, THE_ROWS, Rows
from sim.control.needs import Need
from sim.wiring.site_rows import SiteRow, SiteRows
from sim.words.message import NOTHING, quoted

_TABLE: Final[tuple[InterlockRow, ...]] = (*PERMISSIVES, *REACTIONS)
ROW_OF: Final = {row.name: row for row in _TABLE}
_NEED_OF: Final = {
    (need.subject, need.values): need for need in vars(needs).values() if isinstance(need, Need)
}


@lru_cache(maxsize=16)
def rows_of(site: SiteRows) -> Rows:
    """Return the rows that the controller of a site's saw walks.

    Raises:
        TableError: No row has one of the names, or an action is left that needs nothing.
    """
    if not site:
        return THE_ROWS
    missing = [name for name in site.without if name not in ROW_OF]
    if missing:
        raise TableError(f"there is no row {missing[0]}", "site rows")
    rows = THE_ROWS.changed((ROW_OF[name] for name in site.without), map(row_from, site.also))
    bare = needing_nothing(rows)
    if bare:
        raise TableError(f"{bare[0]} needs nothing", "site rows")
    return rows


def needing_nothing(rows: Rows) -> tuple[str, ...]:
    """Return the actions that need something by the table, and nothing any more by these rows."""
    before, now = ({row.action for row in each.permissives} for each in (THE_ROWS, rows))
    return tuple(name for name in BY_NAME if name in before - now)


def telling(told: SiteRow) -> SiteRow:
    """Return a row without its words: two that are alike then are the same row twice."""
    return replace(told, said="", to_do="", hazard="")


def has_words(told: SiteRow) -> bool:
    """Return whether the table, or the row itself, says what is told where its need does not hold."""
    own = bool(told.said and told.to_do)
    return own or (told.subject, told.values) in _NEED_OF


@lru_cache(maxsize=256)
def row_from(told: SiteRow) -> InterlockRow:
    """Return the row that a site tells; the same one for the same words."""
    known = BY_NUMBER.get(told.interlock)
    hazard = quoted(told.hazard) if told.hazard else known.hazard if known else NOTHING
    if not told.action:
        reason = quoted(told.said) if told.said else NOTHING
        return Reaction(
            told.subject, told.values, told.given, told.fires, reason, number=told.interlock
        )
    need = _NEED_OF.get((told.subject, told.values))
    if told.said or need is None:
        need = Need(told.subject, told.values, quoted(told.said), quoted(told.to_do))
    return Permissive(
        told.action, When(told.asked_by), need, told.keeps, told.given, hazard, told.interlock
    )
