"""The chip brush: how deep it stands in the gullets, and what it leaves in them.

Theory. A brush that reaches half the gullet sweeps it clean each time round. Set less
deep, it leaves a share of the chips, and the gullets fill with every area sawn. Set deeper than the
gullets and the give of its bristles, it is ground away by the gullet floors and wears the teeth. Chosen for this saw;
that the brush just sweeps the gullets is common practice, no source.
"""

from typing import Final

from sim.plant.blade import Blade
from sim.plant.surroundings import Site
from sim.trade.teeth import gullet_depth_m
from sim.units import MM
from sim.words.fields import mm
from sim.words.message import row

SWEPT_FROM: Final = 0.5  # of the gullet's depth, from which on a brush leaves nothing in it
_MOST_PACKED = 0.95

_TOO_DEEP = row(
    "harm.brush-worn.detail",
    "It stood {depth} deep in gullets of {gullet}.",
    depth=mm(1), gullet=mm(1),
)  # fmt: skip


class Brush:
    """One brush."""

    def __init__(self, site: Site, blade: Blade) -> None:
        self._site = site
        self._blade = blade
        self.depth_m = site.machine.brush_found_m
        self.wear = 0.0  # of the bristles, 0 to 1

    def set_depth(self, depth_m: float) -> None:
        """Set the depth, m; a worn brush is replaced when it is set."""
        self.depth_m = depth_m
        if self.wear >= 1.0:
            self.wear = 0.0

    @property
    def sweeps(self) -> float:
        """Share of the gullet's depth that the bristles reach."""
        if self.wear >= 1.0:
            return 0.0
        return min(1.0, self.depth_m / gullet_depth_m(self._blade.pitch_m))

    @property
    def too_deep_m(self) -> float:
        """How much deeper it stands than gullets and bristles take, m."""
        if self.wear >= 1.0:
            return 0.0
        room_m = gullet_depth_m(self._blade.pitch_m) + self._site.machine.brush_spare_m
        return max(0.0, self.depth_m - room_m)

    @property
    def extra_wear(self) -> float:
        """How much faster the teeth wear under it, as a share on top of 1."""
        return self.too_deep_m / MM

    def sawn(self, area_m2: float, duration_s: float) -> None:
        """Take note that an area, m2, was sawn in a time, s."""
        left = max(0.0, 1.0 - self.sweeps / SWEPT_FROM)
        if left > 0.0:
            packed = self._blade.packed + left * area_m2 / self._site.machine.packs_at_m2
            self._blade.packed = min(packed, _MOST_PACKED)
        else:
            self._blade.packed = 0.0
        deep_m = self.too_deep_m
        if deep_m > 0.0:
            self.wear += deep_m * duration_s / self._site.machine.brush_wear_s_m
            if self.wear >= 1.0:
                self.wear = 1.0
                self._site.tell(
                    "brush-worn",
                    _TOO_DEEP(depth=self.depth_m, gullet=gullet_depth_m(self._blade.pitch_m)),
                )
