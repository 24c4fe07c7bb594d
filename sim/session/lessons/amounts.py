"""Numbers and ranges of numbers as messages, in the unit of what they are of.

Never here: what is right (see `goals`).
"""

from dataclasses import replace
from typing import Final

from sim.scenario.steps import Limits
from sim.words.fields import Quantity, part
from sim.words.message import Message, row

_AT_LEAST: Final = row("range.at-least", "at least {low}", low=part())
_AT_MOST: Final = row("range.at-most", "at most {high}", high=part())
_BETWEEN: Final = row("range.between", "{low} to {high}", low=part(), high=part())


class Amount:
    """How numbers of one kind are told.

    Args:
        key: Under which its messages are known.
        kind: Its unit; numbers are given in it, as a scenario's author writes them.
        here_decimals: Of what is read, None for as many as it has.
    """

    def __init__(self, key: str, kind: Quantity, here_decimals: int | None = None) -> None:
        whole, bare = replace(kind, decimals=None), replace(kind, decimals=None, bare=True)
        self._si = kind.si
        self._whole = row(f"{key}.amount", "{number}", number=whole)
        self._bare = row(f"{key}.amount.bare", "{number}", number=bare)
        self._here = row(f"{key}.here", "{number}", number=replace(bare, decimals=here_decimals))

    def told(self, number: float) -> Message:
        """Return a number with its unit."""
        return self._whole(number=number * self._si)

    def here(self, number: float) -> Message:
        """Return a number that was read, where another with its unit stands before it."""
        return self._here(number=number * self._si)

    def range(self, limits: Limits) -> Message:
        """Return a range with its unit."""
        if limits.at_least is None:
            return _AT_MOST(high=self.told(limits.high))
        if limits.at_most is None:
            return _AT_LEAST(low=self.told(limits.low))
        return _BETWEEN(low=self._bare(number=limits.low * self._si), high=self.told(limits.high))
