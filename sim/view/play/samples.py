"""Short sounds made in code, clacks and thuds as samples, nothing recorded, and the noise of all sounds.

What goes on is made as it is heard (see `synth`).
"""

from array import array
from collections.abc import Callable, Sequence
from math import exp, pi, sin
from typing import Final, TypeAlias

Samples: TypeAlias = "array[int]"

RATE_HZ: Final = 22_050
FULL: Final = 20_000  # of 32767, so that several together do not clip


def noise(count: int, seed: int) -> list[float]:
    """Return white noise from -1 to 1, always the same for a seed."""
    state = seed
    samples: list[float] = []
    for _ in range(count):
        state = (state * 1_103_515_245 + 12_345) & 0x7FFFFFFF
        samples.append(state / 0x3FFFFFFF - 1.0)
    return samples


def smoothed(samples: Sequence[float], share: float) -> list[float]:
    """Return the samples through a first-order low pass."""
    level, passed = 0.0, []
    for sample in samples:
        level += (sample - level) * share
        passed.append(level)
    return passed


def _scaled(samples: Sequence[float], loudness: float) -> Samples:
    peak = max(max(abs(sample) for sample in samples), 1e-9)
    return array("h", (round(sample / peak * loudness * FULL) for sample in samples))


def _knock(pitch_hz: float, fade_s: float, seed: int) -> list[float]:
    count = round(fade_s * 5 * RATE_HZ)
    hiss = noise(count, seed)
    return [
        (0.6 * sin(2 * pi * pitch_hz * i / RATE_HZ) + 0.4 * hiss[i]) * exp(-i / RATE_HZ / fade_s)
        for i in range(count)
    ]


def valve() -> Samples:
    """Return a valve: a short clack."""
    return _scaled(_knock(900, 0.012, 3), 0.4)


def contactor() -> Samples:
    """Return a contactor: a deeper clunk."""
    return _scaled(_knock(220, 0.03, 5), 0.55)


def thud() -> Samples:
    """Return something heavy that went wrong: a dull blow."""
    return _scaled(_knock(70, 0.12, 11), 0.9)


KNOCKS: Final[dict[str, Callable[[], Samples]]] = {
    "valve": valve, "contactor": contactor, "thud": thud,
}  # fmt: skip
