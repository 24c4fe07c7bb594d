"""Slips at the head: height stop, feed, lift, swivel and back rail.

Never here: what a scenario hides.
"""

from typing import Final

from sim.faults.catalogue import CLEARANCE_M
from sim.plant.height_stop import HOME
from sim.plant.swivel import CLOSED, OUT
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.teaching.slips.holding import pressure
from sim.units import MM
from sim.words.fields import mm, number
from sim.words.message import NOTHING, Message, plain, row

_TOUCHES_M: Final = 0.5 * MM  # nearer than that the band lies on the bar
_HAIR_M: Final = 1e-9  # what is lost between millimetres and metres
_QUARTER: Final = 0.25  # turns of the setting screw that nobody feels at the lever

_ON_THE_BAR: Final = plain(
    "slip.stop-notch.on-the-bar",
    "the head would count as up with the band on the bar; set the ring at the lowest notch that "
    "clears it",
)
_BELOW_THE_TOP: Final = row(
    "slip.stop-notch.below-the-top",
    "the head would count as up with the band {below} below the bar's top; set the ring at the lowest notch that clears it",
    below=mm(),
)
_LITTLE: Final = row(
    "slip.stop-notch.little",
    "the band would clear the bar by {over} only; take the next notch up",
    over=mm(),
)
_MUCH: Final = row(
    "slip.stop-notch.much",
    "the band would stand {over} above the bar, and every cut wastes that way; take the lowest notch "
    "that clears it",
    over=mm(),
)
_PLUNGER: Final = plain(
    "slip.stop-plunger",
    "with its plunger on the land the ring creeps down and the limit makes too early; let the plunger "
    "snap home in its notch",
)
_VALVE: Final = plain(
    "slip.feed-valve",
    "the feed valve is fully shut, and the head will not come down at its key; it is no holding device",
)
_THROTTLE: Final = plain(
    "slip.lift-throttle",
    "with the exhaust throttle of the lift nearly shut the head is slow, stops short and dives at "
    "break-through; open it a turn",
)
_NOT_HOME: Final = plain(
    "slip.index-plunger",
    "the index plunger is not home and the head gives in the cut; let it snap home",
)
_LEVER: Final = plain(
    "slip.clamp-lever",
    "the clamp lever is open and the head can be swung; close it before any cut",
)
_SCREW_LOOSE: Final = row(
    "slip.clamp-screw.loose",
    "the setting screw is so far out that the closed lever clamps too little; turn it in to {right} "
    "turns",
    right=number(None),
)
_SCREW_TIGHT: Final = row(
    "slip.clamp-screw.tight",
    "the setting screw is so far in that the clamp lever does not close; turn it back to {right} turns",
    right=number(None),
)
_RAIL: Final = plain(
    "slip.back-rail",
    "the back rail of the outfeed stands under the mitred band and would be cut; slide it back",
)
_MITRE: Final = row(
    "slip.mitre",
    "the order is for {wanted} degrees, and the head stands at {here}",
    wanted=number(None), here=number(None),
)  # fmt: skip


def _notch(session: Session) -> Message:
    plant, machine = session.saw.plant, session.machine
    over_m = plant.head.stop_m - plant.bar.height_m
    if plant.head.height_stop.notch * machine.notch_step_m <= plant.bar.height_m:
        return _ON_THE_BAR if over_m > -_TOUCHES_M else _BELOW_THE_TOP(below=-over_m)
    if over_m < CLEARANCE_M - _HAIR_M and plant.head.height_stop.plunger == HOME:
        return _LITTLE(over=over_m)
    much_m = CLEARANCE_M + machine.notch_step_m - _HAIR_M
    return _MUCH(over=over_m) if over_m >= much_m else NOTHING


def _stop_plunger(session: Session) -> Message:
    home = session.saw.plant.head.height_stop.plunger == HOME
    return NOTHING if home else _PLUNGER


def _valve(session: Session) -> Message:
    shut = session.saw.plant.head.valve_m_s <= 0.0
    return _VALVE if shut else foresight.amiss(session)


def _force(session: Session) -> Message:
    return foresight.amiss(session) or pressure("cutting_vise")(session)


def _throttle(session: Session) -> Message:
    shut = session.saw.plant.head.lift.throttle_turns < session.machine.throttle_open
    return _THROTTLE if shut else NOTHING


def _index_plunger(session: Session) -> Message:
    swivel = session.saw.plant.swivel
    return _NOT_HOME if swivel.plunger == OUT and swivel.at_index else NOTHING


def _lever(session: Session) -> Message:
    return NOTHING if session.saw.plant.swivel.lever == CLOSED else _LEVER


def _screw(session: Session) -> Message:
    swivel, right = session.saw.plant.swivel, session.machine.clamp_screw_right
    if swivel.screw_too_tight:
        return _SCREW_TIGHT(right=right)
    return _SCREW_LOOSE(right=right) if swivel.screw_turns < right - _QUARTER else NOTHING


def _rail(session: Session) -> Message:
    return _RAIL if session.saw.plant.swivel.rail_in_way else NOTHING


def _mitre(session: Session) -> Message:
    here, wanted = session.saw.plant.swivel.mitre_deg, session.order.mitre_deg
    return _MITRE(wanted=wanted, here=here) if here != wanted else _rail(session)


SLIPS: Final[dict[str, Check]] = {
    "head.stop_notch": _notch,
    "head.stop_plunger": _stop_plunger,
    "head.feed_valve_mm_min": _valve,
    "head.feed_force_n": _force,
    "head.lift_throttle_turns": _throttle,
    "head.mitre_deg": _mitre,
    "head.index_plunger": _index_plunger,
    "head.clamp_lever": _lever,
    "head.clamp_screw": _screw,
    "outfeed.back_rail": _rail,
}
