"""What a hand can set at the head: height stop, feed, throttle of the lift, swivel and back rail."""

from typing import Final

from sim.plant.head import PROP, PROP_IN
from sim.plant.height_stop import PLUNGER as STOP_PLUNGER
from sim.plant.lift import SCREW
from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, bare, between, choice, measure, number
from sim.plant.swivel import CLOSED, HOME, LEVER, OUT, PLUNGER, RAIL
from sim.units import MINUTE, MM
from sim.words.fields import mm_min, newtons
from sim.words.message import NOTHING, Message, plain

_PLUNGER_HOME: Final = plain(
    "set-point.head.mitre-deg.plunger-home", "The index plunger is home. Draw it out first."
)
_LEVER_CLOSED: Final = plain(
    "set-point.head.mitre-deg.lever-closed", "The clamp lever is closed. Open it first."
)
_NO_BUSH: Final = plain(
    "set-point.head.index-plunger.no-bush",
    "There is no bush for the plunger at this angle. Here the clamp lever alone holds the head.",
)
_TOO_TIGHT: Final = plain(
    "set-point.head.clamp-lever.too-tight",
    "The lever does not close: its setting screw is in too far. Turn it back first.",
)
_PROP_LOADED: Final = plain(
    "set-point.head.prop.loaded",
    "The head rests on the prop, and its weight holds it. Raise the head off it first.",
)
_NO_ROOM_FOR_PROP: Final = plain(
    "set-point.head.prop.too-low",
    "The prop does not go in under the head where it stands. Raise the head above it first.",
)
_STOP_UNDER_PROP: Final = plain(
    "set-point.head.prop.stop-too-low",
    "The prop does not go in under the head where it stands, and the height stop lets it no higher. Set the stop "
    "ring to its topmost notch, and raise the head above the prop.",
)
_MOST_STROKES: Final = 200.0
_OPEN_FIRST: Final = plain(
    "set-point.head.clamp-screw.lever-closed",
    "The clamp lever is closed, and its setting screw does not turn. Open the lever first.",
)


def _held_fast(plant: Plant) -> Message:
    if plant.swivel.plunger == HOME:
        return _PLUNGER_HOME
    return _LEVER_CLOSED if plant.swivel.lever == CLOSED else NOTHING


def _no_bush(plant: Plant) -> Message:
    swivel = plant.swivel
    return _NO_BUSH if swivel.plunger == OUT and not swivel.at_index else NOTHING


def _does_not_close(plant: Plant) -> Message:
    return _TOO_TIGHT if plant.swivel.screw_too_tight else NOTHING


def _screw_is_loaded(plant: Plant) -> Message:
    return _OPEN_FIRST if plant.swivel.lever == CLOSED else NOTHING


def _prop_stays(plant: Plant) -> Message:
    head = plant.head
    if head.prop == PROP_IN:
        return _PROP_LOADED if head.propped else NOTHING
    if head.above_prop:
        return NOTHING
    return _NO_ROOM_FOR_PROP if head.stop_m >= plant.site.machine.prop_m else _STOP_UNDER_PROP


HEAD_ROWS: Final[tuple[SetPoint, ...]] = (
    measure(
        "head.stop_notch", "height stop: notch that the ring is set to, counted from below", "head",
        lambda p: p.head.height_stop.notch,
        lambda p, v: p.head.set_ring(round(number(v)), p.head.height_stop.plunger),
        (bare(""), lambda m: (1.0, m.notches), 1),
        scale=False,
    ),
    choice(
        "head.stop_plunger", "height stop: the ring's spring plunger", "head",
        lambda p: p.head.height_stop.plunger,
        lambda p, v: p.head.set_ring(p.head.height_stop.notch, str(v)),
        STOP_PLUNGER,
    ),
    measure(
        "head.feed_valve_mm_min", "feed valve: fastest descent, 0 is fully shut", "head",
        lambda p: p.head.valve_m_s / MM * MINUTE,
        lambda p, v: p.head.set_valve(number(v) * MM / MINUTE),
        (mm_min(None), lambda m: (0.0, m.valve_high_m_s / MM * MINUTE), 1),
    ),
    measure(
        "head.feed_force_n", "feed force, by the feed relief valve", "head",
        lambda p: p.head.force_n,
        lambda p, v: p.head.set_force(number(v)),
        (newtons(None), lambda m: (m.force_low_n, m.force_high_n), 10),
    ),
    measure(
        "head.lift_throttle_turns", "exhaust throttle of the lift: turns open", "head",
        lambda p: p.head.lift.throttle_turns,
        lambda p, v: p.head.set_throttle(number(v)),
        (bare("turns"), lambda m: (0.0, m.throttle_high), 0.05),
        scale=False,
    ),
    measure(
        "head.mitre_deg", "mitre angle; 0 is a square cut", "head",
        lambda p: p.swivel.mitre_deg,
        lambda p, v: p.swing(number(v)),
        (bare("deg"), lambda m: (0.0, m.mitre_high_deg), 1), _held_fast,
    ),
    choice(
        "head.index_plunger", "index plunger of the swivel: home at each of its angles", "head",
        lambda p: p.swivel.plunger,
        lambda p, v: p.swivel.set_plunger(str(v)),
        PLUNGER, _no_bush,
    ),
    choice(
        "head.clamp_lever", "clamp lever of the swivel: closed before any cut", "head",
        lambda p: p.swivel.lever,
        lambda p, v: p.swivel.set_lever(str(v)),
        LEVER, _does_not_close,
    ),
    measure(
        "head.clamp_screw", "setting screw of the clamp lever: turns in", "head",
        lambda p: p.swivel.screw_turns,
        lambda p, v: p.swivel.set_screw(number(v)),
        (bare("turns"), lambda m: (0.0, m.clamp_screw_most), 0.25), _screw_is_loaded,
    ),
    choice(
        "outfeed.back_rail", "back rail of the outfeed: slid back before a mitre", "outfeed",
        lambda p: p.swivel.rail,
        lambda p, v: p.swivel.set_rail(str(v)),
        RAIL,
    ),
    choice(
        "head.prop", "prop of the head, swung in by its lever outside", "head",
        lambda p: p.head.prop,
        lambda p, v: p.head.swing_prop(str(v)),
        PROP, _prop_stays,
    ),
    choice(
        "head.oil_relief", "oil relief of the lift, a screw; open, the head comes down", "head",
        lambda p: p.head.lift.relief,
        lambda p, v: p.head.relieve(str(v)),
        SCREW,
    ),
    measure(
        "head.hand_pump", "hand pump of the lift: strokes", "head",
        lambda p: float(p.head.strokes),
        lambda p, v: p.head.pump_by_hand(round(number(v))),
        (bare("strokes"), between(0, _MOST_STROKES), 1),
        scale=False,
    ),
)  # fmt: skip
