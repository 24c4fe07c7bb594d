"""The sound of the saw, made as it is heard: a piece at a time, from what the plant does.

Each voice keeps its phase from piece to piece, so a pitch that changes makes no click and nothing
comes round again: noise is read from two tables whose lengths have no common divisor, which is a
day and more before it repeats. Loudness goes from one piece to the next in a ramp.
Never here: what is heard (see `hearing`), and where it is played (see `speaker`).
"""

from array import array
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import pi, sin
from typing import Final

from sim.view.play.samples import FULL, RATE_HZ, Samples, noise, smoothed

PIECE: Final = 1536  # samples, a multiple of the mixer's buffer, so that pieces join without a gap
_TABLE: Final = 4096
_MASK: Final = _TABLE - 1
_FINE: Final = 16  # bits of a phase behind its point
_LONG, _OTHER = 65_521, 40_009  # lengths of the tables of noise, both prime


@dataclass(frozen=True, slots=True)
class Note:
    """One thing that is heard while it goes on.

    Args:
        level: Loudness, 0 to 1.
        pitch_hz: Of its tone.
        rough: How much of it is noise that comes and goes with the tone, 0 to 1.
    """

    level: float
    pitch_hz: float
    rough: float = 0.0


@cache
def _tone(partials: tuple[tuple[int, float], ...]) -> list[float]:
    """Return one period of a sum of harmonics, each with its share; its peak is 1."""
    wave = [
        sum(share * sin(2 * pi * number * index / _TABLE) for number, share in partials)
        for index in range(_TABLE)
    ]
    peak = max(map(abs, wave))
    return [sample / peak for sample in wave]


@cache
def _hiss(count: int, seed: int, share: float) -> list[float]:
    made = smoothed(noise(count, seed), share)
    peak = max(map(abs, made))
    return [sample / peak for sample in made]


# Harmonics of each voice; by ear, not measured.
_PARTIALS: Final[Mapping[str, tuple[tuple[int, float], ...]]] = {
    "band": ((1, 1.0), (2, 0.6), (3, 0.35), (7, 0.12), (11, 0.06)),
    "cut": ((1, 1.0), (2, 0.7), (3, 0.5), (4, 0.3), (5, 0.2), (6, 0.15)),
    "cut-hiss": ((1, 0.4), (2, 0.2)),
    "cut-growl": ((1, 1.0), (2, 0.9), (3, 0.4)),
    "cut-rattle": ((1, 1.0), (2, 0.3), (5, 0.6), (7, 0.5)),
    "pump": ((1, 0.5), (7, 0.6), (9, 0.25), (14, 0.3)),
    "coolant": ((1, 1.0),),
    "hum": ((1, 1.0), (2, 0.4), (3, 0.2)),
    "whip": ((1, 1.0), (3, 0.5), (8, 0.4)),
    "clang": ((1, 1.0), (3, 0.8), (5, 0.6), (9, 0.4)),
    "creak": ((1, 1.0), (2, 0.8), (3, 0.7), (4, 0.5)),
    "clatter": ((1, 1.0), (5, 0.7), (11, 0.5)),
    "rush": ((1, 1.0), (2, 0.3)),
    "screech": ((1, 1.0), (2, 0.6), (3, 0.3)),
    "crackle": ((1, 1.0), (2, 0.8), (9, 0.6)),
    "fades": ((1, 1.0), (2, 0.3)),
}
_SHARES: Final = {
    "band": 0.35,
    "cut": 0.6,
    "cut-hiss": 0.5,
    "cut-growl": 0.65,
    "cut-rattle": 0.65,
    "pump": 0.25,
    "coolant": 0.2,
    "hum": 0.4,
    "whip": 0.6,
    "clang": 0.6,
    "creak": 0.55,
    "clatter": 0.5,
    "rush": 0.6,
    "screech": 0.3,
    "crackle": 0.5,
    "fades": 0.4,
}  # of full scale
_SMOOTH: Final = {"coolant": 0.6, "cut-hiss": 0.6}  # of the noise; of the others a duller one
_DULL: Final = 0.35


def timbre(name: str) -> str:
    """Return what a voice sounds like: a motor that stands has the hum of all of them."""
    return name if name in _PARTIALS else "hum"


class Voice:
    """One voice, which goes on where its last piece ended."""

    def __init__(self, name: str) -> None:
        kind = timbre(name)
        self._wave = _tone(_PARTIALS[kind])
        smooth = _SMOOTH.get(kind, _DULL)
        self._noise, self._other = _hiss(_LONG, 7, smooth), _hiss(_OTHER, 23, smooth)
        self._share = _SHARES[kind] * FULL
        self._phase = 0
        self._at = sum(map(ord, name)) * PIECE % _LONG  # no two voices hiss alike
        self._at_other = 0
        self._level = 0.0

    @property
    def silent(self) -> bool:
        """Whether nothing of it is left to fade."""
        return self._level <= 0.0

    def piece(self, note: Note | None) -> list[float]:
        """Return the next piece of it; None lets it fade out over this piece."""
        level = 0.0 if note is None else min(max(note.level, 0.0), 1.0)
        pitch = 0.0 if note is None else note.pitch_hz
        rough = 0.0 if note is None else note.rough
        step = round(pitch * _TABLE / RATE_HZ * (1 << _FINE))
        wave = self._wave
        phases = (
            range(self._phase, self._phase + PIECE * step, step) if step else [self._phase] * PIECE
        )
        self._phase = (self._phase + PIECE * step) & ((_TABLE << _FINE) - 1)
        tone = [wave[(phase >> _FINE) & _MASK] for phase in phases]
        if rough > 0.0:
            hiss = [a + b for a, b in zip(self._read(), self._read_other(), strict=True)]
            pure, half = 1.0 - rough, 0.5 * rough
            tone = [
                pure * each + half * hissed * (0.7 + 0.3 * each)
                for each, hissed in zip(tone, hiss, strict=True)
            ]
        loud, rise = self._level * self._share, (level - self._level) * self._share / PIECE
        self._level = level
        if rise == 0.0:
            return [loud * each for each in tone]
        return [(loud + rise * index) * each for index, each in enumerate(tone)]

    def _read(self) -> list[float]:
        found, self._at = _around(self._noise, self._at)
        return found

    def _read_other(self) -> list[float]:
        found, self._at_other = _around(self._other, self._at_other)
        return found


def _around(table: list[float], at: int) -> tuple[list[float], int]:
    """Return a piece of a table that is read round and round, and where the next begins."""
    end = at + PIECE
    if end <= len(table):
        return table[at:end], end % len(table)
    return table[at:] + table[: end - len(table)], end - len(table)


class Synth:
    """All voices together."""

    def __init__(self) -> None:
        self._voices = {name: Voice(name) for name in _PARTIALS}  # the tables are made now

    @property
    def silent(self) -> bool:
        """Whether nothing is left to fade."""
        return all(voice.silent for voice in self._voices.values())

    def piece(self, notes: Mapping[str, Note]) -> Samples:
        """Return the next piece of everything that is heard."""
        for name in notes:
            if name not in self._voices:
                self._voices[name] = Voice(name)
        parts = [
            voice.piece(notes.get(name))
            for name, voice in self._voices.items()
            if name in notes or not voice.silent
        ]
        if not parts:
            return array("h", bytes(2 * PIECE))
        mixed = parts[0] if len(parts) == 1 else list(map(sum, zip(*parts, strict=True)))
        return array("h", [int(min(max(each, -32_000.0), 32_000.0)) for each in mixed])
