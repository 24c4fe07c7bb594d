"""What the head meets besides the cut: the back rail, a guide arm over the bar, the end of a fall.

Teeth that lie in the metal when the band is started are looked for here too, and a band that is let
down into the kerf of another.
"""

from sim.kernel.axis import Axis
from sim.plant.blade import STRIPPED
from sim.plant.sawing import Sawn
from sim.plant.surroundings import Site
from sim.trade.kerf import binds
from sim.units import GRAVITY_M_S2
from sim.words.fields import count, joules, mm, number
from sim.words.message import row

_LANDED_M = 1e-6  # lower than it was by less than this, it did not fall

_SWUNG = row("harm.back-rail-cut.detail", "The head was swung to {mitre} degrees.", mitre=number())
_OVER_BAR = row(
    "harm.guide-struck-bar.detail",
    "With a span of {span} it stood {overlap} over the edge of a bar {width} across.",
    span=mm(), overlap=mm(), width=mm(),
)  # fmt: skip
_FELL = row(
    "harm.head-dropped.detail",
    "It fell {height} and struck with {energy}.",
    height=mm(), energy=joules(),
)  # fmt: skip
_BURIED = row(
    "harm.started-buried.detail",
    "{count} tooth lay in the cut.",
    plural="{count} teeth lay in the cut.",
    count=count(),
)
_BOUND = row(
    "harm.bound-in-kerf.detail",
    "The kerf was {slot} wide and {depth} deep, and the band is set to saw {own}.",
    slot=mm(2), depth=mm(), own=mm(2),
)  # fmt: skip


class Obstacles:
    """What lies below the band, or beside it."""

    def __init__(self, site: Site, sawn: Sawn, place: Axis) -> None:
        self._site = site
        self._sawn = sawn
        self._place = place  # of the head
        self._falls_from_m: float | None = None

    # The back rail ----------------------------------------------------------------------------

    def mark_rail(self) -> None:
        """Put a mark where the band would meet the back rail of the outfeed, if it stands under the mitred band."""
        rail_m = self._site.machine.rail_m
        if self._sawn.swivel.rail_in_way and self._place.position > rail_m:
            self._place.mark("rail", rail_m, self._met_rail, includes=False)
        else:
            self._place.unmark("rail")

    def _met_rail(self, above: bool) -> None:
        if not above and self._sawn.swivel.rail_in_way and self._sawn.band.turning:
            mitre_deg = self._sawn.swivel.mitre_deg
            self._site.tell("back-rail-cut", _SWUNG(mitre=mitre_deg))

    # The guide arm ------------------------------------------------------------------------

    def guide_stands_over_bar(self, *, arriving: bool) -> bool:
        """Return whether the guide arm stops the head on the bar; if it comes from above, tell of the strike."""
        sawn = self._sawn
        width_m = sawn.bar.stock.section.width_m * sawn.swivel.widening
        clear_m = sawn.band.guide.clear_m(width_m)
        if clear_m >= 0.0:
            return False
        if arriving or sawn.bar.kerf_depth_m > 0.0:
            self._site.tell(
                "guide-struck-bar",
                _OVER_BAR(span=sawn.band.guide.span_m, overlap=-clear_m, width=width_m),
            )
        return True

    # An old kerf --------------------------------------------------------------------------

    def into_kerf(self, above: bool) -> None:
        """Tell of a band that runs into the kerf of another, and strip its teeth; its own lets it in."""
        kerf, blade = self._sawn.bar.old_kerf, self._sawn.blade
        if above or kerf is None or not (self.binds_in_kerf and self._sawn.band.turning):
            return
        told = _BOUND(slot=kerf.width_m, depth=kerf.depth_m, own=blade.kerf_m)
        self._site.tell("bound-in-kerf", told)
        blade.set_condition(STRIPPED)

    @property
    def binds_in_kerf(self) -> bool:
        """Whether the band would bind in the kerf under it: another band sawed that."""
        kerf, blade = self._sawn.bar.old_kerf, self._sawn.blade
        if kerf is None or kerf.band == blade.number:
            return False
        return binds(blade.kerf_m, kerf.width_m)

    # A fall -------------------------------------------------------------------------------

    def fall(self, floor_m: float) -> None:
        """Note where a fall begins, and where it ends at the latest: no valve and no air holds the head."""
        if self._falls_from_m is None:
            self._falls_from_m = self._place.position
            self._place.mark("floor", floor_m, self._floor, includes=False)

    def _floor(self, above: bool) -> None:
        if not above:
            self.land()

    def settle(self) -> None:
        """Forget a fall, as of a head that came down in a night that nobody tells of."""
        self._falls_from_m = None
        self._place.unmark("floor")

    def land(self) -> None:
        """End a fall, if there was one."""
        if self._falls_from_m is None:
            return
        fallen_m = self._falls_from_m - self._place.position
        self._falls_from_m = None
        self._place.unmark("floor")
        if fallen_m > _LANDED_M:
            energy_j = self._site.machine.head_kg * GRAVITY_M_S2 * fallen_m
            self._site.tell("head-dropped", _FELL(height=fallen_m, energy=energy_j))

    # Buried teeth -------------------------------------------------------------------------

    def band_starts(self) -> None:
        """Tell of teeth that lie in the metal when the band is started, and strip them."""
        bar, blade, height_m = self._sawn.bar, self._sawn.blade, self._place.position
        in_kerf = bar.under_band and bar.kerf_depth_m > 0.0 and height_m <= bar.work_top_m
        if not in_kerf or self._sawn.band.turning:
            return
        contact_m = bar.stock.section.contact_length_m(bar.height_m - height_m)
        teeth = contact_m * self._sawn.swivel.widening / blade.pitch_m
        if teeth >= 1.0:
            self._site.tell("started-buried", _BURIED(count=round(teeth)))
            blade.set_condition(STRIPPED)
