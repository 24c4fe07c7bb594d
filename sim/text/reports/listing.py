"""`drycycle list`: what there is to choose from."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from sim.control.nouns import state_word
from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.plant.harm.kinds import KINDS as HARMS
from sim.plant.harm.kinds import Severity
from sim.plant.set_points import SET_POINTS, SetPoint
from sim.scenario import library
from sim.scenario.machines import first_machine
from sim.scenario.nearest import nearest
from sim.scenario.reported import NO_START, STEPS, YELLOW
from sim.session.hands.cautions import in_short
from sim.session.hands.table import to_look
from sim.session.inspections import INSPECTIONS
from sim.session.opening import library_entries, library_refusals, materials
from sim.session.shift.opening import read_shift_at
from sim.signals import BY_KEY
from sim.text.complaint import complain
from sim.text.kinds import FAMILY, MODE, SOURCE, WHO
from sim.text.tables import PrintedCell, PrintedHead, PrintedNumber, print_json, print_table
from sim.words.fields import name, one_of, unit
from sim.words.message import Message, plain, quoted, row
from sim.words.reader import ENGLISH
from sim.words.speech import tell

Rows = Sequence[Sequence[PrintedCell]]

_UNIT: Final = row("list.unit", "{unit}", unit=unit())

_SEVERITY: Final = row(
    "list.severity", "{severity}", severity=one_of(*(each.value for each in Severity))
)
_NO_START: Final = plain("list.steps.no-start", "the job is not begun at all")

_NO_LIST: Final = row("list.none", "there is no list of '{what}'", what=name())
_NOBODY_TRAINS: Final = row("list.skill.none", "no scenario trains '{skill}'", skill=name())
_NO_SKILL: Final = row("list.skill.not-here", "{what} have no skill", what=name())
_SCENARIOS_ONLY: Final = plain("list.skill.write", "give it with scenarios only")


@dataclass(frozen=True, slots=True)
class Listing:
    """One list: its heads, and how its rows are made."""

    title: Message
    heads: tuple[PrintedHead, ...]
    rows: Callable[[], Rows]
    told: int = 0  # heads that a table has room for, the rest is in JSON; 0 for all


def _scenarios() -> Rows:
    return [
        (name, MODE(mode=sc.mode), sc.level, quoted(sc.title), ", ".join(sc.skills))
        for name, sc in library_entries()
    ]


def _shifts() -> Rows:
    read = [(name, read_shift_at(file)) for name, file in library.shifts()]
    return [(name, len(sh.orders), len(sh.rack), quoted(sh.title)) for name, sh in read]


def _with_skill(skill: str) -> Rows:
    known = {each for _, scenario in library_entries() for each in scenario.skills}
    called = {tell(quoted(each)): each for each in known} | {each: each for each in known}
    if skill not in called:
        raise CommandError(_NOBODY_TRAINS(skill=skill), "list", nearest(skill, called))
    return [row for row in _scenarios() if called[skill] in str(row[-1]).split(", ")]


def _limits(point: SetPoint) -> tuple[str, str]:
    if point.words:
        return "", " | ".join(point.words)
    low, high = point.limits(first_machine())
    return f"{low:g}", f"{high:g}"


def _step(step: str) -> Message:
    return _NO_START if step == NO_START else state_word("cycle", step)


LISTS: Final = {
    "scenarios": Listing(
        plain("list.scenarios", "Scenarios"),
        ("name", "mode", "level", "title", "skills"), _scenarios, told=4,
    ),
    "shifts": Listing(
        plain("list.shifts", "Shifts of orders"),
        ("name", "orders", "bars", "title"), _shifts,
    ),
    "faults": Listing(
        plain("list.faults", "Faults"),
        ("name", "family", "put right by", "minutes", "title"),
        lambda: [
            (f.name, FAMILY(family=f.family), WHO(who=f.who), f.minutes, f.title)
            for f in EVERY.values()
        ],
    ),
    "inspections": Listing(
        plain("list.inspections", "Inspections, and `meter TAG` for any wire"),
        ("name", "seconds", "before hands go in", "what"),
        lambda: [
            (i.name, i.seconds, in_short(to_look(i)) or "", i.title)
            for i in INSPECTIONS.values()
        ],
    ),
    "keys": Listing(
        plain("list.keys", "Keys and latches"),
        ("name", "tag", "kind"),
        lambda: [(key, row.tag, SOURCE(source=row.source)) for key, row in BY_KEY.items()],
    ),
    "points": Listing(
        plain("list.points", "Set points"),
        ("name", "unit", "from", "to", "what"),
        lambda: [(row.name, _UNIT(unit=row.unit), *_limits(row), row.title) for row in SET_POINTS],
    ),
    "harms": Listing(
        plain("list.reported.harms", "What can come to harm: under `harm` in what is reported"),
        ("name", "how bad", "what"),
        lambda: [(row.name, _SEVERITY(severity=row.severity), row.title) for row in HARMS.values()],
    ),
    "lamps": Listing(
        plain("list.reported.lamps", "Yellow lamps: under `lamps` in what is reported"),
        ("name", "what"),
        lambda: [(lamp.name, lamp.word) for lamp in YELLOW.values()],
    ),
    "steps": Listing(
        plain("list.reported.steps", "Steps at which a job can stand: `stands_at` in what is reported"),
        ("name", "what"),
        lambda: [(step, _step(step)) for step in STEPS],
    ),
    "materials": Listing(
        plain("list.materials", "Metals"),
        ("name", ("kc1.1", "N/mm2"), "m", ("yield", "MPa"), ("", "m/min"), "where from"),
        lambda: [
            (m.name, PrintedNumber(m.kc11_pa / 1e6, 0, "N/mm2"), m.mc, PrintedNumber(m.yield_pa / 1e6, 0, "MPa"),
             PrintedNumber(m.speed_low_m_s * 60, 0, "m/min", to=m.speed_high_m_s * 60), quoted(m.source))
            for m in materials().values()
        ],
    ),
}  # fmt: skip


def print_list(what: str, *, skill: str = "", as_json: bool) -> None:
    """Print one list.

    Args:
        what: Which one.
        skill: Of scenarios, those only that train it.
        as_json: Print JSON.

    Raises:
        CommandError: There is no such list, or no such skill.
    """
    listing = LISTS.get(what)
    if listing is None:
        raise CommandError(_NO_LIST(what=what), "list", nearest(what, LISTS))
    if skill and what != "scenarios":
        raise CommandError(_NO_SKILL(what=what), "--skill", _SCENARIOS_ONLY)
    rows = _with_skill(skill) if skill else listing.rows()
    if what == "scenarios":
        for refused in library_refusals():
            complain(refused.message)
    if as_json:
        heads = [
            head if isinstance(head, str) else " ".join(filter(None, head))
            for head in listing.heads
        ]
        print_json([dict(zip(heads, map(_plain, row), strict=True)) for row in rows])
        return
    told = listing.told or len(listing.heads)
    print_table(listing.title, listing.heads[:told], [row[:told] for row in rows])
    if what == "scenarios" and not skill:
        shifts = LISTS["shifts"]
        print_table(shifts.title, shifts.heads, shifts.rows())


def _plain(cell: PrintedCell) -> str | float:
    """Return a cell as JSON has it, the same for every reader."""
    if isinstance(cell, Message):
        return str(cell)
    return cell.tell(ENGLISH) if isinstance(cell, PrintedNumber) else cell
