"""Faults of the set-up: what a hand left wrong. The operator puts them right with the same hand."""

from collections.abc import Callable
from math import ceil, floor
from typing import Final

from sim.faults.fault import Family, Fault, Who, Wreck, fault
from sim.faults.forms import beyond, left, misset
from sim.plant.blade import FORWARD, INSIDE_OUT
from sim.plant.height_stop import HOME
from sim.plant.plant import Plant
from sim.plant.seat import RIGHT_M
from sim.plant.swivel import CLOSED
from sim.plant.vise import Vise
from sim.trade.mitre import kerf_along_m
from sim.trade.sections import Bundle
from sim.units import MM, MPA

CLEARANCE_M: Final = (
    8 * MM
)  # between the band and the bar with the head up; common practice, no source
_PAST_M: Final = 5 * MM  # how far the stop is run past a setting to take the play out
_HAIR_M: Final = 1e-6
_SEEN_M: Final = 0.3 * MM  # a stop that is off by less was not misread


def _notch_that_clears(wreck: Wreck) -> int:
    machine = wreck.plant.site.machine
    notch = ceil((wreck.plant.bar.height_m + CLEARANCE_M) / machine.notch_step_m - 1e-9)
    return min(notch, machine.notches)


def _stop_too_low(wreck: Wreck) -> None:
    machine = wreck.plant.site.machine
    notch = max(floor((wreck.plant.bar.height_m - _HAIR_M) / machine.notch_step_m), 1)
    wreck.plant.head.set_ring(notch, wreck.plant.head.height_stop.plunger)


def _too_low(wreck: Wreck) -> bool:
    head, machine = wreck.plant.head, wreck.plant.site.machine
    return head.height_stop.notch * machine.notch_step_m <= wreck.plant.bar.height_m


def _wind_up_from_below(wreck: Wreck) -> None:
    shuttle = wreck.plant.shuttle
    setting_m = shuttle.reading_m
    shuttle.wind_to(setting_m - _PAST_M)
    shuttle.wind_to(setting_m)


def _run_past_and_back(wreck: Wreck, setting_m: float | None = None) -> None:
    shuttle = wreck.plant.shuttle
    if setting_m is None:
        setting_m = shuttle.reading_m
    shuttle.wind_to(setting_m + _PAST_M)
    shuttle.wind_to(setting_m)


def _right_stop_m(wreck: Wreck) -> float:
    return float(wreck.right.get("shuttle.stop_mm", wreck.plant.shuttle.reading_m / MM)) * MM


def _leave_the_kerf_out(wreck: Wreck) -> None:
    along_m = kerf_along_m(wreck.plant.site.machine.kerf_m, wreck.plant.swivel.mitre_rad)
    _run_past_and_back(wreck, _right_stop_m(wreck) - along_m)


def _stop_is_off(wreck: Wreck) -> bool:
    return abs(wreck.plant.shuttle.reading_m - _right_stop_m(wreck)) > _SEEN_M


def _is_mitre(wreck: Wreck) -> bool:
    return wreck.plant.swivel.mitre_deg > 0.0


def _is_bundle(wreck: Wreck) -> bool:
    return isinstance(wreck.plant.bar.stock.section, Bundle)


_S, _O, _M = Family.SET_UP, Who.OPERATOR, Who.MAINTENANCE


def _jaw_far(
    name: str, title: str, changes: str, remedy: str, vise: Callable[[Plant], Vise]
) -> Fault:
    """Return the row of a jaw that its powered stroke does not bring to the bar."""

    def right_m(wreck: Wreck) -> float:
        gap_mm = wreck.right.get(f"{name.partition('-')[0]}_vise.jaw_gap_mm")
        return wreck.plant.site.machine.jaw_gap_m if gap_mm is None else float(gap_mm) * MM

    def mend(wreck: Wreck) -> None:
        jaw = vise(wreck.plant)
        if jaw.gap_m != right_m(wreck):  # it is slid only when it is fully back
            jaw.draw_back()
            jaw.slide_jaw(right_m(wreck))
            jaw.feel()

    return fault(
        name, title, _S, changes, remedy, _O, 1,
        apply=lambda w: vise(w.plant).slide_jaw(right_m(w) + w.plant.site.machine.powered_stroke_m),
        present=lambda w: vise(w.plant).gap_m > w.plant.site.machine.powered_stroke_m,
        mend=mend,
    )  # fmt: skip


def _loose_turns(wreck: Wreck) -> float:
    return 0.5 * wreck.plant.site.machine.clamp_screw_low


def _tight_turns(wreck: Wreck) -> float:
    return wreck.plant.site.machine.clamp_screw_high + 0.5


def _turn_again(wreck: Wreck) -> None:
    wreck.plant.blade.turn(FORWARD)
    wreck.plant.band.seat.refit()


def _set_clamp_screw(wreck: Wreck) -> None:
    wreck.plant.swivel.set_screw(wreck.plant.site.machine.clamp_screw_right)
    wreck.plant.swivel.set_lever(CLOSED)


SET_UP_ROWS: Final = (
    fault(
        "plunger-on-the-land", "Plunger of the height stop on the land", _S,
        "the spring plunger of the height stop rides on the land beside its notches, and the ring creeps down",
        "Put the ring back to its notch, and let the plunger snap in.",
        _O, 2,
        apply=lambda w: w.plant.head.ride_ring(w.plant.site.machine.ring_ridden),
        present=lambda w: w.plant.head.height_stop.plunger != HOME,
        mend=lambda w: w.plant.head.set_ring(w.plant.head.height_stop.notch, HOME),
    ),
    fault(
        "height-stop-low", "Height stop set too low for the bar", _S,
        "the ring of the height stop is set to a notch lower than the bar is high",
        "Set the ring to the lowest notch that clears the bar.",
        _O, 2,
        apply=_stop_too_low,
        present=_too_low,
        mend=lambda w: w.plant.head.set_ring(_notch_that_clears(w), w.plant.head.height_stop.plunger),
    ),
    fault(
        "stop-from-below", "Length stop approached from the wrong side", _S,
        "the length stop was wound up to its setting, so the play of its pinion is still in",
        "Wind the length stop past the setting and back to it.",
        _O, 1,
        apply=_wind_up_from_below,
        present=lambda w: w.plant.shuttle.short_m > _HAIR_M,
        mend=_run_past_and_back,
    ),
    fault(
        "length-without-kerf", "Length stop set without the kerf", _S,
        "the length stop stands at the length of the piece, and the kerf was not added",
        "Set the length stop to piece and kerf, as the card has it, past it and back.",
        _O, 1,
        apply=_leave_the_kerf_out,
        present=_stop_is_off,
        mend=lambda w: _run_past_and_back(w, _right_stop_m(w)),
    ),
    fault(
        "scale-zeroed-wrong", "Scale of the length stop zeroed on the wrong side of the band", _S,
        "the scale of the length stop was zeroed on the far side of the band, so it reads a kerf too much",
        "Measure a piece, and set the scale of the length stop to piece and kerf.",
        _O, 3,
        apply=lambda w: w.plant.shuttle.zero_scale(w.plant.site.machine.kerf_m),
        present=lambda w: w.plant.shuttle.scale_off_m != 0.0,
        mend=lambda w: w.plant.shuttle.zero_scale(0.0),
    ),
    _jaw_far(
        "cutting-jaw-far", "Cutting vise jaw left too far from the bar",
        "the hand-set jaw of the cutting vise stands further from the bar than its powered stroke",
        "Slide the cutting vise jaw to 4 mm from the bar.",
        lambda plant: plant.cutting_vise,
    ),
    _jaw_far(
        "shuttle-jaw-far", "Shuttle vise jaw left too far from the bar",
        "the hand-set jaw of the shuttle vise stands further from the bar than its powered stroke",
        "Slide the shuttle vise jaw to 4 mm from the bar.",
        lambda plant: plant.shuttle_vise,
    ),
    fault(
        "cutting-clamping-low", "Clamping of the cutting vise set too low", _S,
        "the clamping pressure of the cutting vise is set far under what the cut needs",
        "Set the clamping pressure of the cutting vise as the card has it.",
        _O, 1,
        **misset(
            "cutting_vise.pressure_bar", lambda right: 0.1 * right, lambda bar, right: bar < 0.6 * right
        ),
    ),
    fault(
        "cutting-clamping-high", "Clamping of the cutting vise set too high for the wall", _S,
        "the clamping pressure of the cutting vise is set harder than the wall of the bar can take",
        "Set the clamping pressure of the cutting vise as the card has it.",
        _O, 1,
        **misset("cutting_vise.pressure_bar", lambda _: 60, lambda bar, right: bar > 1.5 * right),
    ),
    fault(
        "shuttle-clamping-low", "Clamping of the shuttle vise set too low", _S,
        "the clamping pressure of the shuttle vise is set too low to pull the bar along",
        "Set the clamping pressure of the shuttle vise as the card has it.",
        _O, 1,
        **misset(
            "shuttle_vise.pressure_bar", lambda right: 0.1 * right, lambda bar, right: bar < 0.6 * right
        ),
    ),
    fault(
        "shuttle-clamping-high", "Clamping of the shuttle vise set too high for the wall", _S,
        "the clamping pressure of the shuttle vise is set harder than the wall of the bar can take",
        "Set the clamping pressure of the shuttle vise as the card has it.",
        _O, 1,
        **misset("shuttle_vise.pressure_bar", lambda _: 60, lambda bar, right: bar > 1.5 * right),
    ),
    fault(
        "guide-arm-far", "Guide arm left far from the bar", _S,
        "the guide arm stands far out, so the band spans much more than the bar is wide",
        "Slacken the arm, slide it to 10 mm from the bar, lock it.",
        _O, 2,
        **misset(
            "band.guide_span_mm", lambda right: right + 180, lambda span, right: span > right + 60
        ),
    ),
    fault(
        "guide-arm-slack", "Guide arm not locked", _S,
        "the lock of the guide arm is slack",
        "Slide the guide arm to 10 mm from the bar and lock it.",
        _O, 1,
        **left("band.guide_lock", "slack", "tight"),
    ),
    fault(
        "tension-low", "Band not tensioned enough", _S,
        "the hand screw of the band tension is set too low",
        "Tension the band to the middle of the green zone.",
        _O, 2,
        **beyond(
            "band.tension_mpa",
            lambda machine: 0.8 * machine.tension_low_pa / MPA,
            lambda mpa, machine: mpa * MPA < machine.tension_low_pa,
        ),
    ),
    fault(
        "tension-high", "Band tensioned too far", _S,
        "the hand screw of the band tension is set too high",
        "Slacken the band to the middle of the green zone.",
        _O, 2,
        **beyond(
            "band.tension_mpa",
            lambda machine: 1.1 * machine.tension_high_pa / MPA,
            lambda mpa, machine: mpa * MPA > machine.tension_high_pa,
        ),
    ),
    fault(
        "feed-valve-shut", "Feed valve fully shut", _S,
        "the feed valve of the head is fully shut",
        "Open the feed valve as the card has it.",
        _O, 1,
        **misset("head.feed_valve_mm_min", lambda _: 0, lambda mm_min, _: mm_min < 1),
    ),
    fault(
        "feed-valve-wide", "Feed valve open too far for the wall", _S,
        "the feed valve lets the head down faster than the teeth can take in a thin wall",
        "Set the feed valve as the card has it.",
        _O, 1,
        **misset(
            "head.feed_valve_mm_min", lambda _: 250, lambda mm_min, right: mm_min > 1.6 * right
        ),
    ),
    fault(
        "feed-force-low", "Feed force set too low", _S,
        "the feed relief lets the head press so little that the teeth hardly bite",
        "Set the feed force as the card has it.",
        _O, 1,
        **misset("head.feed_force_n", lambda right: 0.5 * right, lambda n, right: n < 0.6 * right),
    ),
    fault(
        "lift-throttle-shut", "Exhaust throttle of the lift nearly shut", _S,
        "the exhaust throttle of the lift is nearly shut, so the oil behind it carries the head",
        "Open the exhaust throttle as the card has it.",
        _O, 1,
        **beyond(
            "head.lift_throttle_turns",
            lambda machine: 0.2 * machine.throttle_open,
            lambda turns, machine: turns < machine.throttle_open,
        ),
    ),
    fault(
        "index-plunger-out", "Index plunger of the swivel not home", _S,
        "the index plunger was drawn out to swing the head, and rests on the rim of its bush",
        "Open the clamp lever, let the plunger snap home, and close the lever.",
        _O, 1,
        **left("head.index_plunger", "out", "home", lambda w: w.plant.swivel.at_index),
    ),
    fault(
        "clamp-lever-open", "Clamp lever of the swivel open", _S,
        "the clamp lever was left open",
        "Close the clamp lever.",
        _O, 1,
        **left("head.clamp_lever", "open", "closed", lambda w: not w.plant.swivel.screw_too_tight),
    ),
    fault(
        "clamp-screw-loose", "Setting screw of the clamp lever too far out", _S,
        "the setting screw of the clamp lever is so far out that the closed lever clamps nothing",
        "Open the lever, turn its setting screw in as the card has it, and close the lever.",
        _O, 3,
        apply=lambda w: w.plant.swivel.set_screw(_loose_turns(w)),
        present=lambda w: w.plant.swivel.screw_turns <= w.plant.site.machine.clamp_screw_low,
        mend=_set_clamp_screw,
    ),
    fault(
        "clamp-screw-tight", "Setting screw of the clamp lever too far in", _S,
        "the setting screw of the clamp lever is so far in that the lever does not close",
        "Turn the setting screw back as the card has it, and close the lever.",
        _O, 3,
        apply=lambda w: w.plant.swivel.set_screw(_tight_turns(w)),
        present=lambda w: w.plant.swivel.screw_too_tight,
        mend=_set_clamp_screw,
    ),
    fault(
        "back-rail-in-way", "Back rail not slid back for the mitre", _S,
        "the back rail of the outfeed stands where the band comes down in a mitre",
        "Slide the back rail back.",
        _O, 1,
        **left("outfeed.back_rail", "in place", "back", _is_mitre),
    ),
    fault(
        "bundle-clamp-up", "Bundle clamp left up", _S,
        "the bundle clamp is up, so the jaws hold the row of bars only through each other",
        "Swing the bundle clamp down on the bars.",
        _O, 1,
        **left("cutting_vise.bundle_clamp", "up", "down", _is_bundle),
    ),
    fault(
        "arm-left-up", "Support arm left up", _S,
        "the support arm of the cutting vise stands up in the way of the shuttle",
        "Fold the support arm away.",
        _O, 1,
        **left("cutting_vise.support_arm", "up", "folded"),
    ),
    fault(
        "guard-open", "Band guard left open", _S,
        "the band guard is open",
        "Close the band guard up to the guide arm.",
        _O, 1,
        **left("band.guard", "open", "closed"),
    ),
    fault(
        "wash-hose-open", "Wash-down hose left open", _S,
        "the valve of the wash-down hose is open, and takes coolant from the cut",
        "Shut the valve of the wash-down hose and mop the floor.",
        _O, 3,
        **left("coolant.wash_down", "open", "shut"),
    ),
    fault(
        "brush-backed-off", "Chip brush set too shallow", _S,
        "the chip brush does not reach into the gullets, so chips stay in them",
        "Set the chip brush so that it just sweeps the gullets.",
        _O, 3,
        **misset("band.brush_mm", lambda _: 0, lambda mm, right: mm < 0.4 * right),
    ),
    fault(
        "band-inside-out", "Band fitted inside out", _S,
        "the band was turned inside out when it was fitted, so its teeth point against their run",
        "Take the band off, turn it, and fit and seat it with the teeth forward; jog it until it tracks before it runs.",
        _O, 12,
        apply=lambda w: w.plant.blade.turn(INSIDE_OUT),
        present=lambda w: not w.plant.blade.cuts,
        mend=_turn_again,
    ),
    fault(
        "band-untracked", "Band not led clear of its flange", _S,
        "a band was put on and not led by jogs until it tracked, so its back is hard against a flange of its wheel",
        "Control on, head up, cover closed: jog the band in MAINTENANCE. Between two jogs, with the enabling device let go and the band at rest, lead it by the tracking screw from outside, until its back runs clear of the flanges.",
        _O, 5,
        apply=lambda w: w.plant.band.seat.lead(0.0),
        present=lambda w: w.plant.band.seat.rubs,
        mend=lambda w: w.plant.band.seat.lead(RIGHT_M),
        jogged=True,
    ),
)  # fmt: skip
