"""Keys that the desk takes in HAND and that a careful hand would not press as things stand.

In HAND most keys need control power and nothing else, so the coach speaks before harm is done.

Never here: what the desk refuses.
"""

from typing import Final

from sim.control.interlocks import BY_NUMBER
from sim.session.session import Session
from sim.teaching.slips.check import Check
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row

_SPEED: Final = row(
    "slip.key.speed", "the band stands still: {rule} ({number})", rule=part(), number=name()
)
_NO_VISE: Final = plain(
    "slip.key.no-vise",
    "no vise holds the bar at the blade, and in HAND nothing minds that; grip it first",
)
_BAND_STILL: Final = plain(
    "slip.key.band-still",
    "the band stands still over the bar, and in HAND nothing minds that; start it first",
)
_IN_THE_WAY: Final = plain(
    "slip.key.in-the-way",
    "the band is in the way of the bar, and in HAND nothing minds that; lift the head first",
)
_ON_THE_BAR: Final = plain(
    "slip.key.on-the-bar",
    "the band starts with its teeth on the bar; lift the head clear before it is started",
)


def _speed_key(session: Session) -> Message:
    if session.saw.plant.band.turning:
        return NOTHING
    row_13 = BY_NUMBER["I13"]
    return _SPEED(rule=row_13.rule, number=row_13.number)


def _lower_key(session: Session) -> Message:
    plant = session.saw.plant
    if not plant.bar.under_band or plant.head.place.position <= 0.0:
        return NOTHING
    if session.saw.controller.image["mode.head"] != "HAND":
        return NOTHING
    if not plant.cutting_vise.gripping:
        return _NO_VISE
    return NOTHING if plant.band.turning else _BAND_STILL


def _carry_key(session: Session) -> Message:
    plant = session.saw.plant
    if not plant.shuttle_vise.gripping or session.saw.controller.image["mode.shuttle"] != "HAND":
        return NOTHING
    return _IN_THE_WAY if plant.head.place.position <= plant.bar.height_m else NOTHING


def _start_key(session: Session) -> Message:
    plant = session.saw.plant
    resting = plant.bar.under_band and plant.head.place.position <= plant.bar.height_m
    return _ON_THE_BAR if resting and plant.band.contactor else NOTHING


KEY_SLIPS: Final[dict[str, Check]] = {
    "band.faster": _speed_key,
    "band.slower": _speed_key,
    "band.start": _start_key,
    "head.lower": _lower_key,
    "shuttle.to_blade": _carry_key,
    "shuttle.to_stop": _carry_key,
}
