"""How each consequence is shown in the two seconds after it: what moves in the picture, and what is heard; a table.

A kind is in one row, and a kind that has none fails the tests. Nobody is shown hurt: where hands were
struck, they stand still one picture before anything touches them.

Never here: how a way is painted (see `picture.round.reel`), and when it is shown (see `aftermath`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.session.hands.zones import AT_SCREW, Zone, kind_of_strike
from sim.view.play.synth import Note


class Showing(StrEnum):
    """How it is shown."""

    TOLD = "told"  # in words only: there is nothing of it that flies, falls or turns
    SNAPS = "snaps"  # the band parts, and its ends whip out of the guides
    FLIES_OFF = "flies off"  # the whole band comes off its wheels
    TURNS_OUT = "turns out"  # the bar turns out of its jaws, and the band parts
    SNATCHED = "snatched"  # the band catches the bar and throws it
    BENDS = "bends"  # the bar pushes the band out of its guides
    TEETH = "teeth"  # teeth fly along the band
    CRUSHES = "crushes"  # the jaw comes on and on
    DROPS = "drops"  # the head falls
    COMES_DOWN = "comes down"  # a bar falls that hung or was carried
    KNOCKED = "knocked"  # a part is hit: splinters, and a ring round the place
    SMOKES = "smokes"
    ARCS = "arcs"
    HAND = "hand"  # hands, and what comes at them


ZONE_OF: Final = {
    **{kind_of_strike(zone): zone for zone in Zone}, AT_SCREW: Zone.WHEELS,
    "swung-running": Zone.SWING, "under-hanging-bar": Zone.SHUTTLE_PATH,
}  # fmt: skip
"""Where hands are drawn, by what happened to them."""

_BY_WAY: Final[dict[Showing, tuple[str, ...]]] = {
    Showing.SNAPS: ("band-broken", "band-tired"),
    Showing.FLIES_OFF: ("band-thrown", "band-walked-off"),
    Showing.TURNS_OUT: ("clamping-lost",),
    Showing.SNATCHED: ("bar-snatched",),
    Showing.BENDS: ("bar-into-band",),
    Showing.TEETH: ("teeth-stripped", "started-buried", "bound-in-kerf", "teeth-pressed"),
    Showing.CRUSHES: ("tube-crushed",),
    Showing.DROPS: ("head-dropped",),
    Showing.COMES_DOWN: ("under-hanging-bar", "lifted-too-much"),
    Showing.KNOCKED: (
        "pulley-damaged", "band-stalled", "kerf-pinched", "guide-struck-bar", "arm-struck", "swung-into-bar",
        "back-rail-cut", "band-set-going-uncovered", "band-sprang", "coil-sprang", "band-tight-beside-guides",
    ),
    Showing.SMOKES: ("teeth-dulled",),
    Showing.ARCS: ("meter-blown",),
    Showing.HAND: (
        "struck-band", "struck-wheels", "struck-tracking-screw", "struck-cutting-jaws", "struck-shuttle-jaws",
        "struck-shuttle-path", "struck-under-head", "struck-swing", "struck-outfeed",
        "struck-cabinet", "swung-running",
    ),
    Showing.TOLD: (
        "overload-trip", "ran-on", "band-uncovered", "band-outlived", "teeth-rubbed", "not-run-in",
        "chips-packed", "brush-worn", "band-rubbed", "arm-drifted", "cut-out-of-square",
        "drawn-into-kerf", "corner-missing", "ends-differ", "piece-half-sawn", "bar-scored",
        "bar-slipped", "finger-room", "shuttle-stalled", "head-unsupported", "descent-jerky",
        "dived-through", "cut-dry", "coolant-poor", "spill", "band-untracked",
    ),
}  # fmt: skip
SHOWN: Final = {kind: way for way, kinds in _BY_WAY.items() for kind in kinds}
"""By kind of harm, how it is shown."""


def kinds_by(*ways: Showing) -> frozenset[str]:
    """Return the kinds of harm that are shown in one of some ways."""
    return frozenset(kind for kind, way in SHOWN.items() if way in ways)


@dataclass(frozen=True, slots=True)
class _Sound:
    """What is heard: a voice that falls or rises, and dies away.

    Attributes:
        voice: Its name, by which it has its caption.
        from_hz: Its pitch at the beginning.
        to_hz: Its pitch at the end.
        rough: How much of it is noise, 0 to 1.
        blows: How often it comes anew.
    """

    voice: str
    from_hz: float
    to_hz: float
    rough: float
    blows: int = 1


# By ear, not measured.
_SOUNDS: Final[dict[Showing, _Sound]] = {
    Showing.SNAPS: _Sound("whip", 520.0, 140.0, 0.7, 3),
    Showing.FLIES_OFF: _Sound("whip", 260.0, 90.0, 0.6, 4),
    Showing.TURNS_OUT: _Sound("clang", 190.0, 120.0, 0.25, 2),
    Showing.SNATCHED: _Sound("clang", 240.0, 110.0, 0.35, 3),
    Showing.BENDS: _Sound("creak", 80.0, 240.0, 0.45),
    Showing.TEETH: _Sound("clatter", 900.0, 500.0, 0.85, 7),
    Showing.CRUSHES: _Sound("creak", 60.0, 130.0, 0.5, 2),
    Showing.DROPS: _Sound("rush", 40.0, 70.0, 0.9),
    Showing.COMES_DOWN: _Sound("rush", 45.0, 80.0, 0.9),
    Showing.KNOCKED: _Sound("clang", 150.0, 90.0, 0.5, 2),
    Showing.SMOKES: _Sound("screech", 1400.0, 1900.0, 0.5),
    Showing.ARCS: _Sound("crackle", 100.0, 100.0, 1.0, 9),
    Showing.HAND: _Sound("fades", 120.0, 40.0, 0.2),
}


def heard(kind: str, share: float) -> Mapping[str, Note]:
    """Return what is heard of a kind of harm, at a share of the two seconds, 0 to 1."""
    sound = _SOUNDS.get(SHOWN[kind])
    if sound is None or not 0.0 <= share < 1.0:
        return {}
    within = share * sound.blows % 1.0
    level = 0.9 * (1.0 - within) * (1.0 - 0.7 * share)
    pitch_hz = sound.from_hz + (sound.to_hz - sound.from_hz) * share
    return {sound.voice: Note(level, pitch_hz, sound.rough)}


def is_shown(kind: str) -> bool:
    """Return whether more of it is shown than words."""
    return SHOWN[kind] is not Showing.TOLD
