"""What a hand can set at the band: guides and guards, tension, the band itself, brush, relay."""

from dataclasses import replace
from typing import Final

from sim.plant.blade import FACES
from sim.plant.guide import CLOSED, DOORS, LOCKS, OPEN, TIGHT
from sim.plant.plant import Plant
from sim.plant.relay import SET, TRIPPED
from sim.plant.seat import LAID_ON, OPENS, OPENS_HUNG, SEATED, SEATS, TAKES_OFF
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
from sim.words.fields import amperes, mm, mpa, parts, seconds
from sim.words.fields import number as bare_number
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
    "The coil of the band is still tied. Cut its ties first, in gloves and glasses: that of a new one, or of one from the hook.",
)
_OFF_ALREADY: Final = plain(
    "set-point.band.seat.off-already",
    "No band is on the wheels, so none is taken off. Lay one on, or cut the ties of a new coil, in gloves and glasses.",
)
_NONE_HANGS: Final = plain(
    "set-point.band.seat.none-hangs",
    "No band hangs on the hook. One that is taken off is hung up when another is fitted, unless it is worn out.",
)
_NOT_THAT_PITCH: Final = row(
    "set-point.band.teeth-per-inch.none-hangs",
    "No band of {teeth} TPI hangs on the hook, but of {hung}. Fit one of those, or lay the old band on again.",
    teeth=bare_number(None), hung=parts(", "),
)  # fmt: skip
_TPI: Final = row("set-point.band.teeth-per-inch.hung", "{teeth}", teeth=bare_number(None))
_OPEN_ALREADY: Final = plain(
    "set-point.band.seat.open-already",
    "The ties of a coil are cut already. Fit that band, in gloves and glasses.",
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
        if not seat.off:
            return _STILL_ON
        none = setting in OPENS_HUNG and not plant.blade.hung
        return _OPEN_ALREADY if seat.waits_new else _NONE_HANGS if none else NOTHING
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


def _none_of_that_pitch(plant: Plant, setting: Setting) -> Message:
    blade = plant.blade
    if not plant.band.seat.waits_hung or blade.hanging(number(setting)) is not None:
        return NOTHING
    pitches = dict.fromkeys(each.teeth_per_inch for each in blade.hung)
    return _NOT_THAT_PITCH(teeth=number(setting), hung=tuple(_TPI(teeth=each) for each in pitches))


def _fit(plant: Plant, setting: Setting) -> None:
    blade, tension, seat = plant.blade, plant.band.tension, plant.band.seat
    coil = blade.hanging(number(setting)) if seat.waits_hung else None
    if seat.off and not tension.parted:  # it is in somebody's hands
        blade.hang_up(tension.tired)
    if coil is not None:
        blade.take_down(coil)
        tension.renew(coil.tired)
    else:
        blade.fit(number(setting))
        tension.renew()
    seat.lay_on()


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
        lambda p, v: p.band.seat.set_screw(number(v) * MPA),
        (mpa(None), lambda m: (0.0, m.screw_high_pa / MPA), 5),
    ),
    replace(measure(
        "band.teeth_per_inch", "fit a new band of so many TPI, or one from the hook", "band",
        lambda p: p.blade.teeth_per_inch,
        _fit,
        (bare("TPI"), between(2, 18), 1), _new_coil_is_tied,
        scale=False,
    ), locked=_none_of_that_pitch),
    choice(
        "band.teeth_face", "which way round the band is fitted", "band",
        lambda p: p.blade.face,
        _turn,
        FACES, _band_is_on,
    ),
    replace(choice(
        "band.seat", "band on its wheels and in its guides: seated, laid on, or taken off, and a coil opened, new or hung up", "band",
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
