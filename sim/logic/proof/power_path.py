"""Proves the power path: what is fed in every state of it, whatever comes from the controller.

Theory. The live `Power` is put into one state after another; every hand on isolator, stops, trip line
and reset, the output K1, the control fuse and a sag of the voltage are moves, in any order. All outputs
are free: an output counts as on, so that no force, jumper or fault of the controller is left out. That is
done for each way in which one device can be bad, alone and with one main contactor welded, with no wire
forced, with all forced on and with all forced off. A contact of the trip line that does not open is not
among the ways: the trip line is no emergency stop, and has one contact only. Both main
contactors welded, and two bad devices, are outside what is proved. A valve that is jammed open needs no
current: it is not fed, and its oil comes from a pump that is.

Never here: the controller's own states (see `proof`).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import Final

from sim.bugs import TableError
from sim.kernel.clock import Clock
from sim.plant.machine import Machine
from sim.plant.power import BEHIND_TRIP_LINE, HANDS_ON, MAIN, MOTORS, VARIATOR, Power
from sim.plant.safety_relay import CHANNELS, STOPS
from sim.plant.surroundings import Site
from sim.signals import BY_TAG, OUTPUTS, Bus
from sim.words.message import Message, plain

Failure = Callable[[Power], object]
Fed = frozenset[str]

_K1, _FUSE, _SAG = "K1", "F24", "sag"
_BACK: Final = frozenset(
    (tag, True) for tag in ("Q0", *STOPS, _FUSE)
)  # a supply or a stop comes back
_RESET: Final = ("S5", False)


@dataclass(frozen=True, slots=True)
class PathState:
    """Everything that the path remembers, and what is on its wires."""

    wires: tuple[bool, ...]  # of HANDS_ON and K1
    fuse: bool
    relays: tuple[bool, bool]
    disagreed: bool


@dataclass(frozen=True, slots=True)
class PathView:
    """What can be said of the path in a state."""

    on: dict[str, bool]  # what drives each wire, and the control fuse
    closed: bool  # the safety relay
    disagreed: bool
    welded: bool  # one of the main contactors is
    coils: Fed  # outputs that bring their coil current when on
    fed: Fed  # outputs whose load would work, be it by a contact of its own that does not open


Broken = Callable[[PathView, tuple[str, bool], PathView], bool]


@dataclass(frozen=True, slots=True)
class PathProperty:
    """Something that no move in the path ever breaks."""

    name: str
    sentence: Message
    broken: Broken  # before, by a move, after


@dataclass(frozen=True, slots=True)
class PathFinding:
    """What was found of one property."""

    name: str
    sentence: Message
    failures: tuple[str, ...]  # with which it is broken

    @property
    def holds(self) -> bool:
        """Whether it holds with every failure."""
        return not self.failures


@dataclass(frozen=True, slots=True)
class PathProof:
    """What was found of the path."""

    findings: tuple[PathFinding, ...]
    failures: int
    states: int
    moves: int

    @property
    def sound(self) -> bool:
        """Whether everything holds."""
        return all(finding.holds for finding in self.findings)


def _property(name: str, sentence: str, broken: Broken) -> PathProperty:
    return PathProperty(name, plain(f"power-path.{name}", sentence), broken)


PATH: Final = (
    _property("isolated", "With the isolator off no actuator is fed.",
              lambda _b, _m, after: bool(after.fed) and not after.on["Q0"]),
    _property("stopped", "With an emergency stop in no actuator is fed.",
              lambda _b, _m, after: bool(after.fed) and not all(after.on[stop] for stop in STOPS)),
    _property("relay-open", "With the safety relay open no actuator is fed.",
              lambda _b, _m, after: bool(after.fed) and not after.closed),
    _property("pulled", "With the trip line pulled the coils of band contactor and lowering valve get no current.",
              lambda _b, _m, after: not after.on["S2"] and not after.coils.isdisjoint(BEHIND_TRIP_LINE)),
    _property("comes-back", "Nothing comes to be fed when a supply comes back or a stop is let go.",
              lambda before, move, after: move in _BACK and bool(after.fed - before.fed)),
    _property("only-by-reset", "The safety relay pulls in only when the reset key comes up.",
              lambda before, move, after: after.closed and not before.closed and move != _RESET),
    _property("welded", "With a main contactor welded the safety relay does not pull in.",
              lambda before, _m, after: after.welded and after.closed and not before.closed),
    _property("differs", "A safety relay whose channels differed does not pull in before both have been open.",
              lambda before, _m, after: before.disagreed and after.closed and not before.closed),
)  # fmt: skip


def failures() -> Iterator[tuple[str, Failure]]:
    """Yield every way in which one device is bad, alone and with one main contactor welded."""
    alone: list[tuple[str, Failure]] = [("nothing", lambda _power: None)]
    for stop in STOPS:
        for channel in CHANNELS:
            for closed in (True, False):
                alone.append((f"{stop}.{channel}={int(closed)}", _contact(stop, channel, closed)))
    alone += [(f"K0.{channel}", _relay(channel)) for channel in CHANNELS]
    alone += [(f"{tag} coil", _among("dead_coils", tag)) for tag in MAIN]
    alone += [(f"{tag} fuse", _among("blown", tag)) for tag in MOTORS]
    for name in ("loop_broken", "no_return", "phase_lost", "weak_mains", "weak_24"):
        alone.append((name, lambda power, name=name: setattr(power, name, True)))  # type: ignore[misc]
    for name, fail in alone:
        yield name, fail
        for tag in MAIN:
            yield f"{name}, {tag} welded", _both(fail, _among("welded", tag))


def _contact(stop: str, channel: int, closed: bool) -> Failure:
    return lambda power: power.relay.spoilt.update({(stop, channel): closed})


def _relay(channel: int) -> Failure:
    return lambda power: power.relay.welded.add(channel)


def _among(name: str, tag: str) -> Failure:
    return lambda power: getattr(power, name).add(tag)


def _both(one: Failure, other: Failure) -> Failure:
    def fail(power: Power) -> None:
        one(power)
        other(power)

    return fail


FORCES: Final[tuple[bool | None, ...]] = (None, True, False)
"""What every wire is forced to, those of the power path and all others; None where none is."""


class _Stand:
    """One power path on wires of its own, and what was found of it."""

    def __init__(self, machine: Machine, fail: Failure, forced: bool | None) -> None:
        self.bus = Bus()
        self.power = Power(Site(Clock(), self.bus, machine))
        if forced is not None:
            for tag in BY_TAG:
                self.bus.force(tag, forced)
        fail(self.power)
        self.power.feel()
        self.bus.settle()

    @property
    def state(self) -> PathState:
        """Where it stands."""
        wires = tuple(self.bus.driven(tag) for tag in (*HANDS_ON, _K1))
        relay = self.power.relay
        return PathState(wires, self.power.fuse_24, relay.pulled, relay.disagreed)

    def put(self, state: PathState) -> None:
        """Put it into a state."""
        for tag, value in zip((*HANDS_ON, _K1), state.wires, strict=True):
            self.bus.drive(tag, value)
        self.bus.settle()
        self.power.fuse_24 = state.fuse
        self.power.relay.put(state.relays, state.disagreed)

    def make(self, move: tuple[str, bool]) -> None:
        """Make a move."""
        tag, value = move
        if tag == _FUSE:
            self.power.fuse_24 = value
            self.power.feel()
        elif tag == _SAG:
            self.power.sag()
        else:
            self.bus.drive(tag, value)
            self.bus.settle()
            self.power.feel()

    @property
    def moves(self) -> Iterator[tuple[str, bool]]:
        """Every move that is possible."""
        for tag in (*HANDS_ON, _K1):
            yield tag, not self.bus.driven(tag)
        yield _FUSE, not self.power.fuse_24
        yield _SAG, True

    @property
    def seen(self) -> PathView:
        """What can be said of it now."""
        power = self.power
        own = (*MOTORS, *VARIATOR)
        fed = {tag for tag in OUTPUTS if power.moves(tag, True, None)}
        fed |= {tag for tag in own if power.moves(tag, True, True)}
        on = {tag: self.bus.driven(tag) for tag in (*HANDS_ON, _K1)} | {_FUSE: power.fuse_24}
        coils = frozenset(tag for tag in OUTPUTS if power.coil_fed(tag))
        return PathView(
            on, power.relay.closed, power.relay.disagreed, bool(power.welded), coils, frozenset(fed)
        )


def prove_path(machine: Machine, forces: tuple[bool | None, ...] = FORCES) -> PathProof:
    """Return what holds of the power path with every failure; every state of it is visited.

    Args:
        machine: Whose path it is.
        forces: What every wire is forced to, one after the other.

    Raises:
        TableError: Something was never fed, so that nothing would have been proved.
    """
    broken: dict[str, list[str]] = {row.name: [] for row in PATH}
    states = moves = 0
    ever: set[str] = set()
    for (name, fail), forced in product(failures(), forces):
        stand = _Stand(machine, fail, forced)
        found = {stand.state: stand.seen}
        pending = [stand.state]
        bad: set[str] = set()
        while pending:
            state = pending.pop()
            stand.put(state)
            for move in tuple(stand.moves):
                stand.put(state)
                stand.make(move)
                moves += 1
                after = stand.state
                if after not in found:
                    found[after] = stand.seen
                    pending.append(after)
                bad |= {row.name for row in PATH if row.broken(found[state], move, found[after])}
        for property_name in bad:
            broken[property_name].append(name)
        states += len(found)
        ever |= {tag for seen in found.values() for tag in seen.fed}
    if ever != set(OUTPUTS):
        raise TableError("an output is never fed", where="power path")
    findings = tuple(
        PathFinding(row.name, row.sentence, tuple(dict.fromkeys(broken[row.name]))) for row in PATH
    )
    ways = sum(1 for _ in failures())
    return PathProof(findings, ways, states, moves)
