"""A finding as a person judges it: the words, and each number against what it should be.

Two faults may show 3.1 and 3.2 bar where 6.0 is right. Nobody tells a fault by the second figure;
they see that the reading is low. So a number becomes a mark: none, lower, higher or as it should
be. Where the words differ from those of the sound machine there is nothing to hold the numbers
against, and they are left out.

Never here: the machine.
"""

import re
from itertools import zip_longest
from typing import Final

# Not the 11 of B11 nor the 2 of Q2: a number begins no later than its word.
_NUMBER: Final = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?!\w)")


def judged(text: str, sound: str) -> str:
    """Return a finding with its numbers judged against the same finding on the sound machine."""
    if text == sound:
        return text
    numbers = [float(number) for number in _NUMBER.findall(text)]
    right = [float(number) for number in _NUMBER.findall(sound)]
    same_words = _NUMBER.sub("#", text) == _NUMBER.sub("#", sound)
    marks = iter(
        [_mark(number, due) for number, due in zip_longest(numbers, right)]
        if same_words
        else ["#"] * len(numbers)
    )
    return _NUMBER.sub(lambda _: next(marks), text)


def _mark(number: float, right: float) -> str:
    if number == right:
        return "[as it should be]"
    if number == 0.0:
        return "[none]"
    return "[lower]" if number < right else "[higher]"
