"""Packs a state of the model into one whole number, part by part.

Theory. Variables that move together form a part, for example a vise's state and its two switches.
Every combination of their values has a *code*. Few combinations are ever seen; those are counted in
the order in which they are found, and the count is the *digit*. A state's number has its parts'
digits one after the other, each in a base of its own (mixed radix). So every number is small enough
for one bit in a map of the states that have been seen.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Final

import numpy as np

from sim.logic.proof.memory import CAN_FAIL, DOMAINS, State, Value
from sim.logic.proof.search.arrays import Block, Codes, Digits, Flags, Indices, Masks, Numbers
from sim.signals import MODE_SWITCH

JOB_PART: Final = 0
_NO_NUMBER: Final = -(1 << 60)  # stays below zero whatever is added for other parts

# fmt: off
PARTS: Final[tuple[tuple[str, ...], ...]] = (
    ("supply", "K0", "mode", "S7", "B3", "job", "cycle", "job.squaring", "job.fed", "job.owes",
     "watch.run_on"),
    ("Q0", "S1", "S9", *MODE_SWITCH, *CAN_FAIL, "latch.deviation", "latch.trip_line",
     "watch.deviation"),
    ("band", "B1", "B2", "watch.jog", "coolant", "coolant_choice", "first"),
    ("head", "B11", "B12"),
    ("shuttle", "B21", "B22"),
    ("cutting_vise", "B31", "B33"),
    ("shuttle_vise", "B32", "B34"),
)
# fmt: on


@dataclass
class PackedPart:
    """Some variables, and the combinations of them that have been seen."""

    names: tuple[str, ...]
    codes: list[int] = field(default_factory=list)  # by digit
    numbered: tuple[int, Numbers] | None = None  # of so many codes the digits, by code

    @cached_property
    def strides(self) -> dict[str, int]:
        """What one step of a variable's value adds to the code."""
        strides, stride = {}, 1
        for name in reversed(self.names):
            strides[name] = stride
            stride *= len(DOMAINS[name])
        return strides

    @cached_property
    def size(self) -> int:
        """How many codes there are."""
        first = self.names[0]
        return self.strides[first] * len(DOMAINS[first])

    def code(self, state: State) -> int:
        """Return the code of a state's part."""
        return sum(
            DOMAINS[name].index(state[name]) * stride for name, stride in self.strides.items()
        )

    def values(self, code: int) -> State:
        """Return the variables' values for a code."""
        return {
            name: DOMAINS[name][code // stride % len(DOMAINS[name])]
            for name, stride in self.strides.items()
        }

    def column(self, name: str) -> Indices:
        """Return, by code, the index of a variable's value."""
        return _column(self.names, name)

    def digits(self) -> Numbers:
        """Return, by code, the digit; -1 where there is none."""
        if self.numbered is None or self.numbered[0] != len(self.codes):
            digits = np.full(self.size, -1, dtype=np.int64)
            digits[np.array(self.codes)] = np.arange(len(self.codes))
            self.numbered = len(self.codes), digits
        return self.numbered[1]


@cache
def _column(names: tuple[str, ...], name: str) -> Indices:
    # Made once for all packings: there may be many, and a column is large.
    part = PackedPart(names)
    codes = np.arange(part.size)
    return (codes // part.strides[name] % len(DOMAINS[name])).astype(np.uint8)


class Packing:
    """The parts, and which part a variable is in."""

    def __init__(self, codes: Sequence[Sequence[int]] = ((),) * len(PARTS)) -> None:
        self.parts = tuple(
            PackedPart(names, list(known)) for names, known in zip(PARTS, codes, strict=True)
        )
        self.part_of = {name: i for i, part in enumerate(self.parts) for name in part.names}
        self.columns = {name: self.parts[i].column(name) for name, i in self.part_of.items()}

    def copy(self) -> "Packing":
        """Return a packing of its own that knows the same codes."""
        other = Packing([part.codes for part in self.parts])
        for part, mine in zip(other.parts, self.parts, strict=True):
            part.numbered = mine.numbered
        return other

    def learn(self, part: int, codes: list[int]) -> None:
        """Give digits to codes that had none."""
        known = set(self.parts[part].codes)
        self.parts[part].codes.extend(c for c in codes if c not in known)

    def frame(self) -> "Frame":
        """Return the numbering by the codes known now."""
        return Frame(self)


class Frame:
    """The numbering of states for one set of known codes."""

    def __init__(self, packing: Packing) -> None:
        self.packing = packing
        self.counts = tuple(len(part.codes) for part in packing.parts)
        strides, total = [], 1
        for count in reversed(self.counts):
            strides.append(total)
            total *= count
        self.strides = tuple(reversed(strides))
        self.total = total
        self.codes: tuple[Codes, ...] = tuple(
            np.array(part.codes, dtype=np.int32) for part in packing.parts
        )
        self.digits: tuple[Numbers, ...] = tuple(part.digits() for part in packing.parts)
        # By part and code, what it adds to the number.
        self._adds = tuple(
            np.where(digits < 0, _NO_NUMBER, digits * stride)
            for digits, stride in zip(self.digits, self.strides, strict=True)
        )

    def split(self, numbers: Numbers) -> Digits:
        """Return the digits of numbers, a column for each part."""
        digits: Digits = []
        rest = numbers
        for stride in self.strides[:-1]:
            digit = rest // stride
            rest = rest - digit * stride
            digits.append(digit)
        digits.append(rest)
        return digits

    def renumbered(self, numbers: Numbers, frame: "Frame") -> Numbers:
        """Return numbers as another frame has them, which knows more codes; the order stays."""
        after = np.zeros_like(numbers)
        for digit, stride in zip(self.split(numbers), frame.strides, strict=True):
            after += digit * stride
        return after

    def block(self, digits: Digits) -> Block:
        """Return the codes of digits, a column for each part."""
        return [codes.take(column) for codes, column in zip(self.codes, digits, strict=True)]

    def numbers(self, block: Block) -> tuple[Numbers, dict[int, list[int]]]:
        """Return the numbers of a block of codes, and by part the codes that have no digit.

        A row that has such a code has a number below zero.
        """
        numbers = np.zeros(len(block[0]), dtype=np.int64)
        for column, adds in zip(block, self._adds, strict=True):
            numbers += adds.take(column)
        unknown: dict[int, list[int]] = {}
        if numbers.size and numbers.min() < 0:
            for part, (column, digits) in enumerate(zip(block, self.digits, strict=True)):
                missing = digits[column] < 0
                if missing.any():
                    unknown[part] = np.unique(column[missing]).tolist()
        return numbers, unknown

    def values(self, name: str) -> tuple[int, Indices]:
        """Return a variable's part, and the index of its value by digit of that part."""
        part = self.packing.part_of[name]
        return part, self.packing.columns[name][self.codes[part]]

    def holding(self, masks: Masks, digits: Digits) -> Flags:
        """Return on which rows of digits every mask holds; masks are by the codes of their part."""
        every = np.ones(digits[0].size, dtype=bool)
        for part, holds in masks.items():
            every &= holds[self.codes[part]][digits[part]]
        return every

    def number(self, state: State) -> int:
        """Return the state's number.

        Raises:
            KeyError: One of its parts has never been seen.
        """
        total = 0
        for part, stride, digits in zip(self.packing.parts, self.strides, self.digits, strict=True):
            digit = int(digits[part.code(state)])
            if digit < 0:
                raise KeyError(part.names[0])
            total += digit * stride
        return total

    def state(self, number: int) -> State:
        """Return the state that has the number."""
        state: dict[str, Value] = {}
        for part, stride, count in zip(self.packing.parts, self.strides, self.counts, strict=True):
            state.update(part.values(part.codes[number // stride % count]))
        return state
