"""Seeded streams of chance, one a purpose, so that adding one leaves the others as they were."""

from random import Random

__all__ = ["Random", "stream"]


def stream(seed: int, purpose: str) -> Random:
    """Return the generator for one purpose under one seed; equal inputs give equal streams."""
    return Random(f"{seed}/{purpose}")
