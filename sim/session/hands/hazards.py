"""What is active in a zone at this instant: what moves, falls, is live or under pressure there.

It is read off the metal, never off a switch. The head carries the band, so what moves or can fall with
the head is a hazard wherever the band can be reached, and under it.
"""

from enum import StrEnum
from typing import Final

from sim.kernel.axis import Axis
from sim.plant.head import PROP_IN
from sim.plant.plant import Plant
from sim.session.hands.zones import Zone
from sim.words.message import Message, plain


class Hazard(StrEnum):
    """What hands are hit by."""

    BAND = "band"
    HEAD = "head"
    JAW = "jaw"
    SHUTTLE = "shuttle"
    LIVE = "live"
    OIL = "oil"
    FALLS = "falls"
    SPRING = "spring"


SAID: Final[dict[Hazard, Message]] = {
    Hazard.BAND: plain("hazard.band", "The band was moving."),
    Hazard.HEAD: plain("hazard.head", "The head was moving."),
    Hazard.JAW: plain("hazard.jaw", "The jaw was moving."),
    Hazard.SHUTTLE: plain("hazard.shuttle", "The shuttle was moving."),
    Hazard.LIVE: plain("hazard.live", "The cabinet was live."),
    Hazard.OIL: plain("hazard.oil", "There was pressure in the oil that was let out."),
    Hazard.FALLS: plain("hazard.falls", "Nothing but that oil held the head up."),
    Hazard.SPRING: plain("hazard.spring", "The band was under tension, and it is a spring."),
}  # fmt: skip

AT_HEAD: Final = frozenset({
    Zone.BAND, Zone.WHEELS, Zone.CUTTING_JAWS, Zone.UNDER_HEAD, Zone.SWING, Zone.OUTFEED,
})  # fmt: skip
"""Zones under the head, on it or beside it: the band and the moving head reach into them."""


class Opens(StrEnum):
    """The stored energy that an act lets out, if it is still there."""

    NOTHING = ""
    CUTTING_OIL = "oil of the cutting vise"
    SHUTTLE_OIL = "oil of the shuttle vise"
    FEED_OIL = "oil of the shuttle's drive"
    LIFT_OIL = "oil of the lift"
    SPRING = "spring of the band"


def under_way(axis: Axis) -> bool:
    """Return whether an axis moves, or stands for a moment between two jerks of a motion."""
    return axis.direction != 0 and axis.position != axis.end


def band_moves(plant: Plant) -> bool:
    """Return whether the band moves at all, driven, coasting or starting."""
    return plant.band.motor.position > 0.0 or under_way(plant.band.motor)


def all_stands(plant: Plant) -> bool:
    """Return whether band, head, shuttle and jaws stand."""
    axes = (
        plant.head.place, plant.shuttle.place, plant.cutting_vise.jaw, plant.shuttle_vise.jaw,
    )  # fmt: skip
    return not band_moves(plant) and not any(map(under_way, axes))


def head_rests(plant: Plant) -> bool:
    """Return whether the head stands on something that carries it, so that it can come no further."""
    return not under_way(plant.head.place) and plant.head.rests


def _moving(zone: Zone, plant: Plant, aside: Hazard | None) -> Hazard | None:
    if zone in AT_HEAD:
        if band_moves(plant) and aside in (None, Hazard.BAND):
            return Hazard.BAND
        if under_way(plant.head.place) and aside in (None, Hazard.HEAD):
            return Hazard.HEAD
    vise = {Zone.CUTTING_JAWS: plant.cutting_vise, Zone.SHUTTLE_JAWS: plant.shuttle_vise}.get(zone)
    if vise is not None and under_way(vise.jaw):
        return Hazard.JAW
    shuttle = zone in (Zone.SHUTTLE_JAWS, Zone.SHUTTLE_PATH)
    return Hazard.SHUTTLE if shuttle and under_way(plant.shuttle.place) else None


def let_out(opens: Opens, plant: Plant) -> Hazard | None:
    """Return what an act lets loose that opens something, or None when nothing is left in it."""
    if opens is Opens.NOTHING:
        return None
    if opens is Opens.SPRING:
        return Hazard.SPRING if plant.band.tension.stress_pa > 0.0 else None
    if opens is Opens.LIFT_OIL and not head_rests(plant) and plant.head.prop != PROP_IN:
        return Hazard.FALLS
    vise = {Opens.CUTTING_OIL: plant.cutting_vise, Opens.SHUTTLE_OIL: plant.shuttle_vise}.get(opens)
    pressed = plant.supply.oil or (vise is not None and vise.pressure_pa > 0.0)
    return Hazard.OIL if pressed else None


def comes_near(aside: Hazard | None, plant: Plant) -> bool:
    """Return whether the band moves, or the head, where hands are not kept from all but the band."""
    return band_moves(plant) or (aside is not Hazard.BAND and under_way(plant.head.place))


def active(zone: Zone, plant: Plant, *, works: bool, aside: Hazard | None = None) -> Hazard | None:
    """Return what is active in a zone now, or None.

    Args:
        zone: Where hands are.
        plant: The metal.
        works: Whether hands work on live parts where there are some; a look with the door open, and a
            test by the right means, touches none.
        aside: What alone strikes there, where hands are at the edge of the zone; None for all of it.
    """
    if zone is Zone.CABINET:
        return Hazard.LIVE if works and plant.site.bus.driven("Q0") else None
    return _moving(zone, plant, aside)
