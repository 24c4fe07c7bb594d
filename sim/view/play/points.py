"""The set-up points as the walk-round knows them: a number each, and what may be read of them.

In a drill a point reads as a question mark until it was set or the look was made that reads it, so that
the list does not give away what an inspection is there to show. The terminal's list asks the same.
"""

from dataclasses import dataclass

from sim.plant.set_points import SET_POINTS, SetPoint, Setting
from sim.session.session import Session
from sim.session.sights.known import unread
from sim.words.speech import reader


@dataclass
class Points:
    """What this trainee has looked at."""

    session: Session

    @property
    def rows(self) -> tuple[SetPoint, ...]:
        """Every set-up point of this saw, in the order of the table."""
        return tuple(row for row in SET_POINTS if row.fitted(self.session.machine))

    def number(self, name: str) -> int:
        """Return the number on its balloon, from 1."""
        return next(i for i, row in enumerate(SET_POINTS, 1) if row.name == name)

    def open(self, row: SetPoint) -> bool:
        """Return whether its setting can be read without an inspection."""
        return not unread(self.session, row.name)

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
