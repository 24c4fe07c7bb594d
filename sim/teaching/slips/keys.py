"""Keys that are taken from a hand and that a careful hand would not press as things stand.

In MANUAL and MAINTENANCE no interlock checks what protects the job, so the coach speaks before harm is done.

Never here: what the control refuses.
"""

from collections.abc import Callable
from typing import Final

from sim.control.interlocks import BY_NUMBER
from sim.control.nouns import MODES
from sim.plant.bar import CORNER_SEEN_M
from sim.plant.vise import JAW_GAPS, VISES
from sim.saw import Saw
from sim.teaching.slips.band import not_once_round
from sim.trade.mitre import taken_off
from sim.words.fields import mm, name, part
from sim.words.message import NOTHING, Message, plain, row

_BY_HAND: Final = ("MANUAL", "MAINTENANCE")

_SPEED: Final = row(
    "slip.key.speed", "the band is stopped: {rule} ({number})", rule=part(), number=name()
)
_NO_VISE: Final = row(
    "slip.key.no-vise-in",
    "no vise holds the bar at the band, and in {mode} no interlock checks it; clamp it first",
    mode=MODES,
)
_BAND_STILL: Final = row(
    "slip.key.band-still-in",
    "the band is stopped over the bar, and in {mode} no interlock checks it; {first}",
    mode=MODES, first=part(),
)  # fmt: skip
_RUN_FIRST: Final = plain(
    "slip.key.band-still.run", "run it first, or let the key go above the bar"
)
_CUT_ELSEWHERE: Final = plain(
    "slip.key.band-still.turn",
    "stop above the bar, for here the band only jogs: to cut, turn the mode switch to MANUAL",
)
_IN_THE_WAY: Final = plain(
    "slip.key.in-the-way",
    "the band is in the way of the bar, and no interlock checks it; raise the head first",
)
_ON_THE_BAR: Final = plain(
    "slip.key.on-the-bar",
    "the band starts with its teeth on the bar; raise the head clear before it is started",
)
_OLD_KERF: Final = plain(
    "slip.key.old-kerf",
    "under the band is a kerf of another band, and this one would bind in it; feed on, and cut off that end first",
)
_CORNER: Final = row(
    "slip.key.corner",
    "at this angle the end of the bar stands out {short} too little, and a corner of it would stay; feed it further first",
    short=mm(1),
)

_FINGER_ROOM: Final = row(
    "slip.key.finger-room",
    "a finger fits between the jaw and the bar, {gap} apart; set {name} to {right} first",
    gap=mm(None), name=name(), right=mm(None),
)  # fmt: skip


def finger_room(saw: Saw, vise: str) -> Message:
    """Return that the jaw of a vise would close over room for a finger; nothing where it would not."""
    at = saw.plant.vise(vise)
    if at.clamped or not at.finger_fits:
        return NOTHING
    right_m = saw.plant.site.machine.jaw_gap_m
    return _FINGER_ROOM(gap=at.gap_m, name=JAW_GAPS[vise], right=right_m)


def _speed_key(saw: Saw) -> Message:
    if saw.plant.band.turning:
        return not_once_round(saw)
    row_13 = BY_NUMBER["I13"]
    return _SPEED(rule=row_13.rule, number=row_13.number)


def _before_lower(saw: Saw) -> tuple[Message, ...]:
    plant = saw.plant
    if not plant.bar.under_band or plant.head.place.position <= 0.0:
        return ()
    mode = str(saw.controller.image["mode"])
    if mode not in _BY_HAND:
        return ()
    first = _CUT_ELSEWHERE if mode == "MAINTENANCE" else _RUN_FIRST
    bound = (_OLD_KERF,) if plant.head.obstacles.binds_in_kerf else ()
    held = () if plant.cutting_vise.clamped else (_NO_VISE(mode=mode),)
    loose = (*held, *bound)
    return loose if plant.band.turning else (*loose, _BAND_STILL(mode=mode, first=first))


def _lower_key(saw: Saw) -> Message:
    return next(iter(_before_lower(saw)), NOTHING)


def _carry_key(saw: Saw) -> Message:
    plant = saw.plant
    mode = saw.controller.image["mode"]
    if not plant.shuttle_vise.clamped or mode not in _BY_HAND:
        return NOTHING
    return _IN_THE_WAY if plant.head.place.position <= plant.bar.height_m else NOTHING


def _on_the_bar(saw: Saw) -> bool:
    plant = saw.plant
    return plant.bar.under_band and plant.head.place.position <= plant.bar.height_m


def _start_key(saw: Saw) -> Message:
    return _ON_THE_BAR if _on_the_bar(saw) and saw.plant.band.contactor else NOTHING


def _before_start(saw: Saw) -> Message:
    return _ON_THE_BAR if _on_the_bar(saw) and not saw.plant.band.turning else NOTHING


def _job_key(saw: Saw) -> Message:
    """Return what the first cut of the job would do to the end of the bar, or to the band."""
    plant, square = saw.plant, saw.controller.image["first"] == "SQUARE"
    if plant.head.obstacles.binds_in_kerf and square:
        return _OLD_KERF
    bar, swivel = plant.bar, plant.swivel
    if not square or (swivel.mitre_deg <= 0.0 and bar.end_rad <= 0.0):
        return NOTHING
    end, kerf_m = bar.end.moved(bar.front_m), plant.site.machine.kerf_m
    short_m = taken_off(end, swivel.mitre_rad, kerf_m).corner_m
    return _CORNER(short=short_m) if short_m > CORNER_SEEN_M else NOTHING


def _clamp_key(vise: str) -> Callable[[Saw], Message]:
    return lambda saw: finger_room(saw, vise)


KEY_SLIPS: Final[dict[str, Callable[[Saw], Message]]] = {
    "band.faster": _speed_key,
    "band.slower": _speed_key,
    "band.run": _start_key,
    "head.lower": _lower_key,
    "shuttle.forward": _carry_key,
    "shuttle.back": _carry_key,
    "job.start": _job_key,
    **{f"{vise}.clamp": _clamp_key(vise) for vise in VISES},
}
"""The slip of a key that has just been pressed."""
_BEFORE: Final[dict[str, Callable[[Saw], tuple[Message, ...]]]] = {
    "band.run": lambda saw: (_before_start(saw),),
    "head.lower": _before_lower,
}


def before_pressed(saw: Saw, key: str) -> tuple[Message, ...]:
    """Return every slip that pressing a key would be as things stand; often none."""
    if key in _BEFORE:
        return tuple(filter(None, _BEFORE[key](saw)))
    return tuple(filter(None, (KEY_SLIPS[key](saw),))) if key in KEY_SLIPS else ()
