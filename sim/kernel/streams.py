"""Seeded streams of chance, one a purpose, so that adding one leaves the others as they were."""

from random import Random
from statistics import NormalDist

__all__ = ["Random", "normal", "stream"]

_LEAST = 2.0**-53  # of `random`, but for nought


def stream(seed: int, purpose: str) -> Random:
    """Return the generator for one purpose under one seed; equal inputs give equal streams."""
    return Random(f"{seed}/{purpose}")


def normal(seed: int, purpose: str, sigma: float) -> float:
    """Return one normal error about nought, the same for equal inputs; none under the seed 0.

    By the inverse of the distribution, so that one number is drawn and it is the same everywhere.

    Args:
        seed: Of the session; 0 for one in which nothing is left to chance.
        purpose: What it is the error of.
        sigma: Standard deviation, in the unit that comes back.
    """
    if not seed or sigma <= 0.0:
        return 0.0
    return sigma * NormalDist().inv_cdf(max(stream(seed, purpose).random(), _LEAST))
