"""Unsafe acts at the saw, one row each: the state, the act, what must follow, by what rule, and why.

Left out, because no program can see it: gloves, sleeves, hair, rings, eyes and ears; they are told as
cautions and are no rows here.
"""

from typing import Final

from tests.safety.rows import (
    MEMORY,
    PAGE,
    PRACTICE,
    Exposure,
    Others,
    Refusal,
    Strike,
    UnsafeAct,
)
from tests.safety.states import (
    ARM_LOOSE,
    BAND_DOWN,
    BAND_RUNS,
    COVER_OPEN,
    CUTTING,
    GUARD_OPEN,
    HELD,
    ISOLATE,
    KEY_OUT,
    LOCK,
    LOCKED_OUT,
    POWER,
    PROVE_DEAD,
    RAISED,
    RAISING,
    RUNS_ON,
    SUNK,
    SWIVEL_LOOSE,
    TELL,
    VENT,
    WHOLE,
    locked_out,
)

# The rules, each once.
_POINT: Final = "29 CFR 1910.212(a)(3)(ii), the point of operation is guarded"
_SAW: Final = "ISO 16093, guards of the band outside the cut"
_WHEELS: Final = "29 CFR 1910.219(d), (e), pulleys and belts are guarded"
_LOCKED_GUARD: Final = "ISO 14119, guard locking where the stop outlasts the reach"
_SETTING: Final = "29 CFR 1910.147(a)(2)(ii), setting needs a lock-out or measures as good as one"
_SERVICE: Final = "29 CFR 1910.147(a)(2)(ii)(A), servicing where a guard is opened needs a lock-out"
_STARTS: Final = "ISO 14118, prevention of unexpected start-up"
_OTHERS: Final = "ISO 12100, a start while somebody is in the danger zone"
_STOP: Final = "ISO 13850, an emergency stop is no substitute for isolating"
_CONTROLS: Final = "29 CFR 1910.147(b), push buttons and selector switches do not isolate"
_TOLD: Final = "29 CFR 1910.147(c)(9), affected people are told"
_SHUT_DOWN: Final = "29 CFR 1910.147(d)(2), shut down in an orderly way"
_ISOLATED: Final = "29 CFR 1910.147(d)(3), every isolating device is operated"
_PADLOCK: Final = "29 CFR 1910.147(d)(4)(i), a lock on every isolating device"
_STORED: Final = "29 CFR 1910.147(d)(5)(i), stored energy is relieved or restrained"
_AGAIN: Final = "29 CFR 1910.147(d)(5)(ii), where energy can build up again it is verified again"
_VERIFIED: Final = "29 CFR 1910.147(d)(6), isolation is verified before work begins"
_REMOVED: Final = "29 CFR 1910.147(e)(3), a lock comes off by whoever put it on"
_TESTING: Final = "29 CFR 1910.147(f)(1), after testing with power the lock-out is done again"
_GROUP: Final = "29 CFR 1910.147(f)(3)(ii)(D), each person has a lock of his own on it"
_GRAVITY: Final = "ISO 14118, gravity is an energy that a stop leaves"
_OIL: Final = "ISO 4413, pressure is let out before a hydraulic part is opened"
_AIR: Final = "ISO 4414, the supply of air is shut off, vented and locked"
_LIVE: Final = "29 CFR 1910.333(a)(1), live parts are made dead before work on them"
_QUALIFIED: Final = "29 CFR 1910.333(c)(2), only qualified persons work at live parts"
_TESTED: Final = "29 CFR 1910.333(b)(2)(iv)(B), a qualified person tests that it is dead"
_ENCLOSED: Final = "29 CFR 1910.303(g)(2)(i), live parts of 50 V and more are guarded"
_MODE: Final = "IEC 60204-1, 9.2.3.5, a mode selector that can be secured"
_CLEAN: Final = "nobody mops or sweeps beside a machine that runs by itself"
_TENSION: Final = "the band is tensioned with the drive off, from the side of the wheel"
_COMING: Final = "IEC 60204-1, 7.5, and ISO 14118: what comes back starts nothing, and is expected"


def _worked(vise: str, start_s: float, end_s: float) -> Others:
    """Return a second person who clamps and releases a vise by turns."""
    lines = [f"press {vise}.clamp", f"release {vise}.clamp", f"press {vise}.release", f"release {vise}.release"]  # fmt: skip
    return tuple(
        (start_s + 0.75 * step, lines[step % 4]) for step in range(int((end_s - start_s) / 0.75))
    )


_RUN_BY_ANOTHER: Final = ("press band.run", "release band.run", "press palm.left", "press palm.right", "release palm.left", "release palm.right")  # fmt: skip


def _at(seconds: float, *lines: str) -> Others:
    return tuple((seconds + 0.05 * place, line) for place, line in enumerate(lines))


_SLOW_TO_STOP: Final = {"band": {"coast_s": 30}}  # an older saw, without a brake
_U = UnsafeAct

# fmt: off
_BAND: Final = (
    _U("guide-lock-slackened-in-the-cut", "band", "moving", CUTTING, ("set band.guide_lock slack",),
       Strike(), _POINT, MEMORY, "The lock sits at the arm, a hand's breadth from the running band."),
    _U("guide-arm-slid-along-the-running-band", "band", "moving",
       (*ARM_LOOSE, *BAND_RUNS), ("set band.guide_span_mm 90",),
       Strike(), _SAW, MEMORY, "Sliding the arm bares the band on one side of it."),
    _U("guide-arm-measured-in-the-cut", "band", "moving", CUTTING, ("inspect guide-arm",),
       Strike(), _POINT, MEMORY, "A rule held between bar and arm is in the teeth at once."),
    _U("guide-arm-pushed-in-the-cut", "band", "moving", CUTTING, ("inspect arm-lock",),
       Strike(), _POINT, MEMORY, "Whoever pushes at the arm falls towards the band when it gives."),
    _U("band-rocked-in-its-guides-while-it-runs", "band", "moving", BAND_RUNS, ("inspect guide-inserts",),
       Strike(), _POINT, MEMORY, "The hand is on the band itself."),
    _U("nozzle-cleared-at-the-running-band", "band", "moving", CUTTING, ("fix nozzle-blocked",),
       Strike(), _POINT, MEMORY, "The nozzle ends at the teeth."),
    _U("brush-set-in-the-cut", "band", "moving", CUTTING, ("fix brush-backed-off",),
       Strike(), _SAW, MEMORY, "The brush stands in the band's way; that is what it is for."),
    _U("guide-lock-slackened-as-the-band-coasts", "band", "moving",
       (*BAND_RUNS, "tap band.stop", "wait 2"), ("set band.guide_lock slack",),
       Strike(), "ISO 13855, the stop outlasts the reach", MEMORY, "A stopped motor is no stopped band.",
       machine=_SLOW_TO_STOP),
    _U("guide-arm-measured-as-the-band-coasts-from-an-emergency-stop", "band", "moving",
       (*BAND_RUNS, "press supply.emergency_stop", "wait 2"), ("inspect guide-arm",),
       Strike(), "ISO 13850, a category 0 stop lets the machine coast", MEMORY,
       "Nothing drives the band any more, and it cuts all the same.", machine=_SLOW_TO_STOP),
    _U("guide-arm-measured-as-the-band-coasts-with-the-isolator-off", "band", "moving",
       (*BAND_RUNS, *ISOLATE, "wait 2"), ("inspect guide-arm",),
       Strike(), _STORED, PAGE, "Turning wheels are stored energy; the isolator does not take it off.",
       machine=_SLOW_TO_STOP),
    _U("forced-contactor-and-isolator-off-and-hands-at-once", "band", "moving",
       (*BAND_RUNS, "force Q1 on", *ISOLATE, "wait 2"), ("inspect guide-arm",),
       Strike(), _STORED, PAGE, "The force moves nothing; the wheels still do.", machine=_SLOW_TO_STOP),
    _U("guide-lock-slackened-while-the-band-runs-on", "band", "moving", RUNS_ON, ("set band.guide_lock slack",),
       Strike(), _POINT, MEMORY, "The job says COMPLETE, and the band runs on."),
    _U("guard-forced-and-nozzle-cleared", "band", "moving",
       (*GUARD_OPEN, "force B41 on", "palms band.run", "wait 5"),
       ("fix nozzle-blocked",),
       Strike(), "ISO 14119, a safeguard is not defeated", MEMORY,
       "With the guard's wire forced the band runs bare."),
    _U("band-run-by-another-while-hands-rock-it", "band", "begins later", RAISED, ("inspect guide-inserts",),
       Strike(), _OTHERS, MEMORY, "Two palm keys say where one person's hands are, not whose else.",
       others=_at(60, *_RUN_BY_ANOTHER)),
    _U("guides-handled-with-no-more-than-the-key-in-my-pocket", "band", "can come", (*RAISED, *KEY_OUT),
       ("inspect guide-inserts",),
       Exposure(60), _OTHERS, MEMORY, "The key keeps the starts away; who works in the guides needs the energy off.",
       others=_at(60, *_RUN_BY_ANOTHER)),
    _U("emergency-stop-set-back-by-another", "band", "begins later",
       (*RAISED, "press supply.emergency_stop", *SUNK), ("inspect guide-inserts",),
       Strike(), _STOP, MEMORY, "A stop without a lock is set back by whoever wants to go on.",
       others=_at(60, "release supply.emergency_stop", "press supply.reset", "release supply.reset",
                  "press supply.control_on", "release supply.control_on", *_RUN_BY_ANOTHER)),
    _U("isolator-switched-on-by-another", "band", "begins later", (*RAISED, *ISOLATE, *SUNK),
       ("inspect guide-inserts",),
       Strike(), _PADLOCK, PAGE, "An isolator without a padlock is a switch like any other.",
       lacks="isolator not locked",
       others=_at(60, "press supply.isolator", "press supply.reset", "release supply.reset",
                  "press supply.control_on", "release supply.control_on", *_RUN_BY_ANOTHER)),
    _U("guide-arm-slid-with-the-key-in-the-switch", "band", "can come", (*ARM_LOOSE, *RAISED),
       ("set band.guide_span_mm 90",),
       Exposure(2), _SETTING, PAGE, "The band stands, and one start key sets it going."),
    _U("guide-lock-slackened-while-a-job-is-held", "band", "can come", HELD, ("set band.guide_lock slack",),
       Exposure(1), _SETTING, PAGE, "A held job is a job: it waits for two palm keys."),
    _U("guide-lock-slackened-behind-the-trip-line", "band", "can come",
       (*RAISED, "press supply.trip_line", "wait 5"), ("set band.guide_lock slack",),
       Exposure(1), _CONTROLS, PAGE, "The trip line leaves control power on, and vises and head may move."),
    _U("guide-lock-slackened-behind-a-forced-trip-line", "band", "can come",
       (*RAISED, "force S2 on", "press supply.trip_line", "wait 5"), ("set band.guide_lock slack",),
       Exposure(1), _CONTROLS, PAGE, "The controller believes that the line is home."),
    _U("band-rocked-in-its-guides-behind-an-emergency-stop", "band", "can come",
       (*RAISED, "press supply.emergency_stop", *SUNK), ("inspect guide-inserts",),
       Exposure(60), _CONTROLS, PAGE, "An emergency stop is a control device and isolates nothing.", lacks="none begun"),
    _U("band-rocked-in-its-guides-with-the-isolator-off", "band", "can come", (*RAISED, *ISOLATE, *SUNK),
       ("inspect guide-inserts",),
       Exposure(60), _PADLOCK, PAGE, "Off is not locked.", lacks="isolator not locked"),
)

_WHEEL_ROWS: Final = (
    _U("cover-opened-for-the-teeth-while-the-band-runs", "wheels", "moving", BAND_RUNS,
       ("set band.wheel_cover open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "The cover is locked until the band stands."),
    _U("guard-opened-while-the-band-runs", "band", "moving", BAND_RUNS, ("set band.guard open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "The guard is locked until the band stands."),
    _U("cover-opened-as-the-band-coasts", "wheels", "moving", (*BAND_RUNS, "tap band.stop", "wait 1"),
       ("set band.wheel_cover open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "Three seconds at full speed are metres of teeth."),
    _U("guard-opened-as-an-old-saw-coasts", "band", "moving", (*BAND_RUNS, "tap band.stop", "wait 20"),
       ("set band.guard open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "What counts is the band, not the time since the key.", machine=_SLOW_TO_STOP),
    _U("guard-opened-as-the-band-coasts-without-power", "band", "moving", (*BAND_RUNS, *ISOLATE, "wait 2"),
       ("set band.guard open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "Without power the lock stays as it was: shut.", machine=_SLOW_TO_STOP),
    _U("guard-that-was-shut-opened-after-isolating", "band", "can come", (*RAISED, *ISOLATE, "wait 60"),
       ("set band.guard open",),
       Refusal(), _LOCKED_GUARD, MEMORY, "The lock is released by power at standstill, so it is opened before."),
    _U("tension-screw-turned-while-the-band-runs", "wheels", "moving", BAND_RUNS, ("set band.tension_mpa 240",),
       Strike(), _TENSION, PRACTICE, "If the band parts or leaves its wheels, a hand is at the wheel."),
    _U("band-jogged-by-another-behind-the-open-cover", "wheels", "begins later",
       (*COVER_OPEN, "turn maintenance"), ("inspect washers",),
       Strike(), _OTHERS, MEMORY, "In MAINTENANCE the cover may be open, and the band jogs.",
       lacks="none begun",
       others=((100.0, "press enable"), (100.3, "press band.run"), (101.0, "release band.run"), (101.3, "release enable"))),
    _U("band-changed-with-control-on", "wheels", "can come", COVER_OPEN,
       ("set band.tension_mpa 0", "set band.seat coiled in gloves", "set band.seat new coil opened in gloves", "set band.teeth_per_inch 6"),
       Exposure(30), _SERVICE, PAGE, "Both hands round both wheels, and the drive has power.", lacks="none begun"),
    _U("band-changed-with-the-key-in-my-pocket", "wheels", "can come",
       (*COVER_OPEN, *KEY_OUT), ("set band.tension_mpa 0", "set band.seat coiled in gloves", "set band.seat new coil opened in gloves", "set band.teeth_per_inch 6"),
       Exposure(30), _SERVICE, PAGE, "A key in a pocket is enough for setting, not for taking the saw apart.",
       lacks="none begun"),
    _U("band-turned-with-the-isolator-off-only", "wheels", "can come",
       (*COVER_OPEN, *ISOLATE, *SUNK), ("set band.tension_mpa 0", "set band.seat coiled in gloves", "set band.teeth_face inside out"),
       Exposure(30), _PADLOCK, PAGE, "Off is not locked, and oil and air are up.", lacks="isolator not locked"),
    _U("teeth-looked-at-behind-the-open-cover-with-power", "wheels", "can come",
       (*COVER_OPEN, *KEY_OUT), ("inspect band-teeth",),
       Exposure(30), _SERVICE, PAGE, "Three minutes with the head in the wheel case.", lacks="none begun"),
    _U("new-band-by-its-fix-without-lock-out", "wheels", "can come",
       (*BAND_DOWN, *KEY_OUT), ("fix band-worn",),
       Exposure(60), _SERVICE, PAGE, "The same act as the set, and so the same demand.", lacks="none begun"),
    _U("band-lifted-off-its-wheels-under-tension", "wheels", "let loose", LOCKED_OUT,
       ("set band.seat coiled in gloves",),
       Strike(), _STORED, PAGE, "A tensioned band is a spring; let down first, it is a coil.", lacks="spring"),
    _U("new-band-by-its-fix-under-tension", "wheels", "let loose", LOCKED_OUT, ("fix band-worn",),
       Strike(), _STORED, PAGE, "The same act as the set, and so the same strike.", lacks="spring"),
    _U("washers-changed-under-tension", "wheels", "let loose", LOCKED_OUT, ("fix washers-weak",),
       Strike(), _STORED, PAGE, "The washers are what keeps the band drawn.", lacks="spring"),
    _U("teeth-looked-at-through-a-cover-that-is-shut", "wheels", "can come", locked_out(without=("open",)),
       ("inspect band-teeth",),
       Refusal(), _WHEELS, MEMORY, "The cover is locked without power, and nobody sees through it."),
    _U("band-changed-behind-a-cover-that-is-shut", "wheels", "can come", locked_out(without=("open",)),
       ("fix band-worn",),
       Refusal(), _WHEELS, MEMORY, "The same act as the set, and so the same lock."),
)

_CUTTING_JAWS: Final = (
    _U("cutting-jaws-wiped-while-the-job-indexes", "cutting_jaws", "begins later", RAISING,
       ("inspect cutting-jaws",),
       Strike(), _POINT, MEMORY, "The jaws close by themselves a few seconds after the head is up."),
    _U("cutting-jaw-worked-by-another-while-it-is-wiped", "cutting_jaws", "begins later", RAISED,
       ("inspect cutting-jaws",),
       Strike(), _OTHERS, MEMORY, "The key that closes it is at the console, and so is he.",
       others=_worked("cutting_vise", 15, 55)),
    _U("cutting-jaw-slid-while-another-clamps", "cutting_jaws", "begins later", (*RAISED, "hold cutting_vise.release 4"),
       ("set cutting_vise.jaw_gap_mm 5",),
       Strike(), _OTHERS, MEMORY, "A jaw is slid with the fingers in its gap.", others=_worked("cutting_vise", 2, 30)),
    _U("cutting-jaw-slid-with-the-key-in-the-switch", "cutting_jaws", "can come",
       (*RAISED, "hold cutting_vise.release 4"), ("set cutting_vise.jaw_gap_mm 5",),
       Exposure(2), _SETTING, PAGE, "The oil pump runs, and one key closes the jaw."),
    _U("clamped-jaws-wiped-with-control-on", "cutting_jaws", "can come", (*RAISED, "hold cutting_vise.clamp 4"),
       ("inspect cutting-jaws",),
       Exposure(20), _SERVICE, PAGE, "Sixty bar stand behind the jaw.", lacks="none begun"),
    _U("cutting-jaws-wiped-behind-an-emergency-stop", "cutting_jaws", "can come",
       (*RAISED, "press supply.emergency_stop", *SUNK), ("inspect cutting-jaws",),
       Exposure(20), _CONTROLS, PAGE, "An emergency stop leaves oil in the vise and isolates nothing.", lacks="none begun"),
    _U("bundle-clamp-swung-up-in-the-cut", "cutting_jaws", "moving", CUTTING,
       ("set cutting_vise.bundle_clamp up",),
       Strike(), _POINT, MEMORY, "It sits on the vise, over the bars, beside the band in the cut.",
       scenario="comes-apart-in-the-cut"),
    _U("vise-opened-up-with-oil-in-it", "cutting_jaws", "under pressure", (*RAISED, "hold cutting_vise.clamp 4"),
       ("fix cutting-vise-leaks",),
       Strike(), _OIL, MEMORY, "Oil at sixty bar comes out of a seal that is drawn, and the jaw springs.", lacks="none begun"),
    _U("vise-opened-up-locked-out-but-for-its-oil", "cutting_jaws", "let loose",
       locked_out(without=("cutting", "verify"), instead={"power": (*RAISED, "hold cutting_vise.clamp 4")}),
       ("fix cutting-vise-leaks",),
       Strike(), _STORED, PAGE, "The check valve keeps the pressure with the pump off.", lacks="oil in a vise"),
)

_SHUTTLE_JAWS: Final = (
    _U("shuttle-jaw-slid-while-another-clamps", "shuttle_jaws", "begins later", (*RAISED, "hold shuttle_vise.release 4"),
       ("set shuttle_vise.jaw_gap_mm 5",),
       Strike(), _OTHERS, MEMORY, "The fingers are in the gap that closes.", others=_worked("shuttle_vise", 2, 30)),
    _U("shuttle-jaw-slid-with-the-key-in-the-switch", "shuttle_jaws", "can come",
       (*RAISED, "hold shuttle_vise.release 4"), ("set shuttle_vise.jaw_gap_mm 5",),
       Exposure(2), _SETTING, PAGE, "The oil pump runs, and one key closes the jaw."),
    _U("shuttle-vise-valve-taken-out-under-pressure", "shuttle_jaws", "under pressure",
       (*RAISED, "hold shuttle_vise.clamp 4"), ("fix shuttle-clamp-valve-shut",),
       Strike(), _OIL, MEMORY, "Relieved first, nothing comes out; under pressure oil and jaw do.", lacks="none begun"),
    _U("shuttle-vise-valve-taken-out-locked-out-but-for-its-oil", "shuttle_jaws", "let loose",
       locked_out(without=("shuttle", "verify"), instead={"power": (*RAISED, "hold shuttle_vise.clamp 4")}),
       ("fix shuttle-clamp-valve-shut",),
       Strike(), _STORED, PAGE, "The check valve keeps the pressure with the pump off.", lacks="oil in a vise"),
)

_SHUTTLE_PATH: Final = (
    _U("rollers-turned-by-hand-under-the-hood-while-the-job-feeds", "shuttle_path", "can come", RAISING,
       ("inspect infeed-rollers",),
       Exposure(2), _SETTING, MEMORY, "The hood that is lifted holds the job; one key in MANUAL moves the shuttle all the same."),
    _U("shuttle-jaw-slid-under-the-hood-while-the-job-feeds", "shuttle_jaws", "can come", RAISING,
       ("set shuttle_vise.jaw_gap_mm 5",),
       Exposure(2), _SETTING, MEMORY, "The hood holds the job, and nothing holds whoever comes to the console."),
    _U("rollers-turned-by-hand-under-a-hood-whose-switch-is-held-on", "shuttle_path", "begins later",
       (*RAISING, "force B43 on"), ("inspect infeed-rollers",),
       Strike(), _POINT, MEMORY, "A hood whose switch is overruled is a piece of sheet metal."),
    _U("rollers-turned-by-hand-on-a-saw-without-a-hood", "shuttle_path", "begins later", RAISING,
       ("inspect infeed-rollers",),
       Strike(), _POINT, MEMORY, "Without a hood nothing but knowledge keeps a hand out.",
       saw="quay-saw"),
    _U("length-stop-tried-for-play-while-the-job-feeds", "shuttle_path", "begins later", RAISING,
       ("inspect stop-play",),
       Strike(), _POINT, MEMORY, "The shuttle runs against that very stop.", saw="quay-saw"),
    _U("support-arm-swung-up-as-the-shuttle-goes-back", "shuttle_path", "begins later", RAISING,
       ("set cutting_vise.support_arm up",),
       Strike(), _POINT, MEMORY, "The arm swings where the shuttle comes forward.", saw="quay-saw"),
    _U("shuttle-sent-back-by-another", "shuttle_path", "begins later", RAISED, ("inspect infeed-rollers",),
       Strike(), _OTHERS, MEMORY, "He sees the console, not the hands at the rollers.",
       others=(*_at(12, "press shuttle.back"), *_at(18, "release shuttle.back", "press shuttle.forward"),
               *_at(24, "release shuttle.forward", "press shuttle.back"))),
    _U("support-arm-swung-up-with-the-key-in-the-switch", "shuttle_path", "can come",
       (*RAISED, "hold shuttle.back 8"), ("set cutting_vise.support_arm up",),
       Exposure(1), _SETTING, PAGE, "One key brings the shuttle."),
    _U("bar-loaded-with-the-key-in-the-switch", "shuttle_path", "can come",
       (*RAISED, "hold cutting_vise.release 4", "hold shuttle_vise.release 4"), ("load",),
       Exposure(10), _SETTING, PAGE, "Four minutes of guiding a bar through jaws that one key closes."),
    _U("roller-bearings-changed-under-an-unchocked-bar", "shuttle_path", "can come",
       locked_out(without=("chock", "verify")), ("fix rollers-stiff",),
       Exposure(60), _STORED, PAGE, "Six metres of bar roll when their roller goes.", lacks="bar not chocked"),
)

_UNDER_HEAD: Final = (
    _U("hand-under-the-head-that-sinks-after-an-emergency-stop", "under_head", "falling",
       (*RAISED, "set head.feed_valve_mm_min 20", "set head.stop_notch 12", "hold head.raise 8", "press supply.emergency_stop"),
       ("inspect band-over-bar",),
       Strike(), _GRAVITY, MEMORY, "Nothing is driven, and the head comes down."),
    _U("hand-under-the-head-that-sinks-with-the-isolator-off", "under_head", "falling",
       (*RAISED, "set head.feed_valve_mm_min 20", "set head.stop_notch 12", "hold head.raise 8", *ISOLATE),
       ("inspect band-over-bar",),
       Strike(), _GRAVITY, MEMORY, "Power off is what lets it come down.", lacks="head up"),
    _U("air-vented-by-another-under-a-raised-head", "under_head", "falling", (*RAISED, *ISOLATE, *LOCK),
       ("inspect band-over-bar",),
       Strike(), _STORED, PAGE, "The air carries the head; who lets it out drops it.",
       lacks="head up", saw="quay-saw", others=((12.0, "set supply.air_cock shut"),)),
    _U("head-lowered-by-another", "under_head", "begins later", RAISED, ("inspect band-over-bar",),
       Strike(), _OTHERS, MEMORY, "A held key lowers it for as long as he holds it.",
       others=((9.0, "press head.lower"),)),
    _U("filter-of-the-lift-taken-out-under-a-raised-head", "under_head", "let loose",
       (*RAISED, *TELL, *ISOLATE, *LOCK), ("fix lift-filter-clogged",),
       Strike(), _STORED, PAGE, "The oil behind the filter is what the head stands on.",
       lacks="head up", saw="quay-saw"),
    _U("valve-of-the-lift-exchanged-under-a-raised-head", "under_head", "let loose",
       (*RAISED, *TELL, *ISOLATE, *LOCK), ("swap Y12",),
       Strike(), _STORED, PAGE, "A valve that is taken out lets the oil go that the head stands on.",
       lacks="head up", saw="quay-saw"),
    _U("seals-of-the-lift-changed-under-an-unpropped-head", "under_head", "let loose",
       (*RAISED, *TELL, *ISOLATE, *LOCK), ("fix head-cylinder-leaks",),
       Strike(), _STORED, PAGE, "No valve is a holding device.",
       lacks="head up", saw="quay-saw"),
    _U("bar-measured-under-a-raised-head", "under_head", "can come", RAISED, ("inspect band-over-bar",),
       Exposure(10), _SETTING, PAGE, "A rule and a hand under sixty kilograms on a valve."),
    _U("bar-measured-under-a-raised-head-with-the-key-in-my-pocket", "under_head", "can come", (*RAISED, *KEY_OUT),
       ("inspect band-over-bar",),
       Exposure(10), _GRAVITY, MEMORY, "The key keeps others off the mode; it does not hold the head."),
    _U("seals-of-the-lift-changed-with-oil-in-it", "under_head", "under pressure",
       locked_out(without=("lift", "verify")), ("fix head-cylinder-leaks",),
       Exposure(60), _STORED, PAGE, "The head rests on the prop, and the oil under it is still pressed.",
       lacks="oil in the lift"),
    _U("hands-under-a-head-that-hangs-over-its-prop", "under_head", "can come",
       locked_out(without=("lift", "vent", "lock air", "verify"),
                  instead={"prop": ("set head.stop_notch 12", "hold head.raise 8", "set head.prop in")}),
       ("inspect band-over-bar",),
       Exposure(10), _STORED, PAGE, "A prop that carries nothing holds nothing yet.",
       lacks="prop not loaded", saw="quay-saw"),
    _U("prop-swung-out-from-under-the-head", "under_head", "falling", LOCKED_OUT, ("set head.prop out",),
       Refusal(), _STORED, PAGE, "A loaded prop does not swing: the weight of the head holds it."),
    _U("prop-swung-in-under-a-head-that-is-down", "under_head", "can come", POWER, ("set head.prop in",),
       Refusal(), _STORED, PAGE, "There is no room for it; whoever says it is in is mistaken."),
    _U("head-pumped-off-its-prop-after-verifying", "under_head", "can come",
       (*LOCKED_OUT, "set head.oil_relief shut", "set head.hand_pump 20"), ("fix lift-filter-clogged",),
       Exposure(60), _AGAIN, PAGE, "The hand pump put oil under the head again.", lacks="undone"),
)

_SWING: Final = (
    _U("head-swung-with-the-band-running", "swing", "moving",
       (*SWIVEL_LOOSE, *BAND_RUNS),
       ("set head.mitre_deg 15",),
       Strike(), _SAW, MEMORY, "Both hands at the lever beside the running band."),
    _U("plunger-drawn-in-the-cut", "swing", "moving", CUTTING, ("set head.index_plunger out",),
       Strike(), _POINT, MEMORY, "The head moves, and the band is in the bar."),
    _U("swivel-tried-in-the-cut", "swing", "moving", CUTTING, ("inspect swivel-clamping",),
       Strike(), _POINT, MEMORY, "The head moves while its lever is tried."),
    _U("band-run-by-another-while-the-swivel-is-tried", "swing", "begins later", RAISED, ("inspect swivel-clamping",),
       Strike(), _OTHERS, MEMORY, "The lever is beside the band.", others=_at(14, *_RUN_BY_ANOTHER)),
    *(_U(f"{name}-at-the-ring-in-the-cut", "swing", "moving", CUTTING, (line,),
         Strike(), _POINT, PRACTICE, "The ring sits on the rod of the head, and the head comes down.")
      for name, line in (
          ("notch-set", "set head.stop_notch 3"), ("plunger-set", "set head.stop_plunger on the land"),
          ("notch-put-right", "fix height-stop-low"), ("plunger-put-right", "fix plunger-on-the-land"),
      )),
    _U("notch-set-as-the-head-goes-up", "swing", "moving", RAISING, ("set head.stop_notch 3",),
       Strike(), _POINT, PRACTICE, "The head comes up against the ring that is being set."),
    _U("notch-set-under-the-running-band", "swing", "can come", BAND_RUNS, ("set head.stop_notch 3",),
       Exposure(2), _SETTING, PRACTICE, "Band and head are one: nothing is set on a head whose band runs."),
    _U("head-swung-with-the-key-in-the-switch", "swing", "can come",
       (*SWIVEL_LOOSE, *RAISED), ("set head.mitre_deg 15",),
       Exposure(2), _SETTING, PAGE, "One start key sets the band going beside the lever."),
)

_OUTFEED: Final = (
    _U("back-rail-slid-in-the-cut", "outfeed", "moving", CUTTING, ("set outfeed.back_rail back",),
       Strike(), _POINT, MEMORY, "The rail ends at the band, and the piece falls on to it."),
    _U("back-rail-slid-while-the-band-runs-on", "outfeed", "moving", RUNS_ON, ("set outfeed.back_rail back",),
       Strike(), _POINT, MEMORY, "The lamp says COMPLETE; the band says nothing."),
    *(_U(f"{look}-taken-{name}", "outfeed", "moving", state, (f"inspect {look}",),
         Strike(), _POINT, PRACTICE, "A piece is taken only when the band stands.")
      for look in ("last-piece", "caliper", "square")
      for name, state in (("in-the-cut", CUTTING), ("while-the-band-runs-on", RUNS_ON))),
    _U("last-piece-taken-as-an-old-saw-coasts", "outfeed", "moving", (*BAND_RUNS, "tap band.stop", "wait 2"),
       ("inspect last-piece",),
       Strike(), _POINT, PRACTICE, "A stopped motor is no stopped band.", machine=_SLOW_TO_STOP),
    _U("last-piece-taken-and-the-band-run-by-another", "outfeed", "begins later", RAISED, ("inspect last-piece",),
       Strike(), _OTHERS, PRACTICE, "Two palm keys say where one person's hands are, not whose else.",
       others=_at(14, *_RUN_BY_ANOTHER)),
    _U("back-rail-slid-with-the-key-in-the-switch", "outfeed", "can come", RAISED, ("set outfeed.back_rail back",),
       Exposure(2), _SETTING, PAGE, "The rail ends at the band, and one start key sets it going."),
)

_CABINET: Final = (
    _U("fuses-looked-at-live-by-an-operator", "cabinet", "live", POWER, ("inspect fuses",),
       Exposure(10), _QUALIFIED, MEMORY, "Behind that door are 400 V, and he is not qualified for them.", role="operator"),
    _U("wire-metered-live-by-an-operator", "cabinet", "live", POWER, ("inspect meter Q1",),
       Exposure(5), _QUALIFIED, MEMORY, "Test tips slip; who is not qualified learns that once.", role="operator"),
    _U("overload-relay-set-live-by-an-authorised-person", "cabinet", "live", POWER, ("set band.relay_a 6",),
       Exposure(2), _QUALIFIED, MEMORY, "To lock out mechanical work is one thing, a live cabinet another."),
    _U("motor-fuse-changed-live", "cabinet", "live", POWER, ("fix phase-lost",),
       Strike(), _LIVE, MEMORY, "Both hands at 400 V.", role="qualified", lacks="none begun"),
    _U("contactor-exchanged-live", "cabinet", "live", POWER, ("swap Q1",),
       Strike(), _LIVE, MEMORY, "To try another part is work at the part all the same.", role="qualified", lacks="none begun"),
    _U("control-fuse-changed-live", "cabinet", "live", POWER, ("fix control-fuse-blown",),
       Strike(), _ENCLOSED, MEMORY, "The fuse sits among live terminals.", role="qualified", lacks="none begun"),
    _U("contactor-wire-mended-live", "cabinet", "live", POWER, ("fix contactor-dead",),
       Strike(), _LIVE, MEMORY, "The contactor's other side has 400 V.", role="qualified", lacks="none begun"),
    _U("isolator-switched-on-by-another-with-hands-in-the-cabinet", "cabinet", "begins later",
       (*RAISED, *ISOLATE, *SUNK), ("fix contactor-dead",),
       Strike(), _PADLOCK, PAGE, "One turn of a handle on the outside of the door.", role="qualified",
       lacks="isolator not locked", others=((300.0, "press supply.isolator"),)),
    _U("contactor-wire-mended-behind-an-unlocked-isolator", "cabinet", "can come", (*RAISED, *ISOLATE, *SUNK),
       ("fix contactor-dead",),
       Exposure(60), _PADLOCK, PAGE, "Off is not locked.", role="qualified", lacks="isolator not locked"),
    _U("contactor-wire-mended-without-proving-it-dead", "cabinet", "can come", LOCKED_OUT, ("fix contactor-dead",),
       Exposure(60), _TESTED, MEMORY, "A handle can turn without its contacts opening.", role="qualified",
       lacks="not proved dead"),
    _U("contactor-wire-mended-by-somebody-not-qualified", "cabinet", "can come", (*LOCKED_OUT, *PROVE_DEAD),
       ("fix contactor-dead",),
       Exposure(60), _TESTED, MEMORY, "The test is part of the proof, and it is not his to make.", lacks="not proved dead"),
    _U("proving-dead-by-somebody-not-qualified", "cabinet", "live", LOCKED_OUT, PROVE_DEAD,
       Refusal(), _TESTED, MEMORY, "A test by who cannot judge the tester proves nothing."),
)

_FLOOR: Final = (
    _U("floor-mopped-beside-a-running-job", "floor", "moving", CUTTING, ("set coolant.floor dry",),
       Exposure(2), _CLEAN, PRACTICE, "A mop is a lever that the shuttle or the band can catch."),
    _U("floor-mopped-while-the-band-runs", "floor", "moving", BAND_RUNS, ("set coolant.floor dry",),
       Exposure(2), _CLEAN, PRACTICE, "Wet floor, bent back, running band."),
)

_LOCK_OUT: Final = (
    _U("work-with-nobody-told", "cutting_jaws", "can come", locked_out(without=("tell", "verify")),
       ("inspect cutting-jaws",),
       Exposure(20), _TOLD, PAGE, "Who does not know of it comes looking for the reason.", lacks="not told"),
    _U("work-after-a-stop-in-mid-job", "cutting_jaws", "can come",
       (*CUTTING, *ISOLATE, *LOCK, *VENT, "lockout lock-air"), ("inspect cutting-jaws",),
       Exposure(20), _SHUT_DOWN, PAGE, "The head is in the bar, and the oil is where it was.", lacks="not shut down"),
    _U("verified-with-air-on", "cutting_jaws", "can come", locked_out(without=("vent", "lock air", "verify")),
       ("lockout verify",),
       Refusal(), _AIR, MEMORY, "The gauge shows six bar.", lacks="air on"),
    _U("verified-with-the-key-out", "cutting_jaws", "can come", locked_out(without=("key in", "verify")),
       ("lockout verify",),
       Refusal(), _VERIFIED, PRACTICE, "Neither band nor head answers with the key out, on a live saw either.", lacks="key out"),
    *(_U(f"verified-with-{name}", "cutting_jaws", "can come", (*locked_out(without=("verify",)), line),
         ("lockout verify",),
         Refusal(), _VERIFIED, PRACTICE, why, lacks="starts kept away")
      for name, line, why in (
          ("the-stop-pressed-in", "press supply.emergency_stop", "No start answers a stop that is pressed in, on a live saw either."),
          ("the-stop-at-the-infeed-pressed-in", "press supply.infeed_stop", "No start answers a stop that is pressed in, on a live saw either."),
          ("the-trip-line-pulled", "press supply.trip_line", "No reset answers a trip line that is pulled, on a live saw either."),
          ("the-hood-open", "set infeed.hood open", "No job starts with the hood open, on a live saw either."),
      )),
    _U("work-with-air-on", "cutting_jaws", "can come", locked_out(without=("vent", "lock air")),
       ("inspect cutting-jaws",),
       Exposure(20), _ISOLATED, PAGE, "The air stands over the oil.", lacks="air on"),
    _U("work-with-the-air-cock-unlocked", "cutting_jaws", "can come", locked_out(without=("lock air",)),
       ("inspect cutting-jaws",),
       Exposure(20), _AIR, MEMORY, "A cock without a padlock is opened by whoever wants air.", lacks="air not locked"),
    _U("verified-with-the-head-up", "under_head", "can come", locked_out(without=("prop", "lift", "vent", "lock air", "verify")),
       ("lockout verify",),
       Refusal(), _GRAVITY, MEMORY, "It hangs on a valve, and no valve is a holding device.", lacks="head up",
       saw="quay-saw"),
    _U("work-at-the-band-with-the-head-up", "band", "can come", locked_out(without=("prop", "lift", "vent", "lock air")),
       ("inspect guide-inserts",),
       Exposure(60), _STORED, PAGE, "The band hangs on the head, and the head on oil.", lacks="head up",
       saw="quay-saw"),
    _U("verified-with-oil-in-the-cutting-vise", "cutting_jaws", "under pressure",
       locked_out(without=("cutting", "verify"), instead={"power": (*RAISED, "hold cutting_vise.clamp 4")}),
       ("lockout verify",),
       Refusal(), _STORED, PAGE, "The gauge of the vise shows sixty bar.", lacks="oil in a vise"),
    _U("jaws-wiped-with-oil-in-the-vise", "cutting_jaws", "under pressure",
       locked_out(without=("cutting",), instead={"power": (*RAISED, "hold cutting_vise.clamp 4")}),
       ("inspect cutting-jaws",),
       Exposure(20), _STORED, PAGE, "It holds until it does not.", lacks="oil in a vise"),
    _U("work-without-verifying", "band", "can come", locked_out(without=("verify",)), ("inspect guide-inserts",),
       Exposure(60), _VERIFIED, PAGE, "What was not tried is not known.", lacks="not verified"),
    _U("work-behind-the-lock-of-another", "band", "can come", locked_out(without=("lock", "lock air")),
       ("inspect guide-inserts",),
       Exposure(60), _GROUP, PAGE, "His lock comes off when his work is done, not when mine is.",
       lacks="key of another", other_locks=("isolator", "air cock")),
    _U("isolator-locked-while-it-is-on", "cabinet", "can come", (*RAISED, *TELL), LOCK,
       Refusal(), _ISOLATED, PAGE, "The padlock goes through the handle only where the handle is off.",
       lacks="isolator not locked"),
    _U("isolator-switched-on-behind-my-own-padlock", "band", "can come", LOCKED_OUT, ("press supply.isolator",),
       Refusal(), _PADLOCK, PAGE, "That is what the padlock is for."),
    _U("isolator-switched-on-behind-the-padlock-of-another", "band", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air", "lockout unlock-isolator"),
       ("press supply.isolator",),
       Refusal(), _REMOVED, PAGE, "It comes off by whoever put it on.", other_locks=("isolator",)),
    _U("air-cock-opened-behind-my-own-padlock", "under_head", "can come", LOCKED_OUT, ("set supply.air_cock open",),
       Refusal(), _AIR, MEMORY, "That is what the second padlock is for."),
    _U("air-cock-opened-as-a-remedy-behind-my-own-padlock", "under_head", "can come", LOCKED_OUT, ("fix air-cock-shut",),
       Refusal(), _AIR, MEMORY, "By whatever name the cock is turned, the padlock is through it."),
    _U("air-cock-opened-as-a-remedy-behind-the-padlock-of-another", "under_head", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air"), ("fix air-cock-shut",),
       Refusal(), _REMOVED, PAGE, "It comes off by whoever put it on.", other_locks=("air cock",)),
    _U("mode-changed-without-the-key", "cutting_jaws", "can come", (*RAISED, *KEY_OUT), ("turn production",),
       Refusal(), _MODE, MEMORY, "Without its key the switch does not turn."),
    _U("hands-back-in-after-the-air-lock-is-off", "cutting_jaws", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air"), ("inspect cutting-jaws",),
       Exposure(20), _REMOVED, PAGE, "The way back has begun; hands stay out until it is gone again.", lacks="undone"),
    _U("hands-back-in-after-the-air-is-back", "cutting_jaws", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air", "set supply.air_cock open", "wait 10"),
       ("inspect cutting-jaws",),
       Exposure(20), _COMING, MEMORY, "Air that comes back is energy that comes back.", lacks="undone"),
    _U("hands-back-in-after-the-isolator-lock-is-off", "band", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air", "lockout unlock-isolator"),
       ("inspect guide-inserts",),
       Exposure(60), _REMOVED, PAGE, "Anybody can switch on from now.", lacks="undone"),
    _U("hands-back-in-after-testing-with-power", "band", "can come",
       (*LOCKED_OUT, *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air", "lockout unlock-isolator",
        "lockout tell-restored", *POWER, "wait 5", *ISOLATE), ("inspect guide-inserts",),
       Exposure(60), _TESTING, PAGE, "Power was on in between: all of it comes off again, from the first step.", lacks="undone"),
)
# fmt: on

UNSAFE: Final = (
    *_BAND, *_WHEEL_ROWS, *_CUTTING_JAWS, *_SHUTTLE_JAWS, *_SHUTTLE_PATH, *_UNDER_HEAD, *_SWING,
    *_OUTFEED, *_CABINET, *_FLOOR, *_LOCK_OUT,
)  # fmt: skip
