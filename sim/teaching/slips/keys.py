"""Keys that the desk takes in HAND and that a careful hand would not press as things stand.

In HAND nothing but control power minds most keys, so these are said before harm is done.
Never here: what the desk refuses.
"""

from typing import Final

from sim.control.interlocks import BY_NUMBER
from sim.session.session import Session
from sim.teaching.slips.check import Check


def _speed_key(session: Session) -> str:
    if session.saw.plant.band.turning:
        return ""
    rule = BY_NUMBER["I13"].sentence
    return f"The band stands still. {rule} (I13)"


def _lower_key(session: Session) -> str:
    plant = session.saw.plant
    if not plant.bar.under_band or plant.head.place.position <= 0.0:
        return ""
    if session.saw.controller.image["mode.head"] != "HAND":
        return ""
    if not plant.cutting_vise.gripping:
        return "No vise holds the bar at the blade, and in HAND nothing minds that; grip it first."
    if not plant.band.turning:
        return "The band stands still over the bar, and in HAND nothing minds that; start it first."
    return ""


def _carry_key(session: Session) -> str:
    plant = session.saw.plant
    if not plant.shuttle_vise.gripping or session.saw.controller.image["mode.shuttle"] != "HAND":
        return ""
    if plant.head.place.position <= plant.bar.height_m:
        return "The band is in the way of the bar, and in HAND nothing minds that; lift the head first."
    return ""


def _start_key(session: Session) -> str:
    plant = session.saw.plant
    resting = plant.bar.under_band and plant.head.place.position <= plant.bar.height_m
    if resting and plant.band.contactor:
        return (
            "The band starts with its teeth on the bar; lift the head clear before it is started."
        )
    return ""


KEY_SLIPS: Final[dict[str, Check]] = {
    "band.faster": _speed_key,
    "band.slower": _speed_key,
    "band.start": _start_key,
    "head.lower": _lower_key,
    "shuttle.to_blade": _carry_key,
    "shuttle.to_stop": _carry_key,
}
