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
as a strip of its height. Where the mouth has come together by the room beside the band, it is pinched.

A free end past the band hangs, and opens the slot: its weight bends the bar, on top it draws. With the stress s that
this bending has at the top of the whole bar the mouth parts by

    4 s a / E x U(a / h),    U(x) = 0.8 - 1.7 x + 2.4 x^2 + 0.66 / (1 - x)^2

(edge crack in a bent strip, the same handbook; from memory), with s = 3 rho g l^2 / h for a length l of any section
as a strip. That counts against the stress in the skin: a short piece of a stressed bar pinches sooner than a long
one. A free end closes the slot only where something bears it above the bed, as a roller that stands too high; this saw has
nothing past the band that does.

That no band is started in the kerf of another is common practice, no source; that a band at its
end has lost some third of its set is from memory.
"""

from math import cos, pi
from typing import Final

from sim.units import GRAVITY_M_S2

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


def hanging_pa(density_kg_m3: float, length_m: float, height_m: float) -> float:
    """Return the stress at the top of a bar by the weight of the end that hangs past the band, Pa.

    Args:
        density_kg_m3: Of the metal.
        length_m: Of what hangs; of none where it is below zero.
        height_m: Of the bar.
    """
    return 3.0 * density_kg_m3 * GRAVITY_M_S2 * max(length_m, 0.0) ** 2 / height_m


def mouth_opened_m(hanging_pa: float, young_pa: float, depth_m: float, height_m: float) -> float:
    """Return by how much the weight of a hanging end parts the mouth of a slot, m.

    Args:
        hanging_pa: Stress that it has at the top of the whole bar, Pa.
        young_pa: The metal's modulus, Pa.
        depth_m: Of the slot, less than the height.
        height_m: Of the bar.
    """
    x = depth_m / height_m
    bent = 0.8 - 1.7 * x + 2.4 * x**2 + 0.66 / (1.0 - x) ** 2
    return 4.0 * hanging_pa * depth_m / young_pa * bent


def pinched_at_m(
    pressing_pa: float, young_pa: float, height_m: float, room_m: float, hanging_pa: float = 0.0
) -> float | None:
    """Return the depth at which a band is pinched in its slot, m; None where it is not.

    Args:
        pressing_pa: Pressure that is locked in the skin, along the bar, Pa.
        young_pa: The metal's modulus, Pa.
        height_m: Of the bar.
        room_m: Of the band in the slot, on both sides together.
        hanging_pa: Stress at the top of the bar by a free end, which opens the slot, Pa.
    """

    def together_m(depth_m: float) -> float:
        closed_m = mouth_closed_m(pressing_pa, young_pa, depth_m, height_m)
        return closed_m - mouth_opened_m(hanging_pa, young_pa, depth_m, height_m)

    low_m, high_m = 0.0, SKIN * height_m
    if together_m(high_m) < room_m:
        return None
    for _ in range(_HALVINGS):
        middle_m = (low_m + high_m) / 2.0
        if together_m(middle_m) < room_m:
            low_m = middle_m
        else:
            high_m = middle_m
    return high_m
