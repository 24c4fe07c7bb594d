"""How well a set of inspections finds and tells apart a set of causes.

The measures are those of IEEE 1522 and of MIL-STD-2165 before it. Formulas from memory; neither
text was read. With rates as weights, over the causes that have a fault in them:

- fraction detected: rate of the causes that some inspection tells from the sound machine, of all;
- ambiguity group: detected causes that no inspection tells apart;
- fraction isolated to n: rate of the detected causes in groups of at most n, of the detected.

Never here: the order in which to look.
"""

from collections.abc import Iterable, Sequence
from math import fsum, log2

from sim.bugs import TableError
from sim.diagnosis.dependency import Cause, Matrix


def detected(matrix: Matrix) -> tuple[Cause, ...]:
    """Return the causes that at least one inspection tells from the sound machine.

    Raises:
        TableError: The matrix has no row for the sound machine.
    """
    sound = matrix.sound
    if sound is None:
        raise TableError("the matrix has no row for the sound machine", "matrix")
    return tuple(c for c in matrix.causes if c.outcomes != sound.outcomes)


def ambiguity_groups(matrix: Matrix) -> tuple[tuple[str, ...], ...]:
    """Return the names of the detected causes, those together that no inspection tells apart.

    Raises:
        TableError: The matrix has no row for the sound machine.
    """
    return tuple(tuple(cause.name for cause in group) for group in _groups(matrix))


def fraction_detected(matrix: Matrix, *, by_count: bool = False) -> float:
    """Return the fraction of faults detected, 0 to 1, by weight or by plain count.

    Raises:
        TableError: There is no row for the sound machine, or no cause to detect.
    """
    faulty = [cause for cause in matrix.causes if cause.faults]
    return _share(_rates(detected(matrix), by_count), _rates(faulty, by_count))


def fraction_isolated(matrix: Matrix, largest: int = 1, *, by_count: bool = False) -> float:
    """Return the fraction of the detected faults that lie in groups of at most `largest`, 0 to 1.

    Raises:
        TableError: There is no row for the sound machine, or no cause is detected.
    """
    small = [cause for group in _groups(matrix) if len(group) <= largest for cause in group]
    return _share(_rates(small, by_count), _rates(detected(matrix), by_count))


def entropy_bits(weights: Iterable[float]) -> float:
    """Return the entropy of a set of weights, bits; they need not add up to 1.

    Source: Shannon 1948, from memory.

    Raises:
        TableError: Nothing weighs anything.
    """
    heavy = [weight for weight in weights if weight > 0.0]
    total = fsum(heavy)
    if not heavy:
        raise TableError("nothing weighs anything", "entropy")
    return max(log2(total) - fsum(weight * log2(weight) for weight in heavy) / total, 0.0)


def information_gain_bits(outcomes: Sequence[str], weights: Sequence[float]) -> float:
    """Return how much entropy an inspection is expected to take away, bits.

    Since an outcome is fixed by its cause, this is the entropy of the outcome itself.

    Args:
        outcomes: What the inspection shows under each cause.
        weights: Of the causes, in the same order.

    Raises:
        TableError: Nothing weighs anything.
    """
    by_outcome: dict[str, float] = {}
    for outcome, weight in zip(outcomes, weights, strict=True):
        by_outcome[outcome] = by_outcome.get(outcome, 0.0) + weight
    return entropy_bits(by_outcome.values())


def _groups(matrix: Matrix) -> tuple[tuple[Cause, ...], ...]:
    groups: dict[tuple[str, ...], list[Cause]] = {}
    for cause in detected(matrix):
        groups.setdefault(cause.outcomes, []).append(cause)
    return tuple(tuple(group) for group in groups.values())


def _rates(causes: Iterable[Cause], by_count: bool) -> list[float]:
    return [1.0 if by_count else cause.weight for cause in causes]


def _share(part: Sequence[float], whole: Sequence[float]) -> float:
    if not fsum(whole) > 0.0:
        raise TableError("there is nothing to take a share of", "matrix")
    return fsum(part) / fsum(whole)
