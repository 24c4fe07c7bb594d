"""The network of resistances that a loom makes, as its contacts stand and with what has failed in it.

Theory. A closed contact, a wire and a whole fuse are small resistances, an open one is none at all; a
coil, a winding and an input have their own. The mains are fixed potentials against earth, the 24 V supply
a source with a small resistance, whose 0 V is tied to earth (IEC 60204-1, from memory). A sensor closes its
output only while it has both its supply wires; that, and whether the supply has its mains, is found first,
by what hangs together.

Never here: how a contact comes to stand as it does (see `sim.logic.bench.as_wired`).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Final

from sim.wiring.failures import SHORT_OHM, Wounds
from sim.wiring.loom import OUT, PLUS, ZERO, Is, Loom, WiredContact, WiredDevice, place_of
from sim.wiring.network import NO_VOLTS, Network, Volts

WIRE_OHM: Final = 0.02  # each of these is a choice, in the range of what one meters
CONTACT_OHM: Final = 0.05
SENSOR_OHM: Final = 2400.0  # what a sensor draws of its supply: 10 mA
RELAY_OHM: Final = 500.0  # of a safety relay, and of each of its channels
RELAY_FEED_OHM: Final = 1.0  # inside it, to its channels and loops
SUPPLY_OHM: Final = 0.05
SUPPLY_LEAK_OHM: Final = 1e6  # from its 0 V to earth inside: filters
CONTROL_V: Final = 24.0
PHASE_V: Final = 230.0  # against earth
PHASES: Final = ("L1", "L2", "L3")

_K0_INSIDE: Final = (
    ("A1", "A2", RELAY_OHM),
    *(("A1", mark, RELAY_FEED_OHM) for mark in ("S11", "S21", "S33", "Y1")),
    *((mark, "A2", RELAY_OHM) for mark in ("S12", "S22", "S34", "Y2")),
)


@dataclass(frozen=True, slots=True)
class State:
    """How contacts and outputs stand."""

    closed: Callable[[WiredDevice, WiredContact], bool]
    on: Callable[[str], bool]  # whether the output of a card is on, by the tag on it
    phases: tuple[str, ...] = PHASES  # of the mains that are there


def phasor(phase: str) -> Volts:
    """Return the potential of a phase of the mains against earth."""
    angle = -2 * pi / 3 * PHASES.index(phase)
    return (0.0, PHASE_V * cos(angle), PHASE_V * sin(angle))


def point(loom: Loom, terminal: str) -> str:
    """Return the point of the network that a terminal is: all of a bar are one."""
    tag = terminal.partition(":")[0]
    device = loom.by_tag.get(tag)
    return tag if device is not None and device.what is Is.BAR else terminal


def circuit(loom: Loom, state: State, hurt: Wounds) -> Network:
    """Return the network of a loom.

    Args:
        loom: The wiring.
        state: How its contacts stand.
        hurt: What has failed in it.
    """
    joins = tuple(_joins(loom, state, hurt))
    groups = _groups((a, b) for a, b, _ in joins)
    net = Network([*joins, *_loads(loom, hurt)])
    mains = next((each for each in loom.devices if each.what is Is.MAINS), None)
    if mains is not None:
        net.fixed[mains.at("PE")] = NO_VOLTS
        net.fixed.update({mains.at(phase): phasor(phase) for phase in state.phases})
    live = {groups.get(p, p): p for p in net.fixed if not p.endswith(":PE")}
    on: set[str] = set()
    for device in loom.devices:
        if device.what is Is.SUPPLY:
            low, high = device.at("-"), device.at("+")
            if mains is not None:
                net.join(low, mains.at("PE"), SUPPLY_LEAK_OHM)
            fed = {live.get(groups.get(device.at(mark), "")) for mark in ("L", "N")}
            if None not in fed and len(fed) == 2 and device.tag not in hurt.dead:
                net.feed(low, high, CONTROL_V, SUPPLY_OHM)
                on.update((groups.get(low, low), groups.get(high, high)))
    for device in loom.devices:
        if device.what is Is.SENSOR:
            ends = {groups.get(point(loom, device.at(mark))) for mark in (PLUS, ZERO)}
            contact = device.contacts[0]
            whole = ends <= on and len(ends) == 2
            if (whole or (device.tag, contact.name) in hurt.closed) and _closes(
                device, contact, state, hurt
            ):
                net.join(device.at(PLUS), device.at(OUT), CONTACT_OHM)
    return net


def _closes(device: WiredDevice, contact: WiredContact, state: State, hurt: Wounds) -> bool:
    """Whether a contact is closed; one that does not open is, one that does not close is not."""
    place = (device.tag, contact.name)
    if place in hurt.opened:
        return False
    return place in hurt.closed or state.closed(device, contact)


def _joins(loom: Loom, state: State, hurt: Wounds) -> Iterable[tuple[str, str, float]]:
    """Yield what joins two points as good as directly."""
    for wire in loom.wires.values():
        if wire.number not in hurt.cut:
            yield point(loom, wire.start), point(loom, wire.end), WIRE_OHM
    for one, other in hurt.shorts:
        yield point(loom, one), point(loom, other), SHORT_OHM
    for device in loom.devices:
        for contact in device.contacts:
            if device.what is not Is.SENSOR and _closes(device, contact, state, hurt):
                yield device.at(contact.first), device.at(contact.second), CONTACT_OHM
        card = loom.by_tag.get(device.card)
        if (
            card is not None
            and card.what is Is.OUTPUT_CARD
            and (state.on(device.tag) and device.tag not in hurt.dead)
        ):
            yield card.at("L+"), loom.card_terminal(device.tag), CONTACT_OHM


def _loads(loom: Loom, hurt: Wounds) -> Iterable[tuple[str, str, float]]:
    """Yield every resistance that is a load."""
    coils = dict(hurt.coils)
    for device in loom.devices:
        if device.coil is not None:
            ohms = coils.get(device.tag, device.ohms)
            if ohms:
                yield (*device.coil, ohms)
        elif device.what is Is.SENSOR:
            yield device.at(PLUS), device.at(ZERO), SENSOR_OHM
        elif device.what is Is.MOTOR:
            star = device.at("star")
            yield from ((device.at(mark), star, device.ohms) for mark in ("U", "V", "W"))
        elif device.what is Is.SAFETY_RELAY:
            yield from ((device.at(a), device.at(b), ohms) for a, b, ohms in _K0_INSIDE)
        elif device.what is Is.INPUT_CARD:
            first = place_of(device.address)
            for each in loom.devices:
                if each.card == device.tag:
                    place = place_of(each.address) - first
                    yield device.at(str(place)), device.at("M"), device.ohms


def _groups(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Return for every point the name of the group of points that it hangs together with."""
    above: dict[str, str] = {}

    def top(each: str) -> str:
        while above.setdefault(each, each) != each:
            above[each] = above[above[each]]
            each = above[each]
        return each

    for one, other in pairs:
        above[top(one)] = top(other)
    return {each: top(each) for each in above}
