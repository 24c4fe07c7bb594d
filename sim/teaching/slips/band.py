"""Slips at the band: guides and covers, tension, teeth, brush, relay.

Never here: what a scenario hides.
"""

from typing import Final

from sim.control import needs
from sim.control.interlocks import Need, Permissive
from sim.plant.brush import SWEPT_FROM
from sim.plant.guide import CLOSED, SLACK
from sim.plant.seat import LAID_ON
from sim.saw import Saw
from sim.session.card.setup_card import GUIDE_CLEAR_M, GUIDE_FAR_M
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check, rows_as_shipped
from sim.trade.choice import (
    MOST_TEETH,
    longest_wall_m,
    teeth_in_cut,
    too_few_teeth,
    tooth_pitch_m,
)
from sim.trade.motor import rated_current_a
from sim.trade.teeth import gullet_depth_m
from sim.units import INCH
from sim.words.fields import amperes, mm, mpa, number
from sim.words.message import NOTHING, Message, plain, row

_ARM_OVER: Final = row(
    "slip.arm.over",
    "the guide arm stands {over} over the bar and would come down on it; slide it to {right} clear",
    over=mm(), right=mm(None),
)  # fmt: skip
_ARM_FAR: Final = row(
    "slip.arm.far",
    "the guide arm is {clear} clear of the bar, and a long free span wanders; slide it to {right}",
    clear=mm(), right=mm(None),
)  # fmt: skip
_ARM_LOCK: Final = plain(
    "slip.arm.lock",
    "the guide arm is free to be moved; lock it before the cut, or it drifts",
)
_GUARD: Final = plain(
    "slip.guard", "outside MAINTENANCE B41 keeps the band from starting until the guard is closed"
)
_GUARD_JUMPERED: Final = plain(
    "slip.guard.jumpered",
    "the band guard is open, and a force or jumper lets the band run; close it; never force or jumper anything on a real saw",
)
_COVER_JUMPERED: Final = plain(
    "slip.cover.jumpered",
    "the wheel cover is open, and a force or jumper lets the band run; close it; never force or jumper anything on a real saw",
)
_COVER_UNLOCKED: Final = plain(
    "slip.cover.no-lock-out",
    "the wheel cover is open without lock-out; close it, or go on with the lock-out before hands go in",
)
_COVER: Final = plain(
    "slip.cover",
    "outside MAINTENANCE B42 keeps the band from starting until the wheel cover is closed",
)
_TENSION: Final = row(
    "slip.tension",
    "{stress} is outside {low} to {high}, and the tension switches keep the band from starting",
    stress=mpa(), low=mpa(bare=True), high=mpa(),
)  # fmt: skip
_TENSION_JUMPERED: Final = row(
    "slip.tension.jumpered",
    "{stress} is outside {low} to {high}, and a force or jumper lets the band run",
    stress=mpa(), low=mpa(bare=True), high=mpa(),
)  # fmt: skip
# Where the saw's own rows are others than the table's, nothing is said of what they keep.
_GUARD_ALONE: Final = plain(
    "slip.guard.own-rows",
    "the band guard is open; this saw has interlock rows of its own, so count on none and close it before the band starts",
)
_COVER_ALONE: Final = plain(
    "slip.cover.own-rows",
    "the wheel cover is open; this saw has interlock rows of its own, so count on none and close it before the band starts",
)
_TENSION_ALONE: Final = row(
    "slip.tension.own-rows",
    "{stress} is outside {low} to {high}; this saw has interlock rows of its own, so count on none and tension the band first",
    stress=mpa(), low=mpa(bare=True), high=mpa(),
)  # fmt: skip
_TEETH: Final = row(
    "slip.teeth",
    "with {teeth} teeth in the cut a tooth straddles the wall and strips; fit {finest} TPI",
    teeth=number(1), finest=number(None),
)  # fmt: skip
_MANY_TEETH: Final = row(
    "slip.teeth.many",
    "with {teeth} teeth in one wall at once the gullets are too small for its chips; fit {coarsest} TPI",
    teeth=number(), coarsest=number(None),
)  # fmt: skip
_NO_BAND: Final = plain(
    "slip.seat.off", "no band is on the wheels; lay one on, seat it, and then tension it"
)
_NOT_SEATED: Final = plain(
    "slip.seat.laid-on",
    "the band lies loosely on its wheels and would walk off them; seat it before it is tensioned",
)
_TENSED_LOOSE: Final = plain(
    "slip.seat.tensed",
    "the band lies beside its guides and can spring off under tension; let it down, seat it, and then tension it",
)
_NOT_TRACKED: Final = plain(
    "slip.seat.not-tracked",
    "nobody has seen yet where this band runs; jog it in MAINTENANCE, cover closed, until it tracks, before it runs at speed",
)
_NOT_ROUND: Final = row(
    "slip.seat.not-round",
    "only {seen} of {turn} of band has come past; first let it round once in MANUAL at the lowest speed, cover closed, and look",
    seen=mm(0), turn=mm(0),
)  # fmt: skip
_FACE: Final = plain("slip.face", "inside out the teeth point away and only rub")
_TOO_DEEP: Final = row(
    "slip.brush.deep",
    "the brush stands deeper than gullets of {gullet} and is ground away; set it back",
    gullet=mm(1),
)
_SHALLOW: Final = row(
    "slip.brush.shallow",
    "the brush does not reach the bottom of gullets of {gullet}; set it deeper, or chips pack",
    gullet=mm(1),
)
_TRIPPED: Final = plain(
    "slip.relay.tripped", "the overload relay is tripped; find the cause, then reset it"
)
_RELAY_HIGH: Final = row(
    "slip.relay.high",
    "the relay allows more than the motor's {rated}; the motor could burn before the relay trips",
    rated=amperes(1),
)


def _arm(session: Session) -> Message:
    clear_m = foresight.clear_m(session)
    if clear_m < 0.0:
        return foresight.of_lying(session, _ARM_OVER(over=-clear_m, right=GUIDE_CLEAR_M))
    if clear_m > GUIDE_FAR_M:
        return foresight.of_lying(session, _ARM_FAR(clear=clear_m, right=GUIDE_CLEAR_M))
    return foresight.amiss(session)


def _arm_lock(session: Session) -> Message:
    return _ARM_LOCK if session.saw.plant.band.guide.lock == SLACK else NOTHING


def _guard(session: Session) -> Message:
    if session.saw.plant.band.guide.guarded:
        return NOTHING
    if not rows_as_shipped(session, needs.GUARD.subject):
        return _GUARD_ALONE
    return _GUARD_JUMPERED if _passed_over(session, needs.GUARD) else _GUARD


def _passed_over(session: Session, need: Need) -> bool:
    """Whether a jumper or a force lets the band run, or run on, though a need of it does not hold."""
    return need.subject in session.saw.bus.forced or any(
        row.need == need if isinstance(row, Permissive) else row.subject == need.subject
        for row in session.saw.controller.bypassed
    )


def _cover(session: Session) -> Message:
    if session.saw.plant.band.guide.cover == CLOSED:
        return NOTHING
    if not session.lockout.verified:
        return _COVER_UNLOCKED
    if not rows_as_shipped(session, needs.COVER.subject):
        return _COVER_ALONE
    return _COVER_JUMPERED if _passed_over(session, needs.COVER) else _COVER


def _tension(session: Session) -> Message:
    machine, tension = session.machine, session.saw.plant.band.tension
    if session.saw.plant.band.seat.place == LAID_ON and tension.stress_pa > 0.0:
        return _TENSED_LOOSE
    if tension.tight and not tension.too_tight:
        return foresight.amiss(session)
    low, high = machine.tension_low_pa, machine.tension_high_pa
    need = needs.NOT_TOO_TIGHT if tension.too_tight else needs.TIGHT
    said = _TENSION_JUMPERED if _passed_over(session, need) else _TENSION
    if not rows_as_shipped(session, need.subject):
        said = _TENSION_ALONE
    return said(stress=tension.stress_pa, low=low, high=high)


def _teeth(session: Session) -> Message:
    return foresight.of_lying(session, _wrong_teeth(session)) or (
        _too_deep(session) or foresight.amiss(session)
    )


def _wrong_teeth(session: Session) -> Message:
    plant, card = session.saw.plant, session.card_there
    line = next((line for line in card if line.name == "band.teeth_per_inch"), None)
    section, widening = session.lying.section, plant.swivel.widening
    fit = (
        float(line.setting) if line is not None else round(INCH / tooth_pitch_m(section, widening))
    )
    pitch_m = plant.blade.pitch_m
    if too_few_teeth(section, pitch_m, widening) and plant.blade.teeth_per_inch < fit:
        return _TEETH(teeth=teeth_in_cut(section, pitch_m, widening), finest=fit)
    most = longest_wall_m(section) * widening / pitch_m
    if most > MOST_TEETH and plant.blade.teeth_per_inch > fit:
        return _MANY_TEETH(teeth=most, coarsest=fit)
    return NOTHING


def _face(session: Session) -> Message:
    return NOTHING if session.saw.plant.blade.cuts else _FACE


def _seat(session: Session) -> Message:
    seat = session.saw.plant.band.seat
    if seat.off or seat.place == LAID_ON:
        return _NO_BAND if seat.off else _NOT_SEATED
    if seat.fresh and not seat.tracks:
        return _NOT_TRACKED
    return not_once_round(session.saw)


def not_once_round(saw: Saw) -> Message:
    """Return that part of a band that was put on has not come past yet, a clause; nothing where all of it has."""
    band = saw.plant.band
    if band.seat.unseen_m <= 0.0:
        return NOTHING
    turn_m = saw.plant.site.machine.band_length_m
    return _NOT_ROUND(seen=turn_m - band.seat.unseen_m, turn=turn_m)


def _too_deep(session: Session) -> Message:
    plant = session.saw.plant
    deep = plant.brush.too_deep_m > 0.0
    return _TOO_DEEP(gullet=gullet_depth_m(plant.blade.pitch_m)) if deep else NOTHING


def _brush(session: Session) -> Message:
    plant = session.saw.plant
    if plant.brush.sweeps < SWEPT_FROM:
        return _SHALLOW(gullet=gullet_depth_m(plant.blade.pitch_m))
    return _too_deep(session)


def _relay(session: Session) -> Message:
    relay = session.saw.plant.band.relay
    if relay.tripped:
        return _TRIPPED
    rated_a = rated_current_a(relay.motor)
    return _RELAY_HIGH(rated=rated_a) if relay.setting_a > rated_a + 0.1 else NOTHING


SLIPS: Final[dict[str, Check]] = {
    "band.guard": _guard,
    "band.wheel_cover": _cover,
    "band.tension_mpa": _tension,
    "band.guide_span_mm": _arm,
    "band.guide_lock": _arm_lock,
    "band.teeth_per_inch": _teeth,
    "band.teeth_face": _face,
    "band.seat": _seat,
    "band.brush_mm": _brush,
    "band.relay_a": _relay,
    "band.relay": _relay,
}
