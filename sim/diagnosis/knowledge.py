"""How sure one can be that somebody knows how to do a thing, from how often it went right.

Two answers, on purpose. The Wilson interval says between which limits the share of successes may
lie, so that nine of ten is not taken for proof. Knowledge tracing follows the learner attempt by
attempt: right answers may be guesses and wrong ones slips, and every attempt may teach.

Never here: when to practise next.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt
from typing import Final

Z_95: Final = 1.959963984540054  # 97.5 % point of the normal distribution: 95 % between the limits


def wilson(successes: int, attempts: int, z: float = Z_95) -> tuple[float, float]:
    """Return the limits of the share of successes, each 0 to 1; everything when nothing was tried.

    Source: Wilson 1927, the score interval; Brown, Cai and DasGupta 2001 (Statistical Science 16, 101-133)
    recommend it for few attempts, where the usual share plus and minus is far too narrow. Both from memory.
    """
    if attempts == 0:
        return 0.0, 1.0
    share = successes / attempts
    spread = z * z / attempts
    middle = share + spread / 2
    half = z * sqrt(share * (1.0 - share) / attempts + spread / (4 * attempts))
    low, high = (middle - half) / (1.0 + spread), (middle + half) / (1.0 + spread)
    return max(low, 0.0), min(high, 1.0)


@dataclass(frozen=True, slots=True)
class Tracing:
    """The four numbers of knowledge tracing, each a probability.

    Their values here are assumed; nobody has fitted them to trainees of this saw.
    """

    known: float = 0.2  # before the first attempt
    learn: float = 0.15  # that an attempt teaches what was not known
    guess: float = 0.2  # that it goes right though it is not known
    slip: float = 0.1  # that it goes wrong though it is known


TRACING: Final = Tracing()


def after_attempt(known: float, success: bool, tracing: Tracing = TRACING) -> float:
    """Return the probability that a skill is known after one more attempt.

    Source: Corbett and Anderson 1995, from memory.
    """
    if success:
        by_skill, by_luck = known * (1.0 - tracing.slip), (1.0 - known) * tracing.guess
    else:
        by_skill, by_luck = known * tracing.slip, (1.0 - known) * (1.0 - tracing.guess)
    seen = by_skill / (by_skill + by_luck)
    return seen + (1.0 - seen) * tracing.learn


def traced(successes: Iterable[bool], tracing: Tracing = TRACING) -> float:
    """Return the probability that a skill is known after attempts, in order, 0 to 1."""
    known = tracing.known
    for success in successes:
        known = after_attempt(known, success, tracing)
    return known
