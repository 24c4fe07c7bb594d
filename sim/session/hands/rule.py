"""Whether what must hold for hands in a zone holds now, by the plant's truth.

STANDS: the band stands, and so does the head where it is the head that strikes. OWN_CONTROL: everything
in reach stands, the head cannot come down on hands that are under it, and nobody else can start the saw, because an emergency
stop is pressed in, the isolator is off or the key of the mode switch is in my pocket. LOCKED_OUT: the
lock-out is whole, and in the cabinet a qualified person has proved it dead.
"""

from sim.plant.plant import Plant
from sim.session.hands.hazards import AT_HEAD, Hazard, all_stands, comes_near, head_rests
from sim.session.hands.zones import Demand, Zone
from sim.session.lockout import QUALIFIED, Lockout


def _nobody_starts(plant: Plant) -> bool:
    stopped = not all(plant.site.bus.driven(tag) for tag in ("S1", "S9", "Q0"))
    return stopped or plant.mode_key.keeps_off


def _may_look(lockout: Lockout) -> bool:
    """Return whether the door may be opened for a look or a test: by who is qualified, or in a lock-out.

    The line side of the isolator stays live, so that its being off is not enough for anybody else.
    """
    return lockout.role == QUALIFIED or lockout.verified


def holds(
    demand: Demand, zone: Zone, plant: Plant, lockout: Lockout, aside: Hazard | None = None
) -> bool:
    """Return whether a row holds for hands in a zone, or aside in it, where that alone strikes them."""
    if demand is Demand.OUTSIDE:
        return True
    if demand is Demand.STANDS:
        return not comes_near(aside, plant)
    if zone is Zone.CABINET:
        return lockout.proved_dead if demand is Demand.LOCKED_OUT else _may_look(lockout)
    if lockout.verified:
        return True
    if demand is Demand.LOCKED_OUT:
        return False
    return at_rest(zone, plant, aside) and _nobody_starts(plant)


def at_rest(zone: Zone, plant: Plant, aside: Hazard | None = None) -> bool:
    """Return whether everything in reach stands, and no head can come down on hands in a zone."""
    resting = zone not in AT_HEAD or aside is not None or head_rests(plant)
    return resting and all_stands(plant)
