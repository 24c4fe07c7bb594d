"""How likely each cause is after each finding, and what a finding or a diagnosis was worth.

Bayes' rule over the rows of a dependency matrix. A cause fixes what every inspection shows; with a
slip probability the person sees, with that probability, one of the other things the inspection can
show, each alike, and anew at every look. What a tool reads is likelier under some causes than under
others, and is weighed by that (`Observed.chances`).

Never here: which inspection to make next (`par`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import fsum
from typing import Final

from sim.bugs import TableError
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.enough import told_apart
from sim.diagnosis.testability import entropy_bits, information_gain_bits

Belief = tuple[float, ...]  # one for each cause of the matrix, together 1
_TOLD: Final = 0.01  # of the belief, which a reading must move to have told something
CERTAIN: Final = 1.0 - 1e-9  # what adds up to this is held for certain: rounding of sums


@dataclass(frozen=True, slots=True)
class Observed:
    """What an inspection showed."""

    inspection: str
    outcome: str
    # How likely each cause, by its name, was to show it, where that is not a matter of yes or no.
    chances: Mapping[str, float] | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class BeliefStep:
    """What one finding did to the belief."""

    finding: Observed
    belief: Belief  # after it
    entropy_bits: float  # left after it
    expected_bits: float  # that the look promised to take away
    redundant: bool  # the outcome was already implied by what had been found
    explained: bool  # some cause that was still possible shows this; else the belief stays


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What naming a fault was worth at the time."""

    fault: str
    before: float  # belief that the fault was there, before anything was seen, 0 to 1
    credit: float  # belief in it at the time
    told_apart: bool  # from every cause that a look could have told from it
    rivals: tuple[str, ...]  # causes without it that were still possible, the likeliest first


def prior(matrix: Matrix) -> Belief:
    """Return the belief before anybody has looked."""
    return _normal([cause.weight for cause in matrix.causes])


def after(matrix: Matrix, belief: Belief, finding: Observed, slip: float = 0.0) -> Belief:
    """Return the belief after a finding; the same belief when no cause could show it.

    Args:
        matrix: What each inspection shows under each cause.
        belief: Before the finding.
        finding: An inspection of the matrix and what it showed.
        slip: Probability of seeing something else than there is, 0 or more, less than 1.

    Raises:
        TableError: There is no such inspection, or the slip is no probability.
    """
    joint = [b * p for b, p in zip(belief, _likelihoods(matrix, finding, slip), strict=True)]
    return _normal(joint) if fsum(joint) > 0.0 else belief


def trail(
    matrix: Matrix,
    findings: Sequence[Observed],
    slip: float = 0.0,
    begun: Sequence[BeliefStep] = (),
) -> tuple[BeliefStep, ...]:
    """Return what each finding did to the belief, in order, from the prior on.

    Args:
        matrix: What each inspection shows under each cause.
        findings: In order.
        slip: As for `after`.
        begun: What was returned for the first of these findings; they are not weighed again.

    Raises:
        TableError: There is no such inspection, or the slip is no probability.
    """
    belief = begun[-1].belief if begun else prior(matrix)
    steps = list(begun)
    for finding in findings[len(begun) :]:
        shown = _shown(matrix, finding.inspection)
        likely = fsum(
            b * p for b, p in zip(belief, _likelihoods(matrix, finding, slip), strict=True)
        )
        redundant = is_redundant(matrix, belief, finding.inspection)
        expected_bits = information_gain_bits(shown, belief)
        before, belief = belief, after(matrix, belief, finding, slip)
        # A reading may be judged alike whatever is wrong, and still be likelier under one cause than another.
        redundant = redundant and _moved(before, belief) < _TOLD
        steps.append(
            BeliefStep(
                finding, belief, entropy_bits(belief), expected_bits, redundant, likely > 0.0
            )
        )
    return tuple(steps)


def _moved(before: Belief, now: Belief) -> float:
    """Return what share of the belief went from some causes to others, 0 to 1."""
    return fsum(abs(b - n) for b, n in zip(before, now, strict=True)) / 2.0


def is_redundant(matrix: Matrix, belief: Belief, inspection: str) -> bool:
    """Return whether everything that is still believed would show the same at an inspection.

    Raises:
        TableError: There is no such inspection.
    """
    shares: dict[str, float] = {}
    for share, outcome in zip(belief, _shown(matrix, inspection), strict=True):
        shares[outcome] = shares.get(outcome, 0.0) + share
    return max(shares.values()) >= CERTAIN


def still_possible(matrix: Matrix, belief: Belief) -> tuple[str, ...]:
    """Return the names of the causes that the findings leave open."""
    least = 1.0 - CERTAIN
    return tuple(c.name for c, b in zip(matrix.causes, belief, strict=True) if b > least)


def belief_in(matrix: Matrix, belief: Belief, fault: str) -> float:
    """Return the belief that a fault is there, alone or with others, 0 to 1."""
    rows = zip(matrix.causes, belief, strict=True)
    return fsum(share for cause, share in rows if fault in cause.faults)


def diagnosed(matrix: Matrix, belief: Belief, fault: str) -> Diagnosis:
    """Return what naming a fault is worth, given the belief at the time.

    Some causes no inspection of the matrix can tell from one with the fault. They count with it,
    because nobody could have ruled them out.
    """
    alike = {cause.outcomes for cause in matrix.causes if fault in cause.faults}
    counts = [cause.outcomes in alike for cause in matrix.causes]
    start = prior(matrix)
    before, now = (
        fsum(share for share, with_it in zip(shares, counts, strict=True) if with_it)
        for shares in (start, belief)
    )
    least = 1.0 - CERTAIN
    rivals = sorted(
        (-share, cause.name)
        for cause, share, with_it in zip(matrix.causes, belief, counts, strict=True)
        if not with_it and share > least
    )
    told = told_apart(before, 1.0 if not rivals else now)
    return Diagnosis(
        fault, belief_in(matrix, start, fault), belief_in(matrix, belief, fault), told,
        tuple(name for _, name in rivals),
    )  # fmt: skip


def _shown(matrix: Matrix, inspection: str) -> tuple[str, ...]:
    place = matrix.column(inspection)
    return tuple(cause.outcomes[place] for cause in matrix.causes)


def _likelihoods(matrix: Matrix, finding: Observed, slip: float) -> list[float]:
    if not 0.0 <= slip < 1.0:
        raise TableError(f"{slip} is no probability of a slip", "posterior")
    shown = _shown(matrix, finding.inspection)
    if finding.chances is not None:
        return [finding.chances[cause.name] for cause in matrix.causes]
    others = len({*shown, finding.outcome}) - 1
    wrong = slip / others if others else 0.0
    return [1.0 - slip if outcome == finding.outcome else wrong for outcome in shown]


def _normal(weights: Sequence[float]) -> Belief:
    total = fsum(weights)
    return tuple(weight / total for weight in weights)
