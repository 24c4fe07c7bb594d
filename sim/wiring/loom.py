"""The wiring of one saw: its devices, their terminals, and the wires between them.

A terminal is written as its device and its mark, `B12:4`. What a device is says which terminals it has and
what lies between them; a contact is told as it is when nobody touches it.

Never here: how a file says it (see `sim.scenario.wirings`), or what flows (see `network`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from hashlib import sha256
from typing import Final


class Is(StrEnum):
    """What a device is."""

    MAINS = "mains"
    ISOLATOR = "isolator"
    FUSE = "fuse"
    SUPPLY = "supply"
    BAR = "bar"  # all its terminals are one
    STRIP = "strip"  # each of its terminals is one by itself
    SWITCH = "switch"
    SENSOR = "sensor"
    OVERLOAD = "overload"
    SAFETY_RELAY = "safety-relay"
    RELAY = "relay"
    CONTACTOR = "contactor"
    VALVE = "valve"
    MOTOR = "motor"
    INPUT_CARD = "input-card"
    OUTPUT_CARD = "output-card"


CHANNELS: Final = 16  # of a card
TRIPS: Final = "95"  # of an overload relay, the contact that opens, IEC 60947-4-1, from memory
PLUS, ZERO, OUT = "1", "3", "4"  # of a sensor, IEC 60947-5-2, from memory: brown, blue, black

# The terminals that a kind of device has besides those of its contacts.
TERMINALS: Final[dict[Is, tuple[str, ...]]] = {
    Is.MAINS: ("L1", "L2", "L3", "PE"),
    Is.SUPPLY: ("L", "N", "+", "-"),
    Is.SENSOR: (PLUS, ZERO, OUT),
    Is.SAFETY_RELAY: (
        "A1", "A2", "S11", "S12", "S21", "S22", "S33", "S34", "Y1", "Y2",
    ),
    Is.RELAY: ("A1", "A2"),
    Is.CONTACTOR: ("A1", "A2"),
    Is.VALVE: ("1", "2"),
    Is.MOTOR: ("U", "V", "W"),
    Is.INPUT_CARD: ("M", *map(str, range(CHANNELS))),
    Is.OUTPUT_CARD: ("L+", "M", *map(str, range(CHANNELS))),
}  # fmt: skip
COILS: Final[dict[Is, tuple[str, str]]] = {
    Is.RELAY: ("A1", "A2"),
    Is.CONTACTOR: ("A1", "A2"),
    Is.VALVE: ("1", "2"),
}
ANY_MARK: Final = (Is.BAR, Is.STRIP)  # have as many terminals as wires ask for
NODES: Final = (*ANY_MARK, Is.MAINS, Is.SUPPLY, Is.INPUT_CARD, Is.OUTPUT_CARD)


@dataclass(frozen=True, slots=True)
class WiredContact:
    """Two terminals of a device that it joins, or not."""

    first: str
    second: str
    closed_at_rest: bool

    @property
    def name(self) -> str:
        """Its two terminals, as in 13-14."""
        return f"{self.first}-{self.second}"

    @property
    def form(self) -> str:
        """NO or NC."""
        return "NC" if self.closed_at_rest else "NO"


@dataclass(frozen=True, slots=True)
class Wire:
    """One wire; its number is its own."""

    number: str
    start: str
    end: str

    @property
    def ends(self) -> tuple[str, str]:
        """Its two terminals."""
        return self.start, self.end

    def other(self, end: str) -> str:
        """Return the terminal at its other end."""
        return self.end if end == self.start else self.start


@dataclass(frozen=True, slots=True)
class WiredDevice:
    """One device."""

    tag: str
    what: Is
    place: str
    contacts: tuple[WiredContact, ...] = ()
    ohms: float = 0.0  # of its coil, of one winding, of one input
    address: str = ""  # of the controller; of a card, its first
    card: str = ""
    cable: str = ""
    wires: tuple[Wire, ...] = ()  # that its part of the file tells

    @property
    def coil(self) -> tuple[str, str] | None:
        """The terminals of its coil, None where it has none."""
        ends = COILS.get(self.what)
        return None if ends is None else (f"{self.tag}:{ends[0]}", f"{self.tag}:{ends[1]}")

    def heats(self, contact: WiredContact) -> bool:
        """Return whether a contact is a heater of an overload relay, which never opens."""
        return self.what is Is.OVERLOAD and contact.first != TRIPS

    def at(self, mark: str) -> str:
        """Return one of its terminals, as in B12:4."""
        return f"{self.tag}:{mark}"


@dataclass(frozen=True, slots=True)
class Hop:
    """One wire on a device's path, in the direction in which it is gone along."""

    wire: Wire
    start: str
    end: str


def place_of(address: str) -> int:
    """Return the place of an address among those of its kind, from 0: of I1.2, 10."""
    byte, bit = address[1:].split(".")
    return 8 * int(byte) + int(bit)


def tag_of(terminal: str) -> str:
    """Return the device of a terminal."""
    return terminal.partition(":")[0]


@dataclass(frozen=True, eq=False)
class Loom:
    """The whole wiring of a saw; equal to every other that says the same."""

    devices: tuple[WiredDevice, ...]

    @cached_property
    def digest(self) -> str:
        """SHA-256 of what it says."""
        return sha256(repr(self.devices).encode()).hexdigest()

    def __eq__(self, other: object) -> bool:
        """Return whether both say the same."""
        return isinstance(other, Loom) and (self is other or self.digest == other.digest)

    def __hash__(self) -> int:
        """Return the hash of what it says."""
        return hash(self.digest)

    def __repr__(self) -> str:
        """Return its digest: the text of a machine is the key to what is kept of it."""
        return f"Loom({self.digest})"

    @cached_property
    def by_tag(self) -> dict[str, WiredDevice]:
        """Its devices by tag."""
        return {device.tag: device for device in self.devices}

    @cached_property
    def wires(self) -> dict[str, Wire]:
        """Its wires by number."""
        return {wire.number: wire for device in self.devices for wire in device.wires}

    @cached_property
    def wires_at(self) -> dict[str, tuple[Wire, ...]]:
        """By terminal, the wires there."""
        found: dict[str, list[Wire]] = {}
        for wire in self.wires.values():
            for end in wire.ends:
                found.setdefault(end, []).append(wire)
        return {end: tuple(wires) for end, wires in found.items()}

    @cached_property
    def terminals(self) -> tuple[str, ...]:
        """Every terminal on which a wire is, in the order of the file."""
        ends = (end for wire in self.wires.values() for end in wire.ends)
        return tuple(dict.fromkeys(ends))

    def owner(self, wire: Wire) -> str:
        """Return the tag of the device whose part of the file tells a wire."""
        return self._owners[wire.number]

    @cached_property
    def _owners(self) -> dict[str, str]:
        return {wire.number: device.tag for device in self.devices for wire in device.wires}

    def card_terminal(self, tag: str) -> str:
        """Return the terminal of a card on which a device's address is; empty where it has none."""
        device = self.by_tag[tag]
        if not device.address or not device.card:
            return ""
        card = self.by_tag[device.card]
        return card.at(str(place_of(device.address) - place_of(card.address)))

    def path(self, tag: str) -> tuple[Hop, ...]:
        """Return the wires on a device's path, from its card or bar to where it ends.

        Of a device with an address that is the way from the terminal of its address, through contacts
        and coil, to the bars; then what feeds it besides. Of any other, every wire on it.
        """
        return self._paths.setdefault(tag, tuple(self._path(tag)))

    @cached_property
    def _paths(self) -> dict[str, tuple[Hop, ...]]:
        return {}

    def besides(self, tag: str) -> tuple[Hop, ...]:
        """Return the wires of a device that its path does not lead along, such as those of a contactor's poles."""
        device, seen = self.by_tag[tag], {hop.wire.number for hop in self.path(tag)}
        found = [Hop(wire, wire.start, wire.end) for wire in device.wires]
        for end in self.joined(device):
            found += [Hop(wire, end, wire.other(end)) for wire in self.wires_at[end]]
        once = {hop.wire.number: hop for hop in reversed(found)}
        first = dict.fromkeys(hop.wire.number for hop in found)
        return tuple(once[number] for number in first if number not in seen)

    def fed_by(self, tag: str) -> tuple[WiredDevice, ...]:
        """Return the fuses and supplies through which a device has its 24 V, from the device on; none of the mains."""
        starts = [end for hop in self.path(tag) for end in (hop.start, hop.end)]
        card = self.by_tag.get(self.by_tag[tag].card)
        if card is not None and card.what is Is.OUTPUT_CARD:
            starts.append(card.at("L+"))
        found: dict[str, WiredDevice] = {}
        for start in starts:
            end = start
            while end in self._nearer:
                device = self.by_tag[tag_of(end)]
                if device.what in (Is.FUSE, Is.SUPPLY):
                    found.setdefault(device.tag, device)
                end = self._nearer[end]
        return tuple(found.values())

    @cached_property
    def _nearer(self) -> dict[str, str]:
        """By terminal that a supply's + can reach, the one before it on the shortest way; its own is the first."""
        plus = [each.at("+") for each in self.devices if each.what is Is.SUPPLY]
        before = dict.fromkeys(plus, "")
        reached = list(before)
        for end in reached:
            device = self.by_tag[tag_of(end)]
            on = [wire.other(end) for wire in self.wires_at.get(end, ())]
            if device.what is Is.BAR:
                on += self.joined(device)
            pairs = [(device.at(each.first), device.at(each.second)) for each in device.contacts]
            on += [other for pair in pairs if end in pair for other in pair]
            for other in on:
                if other not in before:
                    before[other] = end
                    reached.append(other)
        return before

    def _path(self, tag: str) -> Iterator[Hop]:
        device, seen = self.by_tag[tag], set[str]()
        card = self.card_terminal(tag)
        if card:
            yield from self._along(card, seen)
        own = (wire for each in self.joined(device) for wire in self.wires_at.get(each, ()))
        for wire in (*own, *device.wires):
            if wire.number not in seen and (not card or self._feeds(device, wire)):
                seen.add(wire.number)
                yield Hop(wire, wire.start, wire.end)

    @staticmethod
    def _feeds(device: WiredDevice, wire: Wire) -> bool:
        """Whether a wire hangs on the 0 V of a sensor, which its own path does not cross."""
        return device.what is Is.SENSOR and device.at(ZERO) in wire.ends

    def _along(self, terminal: str, seen: set[str]) -> Iterator[Hop]:
        """Go along every wire from a terminal, through strips, contacts and coils, as far as a bar."""
        for wire in self.wires_at.get(terminal, ()):
            if wire.number in seen:
                continue
            seen.add(wire.number)
            end = wire.other(terminal)
            yield Hop(wire, terminal, end)
            for on in self._through(end):
                yield from self._along(on, seen)

    def _through(self, end: str) -> tuple[str, ...]:
        """Return the terminals at which a path goes on that has come to one."""
        device = self.by_tag[tag_of(end)]
        if device.what is Is.STRIP:
            return (end,)
        if device.what in NODES:
            return ()
        pairs = [(device.at(each.first), device.at(each.second)) for each in device.contacts]
        pairs += [device.coil] if device.coil is not None else []
        return tuple(other for pair in pairs if end in pair for other in pair if other != end)

    def crossed(self, tag: str) -> tuple[tuple[WiredDevice, WiredContact], ...]:
        """Return the contacts that a device's path leads through, with their devices, from the card on."""
        found: dict[tuple[str, str], tuple[WiredDevice, WiredContact]] = {}
        for hop in self.path(tag):
            device = self.by_tag[tag_of(hop.end)]
            for each in device.contacts:
                if hop.end in (device.at(each.first), device.at(each.second)):
                    found.setdefault((device.tag, each.name), (device, each))
        return tuple(found.values())

    def cables(self, wire: Wire) -> tuple[str, ...]:
        """Return the cables in which a wire leaves one place for another; none where it stays in one."""
        ends = [self.by_tag[tag_of(end)] for end in wire.ends]
        if ends[0].place == ends[1].place:
            return ()
        return tuple(dict.fromkeys(each.cable for each in ends if each.cable))

    def joined(self, device: WiredDevice) -> tuple[str, ...]:
        """Return the terminals of a device that wires are on, in the order of the file."""
        return self._joined.get(device.tag, ())

    @cached_property
    def _joined(self) -> dict[str, tuple[str, ...]]:
        ends: dict[str, list[str]] = {}
        for end in self.terminals:
            ends.setdefault(tag_of(end), []).append(end)
        return {tag: tuple(each) for tag, each in ends.items()}
