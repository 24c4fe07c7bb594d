"""The plant: all parts of one saw, and which output moves which of them."""

from collections.abc import Callable
from functools import partial
from math import radians

from sim.kernel.clock import Clock
from sim.plant.band import BandDrive
from sim.plant.bar import CRUSHED_BY_CUTTING_VISE, CRUSHED_BY_SHUTTLE_VISE, Bar, Piece, Stock
from sim.plant.blade import Blade
from sim.plant.brush import Brush
from sim.plant.coolant import Coolant
from sim.plant.cut import CutPlanner
from sim.plant.guard_lock import GuardLock
from sim.plant.harness import Harness
from sim.plant.head import Head, Works
from sim.plant.hood import Hood
from sim.plant.machine import Machine
from sim.plant.mode_key import ModeKey
from sim.plant.padlocks import DEVICES, Padlocks
from sim.plant.power import MAIN, Power
from sim.plant.sawing import Sawn
from sim.plant.shuttle import Shuttle
from sim.plant.supply import Supply
from sim.plant.supports import Supports
from sim.plant.surroundings import Site
from sim.plant.swivel import Swivel
from sim.plant.vise import Around, Vise
from sim.signals import OUTPUTS, Bus, Direction
from sim.words.fields import m_min, mm
from sim.words.message import Row, row

BAND_MOTOR, OIL_MOTOR, COOLANT_MOTOR = "Q1", "Q2", "Q3"  # by the contactor that feeds it

_RAN = row("harm.swung-running.detail", "It ran at {speed}.", speed=m_min())
_IN_BAR = row(
    "harm.swung-into-bar.detail", "It stood {depth} below the top of the bar.", depth=mm()
)


class Plant:
    """One saw's metal, oil and air."""

    def __init__(self, clock: Clock, bus: Bus, machine: Machine, stock: Stock) -> None:
        self.site = Site(clock, bus, machine)
        self.power = Power(self.site)
        self.padlocks = Padlocks()
        self.mode_key = ModeKey(bus)
        self.supply = Supply(self.site)
        self.bar = Bar(self.site, stock)
        self.band = BandDrive(self.site)
        self.blade = Blade(self.site)
        self.brush = Brush(self.site, self.blade)
        self.coolant = Coolant(self.site)
        self.supports = Supports(self.site, self.bar)
        self.hood = Hood(self.site)
        self.swivel = Swivel(self.site)
        self.guard_lock = GuardLock(self.power, self.band, self.padlocks)
        self.cutting_vise = Vise(
            self.site,
            self.supply,
            ("B31", "B33"),
            Around(self._at_cutting_vise, self._in_cutting_vise, self._cutting_clamping_changed),
        )
        self.shuttle_vise = Vise(
            self.site,
            self.supply,
            ("B32", "B34"),
            Around(self._at_shuttle_vise, self._in_shuttle_vise, self._shuttle_clamping_changed),
        )
        self.shuttle = Shuttle(
            self.site, self.supply, self.bar, (self.cutting_vise, self.shuttle_vise), self.supports
        )
        self.cut = CutPlanner(
            self.site,
            self.band,
            self.blade,
            self.bar,
            self.cutting_vise,
            self.supports,
            self.swivel,
        )
        sawn = Sawn(
            self.band,
            self.blade,
            self.brush,
            self.bar,
            self.cut,
            self.coolant,
            self.supports,
            self.swivel,
        )
        works = Works(self.supply, self.shuttle, self.cutting_vise, sawn)
        self.head = Head(self.site, works, self._parted)
        self.site.cut_changed = self.head.replan
        self.band.changed = self.head.band_changed
        self.band.at_work = self.head.at_work
        self.supply.air_lost = self.head.feel
        self._on_piece: Callable[[Piece | None], None] = lambda _piece: None
        self._moves: dict[str, Callable[[bool], None]] = {
            "K1": self._power,
            "Q1": self._drive_band,
            "Q2": self._pump,
            "Q3": self._pump_coolant,
            "M2": self._shift,
            "M3": self._shift,
            "Y13": self._creep,
            "Y11": partial(self.head.open, "raise"),
            "Y12": partial(self.head.open, "lower"),
            "Y21": partial(self.shuttle.push, "forward"),
            "Y22": partial(self.shuttle.push, "back"),
            "Y31": partial(self.cutting_vise.pull, "clamp"),
            "Y32": partial(self.shuttle_vise.pull, "clamp"),
            "Y33": partial(self.cutting_vise.pull, "release"),
            "Y34": partial(self.shuttle_vise.pull, "release"),
        }
        self._seized: dict[str, bool] = {}  # by tag, where it is stuck
        self._works = dict.fromkeys(OUTPUTS, False)  # what each output moves
        self.harness = Harness(machine.loom, bus, self.power, self.seize, self.loosen)
        self.hums: set[str] = set()  # pumps that are fed on two phases and stand, by tag
        self.on_hum: Callable[[str], None] = lambda _motor: None  # told of a motor that begins to
        self.power.changed = self._power_changed
        bus.listen(Direction.OUTPUT, self._on_output)
        self.sense()

    def vise(self, name: str) -> Vise:
        """Return a vise by the name of its part, one of `VISES`."""
        return {"cutting_vise": self.cutting_vise, "shuttle_vise": self.shuttle_vise}[name]

    def on_piece(self, listener: Callable[[Piece | None], None]) -> None:
        """Have `listener(piece)` called after every parting cut; None when only the face was cut."""
        self._on_piece = listener

    def _on_output(self, tag: str, value: bool) -> None:
        if tag == "K1":
            self.power.feel()  # it holds the contactors that feed the others
        else:
            self._tell(tag, value)

    def _power_changed(self) -> None:
        lost = self.power.two_phases("Q1")
        if lost is not self.band.relay.phase_lost:
            self.band.relay.lose_phase(lost)
        for tag in OUTPUTS:
            self._tell(tag, self.site.bus.seen[tag])

    def _tell(self, tag: str, wire: bool) -> None:
        """Have a part do what its output says, as far as it is fed."""
        works = self.power.moves(tag, wire, self._seized.get(tag))
        if works is not self._works[tag]:
            self._works[tag] = works
            self._moves[tag](works)
            if works:
                self.power.took(tag)

    def seize(self, tag: str, at: bool) -> None:
        """Have a valve, pump or contactor stay on or off, whatever its wire says."""
        self._seized[tag] = at
        self._tell(tag, self.site.bus.seen[tag])

    def loosen(self, tag: str) -> None:
        """Have a seized valve, pump or contactor follow its wire again."""
        if self._seized.pop(tag, None) is not None:
            self._tell(tag, self.site.bus.seen[tag])

    def seized(self, tag: str) -> bool | None:
        """Return where a valve, pump or contactor is stuck; None when it follows its wire."""
        return self._seized.get(tag)

    def sense(self) -> None:
        """Show every level and presence switch what there is."""
        self.supply.sense()
        self.coolant.sense()
        self.shuttle.sense_bar()
        self.hood.sense()
        self.band.relay.sense()
        self.band.guide.sense()
        self.band.tension.sense()

    def load(self, stock: Stock) -> None:
        """Put a fresh bar in; a jaw stays where it is, or is slid back for a wider bar by whoever lays it in."""
        thinner_m = self.bar.stock.section.width_m - stock.section.width_m
        reach_m = self.site.machine.jaw_reach_m
        self.bar.load(stock)
        for vise in (self.cutting_vise, self.shuttle_vise):
            vise.slide_jaw(min(vise.gap_m + max(thinner_m, 0.0), reach_m))
        self.shuttle.sense_bar()
        self.shuttle.feel()
        self.head.bar_came()

    def set_air(self, air_pa: float) -> None:
        """Set the pressure of the air supply, Pa."""
        self.supply.set_air(air_pa)

    def set_oil(self, level: float) -> None:
        """Set the oil level, 0 to 1."""
        self.supply.oil_level = level
        self.supply.sense()
        self._feel_oil()

    def swing(self, mitre_deg: float) -> None:
        """Swing the head to a mitre angle, degrees, as a hand at the lever does."""
        head_m = self.head.place.position
        if self.band.turning:
            self.site.tell("swung-running", _RAN(speed=self.band.speed_m_s))
        if self.bar.under_band and head_m < self.bar.height_m:
            self.site.tell("swung-into-bar", _IN_BAR(depth=self.bar.height_m - head_m))
        self.bar.swing(radians(mitre_deg))
        self.swivel.set_mitre(mitre_deg)

    def inside(self) -> list[object]:
        """Return the part of the state that is neither a set point nor the position of an axis."""
        band, vises = self.band, (self.cutting_vise, self.shuttle_vise)
        return [
            self.supply.air_pa,
            [
                *self.power.relay.relays,
                self.power.relay.disagreed,
                *map(self.power.pulled_in, MAIN),
            ],
            [band.relay.heat, band.relay.square, band.relay.phase_lost],
            [band.tension.stress_pa, band.tension.slack, band.belt, band.lining, band.stalled],
            [band.guide.play, band.guide.guarded],
            [self.blade.condition.name, self.blade.wear, self.blade.packed, self.brush.wear],
            [self.blade.sawn_m2, *self.head.sawing.look],
            [list(self.padlocks.owners(device)) for device in DEVICES],
            list(self.mode_key.stood),
            [
                self.coolant.level,
                self.coolant.concentration,
                self.coolant.blocked,
                self.coolant.split,
            ],
            [[vise.friction, vise.leak, vise.clamped, vise.shut] for vise in vises],
            [
                self.shuttle.play_m,
                self.shuttle.scale_off_m,
                self.shuttle.pace,
                self.shuttle.drag,
            ],
            [
                self.head.lift.leak_m_s,
                self.head.lift.passes,
                self.head.lift.air,
                self.head.lift.filled,
                self.head.lift.pumped,
                self.head.height_stop.crept_m,
            ],
        ]

    @property
    def humming(self) -> frozenset[str]:
        """The motors that are fed and stand, by tag."""
        return frozenset(self.hums | ({BAND_MOTOR} if self.band.relay.stands else set()))

    def _drive_band(self, on: bool) -> None:
        if on:
            self.head.obstacles.band_starts()
        self.band.drive(on)
        if self.band.relay.stands:
            self.on_hum(BAND_MOTOR)

    def _power(self, on: bool) -> None:
        self.supply.powered = on
        self._feel_oil()

    def _pump(self, on: bool) -> None:
        self.supply.pump = self._turns(OIL_MOTOR, on)
        self._feel_oil()

    def _pump_coolant(self, on: bool) -> None:
        self.coolant.run(self._turns(COOLANT_MOTOR, on))

    def _turns(self, pump: str, on: bool) -> bool:
        """Return whether a pump's motor turns: on two phases it hums and does not start."""
        hums = on and self.power.two_phases(pump)
        begins = hums and pump not in self.hums
        (self.hums.add if hums else self.hums.discard)(pump)
        if begins:
            self.on_hum(pump)
        return on and not hums

    def _creep(self, full: bool) -> None:
        self.supply.full = full
        self._feel_oil()

    def _feel_oil(self) -> None:
        self.cutting_vise.feel()
        self.shuttle_vise.feel()
        self.shuttle.feel()
        self.head.feel()

    def _shift(self, _on: bool) -> None:
        works = self._works
        self.band.shift(works["M2"] - works["M3"])  # driven both ways at once it stays put

    def _at_cutting_vise(self) -> bool:
        return self.bar.reaches(-self.site.machine.cutting_jaw_m / 2, 0.0)

    def _in_cutting_vise(self) -> bool:
        return self.bar.overlaps(-self.site.machine.cutting_jaw_m, 0.0)

    def _in_shuttle_vise(self) -> bool:
        return self.shuttle.touches_bar

    def _at_shuttle_vise(self) -> bool:
        return self.shuttle.has_bar

    def _cutting_clamping_changed(self) -> None:
        if self.cutting_vise.clamped:
            self._press(self.cutting_vise, self.site.machine.cutting_jaw_m, CRUSHED_BY_CUTTING_VISE)
        self.shuttle.feel()
        self.head.clamping_changed()

    def _shuttle_clamping_changed(self) -> None:
        if self.shuttle_vise.clamped:
            self._press(self.shuttle_vise, self.site.machine.jaw_length_m, CRUSHED_BY_SHUTTLE_VISE)
        self.shuttle.feel()

    def _press(self, vise: Vise, jaw_m: float, crushed: Row) -> None:
        vise.bears_n = self.bar.press(vise.cylinder_n, jaw_m, vise.stroke_left_m, crushed)

    def _parted(self) -> None:
        self._on_piece(self.head.sawing.part())
        self.shuttle.sense_bar()
        self.shuttle.feel()
