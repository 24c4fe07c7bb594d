"""Lessons followed to the letter: who types what each step says is never exposed, struck or warned.

The pilot takes its own care, so what it does proves nothing of the words. Here every step is typed line
by line as its ask, its caution and its hint have it, and nothing is done that they do not name.
"""

import pytest

from sim.debrief.debrief import debrief, json_values
from sim.scenario import library
from sim.session.lessons.lesson import lesson_of
from sim.session.lessons.measures import MEASURES
from sim.session.opening import open_session
from sim.session.sights import first_piece
from sim.teaching.coach import Coach
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.typed.typed_step import typed_step
from sim.trade.measuring import Ruling

POWER = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
RAISE = ("press head.raise", "wait until head.up", "release head.raise")
RUN = ("palms band.run", "wait until band.running")
STOP = ("tap band.stop", "wait until band.stopped", "wait still")
FASTER = ("hold band.faster 6.5",)
READY = (*POWER, *RAISE, *RUN, *FASTER)
SQUARE = (
    "turn production",
    "tap coolant.with_band",
    "tap job.square",
    "tap job.reset",
    "palms job.start",
)
ONE_MORE = ("wait piece", "tap job.hold", "wait until job.held")
TO_THE_END = ("wait until job.complete", "wait still")
KEY_OUT, KEY_IN = "set mode.key in my pocket", "set mode.key in the switch"
LOCK_OUT = (
    "lockout tell", "set infeed.bar_chock in", "release supply.isolator", "lockout lock-isolator",
    "set supply.air_cock shut", "wait 60", "lockout lock-air", "set head.oil_relief open",
    "set cutting_vise.oil_relief open", "set shuttle_vise.oil_relief open", "wait 60", "lockout verify",
)  # fmt: skip
TRIED = (*LOCK_OUT[:-1], KEY_IN, LOCK_OUT[-1])  # where the key was drawn before
GIVE_BACK = (
    "set head.oil_relief shut", "set cutting_vise.oil_relief shut", "set shuttle_vise.oil_relief shut",
    "set infeed.bar_chock out", "lockout inspect", "lockout clear", "lockout unlock-air",
    "lockout unlock-isolator", "set supply.air_cock open", "lockout tell-restored",
)  # fmt: skip
JOG = (
    ("press enable", "hold band.run 0.5", "release enable"),
    ("wait still", "inspect tracking"),
    ("press enable", *("hold band.run 0.5", "wait still") * 2),
    ("release enable", "turn manual", "wait 1", "palms band.run", "wait 16", "tap band.stop", "wait still"),
    ("inspect tracking",),
)  # fmt: skip
OFF, SEAT = "set band.seat coiled in gloves", "set band.seat seated"
COIL = "set band.seat new coil opened in gloves"
DOWN = ("press head.lower", "wait until head.down", "wait 1", "release head.lower")
ON_PROP = ("set head.prop in", "hold head.lower 60")
OFF_PROP = (KEY_IN, *RAISE, "set head.prop out", "card head.stop_notch")

TYPED = {
    "01-power-up-and-stops": (
        ("inspect band-over-bar",), ("press supply.isolator",), ("tap supply.reset",),
        ("tap supply.control_on",), RAISE, RUN, ("press supply.trip_line",),
        ("release supply.trip_line", "wait still", "press band.run", "release band.run"),
        ("tap supply.reset",), ("press supply.emergency_stop",), ("release supply.emergency_stop",),
        ("tap supply.reset", "tap supply.control_on", "tap job.clear", *RAISE),
    ),
    "02-two-hand-start": (
        POWER, RAISE, ("tap band.run",),
        ("tap band.run", "press palm.left", "wait 1", "press palm.right"),
        ("release palm.right", "tap band.run", "press palm.right"),
        ("release palm.right", "release palm.left", *RUN), STOP,
    ),
    "03-load-and-clamp": (
        ("inspect jaw-gaps",), (*POWER, "set head.stop_notch 12", *RAISE), (*ON_PROP, KEY_OUT),
        ("set shuttle_vise.jaw_gap_mm 4",), ("set cutting_vise.jaw_gap_mm 4",),
        ("card cutting_vise.pressure_bar", "card shuttle_vise.pressure_bar"), (*OFF_PROP, *RAISE),
        ("hold shuttle.back 5",), ("hold shuttle_vise.clamp 2",), ("hold shuttle.forward 5",),
        ("hold cutting_vise.clamp 2",), ("inspect clamping-gauges",),
    ),
    "04-length-and-backlash": (
        ("set shuttle.stop_mm 200", "set shuttle.stop_mm 231.5"), ("inspect stop-play",),
        ("card shuttle.stop_mm +5", "card shuttle.stop_mm"), ("inspect stop-play",),
        (*READY, *STOP), (*SQUARE, "wait piece"), (*TO_THE_END, "inspect caliper"),
    ),
    "05-head-height-feed-and-force": (
        ("inspect stop-notch",), ("card head.stop_notch",), ("inspect stop-plunger",),
        ("set head.stop_plunger home",), (*POWER, *RAISE), ("inspect rule-beside-bar",),
        ("card head.feed_force_n",), ("card head.feed_valve_mm_min",), ("lower to 10",),
        ("set head.feed_valve_mm_min 0", "hold head.lower 1"), RAISE,
    ),
    "06-band-speed-tension-guides-and-brush": (
        (*POWER, "tap band.run"), LOCK_OUT, ("set band.tension_mpa 225",),
        ("set band.guide_lock slack", "set band.guide_span_mm 80"), ("set band.guide_lock tight",),
        ("set band.brush_mm 2",), ("set band.guard closed",), GIVE_BACK, (*POWER, *RAISE), RUN, FASTER, STOP,
    ),
    "07-coolant": (
        ("inspect coolant-tank",), ("set coolant.wash_down shut",), ("set coolant.floor dry",),
        ("set coolant.level_percent 80",), ("set coolant.concentration_percent 8",),
        (*POWER, *RAISE, "tap coolant.on"), ("inspect coolant-tank",), ("tap coolant.with_band",), RUN, STOP,
    ),
    "08-first-single-cut": (
        (*POWER, *RAISE), ("hold cutting_vise.clamp 2",), ("tap coolant.with_band",), (*RUN, *FASTER),
        DOWN, RAISE,
        ("hold shuttle.back 5", "hold shuttle_vise.clamp 2"),
        ("hold cutting_vise.release 2", "hold shuttle.forward 5"), ("hold cutting_vise.clamp 2",),
        DOWN, (*RAISE, *STOP),
        ("inspect caliper",),
    ),
    "09-automatic-job-in-production": (
        ("set job.wanted 3",), (*POWER, *RAISE), (*RUN, *FASTER, *STOP), ("turn production",),
        ("tap coolant.with_band", "tap job.square", "tap job.reset"), ("palms job.start",),
        ("wait until cycle.raise_head", "wait 1"), ("tap cutting_vise.release",), ("wait piece",), TO_THE_END,
        ("inspect caliper",),
    ),
    "10-hold-go-on-and-bar-end": (
        (*READY, *STOP), SQUARE, ("wait piece", "tap job.hold", "wait until job.held"), ("tap job.start",),
        ("wait still", "palms job.unhold"), ("wait until cycle.lower_head", "wait 3", "tap job.hold"),
        ("wait until job.held",), ("wait still", "palms job.unhold", "wait until job.held"),
        ("tap job.unhold",), ("tap job.stop", "wait still"), ("tap job.new",),
    ),
    "11-thin-wall": (
        (*POWER, KEY_OUT, "set band.wheel_cover open"), TRIED, ("set band.tension_mpa 0",),
        (OFF,), (COIL, "set band.teeth_per_inch 8"), (SEAT,), ("card band.brush_mm",),
        ("card band.tension_mpa", "inspect tooth-pitch"), ("set band.wheel_cover closed",), GIVE_BACK,
        ("set cutting_vise.pressure_bar 5", "set shuttle_vise.pressure_bar 5"),
        ("card cutting_vise.pressure_bar", "card shuttle_vise.pressure_bar"),
        ("card head.feed_force_n", "set head.feed_valve_mm_min 80"),
        (*POWER, *RAISE, "turn maintenance", "wait 1"), *JOG, (*RUN, *FASTER, *STOP),
        (*SQUARE, *TO_THE_END, "inspect last-piece", "inspect beam-caliper"),
    ),
    "12-bundles": (
        ("inspect jaw-gaps",), (*POWER, "set head.stop_notch 12", *RAISE), (*ON_PROP, KEY_OUT),
        ("set cutting_vise.jaw_gap_mm 4",), ("set cutting_vise.bundle_clamp down",),
        ("set band.guide_lock slack", "set band.guide_span_mm 100", "set band.guide_lock tight"),
        ("card cutting_vise.pressure_bar", "card shuttle_vise.pressure_bar", "card head.feed_force_n",
         "card head.feed_valve_mm_min", "inspect feed-settings"),
        (*OFF_PROP, *RAISE), (*RUN, *FASTER, *STOP), (*SQUARE, "wait until cycle.raise_head", "wait 1"), (*TO_THE_END, "inspect caliper"),
    ),
    "13-mitre": (
        (*POWER, "set head.stop_notch 12", *RAISE), (*ON_PROP, KEY_OUT), ("set outfeed.back_rail back",),
        ("set head.index_plunger out", "set head.clamp_lever open"), ("set head.mitre_deg 45",),
        ("set head.index_plunger home", "set head.clamp_lever closed"),
        ("set band.guide_lock slack", "set band.guide_span_mm 80", "set band.guide_lock tight"),
        ("card shuttle.stop_mm +5", "card shuttle.stop_mm"), OFF_PROP,
        ("card head.feed_force_n", "card head.feed_valve_mm_min", *RUN, *FASTER, *STOP),
        ("hold shuttle.back 0.4", "hold shuttle_vise.clamp 2", "hold cutting_vise.release 2", "hold shuttle.forward 5"),
        (*SQUARE, *TO_THE_END, "inspect caliper"), ("inspect protractor",),
        ("turn manual", "set head.stop_notch 12", *RAISE, *ON_PROP, KEY_OUT),
        ("set head.index_plunger out", "set head.clamp_lever open", "set head.mitre_deg 0",
         "set head.index_plunger home", "set head.clamp_lever closed", "set outfeed.back_rail in place"),
    ),
    "14-shut-down": (
        (*READY, *STOP), (*SQUARE, *TO_THE_END, "inspect last-piece", "inspect beam-caliper"), ("turn manual", "set head.stop_notch 12", *RAISE), ON_PROP,
        ("set infeed.bar_chock in", "hold shuttle_vise.release 3", "hold cutting_vise.release 3"),
        (KEY_OUT, "set coolant.floor dry"), ("lockout tell", "release supply.isolator"), ("inspect prop",),
        ("lockout lock-isolator",), ("set supply.air_cock shut", "wait 60", "lockout lock-air"),
        ("set head.oil_relief open", "set cutting_vise.oil_relief open", "set shuttle_vise.oil_relief open"),
        ("wait 60", KEY_IN, "lockout verify", KEY_OUT),
    ),
    "15-band-change": (
        (*POWER, KEY_OUT, "set band.wheel_cover open"), TRIED, ("set band.tension_mpa 0",),
        ("inspect band-teeth",), ("inspect guide-inserts",), (OFF,), ("inspect washers",),
        (COIL, "card band.teeth_per_inch"), (SEAT,), ("card band.brush_mm",),
        ("card band.tension_mpa", "inspect tooth-pitch"), ("set band.wheel_cover closed",),
        GIVE_BACK, ("inspect tension-gauge",), (*POWER, *RAISE, "turn maintenance", "wait 1"),
        *JOG,
        (*RUN, *FASTER, *STOP), ("set head.feed_valve_mm_min 30",),
        (*SQUARE, "wait piece", "wait piece", "wait piece", "tap job.hold", "wait until job.held"),
        ("card head.feed_valve_mm_min", "wait still", "palms job.unhold", *TO_THE_END),
        ("inspect chips", "inspect feeler"),
    ),
    "16-start-of-shift": (
        ("inspect walk-round",), ("set coolant.wash_down shut", "set coolant.floor dry"),
        ("set band.guard closed",), ("inspect buttons",), ("inspect oil-glass",),
        ("set supply.oil_percent 80",), ("inspect refractometer",),
        ("set coolant.concentration_percent 8",), ("inspect swivel-clamping",),
        ("set head.clamp_lever open",), ("set head.index_plunger home",), ("set head.clamp_lever closed",),
        ("inspect tooth-pitch",), ("inspect tension-gauge",), ("inspect arm-lock",), ("inspect brush",),
        ("inspect jaw-gaps",), POWER, ("press supply.emergency_stop",),
        ("release supply.emergency_stop", "tap supply.reset", "tap supply.control_on"),
        ("press supply.infeed_stop",),
        ("release supply.infeed_stop", "tap supply.reset", "tap supply.control_on", "tap job.clear", *RAISE),
        RUN, ("press supply.trip_line",), ("release supply.trip_line", "wait still", "tap supply.reset"),
    ),
    "17-first-piece-right": (
        (*READY, *STOP), (*SQUARE, "wait piece", "tap job.hold", "wait until job.held"),
        ("wait still", "inspect caliper"), (KEY_OUT,), ("card shuttle.stop_mm +5", "card shuttle.stop_mm"),
        ("inspect stop-play",), (KEY_IN, "wait 1", "palms job.unhold", *TO_THE_END), ("inspect caliper",),
    ),
    "18-reading-the-cut": (
        (*READY, *STOP), (*SQUARE, *ONE_MORE), ("inspect chips",), ("card head.feed_force_n",),
        ("wait still", "palms job.unhold", *ONE_MORE), ("inspect chips",), ("set head.feed_valve_mm_min 87",),
        ("wait still", "palms job.unhold", *ONE_MORE), ("inspect chips",),
        ("card head.feed_valve_mm_min", "wait still", "palms job.unhold", *TO_THE_END), ("inspect feeler",),
    ),
    "19-change-of-order": (
        ("inspect tooth-pitch",), ("inspect bar-end",), (*POWER, "set head.stop_notch 12", *RAISE),
        (*ON_PROP, KEY_OUT), ("load alone",), ("set cutting_vise.jaw_gap_mm 4", "set shuttle_vise.jaw_gap_mm 4"),
        ("card cutting_vise.pressure_bar", "card shuttle_vise.pressure_bar"), ("set outfeed.back_rail back",),
        ("set head.index_plunger out", "set head.clamp_lever open", "set head.mitre_deg 30",
         "set head.index_plunger home", "set head.clamp_lever closed"),
        ("set band.guide_lock slack", "set band.guide_span_mm 70", "set band.guide_lock tight"),
        ("card shuttle.stop_mm +5", "card shuttle.stop_mm", "card job.wanted", "card job.strokes"), OFF_PROP, ("lower to 30",),
        ("card head.feed_force_n", "card head.feed_valve_mm_min", *RUN, "hold band.faster 1.8", *STOP),
        ("hold shuttle.back 0.3", "hold shuttle_vise.clamp 2", "hold shuttle.forward 5"),
        (*SQUARE, *ONE_MORE), ("wait still", "inspect chips"), ("inspect caliper",),
        ("wait still", "palms job.unhold", *TO_THE_END),
    ),
    "20-a-cut-broken-off": (
        (*POWER, *RAISE, "hold cutting_vise.clamp 2"), ("tap coolant.with_band", *RUN, *FASTER), ("saw to 20",),
        ("press supply.emergency_stop", "wait 10"),
        ("release supply.emergency_stop", "tap supply.reset", "tap supply.control_on", "tap job.clear"), RAISE,
        ("inspect bar-front",), ("inspect clamping-gauges",), ("set head.feed_valve_mm_min 58",),
        (*RUN, *DOWN), (*RAISE, "card head.feed_valve_mm_min"),
        ("hold shuttle.back 0.33", "hold shuttle_vise.clamp 2", "hold cutting_vise.release 2", "hold shuttle.forward 5"),
        ("hold cutting_vise.clamp 2", "saw to 10", *RAISE), ("tap band.stop", "wait still", "inspect bar-front"),
        ("hold shuttle_vise.release 2", "hold shuttle.back 5", "hold shuttle_vise.clamp 2",
         "hold cutting_vise.release 2", "hold shuttle.forward 5"),
        (*SQUARE, *TO_THE_END), ("inspect last-piece", "inspect caliper"),
    ),
}  # fmt: skip
"""Per lesson, per step, the lines typed. `card NAME` sets what the card says, or so much past it;
`lower to MM` holds the key in short goes, with an eye on the band, and so does `saw to MM`."""

LESSONS = tuple(name for name, path in library.entries() if path.parent.name == "lessons")


def _type(session, line):
    if line.startswith("card "):
        _, name, *past = line.split()
        setting = next(each.setting for each in session.card if each.name == name)
        session.set(name, float(setting) + float(past[0]) if past else setting)
    elif line.startswith("lower to "):
        while MEASURES["head.over_bar_mm"].read(session.saw) > float(
            line.removeprefix("lower to ")
        ):
            perform(session, parse("hold head.lower 0.5"))
    elif line.startswith("saw to "):
        while MEASURES["bar.kerf_mm"].read(session.saw) < float(line.removeprefix("saw to ")):
            perform(session, parse("hold head.lower 0.5"))
    else:
        perform(session, parse(line))


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("name", LESSONS)
def test_who_follows_a_lesson_to_the_letter_is_never_exposed_struck_or_warned(name, machine):
    session = open_session(name, machine=machine)
    lesson = lesson_of(session)
    assert len(TYPED[name]) == len(lesson.steps)

    for number, lines in enumerate(TYPED[name]):
        assert lesson.number == number
        for line in lines:
            _type(session, line)
        assert lesson.number > number, (number, [str(each) for each in lesson.wanting()])

    found = json_values(debrief(session))
    assert lesson.done
    assert session.saw.consequences == []
    assert found["exposures_s"] == {}
    assert session.done.unsafe == []
    assert found["passed"]


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("name", ["11-thin-wall", "14-shut-down", "15-band-change"])
def test_who_types_the_hints_tries_with_the_key_in_and_lets_the_band_down_before_he_goes_near(
    name, machine
):
    session = open_session(name, machine=machine)
    lesson = lesson_of(session)
    key, out, tried, looked = "mode.key", False, False, True
    while not lesson.done:
        number, lines = lesson.number, typed_step(session, perform)
        assert lines, number
        for line in lines:
            if line.startswith(f"set {key} "):
                out = line == KEY_OUT
            if line == "lockout verify":
                assert not out
                tried = True
            if line == "inspect band-teeth":
                looked = session.saw.plant.band.tension.stress_pa == 0.0
            perform(session, parse(line))
        assert lesson.number > number

    assert tried
    assert looked
    assert session.saw.consequences == []
    assert json_values(debrief(session))["exposures_s"] == {}


@pytest.mark.parametrize("name", ["11-thin-wall", "15-band-change"])
@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_a_lesson_does_not_go_on_while_it_was_tried_with_the_key_out(name, machine):
    session, lesson = _at(name, 1, machine)
    coach = Coach(session)
    for line in LOCK_OUT:
        _type(session, line)
    assert lesson.number == 1
    assert any(
        "the try proves too little" in str(each) for each in (*lesson.wanting(), coach.remark())
    )

    _type(session, KEY_IN)
    _type(session, "lockout verify")
    assert lesson.number == 2


def _at(name, number, machine=""):
    """Return a lesson typed until so many of its steps are done."""
    session = open_session(name, machine=machine)
    lesson = lesson_of(session)
    for lines in TYPED[name][:number]:
        for line in lines:
            _type(session, line)
    assert lesson.number == number
    return session, lesson


def _step(name, begins):
    asks = [step.ask for step in open_session(name).scenario.steps]
    return next(number for number, ask in enumerate(asks) if ask.startswith(begins))


@pytest.mark.parametrize("name", ["11-thin-wall", "15-band-change"])
@pytest.mark.parametrize("line", ["palms band.run", "tap band.run", "hold band.run 0.05"])
def test_a_jog_that_does_not_move_the_band_is_none(name, line):
    jog = _step(name, "Jog the band")
    session, lesson = _at(name, jog)
    _type(session, "press enable")
    _type(session, line)
    _type(session, "wait 2")
    assert lesson.number == jog

    _type(session, "hold band.run 0.5")
    assert lesson.number == jog + 1


@pytest.mark.parametrize("name", ["11-thin-wall", "15-band-change"])
def test_a_jog_is_typed_as_one(name):
    session, _ = _at(name, _step(name, "Jog the band"))

    assert typed_step(session, perform)[-1] == "hold band.run 0.5"


@pytest.mark.parametrize(("stop_mm", "done"), [(181.53, True), (181.46, True), (181.6, False)])
def test_the_stop_is_corrected_by_what_was_measured_and_not_by_the_card(stop_mm, done):
    correct = _step("17-first-piece-right", "Correct the length stop")
    session, lesson = _at("17-first-piece-right", correct)
    coach = Coach(session)
    _type(session, "set shuttle.stop_mm 187")
    _type(session, f"set shuttle.stop_mm {stop_mm}")
    said = str(coach.remark())

    assert "181.5" not in said
    assert (lesson.number > correct) == done


def test_the_coach_does_not_tell_before_the_start_what_the_lesson_has_measured():
    session, _ = _at("17-first-piece-right", 1)
    coach = Coach(session)
    for line in SQUARE:
        _type(session, line)

    assert session.saw.controller.machines["job"].state == "EXECUTE"
    assert "181.5" not in str(coach.remark())


def test_a_plunger_set_home_with_the_lever_closed_does_not_end_the_step():
    first = _step("16-start-of-shift", "Open the clamp lever")
    session, lesson = _at("16-start-of-shift", first)
    _type(session, "set head.index_plunger home")
    assert lesson.number == first
    _type(session, "set head.index_plunger out")
    for number, line in enumerate(
        ("head.clamp_lever open", "head.index_plunger home", "head.clamp_lever closed"), first + 1
    ):
        _type(session, f"set {line}")
        assert lesson.number == number


def test_what_is_set_already_is_not_typed_again():
    name = "17-first-piece-right"
    session, _ = _at(name, _step(name, "Correct the length stop"))
    assert [line.split()[1] for line in typed_step(session, perform)] == ["shuttle.stop_mm"] * 2
    session, _ = _at(name, _step(name, "Try the length stop"))
    assert typed_step(session, perform) == ("inspect stop-play",)
    session, _ = _at("11-thin-wall", _step("11-thin-wall", "Cut the ties of the new coil"))
    assert typed_step(session, perform) == (COIL, "set band.teeth_per_inch 8")


def test_bar_is_fed_for_a_mitre_by_no_more_than_it_wants():
    feed = _step("13-mitre", "Clamp the bar with the shuttle vise")
    session, lesson = _at("13-mitre", feed)
    for line in typed_step(session, perform):
        _type(session, line)

    assert lesson.number > feed
    assert MEASURES["bar.front_mm"].read(session.saw) < 60


def test_the_face_of_a_brace_is_not_called_square():
    session, _ = _at("13-mitre", 12)
    said = str(session.inspect("last-piece").message)

    assert "square" not in said
    assert "The face of the last piece is upright to the eye" in said
    assert "Both its ends are at 45" in said


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("begins", ["Send the shuttle about 50 mm back", "Feed the bar forward"])
def test_what_is_typed_holds_the_bar_with_one_vise_before_the_other_opens(machine, begins):
    number = _step("20-a-cut-broken-off", begins)
    session, lesson = _at("20-a-cut-broken-off", number, machine)
    plant = session.saw.plant
    vises = plant.cutting_vise, plant.shuttle_vise
    for line in typed_step(session, perform):
        _type(session, line)
        assert any(vise.force_n > 0.0 for vise in vises), line

    assert lesson.number > number


def test_a_first_piece_of_the_right_length_at_the_wrong_angle_is_not_good():
    name = "19-change-of-order"
    measure = _step(name, "Measure the first piece")
    session = open_session(name)
    lesson = lesson_of(session)
    for lines in TYPED[name][: measure + 1]:
        for line in lines:
            _type(session, line.replace("mitre_deg 30", "mitre_deg 15"))
    coach = Coach(session)
    said = str(session.inspect("caliper").message)
    (sheet, *_) = first_piece.lines(session)

    assert session.measuring.readings[-1].verdict is Ruling.GOOD  # by its length
    assert session.tally.good == session.measuring.good == 0
    assert "Both its ends are at 15" in said
    assert "The order wants 30" in said
    assert ": good" not in said
    assert not sheet.good
    assert str(sheet.decides) == "good by its length, wrong by its angle"
    assert str(first_piece.heads(session)[-1]).startswith("0 of 1 measured piece is good")
    assert "not at the angle of the order" in str(coach.remark())
    assert lesson.number <= measure


def test_a_square_tube_is_not_told_to_be_out_of_round():
    session, _ = _at("19-change-of-order", _step("19-change-of-order", "Go on"))
    said = str(session.inspect("caliper").message)

    assert "Across the flats of the tube it reads" in said
    assert "round" not in said
