"""Looks at the head: height stop, feed, lift, swivel and back rail."""

from typing import Final

from sim.plant.height_stop import HOME as SNAPPED_IN
from sim.plant.swivel import LEVER, PLUNGER, RAIL
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, way
from sim.units import MM
from sim.words.fields import mm, mm_min, newtons, number, one_of, part
from sim.words.message import Message, plain, row

_TOUCHES_M: Final = 0.5 * MM

_SNAPPED_IN: Final = plain(
    "inspection.stop-plunger.home", "The plunger of the ring has snapped into its notch."
)
_ON_THE_LAND: Final = row(
    "inspection.stop-plunger.on-the-land",
    "The plunger of the ring rides on the land, and the ring stands {crept} below its notch.",
    crept=mm(),
)
_NOTCH: Final = row(
    "inspection.stop-notch.found",
    "The ring is set to the notch for {notch}; the bar is {bar} high.",
    notch=mm(),
    bar=mm(1),
)
_ON_BAR: Final = plain("inspection.band-over-bar.on", "The band lies on the bar.")
_ABOVE: Final = row(
    "inspection.band-over-bar.above", "The band stands {gap} above the bar.", gap=mm()
)
_BELOW: Final = row(
    "inspection.band-over-bar.below",
    "The band stands {depth} below the top of the bar.",
    depth=mm(),
)
_FEED: Final = row(
    "inspection.feed-settings.found",
    "The feed valve is set to {valve} and the feed relief to {force}.",
    valve=mm_min(),
    force=newtons(),
)
_THROTTLE: Final = row(
    "inspection.lift-throttle.open",
    "The exhaust throttle of the lift is {turns} turns open.",
    turns=number(2),
)
_THROTTLE_SHUT: Final = plain(
    "inspection.lift-throttle.shut", "The exhaust throttle of the lift is fully shut."
)
_BUBBLES: Final = plain(
    "inspection.oil-sight-glass.bubbles",
    "The oil in the sight glass of the lift is full of bubbles.",
)
_CLEAR: Final = plain(
    "inspection.oil-sight-glass.clear", "The oil in the sight glass of the lift is clear."
)
_PLUNGER: Final = row(
    "inspection.swivel-clamping.plunger", "The index plunger is {state}", state=one_of(*PLUNGER)
)
_LEVER: Final = row(
    "inspection.swivel-clamping.lever", "the clamp lever is {state}", state=one_of(*LEVER)
)
_SCREW: Final = row(
    "inspection.swivel-clamping.screw", "its setting screw is {turns} turns in", turns=number(2)
)
_CLAMPING: Final = row(
    "inspection.swivel-clamping.found",
    "{plunger}, {lever}, and {screw}.",
    plunger=part(),
    lever=part(),
    screw=part(),
)
_SWUNG: Final = row(
    "inspection.back-rail.found",
    "The head is swung to {mitre} degrees; the back rail of the outfeed is {rail}.",
    mitre=number(),
    rail=one_of(*RAIL),
)


def _stop_plunger(saw: Saw) -> Message:
    stop = saw.plant.head.height_stop
    return _SNAPPED_IN if stop.plunger == SNAPPED_IN else _ON_THE_LAND(crept=stop.crept_m)


def _stop_notch(saw: Saw) -> Message:
    notch_m = saw.plant.head.height_stop.notch * saw.plant.site.machine.notch_step_m
    return _NOTCH(notch=notch_m, bar=saw.plant.bar.height_m)


def _band_over_bar(saw: Saw) -> Message:
    gap_m = saw.plant.head.place.position - saw.plant.bar.height_m
    if abs(gap_m) < _TOUCHES_M:
        return _ON_BAR
    return _ABOVE(gap=gap_m) if gap_m > 0 else _BELOW(depth=-gap_m)


def _feed(saw: Saw) -> Message:
    return _FEED(valve=saw.plant.head.valve_m_s, force=saw.plant.head.force_n)


def _throttle(saw: Saw) -> Message:
    turns = saw.plant.head.lift.throttle_turns
    return _THROTTLE(turns=turns) if turns else _THROTTLE_SHUT


def _sight_glass(saw: Saw) -> Message:
    return _BUBBLES if saw.plant.head.lift.air else _CLEAR


def _clamping(saw: Saw) -> Message:
    swivel = saw.plant.swivel
    return _CLAMPING(
        plunger=_PLUNGER(state=swivel.plunger),
        lever=_LEVER(state=swivel.lever),
        screw=_SCREW(turns=swivel.screw_turns),
    )


def _rail(saw: Saw) -> Message:
    return _SWUNG(mitre=saw.plant.swivel.mitre_deg, rail=saw.plant.swivel.rail)


HEAD_LOOKS: Final[tuple[Inspection, ...]] = (
    way(
        "stop-plunger", "Look at the plunger of the height stop", "head", 20, _stop_plunger,
        reads=("head.stop_plunger",), shows=("head.stop_plunger",),
    ),
    way(
        "stop-notch", "Read the notch of the height stop against the bar", "head", 20, _stop_notch,
        reads=("head.stop_notch",), shows=("head.stop_notch",),
    ),
    way("band-over-bar", "Measure from the bar up to the band", "head", 30, _band_over_bar),
    way(
        "rule-beside-bar", "Hold a rule beside the bar, from outside, and sight the band over it", "head",
        45, _band_over_bar,
    ),
    way(
        "feed-settings", "Read feed valve and feed relief", "head", 15, _feed,
        reads=("head.feed_valve_mm_min", "head.feed_force_n"),
        shows=("head.feed_valve_mm_min", "head.feed_force_n"),
    ),
    way(
        "lift-throttle", "Read the exhaust throttle of the lift", "head", 15, _throttle,
        reads=("head.lift_throttle_turns",), shows=("head.lift_throttle_turns",),
    ),
    way("oil-sight-glass", "Look at the sight glass of the lift", "head", 20, _sight_glass),
    way(
        "swivel-clamping", "Try the index plunger, the clamp lever and its screw", "head", 30, _clamping,
        reads=("head.index_plunger", "head.clamp_lever", "head.clamp_screw"),
    ),
    way(
        "back-rail", "Look at mitre angle and back rail", "head", 15, _rail,
        reads=("head.mitre_deg", "outfeed.back_rail"),
    ),
)  # fmt: skip
