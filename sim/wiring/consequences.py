"""What comes of a failure on the machine, found from how the wiring hangs together.

With every contact closed and every output on, each input must be reached by its 24 V and each coil by
both sides of its supply; what is not reached any more no longer works. With one device's own contact open,
nothing may reach its input; what does, makes it read true for good. So a site that loops its wires from
key to key loses all that hangs behind the break.

Never here: the machine (see `sim.plant.harness`, which makes it so).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from sim.signals import INPUTS, OUTPUTS
from sim.wiring.circuit import PHASES, point
from sim.wiring.failures import Failure, FailureKind, Wounds, wounds
from sim.wiring.loom import PLUS, ZERO, Is, Loom, WiredDevice, tag_of

_NONE: Final[frozenset[str]] = frozenset()
MAIN_COILS: Final = ("Q11", "Q12")
FEEDS_MAIN: Final = "K1"
CHANNELS: Final = {1: ("S11", "S12"), 2: ("S21", "S22")}
FEEDBACK: Final = ("Y1", "Y2")
RESET: Final = ("S33", "S34")
STOP: Final = "S1"
CONTROL_FUSE: Final = "F24"
HUM: Final = (
    "Q1",
    "Q2",
    "Q3",
)  # whose motors hum on two phases; the small one of the variator just stands
_ALWAYS_CLOSED: Final = frozenset({Is.ISOLATOR, Is.FUSE, Is.OVERLOAD})
_WHOLE: Final = Wounds()


@dataclass(frozen=True, slots=True)
class Effect:
    """What a failure does to the machine; two with the same do the same to everything but a meter."""

    dead: frozenset[str] = _NONE  # wires that carry nothing any more
    live: frozenset[str] = _NONE  # wires that carry 24 V all the time
    unfed: frozenset[str] = _NONE  # sensors without supply, whose lamps are dark too
    stays: tuple[tuple[str, bool], ...] = ()  # contactors and valves that are stuck, and where
    shorted: str = ""  # an output that blows the control fuse as it comes on
    no_24: bool = False  # the control voltage is away
    blown: bool = False  # the control fuse itself
    no_return: bool = False  # the valves' 0 V
    coils: frozenset[str] = _NONE  # of the main contactors, without current
    welded: frozenset[str] = _NONE  # main contactors
    loop: bool = False  # the feedback loop is open
    reset: bool = False  # the reset circuit is open
    relay: bool = False  # the safety relay has no supply
    contacts: tuple[tuple[str, int, bool], ...] = ()  # of a stop, its channel, and where it stays
    two_phases: frozenset[str] = _NONE  # motors, by the contactor
    phase: bool = False  # one phase of the mains is away

    @property
    def nothing(self) -> bool:
        """Whether the machine does not feel it."""
        return self == Effect()


@lru_cache(maxsize=4096)
def effect_of(loom: Loom, failure: Failure) -> Effect:
    """Return what comes of a failure on a machine with that wiring."""
    hurt, own = wounds(loom, (failure,)), loom.by_tag.get(failure.tag)
    if own is None:
        return Effect()
    if failure.kind is FailureKind.COIL_OPEN and own.address:
        return Effect(stays=((own.tag, False),))
    if failure.kind in (FailureKind.COIL_SHORTED, FailureKind.TO_0):
        return Effect(shorted=FEEDS_MAIN if own.tag in MAIN_COILS else own.tag)
    if failure.kind is FailureKind.WELDED and own.what is Is.CONTACTOR:
        return _welded(own)
    if failure.kind is FailureKind.CHANNEL:
        return Effect(dead=frozenset({own.tag}))
    if failure.kind in (FailureKind.TO_24, FailureKind.WELDED):
        return _lives(loom, failure, hurt)
    return _breaks(loom, hurt, failure)


def _welded(own: WiredDevice) -> Effect:
    if own.tag in MAIN_COILS:
        return Effect(welded=frozenset({own.tag}))
    return Effect(stays=((own.tag, True),))


def _lives(loom: Loom, failure: Failure, hurt: Wounds) -> Effect:
    """Return what comes of something that carries voltage when it should not."""
    own = loom.by_tag[failure.tag]
    stop = _channel_of(loom, own, failure.contact)
    if stop:
        return Effect(contacts=((own.tag, stop, True),))
    live = own.tag in (*INPUTS, *OUTPUTS) and stays_live(loom, hurt, own.tag)
    return Effect(live=frozenset({own.tag}) if live else _NONE)


def stays_live(loom: Loom, hurt: Wounds, tag: str) -> bool:
    """Return whether the wire of a device carries 24 V with its own contact open, or its output off."""
    own = loom.by_tag[tag]
    off = {link for link in _links(loom) if link[:2] in (("contact", own.tag), ("output", own.tag))}
    plus = (each.at("+") for each in _supplies(loom, hurt))
    reached = _reached(loom, hurt, plus, off - _held(hurt))
    if own.coil is None:
        return point(loom, loom.card_terminal(tag)) in reached and tag not in hurt.dead
    zero = _reached(loom, hurt, (each.at("-") for each in _supplies(loom, hurt)))
    return own.coil[0] in reached and own.coil[1] in zero


_Link = tuple[str, str, str]
"""What joins two points: a wire by its number, a contact by device and terminals, an output by its tag."""


def _held(hurt: Wounds) -> set[_Link]:
    return {("contact", *place) for place in hurt.closed}


@lru_cache(maxsize=64)
def _links(loom: Loom) -> dict[_Link, tuple[str, str]]:
    """Return everything that can join two points, by what it is."""
    found: dict[_Link, tuple[str, str]] = {}
    for wire in loom.wires.values():
        found["wire", wire.number, ""] = point(loom, wire.start), point(loom, wire.end)
    for device in loom.devices:
        for contact in device.contacts:
            ends = device.at(contact.first), device.at(contact.second)
            found["contact", device.tag, contact.name] = ends
        if device.card and loom.by_tag[device.card].what is Is.OUTPUT_CARD:
            card = loom.by_tag[device.card]
            found["output", device.tag, ""] = card.at("L+"), loom.card_terminal(device.tag)
    return found


@lru_cache(maxsize=64)
def _near(loom: Loom) -> dict[str, list[tuple[str, _Link]]]:
    """Return by point its neighbours, and what joins it to each."""
    found: dict[str, list[tuple[str, _Link]]] = {}
    for link, (one, other) in _links(loom).items():
        found.setdefault(one, []).append((other, link))
        found.setdefault(other, []).append((one, link))
    return found


@lru_cache(maxsize=1024)
def _open_but(loom: Loom, kinds: frozenset[Is], tags: frozenset[str]) -> frozenset[_Link]:
    """Return the contacts of all devices but of some kinds and some tags."""
    return frozenset(
        link for link in _links(loom)
        if link[0] == "contact" and link[1] not in tags and loom.by_tag[link[1]].what not in kinds
    )  # fmt: skip


def _reached(loom: Loom, hurt: Wounds, start: Iterable[str], off: Iterable[_Link] = ()) -> set[str]:
    """Return the points that hang together with some, every contact closed but those that are `off`."""
    near, barred = _near(loom), {*off, *_broken(hurt)}
    shorts: dict[str, list[str]] = {}
    for pair in hurt.shorts:
        one, other = (point(loom, end) for end in pair)
        shorts.setdefault(one, []).append(other)
        shorts.setdefault(other, []).append(one)
    found = set(start)
    ahead = [*found]
    while ahead:
        here = ahead.pop()
        for each, link in near.get(here, ()):
            if each not in found and link not in barred:
                found.add(each)
                ahead.append(each)
        for each in shorts.get(here, ()):
            if each not in found:
                found.add(each)
                ahead.append(each)
    return found


def _broken(hurt: Wounds) -> Iterator[_Link]:
    yield from (("wire", number, "") for number in hurt.cut)
    yield from (("contact", *place) for place in hurt.opened)
    yield from (("output", tag, "") for tag in hurt.dead)


def _channel_of(loom: Loom, own: WiredDevice, contact: str) -> int:
    """Return the channel of the safety relay in which a contact lies, 0 for none."""
    if own.what is not Is.SWITCH or not contact:
        return 0
    ends = {own.at(mark) for mark in contact.split("-")}
    for relay in loom.devices:
        if relay.what is Is.SAFETY_RELAY:
            for channel, (first, _) in CHANNELS.items():
                if ends & _reached(loom, _WHOLE, (relay.at(first),)):
                    return channel
    return 0


def _supplies(loom: Loom, hurt: Wounds) -> list[WiredDevice]:
    return [each for each in loom.devices if each.what is Is.SUPPLY and each.tag not in hurt.dead]


def _breaks(loom: Loom, hurt: Wounds, failure: Failure) -> Effect:
    """Return what comes of something that no longer carries."""
    supplies = [each for each in _supplies(loom, hurt) if _has_mains(loom, hurt, each)]
    plus = _reached(loom, hurt, (each.at("+") for each in supplies))
    zero = _reached(loom, hurt, (each.at("-") for each in supplies))
    cards = {
        each.tag for each in loom.devices
        if each.what in (Is.INPUT_CARD, Is.OUTPUT_CARD) and each.at("M") in zero
    }  # fmt: skip
    inputs = [loom.by_tag[tag] for tag in INPUTS]
    dead = {d.tag for d in inputs if d.card not in cards or loom.card_terminal(d.tag) not in plus}
    unfed = {
        d.tag for d in inputs
        if d.what is Is.SENSOR and not (d.at(PLUS) in plus and d.at(ZERO) in zero)
    }  # fmt: skip
    if len(dead | unfed) == len(inputs):
        fuse = failure.kind is FailureKind.BLOWN and failure.tag == CONTROL_FUSE
        return Effect(no_24=not fuse, blown=fuse)
    coils = _coils(loom, failure, plus, zero, cards)
    valves = {tag for tag in OUTPUTS if loom.by_tag[tag].what is Is.VALVE}
    no_return = valves <= coils and not coils - valves
    off = coils & set(OUTPUTS)
    found = Effect(
        dead=frozenset((dead - unfed) | (set() if no_return else off)),
        unfed=frozenset(unfed),
        no_return=no_return,
        # K1 feeds both of them, so without it neither is a fact of its own.
        coils=_NONE if FEEDS_MAIN in off else frozenset(coils & set(MAIN_COILS)),
    )
    return _of_motors(loom, hurt, _of_relay(loom, hurt, plus, zero, found))


def _coils(
    loom: Loom, failure: Failure, plus: set[str], zero: set[str], cards: set[str]
) -> set[str]:
    """Return the coils that get no current any more, by tag."""
    found = {failure.tag} if failure.kind is FailureKind.COIL_OPEN else set[str]()
    for device in loom.devices:
        if device.coil is None:
            continue
        fed = device.coil[0] in plus and device.coil[1] in zero
        if not fed or (device.card and device.card not in cards):
            found.add(device.tag)
    return found


def _of_relay(loom: Loom, hurt: Wounds, plus: set[str], zero: set[str], found: Effect) -> Effect:
    """Return an effect with what of the safety relay no longer works."""
    relay = next((each for each in loom.devices if each.what is Is.SAFETY_RELAY), None)
    if relay is None:
        return found

    def closed(ends: tuple[str, str]) -> bool:
        return relay.at(ends[1]) in _reached(loom, hurt, (relay.at(ends[0]),))

    return replace(
        found,
        relay=not (relay.at("A1") in plus and relay.at("A2") in zero),
        loop=not closed(FEEDBACK),
        reset=not closed(RESET),
        # Which of the stops a broken wire lies at makes no difference to the relay.
        contacts=tuple(
            (STOP, channel, False) for channel, ends in CHANNELS.items() if not closed(ends)
        ),
    )


def _of_motors(loom: Loom, hurt: Wounds, found: Effect) -> Effect:
    """Return an effect with the motors that have lost phases."""
    switched = [loom.by_tag[tag] for tag in OUTPUTS if loom.by_tag[tag].what is Is.CONTACTOR]
    lost = {each.tag: 3 - _phases_at_motor(loom, hurt, each) for each in switched}
    two = {tag for tag, phases in lost.items() if phases == 1}
    none = {tag for tag, phases in lost.items() if phases > 1}
    if lost and two == set(lost):
        return replace(found, phase=True)
    hum = two & set(HUM)
    return replace(
        found,
        two_phases=frozenset(hum),
        stays=tuple((tag, False) for tag in sorted(none | two - hum)),
    )


def _phases_at_motor(loom: Loom, hurt: Wounds, contactor: WiredDevice) -> int:
    """Return how many phases reach the motor behind a contactor."""
    motor, mains = _motor_of(loom, contactor.tag), _mains(loom)
    if not motor or mains is None:
        return len(PHASES)
    off = _open_but(loom, _ALWAYS_CLOSED, frozenset({*MAIN_COILS, contactor.tag}))
    reach = (_reached(loom, hurt, (mains.at(phase),), off) for phase in PHASES)
    return sum(any(tag_of(end) == motor for end in each) for each in reach)


def _mains(loom: Loom) -> WiredDevice | None:
    return next((each for each in loom.devices if each.what is Is.MAINS), None)


@lru_cache(maxsize=256)
def _motor_of(loom: Loom, contactor: str) -> str:
    """Return the motor behind a contactor; empty where there is none."""
    own = loom.by_tag[contactor]
    off = _open_but(loom, frozenset({Is.OVERLOAD}), frozenset())
    found = _reached(loom, _WHOLE, (own.at(each.second) for each in own.contacts), off)
    tags = sorted({tag_of(end) for end in found})
    return next((tag for tag in tags if loom.by_tag[tag].what is Is.MOTOR), "")


def _has_mains(loom: Loom, hurt: Wounds, supply: WiredDevice) -> bool:
    """Whether a supply hangs on two phases with the isolator on."""
    mains = _mains(loom)
    if mains is None:
        return False
    off = _open_but(loom, frozenset({Is.ISOLATOR, Is.FUSE}), frozenset())
    reach = {phase: _reached(loom, hurt, (mains.at(phase),), off) for phase in PHASES}
    on = [{p for p, found in reach.items() if supply.at(mark) in found} for mark in ("L", "N")]
    return all(on) and on[0] != on[1]
