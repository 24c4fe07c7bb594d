"""`drycycle list`: what there is to choose from.

Imports `drill` and `tables`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from sim.drill import library
from sim.drill.inspections import INSPECTIONS
from sim.drill.opening import materials, read
from sim.drill.wording import nearest
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.plant.set_points import SET_POINTS
from sim.signals import BY_KEY
from sim.text.run_report import print_json
from sim.text.tables import print_table

Rows = Sequence[Sequence[object]]


@dataclass(frozen=True, slots=True)
class Listing:
    """One list: its heads, and how its rows are made."""

    title: str
    heads: tuple[str, ...]
    rows: Callable[[], Rows]


def _scenarios() -> Rows:
    found = []
    for name in library.names():
        scenario, _ = read(name)
        found.append((name, scenario.mode, scenario.level, scenario.title))
    return found


LISTS: Final = {
    "scenarios": Listing("Scenarios", ("name", "mode", "level", "title"), _scenarios),
    "faults": Listing(
        "Faults",
        ("name", "family", "put right by", "minutes", "title"),
        lambda: [(f.name, f.family, f.who, f.minutes, f.title) for f in CATALOGUE.values()],
    ),
    "inspections": Listing(
        "Inspections, and `meter TAG` for any wire",
        ("name", "seconds", "lock-out", "what"),
        lambda: [
            (i.name, i.seconds, "yes" if i.reaches_in else "no", i.title)
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
             " | ".join(row.words) if row.words else f"{row.high:g}", row.title)
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


def print_list(what: str, *, as_json: bool) -> None:
    """Print one list.

    Raises:
        CommandError: There is no such list.
    """
    listing = LISTS.get(what)
    if listing is None:
        raise CommandError(f"there is no list of {what!r}", "list", nearest(what, LISTS))
    rows = listing.rows()
    if as_json:
        print_json([dict(zip(listing.heads, row, strict=True)) for row in rows])
    else:
        print_table(listing.title, listing.heads, rows)
