"""The shop of a shift: one saw, a rack of bars, and what was served from it.

The saw of the first order is switched on, and the shift begins then. Every order after that finds the saw as
the one before left it.

Never here: who serves the orders (see `by_hand`, and `sim.shift.floor` for the autopilot).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import radians
from typing import Final

from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.records.acts import ShiftBegun
from sim.saw import Cut
from sim.scenario.shift import OrderWanted, Shift, as_scenario
from sim.session.before.keys import power_up
from sim.session.kept.journal import Record
from sim.session.kept.origin import Origin
from sim.session.opening import machine_of, materials, session_for
from sim.session.session import Session
from sim.units import MM, US
from sim.words.message import NOTHING, Message

LAID_M: Final = 12 * MM
"""How far the end of a bar is laid past the band; common practice, no source."""
SEED: Final = 1  # the same pieces each time
_SAME_RAD: Final = 1e-9


@dataclass(slots=True)
class Remnant:
    """A bar as it now is, on the rack or on the saw."""

    name: str
    length_m: float
    was_m: float  # as the shift began
    kg_m: float
    price_kg: float
    end_rad: float = 0.0
    brought: bool = False  # to the saw, in this shift


@dataclass(frozen=True, slots=True)
class Served:
    """What one visit of a bar came to; times in seconds of the shift."""

    order: str
    bar: str
    wanted: int
    good: int
    cut: int
    first: bool  # visit of its order
    stood_s: float  # before it, with nothing done
    from_s: float
    changed_s: float
    cutting_s: float
    measuring_s: float
    used_kg: float
    used_cost: float  # of that metal
    pieces_kg: float  # of the good ones
    wear: float  # share of a band's life
    bands: int  # that were fitted for it
    finished: bool
    measured_good: bool
    wrong: int = 0  # of those that fell: not from the bar that was taken
    unsound: Message = NOTHING  # that no plan of the card is sound for it

    @property
    def to_s(self) -> float:
        """When it ended."""
        return self.from_s + self.changed_s + self.cutting_s + self.measuring_s


@dataclass
class Shop:
    """One shift that is under way: the saw, the rack, and what was served.

    Args:
        shift: The cut list, the rack and the costs.
        machine: The machine that it is on; the shift's own when left out.
        seed: Of what is left to chance.
        built: That machine as it is or was; read by its name when left out.
        origin: Where shift and machine come from, and who is at the saw.
        record: Where the lines of its session go; None for nowhere.
        nonce: What seals names in them; None for a new one.
        found: It is opened as its record has it: switching on is among the acts that come.
    """

    shift: Shift
    machine: str = ""
    seed: int = SEED
    served: list[Served] = field(default_factory=list)
    built: Machine | None = None
    origin: Origin | None = None
    record: Record | None = None
    nonce: str | None = None
    found: bool = False

    def __post_init__(self) -> None:
        """Put the bars on the rack, and switch the saw on; the shift begins then."""
        shift = self.shift
        if self.machine:
            shift = self.shift = shift.model_copy(update={"machine": self.machine})
        if self.built is None:
            self.built = machine_of(shift.machine, shift.folder)
        metals, one_price = materials(), shift.costs.bar_per_kg
        self.rack = {
            bar.name: Remnant(
                bar.name,
                bar.length_mm * MM,
                bar.length_mm * MM,
                bar.section.to_section().mass_kg_m(metals[bar.material].density_kg_m3),
                metals[bar.material].price_kg if one_price is None else one_price.value,
            )
            for bar in shift.rack
        }
        self.on_saw = ""
        first = as_scenario(shift, shift.orders[0], 1).built_as(self.built)
        origin = Origin(seed=self.seed) if self.origin is None else self.origin
        self.session: Session = session_for(
            first, origin=origin, record=self.record, nonce=self.nonce
        )
        self._begun_s = 0.0
        if not self.found:
            power_up(self.session)
            self.begun()

    def begun(self) -> None:
        """Begin the shift now, on a saw that is switched on."""
        now_us = self.session.going.now_us
        self._begun_s = now_us / US
        self.session.journal.act(ShiftBegun(now_us))

    @property
    def now_s(self) -> float:
        """Time since the shift began, s."""
        return self.session.now_s - self._begun_s

    @property
    def harm(self) -> tuple[Message, ...]:
        """What came to harm."""
        return tuple(each.sentence for each in self.session.saw.consequences)

    def stood_s(self, from_s: float) -> float:
        """Return how long nothing was done between the last visit and one that begins at a time, s."""
        return from_s - (self.served[-1].to_s if self.served else 0.0)

    def fell_since(self, cuts: int) -> Sequence[Cut]:
        """Return the pieces that fell after so many cuts, good or not."""
        return [cut for cut in self.session.saw.cuts[cuts:] if cut.is_piece]

    def band_since(self, bought: int, used: float) -> tuple[float, int]:
        """Return what was used of band lives since so much was used, and how many new bands were fitted since so many."""
        blade = self.session.saw.plant.blade
        return blade.used - used, blade.bought - bought

    def turn_to(self, order: OrderWanted, bar: Remnant, pieces: int) -> Stock:
        """Turn the session to an order and a bar; return what will be loaded, or lies there."""
        on = self.session.saw.plant.bar
        lies = self.on_saw == bar.name
        face = lies and abs(on.end_rad - radians(order.mitre_deg)) < _SAME_RAD
        stock = Stock(
            materials()[order.material], order.section.to_section(), bar.length_m, LAID_M, bar.end_rad
        )  # fmt: skip
        asked = as_scenario(self.shift, order, pieces, straight=face)
        self.session.take_order(asked, stock, order.name)
        return stock
