"""The prints of the wiring: terminal plan, list of wires, list of inputs and outputs.

Every word comes from the machine's own wiring and the table of signals. In the terminal plan a wire stands
at each of its two ends, in the list of wires once.

Never here: pages (`bench_page`), and what hangs on a rung (`rungs`).
"""

from collections.abc import Iterable, Iterator
from html import escape
from typing import Final

from sim.logic.bench.prints import DIRECTION, ON_MEANS, TAG, WAY, PrintSheet, sheet_of
from sim.signals import BY_TAG
from sim.wiring.loom import ANY_MARK, Is, Loom, WiredDevice, place_of, tag_of
from sim.words.fields import name, number, part
from sim.words.message import NOTHING, Message, named, plain, row
from sim.words.speech import reader, tell

_SIDES: Final = (Is.MAINS, *ANY_MARK)  # have a plan of their own, each
_TERMINAL: Final = plain("print.terminal", "terminal")
_WIRE: Final = plain("print.wire", "wire")
_GOES_TO: Final = plain("print.goes-to", "goes to")
_CABLE: Final = plain("print.cable", "cable")
_PLACE: Final = plain("print.place", "place")
_ADDRESS: Final = plain("print.address", "address")
_CARD: Final = plain("print.card", "card")
_TERMINAL_HEADS: Final = (
    _TERMINAL, _WIRE, _GOES_TO, _CABLE, plain("print.place-there", "place there"),
)  # fmt: skip
_WIRE_HEADS: Final = (
    _WIRE, plain("print.from", "from"), plain("print.to", "to"), _CABLE,
    plain("print.place-from", "place from"), plain("print.place-to", "place to"),
)  # fmt: skip
_DEVICE_HEADS: Final = (
    TAG, plain("print.what", "what it is"), plain("print.contacts", "contacts"),
    plain("print.ohms", "Ω"), _ADDRESS, _CARD, _CABLE, _PLACE,
)  # fmt: skip
_IO_HEADS: Final = (
    TAG, WAY, _ADDRESS, plain("print.channel", "card terminal"),
    plain("print.wires", "wires"), plain("print.device-end", "device terminal"),
    plain("print.contact", "contact"), _CABLE, _PLACE, ON_MEANS,
)  # fmt: skip
_PLAN_OF: Final = row(
    "print.plan-of", "{tag}: {what}, {place}", tag=name(), what=part(), place=part()
)
_PLAN_AT: Final = row("print.plan-at", "Terminals of the devices: {place}", place=part())
_WIRES: Final = plain("print.list-of-wires", "Wires")
_DEVICES: Final = plain("print.list-of-devices", "Devices")
IO_LIST: Final = plain("print.io-list", "Inputs and outputs")
_OHMS: Final = row("print.ohms-of", "{ohms}", ohms=number())
_DRAWN: Final = row(
    "print.strip.title", "{terminal}: wire {wire} to {end}",
    terminal=name(), wire=name(), end=name(),
)  # fmt: skip
WHAT: Final = {
    Is.MAINS: plain("device.mains", "incoming terminals"),
    Is.ISOLATOR: plain("device.isolator", "isolator"),
    Is.FUSE: plain("device.fuse", "fuse or breaker"),
    Is.SUPPLY: plain("device.supply", "24 V supply"),
    Is.BAR: plain("device.bar", "terminals bridged to one"),
    Is.STRIP: plain("device.strip", "terminal strip"),
    Is.SWITCH: plain("device.switch", "switch"),
    Is.SENSOR: plain("device.sensor", "sensor"),
    Is.OVERLOAD: plain("device.overload", "overload relay"),
    Is.SAFETY_RELAY: plain("device.safety-relay", "safety relay"),
    Is.RELAY: plain("device.relay", "relay"),
    Is.CONTACTOR: plain("device.contactor", "contactor"),
    Is.VALVE: plain("device.valve", "valve"),
    Is.MOTOR: plain("device.motor", "motor"),
    Is.INPUT_CARD: plain("device.input-card", "input card"),
    Is.OUTPUT_CARD: plain("device.output-card", "output card"),
}
_PLACES: Final = {
    each: plain(f"wiring.place.{each}", each)
    for each in ("cabinet", "console", "infeed", "band", "head", "shuttle", "vises", "tanks")
}


def place_said(place: str) -> Message:
    """Return a place in words; one that only a site has as it writes it."""
    return _PLACES.get(place) or named(place)


def _cell(text: str) -> Message:
    return named(text) if text else NOTHING


# Terminals and wires ----------------------------------------------------------------------


def device_list(loom: Loom) -> PrintSheet:
    """Return every device once: what it is, its contacts at rest, its ohms, address, card, cable, place."""
    return sheet_of(_DEVICES, _DEVICE_HEADS, map(_device, loom.devices))


def _device(device: WiredDevice) -> tuple[Message, ...]:
    forms = "" if device.what is Is.FUSE else " {form}"
    contacts = ", ".join(each.name + forms.format(form=each.form) for each in device.contacts)
    return (
        named(device.tag), WHAT[device.what], _cell(contacts),
        _OHMS(ohms=device.ohms) if device.ohms else NOTHING,
        _cell(device.address), _cell(device.card), _cell(device.cable), place_said(device.place),
    )  # fmt: skip


def terminal_plan(loom: Loom, tag: str = "") -> tuple[PrintSheet, ...]:
    """Return the terminals with their wires: a sheet for each strip and bar, and one for each place.

    Args:
        loom: The wiring.
        tag: Of one device alone; all when empty.
    """
    devices = [each for each in loom.devices if tag in ("", each.tag) and loom.joined(each)]
    sheets = [
        _plan(loom, _PLAN_OF(tag=e.tag, what=WHAT[e.what], place=place_said(e.place)), (e,))
        for e in devices if tag or e.what in _SIDES
    ]  # fmt: skip
    rest = [each for each in devices if not tag and each.what not in _SIDES]
    for place in dict.fromkeys(each.place for each in rest):
        here = (each for each in rest if each.place == place)
        sheets.append(_plan(loom, _PLAN_AT(place=place_said(place)), here))
    return tuple(sheets)


def _plan(loom: Loom, title: Message, devices: Iterable[WiredDevice]) -> PrintSheet:
    rows = (
        (
            named(end), named(wire.number), named(wire.other(end)),
            _cell(", ".join(loom.cables(wire))),
            place_said(loom.by_tag[tag_of(wire.other(end))].place),
        )
        for device in devices
        for end in _in_order(loom, device)
        for wire in loom.wires_at[end]
    )  # fmt: skip
    return sheet_of(title, _TERMINAL_HEADS, rows)


def _in_order(loom: Loom, device: WiredDevice) -> list[str]:
    """Return the terminals of a device, numbers by their size before the others."""

    def rank(end: str) -> tuple[bool, int, str]:
        mark = end.partition(":")[2]
        return not mark.isdecimal(), int(mark) if mark.isdecimal() else 0, mark

    return sorted(loom.joined(device), key=rank)


def wire_list(loom: Loom) -> PrintSheet:
    """Return every wire once, with both its ends, its cable and where it lies."""
    wires = sorted(loom.wires.values(), key=lambda each: (len(each.number), each.number))
    rows = (
        (
            named(wire.number), named(wire.start), named(wire.end),
            _cell(", ".join(loom.cables(wire))),
            *(place_said(loom.by_tag[tag_of(end)].place) for end in wire.ends),
        )
        for wire in wires
    )  # fmt: skip
    return sheet_of(_WIRES, _WIRE_HEADS, rows)


# Inputs and outputs -----------------------------------------------------------------------


def io_list(loom: Loom, tag: str = "") -> PrintSheet:
    """Return card and device terminal, the wires between, contact and meaning of every channel, or of one device's."""
    shown = (each for each in channels(loom) if not tag or each.tag == tag)
    return sheet_of(IO_LIST, _IO_HEADS, (_channel(loom, each) for each in shown))


def channels(loom: Loom) -> list[WiredDevice]:
    """Return every device with an address, by its address, inputs first."""
    devices = [each for each in loom.devices if each.address and each.tag in BY_TAG]
    return sorted(devices, key=lambda each: (each.address[0], place_of(each.address)))


def _channel(loom: Loom, device: WiredDevice) -> tuple[Message, ...]:
    signal = BY_TAG[device.tag]
    between = wires_between(loom, device.tag)
    return (
        named(device.tag), DIRECTION[signal.direction], named(device.address),
        named(loom.card_terminal(device.tag)), named(", ".join(number for number, _ in between)),
        named(between[-1][1] if between else ""), named(contacts_read(loom, device.tag)),
        _cell(device.cable), place_said(device.place), signal.text,
    )  # fmt: skip


def wires_between(loom: Loom, tag: str) -> tuple[tuple[str, str], ...]:
    """Return the wires from a card to its device, each with the terminal at its end, as far as the device."""
    found: list[tuple[str, str]] = []
    for hop in loom.path(tag):
        found.append((hop.wire.number, hop.end))
        if tag_of(hop.end) == tag:
            break
    return tuple(found)


def contacts_read(loom: Loom, tag: str) -> str:
    """Return the contacts between a card and the bar, as NO and NC at rest; another device's with its tag."""
    return ", ".join(
        f"{'' if device.tag == tag else device.tag + ' '}{contact.name} {contact.form}"
        for device, contact in loom.crossed(tag)
    )


def located(loom: Loom, tag: str) -> str:
    """Return address and card terminal of a device, as in I1.0, A1:8; empty where it has none."""
    device = loom.by_tag.get(tag)
    if device is None or not device.address or not device.card:
        return ""
    return f"{device.address}, {loom.card_terminal(tag)}"


# Strips as drawings -----------------------------------------------------------------------

_LINE: Final = 17  # px, from terminal to terminal
_ROOM: Final = 250  # px, on each side
_BOX: Final = 46
_MARGIN: Final = 10


def strips(loom: Loom) -> tuple[WiredDevice, ...]:
    """Return the devices that are drawn: the strips, each of whose terminals joins two sides."""
    return tuple(each for each in loom.devices if each.what is Is.STRIP and loom.joined(each))


def strip_svg(loom: Loom, device: WiredDevice) -> str:
    """Return a strip as a drawing: what comes from outside the cabinet left of it, what stays inside right."""
    ends = _in_order(loom, device)
    high = _LINE * len(ends) + 2 * _MARGIN
    wide = 2 * _ROOM + _BOX
    title = tell(_PLAN_OF(tag=device.tag, what=WHAT[device.what], place=place_said(device.place)))
    body = "\n".join(
        line for place, end in enumerate(ends) for line in _drawn(loom, device, end, place)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" '
        f'height="{high}" role="img" aria-label="{escape(title)}" font-family="monospace" '
        f'font-size="11">\n<title>{escape(title)}</title>\n{_STYLE}\n{body}\n</svg>'
    )


def _drawn(loom: Loom, device: WiredDevice, end: str, place: int) -> Iterator[str]:
    top = _MARGIN + place * _LINE
    middle = top + _LINE / 2
    mark = end.partition(":")[2]
    yield f'<rect x="{_ROOM}" y="{top}" width="{_BOX}" height="{_LINE}"/>'
    yield f'<text x="{_ROOM + _BOX / 2}" y="{middle + 4}" text-anchor="middle">{escape(mark)}</text>'
    sides: dict[bool, list[str]] = {True: [], False: []}
    for wire in loom.wires_at[end]:
        far = wire.other(end)
        outside = loom.by_tag[tag_of(far)].place != device.place
        cables = ", ".join(loom.cables(wire))
        sides[outside].append(
            f"{far}  {cables}  {wire.number}" if outside else f"{wire.number}  {far}"
        )
        said = tell(_DRAWN(terminal=end, wire=wire.number, end=far))
        x = _ROOM - 34 if outside else _ROOM + _BOX
        yield (
            f'<g><title>{escape(said)}</title><path d="M{x},{middle} h34"/></g>'
        )  # fmt: skip
    for outside, words in sides.items():
        x = _ROOM - 40 if outside else _ROOM + _BOX + 40
        anchor = "end" if outside else "start"
        if words:
            told = reader().name("; ".join(words))
            yield (
                f'<text x="{x}" y="{middle + 4}" text-anchor="{anchor}" xml:space="preserve">'
                f"{escape(told)}</text>"
            )


_STYLE: Final = (
    "<style>rect{fill:#fff;stroke:#000}path{fill:none;stroke:#000;stroke-width:1.2}"
    "text{fill:#000}</style>"
)
