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
    ("Q3", False): _state(coolant="OFF"),
    ("B1", True): _state(band="RUNNING"),
    ("B1", False): _state(band="STOPPED"),
    ("B2", True): _state(band="RUNNING"),
    ("B2", False): _state(band="STOPPED"),
    ("B11", True): _state(head="UP"),
    ("B11", False): _state(head="BETWEEN"),
    ("B12", True): _state(head="DOWN"),
    ("B21", True): _state(shuttle="BACK"),
    ("B22", True): _state(shuttle="FORWARD"),
    ("B31", True): _state(cutting_vise="RELEASED"),
    ("B33", True): _state(cutting_vise="CLAMPED"),
    ("B33", False): _state(cutting_vise="RELEASED"),
    ("B32", True): _state(shuttle_vise="RELEASED"),
    ("B34", True): _state(shuttle_vise="CLAMPED"),
    ("B34", False): _state(shuttle_vise="RELEASED"),
    # What a hand sets at the machine itself.
    **{(row.tag, True): Wish(dict(row.good)) for row in SIGNALS if row.good},
    **{(row.tag, False): Wish(dict(row.bad)) for row in SIGNALS if row.bad},
}

# Which key leads a machine to a state.
KEY_TO: Final[dict[tuple[str, str], str]] = {
    ("supply", "ON"): "supply.control_on",
    ("band", "STARTING"): "band.run",
    ("band", "RUNNING"): "band.run",
    ("band", "COASTING"): "band.stop",
    ("band", "STOPPED"): "band.stop",
    ("cutting_vise", "CLAMPED"): "cutting_vise.clamp",
    ("cutting_vise", "RELEASED"): "cutting_vise.release",
    ("shuttle_vise", "CLAMPED"): "shuttle_vise.clamp",
    ("shuttle_vise", "RELEASED"): "shuttle_vise.release",
    ("shuttle", "BACK"): "shuttle.back",
    ("shuttle", "FORWARD"): "shuttle.forward",
    ("head", "RAISING"): "head.raise",
    ("head", "UP"): "head.raise",
    ("head", "LOWERING"): "head.lower",
    ("head", "DOWN"): "head.lower",
    ("coolant", "FLOWING"): "coolant.on",
    ("coolant", "OFF"): "coolant.off",
    ("coolant_choice", "OFF"): "coolant.off",
    ("coolant_choice", "WITH_BAND"): "coolant.with_band",
    ("coolant_choice", "ON"): "coolant.on",
    ("first", "SQUARE"): "job.square",
    ("first", "STRAIGHT"): "job.straight",
    ("job", "IDLE"): "job.reset",
    ("job", "STOPPING"): "job.stop",
    ("job", "HOLDING"): "job.hold",
    ("job", "HELD"): "job.hold",
    ("job", "COMPLETING"): "job.complete",
}

# What a careful hand sees to before a key that the console would take at once.
FIRST: Final[dict[str, Wish]] = {
    "shuttle.back": _state(shuttle_vise="RELEASED"),
    "shuttle.forward": _state(head="UP", shuttle_vise="CLAMPED", cutting_vise="RELEASED"),
}
# In which mode a job key is taken; a movement key, in any but PRODUCTION.
OF_PRODUCTION: Final = ("job.start", "job.unhold")
# The same as FIRST, with bar under the band.
FIRST_OVER_BAR: Final[dict[str, Wish]] = {
    "head.lower": _state(cutting_vise="CLAMPED", coolant_choice="WITH_BAND", band="RUNNING"),
}

LOCKED_GUARDS: Final = ("band.guard", "band.wheel_cover")

# What holds a set point fast.
FREED_BY: Final[dict[str, Wish]] = {
    "band.guide_span_mm": Wish({"band.guide_lock": "slack"}),
    "band.teeth_per_inch": Wish({"band.wheel_cover": "open"}, {"band": ("STOPPED",)}),
    "band.teeth_face": Wish({"band.wheel_cover": "open"}, {"band": ("STOPPED",)}),
    "band.seat": Wish({"band.wheel_cover": "open"}, {"band": ("STOPPED",)}),
    "band.brush_mm": _state(band="STOPPED"),
    "cutting_vise.jaw_gap_mm": _state(cutting_vise="RELEASED"),
    "shuttle_vise.jaw_gap_mm": _state(shuttle_vise="RELEASED"),
    "cutting_vise.support_arm": _state(shuttle="BACK"),
    "head.clamp_screw": Wish({"head.clamp_lever": "open"}),
    "head.mitre_deg": Wish(
        {"head.index_plunger": "out", "head.clamp_lever": "open"},
        {"band": ("STOPPED",)},
    ),
    "head.prop": Wish({"head.stop_notch": 12.0}, {"head": ("UP",)}),
}
