"""Every key of the desk does something, by mouse, by its letter and by tab and return."""

import pygame
import pytest

from sim.control.actions import STATIONS
from sim.signals import BY_KEY
from sim.view.play.console_rows import BY_LETTER, CAPS, EMERGENCY, MODE_LETTERS
from sim.view.play.hands import LATCHES

from .conftest import person_at

_SPRING = [key for key in CAPS if key not in LATCHES]


def test_the_desk_has_every_key_that_the_saw_has():
    selectors = {f"{station}.{mode}" for station in STATIONS for mode in ("hand", "auto")}
    assert set(CAPS) | selectors == set(BY_KEY)


def test_no_two_keys_share_a_letter():
    letters = [*BY_LETTER, *MODE_LETTERS]
    assert len(letters) == len(set(letters))
    assert len(BY_LETTER) == len(CAPS)


@pytest.mark.parametrize("key", _SPRING)
def test_a_key_is_down_while_the_mouse_is(at_the_posts, key):
    place = at_the_posts.mouse_down(f"key.{key}")
    assert key in at_the_posts.session.saw.held
    at_the_posts.mouse_up(place)
    assert key not in at_the_posts.session.saw.held


@pytest.mark.parametrize("key", _SPRING)
def test_a_key_is_down_while_its_letter_is(at_the_posts, key):
    letter = CAPS[key].letter
    at_the_posts.key_down(letter)
    assert key in at_the_posts.session.saw.held
    at_the_posts.key_up(letter)
    assert key not in at_the_posts.session.saw.held


@pytest.mark.parametrize("key", sorted(LATCHES))
def test_a_latch_stays_where_it_is_left(at_the_posts, key):
    at_the_posts.click(f"key.{key}")
    assert key in at_the_posts.session.saw.held
    at_the_posts.strike(CAPS[key].letter)
    assert key not in at_the_posts.session.saw.held


@pytest.mark.parametrize("key", [*CAPS, *(f"{s}.auto" for s in STATIONS)])
def test_tab_and_return_reach_every_key(at_the_posts, key):
    stage = at_the_posts.app.stage
    for _ in range(len(stage.stops())):
        at_the_posts.strike("tab")
        if stage.focus == f"key.{key}":
            break
    assert stage.focus == f"key.{key}"
    at_the_posts.key_down("return")
    assert key in at_the_posts.session.saw.held
    at_the_posts.key_up("return")


def test_tab_goes_through_the_desk_in_reading_order(at_the_posts):
    stations = [
        w.name.split(".")[1] for w in at_the_posts.app.stage.stops() if w.name.startswith("key.")
    ]
    order = list(dict.fromkeys(stations))
    assert order == ["supply", *STATIONS, "job"]


@pytest.mark.parametrize("station", STATIONS)
def test_the_selector_turns_the_station(at_the_posts, station):
    image = at_the_posts.session.saw.controller.image
    at_the_posts.click(f"key.{station}.auto")
    assert image[f"mode.{station}"] == "AUTO"
    letter = next(letter for letter, name in MODE_LETTERS.items() if name == station)
    at_the_posts.strike(letter)
    assert image[f"mode.{station}"] == "HAND"


def test_the_emergency_stop_is_in_reach_from_every_sheet(at_the_posts):
    held = at_the_posts.session.saw.held
    for tab in ("brief", "walk", "inspect", "lockout", "diagnose", "log", "desk"):
        at_the_posts.play.go(tab)
        at_the_posts.click(f"key.{EMERGENCY.key}")
        assert EMERGENCY.key in held
        at_the_posts.click(f"key.{EMERGENCY.key}")
        assert EMERGENCY.key not in held


def test_letters_are_for_the_desk_only(at_the_posts):
    at_the_posts.play.go("inspect")
    at_the_posts.key_down("y")
    assert "head.lift" not in at_the_posts.session.saw.held


def test_losing_the_keyboard_takes_every_hand_off(at_the_posts):
    at_the_posts.key_down("y")
    assert at_the_posts.session.saw.held
    at_the_posts.app.handle(pygame.event.Event(pygame.WINDOWFOCUSLOST, {}))
    assert not at_the_posts.session.saw.held


def test_a_refused_key_says_why_beside_itself(at_the_posts):
    at_the_posts.click("key.band.start")
    bubble = at_the_posts.app.stage.page.bubble()
    assert bubble.anchor == "key.band.start"
    assert "both hands" in bubble.text
    at_the_posts.click("key.supply.two_hand")
    assert at_the_posts.app.stage.page.bubble() is None


def test_the_counters_are_set_by_keys_wheel_and_typing():
    person = person_at(scenario="rail-posts")
    person.play.go("desk")
    read = person.session.saw.read
    assert read("job.wanted") == 24
    person.click("job.wanted.more")
    assert read("job.wanted") == 25
    spot = person.see("job.wanted.value").rect.center
    person.app.stage.wheel(spot, -3)
    assert read("job.wanted") == 22
    person.click("job.wanted.value")
    person.type("7")
    person.strike("return")
    assert read("job.wanted") == 7
    person.strike("left")
    assert read("job.wanted") == 6


def test_a_number_is_dragged_and_set_once_where_it_is_dropped(at_the_posts):
    stage, session = at_the_posts.app.stage, at_the_posts.session
    at_the_posts.play.go("walk")
    at_the_posts.frame()
    name = "walk.head.feed_force_n.value"
    place = at_the_posts.see(name).seen.center
    before, deeds = session.saw.read("head.feed_force_n"), len(session.done.all)
    stage.mouse_down(place)
    for step in (10, 30, 60):
        stage.mouse_move((place[0] - step, place[1]))
        at_the_posts.frame()
    assert session.saw.read("head.feed_force_n") == before  # nothing yet
    stage.mouse_up((place[0] - 60, place[1]))
    assert session.saw.read("head.feed_force_n") < before
    assert len(session.done.all) == deeds + 1
