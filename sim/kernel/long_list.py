"""A list that only grows: what is old in it lies packed, so that a run of months fits in memory.

Rows must be values: one that was packed comes back as an equal one, not as the same.

Never here: what the rows are.
"""

import pickle
import zlib
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Final, Generic, TypeVar, overload

_Row = TypeVar("_Row")

_BLOCK: Final = 1024  # rows that are packed together


class LongList(Sequence[_Row], Generic[_Row]):
    """Rows in the order in which they came; the newest lie open.

    Args:
        rows: What it begins with.
    """

    def __init__(self, rows: Iterable[_Row] = ()) -> None:
        self._packed: list[bytes] = []
        self._newest: list[_Row] = []
        self._opened: tuple[int, list[_Row]] = (-1, [])  # the block that was looked into last
        for row in rows:
            self.append(row)

    def append(self, row: _Row) -> None:
        """Add a row at the end."""
        self._newest.append(row)
        if len(self._newest) >= 2 * _BLOCK:
            self._packed.append(zlib.compress(pickle.dumps(self._newest[:_BLOCK], protocol=5)))
            del self._newest[:_BLOCK]

    def __len__(self) -> int:
        return len(self._packed) * _BLOCK + len(self._newest)

    def __iter__(self) -> Iterator[_Row]:
        return self._from(0)

    def __reversed__(self) -> Iterator[_Row]:
        yield from reversed(self._newest)
        for number in reversed(range(len(self._packed))):
            yield from reversed(self._block(number))

    @overload
    def __getitem__(self, place: int) -> _Row: ...
    @overload
    def __getitem__(self, place: slice) -> list[_Row]: ...
    def __getitem__(self, place: int | slice) -> _Row | list[_Row]:
        if isinstance(place, slice):
            start, stop, step = place.indices(len(self))
            if step == 1:
                return list(islice(self._from(start), max(stop - start, 0)))
            return [self[each] for each in range(start, stop, step)]
        at = range(len(self))[place]
        block, within = divmod(at, _BLOCK)
        if block < len(self._packed):
            return self._block(block)[within]
        return self._newest[at - len(self._packed) * _BLOCK]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, LongList | list):
            return NotImplemented
        return len(self) == len(other) and all(a == b for a, b in zip(self, other, strict=True))

    def __repr__(self) -> str:
        return f"LongList({list(self)!r})"

    def _from(self, place: int) -> Iterator[_Row]:
        """Yield the rows from a place on, also those that come while one reads."""
        while place < len(self):
            block, within = divmod(place, _BLOCK)
            if block < len(self._packed):
                rows = self._block(block)[within:]
            else:
                rows = self._newest[place - len(self._packed) * _BLOCK :]
            yield from rows
            place += len(rows)

    def _block(self, number: int) -> list[_Row]:
        if self._opened[0] != number:
            self._opened = number, pickle.loads(zlib.decompress(self._packed[number]))
        return self._opened[1]
