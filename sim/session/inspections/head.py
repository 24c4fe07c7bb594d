"""Looks at the head: height stop, feed, swivel and fence."""

from typing import Final

from sim.plant.guide import LOCKS
from sim.plant.swivel import FENCES, LEVERS
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, way
from sim.units import MM
from sim.words.fields import mm, mm_min, newtons, number, one_of, part
from sim.words.message import Message, plain, row

_TOUCHES_M: Final = 0.5 * MM

_THROUGH: Final = plain("inspection.collar-pin.through", "The pin goes through the collar.")
_UNDER: Final = plain(
    "inspection.collar-pin.under", "The pin is under the collar; the collar rides on it."
)
_HOLE: Final = row(
    "inspection.stop-hole.found",
    "The pin is in the hole for {hole}; the bar is {bar} high.",
    hole=mm(),
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
    "The feed valve is set to {valve} and the feed force to {force}.",
    valve=mm_min(),
    force=newtons(),
)
_BLEED_OPEN: Final = row(
    "inspection.bleed-screw.open", "The bleed screw is {turns} turns open.", turns=number(None)
)
_BLEED_SHUT: Final = plain("inspection.bleed-screw.shut", "The bleed screw is fully shut.")
_LOCKS: Final = row(
    "inspection.swivel-locks.locks", "The pivot locks are {state}", state=one_of(*LOCKS)
)
_LEVER: Final = row(
    "inspection.swivel-locks.lever", "the mitre lever is {state}", state=one_of(*LEVERS)
)
_LOCKS_AND_LEVER: Final = row(
    "inspection.swivel-locks.found", "{locks}, and {lever}.", locks=part(), lever=part()
)
_SWUNG: Final = row(
    "inspection.outfeed-fence.found",
    "The head is swung to {mitre} degrees; the outfeed fence is {fence}.",
    mitre=number(),
    fence=one_of(*FENCES),
)


def _collar(saw: Saw) -> Message:
    return _THROUGH if saw.plant.head.pin_through else _UNDER


def _hole(saw: Saw) -> Message:
    hole_m = saw.plant.head.hole * saw.plant.site.machine.hole_step_m
    return _HOLE(hole=hole_m, bar=saw.plant.bar.height_m)


def _band_over_bar(saw: Saw) -> Message:
    gap_m = saw.plant.head.place.position - saw.plant.bar.height_m
    if abs(gap_m) < _TOUCHES_M:
        return _ON_BAR
    return _ABOVE(gap=gap_m) if gap_m > 0 else _BELOW(depth=-gap_m)


def _feed(saw: Saw) -> Message:
    return _FEED(valve=saw.plant.head.valve_m_s, force=saw.plant.head.force_n)


def _bleed(saw: Saw) -> Message:
    turns = saw.plant.head.bleed_turns
    return _BLEED_OPEN(turns=turns) if turns else _BLEED_SHUT


def _locks(saw: Saw) -> Message:
    swivel = saw.plant.swivel
    return _LOCKS_AND_LEVER(locks=_LOCKS(state=swivel.locks), lever=_LEVER(state=swivel.lever))


def _fence(saw: Saw) -> Message:
    return _SWUNG(mitre=saw.plant.swivel.mitre_deg, fence=saw.plant.swivel.fence)


HEAD_LOOKS: Final[tuple[Inspection, ...]] = (
    way(
        "collar-pin",
        "Look at the pin of the height stop",
        "head",
        20,
        _collar,
        reads=("head.stop_pin",),
        shows=("head.stop_pin",),
    ),
    way(
        "stop-hole",
        "Read the hole of the height stop against the bar",
        "head",
        20,
        _hole,
        reads=("head.stop_hole",),
        shows=("head.stop_hole",),
    ),
    way("band-over-bar", "Measure from the bar up to the band", "head", 30, _band_over_bar),
    way(
        "feed-settings",
        "Read feed valve and feed force",
        "head",
        15,
        _feed,
        reads=("head.feed_valve_mm_min", "head.feed_force_n"),
        shows=("head.feed_valve_mm_min", "head.feed_force_n"),
    ),
    way(
        "bleed-screw",
        "Try the bleed screw of the feed line",
        "head",
        25,
        _bleed,
        reads=("head.bleed_turns",),
    ),
    way(
        "swivel-locks",
        "Try the pivot locks and the mitre lever",
        "head",
        25,
        _locks,
        reads=("head.pivot_locks", "head.mitre_lever"),
    ),
    way(
        "outfeed-fence",
        "Look at mitre angle and outfeed fence",
        "head",
        15,
        _fence,
        reads=("head.mitre_deg", "head.outfeed_fence"),
    ),
)
