"""What a hand can set at the head: height stop, feed, bleed screw, swivel and outfeed fence."""

from typing import Final

from sim.plant.guide import LOCKS, TIGHT
from sim.plant.plant import Plant
from sim.plant.set_points.row import SetPoint, number
from sim.plant.swivel import FENCES, LEVERS
from sim.units import MM


def _held_fast(plant: Plant) -> str:
    if plant.swivel.locks == TIGHT:
        return "The pivot locks are tight. Slacken them first."
    return "The mitre lever is tight. Loosen it first." if plant.swivel.lever == TIGHT else ""


HEAD_ROWS: Final[tuple[SetPoint, ...]] = (
    SetPoint(
        "head.stop_hole", "head height stop: hole the collar is pinned at, one each 20 mm", "head",
        lambda p: p.head.hole,
        lambda p, v: p.head.pin(round(number(v)), through=p.head.pin_through),
        "", 1, 12, 1,
    ),
    SetPoint(
        "head.stop_pin", "head height stop: where the pin goes", "head",
        lambda p: "through" if p.head.pin_through else "under",
        lambda p, v: p.head.pin(p.head.hole, through=v == "through"),
        words=("through", "under"),
    ),
    SetPoint(
        "head.feed_valve_mm_min", "feed valve: fastest descent, 0 is fully shut", "head",
        lambda p: p.head.valve_m_s / MM * 60,
        lambda p, v: p.head.set_valve(number(v) * MM / 60),
        "mm/min", 0, 250, 1,
    ),
    SetPoint(
        "head.feed_force_n", "feed force, by the relief", "head",
        lambda p: p.head.force_n,
        lambda p, v: p.head.set_force(number(v)),
        "N", 50, 1500, 10,
    ),
    SetPoint(
        "head.bleed_turns", "bleed screw of the feed line: turns open", "head",
        lambda p: p.head.bleed_turns,
        lambda p, v: p.head.set_bleed(number(v)),
        "turns", 0, 3, 0.25,
    ),
    SetPoint(
        "head.mitre_deg", "mitre angle; 0 is a square cut", "head",
        lambda p: p.swivel.mitre_deg,
        lambda p, v: p.swing(number(v)),
        "deg", 0, 60, 1, blocked=_held_fast,
    ),
    SetPoint(
        "head.pivot_locks", "pivot locks: tight for square cuts, slack to swing", "head",
        lambda p: p.swivel.locks,
        lambda p, v: p.swivel.set_locks(str(v)),
        words=LOCKS,
    ),
    SetPoint(
        "head.mitre_lever", "mitre lever: tight before any cut", "head",
        lambda p: p.swivel.lever,
        lambda p, v: p.swivel.set_lever(str(v)),
        words=LEVERS,
    ),
    SetPoint(
        "head.outfeed_fence", "outfeed fence: back before a mitre", "head",
        lambda p: p.swivel.fence,
        lambda p, v: p.swivel.set_fence(str(v)),
        words=FENCES,
    ),
)  # fmt: skip
