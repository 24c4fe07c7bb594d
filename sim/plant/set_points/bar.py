"""What a hand can set where the bar is held and moved: vises, clamp, support arm, length stop."""

from dataclasses import replace
from typing import Final

from sim.plant.hood import HOOD
from sim.plant.lift import SCREW
from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, choice, measure, number
from sim.plant.supports import ARM, CHOCK, CLAMP
from sim.plant.vise import JAW_GAPS
from sim.units import BAR, MM
from sim.words.fields import bar, mm
from sim.words.message import NOTHING, Message, plain


def _vise_rows(name: str, title: str) -> tuple[SetPoint, ...]:
    not_back = plain(
        f"set-point.{name.replace('_', '-')}.not-back",
        f"The {title} jaw is not fully back. Release the vise first.",
    )

    def blocked(plant: Plant) -> Message:
        return NOTHING if plant.vise(name).back else not_back

    return (
        measure(
            JAW_GAPS[name], f"{title}: gap from the jaw to the bar", name,
            lambda p: p.vise(name).gap_m / MM,
            lambda p, v: p.vise(name).slide_jaw(number(v) * MM),
            (mm(None), lambda m: (0.0, m.jaw_reach_m / MM), 1), blocked,
        ),
        measure(
            f"{name}.pressure_bar", f"{title}: clamping pressure", name,
            lambda p: p.vise(name).set_pressure_pa / BAR,
            lambda p, v: p.vise(name).set_pressure(number(v) * BAR),
            (bar(None), lambda m: (m.clamping_low_pa / BAR, m.clamping_high_pa / BAR), 1),
        ),
        choice(
            f"{name}.oil_relief", f"{title}: its oil relief, a screw", name,
            lambda p: p.vise(name).relief,
            lambda p, v: p.vise(name).relieve(str(v)),
            SCREW,
        ),
    )  # fmt: skip


_NO_ROOM: Final = plain(
    "set-point.cutting-vise.support-arm.no-room",
    "The shuttle stands where the arm swings. Send it back to its stop first.",
)


def _no_room_for_arm(plant: Plant) -> Message:
    in_way = plant.shuttle.place.position <= plant.site.machine.arm_m
    return _NO_ROOM if in_way else NOTHING


BAR_ROWS: Final[tuple[SetPoint, ...]] = (
    *_vise_rows("cutting_vise", "cutting vise"),
    choice(
        "cutting_vise.bundle_clamp", "bundle clamp on a row of bars", "cutting_vise",
        lambda p: p.supports.clamp,
        lambda p, v: p.supports.set_clamp(str(v)),
        CLAMP,
    ),
    *_vise_rows("shuttle_vise", "shuttle vise"),
    measure(
        "shuttle.stop_mm", "length stop: turn its handwheel straight to a reading", "shuttle",
        lambda p: p.shuttle.reading_m / MM,
        lambda p, v: p.shuttle.wind_to(number(v) * MM),
        (mm(None), lambda m: (m.stop_low_m / MM, m.stroke_m / MM), 0.05),
    ),
    choice(
        "cutting_vise.support_arm", "support arm hinged on the cutting vise", "cutting_vise",
        lambda p: p.supports.arm,
        lambda p, v: p.supports.set_arm(str(v)),
        ARM, _no_room_for_arm,
    ),
    choice(
        "infeed.bar_chock", "chock of the bar at the rollers", "infeed",
        lambda p: p.supports.chock,
        lambda p, v: p.supports.set_chock(str(v)),
        CHOCK,
    ),
    replace(
        choice(
            "infeed.hood", "infeed hood over shuttle and shuttle vise", "infeed",
            lambda p: p.hood.state,
            lambda p, v: p.hood.put(str(v)),
            HOOD,
        ),
        fitted=lambda m: m.infeed_hood,
    ),
)  # fmt: skip
