"""What the console shows: alarms as they came, the job's track, the mimic that moves, colours by their meaning."""

from itertools import pairwise

import pygame
import pytest

from sim.control.lamps import LAMPS
from sim.control.table import JOB, TABLES
from sim.pilot import autopilot
from sim.units import MM
from sim.view.console.machine_state import state_look
from sim.view.console.mimic_plan import FORWARD_X, KEYS, WIDE
from sim.view.kit.palette import CALM
from sim.view.play.console_rows import CAPS

from .conftest import person_at


@pytest.fixture
def cutting(at_the_posts):
    """Somebody at the console of a job that runs."""
    session = at_the_posts.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    session.advance(10.0)
    at_the_posts.frame()
    return at_the_posts


# Alarms ---------------------------------------------------------------------------------------


def _alarms(person):
    return [(line.lamp.name, line.first, line.stands) for line in person.play.alarms.lines]


def test_alarms_stand_in_the_order_they_came_and_the_first_is_marked(at_the_posts):
    session = at_the_posts.session
    at_the_posts.power_up()
    session.set("supply.oil_percent", 5)
    session.advance(1.0)
    session.set("coolant.level_percent", 2)
    session.advance(1.0)
    session.set("supply.air_bar", 2)
    session.advance(1.0)
    assert _alarms(at_the_posts) == [
        ("oil-low", True, True), ("coolant-low", False, True), ("air-low", False, True),
    ]  # fmt: skip
    assert [line.at_us for line in at_the_posts.play.alarms.lines] == sorted(
        line.at_us for line in at_the_posts.play.alarms.lines
    )


def test_the_first_alarm_is_remembered_until_all_are_gone(at_the_posts):
    session = at_the_posts.session
    at_the_posts.power_up()
    session.set("supply.oil_percent", 5)
    session.set("coolant.level_percent", 2)
    session.advance(1.0)
    session.set("supply.oil_percent", 80)
    session.advance(1.0)
    assert _alarms(at_the_posts) == [("oil-low", True, False), ("coolant-low", False, True)]
    session.set("coolant.level_percent", 80)
    session.advance(1.0)
    assert _alarms(at_the_posts) == []
    session.set("coolant.level_percent", 2)
    session.advance(1.0)
    assert _alarms(at_the_posts) == [("coolant-low", True, True)]


def test_what_trips_the_band_comes_before_what_follows_within_one_frame(cutting):
    session = cutting.session
    session.set("band.relay", "tripped")  # the guard is locked while the band runs
    session.set("coolant.level_percent", 2)
    session.advance_us(10_000)
    assert _alarms(cutting)[0] == ("band-fault", True, True)


def test_without_an_alarm_nothing_but_a_sentence_is_there(at_the_posts):
    drawn = []
    stage = at_the_posts.app.stage
    stage.kit.letters.watcher = lambda text, _surface: drawn.append(text.text)
    at_the_posts.power_up()
    stage._faces = []
    at_the_posts.frame()
    words = {str(lamp.word) for lamp in LAMPS} - {"ready", "trip line"}  # which is a key as well
    assert "No alarm." in drawn
    assert not words & set(drawn)


def test_ready_is_said_only_while_no_job_is_under_way_or_done(cutting):
    session, alarms = cutting.session, cutting.play.alarms
    autopilot.power_up(session)
    assert not alarms.ready
    session.tap("job.complete")
    session.advance(300.0)
    assert session.saw.controller.image["job"] == "COMPLETE"
    assert not alarms.ready
    session.tap("job.reset")
    session.advance(1.0)
    assert alarms.ready


# Track ----------------------------------------------------------------------------------------


def _track(person):
    track = person.play.track
    return str(track.came), str(track.here), str(track.next)


def test_the_track_says_from_where_where_and_what_may_come_next(cutting):
    came, here, after = _track(cutting)
    assert came == "from starting"
    assert here == "execute: lower head"
    assert after == (
        "next: raise head by itself, complete ends it after the piece under way, "
        "hold pauses it after this step, stop breaks it off at once"
    )
    cutting.session.tap("job.stop")
    cutting.session.advance(40.0)
    came, here, after = _track(cutting)
    assert came == "from stopping"
    assert here == "stopped: the job stop key was pressed"
    assert after == "next: reset leads to idle"


def test_the_way_back_from_an_emergency_stop_can_be_read_off_the_track(cutting):
    session = cutting.session
    session.press("supply.emergency_stop")
    assert _track(cutting)[1:] == (
        "aborted: the emergency stop at the console was pressed", "next: clear leads to stopped",
    )  # fmt: skip
    session.release("supply.emergency_stop")
    session.advance(10.0)
    for key in ("supply.reset", "supply.control_on", "job.clear"):
        session.tap(key)
    assert _track(cutting)[2] == "next: reset leads to idle"
    session.tap("job.reset")
    assert _track(cutting)[1] == "idle"
    assert _track(cutting)[2].startswith("next: start begins the job")


def test_from_every_state_of_the_job_something_may_come(at_the_posts):
    controller = at_the_posts.session.saw.controller
    for state in JOB.states:
        controller.image["job"] = state
        assert _track(at_the_posts)[2] != "next: ", state


# Mimic ----------------------------------------------------------------------------------------


def test_the_drawn_shuttle_goes_back_and_forward_with_the_scale(at_the_posts):
    person, session = at_the_posts, at_the_posts.session
    person.power_up()
    face = person.widget("mimic.strip.0").face
    person.key_down("y")
    person.wait(6)
    person.key_up("y")
    before = face()
    person.key_down("r")
    person.wait(1.0)
    assert face() != before
    person.wait(20.0)
    person.key_up("r")
    assert session.saw.plant.shuttle.place.position / MM == pytest.approx(231.5, abs=0.2)
    back = face()
    person.key_down("f")
    person.wait(20.0)
    person.key_up("f")
    assert face() != back
    assert face()[7] == before[7]  # where its rear edge is drawn


def test_no_two_keys_of_the_mimic_lie_on_each_other_and_all_are_on_it():
    rows = {}
    for left, right, row in KEYS.values():
        assert 0 <= left < right <= WIDE
        rows.setdefault(row, []).append((left, right))
    for places in rows.values():
        places.sort()
        assert all(one[1] <= other[0] for one, other in pairwise(places))
    assert KEYS["shuttle.forward"][1] <= FORWARD_X


def test_sixty_frames_in_a_row_of_a_moving_job_leave_nothing_behind(cutting):
    """What a frame has changed on the console is what a painting of all of it would show."""
    stage = cutting.app.stage
    pane = stage.by_name["sheet.console"].rect
    changed, last = 0, None
    for _ in range(60):
        cutting.session.advance_us(250_000)
        cutting.play.telling.listen()
        stage.frame()
        shown = pygame.image.tobytes(stage.surface.subsurface(pane), "RGB")
        stage._faces = []
        stage.frame()
        assert pygame.image.tobytes(stage.surface.subsurface(pane), "RGB") == shown
        changed += shown != last
        last = shown
    assert changed > 30


# Colours --------------------------------------------------------------------------------------


def test_ordinary_motion_is_never_yellow_and_red_is_for_danger():
    coloured = {
        (table.name, state): state_look(CALM, table.name, state)[1]
        for table in TABLES
        for state in table.states
    }
    yellow = {key for key, colour in coloured.items() if colour == CALM.yellow}
    red = {key for key, colour in coloured.items() if colour == CALM.red}
    assert yellow == {("band", "TRIPPED")}
    assert red == {("supply", "TRIPPED"), ("job", "ABORTING"), ("job", "ABORTED")}


def test_no_colour_of_a_state_stands_without_a_shape_of_its_own():
    shapes = {}
    for table in TABLES:
        for state in table.states:
            shape, colour = state_look(CALM, table.name, state)
            shapes.setdefault(colour, set()).add(shape)
    for colour, own in shapes.items():
        for other, others in shapes.items():
            assert colour == other or not own & others


def test_a_mode_that_is_turned_away_from_is_none_for_half_a_second(at_the_posts):
    at_the_posts.strike("9")
    assert at_the_posts.session.saw.controller.image["mode"] == "NONE"
    drawn = []
    at_the_posts.app.stage.kit.letters.watcher = lambda text, _surface: drawn.append(text.text)
    at_the_posts.app.stage._faces = []
    at_the_posts.frame()
    assert "now: NONE" in drawn
    assert not at_the_posts.session.saw.bus.seen["Q1"]


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_every_key_of_the_console_can_be_brought_into_sight_and_pressed(scale):
    person = person_at((1280, 720), scale, "rail-posts", "es")
    person.play.go("console")
    person.play.paused = False
    for key in KEYS:
        place = person.mouse_down(f"key.{key}")
        assert person.app.stage._mouse.name == f"key.{key}"
        person.mouse_up(place)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("size", [(1280, 720), (1600, 900), (3840, 2160)])
def test_every_key_shows_all_of_its_words_when_it_is_down_or_chosen_too(size, language):
    person = person_at(size, 1.0, "rail-posts", language)
    person.play.go("console")
    autopilot.power_up(person.session)
    stage, shown = person.app.stage, 0
    for key, cap in CAPS.items():
        if key == "enable" or cap.style == "emergency":
            continue
        person.session.press(key)
        drawn = []
        stage.kit.letters.watcher = lambda text, _surface, drawn=drawn: drawn.append(text)
        stage._faces = []
        stage.frame()
        stage.kit.letters.watcher = None
        person.session.release(key)
        person.session.advance(1.0)
        shown += len(drawn)
        assert not [text for text in drawn if text.cut], key
    assert shown > 20 * len(CAPS)


def test_a_job_that_begins_with_nothing_clamped_says_on_its_track_for_what_it_waits(at_the_posts):
    session = at_the_posts.session
    autopilot.power_up(session)
    autopilot.raise_head(session)
    session.turn("production")
    for key in ("job.straight", "job.reset"):
        session.tap(key)
    session.palms("job.start")
    at_the_posts.wait(30)

    assert session.saw.controller.job.state == "EXECUTE"
    here = str(at_the_posts.play.track.here)
    assert here == "execute waits: the cutting vise is not clamped"
