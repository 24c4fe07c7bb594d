"""Safe ways of doing things at the saw, one row each: none may cost care, time under exposure, or a pass.

A program that punishes what is right teaches that its warnings mean nothing.
"""

from typing import Final

from tests.safety.rows import MEMORY, PAGE, PRACTICE, SafeWay
from tests.safety.states import (
    BAND_RUNS,
    BAND_STOPS,
    CUTTING,
    HELD,
    ISOLATE,
    KEY_OUT,
    LOCKED_OUT,
    POWER,
    PROP,
    PROVE_DEAD,
    RAISED,
    RUNS_ON,
    WAY_BACK,
    locked_out,
)

_OUTSIDE: Final = "nothing is reached from where a gauge is read"
_CONSOLE: Final = "both hands are at the console"
_SETTING: Final = "29 CFR 1910.147(a)(2)(ii), setting with measures as good as a lock-out"
_DONE: Final = "29 CFR 1910.147(d), all six steps done in order"
_BACK: Final = "29 CFR 1910.147(e), the way back in order"
_GUARDED: Final = "ISO 14120, what is seen through a guard is not reached through it"
_DEAD: Final = "29 CFR 1910.333(b)(2)(iv), tested and dead"
_QUALIFIED: Final = "29 CFR 1910.333(c)(2), a qualified person may look and test at live parts"
_LOADING: Final = "29 CFR 1910.184(c)(9), everybody clear of the lifted load"

_VISES_OPEN: Final = ("hold cutting_vise.release 4", "hold shuttle_vise.release 4")
_OWN: Final = (
    *RAISED,
    *_VISES_OPEN,
    *PROP,
    *KEY_OUT,
)  # nothing moves, nothing can fall, the key is mine
_W = SafeWay

# fmt: off
_LOOKS: Final = (
    _W("air-gauge-read-in-the-cut", CUTTING, ("inspect air-gauge",), _OUTSIDE, PRACTICE, "It hangs on the wall side."),
    _W("oil-glass-read-in-the-cut", CUTTING, ("inspect oil-glass",), _OUTSIDE, PRACTICE, "A glass in the tank."),
    _W("oil-gauge-read-in-the-cut", CUTTING, ("inspect oil-pressure",), _OUTSIDE, PRACTICE, "Read and heard from where one stands."),
    _W("clamping-gauges-read-in-the-cut", CUTTING, ("inspect clamping-gauges",), _OUTSIDE, PRACTICE,
       "That clamping is still there is best looked at while it is needed."),
    _W("tension-gauge-read-with-the-band-running", BAND_RUNS, ("inspect tension-gauge",), _OUTSIDE, PRACTICE, "A dial outside the cover."),
    _W("speed-read-with-an-optical-tachometer", BAND_RUNS, ("inspect tachometer",), _OUTSIDE, PRACTICE, "A mark and a beam of light; no wheel is pressed on to a toothed band."),
    _W("coolant-watched-in-the-cut", CUTTING, ("inspect coolant-flow",), _GUARDED, MEMORY, "It is there only while it runs."),
    _W("teeth-counted-through-the-guard", BAND_RUNS + BAND_STOPS, ("inspect tooth-pitch",), _GUARDED, MEMORY, "Through the guard, with the band stopped."),
    _W("brush-looked-at-through-its-window", CUTTING, ("inspect brush",), _GUARDED, MEMORY, "The window is for that."),
    _W("guards-looked-at-in-the-cut", CUTTING, ("inspect guards",), _OUTSIDE, PRACTICE, "A look needs no hand."),
    _W("lamps-of-the-console-read-in-the-cut", CUTTING, ("inspect console-lamps", "lamps"), _CONSOLE, PRACTICE, "That is what they are for."),
    _W("stop-buttons-looked-at-in-the-cut", CUTTING, ("inspect buttons",), _OUTSIDE, PRACTICE, "Whoever knows where they stand reaches one sooner."),
    _W("walk-round-before-power", (), ("inspect walk-round",), _OUTSIDE, PRACTICE, "The first act of a shift."),
    _W("walk-round-in-the-cut", CUTTING, ("inspect walk-round",), _OUTSIDE, PRACTICE, "Round the saw, not into it."),
    _W("feed-settings-read-in-the-cut", CUTTING, ("inspect feed-settings",), _CONSOLE, PRACTICE, "The feed valve is at the console's side."),
    _W("feed-valve-turned-in-the-cut", CUTTING, ("set head.feed_valve_mm_min 30",), _CONSOLE, PRACTICE,
       "The feed is set while it cuts, from outside; that is how one listens to a band."),
    _W("last-piece-measured-at-the-bench", RAISED, ("inspect last-piece", "inspect caliper"), _SETTING, PRACTICE, "The piece is taken to the bench, and the band stands."),
)

_CONSOLE_WAYS: Final = (
    _W("speed-changed-with-the-band-running", BAND_RUNS, ("hold band.faster 0.5", "hold band.slower 0.5"), _CONSOLE, PRACTICE, "I13 wants it so."),
    _W("emergency-stop-pressed-in-the-cut-and-set-back", CUTTING,
       ("press supply.emergency_stop", "wait 10", "release supply.emergency_stop"), "ISO 13850", MEMORY,
       "Pressing a stop is never held against anybody."),
    _W("trip-line-pulled-in-the-cut-and-set-back", CUTTING,
       ("press supply.trip_line", "wait 10", "release supply.trip_line"), "ISO 13850", MEMORY,
       "Pressing a stop is never held against anybody."),
    _W("job-held-and-gone-on-with", HELD, ("palms job.unhold",), _CONSOLE, PRACTICE, "Both hands at the console."),
    _W("coolant-chosen-in-the-cut", CUTTING, ("tap coolant.on", "tap coolant.with_band"), _CONSOLE, PRACTICE, "A key."),
    _W("why-and-points-asked-in-the-cut", CUTTING, ("why head.lower", "points", "card", "look"), _CONSOLE, PRACTICE, "To ask is to stand still."),
    _W("tank-of-coolant-looked-into-with-control-off", (), ("inspect coolant-tank", "inspect refractometer"), _OUTSIDE, PRACTICE, "The tank stands beside the saw."),
)

_SET_UP: Final = (
    _W("guide-arm-set-with-the-band-stopped-and-the-key-in-my-pocket", _OWN,
       ("set band.guide_lock slack", "set band.guide_span_mm 85", "set band.guide_span_mm 80", "set band.guide_lock tight"),
       _SETTING, PAGE, "MANUAL, band at rest, nobody else has the key."),
    _W("guide-arm-set-with-the-isolator-off", (),
       ("set band.guide_lock slack", "set band.guide_span_mm 80", "set band.guide_lock tight"),
       _SETTING, PAGE, "As the saw is found: isolator off, head down on the bar."),
    _W("guide-arm-set-with-the-emergency-stop-in", ("press supply.emergency_stop", *POWER),
       ("set band.guide_lock slack", "set band.guide_lock tight"),
       _SETTING, PAGE, "Pressed in it stays in, and the head lies on the bar."),
    _W("guide-arm-set-while-another-presses-start-and-the-key-is-in-my-pocket", _OWN,
       ("set band.guide_lock slack", "set band.guide_span_mm 90"), _SETTING, PAGE, "Without the key no key starts anything.",
       others=((6.0, "press band.run"), (6.5, "press palm.left"), (6.5, "press palm.right"), (8.0, "release palm.left"),
               (8.0, "release palm.right"), (8.5, "release band.run"))),
    _W("jaws-set-with-the-key-in-my-pocket", _OWN,
       ("set cutting_vise.jaw_gap_mm 5", "set cutting_vise.jaw_gap_mm 4", "set shuttle_vise.jaw_gap_mm 5", "set shuttle_vise.jaw_gap_mm 4"),
       _SETTING, PAGE, "The head rests on its prop, and the vises stand."),
    _W("length-stop-wound-with-the-key-in-my-pocket", _OWN, ("set shuttle.stop_mm 240", "set shuttle.stop_mm 231.5"),
       _SETTING, PAGE, "Past it and back, from the side that is true."),
    _W("back-rail-slid-with-the-key-in-my-pocket", _OWN, ("set outfeed.back_rail back", "set outfeed.back_rail in place"),
       _SETTING, PAGE, "The band stands and stays."),
    _W("head-swung-propped-with-the-key-in-my-pocket", _OWN,
       ("set head.index_plunger out", "set head.clamp_lever open", "set head.mitre_deg 15", "set head.index_plunger home",
        "set head.clamp_lever closed"), _SETTING, PAGE, "Band at rest, head up and carried: a mitre has to be set somehow."),
    _W("bar-measured-under-the-propped-head", _OWN, ("inspect band-over-bar",), _SETTING, PAGE, "The head rests on its prop."),
    _W("bar-measured-with-the-head-down-on-it", (), ("inspect band-over-bar",), _SETTING, PAGE,
       "As the saw is found: the head lies on the bar and can come no further."),
    _W("clamping-pressure-set-in-manual", RAISED, ("set cutting_vise.pressure_bar 31",), _OUTSIDE, PRACTICE, "The valve sits on its block, not at the jaw."),
    _W("tension-set-with-the-isolator-off", (), ("set band.tension_mpa 230", "set band.tension_mpa 225"), _SETTING, PAGE,
       "From the side of the wheel, band at rest."),
    _W("stop-ring-set-in-manual-with-the-key-out", _OWN, ("set head.stop_notch 11", "set head.stop_notch 12"), _SETTING, PAGE,
       "The rod stands outside the swing."),
    _W("stop-ring-set-in-manual-with-the-head-at-rest", RAISED, ("set head.stop_notch 11", "set head.stop_plunger home"), _SETTING, PRACTICE,
       "Band and head stand, and the ring is out of reach of the band."),
    _W("stop-ring-set-while-the-job-is-held", HELD, ("set head.stop_notch 4",), _SETTING, PRACTICE,
       "Band and head stand, and the ring is out of reach of the band."),
    _W("last-piece-taken-while-the-job-is-held", HELD, ("inspect last-piece", "inspect caliper"), _SETTING, PRACTICE, "The band stands."),
    _W("last-piece-taken-as-the-head-sinks", (*RAISED, *ISOLATE, "wait 1"), ("inspect last-piece",), _SETTING, PRACTICE,
       "The piece lies past the head, and the band stands."),
    _W("last-piece-taken-with-the-job-done", (*RUNS_ON, *BAND_STOPS), ("inspect last-piece",), _SETTING, PRACTICE, "The band stands."),
    _W("bar-loaded-with-the-key-in-my-pocket", _OWN, ("load",), _LOADING, MEMORY,
       "Crane and roller way; nobody under the bar, and no one else has the key."),
    _W("prop-swung-in-and-loaded", RAISED, ("set head.feed_valve_mm_min 250", "set head.stop_notch 12", "hold head.raise 8",
       "set head.prop in", "hold head.lower 60"), "29 CFR 1910.147(d)(5)(i)", PAGE, "By its lever, from outside."),
    _W("floor-mopped-with-the-isolator-off", (), ("set coolant.wash_down shut", "set coolant.floor dry"), "29 CFR 1910.22(a)(2)", MEMORY,
       "Dry before anybody slips, with nothing running."),
    _W("air-set-at-the-regulator-in-manual", RAISED, ("set supply.air_bar 6",), _OUTSIDE, PRACTICE, "The regulator hangs outside."),
)

_LOCKED: Final = (
    _W("jaws-wiped-locked-out", LOCKED_OUT, ("inspect cutting-jaws", "fix cutting-jaws-oily"), _DONE, PAGE, "Nothing is left that could move."),
    _W("band-rocked-locked-out", LOCKED_OUT, ("inspect guide-inserts", "fix guides-worn"), _DONE, PAGE, "Nothing is left that could move."),
    _W("teeth-looked-at-locked-out", LOCKED_OUT, ("inspect band-teeth", "inspect pulley", "inspect washers"), _DONE, PAGE, "The cover was opened before the power went."),
    _W("band-changed-locked-out-and-let-down", LOCKED_OUT,
       ("set band.tension_mpa 0", "set band.seat coiled in gloves", "set band.seat new coil opened in gloves", "set band.teeth_per_inch 4", "set band.seat seated", "set band.tension_mpa 225"), _DONE, PAGE, "Let down first, tensioned last."),
    _W("band-changed-by-its-fix-let-down", LOCKED_OUT,
       ("set band.tension_mpa 0", "fix band-worn", "set band.tension_mpa 225"), _DONE, PAGE, "The same act as the set, and the same way."),
    _W("filter-changed-under-the-propped-head", LOCKED_OUT, ("fix lift-filter-clogged",), _DONE, PAGE, "The head rests on its prop, and no oil is under it."),
    _W("valve-exchanged-under-the-propped-head", LOCKED_OUT, ("swap Y12",), _DONE, PAGE, "The head rests on its prop, and no oil is under it."),
    _W("contactor-exchanged-dead-and-proved", (*LOCKED_OUT, *PROVE_DEAD), ("swap Q1",), _DEAD, MEMORY,
       "Meter proved, three phases and earth tested, meter proved again.", role="qualified"),
    _W("vise-opened-up-locked-out", LOCKED_OUT, ("fix cutting-vise-leaks",), _DONE, PAGE, "The gauges are at zero."),
    _W("bearings-changed-under-a-chocked-bar", LOCKED_OUT, ("fix rollers-stiff",), _DONE, PAGE, "The bar is chocked and stays."),
    _W("contactor-wire-mended-dead-and-proved", (*LOCKED_OUT, *PROVE_DEAD), ("fix contactor-dead",), _DEAD, MEMORY,
       "Meter proved, three phases and earth tested, meter proved again.", role="qualified"),
    _W("wire-metered-by-a-qualified-person", POWER, ("inspect meter B11", "inspect input-lamps"), _QUALIFIED, MEMORY,
       "Who is qualified may test at live parts with the right means.", role="qualified"),
    _W("lock-out-with-the-guards-open-before-the-power-goes", locked_out(), ("inspect guards",), _DONE, PAGE, "In this order the lock lets them open."),
    _W("lock-out-beside-the-lock-of-another", LOCKED_OUT, ("inspect guide-inserts",), "29 CFR 1910.147(f)(3)", PAGE,
       "Each has a lock of his own on it.", other_locks=("isolator", "air cock")),
    _W("start-tried-by-another-behind-my-locks", LOCKED_OUT, ("inspect guide-inserts",), _DONE, PAGE,
       "He presses, and nothing comes.",
       others=((60.0, "press supply.reset"), (60.5, "release supply.reset"), (61.0, "press supply.control_on"),
               (61.5, "release supply.control_on"), (62.0, "press band.run"), (62.2, "press palm.left"), (62.3, "press palm.right"),
               (64.0, "release band.run"), (64.0, "release palm.left"), (64.0, "release palm.right"))),
    _W("the-whole-way-back", LOCKED_OUT, WAY_BACK, _BACK, PAGE, "Inspect, clear, locks off, tell, restore."),
    _W("locked-out-twice-around-a-test", (*LOCKED_OUT, *WAY_BACK), locked_out(without=("power",)),
       "29 CFR 1910.147(f)(1)", PAGE, "All of it off for the test, and all of it on again."),
)
# fmt: on

SAFE: Final = (*_LOOKS, *_CONSOLE_WAYS, *_SET_UP, *_LOCKED)
