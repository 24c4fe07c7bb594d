"""A wiring file: every device of one saw with its terminals and the wires on them.

It lies beside the sizes in the folder of a machine; in the one text of a machine that a record carries, its
`devices` stand after the sizes. What is `like` another machine has that one's devices but for those it tells.

Never here: what flows in a wire (see `sim.wiring`).
"""

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, Field, StringConstraints, create_model

from sim.scenario.copper_words import hold_to_saw
from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN, refuse
from sim.scenario.scalars import shown
from sim.signals import BY_TAG, OUTPUTS
from sim.wiring.loom import (
    ANY_MARK,
    CHANNELS,
    COILS,
    TERMINALS,
    Is,
    Loom,
    Wire,
    WiredContact,
    WiredDevice,
    place_of,
    tag_of,
)
from sim.words.fields import name
from sim.words.message import Message, plain, row

_CONTACTS: Final = (
    Is.ISOLATOR, Is.FUSE, Is.SWITCH, Is.SENSOR, Is.OVERLOAD, Is.SAFETY_RELAY, Is.RELAY, Is.CONTACTOR,
)  # fmt: skip
_OHMS: Final = (*COILS, Is.MOTOR, Is.INPUT_CARD)
_CARDS: Final = {"I": Is.INPUT_CARD, "Q": Is.OUTPUT_CARD}
_ENDS: Final = ("from", "to")

_TAG: Final = re.compile(r"[A-Z][A-Z0-9]{0,7}")
_CONTACT: Final = re.compile(r"[0-9A-Z]{1,4}-[0-9A-Z]{1,4}")

_NO_TAG: Final = row("wiring.no-tag", "{tag} is no tag of a device", tag=name())
_TAG_DO: Final = plain("wiring.no-tag.do", "write a capital letter and a number, such as B12")
_NO_CONTACT: Final = row("wiring.no-contact", "{contact} is no contact", contact=name())
_CONTACT_DO: Final = plain(
    "wiring.no-contact.do", "write its two terminals with a hyphen between them, such as 13-14"
)
_HAS_NO_CONTACT: Final = row("wiring.has-no-contact", "{what} has no contacts", what=name())
_NEEDS_CONTACT: Final = row("wiring.needs-contact", "{what} needs its contacts", what=name())
_NEEDS_CONTACT_DO: Final = plain("wiring.needs-contact.do", "give contacts, such as 13-14: open")
_LEAVE_OUT: Final = plain("wiring.leave-out", "leave it out")
_NEEDS_OHMS: Final = row("wiring.needs-ohms", "{what} needs its ohms", what=name())
_NEEDS_OHMS_DO: Final = plain("wiring.needs-ohms.do", "give ohms: what a meter shows across it")
_HAS_NO_OHMS: Final = row("wiring.has-no-ohms", "{what} has no ohms of its own", what=name())
_NO_DEVICE: Final = row("wiring.no-device", "there is no device {tag}", tag=name())
_NO_TERMINAL: Final = row(
    "wiring.no-terminal", "{tag} has no terminal {terminal}", tag=name(), terminal=name()
)
_TWICE: Final = row("wiring.twice", "the wire {wire} is there twice", wire=name())
_TWICE_DO: Final = row(
    "wiring.twice.do", "give it a number of its own; the other is at {tag}", tag=name()
)
_LOOP: Final = row("wiring.loop", "the wire {wire} ends where it begins", wire=name())
_LOOP_DO: Final = plain("wiring.loop.do", "give the terminal at its other end")
_NO_ADDRESS: Final = row(
    "wiring.no-address", "{tag} is read or driven by the controller and has no address", tag=name()
)
_NO_ADDRESS_DO: Final = plain("wiring.no-address.do", "give address and card")
_UNKNOWN: Final = row(
    "wiring.unknown", "the controller knows no {tag}, so it can have no address", tag=name()
)
_WRONG_WAY: Final = row(
    "wiring.wrong-way",
    "{tag} cannot be on {address}: I is read and Q is driven",
    tag=name(),
    address=name(),
)
_WAY_DO: Final = row(
    "wiring.wrong-way.do", "give an address that begins with {letter}", letter=name()
)
_TAKEN: Final = row(
    "wiring.taken", "{address} is the address of {other} already", address=name(), other=name()
)
_TAKEN_DO: Final = plain("wiring.taken.do", "give one that is free")
_NO_CARD: Final = row(
    "wiring.no-card", "{card} is no card for {address}", card=name(), address=name()
)
_OFF_CARD: Final = row(
    "wiring.off-card", "{address} is none of the {count} addresses of {card}, which begin with {first}",
    address=name(), count=name(), card=name(), first=name(),
)  # fmt: skip
_OFF_CARD_DO: Final = plain("wiring.off-card.do", "give the card that has it, or another address")
_NOT_WIRED: Final = row(
    "wiring.not-wired", "no wire joins {tag} to the terminal {terminal} of its address {address}",
    tag=name(), terminal=name(), address=name(),
)  # fmt: skip
_NOT_WIRED_DO: Final = row(
    "wiring.not-wired.do", "wire {tag} to {terminal}", tag=name(), terminal=name()
)
_NO_WAY: Final = row(
    "wiring.no-way", "{tag} is on no way of wires, strips and contacts from {terminal}, the terminal of its address",
    tag=name(), terminal=name(),
)  # fmt: skip
_NO_WAY_DO: Final = row(
    "wiring.no-way.do", "lead the wires to {tag} over strips and contacts, not on from a terminal of another device", tag=name(),
)  # fmt: skip
_WANTS: Final = row("wiring.wants", "the saw needs a device {tag}", tag=name())
_WANTS_DO: Final = plain("wiring.wants.do", "tell it, or say which machine this one is like")

Address = Annotated[str, StringConstraints(pattern=r"^[IQ][0-9]{1,3}\.[0-7]$")]
_Terminal = Annotated[str, StringConstraints(pattern=r"^[A-Z][A-Z0-9]{0,7}:[A-Z0-9+-]{1,4}$")]
_Short = Annotated[str, StringConstraints(min_length=1, max_length=20)]

WireRow: Final = create_model(
    "WireRow",
    __config__=PLAIN,
    wire=(Annotated[int, Field(ge=1, le=99_999)], ...),
    **{"from": (_Terminal, ...), "to": (_Terminal, ...)},  # type: ignore[call-overload]
)


class DeviceRow(BaseModel):
    """One device."""

    model_config = PLAIN
    contacts: dict[str, Literal["open", "closed"]] | None = Field(
        default=None, description="By its two terminals, how a contact is when nobody touches it."
    )
    ohms: Annotated[float, Field(gt=0, le=100_000)] | None = Field(
        default=None, description="Of its coil, of one winding, of one input."
    )
    address: Address | None = None
    card: _Short | None = None
    place: _Short
    cable: _Short | None = None
    wires: tuple[WireRow, ...] | None = Field(default=None, max_length=60)  # type: ignore[valid-type]


DeviceTold: Final = create_model(
    "DeviceTold",
    __base__=DeviceRow,
    **{"is": (Literal[*(each.value for each in Is)], ...)},  # type: ignore[call-overload]
)
Devices = dict[str, DeviceTold]  # type: ignore[valid-type]
WiringFile: Final = create_model(
    "WiringFile",
    __config__=PLAIN,
    like=(Annotated[str, Field(min_length=1, max_length=60)] | None, None),
    devices=(Devices | None, None),
)

NEEDED: Final = (*BY_TAG, "Q11", "Q12", "F24")
"""What every saw has: what the controller reads and drives, and what the power path is made of."""


def loom_of(
    located: Located, told: Mapping[str, Any] | None, otherwise: Loom | None = None
) -> Loom:
    """Return the wiring that a file tells.

    Args:
        located: The file, for the places in it.
        told: Its devices as the model has read them.
        otherwise: The wiring that it is like.

    Raises:
        ScenarioError: A name in it means nothing, something is there twice or not at all, or its copper
            says other than the saw.
    """
    own = {tag: _device(located, tag, each) for tag, each in (told or {}).items()}
    devices = {} if otherwise is None else dict(otherwise.by_tag)
    loom = Loom(tuple({**devices, **own}.values()))
    _check(located, loom)
    hold_to_saw(located, loom, own)
    for tag in BY_TAG:
        _check_way(located, loom, tag)
    return loom


def _device(located: Located, tag: str, told: Any) -> WiredDevice:
    place: Place = ("devices", tag)
    if not _TAG.fullmatch(tag):
        refuse(located, place, _NO_TAG(tag=shown(tag)), _TAG_DO, key=True)
    what = Is(getattr(told, "is"))
    contacts = told.contacts or {}
    if contacts and what not in _CONTACTS:
        refuse(
            located, (*place, "contacts"), _HAS_NO_CONTACT(what=what.value), _LEAVE_OUT, key=True
        )
    if what in _CONTACTS and not contacts:
        refuse(located, place, _NEEDS_CONTACT(what=what.value), _NEEDS_CONTACT_DO, key=True)
    for each in contacts:
        if not _CONTACT.fullmatch(each):
            at = (*place, "contacts", each)
            refuse(located, at, _NO_CONTACT(contact=shown(each)), _CONTACT_DO, key=True)
    if what in _OHMS and told.ohms is None:
        refuse(located, place, _NEEDS_OHMS(what=what.value), _NEEDS_OHMS_DO, key=True)
    if told.ohms is not None and what not in _OHMS:
        refuse(located, (*place, "ohms"), _HAS_NO_OHMS(what=what.value), _LEAVE_OUT, key=True)
    return WiredDevice(
        tag, what, told.place,
        tuple(_contact(each, form) for each, form in contacts.items()),
        told.ohms or 0.0, told.address or "", told.card or "", told.cable or "",
        tuple(Wire(str(w.wire), getattr(w, "from"), w.to) for w in told.wires or ()),
    )  # fmt: skip


def _contact(terminals: str, form: str) -> WiredContact:
    first, second = terminals.split("-")
    return WiredContact(first, second, form == "closed")


def _check(located: Located, loom: Loom) -> None:
    """Hold the devices to one another."""
    for device in loom.devices:
        if device.address and device.what not in _CARDS.values() and device.tag not in BY_TAG:
            at = _at(located, device.tag, "address")
            refuse(located, at, _UNKNOWN(tag=device.tag), nearest(device.tag, BY_TAG))
    for tag in NEEDED:
        if tag not in loom.by_tag:
            refuse(located, ("devices",), _WANTS(tag=tag), _WANTS_DO)
    _check_wires(located, loom)
    taken: dict[str, str] = {}
    for device in loom.devices:
        _check_address(located, loom, device, taken)
    for tag in BY_TAG:
        _check_card(located, loom, tag)


def _at(located: Located, *place: str | int) -> Place:
    """Return a place of the file, or the nearest one above it that the file itself has."""
    spot: Place = ("devices", *place)
    while spot and spot not in located.values:
        spot = spot[:-1]
    return spot


def _check_wires(located: Located, loom: Loom) -> None:
    first: dict[str, str] = {}
    for device in loom.devices:
        for index, wire in enumerate(device.wires):
            at = (device.tag, "wires", index)
            if wire.number in first:
                advice = _TWICE_DO(tag=first[wire.number])
                refuse(located, _at(located, *at, "wire"), _TWICE(wire=wire.number), advice)
            first[wire.number] = device.tag
            for key, end in zip(_ENDS, wire.ends, strict=True):
                _check_end(located, loom, _at(located, *at, key), end)
            if wire.start == wire.end:
                refuse(located, _at(located, *at, "to"), _LOOP(wire=wire.number), _LOOP_DO)


def _check_end(located: Located, loom: Loom, at: Place, end: str) -> None:
    tag, _, mark = end.partition(":")
    device = loom.by_tag.get(tag)
    if device is None:
        refuse(located, at, _NO_DEVICE(tag=tag), nearest(tag, loom.by_tag))
    if device.what in ANY_MARK:
        return
    marks = [*marks_of(device)]
    if mark not in marks:
        advice = nearest(end, (device.at(each) for each in marks))
        refuse(located, at, _NO_TERMINAL(tag=tag, terminal=mark), advice)


def marks_of(device: WiredDevice) -> Iterator[str]:
    """Yield the marks of the terminals of a device that has its own."""
    told = [mark for each in device.contacts for mark in (each.first, each.second)]
    yield from dict.fromkeys((*TERMINALS.get(device.what, ()), *told))


def _check_address(
    located: Located, loom: Loom, device: WiredDevice, taken: dict[str, str]
) -> None:
    tag, address = device.tag, device.address
    if device.what in _CARDS.values():
        return
    if tag in BY_TAG and not (address and device.card):
        refuse(located, _at(located, tag), _NO_ADDRESS(tag=tag), _NO_ADDRESS_DO, key=True)
    if not address:
        return
    at = _at(located, tag, "address")
    letter = "Q" if tag in OUTPUTS else "I"
    if address[0] != letter:
        refuse(located, at, _WRONG_WAY(tag=tag, address=address), _WAY_DO(letter=letter))
    if address in taken:
        refuse(located, at, _TAKEN(address=address, other=taken[address]), _TAKEN_DO)
    taken[address] = tag
    card = loom.by_tag.get(device.card)
    if card is None or card.what is not _CARDS[letter] or not card.address:
        cards = [each.tag for each in loom.devices if each.what is _CARDS[letter]]
        what = _NO_CARD(card=device.card, address=address)
        refuse(located, _at(located, tag, "card"), what, nearest(device.card, cards))
    if not 0 <= place_of(address) - place_of(card.address) < CHANNELS:
        what = _OFF_CARD(address=address, count=str(CHANNELS), card=card.tag, first=card.address)
        refuse(located, at, what, _OFF_CARD_DO)


def _check_card(located: Located, loom: Loom, tag: str) -> None:
    """Hold a device to its address: there is a wire on the card's terminal."""
    terminal = loom.card_terminal(tag)
    if terminal not in loom.wires_at:
        what = _NOT_WIRED(tag=tag, terminal=terminal, address=loom.by_tag[tag].address)
        advice: Message = _NOT_WIRED_DO(tag=tag, terminal=terminal)
        refuse(located, _at(located, tag, "address"), what, advice)


def _check_way(located: Located, loom: Loom, tag: str) -> None:
    """Hold a device to the way that a meter goes along from its address: it is on it."""
    if not any(tag == tag_of(end) for hop in loom.path(tag) for end in (hop.start, hop.end)):
        what = _NO_WAY(tag=tag, terminal=loom.card_terminal(tag))
        refuse(located, _at(located, tag, "address"), what, _NO_WAY_DO(tag=tag))


def written(loom: Loom) -> Iterator[str]:
    """Yield the lines that tell a wiring whole, in the form of a file, close together."""
    yield "devices:"
    for device in loom.devices:
        yield f"  {device.tag}:"
        told = [f"is: {device.what.value}", f"place: {device.place}"]
        if device.contacts:
            pairs = (
                f"{c.name}: {'closed' if c.closed_at_rest else 'open'}" for c in device.contacts
            )
            told.append(f"contacts: {{{', '.join(pairs)}}}")
        if device.ohms:
            told.append(f"ohms: {device.ohms:g}")
        told += [
            f"{key}: {value}"
            for key, value in (("address", device.address), ("card", device.card), ("cable", device.cable))
            if value
        ]  # fmt: skip
        yield from (f"    {each}" for each in told)
        if device.wires:
            yield "    wires:"
            for wire in device.wires:
                yield f"      - {{wire: {wire.number}, from: {wire.start}, to: {wire.end}}}"
