"""Ways to look at the machine: what each takes, whether hands go in, and what comes back.

A finding is a message read off the plant and never names a fault. Metering a wire is one inspection
for each signal, `meter B11`; a tool takes the last piece or one by its number, `caliper 2`; the rest are rows, in a file for each part of the saw.
Not here: what a finding tells of the causes (see `sim.diagnosis`).
"""

from dataclasses import replace
from typing import Final

from sim.session.inspections.band import BAND_LOOKS
from sim.session.inspections.bar import BAR_LOOKS
from sim.session.inspections.cabinet import CABINET_LOOKS, METER_S, meter
from sim.session.inspections.energy import ENERGY_LOOKS
from sim.session.inspections.function_tests import FUNCTION_TESTS
from sim.session.inspections.head import HEAD_LOOKS
from sim.session.inspections.inspection import Inspection, Kind
from sim.session.inspections.pieces import PIECE_LOOKS
from sim.session.inspections.probes import probes
from sim.session.inspections.supply import SUPPLY_LOOKS
from sim.signals import BY_TAG

__all__ = ["INSPECTIONS", "METER_S", "Inspection", "Kind", "find", "meter"]

_ROWS: Final = (
    *SUPPLY_LOOKS, *ENERGY_LOOKS, *CABINET_LOOKS, *BAND_LOOKS, *BAR_LOOKS, *PIECE_LOOKS, *HEAD_LOOKS, *FUNCTION_TESTS,
)  # fmt: skip

_MOST_PIECES: Final = 9_999  # that somebody could name one of

INSPECTIONS: Final = {row.name: row for row in _ROWS}


def find(name: str) -> Inspection | None:
    """Return an inspection by its name, or None."""
    word, _, tag = name.partition(" ")
    if word == "meter" and tag.upper() in BY_TAG:
        return meter(tag.upper())
    row = INSPECTIONS.get(word)
    if (
        row is not None
        and row.tool is not None
        and tag.isdecimal()
        and 0 < int(tag) <= _MOST_PIECES
    ):
        return replace(row, name=f"{word} {int(tag)}", piece=int(tag))
    return INSPECTIONS.get(name) or probes(name)
