"""One line of a calculation: a quantity, its value and unit, and how it came about."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row
from sim.words.reader import ENGLISH, Reader

_FROM_TO: Final = row("calc.from-to", "{low} to {high}", low=name(), high=name())
WARNING: Final = plain("calc.warning", "warning")
"""The quantity of a line whose value is a sentence about the others."""
NOTE: Final = plain("calc.note", "note")
"""The same, where nothing is amiss."""
_BINDS: Final = row("calc.binds", "{quantity} (sets it)", quantity=part())


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of a calculation.

    Args:
        quantity: What it is.
        value: In `unit`, rounded to the decimals that it is told with; a range from low to high; or
            words.
        unit: As the trade writes it, metric; empty where there is none.
        how: What it was worked out from, or by which rule.
        binds: Whether it is the limit that sets the result.
    """

    quantity: Message
    value: float | tuple[float, float] | Message
    unit: str = ""
    how: Message = NOTHING
    binds: bool = False

    def cells(self, reader: Reader) -> tuple[str, str, str, str]:
        """Return quantity, value, unit and how as text for a reader."""
        return (
            (_BINDS(quantity=self.quantity) if self.binds else self.quantity).tell(reader),
            self._value(reader),
            reader.unit(self.unit) if self.unit else "",
            self.how.tell(reader),
        )

    def plain(self) -> dict[str, object]:
        """Return it as JSON has it: in English and metric units, a lone number as a number."""
        value = self.value if isinstance(self.value, int | float) else self._value(ENGLISH)
        return {
            "quantity": str(self.quantity),
            "value": value,
            "unit": self.unit,
            "how": str(self.how),
            **({"binds": True} if self.binds else {}),
        }

    def _value(self, reader: Reader) -> str:
        if isinstance(self.value, Message):
            return self.value.tell(reader)
        if isinstance(self.value, tuple):
            low, high = (self._number(limit, reader) for limit in self.value)
            return _FROM_TO(low=low, high=high).tell(reader)
        return self._number(self.value, reader)

    def _number(self, value: float, reader: Reader) -> str:
        decimals = len(str(value).partition(".")[2])  # it is rounded already
        return reader.number(value, self.unit, decimals)


def noted(sentences: Iterable[Message]) -> list[Figure]:
    """Return the lines of sentences that warn of nothing."""
    return [Figure(NOTE, sentence) for sentence in sentences]


def warned(sentences: Iterable[Message]) -> list[Figure]:
    """Return the lines of warnings."""
    return [Figure(WARNING, sentence) for sentence in sentences]
