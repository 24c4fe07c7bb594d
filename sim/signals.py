"""The input and output table, and the bus that carries it: where plant and control meet.

Every wire between the machine and its controller is one row here. A sensor or a key drives an
input, the controller drives an output, and whoever listens sees what comes out of the other end
of the wire, which a fault may have changed: stuck, cut, crossed. All safety inputs are wired so
that they fail to safety: a cut wire reads False, as an open guard or a pressed stop does
(True means healthy, closed, released).

Device letters follow IEC 81346-2: Q power switching, S operator's hand, B sensing, K processing,
F protection, M driving, Y valve.
"""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final, TypeVar

from sim.bugs import TableError
from sim.words.message import NOTHING, Message, plain


class Direction(StrEnum):
    """Which way a wire carries, seen from the controller."""

    INPUT = "input"
    OUTPUT = "output"


class Source(StrEnum):
    """What drives the wire."""

    KEY = "key"  # springs back when let go
    LATCH = "latch"  # stays where the hand left it
    SWITCH = "switch"  # one contact of the mode switch: turning it there opens the others
    SENSOR = "sensor"
    CONTROL = "control"


@dataclass(frozen=True, slots=True)
class Signal:
    """One wire."""

    tag: str
    source: Source
    at_rest: bool  # before anybody has touched the machine
    text: Message  # what True means, as a clause
    key: str = ""  # the name by which a person presses it; empty when nobody can
    fails: Message = NOTHING  # what happens when it goes False, where False is bad
    mends: Message = NOTHING  # what happens when it is True again
    # The set points by which a hand at the machine makes it True or False.
    good: tuple[tuple[str, float | str], ...] = ()
    bad: tuple[tuple[str, float | str], ...] = ()

    @property
    def direction(self) -> Direction:
        """Towards the controller or from it."""
        return Direction.OUTPUT if self.source is Source.CONTROL else Direction.INPUT

    @property
    def normally_closed(self) -> bool:
        """Whether its wire is True at rest and goes False under the hand."""
        return self.at_rest and self.source in (Source.KEY, Source.LATCH)


_K, _L, _M = Source.KEY, Source.LATCH, Source.SWITCH
_B, _C = Source.SENSOR, Source.CONTROL


def _wire(tag: str, source: Source, at_rest: bool, text: str, key: str = "") -> Signal:
    return Signal(tag, source, at_rest, plain(f"signal.{tag.lower()}", text), key)


def _can_fail(
    wire: Signal, fails: str, mends: str, **by_hand: tuple[float | str, float | str]
) -> Signal:
    """Return a wire with what its going bad looks like, and what a hand sets for good and bad."""
    key = f"signal.{wire.tag.lower()}"
    settings = [(name.replace("__", "."), *ways) for name, ways in by_hand.items()]
    return replace(
        wire,
        fails=plain(f"{key}.fails", fails),
        mends=plain(f"{key}.mends", mends),
        good=tuple((name, good) for name, good, _ in settings),
        bad=tuple((name, bad) for name, good, bad in settings if good != bad),
    )


# fmt: off
SIGNALS: Final[tuple[Signal, ...]] = (
    # SUPPLY
    _wire("Q0", _L, False, "the isolator is on", "supply.isolator"),
    _wire("S1", _L, True, "the emergency stop at the console is out", "supply.emergency_stop"),
    _wire("S9", _L, True, "the emergency stop at the infeed is out", "supply.infeed_stop"),
    _can_fail(_wire("S2", _L, True, "the trip line is home", "supply.trip_line"),
              "the trip line is pulled", "the trip line is set back"),
    _wire("S3", _K, False, "the left palm key is down", "palm.left"),
    _wire("S4", _K, False, "the right palm key is down", "palm.right"),
    _wire("S5", _K, False, "the reset key is down", "supply.reset"),
    _wire("S8", _K, False, "the control-on key is down", "supply.control_on"),
    _wire("K0", _B, False, "the safety relay has pulled in"),
    # MODE
    _wire("S6A", _M, True, "the mode switch points to MANUAL", "mode.manual"),
    _wire("S6B", _M, False, "the mode switch points to MAINTENANCE", "mode.maintenance"),
    _wire("S6C", _M, False, "the mode switch points to PRODUCTION", "mode.production"),
    _wire("S7", _K, False, "the enabling device is in its middle position", "enable"),
    # BAND
    _wire("S10", _K, False, "the band run key is down", "band.run"),
    _wire("S11", _K, False, "the band stop key is down", "band.stop"),
    _wire("S12", _K, False, "the slower key is down", "band.slower"),
    _wire("S13", _K, False, "the faster key is down", "band.faster"),
    _can_fail(_wire("F1", _B, True, "the overload relay is healthy"),
              "the overload relay trips", "the overload relay is reset", band__relay=("set", "tripped")),
    _wire("B1", _B, False, "the band turns"),
    _wire("B2", _B, False, "the band is at speed"),
    _wire("B3", _B, True, "the variator is at its lowest speed"),
    _can_fail(_wire("B41", _B, True, "the band guard is closed"),
              "the band guard is opened", "the band guard is closed", band__guard=("closed", "open")),
    _can_fail(_wire("B42", _B, True, "the wheel cover is closed"),
              "the wheel cover is opened", "the wheel cover is closed", band__wheel_cover=("closed", "open")),
    _can_fail(_wire("B51", _B, True, "the band is tight enough"),
              "the band loses its tension", "the band is tensioned", band__tension_mpa=(225.0, 100.0)),
    _can_fail(_wire("B54", _B, True, "the band is not too tight"),
              "the band is tensioned too far", "the band is slackened to its tension",
              band__tension_mpa=(225.0, 320.0)),
    _can_fail(_wire("B52", _B, True, "the band wander is within its range"),
              "the band wanders beyond its range", "the band is back within its range"),
    # CUTTING VISE
    _wire("S20", _K, False, "the cutting vise clamp key is down", "cutting_vise.clamp"),
    _wire("S21", _K, False, "the cutting vise release key is down", "cutting_vise.release"),
    _wire("B31", _B, True, "the cutting vise jaw is fully back"),
    _wire("B33", _B, False, "the cutting vise is clamped"),
    # SHUTTLE VISE
    _wire("S30", _K, False, "the shuttle vise clamp key is down", "shuttle_vise.clamp"),
    _wire("S31", _K, False, "the shuttle vise release key is down", "shuttle_vise.release"),
    _wire("B32", _B, True, "the shuttle vise jaw is fully back"),
    _wire("B34", _B, False, "the shuttle vise is clamped"),
    # SHUTTLE
    _wire("S40", _K, False, "the shuttle back key is down", "shuttle.back"),
    _wire("S41", _K, False, "the shuttle forward key is down", "shuttle.forward"),
    _can_fail(_wire("B43", _B, True, "the infeed hood is shut, or the saw has none"),
              "the infeed hood is opened", "the infeed hood is shut", infeed__hood=("shut", "open")),
    _wire("B21", _B, False, "the shuttle is back at its length stop"),
    _wire("B22", _B, True, "the shuttle is forward at the cutting vise"),
    _can_fail(_wire("B53", _B, True, "there is bar at the shuttle vise"),
              "the bar comes to its end", "a fresh bar is loaded"),
    # HEAD
    _wire("S50", _K, False, "the head raise key is down", "head.raise"),
    _wire("S51", _K, False, "the head lower key is down", "head.lower"),
    _wire("B11", _B, True, "the head is up at its height stop"),
    _wire("B12", _B, False, "the head is down through the bar"),
    _can_fail(_wire("B61", _B, True, "the air pressure is high enough"),
              "the air pressure falls", "the air pressure is back",
              supply__air_cock=("open", "open"), supply__air_bar=(6.0, 3.0)),
    _can_fail(_wire("B62", _B, True, "the oil level is high enough"),
              "the oil level falls", "the oil is topped up", supply__oil_percent=(80.0, 20.0)),
    # COOLANT
    _wire("S60", _K, False, "the coolant off key is down", "coolant.off"),
    _wire("S61", _K, False, "the coolant with-band key is down", "coolant.with_band"),
    _wire("S62", _K, False, "the coolant on key is down", "coolant.on"),
    _can_fail(_wire("B63", _B, True, "the coolant level is high enough"),
              "the coolant level falls", "the coolant is topped up", coolant__level_percent=(80.0, 10.0)),
    # JOB
    _wire("S70", _K, False, "the job reset key is down", "job.reset"),
    _wire("S71", _K, False, "the job start key is down", "job.start"),
    _wire("S72", _K, False, "the hold key is down", "job.hold"),
    _wire("S73", _K, False, "the unhold key is down", "job.unhold"),
    _wire("S74", _K, False, "the complete key is down", "job.complete"),
    _wire("S75", _K, False, "the job stop key is down", "job.stop"),
    _wire("S76", _K, False, "the clear key is down", "job.clear"),
    _wire("S77", _K, False, "the new-job key is down", "job.new"),
    _wire("S78", _K, False, "the first-cut key is turned to square", "job.square"),
    _wire("S79", _K, False, "the first-cut key is turned to straight", "job.straight"),
    # Outputs
    _wire("K1", _C, False, "the control power is on"),
    _wire("Q1", _C, False, "the band contactor is in"),
    _wire("Q2", _C, False, "the oil pump runs"),
    _wire("Q3", _C, False, "the coolant pump runs"),
    _wire("M2", _C, False, "the variator is driven faster"),
    _wire("M3", _C, False, "the variator is driven slower"),
    _wire("Y11", _C, False, "the head raise valve is open"),
    _wire("Y12", _C, False, "the head lower valve is open"),
    _wire("Y13", _C, False, "the creep valve is open for full speed"),
    _wire("Y21", _C, False, "the shuttle is driven forward"),
    _wire("Y22", _C, False, "the shuttle is driven back"),
    _wire("Y31", _C, False, "the cutting vise valve is pulled to clamp"),
    _wire("Y32", _C, False, "the shuttle vise valve is pulled to clamp"),
    _wire("Y33", _C, False, "the cutting vise valve is pulled to release"),
    _wire("Y34", _C, False, "the shuttle vise valve is pulled to release"),
)
# fmt: on

BY_TAG: Final = {row.tag: row for row in SIGNALS}
BY_KEY: Final = {row.key: row for row in SIGNALS if row.key}
INPUTS: Final = tuple(row.tag for row in SIGNALS if row.direction is Direction.INPUT)
MODE_SWITCH: Final = tuple(row.tag for row in SIGNALS if row.source is Source.SWITCH)
OUTPUTS: Final = tuple(row.tag for row in SIGNALS if row.direction is Direction.OUTPUT)

# Keys whose wire is True at rest and goes False under the hand (normally closed contacts).
NORMALLY_CLOSED: Final = frozenset(row.tag for row in SIGNALS if row.normally_closed)

Distortion = Callable[[bool], bool]
Listener = Callable[[str, bool], None]
_Amiss = TypeVar("_Amiss")


def stuck(value: bool) -> Distortion:
    """Return a wire that shows one value whatever drives it."""
    return lambda _driven: value


DEAD: Final = stuck(False)  # a broken wire, or a contact that never makes
LIVE: Final = stuck(True)  # a contact that never breaks


def crossed(driven: bool) -> bool:
    """A wire that shows the opposite of what drives it."""
    return not driven


_ROUNDS = range(10_000)  # at most, until all that a change brings about has settled


class Bus:
    """The wires, each with what drives it and what is seen at its other end.

    A change is queued and delivered by `settle`, so that no listener is ever called from inside
    another, and two runs deliver in the same order.
    """

    def __init__(self) -> None:
        self.seen: dict[str, bool] = {row.tag: row.at_rest for row in SIGNALS}
        self._driven: dict[str, bool] = dict(self.seen)
        self._distortions: dict[str, Distortion] = {}
        self._devices: dict[str, Distortion] = {}  # what is wrong with the things that drive wires
        self.forced: dict[str, bool] = {}  # held at one value on the bench, whatever else is so
        self._changes: deque[tuple[str, bool, list[Listener]]] = deque()
        self._listeners: dict[Direction, list[Listener]] = {side: [] for side in Direction}
        self._listeners_by_tag = {row.tag: self._listeners[row.direction] for row in SIGNALS}
        self._beside: dict[str, list[Listener]] = {}  # other contacts of the same thing
        self._watchers: list[Callable[[str], None]] = []
        # By wire, who is told of it, where it is as mostly: nothing beside it, amiss or watching.
        self._straight = dict(self._listeners_by_tag)

    def listen(self, direction: Direction, listener: Listener) -> None:
        """Have `listener(tag, value)` called for every edge on wires of that direction."""
        self._listeners[direction].append(listener)

    def listen_beside(self, tag: str, listener: Listener) -> None:
        """Have `listener(tag, value)` called for every change of what drives a wire.

        So does another contact in the same switch feel the hand: no fault or force on the wire
        reaches it, and it is told before the wire's far end is.
        """
        self._beside.setdefault(tag, []).append(listener)
        self._sort()

    def watch(self, watcher: Callable[[str], None]) -> None:
        """Have `watcher(tag)` called whenever something may be other at either end of a wire.

        It is called at once, before the wire's far end is told, and may change nothing.
        """
        self._watchers.append(watcher)
        self._sort()

    def near(self, tag: str) -> bool:
        """Return what is put on a wire: an input by its device, an output by its card, forced or not."""
        forced = self.forced.get(tag) if BY_TAG[tag].direction is Direction.OUTPUT else None
        return self.driven(tag) if forced is None else forced

    def drive(self, tag: str, value: bool) -> None:
        """Put a value on the near end of a wire; what is seen may differ if the wire is bad."""
        if self._driven[tag] is not value:
            self._driven[tag] = value
            listeners = self._straight.get(tag)
            if listeners is not None:
                self.seen[tag] = value
                self._changes.append((tag, value, listeners))
            else:
                if tag in self._beside:
                    self._changes.append((tag, value, self._beside[tag]))
                self._show(tag)

    def drive_all(self, values: Iterable[tuple[str, bool]]) -> None:
        """Put a value on the near end of each of some wires."""
        driven = self._driven
        for tag, value in values:
            if driven[tag] is not value:
                self.drive(tag, value)

    def distort(self, tag: str, distortion: Distortion | None) -> None:
        """Spoil a wire, or mend it with None."""
        self._put(self._distortions, tag, distortion)

    def spoil_device(self, tag: str, distortion: Distortion | None) -> None:
        """Spoil the switch or sensor that drives a wire, its own lamp with it, or mend it with None."""
        self._put(self._devices, tag, distortion)

    def force(self, tag: str, value: bool | None) -> None:
        """Hold what is seen of a wire at one value, over any fault on it; let go with None."""
        self._put(self.forced, tag, value)

    def _put(self, among: dict[str, _Amiss], tag: str, what: _Amiss | None) -> None:
        """Put among those of its kind what is amiss with a wire, or take it out with None."""
        if what is None:
            among.pop(tag, None)
        else:
            among[tag] = what
        self._sort()
        self._show(tag)

    def _sort(self) -> None:
        """Find the wires on which a change goes straight to who is told of it."""
        besides = {*self._beside, *self._distortions, *self._devices, *self.forced}
        told = {} if self._watchers else self._listeners_by_tag
        self._straight = {tag: each for tag, each in told.items() if tag not in besides}

    def driven(self, tag: str) -> bool:
        """Return what is on the near end of the wire."""
        device = self._devices.get(tag)
        return self._driven[tag] if device is None else device(self._driven[tag])

    def device(self, tag: str) -> Distortion | None:
        """Return what spoils the thing that drives the wire, None when it is sound."""
        return self._devices.get(tag)

    def distortion(self, tag: str) -> Distortion | None:
        """Return what spoils the wire, None when it is sound."""
        return self._distortions.get(tag)

    def spoiled(self, tag: str) -> bool:
        """Return whether a fault sits on the wire or on what drives it."""
        return tag in self._distortions or tag in self._devices

    def _far(self, tag: str) -> bool:
        """Return what comes out at the far end of the wire."""
        value = self.driven(tag)
        distortion = self._distortions.get(tag)
        if distortion is not None:
            value = distortion(value)
        return self.forced.get(tag, value)

    def _show(self, tag: str) -> None:
        value = self._far(tag)
        if self.seen[tag] is not value:
            self.seen[tag] = value
            self._changes.append((tag, value, self._listeners_by_tag[tag]))
        for watcher in self._watchers:
            watcher(tag)

    def settle(self) -> None:
        """Deliver every change until none is left.

        Raises:
            TableError: The changes feed each other without end.
        """
        changes = self._changes
        for _ in _ROUNDS:
            if not changes:
                return
            tag, value, listeners = changes.popleft()
            for listener in listeners:
                listener(tag, value)
        raise TableError("the signals do not settle", where=f"signal {changes[0][0]}")
