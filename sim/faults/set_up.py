"""Faults of the set-up: what a hand left wrong. The operator puts them right with the same hand."""

from math import ceil, floor
from typing import Final

from sim.faults.fault import Family, Who, Wreck, fault
from sim.faults.forms import left, misset
from sim.trade.sections import Bundle
from sim.units import MM

CLEARANCE_M: Final = (
    8 * MM
)  # between the band and the bar with the head up; common practice, no source
_PAST_M: Final = 5 * MM  # how far the counter is run past a setting to take the backlash out
_HAIR_M: Final = 1e-6
_SEEN_M: Final = 0.3 * MM  # a counter that is off by less was not misread


def _hole_that_clears(wreck: Wreck) -> int:
    machine = wreck.plant.site.machine
    hole = ceil((wreck.plant.bar.height_m + CLEARANCE_M) / machine.hole_step_m - 1e-9)
    return min(hole, machine.holes)


def _pin_too_low(wreck: Wreck) -> None:
    machine = wreck.plant.site.machine
    hole = max(floor((wreck.plant.bar.height_m - _HAIR_M) / machine.hole_step_m), 1)
    wreck.plant.head.pin(hole, through=wreck.plant.head.pin_through)


def _too_low(wreck: Wreck) -> bool:
    head, machine = wreck.plant.head, wreck.plant.site.machine
    return head.hole * machine.hole_step_m <= wreck.plant.bar.height_m


def _turn_up_from_below(wreck: Wreck) -> None:
    shuttle = wreck.plant.shuttle
    setting_m = shuttle.counter_m
    shuttle.wind_to(setting_m - _PAST_M)
    shuttle.wind_to(setting_m)


def _run_past_and_back(wreck: Wreck, setting_m: float | None = None) -> None:
    shuttle = wreck.plant.shuttle
    if setting_m is None:
        setting_m = shuttle.counter_m
    shuttle.wind_to(setting_m + _PAST_M)
    shuttle.wind_to(setting_m)


def _right_counter_m(wreck: Wreck) -> float:
    return float(wreck.right.get("shuttle.counter_mm", wreck.plant.shuttle.counter_m / MM)) * MM


def _leave_the_kerf_out(wreck: Wreck) -> None:
    _run_past_and_back(wreck, _right_counter_m(wreck) - wreck.plant.site.machine.kerf_m)


def _counter_is_off(wreck: Wreck) -> bool:
    return abs(wreck.plant.shuttle.counter_m - _right_counter_m(wreck)) > _SEEN_M


def _is_square(wreck: Wreck) -> bool:
    return wreck.plant.swivel.mitre_deg == 0.0


def _is_mitre(wreck: Wreck) -> bool:
    return wreck.plant.swivel.mitre_deg > 0.0


def _is_bundle(wreck: Wreck) -> bool:
    return isinstance(wreck.plant.bar.stock.section, Bundle)


_S, _O, _M = Family.SET_UP, Who.OPERATOR, Who.MAINTENANCE

SET_UP_ROWS: Final = (
    fault(
        "pin-under-collar", "Height-stop pin under the collar", _S,
        "the pin of the head height stop is under the collar instead of through it",
        "Set the collar down and push the pin through it.",
        _O, 2, False,
        apply=lambda w: w.plant.head.pin(w.plant.head.hole, through=False),
        present=lambda w: not w.plant.head.pin_through,
        mend=lambda w: w.plant.head.pin(w.plant.head.hole, through=True),
    ),
    fault(
        "height-stop-low", "Height stop set too low for the bar", _S,
        "the collar of the head height stop is pinned at a hole lower than the bar is high",
        "Pin the collar at the lowest hole that clears the bar.",
        _O, 2, False,
        apply=_pin_too_low,
        present=_too_low,
        mend=lambda w: w.plant.head.pin(_hole_that_clears(w), through=w.plant.head.pin_through),
    ),
    fault(
        "counter-from-below", "Length counter approached from the wrong side", _S,
        "the length counter was turned up to its setting, so the backlash of its screw is still in",
        "Run the counter past the setting and back to it.",
        _O, 1, False,
        apply=_turn_up_from_below,
        present=lambda w: w.plant.shuttle.counter_m - w.plant.shuttle.stop_m > _HAIR_M,
        mend=_run_past_and_back,
    ),
    fault(
        "length-without-kerf", "Length counter set without the kerf", _S,
        "the length counter stands at the length of the piece, and the kerf was not added",
        "Set the counter to piece and kerf, as the card has it, past it and back.",
        _O, 1, False,
        apply=_leave_the_kerf_out,
        present=_counter_is_off,
        mend=lambda w: _run_past_and_back(w, _right_counter_m(w)),
    ),
    fault(
        "cutting-jaw-far", "Cutting vise jaw left too far from the bar", _S,
        "the hand-slid jaw of the cutting vise stands further from the bar than its powered stroke",
        "Slide the cutting vise jaw to within 6 mm of the bar.",
        _O, 1, False,
        **misset("cutting_vise.jaw_gap_mm", lambda right: right + 10, lambda gap, _: gap > 8),
    ),
    fault(
        "shuttle-jaw-far", "Shuttle vise jaw left too far from the bar", _S,
        "the hand-slid jaw of the shuttle vise stands further from the bar than its powered stroke",
        "Slide the shuttle vise jaw to within 6 mm of the bar.",
        _O, 1, False,
        **misset("shuttle_vise.jaw_gap_mm", lambda right: right + 10, lambda gap, _: gap > 8),
    ),
    fault(
        "cutting-grip-low", "Cutting vise grip set too low", _S,
        "the grip pressure of the cutting vise is set far under what the cut wants",
        "Set the grip pressure of the cutting vise as the card has it.",
        _O, 1, False,
        **misset(
            "cutting_vise.pressure_bar", lambda right: 0.1 * right, lambda bar, right: bar < 0.6 * right
        ),
    ),
    fault(
        "cutting-grip-high", "Cutting vise grip set too high for the wall", _S,
        "the grip pressure of the cutting vise is set harder than the wall of the bar stands",
        "Set the grip pressure of the cutting vise as the card has it.",
        _O, 1, False,
        **misset("cutting_vise.pressure_bar", lambda _: 60, lambda bar, right: bar > 1.5 * right),
    ),
    fault(
        "shuttle-grip-low", "Shuttle vise grip set too low", _S,
        "the grip pressure of the shuttle vise is set too low to pull the bar along",
        "Set the grip pressure of the shuttle vise as the card has it.",
        _O, 1, False,
        **misset(
            "shuttle_vise.pressure_bar", lambda right: 0.1 * right, lambda bar, right: bar < 0.6 * right
        ),
    ),
    fault(
        "guide-arm-far", "Guide arm left far from the bar", _S,
        "the guide arm stands far out, so the band spans much more than the bar is wide",
        "Slacken the arm, slide it to 10 mm from the bar, lock it.",
        _O, 2, False,
        **misset(
            "band.guide_span_mm", lambda right: right + 180, lambda span, right: span > right + 60
        ),
    ),
    fault(
        "guide-arm-slack", "Guide arm not locked", _S,
        "the lock of the guide arm is slack",
        "Slide the guide arm to 10 mm from the bar and lock it.",
        _O, 1, False,
        **left("band.guide_lock", "slack", "tight"),
    ),
    fault(
        "tension-low", "Band not tensioned enough", _S,
        "the hand screw of the band tension is set too low",
        "Draw the band to the middle of the green field.",
        _O, 2, False,
        **misset("band.tension_mpa", lambda _: 120, lambda mpa, _: mpa < 150),
    ),
    fault(
        "feed-valve-shut", "Feed valve fully shut", _S,
        "the feed valve of the head is fully shut",
        "Open the feed valve as the card has it.",
        _O, 1, False,
        **misset("head.feed_valve_mm_min", lambda _: 0, lambda mm_min, _: mm_min < 1),
    ),
    fault(
        "feed-valve-wide", "Feed valve open too far for the wall", _S,
        "the feed valve lets the head down faster than the teeth stand in a thin wall",
        "Set the feed valve as the card has it.",
        _O, 1, False,
        **misset(
            "head.feed_valve_mm_min", lambda _: 250, lambda mm_min, right: mm_min > 1.6 * right
        ),
    ),
    fault(
        "feed-force-low", "Feed force set too low", _S,
        "the relief of the head lets it press so little that the teeth hardly bite",
        "Set the feed force as the card has it.",
        _O, 1, False,
        **misset("head.feed_force_n", lambda right: 0.3 * right, lambda n, right: n < 0.6 * right),
    ),
    fault(
        "bleed-screw-shut", "Bleed screw of the feed line fully shut", _S,
        "the bleed screw of the feed line is shut, so air in the line makes the head stick and slip",
        "Open the bleed screw one turn.",
        _O, 1, False,
        **misset("head.bleed_turns", lambda _: 0, lambda turns, _: turns < 0.25),
    ),
    fault(
        "pivot-locks-slack", "Pivot locks of the head slack", _S,
        "the pivot locks were slackened to swing the head, and not tightened for the square cut",
        "Tighten the pivot locks.",
        _O, 1, False,
        **left("head.pivot_locks", "slack", "tight", _is_square),
    ),
    fault(
        "mitre-lever-loose", "Mitre lever loose", _S,
        "the mitre lever was left loose",
        "Tighten the mitre lever.",
        _O, 1, False,
        **left("head.mitre_lever", "loose", "tight"),
    ),
    fault(
        "fence-in-way", "Outfeed fence not slid back for the mitre", _S,
        "the outfeed fence stands where the band comes down in a mitre",
        "Slide the outfeed fence back.",
        _O, 1, False,
        **left("head.outfeed_fence", "in place", "back", _is_mitre),
    ),
    fault(
        "bundle-clamp-up", "Bundle clamp left up", _S,
        "the bundle clamp is up, so the jaws hold the row of bars only through each other",
        "Swing the bundle clamp down on the bars.",
        _O, 1, False,
        **left("cutting_vise.bundle_clamp", "up", "down", _is_bundle),
    ),
    fault(
        "roller-left-in", "Support roller left in the infeed", _S,
        "the loose support roller stands in the way of the shuttle",
        "Take the support roller out.",
        _O, 1, False,
        **left("shuttle.support_roller", "in", "out"),
    ),
    fault(
        "guard-open", "Band guard left open", _S,
        "the band guard is open",
        "Close the band guard up to the guide arm.",
        _O, 1, False,
        **left("band.guard", "open", "closed"),
    ),
    fault(
        "wash-hose-open", "Wash-down hose left open", _S,
        "the valve of the wash-down hose is open, and takes coolant from the cut",
        "Shut the valve of the wash-down hose and mop the floor.",
        _O, 3, False,
        **left("coolant.wash_down", "open", "shut"),
    ),
    fault(
        "brush-backed-off", "Chip brush set too shallow", _S,
        "the chip brush does not reach into the gullets, so chips stay in them",
        "Set the chip brush so that it just sweeps the gullets.",
        _O, 3, True,
        **misset("band.brush_mm", lambda _: 0, lambda mm, right: mm < 0.4 * right),
    ),
    fault(
        "band-inside-out", "Band fitted inside out", _S,
        "the band was turned inside out when it was fitted, so its teeth point against their run",
        "Take the band off, turn it, and fit it with the teeth forward.",
        _O, 12, True,
        **left("band.teeth_face", "inside out", "forward"),
    ),
)  # fmt: skip
