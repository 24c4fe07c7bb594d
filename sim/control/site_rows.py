"""The interlock rows of a site's saw: those of the table, without some and with some of its own.

Never here: how a file tells rows (see `sim.scenario.site_rows`), or what a change does to a property (see
`sim.logic.proof.site_changes`).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

from sim.bugs import TableError
from sim.control.actions import BY_NAME
from sim.control.interlock import InterlockRow, Permissive, Reaction
from sim.control.interlocks import BY_NUMBER, ROWS, THE_ROWS, TOLD, Rows
from sim.control.row_words import need_of, row_of
from sim.wiring.site_rows import SiteRows, ToldRow
from sim.words.message import NOTHING

ROW_OF: Final = {row.name: row for row in ROWS}
TOLD_OF: Final = {row.name: told for told, row in zip(TOLD, ROWS, strict=True)}
_NAME_OF: Final = {told.telling: name for name, told in TOLD_OF.items()}


@lru_cache(maxsize=16)
def rows_of(site: SiteRows) -> Rows:
    """Return the rows that the controller of a site's saw walks.

    Raises:
        TableError: No row has one of the names, or an action is left that needs nothing.
    """
    if not site:
        return THE_ROWS
    missing = [each for each in site.without if each not in ROW_OF]
    if missing:
        raise TableError(f"there is no row {missing[0]}", "site rows")
    rows = changed(site)
    bare = needing_nothing(rows)
    if bare:
        raise TableError(f"{bare[0]} needs nothing", "site rows")
    return rows


def needing_nothing(rows: Rows) -> tuple[str, ...]:
    """Return the actions that need something by the table, and nothing any more by these rows."""
    before, now = ({row.action for row in each.permissives} for each in (THE_ROWS, rows))
    return tuple(name for name in BY_NAME if name in before - now)


def as_shipped(rows: Rows, subject: str) -> bool:
    """Return whether some rows ask for and follow a subject just as the table does, in whatever words.

    What is told in general of an interlock is true of the table; of a saw with other rows it may be false.
    """
    return _about(rows, subject) == _about(THE_ROWS, subject)


@lru_cache(maxsize=64)
def _about(rows: Rows, subject: str) -> frozenset[tuple[object, ...]]:
    """Return what rows do about a subject, without their words."""
    needs = (
        (row.action, row.when, frozenset(row.need.values), row.keeps, _unordered(row.given))
        for row in rows.permissives
        if row.need.subject == subject
    )
    follows = (
        (frozenset(row.becomes), _unordered(row.given), row.fires)
        for row in rows.reactions_to(subject)
    )
    return frozenset((*needs, *follows))


def _unordered(given: Iterable[tuple[str, tuple[object, ...]]]) -> frozenset[object]:
    return frozenset((subject, frozenset(values)) for subject, values in given)


def has_words(told: ToldRow) -> bool:
    """Return whether the table, or the row itself, says what is told where its need does not hold."""
    own = bool(told.said and told.to_do)
    return own or need_of(told.subject, told.values) is not None


@lru_cache(maxsize=256)
def row_from(told: ToldRow) -> InterlockRow:
    """Return the row that a site tells; the same one for the same words."""
    known = BY_NUMBER.get(told.interlock)
    return row_of(told, known.hazard if known else NOTHING)


# What a site has changed ---------------------------------------------------------------------


def difference(told: Sequence[ToldRow]) -> SiteRows:
    """Return what a site's rows have other than the table: what is left out of it, and what is not in it.

    Args:
        told: All rows of the site, in the order of its file, none of them twice.
    """
    after: dict[tuple[str, str], str] = {}  # of the rows below, the first of the table
    also: list[ToldRow] = []
    kept: set[str] = set()
    for each in reversed(told):
        called = _shipping(each)
        if called:
            kept.add(called)
            after[_lane(each)] = called
        else:
            also.insert(0, replace(each, before=after.get(_lane(each), "")))
    site = SiteRows(tuple(each for each in ROW_OF if each not in kept), tuple(also))
    return SiteRows(site.without, tuple(each for called, each in _walked(site) if not called))


def out_of_order(told: Sequence[ToldRow]) -> tuple[int, int] | None:
    """Return two rows that follow the same and stand the other way round than in the table.

    The controller carries such rows out one after the other, so that they make another table. In another order
    what refuses is only told in another order.

    Args:
        told: All rows of the site, in the order of its file.

    Returns:
        Places in `told`: of the one that stands behind, and of the one that it must stand before.
    """
    rank = {name: place for place, name in enumerate(ROW_OF)}
    above: dict[str, list[tuple[int, int]]] = defaultdict(list)  # ranks and places by subject
    for at, each in enumerate(told):
        called = "" if each.action else _shipping(each)
        if called:
            later = [place for other, place in above[each.subject] if other > rank[called]]
            if later:
                return at, later[0]
            above[each.subject].append((rank[called], at))
    return None


def _shipping(told: ToldRow) -> str:
    """Return the name of a row that is one of the table and says nothing of its own; else nothing."""
    return "" if told.said or told.to_do or told.hazard else _NAME_OF.get(told.telling, "")


def _lane(told: ToldRow) -> tuple[str, str]:
    """Return what rows have in common whose order counts: the action, or what they follow."""
    return told.action, "" if told.action else told.subject


def whole(site: SiteRows) -> Iterator[ToldRow]:
    """Yield all rows of a site's saw, in their order."""
    yield from (told for _, told in _walked(site))


def _walked(site: SiteRows) -> Iterator[tuple[str, ToldRow]]:
    """Yield all rows of a site's saw, each after its name in the table, where a site's own has none."""
    ahead: dict[str, list[ToldRow]] = defaultdict(list)
    for own in site.also:
        ahead[own.before].append(own)
    for name, told in TOLD_OF.items():
        yield from (("", own) for own in ahead[name])
        if name not in site.without:
            yield name, told
    yield from (("", own) for own in ahead[""])


def changed(site: SiteRows) -> Rows:
    """Return the rows of a site's saw, whatever they leave bare."""
    walked = [ROW_OF[name] if name else row_from(told) for name, told in _walked(site)]
    return Rows(
        tuple(row for row in walked if isinstance(row, Permissive)),
        tuple(row for row in walked if isinstance(row, Reaction)),
    )
