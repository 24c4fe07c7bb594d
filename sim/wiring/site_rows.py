"""What a site has changed in the interlock rows of its saw: rows that are out, and rows of its own.

Never here: what a row means (see `sim.control.site_rows`), or how a file says it (see `sim.scenario.site_rows`).
"""

from dataclasses import dataclass
from typing import Final

Told = str | bool
Facts = tuple[tuple[str, tuple[Told, ...]], ...]  # a subject, and the values that it may have


@dataclass(frozen=True, slots=True)
class SiteRow:
    """One row of a site's own: an action needs something, or something follows by itself."""

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


@dataclass(frozen=True, slots=True)
class SiteRows:
    """All that a site has changed."""

    without: tuple[str, ...] = ()  # names of rows
    also: tuple[SiteRow, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.without or self.also)


NO_CHANGE: Final = SiteRows()
