"""The slot that a band saws: how wide it is, and when a band can be let down into an old one.

Theory. The teeth are set to both sides, so the kerf is wider than the band's back, which has room in
it. Set is worn off with the teeth: a worn band saws a narrower slot. A band that was fitted later is as wide
as new and does not go into that slot without cutting both its sides at once, at teeth meant to cut
downwards: it binds, or its teeth strip. The band that sawed the slot goes back into it, if the bar has
not moved by more than the room beside its back; then its teeth shave one side.

Stress that is locked in a bar closes the slot. Only the stress on the plane of the cut, down to the depth of the
cut, counts, and it does so as if it drew on the far ends (superposition of Bueckner): so the mouth of a slot of
depth a in a strip of height h comes together by

    4 p a / E x V(a / h),    V(s) = (1.46 + 3.42 (1 - cos(pi s / 2))) / cos(pi s / 2)^2

(edge crack in a strip, handbook of Tada, Paris and Irwin; from memory). Here a skin presses with p, a quarter of the
height above and below, and the core draws with as much, which is in balance with no moment. Below the skin the
core opens the slot again; that is left out, so the slot stays as it was closed by the skin. Any section is taken
as a strip of its height. Where the mouth has come together by the room beside the band, it is pinched. The weight of
a free end opens the slot, since its end hangs down; that is left out too.

That no band is started in the kerf of another is common practice, no source; that a band at its
end has lost some third of its set is from memory.
"""

from math import cos, pi
from typing import Final

SKIN: Final = 0.25  # of the height, above and below, that presses; chosen for this saw
_HALVINGS: Final = 50
SET_LOST: Final = 1.0 / 3.0  # of the set, by a band at the end of its life; from memory
_HAIR_M: Final = 1e-9


def kerf_width_m(new_m: float, band_m: float, worn: float) -> float:
    """Return how wide a slot a band saws, m.

    Args:
        new_m: The kerf of a band as new, m.
        band_m: Thickness of its back, m.
        worn: Share of its life that is used up; over 1 counts as 1.
    """
    return band_m + (new_m - band_m) * (1.0 - SET_LOST * min(max(worn, 0.0), 1.0))


def room_m(kerf_m: float, band_m: float) -> float:
    """Return the room on each side of a band's back in a slot, m; by so much the bar may have moved."""
    return max(0.0, (kerf_m - band_m) / 2.0)


def binds(own_m: float, slot_m: float) -> bool:
    """Return whether a band that did not saw a slot binds in it: it is set as wide as the slot, or wider.

    Args:
        own_m: The kerf that this band saws, m.
        slot_m: The width of the slot, m.
    """
    return own_m >= slot_m - _HAIR_M


def mouth_closed_m(pressing_pa: float, young_pa: float, depth_m: float, height_m: float) -> float:
    """Return by how much the mouth of a slot has come together by the stress in a bar's skin, m.

    Args:
        pressing_pa: Pressure that is locked in the skin, along the bar, Pa.
        young_pa: The metal's modulus, Pa.
        depth_m: Of the slot; what is deeper than the skin closes it no further.
        height_m: Of the bar.
    """
    depth_m = min(depth_m, SKIN * height_m)
    bends = cos(pi / 2.0 * depth_m / height_m)
    strip = (1.46 + 3.42 * (1.0 - bends)) / bends**2
    return 4.0 * pressing_pa * depth_m / young_pa * strip


def pinched_at_m(
    pressing_pa: float, young_pa: float, height_m: float, room_m: float
) -> float | None:
    """Return the depth at which a band is pinched in its slot, m; None where it is not.

    Args:
        pressing_pa: Pressure that is locked in the skin, along the bar, Pa.
        young_pa: The metal's modulus, Pa.
        height_m: Of the bar.
        room_m: Of the band in the slot, on both sides together.
    """
    low_m, high_m = 0.0, SKIN * height_m
    if mouth_closed_m(pressing_pa, young_pa, high_m, height_m) < room_m:
        return None
    for _ in range(_HALVINGS):
        middle_m = (low_m + high_m) / 2.0
        if mouth_closed_m(pressing_pa, young_pa, middle_m, height_m) < room_m:
            low_m = middle_m
        else:
            high_m = middle_m
    return high_m
