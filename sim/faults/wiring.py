"""Causes in the wiring: for each device the failures that its wires, contacts, coils and channels can have.

Each is one failure of copper (see `sim.wiring.failures`), found on the wiring of the machine at hand by
the device and what the wire is there for; so a site's own wire numbers change nothing here. Many of them do
the same to the machine and differ only to a meter on its terminals. Where no meter is put on terminals the
rows of the other files stand for them: `lead` names that row, where one of them does the same.

Never here: what comes of a failure on the machine.
"""

from collections.abc import Callable, Iterator
from typing import Final

from sim.faults.fault import CHANNEL as OF_CARD
from sim.faults.fault import Acts, Family, Fault, Who, Wreck
from sim.plant.power import MOTOR_OF
from sim.signals import INPUTS, OUTPUTS
from sim.wiring.failures import Failure, FailureKind, Role, roles
from sim.wiring.loom import Loom
from sim.words.fields import name
from sim.words.message import Message, Row, row

Find = Callable[[Loom], Failure | None]

_K: Final = FailureKind
_TAG: Final = {"tag": name(), "at": name()}


def broken(find: Find) -> Acts:
    """Return the acts of a failure in the wiring; a machine that is wired otherwise may not have it."""

    def there(wreck: Wreck) -> Failure | None:
        return find(wreck.plant.harness.loom)

    def apply(wreck: Wreck) -> None:
        failure = there(wreck)
        if failure is not None:
            wreck.plant.harness.put(failure)

    def mend(wreck: Wreck) -> None:
        failure = there(wreck)
        if failure is not None:
            wreck.plant.harness.mend(failure)

    return Acts(
        apply=apply, mend=mend, fails=find,
        possible=lambda wreck: there(wreck) is not None,
        present=lambda wreck: there(wreck) in wreck.plant.harness.failures,
    )  # fmt: skip


def on_path(kind: FailureKind, tag: str, role: Role) -> Find:
    """Return what finds a failure of a wire by what it is for on the path of a device with an address."""

    def find(loom: Loom) -> Failure | None:
        wire = roles(loom, tag).get(role)
        return None if wire is None else Failure(kind, tag, wire.number)

    return find


def at_terminal(terminal: str) -> Find:
    """Return what finds the break of the wire on a terminal."""

    def find(loom: Loom) -> Failure | None:
        wires = loom.wires_at.get(terminal, ())
        return Failure(_K.OPEN, terminal.partition(":")[0], wires[0].number) if wires else None

    return find


def at_contact(kind: FailureKind, tag: str, contact: str = "") -> Find:
    """Return what finds a failure of a contact: of the one that is named, or that lies before the card."""

    def find(loom: Loom) -> Failure | None:
        device = loom.by_tag.get(tag)
        if device is None:
            return None
        ends = {end for hop in loom.path(tag) for end in (hop.start, hop.end)}
        for each in device.contacts:
            before_card = {device.at(each.first), device.at(each.second)} <= ends
            if each.name == contact or (not contact and before_card):
                return Failure(kind, tag, contact=each.name)
        return None

    return find


def of_device(kind: FailureKind, tag: str) -> Find:
    """Return what finds a failure of a whole device: its coil, its channel, its output."""
    return lambda loom: Failure(kind, tag) if tag in loom.by_tag else None


_WHOLE: Final = "Fit a new {tag}, whole, and set it as the old one stood."
_NO_BLOCK: Final = ("F1", "K0")  # as a sensor, they have no contact block of their own


class _Form:
    """A form of failure: its words, what putting it right takes, and which part a spare stands in for, if any."""

    def __init__(
        self, key: str, title: str, changes: str, remedy: str, minutes: float, spare: str = ""
    ) -> None:
        self._key = f"fault.wiring.{key}"
        self._title, self._changes = self._row("title", title), self._row("changes", changes)
        self._whole = self._row("remedy-whole", _WHOLE)
        self._remedy, self._minutes, self._spare = self._row("remedy", remedy), minutes, spare
        # A contact is fitted by itself, where the device has such a part.
        self._parts = remedy == _FIT

    def _row(self, part: str, text: str) -> Row:
        fields = {each: field for each, field in _TAG.items() if f"{{{each}}}" in text}
        return row(f"{self._key}.{part}", text, plural="", **fields)

    def fault(
        self, called: str, family: Family, tag: str, find: Find, lead: str = "", at: str = ""
    ) -> Fault:
        """Return the row of the catalogue for one device."""
        said = {"tag": tag, "at": at}
        whole = self._parts and (tag.startswith("B") or tag in _NO_BLOCK)

        def tell(words: Row) -> Message:
            return words(**{each: said[each] for each in words.fields})

        return Fault(
            called, tell(self._title), family, tell(self._changes), tell(self._whole if whole else self._remedy),
            Who.MAINTENANCE, self._minutes, lead=lead, tag=tag, spare=self._spare.format(tag=tag),
            **broken(find),
        )  # fmt: skip


_MAKE_GOOD: Final = "Find the break in the wire, and make it good."
_PART: Final = "{tag}"  # the failure goes with the device, or with the channel that it is on
_FIT: Final = "Fit a new contact block or switch for {tag}, and set it as the old one stood."
_PLUG: Final = "Fit a new coil to {tag}."
_CHANNEL: Final = (
    "Move the wire of {tag} to a free channel, and have the program follow; order a new card."
)

FEED: Final = _Form(
    "feed",
    "{tag}: feed wire broken",
    "the wire that brings 24 V to {tag} is broken",
    _MAKE_GOOD,
    15,
)
ZERO: Final = _Form(
    "zero", "{tag}: 0 V wire broken", "the 0 V wire of {tag} is broken", _MAKE_GOOD, 15
)
SIGNAL: Final = _Form(
    "signal",
    "{tag}: signal wire broken",
    "the signal wire between {tag} and the terminal strip is broken",
    _MAKE_GOOD,
    15,
)
CARD: Final = _Form(
    "card",
    "{tag}: wire to the card broken",
    "the wire of {tag} between the terminal strip and the card is broken",
    _MAKE_GOOD,
    10,
)
TO_24: Final = _Form(
    "to-24",
    "{tag}: wire touches 24 V",
    "the insulation between the wire of {tag} and a live core of its cable is crushed",
    "Find where the cable is crushed, and lay a new one.",
    25,
)
NO_CONTACT: Final = _Form(
    "no-contact",
    "{tag}: contact does not close",
    "the contact of {tag} is worn and does not close",
    _FIT,
    20,
    spare=_PART,
)
STUCK: Final = _Form(
    "stuck", "{tag}: contact stuck", "the contact of {tag} never opens", _FIT, 20, spare=_PART
)
CHANNEL: Final = _Form(
    "channel",
    "{tag}: channel of the card dead",
    "the channel of the card on which {tag} is does not work",
    _CHANNEL,
    20,
    spare=_PART + OF_CARD,
)
LINE: Final = _Form(
    "line",
    "{tag}: wire to the contact before it broken",
    "the wire from the card to the contact that lies before {tag} is broken",
    _MAKE_GOOD,
    15,
)
COIL: Final = _Form(
    "coil",
    "{tag}: wire to the coil broken",
    "the wire to the coil of {tag} is broken",
    _MAKE_GOOD,
    15,
)
BACK: Final = _Form(
    "back",
    "{tag}: 0 V wire of the coil broken",
    "the wire from the coil of {tag} to 0 V is broken",
    _MAKE_GOOD,
    15,
)
TO_0: Final = _Form(
    "to-0",
    "{tag}: wire touches earth",
    "the wire to the coil of {tag} has chafed through and touches earth",
    "Make the wire good, lay it where nothing chafes it, and fit a new control fuse.",
    30,
)
COIL_OPEN: Final = _Form(
    "coil-open",
    "{tag}: coil burnt through",
    "the winding of the coil of {tag} is broken",
    _PLUG,
    15,
    spare=_PART,
)
COIL_SHORTED: Final = _Form(
    "coil-shorted",
    "{tag}: coil shorted",
    "the turns of the coil of {tag} touch each other",
    "Fit a new coil to {tag}, and a new control fuse.",
    20,
    spare=_PART,
)
WELDED: Final = _Form(
    "welded",
    "{tag}: main contacts welded",
    "the main contacts of {tag} are welded together",
    "Fit a new contactor {tag}.",
    30,
    spare=_PART,
)
POLE: Final = _Form(
    "pole",
    "{tag}: one main contact burnt away",
    "the main contact {at} of {tag} no longer closes",
    "Fit a new contactor {tag}.",
    30,
    spare=_PART,
)
WIRE: Final = _Form(
    "wire",
    "{tag}: wire at {at} broken",
    "the wire at the terminal {at} of {tag} is broken",
    _MAKE_GOOD,
    15,
)
FUSE: Final = _Form(
    "fuse",
    "{tag}: fuse {at} blown",
    "the fuse {at} of {tag} is blown",
    "Find what blew the fuse, and fit a new one.",
    20,
)
NO_OUTPUT: Final = _Form(
    "no-output",
    "{tag}: gives no voltage",
    "the 24 V supply {tag} has its mains and gives nothing",
    "Fit a new 24 V supply.",
    30,
    spare=_PART,
)

# The rows of the other files that are the same failure: there they stand, and not here again.
_SAME: Final = {
    ("B11", "signal"): "head-up-wire", ("B11", "stuck"): "head-up-stuck", ("B12", "signal"): "head-down-wire",
    ("B12", "stuck"): "head-down-stuck", ("B21", "signal"): "back-limit-wire", ("B21", "stuck"): "back-limit-stuck",
    ("B22", "signal"): "forward-limit-wire", ("B31", "signal"): "cutting-back-wire",
    ("B33", "signal"): "cutting-clamped-wire", ("B33", "stuck"): "cutting-clamped-stuck",
    ("B34", "signal"): "shuttle-clamped-wire", ("B1", "signal"): "band-turns-wire", ("B2", "signal"): "at-speed-wire",
    ("B53", "signal"): "bar-sensor-wire", ("B41", "signal"): "guard-wire", ("B51", "signal"): "tension-wire",
    ("B52", "signal"): "deviation-wire", ("B61", "signal"): "air-switch-wire", ("B63", "signal"): "coolant-switch-wire",
    ("F1", "signal"): "overload-wire", ("S2", "signal"): "trip-line-wire", ("S3", "signal"): "palm-key-wire",
    ("K0", "signal"): "relay-message-wire", ("Y11", "coil"): "raise-coil-wire", ("Y21", "coil"): "forward-coil-wire",
    ("Y31", "coil"): "cutting-clamp-coil-wire", ("Y33", "coil"): "cutting-release-coil-wire",
    ("Y34", "coil"): "shuttle-release-coil-wire", ("Q1", "coil"): "contactor-dead", ("Q3", "coil"): "coolant-coil-wire",
    ("M2", "coil"): "variator-motor-dead", ("Y22", "to-0"): "valve-wire-earthed", ("Y31", "to-0"): "clamp-wire-earthed",
}  # fmt: skip
# What does the same on the machine, where that is another failure: a part that is stuck, or that is dead itself.
_ALIKE: Final = {
    ("Y12", "coil-open"): "lower-valve-shut", ("Y22", "coil-open"): "back-valve-shut",
    ("Y33", "coil-open"): "cutting-release-valve-shut", ("Y32", "coil-open"): "shuttle-clamp-valve-shut",
    ("Q2", "coil-open"): "oil-pump-coupling", ("Q3", "coil-open"): "coolant-pump-jammed",
    **{
        (tag, what): dead
        for tag, dead in (
            ("B11", "head-up-dead"), ("B12", "head-down-dead"), ("B21", "back-limit-dead"), ("B31", "cutting-back-dead"),
            ("B1", "band-turns-dead"), ("B53", "bar-sensor-dead"), ("B52", "deviation-dead"), ("B63", "coolant-switch-dead"),
        )
        for what in ("feed", "zero")
    },
}  # fmt: skip
_OPENS: Final = (
    "feed",
    "zero",
    "card",
    "no-contact",
    "channel",
    "line",
    "back",
)  # do as the broken wire does
_FORMS: Final = {
    "feed": FEED, "zero": ZERO, "signal": SIGNAL, "card": CARD, "to-24": TO_24, "no-contact": NO_CONTACT,
    "stuck": STUCK, "channel": CHANNEL, "line": LINE, "coil": COIL, "back": BACK, "to-0": TO_0,
    "coil-open": COIL_OPEN, "coil-shorted": COIL_SHORTED, "welded": WELDED,
}  # fmt: skip


def found_by(tag: str, what: str) -> Find:
    """Return what finds a form of failure on the path of a device with an address."""
    coil = Role.COIL if tag in OUTPUTS else Role.SIGNAL
    return {
        "to-24": lambda: on_path(_K.TO_24, tag, coil), "to-0": lambda: on_path(_K.TO_0, tag, coil),
        "no-contact": lambda: at_contact(_K.NO_CONTACT, tag), "stuck": lambda: at_contact(_K.WELDED, tag),
        "channel": lambda: of_device(_K.CHANNEL, tag), "coil-open": lambda: of_device(_K.COIL_OPEN, tag),
        "coil-shorted": lambda: of_device(_K.COIL_SHORTED, tag), "welded": lambda: at_contact(_K.WELDED, tag, "1-2"),
    }.get(what, lambda: on_path(_K.OPEN, tag, Role(what)))()  # fmt: skip


def _lead(tag: str, what: str) -> str:
    """Return the row that does the same on the machine, where there is one."""
    alike = _ALIKE.get((tag, what))
    if alike:
        return alike
    first = "coil" if tag in OUTPUTS else "signal"
    sensor = tag.startswith("B")
    if what in _OPENS and not (sensor and what in ("feed", "zero")):
        return _SAME.get((tag, first), f"{tag.lower()}-{first}")
    if what == "zero":
        return f"{tag.lower()}-feed"
    if what == "to-24" and tag in INPUTS:
        return _SAME.get((tag, "stuck"), f"{tag.lower()}-stuck")
    if what == "coil-shorted" and tag.startswith("Y"):
        return _SAME.get((tag, "to-0"), f"{tag.lower()}-to-0")
    return ""


# Keys that start or stop something, or that a remedy hangs on, have every failure; the others the two that come.
_KEYS: Final = (
    "S1",
    "S9",
    "S2",
    "S3",
    "S4",
    "S5",
    "S6A",
    "S6B",
    "S6C",
    "S7",
    "S8",
    "S10",
    "S70",
    "S71",
    "S73",
)
_OF_KEY: Final = ("signal", "feed", "card", "no-contact", "stuck", "channel")
_OF_OTHER_KEY: Final = ("signal", "no-contact")
_OF_SENSOR: Final = ("signal", "feed", "zero", "card", "to-24", "no-contact", "stuck", "channel")
_IN_CABINET: Final = ("signal", "feed", "no-contact", "channel")
_OF_VALVE: Final = ("coil", "card", "back", "to-24", "to-0", "coil-open", "coil-shorted", "channel")
_OF_CONTACTOR: Final = ("coil", "back", "coil-open", "coil-shorted", "channel")


def _forms_of(tag: str) -> tuple[str, ...]:
    if tag in OUTPUTS:
        through = ("line", "card") if tag == "Q1" else ("line",) if tag == "Y12" else ()
        if tag.startswith("Y"):
            return (*_OF_VALVE, *through)
        return (*_OF_CONTACTOR, *through, *(() if tag == "K1" else ("welded",)))
    if tag.startswith("B"):
        return _OF_SENSOR
    if tag in ("Q0", "K0", "F1"):
        return _IN_CABINET
    return _OF_KEY if tag in _KEYS else _OF_OTHER_KEY


def _on_paths() -> Iterator[Fault]:
    for tag in (*INPUTS, *OUTPUTS):
        family = Family.ACTUATOR if tag in OUTPUTS else Family.SENSOR
        for what in _forms_of(tag):
            if (tag, what) not in _SAME:
                called = f"{tag.lower()}-{what}"
                yield _FORMS[what].fault(called, family, tag, found_by(tag, what), _lead(tag, what))


_FUSES: Final = {"Q1": "F11", "Q2": "F12", "Q3": "F13"}
_POLES: Final = ("1-2", "3-4", "5-6")
_ONE_FUSE: Final = {"Q1": "band-motor-fuse", "Q2": "oil-pump-fuse"}
# Wires beside the paths of addresses: device, terminal, and the row that does the same.
_WIRES: Final = (
    ("Q11", "A1", ""), ("Q11", "A2", "q11-a1"), ("Q12", "A2", "main-contactor-wire"),
    ("K0", "A1", ""), ("K0", "A2", "k0-a1"), ("K0", "13", ""), ("A5", "L+", "k0-13"), ("A5", "M", "k0-13"),
    ("K0", "Y2", "feedback-wire"), ("Q11", "22", "feedback-wire"), ("K0", "S33", ""), ("K0", "S34", "k0-s33"),
    ("K0", "S11", "stop-channel-wire"), ("S1", "12", "stop-channel-wire"), ("K0", "S21", ""), ("S1", "22", "k0-s21"),
    ("K0", "S22", "k0-s21"), ("G1", "+", "control-fuse-blown"), ("G1", "L", "control-fuse-blown"),
    *((f"X2{box}", "0", "") for box in (*range(1, 8), 8)), *((f"X3{box}", "0", f"x2{box}-0") for box in range(1, 6)),
    *((f"A{card}", "M", "") for card in range(1, 5)),
)  # fmt: skip


def _beside() -> Iterator[Fault]:
    family = Family.SUPPLY
    for tag, mark, lead in _WIRES:
        terminal = f"{tag}:{mark}"
        called = f"{tag}-{mark}".lower().replace("+", "plus")
        yield WIRE.fault(called, family, tag, at_terminal(terminal), lead, at=mark)
    for motor, fuse in _FUSES.items():
        winding = MOTOR_OF[motor]
        lead = _ONE_FUSE.get(motor, "f13-1-2")
        for pole in _POLES:
            if pole != "1-2" or motor == "Q3":
                first = "" if lead == f"{fuse.lower()}-{pole}" else lead
                found = at_contact(_K.BLOWN, fuse, pole)
                yield FUSE.fault(f"{fuse}-{pole}".lower(), family, fuse, found, first, at=pole)
        yield POLE.fault(
            f"{motor}-pole".lower(),
            family,
            motor,
            at_contact(_K.NO_CONTACT, motor, "3-4"),
            lead,
            at="3-4",
        )
        for mark in "UVW":
            found = at_terminal(f"{winding}:{mark}")
            yield WIRE.fault(f"{winding}-{mark}".lower(), family, winding, found, lead, at=mark)
    for pole in _POLES[:2]:
        found = at_contact(_K.BLOWN, "F14", pole)
        yield FUSE.fault(f"f14-{pole}", family, "F14", found, "control-fuse-blown", at=pole)
    yield FUSE.fault(
        "f25-1-2", family, "F25", at_contact(_K.BLOWN, "F25", "1-2"), "x28-0", at="1-2"
    )
    yield NO_OUTPUT.fault(
        "g1-no-output", family, "G1", of_device(_K.NO_OUTPUT, "G1"), "control-fuse-blown"
    )
    for tag in ("Q11", "Q12"):
        lead = "q11-a1" if tag == "Q11" else "main-contactor-wire"
        yield COIL_OPEN.fault(
            f"{tag.lower()}-coil-open", family, tag, of_device(_K.COIL_OPEN, tag), lead
        )
    yield NO_CONTACT.fault(
        "s5-reset-no-contact", family, "S5", at_contact(_K.NO_CONTACT, "S5", "23-24"), "k0-s33"
    )
    for stop in ("S1", "S9"):
        for channel, contact in ((1, "11-12"), (2, "21-22")):
            lead = "stop-channel-wire" if channel == 1 else "k0-s21"
            found = at_contact(_K.NO_CONTACT, stop, contact)
            yield NO_CONTACT.fault(
                f"{stop.lower()}-channel-{channel}-open", family, stop, found, lead
            )


WIRING_ROWS: Final = (*_on_paths(), *_beside())
