"""What a hand can set at the band: guides and guards, tension, the band itself, brush, relay."""

from typing import Final

from sim.plant.blade import FACES
from sim.plant.guide import CLOSED, DOORS, LOCKS, TIGHT
from sim.plant.plant import Plant
from sim.plant.relay import SET, TRIPPED
from sim.plant.set_points.row import SetPoint, Setting, number, still
from sim.units import MM, MPA


def _arm_is_locked(plant: Plant) -> str:
    locked = plant.band.guide.lock == TIGHT
    return "The guide arm is locked. Slacken its lock first." if locked else ""


def _band_is_covered(plant: Plant) -> str:
    if plant.band.guide.cover == CLOSED:
        return "The wheel cover is closed. Open it first."
    return still(plant)


def _relay_is_hot(plant: Plant) -> str:
    wait_s = plant.band.relay.too_hot_s if plant.band.relay.tripped else 0.0
    return f"The relay is still hot. Wait {wait_s:.0f} s." if wait_s > 0.0 else ""


def _press_relay(plant: Plant, setting: Setting) -> None:
    if setting == SET:
        plant.band.relay.reset()
    else:
        plant.band.relay.trip()


BAND_ROWS: Final[tuple[SetPoint, ...]] = (
    SetPoint(
        "band.guide_span_mm", "guide arm: free span of the band between the guides", "band",
        lambda p: p.band.guide.span_m / MM,
        lambda p, v: p.band.guide.set_span(number(v) * MM),
        "mm", 40, 340, 5, blocked=_arm_is_locked,
    ),
    SetPoint(
        "band.guide_lock", "guide arm: its lock", "band",
        lambda p: p.band.guide.lock,
        lambda p, v: p.band.guide.set_lock(str(v)),
        words=LOCKS,
    ),
    SetPoint(
        "band.guard", "band guard", "band",
        lambda p: p.band.guide.guard,
        lambda p, v: p.band.guide.set_guard(str(v)),
        words=DOORS,
    ),
    SetPoint(
        "band.wheel_cover", "wheel cover", "band",
        lambda p: p.band.guide.cover,
        lambda p, v: p.band.guide.set_cover(str(v)),
        words=DOORS,
    ),
    SetPoint(
        "band.tension_mpa", "band tension, by the hand screw", "band",
        lambda p: p.band.tension.set_pa / MPA,
        lambda p, v: p.band.tension.set_screw(number(v) * MPA),
        "MPa", 0, 450, 5,
    ),
    SetPoint(
        "band.teeth_per_inch", "fit a new band with so many teeth an inch", "band",
        lambda p: p.blade.teeth_per_inch,
        lambda p, v: p.blade.fit(number(v)),
        "teeth/in", 2, 18, 1, blocked=_band_is_covered,
    ),
    SetPoint(
        "band.teeth_face", "which way round the band is fitted", "band",
        lambda p: p.blade.face,
        lambda p, v: p.blade.turn(str(v)),
        words=FACES, blocked=_band_is_covered,
    ),
    SetPoint(
        "band.brush_mm", "chip brush: depth into the gullets", "band",
        lambda p: p.brush.depth_m / MM,
        lambda p, v: p.brush.set_depth(number(v) * MM),
        "mm", 0, 8, 0.5, blocked=still,
    ),
    SetPoint(
        "band.relay_a", "overload relay: current it allows", "band",
        lambda p: p.band.relay.setting_a,
        lambda p, v: p.band.relay.set_current(number(v)),
        "A", 4, 10, 0.1,
    ),
    SetPoint(
        "band.relay", "overload relay: its reset and its test button", "band",
        lambda p: TRIPPED if p.band.relay.tripped else SET,
        _press_relay,
        words=(SET, TRIPPED), blocked=_relay_is_hot,
    ),
)  # fmt: skip
