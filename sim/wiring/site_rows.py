"""The interlock rows of a saw as its file tells them, and what a site has changed in them.

Never here: what a row means (see `sim.control.site_rows`), or how a file says it (see `sim.scenario.site_rows`).
"""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Final

Told = str | bool
Facts = tuple[tuple[str, tuple[Told, ...]], ...]  # a subject, and the values that it may have


@dataclass(frozen=True, slots=True)
class ToldRow:
    """One row: an action needs something, or something follows by itself."""

    interlock: str  # its number
    subject: str  # what an action needs, or what is watched
    values: tuple[Told, ...]  # that it must have, or become
    given: Facts = ()  # the row applies only where all of it holds
    action: str = ""  # that needs it; empty for what follows by itself
    asked_by: str = "any"
    keeps: bool = False
    fires: tuple[tuple[str, str], ...] = ()  # machine and event
    said: str = ""  # the fact where the need does not hold, or the reason, a clause
    to_do: str = ""
    hazard: str = ""
    before: str = ""  # the name of the table's row before which a site's own stands; else after all

    @property
    def telling(self) -> Hashable:
        """What it does, without its words and its place: two that are alike are the same row twice."""
        given = frozenset((subject, frozenset(values)) for subject, values in self.given)
        return (
            self.interlock, self.action, self.asked_by, self.subject, frozenset(self.values),
            self.keeps, given, self.fires,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SiteRows:
    """All that a site has changed."""

    without: tuple[str, ...] = ()  # names of the table's rows
    also: tuple[ToldRow, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.without or self.also)


NO_CHANGE: Final = SiteRows()
