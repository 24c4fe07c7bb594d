"""What a hand can set at the head: height stop, feed, bleed screw, swivel and outfeed fence."""

from typing import Final

from sim.plant.guide import LOCKS, TIGHT
from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, bare, choice, measure, number
from sim.plant.swivel import FENCES, LEVERS
from sim.units import MM
from sim.words.fields import mm_min, newtons
from sim.words.message import NOTHING, Message, plain

_LOCKS_TIGHT: Final = plain(
    "set-point.head.mitre-deg.locks-tight", "The pivot locks are tight. Slacken them first."
)
_LEVER_TIGHT: Final = plain(
    "set-point.head.mitre-deg.lever-tight", "The mitre lever is tight. Loosen it first."
)


def _held_fast(plant: Plant) -> Message:
    if plant.swivel.locks == TIGHT:
        return _LOCKS_TIGHT
    return _LEVER_TIGHT if plant.swivel.lever == TIGHT else NOTHING


HEAD_ROWS: Final[tuple[SetPoint, ...]] = (
    measure(
        "head.stop_hole", "head height stop: hole the collar is pinned at, one each 20 mm", "head",
        lambda p: p.head.hole,
        lambda p, v: p.head.pin(round(number(v)), through=p.head.pin_through),
        (bare(""), 1, 12, 1),
        scale=False,
    ),
    choice(
        "head.stop_pin", "head height stop: where the pin goes", "head",
        lambda p: "through" if p.head.pin_through else "under",
        lambda p, v: p.head.pin(p.head.hole, through=v == "through"),
        ("through", "under"),
    ),
    measure(
        "head.feed_valve_mm_min", "feed valve: fastest descent, 0 is fully shut", "head",
        lambda p: p.head.valve_m_s / MM * 60,
        lambda p, v: p.head.set_valve(number(v) * MM / 60),
        (mm_min(None), 0, 250, 1),
    ),
    measure(
        "head.feed_force_n", "feed force, by the relief", "head",
        lambda p: p.head.force_n,
        lambda p, v: p.head.set_force(number(v)),
        (newtons(None), 50, 1500, 10),
    ),
    measure(
        "head.bleed_turns", "bleed screw of the feed line: turns open", "head",
        lambda p: p.head.bleed_turns,
        lambda p, v: p.head.set_bleed(number(v)),
        (bare("turns"), 0, 3, 0.25),
        scale=False,
    ),
    measure(
        "head.mitre_deg", "mitre angle; 0 is a square cut", "head",
        lambda p: p.swivel.mitre_deg,
        lambda p, v: p.swing(number(v)),
        (bare("deg"), 0, 60, 1), _held_fast,
    ),
    choice(
        "head.pivot_locks", "pivot locks: tight for square cuts, slack to swing", "head",
        lambda p: p.swivel.locks,
        lambda p, v: p.swivel.set_locks(str(v)),
        LOCKS,
    ),
    choice(
        "head.mitre_lever", "mitre lever: tight before any cut", "head",
        lambda p: p.swivel.lever,
        lambda p, v: p.swivel.set_lever(str(v)),
        LEVERS,
    ),
    choice(
        "head.outfeed_fence", "outfeed fence: back before a mitre", "head",
        lambda p: p.swivel.fence,
        lambda p, v: p.swivel.set_fence(str(v)),
        FENCES,
    ),
)  # fmt: skip
