"""The values of a file, and the line and column of each.

Never here: reading the file, or what it may say.
"""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, TypeAlias

from sim.scenario.scalars import Scalar

Value: TypeAlias = "Scalar | list[Value] | dict[str, Value]"
Place: TypeAlias = tuple[str | int, ...]
"""The way to a value from the top: names of keys and numbers of list items, from 0."""


class Spot(NamedTuple):
    """A line and a column of a file, both counted from 1."""

    line: int
    column: int


@dataclass(frozen=True)
class Located:
    """The values of a file, and where in it each key and each value stands."""

    path: Path
    value: Value
    keys: Mapping[Place, Spot]
    values: Mapping[Place, Spot]

    def where_key(self, place: Place) -> str:
        """Return `path:line:column` of the key at a place, or of the nearest thing above it."""
        spot = self.keys.get(place)
        return self.where_value(place) if spot is None else where(self.path, spot)

    def where_value(self, place: Place) -> str:
        """Return `path:line:column` of the value at a place, or of the nearest one above it."""
        while place not in self.values and place:
            place = place[:-1]
        return where(self.path, self.values[place])


def where(path: Path, spot: Spot | None = None) -> str:
    """Return a path, and a line and column of it if given, as an error shows them."""
    name = os.fsencode(path).decode("utf-8", "replace")
    return name if spot is None else f"{name}:{spot.line}:{spot.column}"
