"""The power path: isolator, contactors, 24 V and safety relay, and what each actuator hangs on.

Rule: what is not fed does not move, whatever the controller believes, and whatever is forced or
jumpered on the bench. Nothing here reads what the controller sees of a stop, of the isolator or of K0:
the hand's own contacts are listened to beside the wires.

Theory. 400 V come through the isolator Q0 and two contactors in series, Q11 and Q12, to a bus; behind
it are the contactors Q1 (band), Q2 (oil pump), Q3 (coolant pump) and the variator's motor. The supply
G1 makes 24 V behind Q0, and the fuse F24 leads them to the controller and to the safety relay K0. The
coils of Q11 and Q12 hang on the controller's output K1 and on K0; all other coils on what K0 switches,
those of Q1 and Y12 besides on a contact of the trip line. A mirror contact of Q11 and one of Q12 are
in series in the reset of K0: one that is welded keeps no stop from stopping, for the other opens, and
no reset pulls K0 in. Both welded at once is outside what this path can take.

Never here: how a part moves that is fed.
"""

from collections.abc import Callable
from typing import Final

from sim.plant.safety_relay import STOPS, SafetyRelay
from sim.plant.surroundings import Site
from sim.signals import OUTPUTS, Bus, stuck
from sim.units import US

MAIN: Final = ("Q11", "Q12")
MOTORS: Final = ("Q1", "Q2", "Q3")
ON_NO_WIRE: Final = (*MAIN, "G1", "F24", "F11", "F12", "F13")  # of the controller
VARIATOR: Final = ("M2", "M3")
MOTOR_OF: Final = {"Q1": "M1", "Q2": "M4", "Q3": "M5", "M2": "M6", "M3": "M6"}  # by contactor
_ON_MAINS: Final = frozenset((*MOTORS, *VARIATOR))
VALVES: Final = tuple(tag for tag in OUTPUTS if tag.startswith("Y"))
BEHIND_TRIP_LINE: Final = ("Q1", "Y12")
HANDS_ON: Final = ("Q0", *STOPS, "S2", "S5")  # whose own contacts lie in the path
CONTACTOR_A: Final = 0.25  # drawn from the 24 V by a coil; chosen for this saw
VALVE_A: Final = 1.2
WEAK_G1_A: Final = 3.5  # beyond it the voltage of an aged supply falls under what K0 holds at
SAGS_US: Final = US // 20  # after a load came on

_NO_VOLTAGE: Final = stuck(False)


class Power:
    """What the isolator, the stops and the controller's K1 make of the mains, and what is wrong with it."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._bus: Bus = site.bus
        self.relay = SafetyRelay()
        self.changed: Callable[[], None] = lambda: None  # tells the plant; until there is one
        self.fuse_24 = True  # F24 is whole
        self.phase_lost = False  # of the mains
        self.blown: set[str] = set()  # branch fuses of motors, by the motor's tag
        self.welded: set[str] = set()  # of Q11 and Q12
        self.dead_coils: set[str] = set()  # of Q11 and Q12: no current reaches them
        self.loop_broken = False  # the wire of the feedback loop
        self.no_return: bool = False  # the valves' common 0 V is off
        self.no_24 = False  # the 24 V do not arrive, for another reason than F24
        self.reset_open = False  # the wire of the reset circuit
        self.relay_unfed = False  # the safety relay's own supply
        self.grounded = ""  # the output whose wire touches earth
        self.weak_mains = False  # the voltage falls when the band's motor starts
        self.weak_24 = False  # the supply G1 no longer gives its current
        for tag in HANDS_ON:
            self._bus.listen_beside(tag, self._on_hand)

    # What there is --------------------------------------------------------------------------

    @property
    def isolated(self) -> bool:
        """Whether the isolator is off; its line side stays live."""
        return not self._bus.driven("Q0")

    @property
    def control(self) -> bool:
        """Whether the 24 V of controller, safety relay and guard locks are there."""
        return self.fuse_24 and not self.no_24 and not self.isolated

    @property
    def switched(self) -> bool:
        """Whether the 24 V behind the safety relay are there, on which all coils hang."""
        return self.control and self.relay.closed

    def pulled_in(self, contactor: str) -> bool:
        """Return whether Q11 or Q12 is in."""
        if contactor in self.welded:
            return True
        return self.switched and self._bus.seen["K1"] and contactor not in self.dead_coils

    @property
    def live(self) -> bool:
        """Whether the bus behind the two contactors has its 400 V."""
        return not self.isolated and all(map(self.pulled_in, MAIN))

    @property
    def loop(self) -> bool:
        """Whether the feedback loop is closed: neither contactor is in, and its wire is whole."""
        return not self.loop_broken and not any(map(self.pulled_in, MAIN))

    @property
    def out(self) -> dict[str, bool]:
        """Whether each emergency stop is out, by its tag."""
        return {stop: self._bus.driven(stop) for stop in STOPS}

    def coil_fed(self, tag: str) -> bool:
        """Return whether an output that is on brings its coil current."""
        if not self.switched or (tag in BEHIND_TRIP_LINE and not self._bus.driven("S2")):
            return False
        return not (self.no_return and tag in VALVES)

    def moves(self, tag: str, wire: bool, jammed: bool | None) -> bool:
        """Return whether what hangs on an output works: a valve is open, a motor has its voltage.

        Args:
            tag: The output.
            wire: What arrives of it.
            jammed: Where the thing itself is stuck; None where it follows its coil.
        """
        pulled = wire and self.coil_fed(tag) if jammed is None else jammed
        return pulled and (tag not in _ON_MAINS or self.live)

    def two_phases(self, motor: str) -> bool:
        """Return whether a motor, by the tag of its contactor, gets only two of its three phases."""
        return self.phase_lost or motor in self.blown

    # What happens ---------------------------------------------------------------------------

    def _on_hand(self, tag: str, value: bool) -> None:
        if tag == "S5" and not value:
            self.relay.reset(
                self.control and not self.relay_unfed and not self.reset_open,
                self.out, loop=self.loop,
            )  # fmt: skip
        self.feel()

    def feel(self) -> None:
        """Take note that something in the path was changed; every part is told."""
        self.relay.feel(self.control and not self.relay_unfed, self.out)
        away = not self.fuse_24 or self.no_24
        if away or self._bus.distortion("Q0") is _NO_VOLTAGE:
            self._bus.distort("Q0", _NO_VOLTAGE if away else None)
        self._bus.drive("K0", self.switched)
        self.changed()

    def spoil(self, change: Callable[["Power"], object]) -> None:
        """Break or mend something of the path."""
        change(self)
        self.feel()

    def make_good(self, tag: str) -> None:
        """Take a wire off earth, and put a new fuse in where that one blew."""
        if self.grounded == tag:
            self.grounded, self.fuse_24 = "", True

    def took(self, tag: str) -> None:
        """Take note that an output drives its load."""
        if tag == self.grounded:
            self._site.clock.after(SAGS_US, self._blows)
        if (tag == "Q1" and self.weak_mains) or (self.weak_24 and self._drawn_a() > WEAK_G1_A):
            self._site.clock.after(SAGS_US, self.sag)

    def _drawn_a(self) -> float:
        """Return what all coils that are on draw from the 24 V, A."""
        on = [tag for tag in OUTPUTS if self._bus.seen[tag] and self.coil_fed(tag)]
        contactors = len([tag for tag in on if tag in MOTORS] + [*filter(self.pulled_in, MAIN)])
        valves = len([tag for tag in on if tag in VALVES])
        return contactors * CONTACTOR_A + valves * VALVE_A

    def _blows(self) -> None:
        if self.grounded and self._bus.seen[self.grounded] and self.switched:
            self.spoil(lambda power: setattr(power, "fuse_24", False))

    def sag(self) -> None:
        """Drop the safety relay: the voltage fell below what it holds at."""
        self.relay.drop()
        self.feel()
