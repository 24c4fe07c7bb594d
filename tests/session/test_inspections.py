"""What comes back from looking, and what a function test does to the saw."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import begin, make_ready, power_up
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.scenario.scenario import HiddenFault
from sim.session.before.keys import raise_head, wait_until
from sim.session.hands.hazards import all_stands
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.inspections import INSPECTIONS, Kind, find, meter
from sim.session.locking import do_all, locking_out
from sim.session.opening import session_for
from sim.session.sights import machine_words
from sim.signals import INPUTS, SIGNALS

LEAST = 42
TESTS = [row.name for row in INSPECTIONS.values() if row.kind is Kind.TEST]
LOOKS = [row.name for row in INSPECTIONS.values() if row.kind is not Kind.TEST]


def opened(*names, job="posts", **changes):
    """Return a session on a reference job with faults in it."""
    faults = tuple(HiddenFault(name=name) for name in names)
    scenario = REFERENCE_JOBS[job].scenario().model_copy(update={"faults": faults, **changes})
    return session_for(scenario, nonce="")


def powered(*names, job="posts"):
    session = opened(*names, job=job)
    power_up(session)
    return session


def uncovered(session, row):
    """Have the wheel cover open where a look is behind it, however it came open."""
    if to_look(row).behind_cover:
        session.saw.plant.band.guide.set_cover("open")


def found(session, name):
    return str(session.inspect(name).message)


def test_there_are_ways_enough_to_look_and_every_kind_of_them():
    assert len(INSPECTIONS) >= LEAST
    assert {row.kind for row in INSPECTIONS.values()} == set(Kind) - {Kind.METER}
    assert meter("B11").kind is Kind.METER
    assert find("meter b11") == find("meter B11") or find("meter b11").name == "meter B11"


@pytest.mark.parametrize("name", INSPECTIONS)
def test_an_inspection_takes_its_time_and_answers_in_a_sentence_that_names_no_fault(name):
    for session in (opened(), powered(), *(powered(fault) for fault in list(CATALOGUE)[::9])):
        row = INSPECTIONS[name]
        uncovered(session, row)
        before_s = session.now_s
        text = found(session, name)
        took_s = session.now_s - before_s

        assert took_s in (
            pytest.approx(row.seconds),
            pytest.approx(row.seconds - row.acts_s),  # the machine was not fit for it
        )
        assert text[0].isupper()
        assert text.endswith(".")
        for fault in CATALOGUE.values():
            assert str(fault.title).lower() not in text.lower()
            assert fault.name not in text


def test_what_an_inspection_reads_is_a_set_point_and_no_two_read_the_same():
    read = [point for row in INSPECTIONS.values() for point in row.reads]

    assert sorted(read) == sorted(SET_POINTS)
    assert {point for row in INSPECTIONS.values() for point in row.shows} <= set(SET_POINTS)


@pytest.mark.parametrize("name", LOOKS)
def test_a_look_changes_nothing_on_the_machine(name):
    session = powered()
    before = session.saw.digest()

    INSPECTIONS[name].look(session.saw)

    assert session.saw.digest() == before


@pytest.mark.parametrize("name", TESTS)
def test_a_function_test_leaves_a_sound_machine_unharmed_and_fit_for_the_job(name):
    session = powered()
    found(session, name)
    if name == "try-stops":  # which takes control power
        power_up(session)
    make_ready(session)
    begin(session)
    session.advance(200)

    assert session.tally.good >= 1
    assert session.saw.consequences == []
    assert session.saw.held == {"supply.isolator"}


@pytest.mark.parametrize("name", [name for name in TESTS if name not in ("try-keys", "try-stops")])
def test_a_function_test_says_in_words_what_the_machine_is_not_fit_for(name):
    dead, off, busy = opened(), opened(), powered()
    off.press("supply.isolator")
    make_ready(busy)
    begin(busy)

    assert (
        found(dead, name)
        == "The isolator is off, and everything is dark; its line side stays live."
    )
    assert found(off, name) == (
        "There is no control power. It is switched on first, when nobody is at the saw and no lock hangs on it."
    )
    assert found(busy, name) == "A job is under way or held. Stop it first."


def test_the_stops_are_tried_one_by_one_with_nothing_under_way():
    sound, dead, turning, pressed, busy = powered(), opened(), powered(), powered(), powered()
    raise_head(turning)
    turning.palms("band.run")
    turning.advance(3)
    pressed.press("supply.infeed_stop")
    make_ready(busy)
    begin(busy)

    assert (
        found(sound, "try-stops").count("channel 1 goes dark and that of channel 2 goes dark") == 2
    )
    assert sound.saw.bus.driven("S1")
    assert sound.saw.bus.driven("S9")
    assert not sound.saw.plant.power.switched
    assert "everything is dark" in found(dead, "try-stops")
    assert "The band turns." in found(turning, "try-stops")
    assert turning.saw.plant.power.switched
    assert "is in already" in found(pressed, "try-stops")
    assert found(busy, "try-stops") == "A job is under way or held. Stop it first."


@pytest.mark.parametrize("stop", ["S1", "S9"])
@pytest.mark.parametrize("channel", [1, 2])
def test_trying_the_stops_finds_each_contact_that_does_not_open(stop, channel):
    session = powered()
    session.saw.plant.power.spoil(lambda power: power.relay.spoilt.update({(stop, channel): True}))
    console, _, infeed = found(session, "try-stops").partition("; ")

    bad, good = (console, infeed) if stop == "S1" else (infeed, console)
    assert f"channel {channel} stays lit" in bad
    assert bad.count("goes dark") == 1
    assert good.count("goes dark") == 2


def test_a_function_test_of_a_saw_left_in_production_turns_it_to_manual():
    session = powered()
    session.turn("production")

    assert "runs back to its stop" in found(session, "try-shuttle")
    assert session.saw.controller.image["mode"] == "MANUAL"


@pytest.mark.parametrize(
    ("fault", "name", "says"),
    [
        ("raise-coil-wire", "try-raise", "does not rise; the lamp on Y11 stays dark"),
        ("lift-filter-clogged", "try-raise", "crawls up to its stop; the lamp on Y11 is lit"),
        ("head-cylinder-leaks", "try-raise", "it sinks slowly"),
        ("lower-valve-open", "try-raise", "goes up, and sinks again under the hand"),
        ("air-cock-shut", "try-raise", "does not rise; the lamp on Y11 is lit"),
        ("lower-valve-shut", "try-lower", "does not come down; the lamp on Y12 is lit"),
        ("feed-valve-shut", "try-lower", "does not come down; the lamp on Y12 is lit"),
        ("plunger-on-the-land", "try-lower", "does not come clear of the bar"),
        ("back-valve-shut", "try-shuttle", "does not move back to its stop; the lamp on Y22 is lit"),
        ("forward-coil-wire", "try-shuttle", "does not move forward to the band; the lamp on Y21 stays"),
        ("back-limit-wire", "try-shuttle", "the switch B21 shows its lamp, its input is dark"),
        ("arm-left-up", "try-shuttle", "Support arm struck."),
        ("shuttle-throttle-shut", "try-shuttle", "crawls back to its stop"),
        ("cutting-jaw-far", "try-cutting-vise", "runs out and does not reach the bar"),
        ("cutting-clamp-coil-wire", "try-cutting-vise", "does not move; the lamp on Y31 stays dark"),
        ("cutting-vise-leaks", "try-cutting-vise", "shows 3 bar; the lamp on Y31 is lit, and the switch B33 does not"),
        ("cutting-clamped-wire", "try-cutting-vise", "the switch B33 shows its lamp, its input is dark"),
        ("cutting-release-valve-shut", "try-cutting-vise", "It does not go back; the lamp on Y33 is lit"),
        ("shuttle-release-coil-wire", "try-shuttle-vise", "It does not go back; the lamp on Y34 stays dark"),
        ("contactor-dead", "try-band", "motor is silent and the band stands; the lamp on Q1 stays dark"),
        ("band-motor-fuse", "try-band", "motor hums and the band stands"),
        ("mains-weak", "try-band", "The band begins to turn, and the lamp on Q1 is lit; then its motor is off again, and the band stands now. While it was tried, control power dropped out."),
        ("valve-wire-earthed", "try-shuttle", "While it was tried, control power dropped out."),
        ("guard-open", "try-band", "Refused. B41: the band guard is open."),
        ("band-turns-wire", "try-band", "the switch B1 shows its lamp, and the switch B2 shows its lamp; of their input lamps B2 is lit"),
        ("variator-motor-dead", "try-speed", "keeps its speed; the lamp on M2 stays dark"),
        ("coolant-pump-jammed", "try-coolant", "No coolant runs, and its pump is silent; the lamp on Q3 is lit"),
        ("nozzle-blocked", "try-coolant", "No coolant runs, and its pump is heard"),
        ("wash-hose-open", "try-coolant", "Coolant dribbles"),
        ("stop-contact-stuck", "try-stops", "at the console in, the lamp of channel 1 goes dark and that of channel 2 stays lit"),
        ("palm-key-wire", "try-keys", "that of the left palm key stays dark"),
        ("trip-line-wire", "try-keys", "trip line is dark at rest"),
    ],
)  # fmt: skip
def test_a_function_test_shows_what_is_wrong_with_its_station_and_not_why(fault, name, says):
    faulty, sound = found(powered(fault), name), found(powered(), name)

    assert says in faulty
    assert says not in sound


def test_both_ends_of_a_broken_wire_are_seen_to_differ():
    session = powered("head-up-wire")
    make_ready(session)

    assert "B11" in found(session, "head-switches")
    assert "B11" not in found(session, "input-lamps")
    assert "B11 is dead" in found(session, "meter B11")


@pytest.mark.parametrize("tag", INPUTS)
def test_every_input_that_the_meter_finds_live_is_lit_in_the_cabinet(tag):
    session = powered()
    for live in (True, False):
        session.saw.bus.force(tag, live)
        lit = found(session, "input-lamps").removesuffix(".").partition(": ")[2].split(", ")

        assert (tag in lit) == live
        if tag != "Q0":  # a meter needs the cabinet fed
            assert f"{tag} is {'live' if live else 'dead'}" in found(session, f"meter {tag}")


def test_the_output_lamp_and_the_coil_differ_where_its_wire_is_broken():
    session = powered("raise-coil-wire")
    session.press("head.raise")

    assert "Y11" in found(session, "output-lamps")
    assert "Y11 is dead" in found(session, "meter Y11")


@pytest.mark.parametrize("tag", [row.tag for row in SIGNALS])
def test_every_wire_is_dead_on_a_locked_out_machine(tag):
    session = powered()
    do_all(session, locking_out(session))
    assert session.lockout.verified

    assert f"{tag} is dead" in found(session, f"meter {tag}")


@pytest.mark.parametrize(
    "name", [row.name for row in INSPECTIONS.values() if locked_out_to_look(row)]
)
def test_whoever_reaches_in_to_look_locks_out_first(name):
    careless, careful = opened(), opened()
    uncovered(careless, INSPECTIONS[name])
    do_all(careful, locking_out(careful, work=to_look(INSPECTIONS[name])))
    found(careless, name)
    found(careful, name)

    assert len(careless.done.unsafe) == 1
    assert careful.done.unsafe == []


def test_the_last_piece_tells_length_squareness_and_dents():
    short, crooked, dented, sound = (
        powered(*faults, job=job)
        for faults, job in (
            (("length-without-kerf",), "posts"),
            (("index-plunger-out",), "posts"),
            (("cutting-clamping-high",), "rails"),
            ((), "posts"),
        )
    )
    for session in (short, crooked, dented, sound):
        make_ready(session)
        begin(session)
        session.advance(200)
        session.tap("job.hold")
        wait_until(session, lambda session=session: all_stands(session.saw.plant), 120.0)

    assert "reads 228.50 mm" in found(short, "caliper")
    assert "reads 228.50 mm" in found(short, "caliper 1")
    assert "reads 230.00 mm" in found(sound, "caliper")
    assert "it is not." in found(crooked, "feeler")
    assert "counts as square: it is." in found(sound, "feeler")
    assert "dented" in found(dented, "last-piece")
    assert found(sound, "last-piece") == found(short, "last-piece")
    assert found(sound, "last-piece") == (
        "The face of the last piece is square to the eye, and its sides are sound."
    )


def test_chips_that_lie_there_before_anything_is_cut_do_not_change_with_what_is_set():
    session = opened()
    before = found(session, "chips")
    assert before.startswith("Nothing has been cut yet")
    session.set("head.feed_valve_mm_min", 3)
    assert found(session, "chips") == before
    session.set("head.feed_force_n", 1500)

    assert found(session, "chips") == before


def in_the_cut():
    session = powered()
    make_ready(session)
    begin(session)
    wait_until(session, lambda: session.saw.plant.head.cutting is not None, 600)
    return session


def test_chips_of_the_cut_under_way_are_those_that_its_feed_makes():
    session = in_the_cut()
    session.set("head.feed_valve_mm_min", 3)
    told = found(session, "chips")
    assert session.saw.plant.head.cutting is not None

    assert told.startswith("The chips under the saw are as fine as dust")


def test_a_kerf_that_the_band_is_cutting_is_told_with_the_head_alone():
    session = in_the_cut()
    session.set("head.feed_valve_mm_min", 40)
    told = str(machine_words.bar(session))
    assert session.saw.plant.bar.kerfs.all

    assert "kerf" not in told
