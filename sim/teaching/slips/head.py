"""Slips at the head: height stop, feed, swivel and fence.

Never here: what a scenario hides.
"""

from typing import Final

from sim.faults.catalogue import CLEARANCE_M
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.teaching.slips.holding import pressure
from sim.units import MM
from sim.words.fields import mm, number
from sim.words.message import NOTHING, Message, plain, row

_TOUCHES_M: Final = 0.5 * MM  # nearer than that the band lies on the bar
_HAIR_M: Final = 1e-9  # what is lost between millimetres and metres

_ON_THE_BAR: Final = plain(
    "slip.stop-hole.on-the-bar",
    "the head would count as up with the band on the bar; pin the collar at the lowest hole that "
    "clears it",
)
_BELOW_THE_TOP: Final = row(
    "slip.stop-hole.below-the-top",
    "the head would count as up with the band {below} below the top of the bar; pin the collar at "
    "the lowest hole that clears it",
    below=mm(),
)
_LITTLE: Final = row(
    "slip.stop-hole.little",
    "the band would clear the bar by {over} only; take the next hole up",
    over=mm(),
)
_MUCH: Final = row(
    "slip.stop-hole.much",
    "the band would stand {over} above the bar, and every cut wastes that way; take the lowest hole "
    "that clears it",
    over=mm(),
)
_PIN: Final = plain(
    "slip.stop-pin",
    "with the pin under the collar the switch makes too early; put it through the collar",
)
_VALVE: Final = plain(
    "slip.feed-valve",
    "the feed valve is fully shut: the head is held while there is air, and will not come down",
)
_BLEED: Final = plain(
    "slip.bleed", "with the bleed screw shut the head sticks and slips; open it a turn"
)
_LOCKS: Final = plain(
    "slip.pivot-locks",
    "the pivot locks are slack and the head can be swung; tighten them before a square cut",
)
_LEVER: Final = plain(
    "slip.mitre-lever",
    "the mitre lever is loose and the head can be swung; tighten it before any cut",
)
_FENCE: Final = plain(
    "slip.fence",
    "the outfeed fence stands under the mitred band and would be cut; slide it back",
)
_MITRE: Final = row(
    "slip.mitre",
    "the order is for {wanted} degrees, and the head stands at {here}",
    wanted=number(None), here=number(None),
)  # fmt: skip


def _hole(session: Session) -> Message:
    plant, machine = session.saw.plant, session.machine
    over_m = plant.head.stop_m - plant.bar.height_m
    if plant.head.height_stop.notch * machine.notch_step_m <= plant.bar.height_m:
        return _ON_THE_BAR if over_m > -_TOUCHES_M else _BELOW_THE_TOP(below=-over_m)
    if over_m < CLEARANCE_M - _HAIR_M and plant.head.height_stop.plunger == "home":
        return _LITTLE(over=over_m)
    much_m = CLEARANCE_M + machine.notch_step_m - _HAIR_M
    return _MUCH(over=over_m) if over_m >= much_m else NOTHING


def _pin(session: Session) -> Message:
    return NOTHING if session.saw.plant.head.height_stop.plunger == "home" else _PIN


def _valve(session: Session) -> Message:
    shut = session.saw.plant.head.valve_m_s <= 0.0
    return _VALVE if shut else foresight.amiss(session)


def _force(session: Session) -> Message:
    return foresight.amiss(session) or pressure("cutting_vise")(session)


def _bleed(session: Session) -> Message:
    shut = session.saw.plant.head.lift.throttle_turns < session.machine.throttle_open
    return _BLEED if shut else NOTHING


def _locks(session: Session) -> Message:
    swivel = session.saw.plant.swivel
    return _LOCKS if swivel.plunger == "out" and swivel.at_index else NOTHING


def _lever(session: Session) -> Message:
    return NOTHING if session.saw.plant.swivel.lever == "closed" else _LEVER


def _fence(session: Session) -> Message:
    return _FENCE if session.saw.plant.swivel.rail_in_way else NOTHING


def _mitre(session: Session) -> Message:
    here, wanted = session.saw.plant.swivel.mitre_deg, session.order.mitre_deg
    return _fence(session) or (_MITRE(wanted=wanted, here=here) if here != wanted else NOTHING)


SLIPS: Final[dict[str, Check]] = {
    "head.stop_notch": _hole,
    "head.stop_plunger": _pin,
    "head.feed_valve_mm_min": _valve,
    "head.feed_force_n": _force,
    "head.lift_throttle_turns": _bleed,
    "head.mitre_deg": _mitre,
    "head.index_plunger": _locks,
    "head.clamp_lever": _lever,
    "outfeed.back_rail": _fence,
}
