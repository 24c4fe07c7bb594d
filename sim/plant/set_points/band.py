"""What a hand can set at the band: guides and guards, tension, the band itself, brush, relay."""

from dataclasses import replace
from typing import Final

from sim.plant.blade import FACES
from sim.plant.guide import CLOSED, DOORS, LOCKS, OPEN, TIGHT
from sim.plant.plant import Plant
from sim.plant.relay import SET, TRIPPED
from sim.plant.seat import LAID_ON, OPENS, SEATED, SEATS, TAKES_OFF
from sim.plant.set_points.row import (
    SetPoint,
    Setting,
    bare,
    between,
    choice,
    measure,
    number,
    still,
)
from sim.units import MM, MPA
from sim.words.fields import amperes, mm, mpa, seconds
from sim.words.message import NOTHING, Message, plain, row

_LOCKED: Final = plain(
    "set-point.band.guide-span-mm.locked", "The guide arm is locked. Slacken its lock first."
)
_HOT: Final = row(
    "set-point.band.relay.hot", "The relay is still hot. Wait {wait}.", wait=seconds()
)


_STILL_ON: Final = plain(
    "set-point.band.still-on",
    "A band is still on the wheels. Take it off and coil it first, in gloves and glasses.",
)
_NONE_ON: Final = plain(
    "set-point.band.seat.none-on",
    "No band is on the wheels. Lay one on first: a new one, or the old one again.",
)
_TIED: Final = plain(
    "set-point.band.teeth-per-inch.tied",
    "The coil of the new band is still tied. Cut its ties first, in gloves and glasses.",
)
_OFF_ALREADY: Final = plain(
    "set-point.band.seat.off-already",
    "No band is on the wheels, so none is taken off. Lay one on, or cut the ties of a new coil, in gloves and glasses.",
)
_OPEN_ALREADY: Final = plain(
    "set-point.band.seat.open-already",
    "The ties of the new coil are cut already. Fit the band, in gloves and glasses.",
)
_NOT_OFF: Final = plain(
    "set-point.band.seat.not-off", "The band is in its guides. Only one that is off is laid on."
)


def _arm_is_locked(plant: Plant) -> Message:
    return _LOCKED if plant.band.guide.lock == TIGHT else NOTHING


def _band_is_covered(plant: Plant) -> Message:
    return plant.guard_lock.covered or still(plant)


def _band_is_on(plant: Plant) -> Message:
    return _band_is_covered(plant) or (NOTHING if plant.band.seat.off else _STILL_ON)


def _new_coil_is_tied(plant: Plant) -> Message:
    return _band_is_on(plant) or (NOTHING if plant.band.seat.waits_new else _TIED)


def _seat_is_out_of_turn(plant: Plant, setting: Setting) -> Message:
    seat = plant.band.seat
    if setting == SEATED and seat.off:
        return _NONE_ON
    if setting in TAKES_OFF and seat.off:
        return _OFF_ALREADY
    if setting in OPENS:
        return _STILL_ON if not seat.off else _OPEN_ALREADY if seat.waits_new else NOTHING
    return _NOT_OFF if setting == LAID_ON and seat.place == SEATED else NOTHING


def _guard_is_locked(plant: Plant, setting: Setting) -> Message:
    return plant.guard_lock.against(plant.band.guide.guard == CLOSED and setting == OPEN)


def _cover_is_locked(plant: Plant, setting: Setting) -> Message:
    return plant.guard_lock.against(plant.band.guide.cover == CLOSED and setting == OPEN)


def _relay_is_hot(plant: Plant) -> Message:
    wait_s = plant.band.relay.too_hot_s if plant.band.relay.tripped else 0.0
    return _HOT(wait=wait_s) if wait_s > 0.0 else NOTHING


def _press_relay(plant: Plant, setting: Setting) -> None:
    if setting == SET:
        plant.band.relay.reset()
    else:
        plant.band.relay.trip()


def _fit(plant: Plant, setting: Setting) -> None:
    plant.blade.fit(number(setting))
    plant.band.tension.renew()
    plant.band.seat.lay_on()


def _turn(plant: Plant, setting: Setting) -> None:
    plant.blade.turn(str(setting))
    plant.band.seat.lay_on()


BAND_ROWS: Final[tuple[SetPoint, ...]] = (
    measure(
        "band.guide_span_mm", "guide arm: free span of the band between the guides", "band",
        lambda p: p.band.guide.span_m / MM,
        lambda p, v: p.band.guide.set_span(number(v) * MM),
        (mm(None), lambda m: (m.guide_low_m / MM, m.guide_high_m / MM), 5), _arm_is_locked,
    ),
    choice(
        "band.guide_lock", "guide arm: its lock", "band",
        lambda p: p.band.guide.lock,
        lambda p, v: p.band.guide.set_lock(str(v)),
        LOCKS,
    ),
    choice(
        "band.guard", "band guard", "band",
        lambda p: p.band.guide.guard,
        lambda p, v: p.band.guide.set_guard(str(v)),
        DOORS, locked=_guard_is_locked,
    ),
    choice(
        "band.wheel_cover", "wheel cover", "band",
        lambda p: p.band.guide.cover,
        lambda p, v: p.band.guide.set_cover(str(v)),
        DOORS, locked=_cover_is_locked,
    ),
    measure(
        "band.tension_mpa", "band tension, by the hand screw", "band",
        lambda p: p.band.tension.set_pa / MPA,
        lambda p, v: p.band.tension.set_screw(number(v) * MPA),
        (mpa(None), lambda m: (0.0, m.screw_high_pa / MPA), 5),
    ),
    measure(
        "band.teeth_per_inch", "fit a new band of so many TPI", "band",
        lambda p: p.blade.teeth_per_inch,
        _fit,
        (bare("TPI"), between(2, 18), 1), _new_coil_is_tied,
        scale=False,
    ),
    choice(
        "band.teeth_face", "which way round the band is fitted", "band",
        lambda p: p.blade.face,
        _turn,
        FACES, _band_is_on,
    ),
    replace(choice(
        "band.seat", "band on its wheels and in its guides: seated, laid on, or taken off, and a new coil opened", "band",
        lambda p: p.band.seat.place,
        lambda p, v: p.band.seat.put(str(v)),
        SEATS, _band_is_covered, _seat_is_out_of_turn,
    ), untold=SEATED),
    measure(
        "band.brush_mm", "chip brush: depth into the gullets", "band",
        lambda p: p.brush.depth_m / MM,
        lambda p, v: p.brush.set_depth(number(v) * MM),
        (mm(None), lambda m: (0.0, m.brush_high_m / MM), 0.5), still,
        scale=False,
    ),
    measure(
        "band.relay_a", "overload relay: current it allows", "band",
        lambda p: p.band.relay.setting_a,
        lambda p, v: p.band.relay.set_current(number(v)),
        (amperes(None), lambda m: (m.relay_low_a, m.relay_high_a), 0.1),
    ),
    choice(
        "band.relay", "overload relay: its reset and its test button, outside in the door of the cabinet", "band",
        lambda p: TRIPPED if p.band.relay.tripped else SET,
        _press_relay,
        (SET, TRIPPED), _relay_is_hot,
    ),
)  # fmt: skip
