"""`drycycle list`: what there is to choose from."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.plant.set_points import SET_POINTS
from sim.scenario.nearest import nearest
from sim.session.inspections import INSPECTIONS
from sim.session.opening import library_entries, materials
from sim.signals import BY_KEY
from sim.text.reports.run_report import print_json
from sim.text.tables import print_table

Rows = Sequence[Sequence[object]]


@dataclass(frozen=True, slots=True)
class Listing:
    """One list: its heads, and how its rows are made."""

    title: str
    heads: tuple[str, ...]
    rows: Callable[[], Rows]
    told: int = 0  # heads that a table has room for, the rest is in JSON; 0 for all


def _scenarios() -> Rows:
    return [
        (name, sc.mode, sc.level, sc.title, ", ".join(sc.skills)) for name, sc in library_entries()
    ]


def _with_skill(skill: str) -> Rows:
    known = {each for _, scenario in library_entries() for each in scenario.skills}
    if skill not in known:
        raise CommandError(f"no scenario trains {skill!r}", "list", nearest(skill, known))
    return [row for row in _scenarios() if skill in str(row[-1]).split(", ")]


LISTS: Final = {
    "scenarios": Listing("Scenarios", ("name", "mode", "level", "title", "skills"), _scenarios, told=4),
    "faults": Listing(
        "Faults",
        ("name", "family", "put right by", "minutes", "title"),
        lambda: [(f.name, f.family, f.who, f.minutes, str(f.title)) for f in CATALOGUE.values()],
    ),
    "inspections": Listing(
        "Inspections, and `meter TAG` for any wire",
        ("name", "seconds", "lock-out", "what"),
        lambda: [
            (i.name, i.seconds, "yes" if i.reaches_in else "no", str(i.title))
            for i in INSPECTIONS.values()
        ],
    ),
    "keys": Listing(
        "Keys and latches",
        ("name", "tag", "kind"),
        lambda: [(key, row.tag, row.source) for key, row in BY_KEY.items()],
    ),
    "points": Listing(
        "Set points",
        ("name", "unit", "from", "to", "what"),
        lambda: [
            (row.name, row.unit, "" if row.words else f"{row.low:g}",
             " | ".join(row.words) if row.words else f"{row.high:g}", str(row.title))
            for row in SET_POINTS
        ],
    ),
    "materials": Listing(
        "Metals",
        ("name", "kc1.1 N/mm2", "m", "yield MPa", "m/min", "where from"),
        lambda: [
            (m.name, f"{m.kc11_pa / 1e6:.0f}", m.mc, f"{m.yield_pa / 1e6:.0f}",
             f"{m.speed_low_m_s * 60:.0f}-{m.speed_high_m_s * 60:.0f}", m.source)
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
        raise CommandError(f"there is no list of {what!r}", "list", nearest(what, LISTS))
    if skill and what != "scenarios":
        raise CommandError(f"{what} have no skill", "--skill", "give it with scenarios only")
    rows = _with_skill(skill) if skill else listing.rows()
    if as_json:
        print_json([dict(zip(listing.heads, row, strict=True)) for row in rows])
        return
    told = listing.told or len(listing.heads)
    print_table(listing.title, listing.heads[:told], [row[:told] for row in rows])
