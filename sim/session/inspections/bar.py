"""Looks at the bar, what holds it and what moves it."""

from math import degrees as degrees_of
from typing import Final

from sim.plant.bar import CORNER_SEEN_M, Bar
from sim.plant.supports import ARM, CLAMP
from sim.saw import SCALE_RAD, Saw
from sim.session.inspections.inspection import Inspection, Kind, way
from sim.trade.bow import STRAIGHTEDGE_M, curvature_1_m, rise_m
from sim.units import MM
from sim.words.fields import bar, count, degrees, mm, one_of
from sim.words.message import Message, plain, row, sentences

_PLAY_FELT_M: Final = 0.005 * MM
_LIGHT_M: Final = 0.1 * MM  # that is seen under a straightedge; common practice, no source

_FIRM: Final = plain(
    "inspection.stop-play.firm",
    "The length stop stands firm on its rack, with no play towards the band.",
)
_PLAY: Final = row(
    "inspection.stop-play.play",
    "The length stop can be pulled {play} away from the band before its pinion holds it.",
    play=mm(2),
)
_READING: Final = row(
    "inspection.length-stop.found",
    "The length stop reads {reading}, for {count} stroke a piece.",
    plural="The length stop reads {reading}, for {count} strokes a piece.",
    reading=mm(2),
    count=count(),
)
_JAWS: Final = row(
    "inspection.jaw-gaps.found",
    "The cutting vise jaw was left {cutting} from the bar, the shuttle vise jaw {shuttle}.",
    cutting=mm(),
    shuttle=mm(),
)
_VALVES: Final = row(
    "inspection.clamping-valves.found",
    "The clamping valve of the cutting vise is set to {cutting}, that of the shuttle vise to {shuttle}.",
    cutting=bar(),
    shuttle=bar(),
)
_GAUGES: Final = row(
    "inspection.clamping-gauges.found",
    "The cutting vise shows {cutting}, the shuttle vise {shuttle}.",
    cutting=bar(),
    shuttle=bar(),
)
_OILY: Final = plain(
    "inspection.cutting-jaws.oily", "The cloth comes away from the cutting jaws wet with oil."
)
_DRY: Final = plain("inspection.cutting-jaws.dry", "The cutting jaws are dry.")
_SHUTTLE_OILY: Final = plain(
    "inspection.shuttle-jaws.oily", "The cloth comes away from the shuttle jaws wet with oil."
)
_SHUTTLE_DRY: Final = plain("inspection.shuttle-jaws.dry", "The shuttle jaws are dry.")
_ROW: Final = row(
    "inspection.bundle-clamp.found",
    "There is a row of one bar in the vise; the bundle clamp is {clamp}.",
    plural="There is a row of {count} bars in the vise; the bundle clamp is {clamp}.",
    count=count(),
    clamp=one_of(*CLAMP),
)
_BAR_THERE: Final = plain("inspection.bar-end.there", "There is bar in front of the bar sensor.")
_BAR_GONE: Final = plain("inspection.bar-end.gone", "There is no bar in front of the bar sensor.")
_SQUARE_END: Final = plain("inspection.bar-front.square", "The front end of the bar is square.")
_SLANT_END: Final = row(
    "inspection.bar-front.slant", "The front end of the bar is at {angle}.", angle=degrees()
)
_BROKEN_END: Final = row(
    "inspection.bar-front.corner",
    "A corner of the front end is missing, {corner} along the bar: the cut at {angle} ran out of it.",
    corner=mm(), angle=degrees(),
)  # fmt: skip
_KERF_UNDER: Final = row(
    "inspection.bar-front.kerf-under",
    "Under the band a kerf stands in the bar, {depth} deep.", depth=mm(),
)  # fmt: skip
_KERF_PAST: Final = row(
    "inspection.bar-front.kerf-past",
    "A kerf stands in the bar {distance} past the band, {depth} deep.",
    distance=mm(), depth=mm(),
)  # fmt: skip
_KERF_BEHIND: Final = row(
    "inspection.bar-front.kerf-behind",
    "A kerf stands in the bar {distance} behind the band, {depth} deep.",
    distance=mm(), depth=mm(),
)  # fmt: skip
_STRAIGHT: Final = plain(
    "inspection.bar-straight.straight",
    "No light shows between the straightedge and the side of the bar.",
)
_BOWED: Final = row(
    "inspection.bar-straight.bowed",
    "The bar is bowed to one side: in the middle of {edge} it stands {gap} off the straightedge. A face that is sawn "
    "off it leans, and one edge of a piece is longer than the other.",
    edge=mm(), gap=mm(1),
)  # fmt: skip
_STIFF: Final = plain(
    "inspection.infeed-rollers.stiff",
    "A side roller of the infeed presses on the bar and does not turn.",
)
_FREE: Final = plain("inspection.infeed-rollers.free", "All infeed rollers turn freely.")
_ARM: Final = row(
    "inspection.support-arm.found",
    "The support arm is {where}.",
    where=one_of(*ARM),
)


def _stop_play(saw: Saw) -> Message:
    play_m = saw.plant.shuttle.short_m
    return _FIRM if play_m < _PLAY_FELT_M else _PLAY(play=play_m)


def _reading(saw: Saw) -> Message:
    return _READING(reading=saw.plant.shuttle.reading_m, count=saw.controller.job.strokes)


def _jaws(saw: Saw) -> Message:
    return _JAWS(cutting=saw.plant.cutting_vise.gap_m, shuttle=saw.plant.shuttle_vise.gap_m)


def _clamping_valves(saw: Saw) -> Message:
    plant = saw.plant
    return _VALVES(
        cutting=plant.cutting_vise.set_pressure_pa, shuttle=plant.shuttle_vise.set_pressure_pa
    )


def _gauges(saw: Saw) -> Message:
    plant = saw.plant
    return _GAUGES(cutting=plant.cutting_vise.pressure_pa, shuttle=plant.shuttle_vise.pressure_pa)


def _wipe(saw: Saw) -> Message:
    oily = saw.plant.cutting_vise.friction < saw.plant.site.machine.jaw_friction
    return _OILY if oily else _DRY


def _wipe_shuttle(saw: Saw) -> Message:
    right = saw.plant.site.machine.jaw_friction
    return _SHUTTLE_OILY if saw.plant.shuttle_vise.friction < right else _SHUTTLE_DRY


def _clamp(saw: Saw) -> Message:
    return _ROW(count=saw.plant.supports.bars, clamp=saw.plant.supports.clamp)


def _bar_end(saw: Saw) -> Message:
    there = saw.plant.bar.rear_m <= saw.plant.shuttle.rear_edge_m + 1e-9
    return _BAR_THERE if there else _BAR_GONE


def _bar_front(saw: Saw) -> Message:
    bar = saw.plant.bar
    angle = degrees_of(bar.end_rad)
    if bar.corner_m > CORNER_SEEN_M:
        end = _BROKEN_END(corner=bar.corner_m, angle=angle)
    else:
        end = _SLANT_END(angle=angle) if bar.end_rad > SCALE_RAD else _SQUARE_END
    return sentences(end, *kerfs_in(bar))


def kerfs_in(bar: Bar, *, sawn: bool = False) -> tuple[Message, ...]:
    """Return what is to be seen of the kerfs that broken-off cuts left in the bar, a sentence each.

    Args:
        bar: The bar.
        sawn: Whether the band cuts in the one under it, so that it is not left, but gets deeper.
    """
    said: list[Message] = []
    for kerf in bar.kerfs.all:
        past_m = bar.rear_m + kerf.from_rear_m
        if kerf is bar.old_kerf:
            if sawn:
                continue
            said.append(_KERF_UNDER(depth=kerf.depth_m))
        else:
            where = _KERF_PAST if past_m > 0.0 else _KERF_BEHIND
            said.append(where(distance=abs(past_m), depth=kerf.depth_m))
    return tuple(said)


def _straight(saw: Saw) -> Message:
    bar = saw.plant.bar
    edge_m = min(STRAIGHTEDGE_M, bar.length_m)
    gap_m = rise_m(curvature_1_m(bar.bow_m), edge_m)
    return _STRAIGHT if gap_m < _LIGHT_M else _BOWED(edge=edge_m, gap=gap_m)


def _rollers(saw: Saw) -> Message:
    return _STIFF if saw.plant.shuttle.drag > saw.plant.site.machine.roller_drag else _FREE


def _support_arm(saw: Saw) -> Message:
    return _ARM(where=saw.plant.supports.arm)


_G: Final = Kind.GAUGE

BAR_LOOKS: Final[tuple[Inspection, ...]] = (
    way(
        "stop-play", "Try the length stop for play", "shuttle", 30, _stop_play,
        shows=("shuttle.stop_mm",),
    ),
    way(
        "length-stop", "Read the length stop against the card", "shuttle", 15, _reading, kind=_G,
        reads=("shuttle.stop_mm",),
    ),
    way(
        "jaw-gaps", "Look at the jaw gaps", "cutting_vise", 20, _jaws,
        reads=("cutting_vise.jaw_gap_mm", "shuttle_vise.jaw_gap_mm"), shows=("cutting_vise.jaw_gap_mm", "shuttle_vise.jaw_gap_mm"),
    ),
    way(
        "clamping-valves", "Read the settings of the clamping valves", "cutting_vise", 15, _clamping_valves,
        reads=("cutting_vise.pressure_bar", "shuttle_vise.pressure_bar"),
    ),
    way(
        "clamping-gauges", "Read the clamping gauges", "cutting_vise", 15, _gauges, kind=_G,
        shows=("cutting_vise.pressure_bar", "shuttle_vise.pressure_bar"),
    ),
    way("cutting-jaws", "Wipe the cutting jaws with a cloth", "cutting_vise", 60, _wipe),
    way("shuttle-jaws", "Wipe the shuttle jaws with a cloth", "shuttle_vise", 60, _wipe_shuttle),
    way(
        "bundle-clamp", "Look at the bundle clamp", "cutting_vise", 15, _clamp,
        reads=("cutting_vise.bundle_clamp",),
    ),
    way("bar-end", "Look where the bar ends", "shuttle", 15, _bar_end),
    way("bar-front", "Look at the front end of the bar, and for an old kerf", "cutting_vise", 15, _bar_front),
    way("bar-straight", "Sight along the bar, and hold a straightedge to its side", "shuttle", 40, _straight),
    way("infeed-rollers", "Turn the infeed rollers by hand", "shuttle", 40, _rollers),
    way(
        "support-arm", "Look at the support arm", "cutting_vise", 10, _support_arm,
        reads=("cutting_vise.support_arm",),
    ),
)  # fmt: skip
