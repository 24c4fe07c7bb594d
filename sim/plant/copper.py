"""Holds the wiring of a saw to what the saw is simulated to do: its copper must say the same in every state.

Theory. A contact joins two terminals or does not. If something has its voltage with nothing closed but its own
contact, it has it whenever that contact is closed, however all others stand; if it has none with
everything closed but its own contact, it never has any while that is open. So two looks at each input, coil,
channel and motor settle all states. Loads are taken to carry nothing on, which is right because one side of
each is held to lie at 0 V for good, and motors to hang on the mains alone.

Never here: how a mistake is said (see `sim.scenario.wirings`), and what a failure makes of it (see
`sim.wiring.consequences`).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property, lru_cache
from itertools import combinations, pairwise
from typing import Final

from sim.plant.power import BEHIND_TRIP_LINE, MAIN, MOTOR_OF, VALVES, VARIATOR
from sim.plant.safety_relay import STOPS
from sim.signals import BY_TAG, INPUTS, Source
from sim.wiring.circuit import PHASES, point
from sim.wiring.consequences import CHANNELS, CONTROL_FUSE, FEEDBACK, FEEDS_MAIN, RESET
from sim.wiring.loom import (
    COILS,
    OUT,
    PLUS,
    ZERO,
    Is,
    Loom,
    Wire,
    WiredContact,
    WiredDevice,
    tag_of,
)

RELAY: Final = "K0"
ISOLATOR: Final = "Q0"
TRIP_LINE: Final = "S2"
RESET_KEY: Final = "S5"
OVERLOAD: Final = ("F1", "Q1")  # and the contactor whose motor it watches
_AT_REST_COUNTS: Final = (Is.RELAY, Is.CONTACTOR, Is.SAFETY_RELAY)
"""A contact of theirs may close as they drop."""
_MOVES: Final = (*COILS, Is.ISOLATOR, Is.SWITCH, Is.SENSOR, Is.OVERLOAD, Is.SAFETY_RELAY)
_HAND: Final = (Source.KEY, Source.LATCH)
_KINDS: Final[dict[str, tuple[Is, ...]]] = {
    ISOLATOR: (Is.ISOLATOR,),
    RELAY: (Is.SAFETY_RELAY,),
    OVERLOAD[0]: (Is.OVERLOAD,),
    CONTROL_FUSE: (Is.FUSE,),
    FEEDS_MAIN: (Is.RELAY, Is.CONTACTOR),
    **dict.fromkeys((*MAIN, *MOTOR_OF), (Is.CONTACTOR,)),
    **dict.fromkeys(VALVES, (Is.VALVE,)),
}
_SIDES: Final[dict[Is, tuple[str, str]]] = {  # the terminals on 24 V and on 0 V for good
    Is.SENSOR: (PLUS, ZERO),
    Is.SAFETY_RELAY: ("A1", "A2"),
    Is.INPUT_CARD: ("", "M"),
    Is.OUTPUT_CARD: ("", "M"),
    Is.MAINS: ("", "PE"),
    **{kind: ("", ends[1]) for kind, ends in COILS.items()},
}
_OF_INPUTS: Final = (Is.SWITCH, Is.SENSOR)


class Astray(StrEnum):
    """In what the copper says other than the saw."""

    KIND = "kind"  # a device is not of the kind that the saw takes it for
    IDLE = "idle"  # nothing on the saw moves it, or drives it
    FORM = "form"  # a contact opens where the hand's closes
    NO_DEVICE = "no-device"  # there is none of a kind
    JOINED = "joined"  # two terminals that are never one
    LIVE = "live"  # a terminal has its voltage with a contact open
    DRIVEN = "driven"  # a device is fed with its output off
    DARK = "dark"  # a terminal does not get its voltage with all closed that should bring it
    NO_FEED = "no-feed"  # a terminal is not on 24 V for good
    NO_RETURN = "no-return"  # a terminal is not on 0 V for good
    MOTOR = "motor"  # a contactor feeds not the motor that it should, or not on three phases
    TURNS = "turns"  # two contactors of one motor turn it the same way


_NO_WIRE: Final = (Astray.KIND, Astray.IDLE, Astray.FORM, Astray.NO_DEVICE)


@dataclass(frozen=True, slots=True)
class Contradiction:
    """One thing in which the copper says other than the saw."""

    against: Astray
    tag: str  # the device that it is about
    end: str = ""  # the terminal; of a form, the contact
    other: str = ""  # what it is joined to, what should bring its voltage, the motor, or the kind
    way: tuple[Wire, ...] = ()  # of what is joined and should not be, from one end to the other


_Edge = tuple[int, int]  # a point, and the number of what joins to it


@lru_cache(maxsize=16)
def contradictions(loom: Loom) -> tuple[Contradiction, ...]:
    """Return everything in which a wiring says other than the saw; nothing where it says the same.

    Args:
        loom: A wiring in which every device that the saw needs is there, with its address and card.
    """
    return _contradictions(loom)


def _contradictions(loom: Loom) -> tuple[Contradiction, ...]:
    return (*_devices(loom),) or (*_Copper(loom).contradictions(),)


def culprit(loom: Loom, found: Contradiction, told: Iterable[str]) -> Wire | None:
    """Return the wire that most likely lies wrong: without it the least is wrong; None where it is a device.

    Args:
        loom: The wiring.
        found: What is wrong in it.
        told: The tags of the devices that a site has told itself, where it will have gone wrong.
    """
    if found.against in _NO_WIRE:
        return None
    own, way = set(told), found.way or _loose(loom, found)
    mine = [each for each in way if loom.owner(each) in own] or [*way]
    past = _past(loom, found)
    if past in mine:
        return past
    wires = _likely(loom, found.tag, mine)
    if len(wires) < 2:
        return wires[0] if wires else None

    def left(wire: Wire) -> tuple[int, bool]:
        return len(_contradictions(_without(loom, wire))), not _lies_at(wire, found.tag)

    return min(wires, key=left)


def _likely(loom: Loom, tag: str, wires: list[Wire]) -> list[Wire]:
    """Return wires on a way in the order in which they are looked at, where one is as likely as the other.

    Where a contact of the device has no wire, that should be the last one; else it leaves where many lie.
    """
    device = loom.by_tag[tag]
    for each in device.contacts:
        if not {device.at(each.first), device.at(each.second)} <= loom.wires_at.keys():
            return wires[::-1]
    bars = [
        number for number, wire in enumerate(wires)
        if any(loom.by_tag[tag_of(end)].what is Is.BAR for end in wire.ends)
    ]  # fmt: skip
    last = bars[-1] if bars else 0
    return wires[last:] + wires[:last]


def _past(loom: Loom, found: Contradiction) -> Wire | None:
    """Return the wire that leads past a contact, where it comes and goes at one of its two terminals.

    A contact is told from where its voltage comes, so at its first terminal the wire that goes on lies wrong, at
    its second the one that comes.
    """
    if found.against is not Astray.LIVE:
        return None
    device = loom.by_tag[found.tag]
    firsts = {device.at(each.first) for each in device.contacts}
    both = firsts | {device.at(each.second) for each in device.contacts}
    for comes, goes in pairwise(found.way):
        shared = both.intersection(comes.ends, goes.ends)
        if shared:
            return goes if shared & firsts else comes
    return None


def _lies_at(wire: Wire, tag: str) -> bool:
    return any(end.startswith(f"{tag}:") for end in wire.ends)


def _without(loom: Loom, wire: Wire) -> Loom:
    return Loom(tuple(
        replace(each, wires=tuple(w for w in each.wires if w != wire)) for each in loom.devices
    ))  # fmt: skip


def _loose(loom: Loom, found: Contradiction) -> tuple[Wire, ...]:
    """Return the wire of a device that ends on a strip where no other begins; else one at the terminal."""
    devices = [loom.by_tag[tag] for tag in (found.tag, found.other) if tag in loom.by_tag]
    wires = [wire for device in devices for wire in device.wires]
    for wire in wires:
        for end in wire.ends:
            kind = loom.by_tag[tag_of(end)].what
            if kind is Is.STRIP and len(loom.wires_at[end]) == 1:
                return (wire,)
    return tuple(wire for wire in wires if found.end in wire.ends)[:1]


def _devices(loom: Loom) -> Iterator[Contradiction]:
    """Yield what of the devices themselves is not as the saw takes it."""
    for tag in (*BY_TAG, *MAIN, CONTROL_FUSE):
        kinds = _KINDS.get(tag, _OF_INPUTS)
        if loom.by_tag[tag].what not in kinds:
            yield Contradiction(Astray.KIND, tag, other=kinds[0].value)
    for device in loom.devices:
        if device.what in _MOVES and device.tag not in BY_TAG and device.tag not in MAIN:
            yield Contradiction(Astray.IDLE, device.tag)
        row = BY_TAG.get(device.tag)
        if row is not None and row.source in _HAND:
            for each in device.contacts:
                ends = (device.at(each.first), device.at(each.second))
                if each.closed_at_rest is not row.at_rest and any(e in loom.wires_at for e in ends):
                    yield Contradiction(Astray.FORM, device.tag, each.name)
    for kind in (Is.MAINS, Is.SUPPLY):
        if not any(device.what is kind for device in loom.devices):
            yield Contradiction(Astray.NO_DEVICE, "", other=kind.value)


class _Copper:
    """The points of a wiring that are always one, and the contacts between them."""

    def __init__(self, loom: Loom) -> None:
        self.loom = loom
        self._above: dict[str, str] = {}
        for wire in loom.wires.values():
            self._above[self._top(point(loom, wire.start))] = self._top(point(loom, wire.end))
        self._numbers: dict[str, int] = {}
        self._near: list[list[_Edge]] = []
        self._all: list[tuple[str, str]] = []  # what joins, the terminals of it
        # By device the contacts that are closed while it has pulled in or is pressed, and while it is not.
        self.when_on: dict[str, set[int]] = {}
        self.when_off: dict[str, set[int]] = {}
        self.outputs: dict[str, int] = {}
        self.always: set[int] = set()
        for device in loom.devices:
            for contact in device.contacts[:1] if device.what is Is.SENSOR else device.contacts:
                self._take(device, contact)
            card = loom.by_tag.get(device.card)
            if card is not None and card.what is Is.OUTPUT_CARD:
                ends = card.at("L+"), loom.card_terminal(device.tag)
                self.outputs[device.tag] = self._join(*ends)
        self.every = set(range(len(self._all)))
        self.on = self.always | self.when_on.get(ISOLATOR, set())  # the saw is switched on, no more

    def _top(self, end: str) -> str:
        above = self._above
        while above.setdefault(end, end) != end:
            above[end] = above[above[end]]
            end = above[end]
        return end

    def at(self, end: str) -> int:
        """Return the number of the point that a terminal is."""
        top = self._top(point(self.loom, end))
        number = self._numbers.setdefault(top, len(self._near))
        if number == len(self._near):
            self._near.append([])
        return number

    def _join(self, one: str, other: str) -> int:
        number = len(self._all)
        self._all.append((one, other))
        first, second = self.at(one), self.at(other)
        self._near[first].append((second, number))
        self._near[second].append((first, number))
        return number

    def _take(self, device: WiredDevice, contact: WiredContact) -> None:
        if device.what is Is.SENSOR:
            number = self._join(device.at(PLUS), device.at(OUT))
        else:
            number = self._join(device.at(contact.first), device.at(contact.second))
        if device.what is Is.FUSE or device.heats(contact):
            self.always.add(number)
        drops = device.what in _AT_REST_COUNTS and contact.closed_at_rest
        by_tag = self.when_off if drops else self.when_on
        if not device.heats(contact):
            by_tag.setdefault(device.tag, set()).add(number)

    # What there is ------------------------------------------------------------------------------

    def _ends(self, kind: Is, *marks: str) -> list[str]:
        return [each.at(mark) for each in self.loom.devices if each.what is kind for mark in marks]

    @cached_property
    def plus(self) -> list[str]:
        """Where 24 V come from."""
        return self._ends(Is.SUPPLY, "+")

    @cached_property
    def zero(self) -> list[str]:
        """Where 0 V come from."""
        return self._ends(Is.SUPPLY, "-")

    @cached_property
    def motors(self) -> dict[str, tuple[str, ...]]:
        """By motor its terminals."""
        return {
            each.tag: tuple(map(each.at, "UVW"))
            for each in self.loom.devices
            if each.what is Is.MOTOR
        }

    def reach(self, start: Iterable[str], closed: set[int]) -> set[int]:
        """Return the points that hang together with some over what is closed."""
        near = self._near
        found = {self.at(end) for end in start}
        ahead = [*found]
        while ahead:
            for each, number in near[ahead.pop()]:
                if each not in found and number in closed:
                    found.add(each)
                    ahead.append(each)
        return found

    def but(self, *tags: str) -> set[int]:
        """Return everything but what opens as devices go off."""
        opened = (self.when_on.get(tag, set()) for tag in tags)
        return self.every.difference(*opened)

    def way(self, start: Iterable[str], end: str, closed: set[int]) -> tuple[Wire, ...]:
        """Return the wires on the shortest way to a terminal."""
        loom, goal = self.loom, point(self.loom, end)
        near: dict[str, list[tuple[str, Wire | None]]] = {}
        links: list[tuple[str, str, Wire | None]] = [
            (point(loom, w.start), point(loom, w.end), w) for w in loom.wires.values()
        ]
        links += [
            (point(loom, one), point(loom, other), None)
            for one, other in (self._all[number] for number in sorted(closed))
        ]
        for one, other, wire in links:
            near.setdefault(one, []).append((other, wire))
            near.setdefault(other, []).append((one, wire))
        before: dict[str, tuple[str, Wire | None]] = {point(loom, e): ("", None) for e in start}
        for here in (ahead := [*before]):
            for other, wire in near.get(here, ()):
                if other not in before:
                    before[other] = (here, wire)
                    ahead.append(other)
        found: list[Wire] = []
        while goal in before:
            goal, wire = before[goal]
            if wire is not None:
                found.append(wire)
        return tuple(reversed(found))

    # What is wrong ------------------------------------------------------------------------------

    def contradictions(self) -> Iterator[Contradiction]:
        """Yield everything in which it says other than the saw; what is joined and should not be first."""
        yield from self._joined()
        yield from self._channels()
        yield from self._live_inputs()
        yield from self._driven_coils()
        yield from self._live_mains()
        yield from self._loads()
        yield from self._dark_inputs()
        yield from self._dark_coils()
        yield from self._motors()

    def _joined(self) -> Iterator[Contradiction]:
        """Hold apart what is never one, whatever is closed."""
        relay = self.loom.by_tag[RELAY]
        inside = [(*map(relay.at, pair),) for pair in (*CHANNELS.values(), RESET, FEEDBACK)]
        phases = [(end,) for end in self._phases().values()]
        apart = [self.plus, self.zero, *inside, *phases]
        reached = [(ends, self.reach(ends, self.every)) for ends in apart]
        for (ends, found), (others, _) in combinations(reached, 2):
            # The two of the variator cross two phases, which is what they are for; one of them is off.
            ways = [self.but(tag) for tag in VARIATOR] if ends in phases else [self.every]
            for closed in ways:
                now = found if closed is self.every else self.reach(ends, closed)
                other = next((end for end in others if self.at(end) in now), "")
                if other:
                    near = self.reach((other,), closed)
                    one = next(end for end in ends if self.at(end) in near)
                    way = self.way((one,), other, closed)
                    yield Contradiction(Astray.JOINED, tag_of(other), one, other, way)
                    break

    def _live(
        self, start: Iterable[str], ends: Iterable[str], tag: str, closed: set[int]
    ) -> Iterator[Contradiction]:
        """Hold terminals to have no voltage while a device is off."""
        start = tuple(start)
        reached = self.reach(start, closed)
        for end in ends:
            if self.at(end) in reached:
                yield Contradiction(Astray.LIVE, tag, end, way=self.way(start, end, closed))

    def _channels(self) -> Iterator[Contradiction]:
        """Hold the loops of the safety relay to the contacts that open them, and to no others."""
        relay, by_tag = self.loom.by_tag[RELAY], self.when_on
        for first, last in (*CHANNELS.values(), RESET):
            start, end = (relay.at(first),), relay.at(last)
            through = (RESET_KEY,) if (first, last) == RESET else STOPS
            for tag in through:
                yield from self._live(start, (end,), tag, self.but(tag))
            closed = self.always.union(*(by_tag.get(tag, set()) for tag in through))
            if self.at(end) not in self.reach(start, closed):
                yield Contradiction(Astray.DARK, RELAY, end, other=", ".join(through))
        start, end = (relay.at(FEEDBACK[0]),), relay.at(FEEDBACK[1])
        mirrors = [self.when_off.get(tag, set()) for tag in MAIN]
        for tag, mirror in zip(MAIN, mirrors, strict=True):
            yield from self._live(start, (end,), tag, self.every - mirror)
        if self.at(end) not in self.reach(start, self.always.union(*mirrors)):
            yield Contradiction(Astray.DARK, RELAY, end, other=", ".join(MAIN))

    @cached_property
    def _astray(self) -> tuple[str, ...]:
        """Inputs whose own contact brings their terminal no 24 V."""
        return tuple(
            tag for tag in INPUTS
            if self.at(self.loom.card_terminal(tag))
            not in self.reach(self.plus, self.on | self.when_on.get(tag, set()))
        )  # fmt: skip

    def _live_inputs(self) -> Iterator[Contradiction]:
        for tag in INPUTS:
            if tag not in self._astray:
                end = self.loom.card_terminal(tag)
                yield from self._live(self.plus, (end,), tag, self.but(tag))
        ends = [self.loom.card_terminal(tag) for tag in INPUTS]
        yield from self._live(self.plus, ends, CONTROL_FUSE, self.but(CONTROL_FUSE))

    @cached_property
    def _coils(self) -> list[str]:
        return [device.tag for device in self.loom.devices if device.coil is not None]

    def _driven_coils(self) -> Iterator[Contradiction]:
        ends = {tag: self._coil(tag) for tag in self._coils}
        cards = self._ends(Is.OUTPUT_CARD, "L+")
        fed = (*cards, *ends.values(), self.loom.by_tag[RELAY].at("A1"))
        yield from self._live(self.plus, fed, CONTROL_FUSE, self.but(CONTROL_FUSE))
        for tags, opened in (
            (self._coils, RELAY), (MAIN, FEEDS_MAIN), (BEHIND_TRIP_LINE, TRIP_LINE),
        ):  # fmt: skip
            more = cards if opened == RELAY else ()
            closed = self.but(opened)
            yield from self._live(self.plus, (*more, *(ends[tag] for tag in tags)), opened, closed)
        for tag, output in self.outputs.items():
            closed = self.every - {output}
            if self.at(ends[tag]) in self.reach(self.plus, closed):
                way = self.way(self.plus, ends[tag], closed)
                yield Contradiction(Astray.DRIVEN, tag, ends[tag], way=way)

    def _coil(self, tag: str, side: int = 0) -> str:
        ends = self.loom.by_tag[tag].coil
        return ends[side] if ends is not None else ""

    def _phases(self) -> dict[str, str]:
        mains = next(each for each in self.loom.devices if each.what is Is.MAINS)  # as the network
        return {phase: mains.at(phase) for phase in PHASES}

    def _live_mains(self) -> Iterator[Contradiction]:
        """Hold the isolator and the contactors to what they keep from the motors and the supply."""
        phases = (*self._phases().values(),)
        ends = [end for each in self.motors.values() for end in each]
        sides = self._ends(Is.SUPPLY, "L", "N")
        yield from self._live(phases, (*ends, *sides), ISOLATOR, self.but(ISOLATOR))
        for tag in MAIN:
            yield from self._live(phases, ends, tag, self.but(tag))
        for contactor, motor in self._behind.items():
            partners = [each for each, of in self._behind.items() if of == motor]
            own = self.motors.get(motor, ())
            yield from self._live(phases, own, contactor, self.but(*partners))
            if contactor == OVERLOAD[1]:
                yield from self._live(phases, own, OVERLOAD[0], self.every - self._heaters())

    def _heaters(self) -> set[int]:
        own = self.loom.by_tag[OVERLOAD[0]]
        pairs = {(own.at(e.first), own.at(e.second)) for e in own.contacts if own.heats(e)}
        return {number for number, ends in enumerate(self._all) if ends in pairs}

    @cached_property
    def _behind(self) -> dict[str, str]:
        """By contactor the motor that it alone feeds; empty where it feeds none or several."""
        found = {}
        for contactor in MOTOR_OF:
            fed = {tag_of(end) for end in self._fed(contactor)}
            found[contactor] = fed.pop() if len(fed) == 1 else ""
        return found

    def _fed(self, contactor: str) -> dict[str, list[str]]:
        """Return the terminals of motors that have voltage with one contactor in, and which phases."""
        closed = self.on.union(*(self.when_on.get(tag, set()) for tag in (*MAIN, contactor)))
        found: dict[str, list[str]] = {}
        for phase, start in self._phases().items():
            reached = self.reach((start,), closed)
            for end in (end for each in self.motors.values() for end in each):
                if self.at(end) in reached:
                    found.setdefault(end, []).append(phase)
        return found

    def _motors(self) -> Iterator[Contradiction]:
        turns: dict[str, list[bool]] = {}
        for contactor, named in MOTOR_OF.items():
            fed, motor = self._fed(contactor), self._behind[contactor]
            order = "".join(
                phase for end in self.motors.get(motor, ()) for phase in fed.get(end, ())
            )
            other = motor in MOTOR_OF.values() and motor != named
            if other or len(fed) != len(PHASES) or sorted(order[1::2]) != ["1", "2", "3"]:
                yield Contradiction(Astray.MOTOR, contactor, other=named)
                continue
            turns.setdefault(motor, []).append(order[1::2] in "12312")
        for motor, ways in turns.items():
            if len(ways) == 2 and ways[0] == ways[1]:
                yield Contradiction(Astray.TURNS, VARIATOR[1], VARIATOR[0], motor)
        for motor in self.motors:
            if motor not in turns and motor not in self._behind.values():
                yield Contradiction(Astray.IDLE, motor)

    def _loads(self) -> Iterator[Contradiction]:
        """Hold every load to the side of the supply on which it lies for good."""
        plus, zero = self.reach(self.plus, self.on), self.reach(self.zero, self.on)
        for device in self.loom.devices:
            high, low = _SIDES.get(device.what, ("", ""))
            if high and self.at(device.at(high)) not in plus:
                yield Contradiction(Astray.NO_FEED, device.tag, device.at(high))
            if low and self.at(device.at(low)) not in zero:
                yield Contradiction(Astray.NO_RETURN, device.tag, device.at(low))
        phases = {phase: self.reach((end,), self.on) for phase, end in self._phases().items()}
        for device in (each for each in self.loom.devices if each.what is Is.SUPPLY):
            before: set[str] = set()
            for mark in ("L", "N"):
                end = device.at(mark)
                now = {phase for phase, found in phases.items() if self.at(end) in found}
                if not now or now == before:
                    yield Contradiction(Astray.DARK, device.tag, end, other=ISOLATOR)
                before = now

    def _dark_inputs(self) -> Iterator[Contradiction]:
        for tag in self._astray:
            yield Contradiction(Astray.DARK, tag, self.loom.card_terminal(tag), other=tag)

    def _dark_coils(self) -> Iterator[Contradiction]:
        fed = self.on | self.when_on.get(RELAY, set())
        for card in self.loom.devices:
            if card.what is Is.OUTPUT_CARD and self.at(card.at("L+")) not in self.reach(
                self.plus, fed
            ):
                yield Contradiction(Astray.DARK, card.tag, card.at("L+"), other=RELAY)
        for tag in self._coils:
            closed, by = set(fed), [RELAY]
            if tag in MAIN:
                closed |= self.when_on.get(FEEDS_MAIN, set())
                by.append(FEEDS_MAIN)
            if tag in BEHIND_TRIP_LINE:
                closed |= self.when_on.get(TRIP_LINE, set())
                by.append(TRIP_LINE)
            if tag in self.outputs:
                closed.add(self.outputs[tag])
                by.append(self.loom.by_tag[tag].address)
            if self.at(self._coil(tag)) not in self.reach(self.plus, closed):
                yield Contradiction(Astray.DARK, tag, self._coil(tag), other=", ".join(by))
