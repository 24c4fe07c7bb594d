"""What can fail in the wiring, and what each failure does to it.

A failure is a fact about copper: a wire is broken or touches another, a contact stays closed or open, a
coil is broken or shorted, a fuse is blown, a channel of a card no longer works. Where along its length a
wire is broken makes no difference to a meter on terminals, so a wire is one place.

Never here: what comes of it on the machine (see `consequences`), and how often it happens.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.wiring.loom import Is, Loom, Wire, WiredDevice


class FailureKind(StrEnum):
    """What kind of failure it is."""

    OPEN = "open"  # a wire is broken, or off its terminal
    TO_24 = "to-24"  # a wire touches one that carries 24 V, at the same device
    TO_0 = "to-0"  # a wire touches earth
    WELDED = "welded"  # a contact does not open
    NO_CONTACT = "no-contact"  # a contact does not close
    COIL_OPEN = "coil-open"
    COIL_SHORTED = "coil-shorted"  # so that it blows the fuse as it comes on
    BLOWN = "blown"  # one pole of a fuse
    CHANNEL = "channel"  # of a card: its lamp shows what the controller has, its terminal does not
    NO_OUTPUT = "no-output"  # of a supply


@dataclass(frozen=True, slots=True)
class Failure:
    """One failure at one place."""

    kind: FailureKind
    tag: str  # the device; of a wire, the one whose path it is on
    wire: str = ""  # its number
    contact: str = ""  # as in 13-14

    @property
    def place(self) -> str:
        """The part of the device that it sits on."""
        return self.wire or self.contact


SHORT_OHM: Final = 0.1  # of a wire that touches something; chosen
SHORTED_COIL_OHM: Final = 1.0  # of a coil whose turns touch; chosen: it blows the fuse
_COILS: Final = (Is.RELAY, Is.CONTACTOR, Is.VALVE)


@dataclass(frozen=True, slots=True)
class Wounds:
    """What a set of failures does to a loom."""

    cut: frozenset[str] = frozenset()  # numbers of wires
    shorts: tuple[tuple[str, str], ...] = ()  # pairs of terminals
    closed: frozenset[tuple[str, str]] = frozenset()  # device and contact
    opened: frozenset[tuple[str, str]] = frozenset()  # the poles of a blown fuse too
    coils: tuple[tuple[str, float], ...] = ()  # device, and ohms of its coil; 0 of a broken one
    dead: frozenset[str] = frozenset()  # channels by the tag on them; supplies


def wounds(loom: Loom, failures: tuple[Failure, ...]) -> Wounds:
    """Return what failures do to a loom; one on a place that the loom does not have does nothing."""
    kinds = {kind: [each for each in failures if each.kind is kind] for kind in FailureKind}
    shorts = []
    for each in (*kinds[FailureKind.TO_24], *kinds[FailureKind.TO_0]):
        wire = loom.wires.get(each.wire)
        to = live_beside(loom, each.tag) if each.kind is FailureKind.TO_24 else earth(loom)
        if wire is not None and to:
            shorts.append((wire.start, to))
    return Wounds(
        frozenset(each.wire for each in kinds[FailureKind.OPEN]),
        tuple(shorts),
        frozenset((each.tag, each.contact) for each in kinds[FailureKind.WELDED]),
        frozenset(
            (e.tag, e.contact) for e in (*kinds[FailureKind.NO_CONTACT], *kinds[FailureKind.BLOWN])
        ),
        (
            *((each.tag, 0.0) for each in kinds[FailureKind.COIL_OPEN]),
            *((each.tag, SHORTED_COIL_OHM) for each in kinds[FailureKind.COIL_SHORTED]),
        ),
        frozenset(e.tag for e in (*kinds[FailureKind.CHANNEL], *kinds[FailureKind.NO_OUTPUT])),
    )


def live_beside(loom: Loom, tag: str) -> str:
    """Return the terminal with 24 V beside the wires of a device: of an input what feeds it, of an output its card's."""
    device = loom.by_tag[tag]
    if device.card and loom.by_tag[device.card].what is Is.OUTPUT_CARD:
        return loom.by_tag[device.card].at("L+")
    own = [hop for hop in loom.path(tag) if loom.by_tag[hop.end.partition(":")[0]].what is Is.BAR]
    return own[0].end if own else ""


def earth(loom: Loom) -> str:
    """Return the terminal of the protective earth; empty where there is none."""
    return next((each.at("PE") for each in loom.devices if each.what is Is.MAINS), "")


class Role(StrEnum):
    """What a wire is on the path of a device."""

    CARD = "card"  # from the card to the terminal strip
    SIGNAL = "signal"  # of an input: from the strip to the device
    COIL = "coil"  # of an output: to the coil
    LINE = "line"  # of an output: on the way to its coil, through the contact of another device
    FEED = "feed"  # of an input: what feeds the device
    BACK = "back"  # of a coil: to 0 V
    ZERO = "zero"  # of a sensor: to 0 V


def roles(loom: Loom, tag: str) -> dict[Role, Wire]:
    """Return the wires on the path of a device with an address, by what they are there; the first of each."""
    device, found = loom.by_tag[tag], dict[Role, Wire]()
    for hop in loom.path(tag):
        role = _role(loom, device, hop.start, hop.end)
        found.setdefault(role, hop.wire)
    return found


def _role(loom: Loom, device: WiredDevice, start: str, end: str) -> Role:
    from_tag, to_tag = start.partition(":")[0], end.partition(":")[0]
    if device.what is Is.SENSOR and device.at("3") in (start, end):
        return Role.ZERO
    output = device.card != "" and loom.by_tag[device.card].what is Is.OUTPUT_CARD
    if from_tag == device.tag:
        return Role.BACK if output else Role.FEED
    if to_tag == device.tag:
        return Role.COIL if output else Role.SIGNAL
    return Role.CARD if from_tag == device.card else Role.LINE


def every_failure(loom: Loom) -> Iterator[Failure]:
    """Yield every failure that a loom can have, each once."""
    for device in loom.devices:
        for wire in device.wires:
            yield Failure(FailureKind.OPEN, device.tag, wire.number)
        yield from _of_contacts(device)
        if device.what in _COILS:
            yield Failure(FailureKind.COIL_OPEN, device.tag)
            yield Failure(FailureKind.COIL_SHORTED, device.tag)
        if device.what is Is.SUPPLY:
            yield Failure(FailureKind.NO_OUTPUT, device.tag)
        if device.card:
            yield Failure(FailureKind.CHANNEL, device.tag)
            yield from _shorts(loom, device)


def _of_contacts(device: WiredDevice) -> Iterator[Failure]:
    for contact in device.contacts:
        if device.what is Is.FUSE:
            yield Failure(FailureKind.BLOWN, device.tag, contact=contact.name)
        else:
            yield Failure(FailureKind.NO_CONTACT, device.tag, contact=contact.name)
            yield Failure(FailureKind.WELDED, device.tag, contact=contact.name)


def _shorts(loom: Loom, device: WiredDevice) -> Iterator[Failure]:
    found = roles(loom, device.tag)
    for role in (Role.SIGNAL, Role.COIL):
        if role in found:
            yield Failure(FailureKind.TO_24, device.tag, found[role].number)
    if Role.COIL in found:
        yield Failure(FailureKind.TO_0, device.tag, found[Role.COIL].number)
