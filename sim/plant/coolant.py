"""The coolant: a tank, its strength, a pump, the hose to the nozzle, and the wash-down hose on the same pump.

Theory. While the pump runs, chips carry off mixture and warmth dries off water, so the level falls
and the mixture gets stronger; the wash-down hose, left open, or a split in the hose to the nozzle runs a great
deal more on to the floor and takes flow from the cut. All rates are constant between changes, so the level is an axis on a
ramp, and the level switch, the empty tank and the wet floor are marks on it.
"""

from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Ramp
from sim.plant.surroundings import Site
from sim.trade.life import coolant_quality
from sim.words.fields import Quantity
from sim.words.message import row

SHUT, OPEN = "shut", "open"
COCKS: Final = (SHUT, OPEN)
DRY, WET = "dry", "wet"
FLOORS: Final = (DRY, WET)

_SPILT: Final = row(
    "harm.spill.detail",
    "{volume} litres lie on the floor.",
    volume=Quantity("", 1e-3),
)  # fmt: skip


class Coolant:
    """Level, strength and flow."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.place = Axis(site.clock, 0.8, slow=True)  # level, of a full tank
        self.pump = False
        self.blocked = 0.0  # share of the nozzle that is blocked
        self.wash = SHUT
        self.split = False  # the hose to the nozzle
        self.floor = DRY
        self._oil = 0.8 * 0.07  # volume of concentrate, by that of a full tank
        self._settled = 0.8  # level at which `_oil` was last worked out
        self.place.mark(
            "low", site.machine.coolant_low, lambda enough: self._site.bus.drive("B63", enough)
        )
        self.place.mark("empty", site.machine.coolant_empty, self._ran_out)

    @property
    def level(self) -> float:
        """How full the tank is, 0 to 1."""
        return self.place.position

    @property
    def concentration(self) -> float:
        """True strength of the mixture, by volume."""
        level = self.level
        return self._oil_at(level) / level if level > 1e-9 else 0.0

    def _oil_at(self, level: float) -> float:
        """Return the concentrate that is left when the level has come down so far."""
        lost, leaves_m3_s = self._settled - level, self._leaving_m3_s
        if lost <= 0.0 or leaves_m3_s <= 0.0:
            return self._oil
        mixture = 1.0 - self._drying_m3_s / leaves_m3_s  # share of the loss that is not plain water
        return self._oil * float((level / self._settled) ** mixture) if level > 0.0 else 0.0

    @property
    def _drying_m3_s(self) -> float:
        return self._site.machine.dries_off_m3_s if self.pump else 0.0

    @property
    def _leaving_m3_s(self) -> float:
        machine = self._site.machine
        wash_m3_s = machine.wash_m3_s if self.loses else 0.0
        pumped_m3_s = machine.carried_off_m3_s + wash_m3_s if self.pump else 0.0
        return pumped_m3_s + self._drying_m3_s

    @property
    def loses(self) -> bool:
        """Whether what the pump drives runs on to the floor too."""
        return self.wash == OPEN or self.split

    @property
    def flowing(self) -> bool:
        """Whether coolant reaches the cut."""
        return self.pump and self.blocked < 1.0 and self.place.beyond("empty")

    @property
    def quality(self) -> float:
        """What the coolant at the cut is worth, 0 (none) to 1 (right)."""
        return self.worth if self.flowing else 0.0

    @property
    def worth(self) -> float:
        """What the coolant at the cut is worth while it flows, 0 (none) to 1 (right)."""
        left = self._site.machine.wash_left if self.loses else 1.0
        return coolant_quality(self.concentration) * left * (1.0 - self.blocked)

    def run(self, pump: bool) -> None:
        """Start or stop the pump."""
        self._settle()
        self.pump = pump
        self._flow()

    def set_wash(self, wash: str) -> None:
        """Open or shut the wash-down hose."""
        self._settle()
        self.wash = wash
        self._flow()

    def split_hose(self, split: bool) -> None:
        """Split the hose to the nozzle, or have a whole one in its place."""
        self._settle()
        self.split = split
        self._flow()

    def block(self, share: float) -> None:
        """Block a share of the nozzle, 0 to 1."""
        self.blocked = share
        self._site.cut_changed()

    def set_level(self, level: float) -> None:
        """Fill or empty the tank, 0 to 1, with mixture of the present strength."""
        strength = self.concentration
        self._oil = level * strength
        self._settled = level
        self.place.put(level)
        self._flow()

    def mix(self, concentration: float) -> None:
        """Bring the mixture to a strength with concentrate or water, at the same level."""
        self._settle()
        self._oil = self.level * concentration
        self._site.cut_changed()

    def mop(self, floor: str) -> None:
        """Set the floor dry, as a mop does, or wet."""
        self.floor = floor
        self._flow()

    def _settle(self) -> None:
        level = self.level
        self._oil = self._oil_at(level)
        self._settled = level

    def _flow(self) -> None:
        """Let the level fall as pump and hose now say."""
        here = self.level
        self.place.unmark("spill")
        leaving_m3_s = self._leaving_m3_s
        if leaving_m3_s > 0.0 and here > 0.0:
            tank_m3 = self._site.machine.tank_m3
            self.place.follow(Ramp(here, 0.0, leaving_m3_s / tank_m3))
            if self.pump and self.loses and self.floor == DRY:
                on_floor = self._site.machine.spill_m3 / tank_m3
                if here > on_floor:
                    self.place.mark("spill", here - on_floor, self._spilt, includes=False)
        elif self.place.direction:
            self.place.stop()
        self._site.cut_changed()

    def _spilt(self, above: bool) -> None:
        if above or self.floor == WET:
            return
        self.floor = WET
        self._site.tell(
            "spill",
            _SPILT(volume=self._site.machine.spill_m3),
        )

    def _ran_out(self, _enough: bool) -> None:
        self._site.cut_changed()

    def sense(self) -> None:
        """Show the level switch what there is."""
        self._site.bus.drive("B63", self.level >= self._site.machine.coolant_low)
