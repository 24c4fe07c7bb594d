"""Sounds made in code: hums, hisses and clacks as samples, nothing recorded.

A loop is a whole number of its periods long, so that its end runs into its beginning; noise is made
to do the same by fading its tail over its head.
"""

from array import array
from collections.abc import Callable, Sequence
from functools import partial
from math import exp, pi, sin
from typing import Final, TypeAlias

Samples: TypeAlias = "array[int]"

RATE_HZ: Final = 22_050
_FULL: Final = 20_000  # of 32767, so that several together do not clip
_LOOP_S: Final = 1.0
_SEAM_S: Final = 0.1


def _noise(count: int, seed: int) -> list[float]:
    """Return white noise from -1 to 1, always the same for a seed."""
    state = seed
    samples: list[float] = []
    for _ in range(count):
        state = (state * 1_103_515_245 + 12_345) & 0x7FFFFFFF
        samples.append(state / 0x3FFFFFFF - 1.0)
    return samples


def _smoothed(samples: Sequence[float], share: float) -> list[float]:
    """Return the samples through a first-order low pass."""
    level, passed = 0.0, []
    for sample in samples:
        level += (sample - level) * share
        passed.append(level)
    return passed


def _seamless(samples: list[float]) -> list[float]:
    """Return noise whose tail was faded over its head."""
    seam = round(_SEAM_S * RATE_HZ)
    body = samples[:-seam]
    for index in range(seam):
        share = index / seam
        body[index] = body[index] * share + samples[len(body) + index] * (1.0 - share)
    return body


def _scaled(samples: Sequence[float], loudness: float) -> Samples:
    peak = max(max(abs(sample) for sample in samples), 1e-9)
    return array("h", (round(sample / peak * loudness * _FULL) for sample in samples))


def _hum(pitches_hz: Sequence[tuple[float, float]]) -> list[float]:
    """Return a sum of tones; whole pitches in hertz fit a loop of one second."""
    count = round(_LOOP_S * RATE_HZ)
    return [
        sum(level * sin(2 * pi * pitch * index / RATE_HZ) for pitch, level in pitches_hz)
        for index in range(count)
    ]


def band() -> Samples:
    """Return the band running free: motor hum and the whir of the wheels."""
    return _scaled(_hum(((50, 0.5), (100, 1.0), (149, 0.35), (298, 0.12))), 0.35)


def cut(dull: float = 0.35, pitch_hz: float = 180, swing: float = 0.3) -> Samples:
    """Return the teeth in metal: rough noise that comes and goes with the teeth.

    Args:
        dull: How much the noise is smoothed, 0 to 1.
        pitch_hz: How often a tooth comes.
        swing: How much the noise comes and goes, 0 to 1.
    """
    count = round((_LOOP_S + _SEAM_S) * RATE_HZ)
    rough = _smoothed(_noise(count, 7), dull)
    teeth = [
        1.0 - swing + swing * sin(2 * pi * pitch_hz * index / RATE_HZ) for index in range(count)
    ]
    return _scaled(_seamless([a * b for a, b in zip(rough, teeth, strict=True)]), 0.6)


def pump() -> Samples:
    """Return the oil pump: a whine with a beat."""
    return _scaled(_hum(((75, 0.6), (225, 0.4), (450, 0.25), (452, 0.25))), 0.25)


def hum() -> Samples:
    """Return a motor on two phases that stands: twice the mains, and what the sheets rattle with."""
    return _scaled(_hum(((100, 1.0), (200, 0.4), (300, 0.2))), 0.4)


def coolant() -> Samples:
    """Return coolant: a soft hiss."""
    count = round((_LOOP_S + _SEAM_S) * RATE_HZ)
    return _scaled(_seamless(_smoothed(_noise(count, 23), 0.6)), 0.16)


def _knock(pitch_hz: float, fade_s: float, seed: int) -> list[float]:
    count = round(fade_s * 5 * RATE_HZ)
    hiss = _noise(count, seed)
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


LOOPS: Final[dict[str, Callable[[], Samples]]] = {
    "cut-hiss": partial(cut, 0.05, 180, 0.1), "cut-growl": partial(cut, 0.7, 70, 0.45),
    "cut-rattle": partial(cut, 0.35, 12, 0.5),
    "band": band, "cut": cut, "pump": pump, "coolant": coolant, "Q1": hum, "Q2": hum, "Q3": hum,
}  # fmt: skip
KNOCKS: Final[dict[str, Callable[[], Samples]]] = {
    "valve": valve, "contactor": contactor, "thud": thud,
}  # fmt: skip
