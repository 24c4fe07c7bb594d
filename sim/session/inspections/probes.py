"""The two probes of a meter on the terminals of the saw: `volts B12:4`, `volts Y12:1 Y12:2`, `ohms Y12:1 Y12:2`.

A reading is told as somebody in the shop says it: 24 V, 0 V, some 20 ohms, open. Ohms are read where nothing
is live; else there is no reading, and the meter may be wrecked.

Never here: what the network is (see `sim.logic.bench.meter`).
"""

import re
from collections.abc import Iterator
from typing import Final

from sim.logic.bench.meter import WRECKS_V, Meter, Reading
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind
from sim.wiring.loom import Is, Loom, tag_of
from sim.words.fields import name, one_of
from sim.words.message import Message, plain, row

PROBE_S: Final = 45.0  # to find a terminal, put the probes on and read; common practice, no source
VOLTS, OHMS = "volts", "ohms"
_CABINET: Final = "cabinet"  # the place of a device, as a wiring file says it

_TERMINAL: Final = re.compile(r"[A-Z][A-Z0-9]{0,7}:[A-Z0-9+-]{1,4}")
_VOLTS: Final = row("inspection.volts.title", "Meter the volts at {one}", one=name())
_VOLTS_2: Final = row(
    "inspection.volts-2.title",
    "Meter the volts between {one} and {other}",
    one=name(),
    other=name(),
)
_OHMS: Final = row(
    "inspection.ohms.title", "Meter the ohms between {one} and {other}", one=name(), other=name()
)
_BANDS: Final = {
    0: "no voltage", 8: "something between, no sound level", 24: "24 V", 115: "some 115 V alternating",
    230: "230 V alternating", 400: "400 V alternating",
}  # fmt: skip
_FOUND: Final = row(
    "inspection.volts.found",
    "At {one} the meter shows {volts}.",
    one=name(),
    volts=one_of(*_BANDS.values()),
)
_FOUND_2: Final = row(
    "inspection.volts-2.found", "Between {one} and {other} the meter shows {volts}.",
    one=name(), other=name(), volts=one_of(*_BANDS.values()),
)  # fmt: skip
_OHMS_FOUND: Final = row(
    "inspection.ohms.found", "Between {one} and {other} the meter shows {ohms} ohms.",
    one=name(), other=name(), ohms=name(),
)  # fmt: skip
_OPEN: Final = row(
    "inspection.ohms.open", "Between {one} and {other} the meter shows nothing: they are not joined.",
    one=name(), other=name(),
)  # fmt: skip
_LIVE: Final = plain(
    "inspection.ohms.live",
    "There is voltage, so this is no reading. Ohms are metered on what is dead.",
)
_BLOWN: Final = plain(
    "inspection.ohms.blown",
    "There is mains voltage, so this is no reading, and the meter may be wrecked. Prove a meter on a known "
    "source, then the part dead, before ohms are metered.",
)  # fmt: skip
_NONE: Final = row("inspection.probe.none", "There is no terminal {one} on this saw.", one=name())


def probes(called: str) -> Inspection | None:
    """Return the look that a name such as `volts B12:4` calls; None where it is none."""
    word, *ends = called.split() or ("",)
    ends = [end.upper() for end in ends]
    most = {VOLTS: (1, 2), OHMS: (2, 2)}.get(word)
    if most is None or not most[0] <= len(ends) <= most[1]:
        return None
    if not all(map(_TERMINAL.fullmatch, ends)):
        return None
    one, other = ends[0], ends[1] if len(ends) > 1 else ""

    def show(saw: Saw) -> Message:
        return _shown(Meter(saw), word, one, other)

    title = _OHMS(one=one, other=other) if word == OHMS else _VOLTS_2(one=one, other=other)
    if not other:
        title = _VOLTS(one=one)
    return Inspection(
        " ".join((word, *ends)), title, "supply", PROBE_S, show, kind=Kind.METER, terminals=tuple(ends)
    )  # fmt: skip


def told(look: Inspection, meter: Meter) -> Message:
    """Return what such a look shows with a meter that is at the saw already, as many are made at one moment."""
    return _shown(
        meter, look.name.partition(" ")[0], look.terminals[0], *look.terminals[1:]
    ).rounded()


def at_mains(look: Inspection, saw: Saw) -> bool:
    """Return whether such a look puts a probe on mains voltage."""
    meter = Meter(saw)
    return any(meter.volts(end).volts >= WRECKS_V for end in look.terminals if meter.has(end))


def metered_ohms(look: Inspection) -> bool:
    """Return whether a look is one with an ohmmeter."""
    return look.name.startswith(f"{OHMS} ")


def _shown(meter: Meter, word: str, one: str, other: str = "") -> Message:
    lost = next((end for end in (one, other) if end and not meter.has(end)), "")
    if lost:
        return _NONE(one=lost)
    if word == OHMS:
        return _ohms(meter.ohms(one, other))
    volts = _BANDS[meter.volts(one, other).band]
    return _FOUND_2(one=one, other=other, volts=volts) if other else _FOUND(one=one, volts=volts)


def _ohms(reading: Reading) -> Message:
    one, other = reading.one, reading.other
    if reading.live:
        return _BLOWN if reading.blows else _LIVE
    if reading.ohms is None or reading.ohms == float("inf"):
        return _OPEN(one=one, other=other)
    digits = f"{reading.ohms:.2g}" if reading.ohms >= 10 else f"{reading.ohms:.1g}"
    return _OHMS_FOUND(
        one=one, other=other, ohms="0" if reading.ohms < 0.6 else f"{float(digits):g}"
    )


def ends_along(loom: Loom, tag: str) -> tuple[str, ...]:
    """Return the terminals along the wiring of a device; of a safety relay, those of its channels and loops too."""
    device = loom.by_tag.get(tag)
    if device is None:
        return ()
    own = device.wires if device.what is Is.SAFETY_RELAY else ()
    ends = [end for hop in loom.path(tag) for end in (hop.start, hop.end)]
    return tuple(dict.fromkeys((*ends, *(end for wire in own for end in wire.ends))))


def along(loom: Loom, tag: str) -> tuple[str, ...]:
    """Return the names of the readings that a plan has of a device: along its wiring, and at what feeds it.

    Along its wiring that is each end of a wire once, and its coil; at the fuses and the supply behind it, their ends.
    """
    return tuple(dict.fromkeys((*_along(loom, tag), *_feeding(loom, tag))))


def _feeding(loom: Loom, tag: str) -> Iterator[str]:
    for device in loom.fed_by(tag) if tag in loom.by_tag else ():
        if device.what is Is.SUPPLY:
            yield f"{VOLTS} {device.at('+')}"
        for pole in device.contacts:
            yield from (f"{VOLTS} {device.at(mark)}" for mark in (pole.first, pole.second))


def _along(loom: Loom, tag: str) -> tuple[str, ...]:
    device = loom.by_tag.get(tag)
    if device is None:
        return ()
    probed = (end for end in ends_along(loom, tag) if loom.by_tag[tag_of(end)].what is not Is.BAR)
    zero = device.at("3") if device.what is Is.SENSOR else ""
    volts = [f"{VOLTS} {end}" for end in probed if end != zero]
    if zero:
        volts.append(f"{VOLTS} {device.at('1')} {zero}")
    if device.coil is None:
        return tuple(volts)
    if device.place != _CABINET:
        # Who puts hands there has own control first, and that takes the output off: volts tell nothing.
        last = [hop for hop in loom.path(tag) if tag in (tag_of(hop.start), tag_of(hop.end))]
        away = (each for each in volts if tag_of(each.split()[1]) != tag)
        return (
            *away,
            *(f"{OHMS} {hop.start} {hop.end}" for hop in last),
            f"{OHMS} {' '.join(device.coil)}",
        )
    return (*volts, f"{VOLTS} {' '.join(device.coil)}", f"{OHMS} {' '.join(device.coil)}")
