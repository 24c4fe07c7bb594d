"""Lamps and meter: what the controller sees and drives, and what is at the other end of each wire.

A lamp on a switch is lit by the switch, the input lamp in the cabinet by what arrives there; the
output lamp by the controller, the lamp on a coil by what arrives there. So a broken wire is the one
whose two ends differ.
"""

from typing import Final

from sim.control.lamps import lit
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, control_power, isolator_on
from sim.signals import BY_TAG, INPUTS, OUTPUTS

METER_S: Final = 45.0

_LIT_INPUTS: Final = tuple(tag for tag in INPUTS if tag[0] in "BF" or tag in ("S1", "S2"))
_GROUPS: Final = (
    ("head-switches", "head", ("B11", "B12")),
    ("shuttle-switches", "shuttle", ("B21", "B22", "B53")),
    ("vise-switches", "cutting_vise", ("B31", "B32", "B33", "B34")),
    ("band-switches", "band", ("B1", "B2", "B41", "B42", "B51", "B52")),
    ("tank-switches", "supply", ("B61", "B62", "B63")),
)
_TITLES: Final = {
    "head-switches": "Read the lamps on the switches of the head",
    "shuttle-switches": "Read the lamps on the switches of the shuttle and on the bar sensor",
    "vise-switches": "Read the lamps on the switches of the vises",
    "band-switches": "Read the lamps on the switches of the band and its covers",
    "tank-switches": "Read the lamps on the switches of air, oil and coolant",
}


def _listed(what: str, tags: list[str]) -> str:
    return f"{what}: {', '.join(tags)}." if tags else f"{what}: none."


def _inputs(saw: Saw) -> str:
    return _listed("These inputs are lit", [tag for tag in _LIT_INPUTS if saw.bus.seen[tag]])


def _outputs(saw: Saw) -> str:
    return _listed("These outputs are lit", [tag for tag in OUTPUTS if saw.bus.driven(tag)])


def _desk(saw: Saw) -> str:
    return _listed("These lamps are lit", [str(lamp.word) for lamp in lit(saw.controller.image)])


def _switches(name: str, place: str, tags: tuple[str, ...]) -> Inspection:
    def show(saw: Saw) -> str:
        return _listed("These switches show their lamp", [t for t in tags if saw.bus.driven(t)])

    return Inspection(name, _TITLES[name], place, 20, show, needs=isolator_on)


CABINET_LOOKS: Final = (
    Inspection("desk-lamps", "Read the lamps of the desk", "supply", 10, _desk, needs=control_power),
    Inspection("input-lamps", "Read the input lamps in the cabinet", "supply", 60, _inputs, needs=isolator_on),
    Inspection("output-lamps", "Read the output lamps in the cabinet", "supply", 60, _outputs, needs=isolator_on),
    *(_switches(*group) for group in _GROUPS),
)  # fmt: skip


def meter(tag: str) -> Inspection:
    """Return the inspection that puts a meter on one wire, where it arrives."""
    row = BY_TAG[tag]

    def show(saw: Saw) -> str:
        live = saw.bus.seen[tag] and not isolator_on(saw)
        return f"{tag} is {'live' if live else 'dead'}; live means that {row.text}."

    return Inspection(f"meter {tag}", f"Meter {tag}", "supply", METER_S, show, kind=Kind.METER)
