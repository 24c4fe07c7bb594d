"""What a hand can set where the bar is held and moved: vises, clamp, shuttle, support roller."""

from typing import Final

from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, number
from sim.plant.supports import CLAMP, ROLLER
from sim.plant.vise import Vise
from sim.units import BAR, MM


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
            lambda p, v: _vise(p, name).slide_jaw(number(v) * MM),
            "mm", 0, 60, 1, blocked=blocked,
        ),
        SetPoint(
            f"{name}.pressure_bar", f"{title}: grip pressure", name,
            lambda p: _vise(p, name).set_pressure_pa / BAR,
            lambda p, v: _vise(p, name).set_pressure(number(v) * BAR),
            "bar", 5, 60, 1,
        ),
    )  # fmt: skip


def _no_room_for_roller(plant: Plant) -> str:
    in_way = plant.shuttle.place.position <= plant.site.machine.roller_m
    return "The shuttle stands where the roller goes. Send it to the stop first." if in_way else ""


BAR_ROWS: Final[tuple[SetPoint, ...]] = (
    *_vise_rows("cutting_vise", "cutting vise"),
    SetPoint(
        "cutting_vise.bundle_clamp", "bundle clamp on a row of bars", "cutting_vise",
        lambda p: p.supports.clamp,
        lambda p, v: p.supports.set_clamp(str(v)),
        words=CLAMP,
    ),
    *_vise_rows("shuttle_vise", "shuttle vise"),
    SetPoint(
        "shuttle.counter_mm", "length counter: turn it straight to a reading", "shuttle",
        lambda p: p.shuttle.counter_m / MM,
        lambda p, v: p.shuttle.wind_to(number(v) * MM),
        "mm", 5, 600, 0.05,
    ),
    SetPoint(
        "shuttle.support_roller", "loose support roller on the infeed", "shuttle",
        lambda p: p.supports.roller,
        lambda p, v: p.supports.set_roller(str(v)),
        words=ROLLER, blocked=_no_room_for_roller,
    ),
)  # fmt: skip
