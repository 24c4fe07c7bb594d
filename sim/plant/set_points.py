"""Everything on the machine that a hand can set, as one table in shop units.

The window, the terminal, scenario files and the autopilot all go through these rows: name, unit,
limits, how to read it, how to set it, and when it cannot be set. Imports `plant` and `units`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.plant.plant import Plant
from sim.plant.vise import Vise
from sim.units import BAR, MM

Setting = float | str


@dataclass(frozen=True, slots=True)
class SetPoint:
    """One thing that can be set by hand: a number within limits, or one of some words."""

    name: str
    title: str
    place: str  # station
    read: Callable[[Plant], Setting]
    write: Callable[[Plant, Setting], None]
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    step: float = 1.0
    words: tuple[str, ...] = ()
    blocked: Callable[[Plant], str] = lambda _plant: ""  # why it cannot be set now, or empty


def _number(setting: Setting) -> float:
    return float(setting)


def _vise(plant: Plant, name: str) -> Vise:
    return plant.cutting_vise if name == "cutting_vise" else plant.shuttle_vise


def _vise_rows(name: str, title: str) -> tuple[SetPoint, ...]:
    def blocked(plant: Plant) -> str:
        back = _vise(plant, name).back
        return "" if back else f"The {title} jaw is not fully back. Free the vise first."

    return (
        SetPoint(
            f"{name}.jaw_gap_mm", f"{title}: gap from the jaw to the bar", name,
            lambda p: _vise(p, name).gap_m / MM,
            lambda p, v: _vise(p, name).slide_jaw(_number(v) * MM),
            "mm", 0, 60, 1, blocked=blocked,
        ),
        SetPoint(
            f"{name}.pressure_bar", f"{title}: grip pressure", name,
            lambda p: _vise(p, name).set_pressure_pa / BAR,
            lambda p, v: _vise(p, name).set_pressure(_number(v) * BAR),
            "bar", 5, 60, 1,
        ),
    )  # fmt: skip


SET_POINTS: Final[tuple[SetPoint, ...]] = (
    *_vise_rows("cutting_vise", "cutting vise"),
    *_vise_rows("shuttle_vise", "shuttle vise"),
    SetPoint(
        "shuttle.counter_mm", "length counter: turn it straight to a reading", "shuttle",
        lambda p: p.shuttle.counter_m / MM,
        lambda p, v: p.shuttle.wind_to(_number(v) * MM),
        "mm", 5, 600, 0.05,
    ),
    SetPoint(
        "head.stop_hole", "head height stop: hole the collar is pinned at, one each 20 mm", "head",
        lambda p: p.head.hole,
        lambda p, v: p.head.pin(round(_number(v)), through=p.head.pin_through),
        "", 1, 12, 1,
    ),
    SetPoint(
        "head.stop_pin", "head height stop: where the pin goes", "head",
        lambda p: "through" if p.head.pin_through else "under",
        lambda p, v: p.head.pin(p.head.hole, through=v == "through"),
        words=("through", "under"),
    ),
    SetPoint(
        "head.feed_valve_mm_min", "feed valve: fastest descent, 0 is fully shut", "head",
        lambda p: p.head.valve_m_s / MM * 60,
        lambda p, v: p.head.set_valve(_number(v) * MM / 60),
        "mm/min", 0, 250, 1,
    ),
    SetPoint(
        "head.feed_force_n", "feed force, by the relief", "head",
        lambda p: p.head.force_n,
        lambda p, v: p.head.set_force(_number(v)),
        "N", 50, 800, 10,
    ),
)  # fmt: skip

BY_NAME: Final = {row.name: row for row in SET_POINTS}
