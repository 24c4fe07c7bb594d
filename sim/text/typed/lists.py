"""What a session lists when it is asked: lock-out, keys, ways to look, faults, lamps, words.

Never here: what an act does.
"""

from collections.abc import Iterable
from typing import Final

from sim.control.lamps import LAMPS, lit
from sim.errors import CommandError
from sim.faults.fault import Fault
from sim.faults.spares import SPARES
from sim.logic.bench.wiring_prints import WHAT, place_said
from sim.plant.set_points import SET_POINTS
from sim.scenario.nearest import nearest
from sim.session import lockout
from sim.session.hands.cautions import before_look, before_set, before_swap, in_short, together
from sim.session.hands.table import to_look, to_mend, to_swap
from sim.session.hands.zones import Demand, Zone
from sim.session.inspections import INSPECTIONS, METER_S, find
from sim.session.inspections.cabinet import meter
from sim.session.inspections.probes import PROBE_S
from sim.session.session import Session
from sim.session.sights import first_piece
from sim.session.sights.energy import energy_in_sight, how_it_stands
from sim.signals import BY_KEY
from sim.text.kinds import FAMILY, SOURCE, WHO
from sim.text.page import Cell, Part, Table
from sim.text.typed.fault_words import speaking_of
from sim.text.typed.language import ALL, TOPICS, WORDS
from sim.wiring.loom import Loom, WiredDevice
from sim.words.fields import authored, minutes, name, number, one_of, part, parts, seconds
from sim.words.message import Message, plain, row

ABOUT_TIME: Final = plain(
    "help.time",
    "Time stands still while you read and type. It passes only with what you do at the saw: wait, "
    "hold, turn, palms, set, inspect, lockout, fix, swap, load and auto.",
)
_ABOUT_NAMES: Final = plain(
    "help.names",
    "Names may be shortened as long as only one fits: isolator for supply.isolator. "
    "A line that begins with # is a remark.",
)
_ABOUT_PLAIN: Final = plain(
    "help.plain",
    "With NO_COLOR set in the environment a terminal gets tables as plain sentences, as a pipe does.",
)

_TAKES: Final = row("list.takes", "{time}", time=seconds())
_LOCKOUT: Final = plain(
    "list.lockout",
    "Lock-out: told, locked and verified; the rest is done by keys and set points, and read off the saw. The wheel "
    "cover, where the work is behind it, is opened before the isolator goes off.",
)
_DONE: Final = plain("list.lockout.done", "done")
_IN_SIGHT: Final = row("list.lockout.in-sight", "In sight: {seen}", seen=parts("; "))
_KEYS: Final = plain("list.keys-and-latches", "Keys and latches.")
_WAYS: Final = plain("list.ways-to-look", "Ways to look.")
_METERED: Final = in_short(to_look(meter("B11")))
METER: Final = plain("list.meter.usage", "meter DEVICE")
_METER_ONE: Final = plain("list.meter", "Put a meter on one wire: meter B11")
_METER_THAT: Final = plain("list.meter.that", "Put a meter on that wire")
_PROBES: Final = plain("list.meter.probes.usage", "volts TERMINAL")
_PROBE_ANY: Final = plain(
    "list.meter.probes",
    "Put two probes on terminals: volts F25:2, ohms Y12:1 Y12:2; wiring lists the terminals",
)
_CATALOGUE: Final = plain("list.catalogue", "Catalogue of faults.")
_SPEAKS_OF_NONE: Final = row(
    "list.catalogue.none", "No fault of the catalogue speaks of '{text}'.", text=authored()
)
_BY_WHOM: Final = row("list.by-whom", "{who} in {time}", who=part(), time=minutes(None))
_UNDER_LOCKOUT: Final = row("list.under-lock-out", "Under lock-out: {remedy}", remedy=part())
_PROVED_DEAD: Final = row(
    "list.proved-dead",
    "Under lock-out, and proved dead by a qualified person: {remedy}",
    remedy=part(),
)
_IN_OWN_CONTROL: Final = row(
    "list.in-own-control", "With the saw in your own control: {remedy}", remedy=part()
)
_AT_REST: Final = row("list.at-rest", "With band and head at rest: {remedy}", remedy=part())
_WIRING: Final = row(
    "list.wiring", "Wiring of {tag}, address {address}.", tag=name(), address=name()
)
_ALL_DEVICES: Final = plain(
    "list.wiring.devices",
    "Devices of the saw, with their terminals; wiring DEVICE lists its wires.",
)
_MOST_ENDS: Final = 8  # terminals of a device that stand in the list
_MANY_ENDS: Final = row("list.wiring.many", "{ends} terminals", ends=number())
_NO_DEVICE: Final = row("list.wiring.no-device", "there is no device {tag}", tag=name())
_SPARES: Final = plain("list.spares", "Parts that can be exchanged for a spare.")
_LAMPS: Final = plain("list.lamps", "Lamps of the console.")
_LIT: Final = row("list.lamp", "{state}", state=one_of("lit", "dark"))
_LOOKS: Final = row(
    "list.lamp.looks",
    "{colour} {shape}",
    colour=one_of(*{lamp.colour: None for lamp in LAMPS}),
    shape=one_of(*{lamp.shape: None for lamp in LAMPS}),
)
_USAGE: Final = row("list.word", "{usage}. {does}", usage=part(), does=part())
_WORDS: Final = plain("list.words", "The words.")
_TOPICS: Final = plain("list.topics", "The words by topic.")
_ASK_HELP: Final = plain(
    "help.ask", "help WORD explains one of them, help TOPIC those of a topic, help all all of them."
)


def lockout_steps(session: Session) -> tuple[Part, ...]:
    """Return the steps of the lock-out and of the way back, what is wanting, and what is in sight."""
    here = session.lockout
    rows = tuple(
        (step.name, _DONE if here.counts(step.name) else "", step.title, _TAKES(time=step.seconds))
        for step in lockout.BY_NAME.values()
    )
    seen = (said for _, said in energy_in_sight(session))
    return (
        Table(_LOCKOUT, ("step", "", "", "takes"), rows),
        how_it_stands(session),
        _IN_SIGHT(seen=tuple(seen)),
    )


def keys() -> Table:
    """Return the keys and latches."""
    rows = tuple((key, row.tag, SOURCE(source=row.source)) for key, row in BY_KEY.items())
    return Table(_KEYS, ("key", "device", ""), rows)


def ways_to_look(session: Session) -> Table:
    """Return the inspections that are allowed here, and what each takes."""
    allowed = session.scenario.inspections
    rows: list[tuple[Cell, ...]] = [
        (
            row.name,
            _TAKES(time=row.seconds),
            in_short(to_look(row)) or "",
            row.title,
        )
        for row in INSPECTIONS.values()
        if allowed == "all" or row.name in allowed
    ]
    takes = _TAKES(time=METER_S)
    if allowed == "all":
        rows.append((METER, takes, _METERED, _METER_ONE))
    else:
        metered = [each for each in allowed if each.startswith("meter ")]
        rows += [(each, takes, _METERED, _METER_THAT) for each in metered if find(each)]
    if allowed == "all" or metered:
        rows.append((_PROBES, _TAKES(time=PROBE_S), _METERED, _PROBE_ANY))
    return Table(_WAYS, ("inspection", "takes", "", ""), tuple(rows))


def pieces(session: Session) -> tuple[Part, ...]:
    """Return the first-piece sheet: what the drawing asks, and what was read."""
    left = _read(first_piece.LEFT, first_piece.left_lines(session))
    own = _read(first_piece.TITLE, first_piece.lines(session)) or (first_piece.TITLE,)
    return (*left, *own, *first_piece.heads(session))


def _read(title: Message, lines: Iterable[first_piece.SheetLine]) -> tuple[Table, ...]:
    """Return the table of what was read, nothing where that is nothing."""
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (str(each.piece), each.tool, each.reads, each.off or "", each.decides) for each in lines
    )
    return (Table(title, ("piece", "tool", "reads", "off by", ""), rows),) if rows else ()


def wiring(loom: Loom, tag: str = "") -> Table:
    """Return the wires on the way of a device, from its card or bar to where it ends, then the others on it.

    Args:
        loom: The wiring.
        tag: The device; the devices of the saw are listed when it is empty.

    Raises:
        CommandError: The saw has no such device; the nearest is told.
    """
    if not tag:
        return _devices(loom)
    device = loom.by_tag.get(tag)
    if device is None:
        raise CommandError(_NO_DEVICE(tag=tag), "wiring", nearest(tag, loom.by_tag))
    rows = tuple(
        (hop.start, hop.wire.number, hop.end, ", ".join(loom.cables(hop.wire)))
        for hop in (*loom.path(tag), *loom.besides(tag))
    )
    return Table(_WIRING(tag=tag, address=device.address or "-"), ("", "", "", ""), rows)


def _devices(loom: Loom) -> Table:
    rows = tuple(
        (each.tag, WHAT[each.what], place_said(each.place), _ends_of(loom, each))
        for each in loom.devices
    )
    return Table(_ALL_DEVICES, ("device", "", "", ""), rows)


def _ends_of(loom: Loom, device: WiredDevice) -> Cell:
    ends = loom.joined(device)
    return ", ".join(ends) if len(ends) <= _MOST_ENDS else _MANY_ENDS(ends=len(ends))


def spares(session: Session) -> tuple[Part, ...]:
    """Return the parts that can be exchanged for a spare, and what must hold first."""
    loom = session.machine.loom
    here = [each for each in SPARES.values() if each.tag in loom.by_tag]
    rows = tuple(
        (
            each.name, WHAT[loom.by_tag[loom.by_tag[each.tag].card if each.channel else each.tag].what],
            _TAKES(time=each.minutes * 60), in_short(to_swap(each)) or "",
        )
        for each in here
    )  # fmt: skip
    return Table(_SPARES, ("part", "", "takes", ""), rows), *together(map(before_swap, here))


def before_looks(session: Session) -> tuple[Message, ...]:
    """Return what to heed before the looks that are allowed here, a sentence or two each."""
    allowed = session.scenario.inspections
    looks = (row for row in INSPECTIONS.values() if allowed == "all" or row.name in allowed)
    return together(map(before_look, looks))


def before_points() -> tuple[Message, ...]:
    """Return what to heed before something is set by hand, a sentence or two each."""
    return together(before_set(row.name) for row in SET_POINTS)


def faults(text: str) -> Part:
    """Return the catalogue of faults, or those with a text in their English or in the reader's language."""
    found = speaking_of(text)
    if not found:
        return _SPEAKS_OF_NONE(text=text)
    rows = tuple(
        (
            f.name, f.title, FAMILY(family=f.family),
            _BY_WHOM(who=WHO(who=f.who), time=f.minutes * 60), _remedy(f),
        )
        for f in found
    )  # fmt: skip
    return Table(_CATALOGUE, ("fault", "", "", "put right by", "remedy"), rows)


def _remedy(fault: Fault) -> Message:
    reach = to_mend(fault)
    if reach.demand is Demand.OUTSIDE:
        return fault.remedy
    if reach.demand is Demand.STANDS:
        return _AT_REST(remedy=fault.remedy)
    if reach.demand is Demand.OWN_CONTROL:
        return _IN_OWN_CONTROL(remedy=fault.remedy)
    return (_PROVED_DEAD if reach.zone is Zone.CABINET else _UNDER_LOCKOUT)(remedy=fault.remedy)


def lamps(session: Session) -> Table:
    """Return the lamps of the console, and which are lit."""
    on = lit(session.saw.controller.image, session.saw.controller.rows)
    rows = tuple(
        (
            lamp.word, _LIT(state="lit" if lamp in on else "dark"),
            _LOOKS(colour=lamp.colour, shape=lamp.shape),
        )
        for lamp in LAMPS
    )  # fmt: skip
    return Table(_LAMPS, ("lamp", "", ""), rows)


def words(asked: str = "") -> tuple[Part, ...]:
    """Return the words of the language by topic; or one, or those of a topic, or all with what they do."""
    if asked in WORDS:
        word = WORDS[asked]
        return (_USAGE(usage=word.usage, does=word.does),)
    if not asked:
        topics = tuple((name, each.title, ", ".join(each.words)) for name, each in TOPICS.items())
        return (Table(_TOPICS, ("topic", "", ""), topics), _ASK_HELP, ABOUT_TIME, _ABOUT_NAMES)
    names = tuple(WORDS) if asked == ALL else TOPICS[asked].words
    rows = tuple((WORDS[name].usage, WORDS[name].does) for name in names)
    table = Table(_WORDS, ("word", ""), rows)
    return (table, ABOUT_TIME, _ABOUT_NAMES, _ABOUT_PLAIN) if asked == ALL else (table,)
