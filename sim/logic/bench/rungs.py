"""The ladder as it is wired: one rung for each output and for each key, as branches of contacts and a coil.

A contact is closed while something in the controller's image has one of some values. One with an arrow is
closed only in the moment in which that comes about: a key counts as it goes down, not while it lies there.
So an output has branches by which it is set going, and one that holds it on, by the state of its part.
Between the card and the coil lies copper; those contacts are told as they are when nobody touches them.

Rungs are made from the running tables and the machine's own wiring each time (contacts and coils as in
IEC 61131-3, from memory; the layout is our own). `flow` says how far the power comes with an image.

Never here: a rule of the machine, and drawings (see `rung_drawing`).
"""

from collections import ChainMap
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from sim.control import outputs, rules_of_use
from sim.control.actions import ACTIONS, Action
from sim.control.controller import MODE_AT, OF_PRODUCTION, Controller
from sim.control.cycle import JOB_ASKS, RETURN_LANE, STEPS
from sim.control.interlocks import THE_ROWS, Image, Permissive, Rows, When
from sim.control.job import TAKEN_IN
from sim.control.site_rows import rows_of
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.control.two_hand import PALMS
from sim.logic.bench.wiring_prints import contacts_read, wires_between
from sim.plant.machine import Machine
from sim.signals import BY_TAG, NORMALLY_CLOSED
from sim.wiring.loom import Hop, Is, Loom, WiredContact, WiredDevice, place_of, tag_of
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, named, plain, row
from sim.words.speech import reader, tell

FULL: Final = "job.full"  # the count has reached the pieces wanted: no subject of the image
_CUTS: Final = ("LOWER_HEAD",)  # the step in which the shuttle goes back besides
_TABLE_OF: Final = {table.name: table for table in TABLES}
_WIDE: Final = 100  # letters of a line
_RISES, _FALLS = "↑", "↓"
_Given = tuple[tuple[str, tuple[object, ...]], ...]


@dataclass(frozen=True, slots=True)
class Wired:
    """Whose rungs: the wiring of a machine, and the rows that its controller walks."""

    name: str
    loom: Loom
    rows: Rows

    @classmethod
    def of(cls, machine: Machine) -> "Wired":
        """Return those of a machine."""
        return cls(machine.name, machine.loom, rows_of(machine.site_rows))


def _is_one_of(subject: str, values: tuple[object, ...]) -> str:
    if values in ((True,), (False,)):
        return subject if values[0] else f"/{subject}"
    return f"{subject}={'|'.join(map(str, values))}"


@dataclass(frozen=True, slots=True)
class Contact:
    """Closed while the subject has one of the values."""

    subject: str
    values: tuple[object, ...]
    number: str = ""  # of the interlock that put it there
    given: _Given = ()  # elsewhere it is bridged
    moment: bool = False  # closed only as it comes about

    def closed(self, image: Image, *, asked: bool = False) -> bool:
        """Return whether it lets power through; `asked` in the moment in which all that is momentary comes."""
        bridged = any(image[subject] not in values for subject, values in self.given)
        return bridged or (asked if self.moment else image[self.subject] in self.values)

    @property
    def label(self) -> Message:
        """The subject and what it must be, a slash for a contact that opens; where it counts."""
        if not self.given:
            return named(self.must)
        return _LABEL(must=self.must, only=self.only)

    @property
    def only(self) -> Message:
        """Where it counts, as a clause; nothing for everywhere."""
        return _IF(where=self.where) if self.given else NOTHING

    @property
    def where(self) -> str:
        """Where it counts; empty for everywhere."""
        return "&".join(_is_one_of(subject, values) for subject, values in self.given)

    @property
    def off(self) -> bool:
        """Whether it is one that opens."""
        return self.values == (False,)

    @property
    def must(self) -> str:
        """The subject and what it must be."""
        if self.values in ((True,), (False,)):
            if self.moment:
                return f"{self.subject}{_FALLS if self.off else _RISES}"
            return _is_one_of(self.subject, self.values)
        if set(self.values) == {True, False}:
            return f"{self.subject}{_RISES}{_FALLS}"
        if self.moment:
            return f"{_is_one_of(self.subject, self.values)}{_RISES}"
        return _is_one_of(self.subject, self.values)


@dataclass(frozen=True, slots=True)
class Branch:
    """Contacts in a row."""

    said: Message  # what it is there for
    contacts: tuple[Contact, ...]

    def conducts(self, image: Image, *, asked: bool = False) -> bool:
        """Return whether power comes through."""
        return flow(self, image, asked=asked) == len(self.contacts)


@dataclass(frozen=True, slots=True)
class LetsGo:
    """One thing by which an output goes off."""

    contact: Contact  # that it comes about
    event: str
    said: Message = NOTHING  # where it is nothing that can be read off an image


@dataclass(frozen=True, slots=True)
class Rung:
    """Branches beside each other, and the coil that they feed."""

    coil: str  # an output or an action
    text: Message
    branches: tuple[Branch, ...]
    lets_go: tuple[LetsGo, ...] = ()

    def holds(self, image: Image) -> bool:
        """Return whether power comes through to the coil."""
        return any(branch.conducts(image) for branch in self.branches)

    @property
    def output(self) -> bool:
        """Whether its coil is an output."""
        return self.coil in BY_TAG

    @property
    def wires(self) -> tuple[str, ...]:
        """The tags of the signals on it."""
        contacts = (each for branch in self.branches for each in branch.contacts)
        tags = (tag for each in contacts for tag in (each.subject, *(s for s, _ in each.given)))
        own = (self.coil,) if self.output else ()
        return tuple(dict.fromkeys(tag for tag in (*tags, *own) if tag in BY_TAG))


_IF: Final = row("rung.if", "if {where}", where=name())
_LABEL: Final = row("rung.label", "{must} {only}", must=name(), only=part())
_BY_KEY: Final = plain("rung.branch.key", "by its key")
_BY_JOB: Final = plain("rung.branch.job", "by the job")
_BY_ITSELF: Final = plain("rung.branch.itself", "by itself")
_BY_SWITCH: Final = plain("rung.branch.switch", "by the mode switch, half a second at rest")
_STAYS: Final = plain("rung.branch.stays", "and it stays on")
_WHILE: Final = plain("rung.branch.while", "while the key is down")
_TAKEN: Final = row("rung.taken", "{action} is taken", action=name())
_JOB_HALTS: Final = plain("rung.job-halts", "the job, when it halts the part")
_KEPT_IN: Final[dict[When, _Given]] = {  # the controller keeps a need of a key in the other modes
    When.ANY: (),
    When.JOB: (("mode", ("PRODUCTION",)),),
    When.KEY: (("mode", ("MANUAL", "MAINTENANCE", "NONE")),),
}
_POWER: Final = Contact("supply", ("ON",))
_PRODUCTION: Final = Contact("mode", ("PRODUCTION",))
_BY_HAND: Final = Contact("mode", ("MANUAL", "MAINTENANCE"))


def image_of(controller: Controller) -> Image:
    """Return what rungs are read with: the controller's image, and whether its count is full."""
    job = controller.job
    return ChainMap({FULL: job.enough(job.cut)}, controller.image)


def interlock_contacts(action: str, origin: When, rows: Rows = THE_ROWS) -> tuple[Contact, ...]:
    """Return the contacts that the interlock rows put into the way of an action."""
    return tuple(map(_contact, rows.needs_of(action, origin)))


def _contact(row: Permissive) -> Contact:
    return Contact(row.need.subject, row.need.values, row.number, row.given)


@lru_cache(maxsize=8)
def every_rung(site: Wired) -> tuple[Rung, ...]:
    """Return all rungs: of the outputs by their addresses, then of the keys."""
    return (*output_rungs(site), *key_rungs(site))


# Of the keys ------------------------------------------------------------------------------


def key_rungs(site: Wired) -> tuple[Rung, ...]:
    """Return the rung of every action that a key asks for."""
    return tuple(
        Rung(
            action.name,
            _TAKEN(action=action.name),
            (Branch(_BY_KEY, _trimmed(by_key(action, site.rows))),),
        )
        for action in ACTIONS
    )


def by_key(action: Action, rows: Rows) -> tuple[Contact, ...]:
    """Return what must be closed for a key to be answered: mode, state, interlocks, and the key last.

    So power comes as far as the first contact that refuses.
    """
    return (
        *_rules_of_use(action),
        *interlock_contacts(action.name, When.KEY, rows),
        *_hands(action),
    )


def _trimmed(contacts: tuple[Contact, ...]) -> tuple[Contact, ...]:
    """Return contacts without those, and without that of their places, that the others leave no chance."""
    fixed = {c.subject: c.values for c in contacts if not (c.given or c.moment)}
    found = []
    for each in contacts:
        given = tuple((s, tuple(v for v in vs if v in fixed.get(s, vs))) for s, vs in each.given)
        if all(values for _, values in given):
            kept = tuple((s, vs) for s, vs in given if vs != fixed.get(s))
            found.append(replace(each, given=kept))
    return tuple(found)


def _rules_of_use(action: Action) -> Iterator[Contact]:
    """Yield what is asked besides the interlocks: mode, state of the part, and the job's own state."""
    if action.moves:
        yield _BY_HAND
    if action.name in OF_PRODUCTION:
        yield _PRODUCTION
    states = _TABLE_OF[action.machine].states
    busy = [state for name, state in rules_of_use.BUSY if name == action.name]
    if busy:
        yield Contact(action.machine, tuple(state for state in states if state not in busy))
    if action.name in TAKEN_IN:
        yield Contact("job", TAKEN_IN[action.name])
    if action.name == "job.new":
        yield _POWER
    if action.name == "job.straight":
        yield Contact("job.owes", (False,))
    if action.name in OF_PRODUCTION:
        parked: _Given = (("cycle", ("PARKED",)),) if action.name == "job.unhold" else ()
        yield Contact(FULL, (False,), given=parked)


def _hands(action: Action) -> Iterator[Contact]:
    """Yield the key, and the palm keys where it wants them; none of them in MAINTENANCE, where it jogs."""
    pressed = action.tag not in NORMALLY_CLOSED
    yield Contact(action.tag, (pressed is not action.on_release,), moment=True)
    if action.palms:
        others = tuple(mode for mode in _TABLE_OF["mode"].states if mode != "MAINTENANCE")
        given: _Given = (("mode", others),) if action.moves else ()
        yield from (Contact(palm, (True,), given=given, moment=True) for palm in PALMS)


# Of the outputs ---------------------------------------------------------------------------


def output_rungs(site: Wired) -> tuple[Rung, ...]:
    """Return the rung of every output, in the order of their addresses."""
    found = {rung.coil: rung for rung in (*_of_states(site.rows), *_of_variator())}
    tags = (each.tag for each in site.loom.devices if each.tag in found)
    order = sorted(tags, key=lambda tag: place_of(site.loom.by_tag[tag].address))
    return tuple(found[tag] for tag in order)


def _of_states(rows: Rows) -> Iterator[Rung]:
    for machine, tags in outputs.OF_MACHINE.items():
        for tag in tags:
            on = tuple(
                s for (m, s), driven in outputs.ON_IN.items() if m == machine and tag in driven
            )
            holds = (
                (Contact(machine, on),) if machine == "supply" else (_POWER, Contact(machine, on))
            )
            begun = _begun(machine, on, rows)
            yield Rung(
                tag, BY_TAG[tag].text, (*begun, Branch(_STAYS, holds)),
                tuple(_lets_go(machine, on, rows)),
            )  # fmt: skip


def _begun(machine: str, on: tuple[str, ...], rows: Rows) -> Iterator[Branch]:
    """Yield the branches by which a part comes into one of some states from any other."""
    leads = dict.fromkeys(
        each.event for each in _TABLE_OF[machine].rows if each.to in on and each.state not in on
    )
    for action in ACTIONS:
        if action.machine == machine and action.event in leads:
            yield Branch(_BY_KEY, _trimmed(by_key(action, rows)))
            if action.name in JOB_ASKS:
                yield Branch(_BY_JOB, _trimmed(_by_job(action, rows)))
    for reaction in rows.reactions:
        if any((machine, event) in reaction.fires for event in leads):
            given = tuple(Contact(s, values, reaction.number) for s, values in reaction.given)
            becomes = Contact(reaction.subject, reaction.becomes, reaction.number, moment=True)
            yield Branch(_BY_ITSELF, (*given, becomes))
    for mode, tag in MODE_AT.items() if machine == "mode" else ():
        if f"TAKE_{mode}" in leads:
            yield Branch(_BY_SWITCH, _points_to(tag))


def _points_to(tag: str) -> tuple[Contact, ...]:
    return tuple(Contact(each, (each == tag,), moment=each == tag) for each in MODE_AT.values())


def _by_job(action: Action, rows: Rows) -> tuple[Contact, ...]:
    steps = [step for step, told in STEPS.items() if told.action == action.name]
    if any(step in RETURN_LANE for step in steps):
        steps += _CUTS
    asks = Contact("cycle", tuple(steps), moment=True)
    return (_PRODUCTION, *interlock_contacts(action.name, When.JOB, rows), asks)


def _lets_go(machine: str, on: tuple[str, ...], rows: Rows) -> Iterator[LetsGo]:
    """Yield what brings a part out of some states: its switches, keys, reactions, needs it must keep, the job."""
    away = dict.fromkeys(
        each.event for each in _TABLE_OF[machine].rows if each.state in on and each.to not in on
    )
    for (tag, value), (owner, event) in SENSOR_EVENTS.items():
        if owner == machine and event in away:
            yield LetsGo(Contact(tag, (value,), moment=True), event)
    for action in ACTIONS:
        if action.machine == machine and action.event in away:
            pressed = action.tag not in NORMALLY_CLOSED
            yield LetsGo(Contact(action.tag, (pressed,), moment=True), action.event)
    if machine == "mode":
        turns = (Contact(tag, (True, False), moment=True) for tag in MODE_AT.values())
        yield from (LetsGo(turn, "TURN") for turn in turns)
    yield from _by_reaction(machine, on, rows, away)
    if "HALT" in away:
        yield from _by_need(machine, on, rows)
        yield LetsGo(Contact("job", (), moment=True), "HALT", _JOB_HALTS)


def _by_reaction(
    machine: str, on: tuple[str, ...], rows: Rows, away: Collection[str]
) -> Iterator[LetsGo]:
    for reaction in rows.reactions:
        here = dict(reaction.given).get(machine, on)
        if not set(here) & set(on):
            continue
        contact = Contact(
            reaction.subject, reaction.becomes, reaction.number, reaction.given, moment=True
        )
        for owner, event in reaction.fires:
            if owner == machine and event in away:
                yield LetsGo(contact, event)


def _by_need(machine: str, on: tuple[str, ...], rows: Rows) -> Iterator[LetsGo]:
    for each in rows.permissives:
        if each.keeps and _lasts(machine, each.action) in on:
            need, given = each.need, (*each.given, *_KEPT_IN[each.when])
            values = _others(need.subject, need.values)
            yield LetsGo(Contact(need.subject, values, each.number, given), "HALT")


def _others(subject: str, values: tuple[object, ...]) -> tuple[object, ...]:
    """Return what a subject can be besides some values."""
    table = _TABLE_OF.get(subject)
    domain: tuple[object, ...] = table.states if table is not None else (False, True)
    return tuple(each for each in domain if each not in values)


def _lasts(machine: str, asked: str) -> str:
    """Return the state in which a machine is while an action lasts; empty where it is another's."""
    found = [each for each in ACTIONS if each.name == asked and each.machine == machine]
    to = (row.to for row in _TABLE_OF[machine].rows for a in found if row.event == a.event)
    return next(to, "")


def _of_variator() -> Iterator[Rung]:
    keys = outputs.VARIATOR_KEYS
    for key, tag in keys.items():
        others = tuple(Contact(other, (False,)) for other in keys if other != key)
        contacts = (_POWER, *others, Contact(key, (True,)))
        yield Rung(tag, BY_TAG[tag].text, (Branch(_WHILE, contacts),))


# What is wired ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class WiredAs:
    """How a signal is wired: what stands at a contact."""

    tag: str
    address: str
    terminal: str  # of the card
    contact: str  # NO or NC at rest, with its terminals; of an output those that lie in its way
    wires: tuple[str, ...]  # from the card to the device

    @property
    def lines(self) -> tuple[str, ...]:
        """What is written below it, short lines."""
        found = f"{self.address} {self.terminal}", self.contact, " ".join(self.wires)
        return tuple(line for line in found if line.strip())


def wired_as(loom: Loom, tag: str) -> WiredAs | None:
    """Return how a signal is wired; None for what only the controller knows."""
    device = loom.by_tag.get(tag)
    if device is None or not device.address:
        return None
    wires = tuple(number for number, _ in wires_between(loom, tag))
    return WiredAs(tag, device.address, loom.card_terminal(tag), contacts_read(loom, tag), wires)


@dataclass(frozen=True, slots=True)
class Copper:
    """One piece of an output's way from its card: a wire, and what lies at its end."""

    hop: Hop
    device: WiredDevice
    contact: WiredContact | None  # that the way goes through there


def copper(loom: Loom, tag: str) -> tuple[Copper, ...]:
    """Return the way of an output from its card to the 0 V."""
    crossed = {
        device.at(mark): (device, contact)
        for device, contact in loom.crossed(tag)
        for mark in (contact.first, contact.second)
    }
    return tuple(
        Copper(hop, loom.by_tag[tag_of(hop.end)], crossed.get(hop.end, (None, None))[1])
        for hop in loom.path(tag)
    )


# Power and words --------------------------------------------------------------------------


def flow(branch: Branch, image: Image, *, asked: bool = False) -> int:
    """Return how many contacts from the left the power passes; all of them when it comes through."""
    for passed, contact in enumerate(branch.contacts):
        if not contact.closed(image, asked=asked):
            return passed
    return len(branch.contacts)


def headed(rung: Rung) -> str:
    """Return what stands over a rung: its coil, and what that means."""
    return f"{reader().name(rung.coil)}: {tell(rung.text)}" if rung.output else tell(rung.text)


def drawn(site: Wired, rung: Rung) -> str:
    """Return a rung as lines of text: branches, coil, the way in copper, how it is wired, what lets it go."""
    told = reader().name
    lines = [headed(rung)]
    for place, branch in enumerate(rung.branches):
        last = place == len(rung.branches) - 1
        coil = f"+--( {told(rung.coil)} )--|" if last else "+"
        lines += [f"  {tell(branch.said)}", *_rows(branch, coil)]
    if rung.output:
        lines += (f"  {each}" for each in copper_lines(site.loom, rung.coil))
    lines += (f"    {'  '.join(row).rstrip()}" for row in _columns(_wired_rows(site, rung)))
    if rung.lets_go:
        lines.append(f"  {tell(LETS_GO)}")
        lines += (f"    {each}" for each in lets_go_lines(rung))
    return "\n".join(lines)


def _rows(branch: Branch, coil: str) -> Iterator[str]:
    """Yield a branch in lines of a width that a page has, each going on where the one above ended."""
    line = "  |--"
    for contact in branch.contacts:
        piece = f"[ {tell(contact.label)} ]--"
        if len(line) + len(piece) > _WIDE and line.strip(" |-"):
            yield line
            line = "     --"
        line += piece
    yield line + coil


LETS_GO: Final = plain("rung.lets-go", "The controller switches it off on")
_GOES: Final = row("rung.lets-go.row", "{cause} ({event})", cause=part(), event=name())


def lets_go_lines(rung: Rung) -> tuple[str, ...]:
    """Return what lets an output go, a line each, with the number of the interlock first."""
    lines = []
    for each in rung.lets_go:
        cause = each.said or each.contact.label
        number = reader().name(each.contact.number) if each.contact.number else ""
        lines.append(f"{number:4}{tell(_GOES(cause=cause, event=each.event))}")
    return tuple(dict.fromkeys(lines))


def _wired_rows(site: Wired, rung: Rung) -> list[tuple[str, ...]]:
    rows = []
    for tag in rung.wires:
        wired = wired_as(site.loom, tag)
        if wired is not None:
            cells = (tag, wired.address, wired.terminal, wired.contact, " ".join(wired.wires))
            rows.append(tuple(reader().name(cell) if cell else "" for cell in cells))
    return rows


def _columns(rows: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Return rows whose cells are as wide as the widest in their column."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [tuple(c.ljust(w) for c, w in zip(row, widths, strict=True)) for row in rows]


_IN_COPPER: Final = row("rung.copper", "In copper: {way}", way=name())
_FED: Final = row("rung.fed", "24 V of the card: {way}", way=name())


def copper_lines(loom: Loom, tag: str) -> tuple[str, ...]:
    """Return the way of an output from its card, and how the card is fed, a line each."""
    fed = feed_way(loom, tag)
    return (
        tell(_IN_COPPER(way=copper_way(loom, tag))), *((tell(_FED(way=fed)),) if fed else ()),
    )  # fmt: skip


def copper_way(loom: Loom, tag: str) -> str:
    """Return the way of an output in one line: card, wires, contacts as they are at rest, coil."""
    words = [loom.card_terminal(tag)]
    for each in copper(loom, tag):
        if each.hop.start != words[-1].partition(" ")[0]:
            words.append(each.hop.start)
        form = f" {each.contact.form}" if each.contact else ""
        words += [f"-{each.hop.wire.number}-", f"{each.hop.end}{form}"]
    return " ".join(words)


def feed_way(loom: Loom, tag: str) -> str:
    """Return in one line how 24 V comes to the card of an output, contacts as they are at rest; empty where none does."""
    start = f"{loom.by_tag[tag].card}:L+"
    came: dict[str, tuple[str, str]] = {start: ("", "")}
    ahead = [start]
    for end in ahead:
        for on, how in _on_from(loom, end):
            if on not in came:
                came[on] = (end, how)
                ahead.append(on)
    source = next((end for end in ahead if _gives_24(loom, end)), "")
    words: list[str] = []
    while source:
        back, how = came[source]
        words += [source, how] if how else [source]
        source = back
    return " ".join(words) if len(words) > 1 else ""


def _gives_24(loom: Loom, end: str) -> bool:
    device = loom.by_tag[tag_of(end)]
    return device.what is Is.SUPPLY and end == device.at("+")


def _on_from(loom: Loom, end: str) -> Iterator[tuple[str, str]]:
    """Yield the terminals that are one step from one: along a wire, through a contact, over a bridge."""
    device = loom.by_tag[tag_of(end)]
    for wire in loom.wires_at.get(end, ()):
        yield wire.other(end), f"-{wire.number}-"
    if device.what is Is.BAR:
        yield from ((other, "=") for other in loom.joined(device) if other != end)
    for contact in device.contacts:
        ends = device.at(contact.first), device.at(contact.second)
        if end in ends:
            yield ends[end == ends[0]], contact.form
