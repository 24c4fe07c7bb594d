"""Where a harm happens, and from how near it is looked at while it is shown.

The cameras that somebody chooses from show the whole saw; here one comes near, so that what flies is more
than a speck. Never here: what flies.
"""

from functools import cache
from typing import Final

from sim.plant.harm.kinds import KINDS
from sim.view.picture.round.camera import CABINET, OPERATOR, Sight, Spot
from sim.view.picture.round.person import MARKS, ZONES
from sim.view.play.happening import SHOWN, ZONE_OF, Showing

_SPOTS: Final[dict[str, Spot]] = {
    "pulley-damaged": (0.0, 0.33, 0.12), "band-stalled": (0.01, -0.03, 0.05), "kerf-pinched": (0.01, -0.03, 0.05),
    "back-rail-cut": (0.10, 0.025, 0.0),
    "arm-struck": (-0.16, -0.03, -0.01),
}  # fmt: skip
_LOOKED_AT: Final[dict[Showing, tuple[Spot, float]]] = {
    Showing.SNAPS: ((0.05, -0.02, 0.07), 0.24), Showing.FLIES_OFF: ((0.06, -0.08, 0.06), 0.40),
    Showing.TURNS_OUT: ((-0.08, -0.02, 0.08), 0.42), Showing.SNATCHED: ((-0.08, -0.02, 0.08), 0.42),
    Showing.BENDS: ((0.02, -0.03, 0.045), 0.24), Showing.DROPS: ((0.0, -0.02, 0.12), 0.42),
    Showing.COMES_DOWN: ((-0.45, -0.10, 0.12), 0.52), Showing.TEETH: ((0.08, -0.08, 0.04), 0.34),
}  # fmt: skip
"""Ways that are seen otherwise than most: the middle of what is seen, and how much of it from top to bottom, m."""
_MOST: Final = 0.34  # of any other way, whose middle is where it happens
_RATIO: Final = 1.55  # of its width to that
_AT_CABINET: Final = "supply"  # place of the parts that no camera but one shows


def spot_of(kind: str) -> Spot:
    """Return where a kind of harm happens, m."""
    zone = ZONE_OF.get(kind)
    if zone in ZONES:
        return ZONES[zone][0]
    return _SPOTS.get(kind) or MARKS.get(KINDS[kind].place, (0.0, -0.03, 0.05))


@cache
def close_to(kind: str) -> Sight:
    """Return the camera that comes near to a kind of harm."""
    from_ = CABINET if KINDS[kind].place == _AT_CABINET else OPERATOR
    middle, high_m = _LOOKED_AT.get(SHOWN[kind]) or (spot_of(kind), _MOST)
    return Sight(
        f"close to {kind}",
        from_.title,
        from_.turn_deg,
        from_.rise_deg,
        middle,
        high_m,
        high_m * _RATIO,
    )
