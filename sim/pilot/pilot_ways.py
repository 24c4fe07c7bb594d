"""How a good operator brings about what a goal names: tables from conditions to acts.

What an action needs is read off the interlocks; what a careful hand sees to besides is in FIRST.
Never here: the acts themselves (see `lesson_pilot`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from sim.signals import SIGNALS


@dataclass(frozen=True, slots=True)
class Wish:
    """Something to be brought about before something else, in the order of the fields."""

    setting: Mapping[str, float | str] = field(default_factory=dict)
    state: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def _state(**machines: str) -> Wish:
    return Wish(state={machine: (state,) for machine, state in machines.items()})


# What a sensor or an output shows follows from a state or a setting.
SHOWN_BY: Final[dict[tuple[str, bool], Wish]] = {
    ("K1", True): _state(supply="ON"),
    ("Q1", True): _state(band="RUNNING"),
    ("Q1", False): _state(band="STOPPED"),
    ("Q3", True): _state(coolant="FLOWING"),
    ("Q3", False): _state(coolant="DRY"),
    ("B1", True): _state(band="RUNNING"),
    ("B1", False): _state(band="STOPPED"),
    ("B2", True): _state(band="RUNNING"),
    ("B2", False): _state(band="STOPPED"),
    ("B11", True): _state(head="UP"),
    ("B11", False): _state(head="BETWEEN"),
    ("B12", True): _state(head="DOWN"),
    ("B21", True): _state(shuttle="AT_STOP"),
    ("B22", True): _state(shuttle="FORWARD"),
    ("B31", True): _state(cutting_vise="OPEN"),
    ("B33", True): _state(cutting_vise="GRIPPED"),
    ("B33", False): _state(cutting_vise="OPEN"),
    ("B32", True): _state(shuttle_vise="OPEN"),
    ("B34", True): _state(shuttle_vise="GRIPPED"),
    ("B34", False): _state(shuttle_vise="OPEN"),
    # What a hand sets at the machine itself.
    **{(row.tag, True): Wish(dict(row.good)) for row in SIGNALS if row.good},
    **{(row.tag, False): Wish(dict(row.bad)) for row in SIGNALS if row.bad},
}

# Which key leads a machine to a state.
KEY_TO: Final[dict[tuple[str, str], str]] = {
    ("supply", "ON"): "supply.control_on",
    ("band", "STARTING"): "band.start",
    ("band", "RUNNING"): "band.start",
    ("band", "COASTING"): "band.stop",
    ("band", "STOPPED"): "band.stop",
    ("cutting_vise", "GRIPPED"): "cutting_vise.grip",
    ("cutting_vise", "OPEN"): "cutting_vise.free",
    ("shuttle_vise", "GRIPPED"): "shuttle_vise.grip",
    ("shuttle_vise", "OPEN"): "shuttle_vise.free",
    ("shuttle", "AT_STOP"): "shuttle.to_stop",
    ("shuttle", "FORWARD"): "shuttle.to_blade",
    ("head", "LIFTING"): "head.lift",
    ("head", "UP"): "head.lift",
    ("head", "LOWERING"): "head.lower",
    ("head", "DOWN"): "head.lower",
    ("coolant", "FLOWING"): "coolant.flow",
    ("coolant", "DRY"): "coolant.dry",
    ("job", "IDLE"): "job.arm",
    ("job", "STOPPING"): "band.stop",
    ("job", "HOLDING"): "job.hold",
    ("job", "HELD"): "job.hold",
}

# What a careful hand sees to before a key that the desk would take at once.
FIRST: Final[dict[str, Wish]] = {
    "shuttle.to_stop": _state(shuttle_vise="OPEN"),
    "shuttle.to_blade": _state(head="UP", shuttle_vise="GRIPPED", cutting_vise="OPEN"),
    "job.begin_on_piece": _state(cutting_vise="GRIPPED"),
}
# The same, with bar under the band.
FIRST_OVER_BAR: Final[dict[str, Wish]] = {
    "head.lower": _state(cutting_vise="GRIPPED", coolant="FLOWING", band="RUNNING"),
}

# What holds a set point fast.
FREED_BY: Final[dict[str, Wish]] = {
    "band.guide_span_mm": Wish({"band.guide_lock": "slack"}),
    "band.teeth_per_inch": Wish({"band.wheel_cover": "open"}, {"band": ("STOPPED",)}),
    "band.teeth_face": Wish({"band.wheel_cover": "open"}, {"band": ("STOPPED",)}),
    "band.brush_mm": _state(band="STOPPED"),
    "cutting_vise.jaw_gap_mm": _state(cutting_vise="OPEN"),
    "shuttle_vise.jaw_gap_mm": _state(shuttle_vise="OPEN"),
    "shuttle.support_roller": _state(shuttle="AT_STOP"),
    "head.mitre_deg": Wish(
        {"head.pivot_locks": "slack", "head.mitre_lever": "loose"},
        {"head": ("UP",), "band": ("STOPPED",)},
    ),
}
