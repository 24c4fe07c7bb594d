"""The kinds of array that the search works with.

A row is one state of those that are looked at together. What has a column for each part of the
packing is a list, of digits or of codes.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Numbers: TypeAlias = NDArray[np.int64]  # of states, digits of a part, keys of a table
Codes: TypeAlias = NDArray[np.int32]  # of one part
Indices: TypeAlias = NDArray[np.uint8]  # of a variable's values, in the order of its domain
Rows: TypeAlias = NDArray[np.intp]  # positions of rows
Flags: TypeAlias = NDArray[np.bool_]  # one for each row, or for each code or digit of a part
Digits: TypeAlias = list[Numbers]  # a column for each part
Block: TypeAlias = list[Codes]  # a column for each part
Masks: TypeAlias = dict[int, Flags]  # by part


def no_numbers() -> Numbers:
    """Return an empty array of numbers."""
    return np.zeros(0, dtype=np.int64)


def sorted_once(numbers: Numbers) -> Numbers:
    """Return numbers in order, each once; `numbers` is sorted in place, quicker than by hashing."""
    if not numbers.size:
        return numbers
    numbers.sort()
    first = np.ones(numbers.size, dtype=bool)
    np.not_equal(numbers[1:], numbers[:-1], out=first[1:])
    return numbers.compress(first)
