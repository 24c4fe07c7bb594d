"""What the oil does now, as the plant has it: which valve is open, which line is under pressure, what gauges show.

In a drill a valve is told as its lamp or a meter on it was read last, and not as its spool stands, and a
gauge is for a look to read. Nothing here is a model; everything is read off the plant.
"""

from collections.abc import Hashable
from typing import Final

from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.vise import Vise
from sim.session.inspections.inspection import isolator_on
from sim.session.session import Session
from sim.session.sights.known import hides, wire_read
from sim.session.sights.machine_words import shuttle_by_eye_m, tens_m
from sim.units import MM
from sim.view.play.points import Points
from sim.view.play.readings import descent_mm_min
from sim.words.fields import bar
from sim.words.message import Message, named, plain, row
from sim.words.speech import reader, tell

_OPEN: Final = plain("circuit.open", "open")
_SHUT: Final = plain("circuit.shut", "shut")
_SAGS: Final = plain("circuit.sags", "no power: passes")
_DRIVEN: Final = plain("circuit.driven", "coil on")
_AT_REST: Final = plain("circuit.at-rest", "coil off")
_FULL: Final = plain("circuit.full", "open: full speed")
_CREEPS: Final = plain("circuit.creeps", "shut: creeps")
_RUNS: Final = plain("circuit.runs", "runs")
_STANDS: Final = plain("circuit.stands", "stands still")
_HOLDS: Final = plain("circuit.holds", "holds")
_PASSES: Final = plain("circuit.holds-nothing", "holds nothing")
_GAUGE: Final = row("circuit.gauge", "{pressure}", pressure=bar(0))
_AIR: Final = row("circuit.air", "{pressure}", pressure=bar(1))
_UNKNOWN: Final = named("?")
_CENTRED: Final = plain("circuit.centred", "shut")
# Of a valve with two coils: when the first is on, the second, neither.
_CLAMP_WAYS: Final = (
    plain("circuit.clamps", "clamps"), plain("circuit.releases", "releases"),
    _CENTRED,
)  # fmt: skip
_SHUTTLE_WAYS: Final = (
    plain("circuit.back", "goes back"), plain("circuit.forward", "goes forward"),
    _CENTRED,
)  # fmt: skip


class Oil:
    """The circuit of one session."""

    def __init__(self, session: Session, points: Points) -> None:
        self._session = session
        self._points = points
        self.hides = hides(session)
        """Whether only what was looked at, and what the eye sees, is told."""
        self._moment: Hashable = None
        self._values: dict[str, str] = {}

    def on(self, tag: str) -> bool:
        """Return whether a valve or the pump is where its coil or contactor would put it."""
        if self.hides:
            read = wire_read(self._session, tag)
            return read is not None and read.live
        saw = self._session.saw
        stuck = saw.plant.seized(tag)
        fed = saw.bus.seen[tag] and not isolator_on(saw)
        return fed if stuck is None else stuck

    def _unread(self, *tags: str) -> bool:
        return self.hides and all(wire_read(self._session, tag) is None for tag in tags)

    # Lines --------------------------------------------------------------------------------

    def lines(self) -> dict[str, bool]:
        """Return which lines are under pressure, by their names in the table of the circuit."""
        plant = self._session.saw.plant
        fed = self.on("K1") and self.on("Q2") if self.hides else plant.supply.oil
        head = plant.head.place
        sinks, raised = head.rate < 0.0, fed and self.on("Y11")
        lets_out = self.on("Y12") or self._sags
        return {
            "fed": fed,
            "cutting_vise.fed": fed and self.on("Y31"),
            "shuttle_vise.fed": fed and self.on("Y32"),
            "cutting_vise.clamp": plant.cutting_vise.clamped or (fed and self.on("Y31")),
            "cutting_vise.release": fed and self.on("Y33"),
            "shuttle_vise.clamp": plant.shuttle_vise.clamped or (fed and self.on("Y32")),
            "shuttle_vise.release": fed and self.on("Y34"),
            "shuttle.back": fed and self.on("Y22"),
            "shuttle.forward": fed and self.on("Y21"),
            "raise": raised,
            "lift": raised or sinks or (plant.head.oil_pa > 0.0 and not self.hides),
            "exhaust": sinks and lets_out,
        }

    @property
    def _sags(self) -> bool:
        """Whether the lower valve lets oil through because there is no control power."""
        return self._session.machine.head_sinks and not self._session.saw.plant.supply.powered

    # Words --------------------------------------------------------------------------------

    def values(self) -> dict[str, str]:
        """Return what stands beside each sign, by its name in the table; worked out once for a moment."""
        session = self._session
        moment = (
            session.saw.clock.now_us,
            len(session.done.acts),
            len(session.done),
            len(session.seen.looks),
            reader(),
        )
        if moment != self._moment:
            self._moment, self._values = moment, self._told()
        return self._values

    def _told(self) -> dict[str, str]:
        plant = self._session.saw.plant
        return {
            "tank": self._set("supply.oil_percent"),
            "pump": tell(_UNKNOWN if self._unread("Q2") else _RUNS if self.on("Q2") else _STANDS),
            "creep": self._word("Y13", _FULL, _CREEPS),
            **self._vise("cutting_vise", plant.cutting_vise, "Y31", "Y33"),
            **self._vise("shuttle_vise", plant.shuttle_vise, "Y32", "Y34"),
            "shuttle": self._place(plant.shuttle.place.position, shuttle_by_eye_m(self._session)),
            "shuttle.valve": self._way(_SHUTTLE_WAYS, "Y22", "Y21"),
            "lift": self._place(plant.head.place.position, tens_m(plant.head.place.position)),
            "descent": tell(_UNKNOWN)
            if self.hides
            else reader().quantity(descent_mm_min(self._session), "mm/min"),
            "raise": self._word("Y11", _OPEN, _SHUT),
            "lower": self._word("Y12", _OPEN, _SAGS if self._sags else _SHUT),
            "throttle": self._set("head.lift_throttle_turns"),
            "feed": self._set("head.feed_valve_mm_min"),
            "relief": self._set("head.feed_force_n"),
            "air": self._air(),
        }

    def _place(self, place_m: float, by_eye_m: float) -> str:
        if self.hides:
            return reader().quantity(by_eye_m / MM, "mm")
        return reader().quantity(place_m / MM, "mm", 1)

    def _word(self, tag: str, on: Message, off: Message) -> str:
        if self._unread(tag):
            return tell(_UNKNOWN)
        if self.hides:
            on, off = _DRIVEN, _AT_REST
        return tell(on if self.on(tag) else off)

    def _way(self, ways: tuple[Message, Message, Message], first: str, second: str) -> str:
        if self._unread(first, second):
            return tell(_UNKNOWN)
        return tell(ways[0] if self.on(first) else ways[1] if self.on(second) else ways[2])

    def _vise(self, name: str, vise: Vise, clamp: str, release: str) -> dict[str, str]:
        return {
            f"{name}.gauge": tell(_UNKNOWN if self.hides else _GAUGE(pressure=vise.pressure_pa)),
            f"{name}.check": tell(_HOLDS if vise.clamped else _PASSES),
            f"{name}.set": self._set(f"{name}.pressure_bar"),
            f"{name}.valve": self._way(_CLAMP_WAYS, clamp, release),
        }

    def _set(self, name: str) -> str:
        """Return how something is set by hand, `?` while nobody has looked at it yet."""
        return self._points.words(SET_POINTS[name])

    def _air(self) -> str:
        """Return the pressure of the air over the oil, as far as its gauge was read."""
        if not self._points.open(SET_POINTS["supply.air_bar"]):
            return tell(_UNKNOWN)
        return tell(_AIR(pressure=self._session.saw.plant.supply.air_pa))
