"""The slot that a band saws: how wide it is, and when a band can be let down into an old one.

Theory. The teeth are set to both sides, so the kerf is wider than the band's back, which has room in
it. Set is worn off with the teeth: a worn band saws a narrower slot. A band that was fitted later is as wide
as new and does not go into that slot without cutting both its sides at once, at teeth meant to cut
downwards: it binds, or its teeth strip. The band that sawed the slot goes back into it, if the bar has
not moved by more than the room beside its back; then its teeth shave one side.

That no band is started in the kerf of another is common practice, no source; that a band at its
end has lost some third of its set is from memory.
"""

from typing import Final

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
