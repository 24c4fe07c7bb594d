"""Seeded streams of chance, one a purpose, so that adding one leaves the others as they were.

Imports nothing of `sim`.
"""

import random


def stream(seed: int, purpose: str) -> random.Random:
    """Return the generator for one purpose under one seed; equal inputs give equal streams."""
    return random.Random(f"{seed}/{purpose}")
