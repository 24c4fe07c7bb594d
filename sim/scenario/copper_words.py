"""Refuses a wiring whose copper says other than the saw that is simulated, at the wire that lies wrong.

Never here: how that is found (see `sim.plant.copper`).
"""

from collections.abc import Collection
from typing import Final

from sim.plant.copper import Astray, Contradiction, contradictions, culprit
from sim.scenario.located import Located, Place
from sim.scenario.reading import refuse
from sim.wiring.loom import Loom, Wire
from sim.words.fields import name
from sim.words.message import Message, Row, row

_SAID: Final[dict[Astray, tuple[Row, Row]]] = {
    Astray.KIND: (
        row("copper.kind", "{tag} is no {what} on this saw", tag=name(), what=name()),
        row("copper.kind.do", "give {other} as what it is", other=name()),
    ),
    Astray.IDLE: (
        row("copper.idle", "nothing on this saw works {tag}", tag=name()),
        row(
            "copper.idle.do", "leave {tag} out with its wires, or give it the tag of a device that the saw has",
            tag=name(),
        ),
    ),
    Astray.FORM: (
        row(
            "copper.form", "the contact {end} of {tag} is told as {found}, and is {right} when nobody touches it",
            end=name(), tag=name(), found=name(), right=name(),
        ),
        row("copper.form.do", "write {end}: {right}", end=name(), right=name()),
    ),
    Astray.NO_DEVICE: (
        row("copper.no-device", "no device is a {other}, and the saw needs one", other=name()),
        row("copper.no-device.do", "tell the {other}, or say which machine this one is like", other=name()),
    ),
    Astray.JOINED: (
        row(
            "copper.joined", "{end} and {other} must never be joined, and are, over the wires {way}",
            end=name(), other=name(), way=name(),
        ),
        row("copper.joined.do", "lead the wire {wire} elsewhere, so that they are apart", wire=name()),
    ),
    Astray.LIVE: (
        row(
            "copper.live", "with the contact of {tag} open {end} still has voltage, over the wires {way}",
            tag=name(), end=name(), way=name(),
        ),
        row(
            "copper.live.do", "lead the wire {wire} elsewhere, so that nothing goes past the contact of {tag}",
            wire=name(), tag=name(),
        ),
    ),
    Astray.DRIVEN: (
        row(
            "copper.driven", "with its output {address} off {tag} is still fed, over the wires {way}",
            address=name(), tag=name(), way=name(),
        ),
        row(
            "copper.driven.do", "lead the wire {wire} elsewhere, so that nothing but {terminal} feeds {tag}",
            wire=name(), terminal=name(), tag=name(),
        ),
    ),
    Astray.DARK: (
        row(
            "copper.dark", "with {other} on and nothing else no voltage comes to {end}",
            other=name(), end=name(),
        ),
        row(
            "copper.dark.do", "wire {end} so that its voltage comes through {other} and through no other contact",
            end=name(), other=name(),
        ),
    ),
    Astray.NO_FEED: (
        row("copper.no-feed", "no wire joins {end} to 24 V", end=name()),
        row("copper.no-feed.do", "wire {end} to 24 V, through no contact but a fuse", end=name()),
    ),
    Astray.NO_RETURN: (
        row("copper.no-return", "no wire joins {end} to 0 V", end=name()),
        row("copper.no-return.do", "wire {end} to 0 V, through no contact", end=name()),
    ),
    Astray.MOTOR: (
        row(
            "copper.motor", "{tag} does not bring three phases to {other} and to no other motor",
            tag=name(), other=name(),
        ),
        row(
            "copper.motor.do", "lead three phases over the poles of {tag} to {other}:U, {other}:V and {other}:W",
            tag=name(), other=name(),
        ),
    ),
    Astray.TURNS: (
        row(
            "copper.turns", "{tag} turns {other} the same way as {end}",
            tag=name(), other=name(), end=name(),
        ),
        row("copper.turns.do", "cross two of the three wires from {tag} to {other}", tag=name(), other=name()),
    ),
}  # fmt: skip
"""By what is wrong: what is said of it, and what is to be done."""


def hold_to_saw(located: Located, loom: Loom, told: Collection[str]) -> None:
    """Hold a wiring to the saw that is simulated.

    Args:
        located: The file, for the places in it.
        loom: The wiring, every name in it known.
        told: The tags of the devices that the file itself tells.

    Raises:
        ScenarioError: Its copper says other than the saw.
    """
    found = contradictions(loom)
    if not found:
        return
    first = found[0]
    wire = culprit(loom, first, told)
    what, to_do = _said(loom, first, wire)
    place, key = _place(located, loom, first, wire)
    refuse(located, place, what, to_do, key=key)


def _place(
    located: Located, loom: Loom, wrong: Contradiction, wire: Wire | None
) -> tuple[Place, bool]:
    """Return where the file tells what is wrong, and whether that is a name."""
    if wire is not None:
        owner = loom.owner(wire)
        place: Place = ("devices", owner, "wires", loom.by_tag[owner].wires.index(wire))
        if place in located.values:
            return place, False
    if wrong.against is Astray.FORM:
        place = ("devices", wrong.tag, "contacts", wrong.end)
        if place in located.values:
            return place, False
    place = ("devices", wrong.tag)
    return (place, True) if place in located.values else (("devices",), False)


def _said(loom: Loom, wrong: Contradiction, wire: Wire | None) -> tuple[Message, Message]:
    """Return what is wrong, and what to do."""
    way = wrong.way
    if wire in way and wrong.against is not Astray.JOINED:
        way = way[way.index(wire) :]  # what lies before it is as it should be
    about = {
        "tag": wrong.tag,
        "end": wrong.end,
        "other": wrong.other,
        "way": ", ".join(each.number for each in way),
        "wire": wire.number if wire is not None else "",
        **_of_device(loom, wrong),
    }
    return _row(_SAID[wrong.against][0], about), _row(_SAID[wrong.against][1], about)


def _row(said: Row, about: dict[str, str]) -> Message:
    return said(**{each: about[each] for each in said.fields})


def _of_device(loom: Loom, wrong: Contradiction) -> dict[str, str]:
    device = loom.by_tag.get(wrong.tag)
    if device is None:
        return {}
    closed = any(each.closed_at_rest for each in device.contacts if each.name == wrong.end)
    found, right = ("closed", "open") if closed else ("open", "closed")
    return {
        "what": device.what.value,
        "address": device.address,
        "terminal": loom.card_terminal(wrong.tag),
        "found": found,
        "right": right,
    }
