"""The set-up points as the walk-round knows them: a number each, and what may be read of them.

A point with a gauge or a scale can be read from where one stands. One without (a plunger, the strength
of the coolant) reads as a question mark in a drill until it was set, so that the list does not give
away what an inspection is there to show.
"""

from dataclasses import dataclass, field
from typing import Final

from sim.plant.set_points import SET_POINTS, SetPoint, Setting
from sim.session.inspections import INSPECTIONS
from sim.session.session import Session
from sim.words.speech import reader

# Set point -> the inspections that show it.
_SHOWN_BY: Final = {
    row.name: tuple(look.name for look in INSPECTIONS.values() if row.name in look.shows)
    for row in SET_POINTS
}
HIDING: Final = ("drill", "assessment")
"""The modes of a scenario in which what nobody has looked at is not told."""


@dataclass
class Points:
    """What this trainee has looked at."""

    session: Session
    handled: set[str] = field(default_factory=set)

    @property
    def rows(self) -> tuple[SetPoint, ...]:
        """Every set-up point of this saw, in the order of the table."""
        return tuple(row for row in SET_POINTS if row.fitted(self.session.machine))

    def number(self, name: str) -> int:
        """Return the number on its balloon, from 1."""
        return next(i for i, row in enumerate(SET_POINTS, 1) if row.name == name)

    def open(self, row: SetPoint) -> bool:
        """Return whether its setting can be read without an inspection."""
        if self.session.scenario.mode not in HIDING or row.name in self.handled:
            return True
        if any(self.session.seen.has(look) for look in _SHOWN_BY[row.name]):
            return True
        return row.scale and not (row.words or _SHOWN_BY[row.name])

    def read(self, row: SetPoint) -> Setting | None:
        """Return its setting, None when nobody has looked yet."""
        return row.read(self.session.saw.plant) if self.open(row) else None

    def face(self, row: SetPoint) -> Setting | None:
        """Return its setting, rounded to what a person can read, since levels fall all the time."""
        setting = self.read(row)
        return round(setting, decimals(row) + 2) if isinstance(setting, float) else setting

    def words(self, row: SetPoint) -> str:
        """Return its setting in words, `?` when nobody has looked yet."""
        setting = self.read(row)
        if setting is None:
            return "?"
        if isinstance(setting, str):
            return setting
        return reader().quantity(setting, row.unit, decimals(row))


def decimals(row: SetPoint) -> int:
    """Return how many decimals its step asks for."""
    return 0 if row.step >= 1 else 1 if row.step >= 0.1 else 2
