"""The slots that broken-off cuts have left in the bar: each at its place, its angle and its depth.

They go with the bar. One under the band is sawn on in; one that has been fed past it falls with the piece that it
is in; one behind it comes with the next.
"""

from dataclasses import dataclass, replace
from typing import Final

from sim.trade.mitre import kerf_along_m

_SAME_RAD: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Kerf:
    """One slot.

    Attributes:
        from_rear_m: Its rear side at the fixed jaw, from the rear end of the bar, m.
        mitre_rad: The angle at which it was sawn.
        depth_m: From the top of the bar.
        width_m: Square to its plane.
        room_m: On each side of the back of the band that sawed it.
        band: The number of that band, counted from the first on this saw.
    """

    from_rear_m: float
    mitre_rad: float
    depth_m: float
    width_m: float
    room_m: float
    band: int


class Kerfs:
    """Those of one bar."""

    def __init__(self) -> None:
        self.all: tuple[Kerf, ...] = ()

    def at(self, band_from_rear_m: float, mitre_rad: float) -> Kerf | None:
        """Return the one that the band would go into, m from the rear end at the fixed jaw; None for none."""
        return next(
            (
                kerf for kerf in self.all
                if abs(kerf.mitre_rad - mitre_rad) < _SAME_RAD
                and abs(kerf.from_rear_m - band_from_rear_m) <= kerf.room_m
            ),
            None,
        )  # fmt: skip

    def beside(self, band_from_rear_m: float, mitre_rad: float) -> tuple[Kerf, float] | None:
        """Return the one whose edge the band would come down on, and how far aside it lies, m; None for none."""
        for kerf in self.all:
            off_m = kerf.from_rear_m - band_from_rear_m
            overlaps = abs(off_m) < kerf_along_m(kerf.width_m, mitre_rad)
            if (
                abs(kerf.mitre_rad - mitre_rad) < _SAME_RAD
                and overlaps
                and abs(off_m) > kerf.room_m
            ):
                return kerf, off_m
        return None

    def saw(self, made: Kerf) -> None:
        """Have one sawn, or sawn on; what was deeper stays so."""
        there = self.at(made.from_rear_m, made.mitre_rad)
        if there is None:
            self.all = (*self.all, made)
            return
        deeper = replace(made, depth_m=max(there.depth_m, made.depth_m))
        self.all = tuple(deeper if each is there else each for each in self.all)

    def part(self, band_from_rear_m: float) -> bool:
        """Drop what a cut through the bar takes off; return whether the piece beyond it has one in it."""
        beyond = [k for k in self.all if k.from_rear_m > band_from_rear_m + k.room_m]
        self.all = tuple(k for k in self.all if k.from_rear_m < band_from_rear_m - k.room_m)
        return bool(beyond)
