"""A finding as a person judges it: the words, and each number against what it should be.

Two faults may show 3.1 and 3.2 bar where 6.0 is right. Nobody tells a fault by the second figure;
they see that the reading is low. So a number becomes a mark: none, lower, higher or as it should
be. Where the words differ from those of the sound machine, its numbers cannot be compared, and are
left out.

A finding is a message, and its numbers are those of its fields, as they are told. What comes back
serves to tell outcomes apart and is never taken to pieces.

Never here: the machine.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from sim.words.message import Message
from sim.words.reader import Reader

_LEFT_OUT: Final = "#"


@lru_cache(maxsize=1 << 16)
def judged(found: Message, right: Message) -> str:
    """Return a finding with its numbers judged against the same finding on the sound machine."""
    shown, due = _Collects(), _Collects()
    same_words = found.tell(shown) == right.tell(due)
    if same_words and shown.numbers == due.numbers:
        return str(found)
    if not same_words:
        return found.tell(_Collects())
    marks = map(_mark, shown.numbers, due.numbers)
    return found.tell(_Marks(marks=marks))


def worded(found: Message) -> str:
    """Return a finding in words, every number left out of it."""
    return found.tell(_Collects())


def _mark(number: float, right: float) -> str:
    if number == right:
        return "[as it should be]"
    if number == 0.0:
        return "[none]"
    return "[lower]" if number < right else "[higher]"


@dataclass(frozen=True, slots=True)
class _Collects(Reader):
    """A reader who leaves every number out of what is read, and keeps it as it would be told."""

    numbers: list[float] = field(default_factory=list)

    def number(
        self, value: float, unit: str = "", decimals: int | None = 0, *, sign: bool = False
    ) -> str:
        """Keep a number."""
        self.numbers.append(
            float(f"{value:g}") if decimals is None else round(float(value), decimals)
        )
        return _LEFT_OUT


@dataclass(frozen=True, slots=True)
class _Marks(Reader):
    """A reader who reads a mark where a number stands."""

    marks: Iterator[str] = field(default_factory=lambda: iter(()))

    def number(
        self, value: float, unit: str = "", decimals: int | None = 0, *, sign: bool = False
    ) -> str:
        """Return the next mark."""
        return next(self.marks)
