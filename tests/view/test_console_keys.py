"""Every key of the console does something, by mouse, by its letter and by tab and return."""

import pygame
import pytest

from sim.control.actions import ACTIONS, PARTS
from sim.signals import BY_KEY, Source
from sim.view.play.console_rows import BY_LETTER, CAPS, EMERGENCY, PRESS_THROUGH
from sim.view.play.hands import ENABLE, LATCHES, PALMS

from .conftest import person_at

_SPRING = [key for key, cap in CAPS.items() if BY_KEY[key].source is Source.KEY and key != ENABLE]
_MODES = [key for key in CAPS if BY_KEY[key].source is Source.SWITCH]


def test_the_console_has_every_key_that_the_saw_has():
    assert set(CAPS) == set(BY_KEY)


def test_no_two_keys_share_a_letter():
    letters = [*BY_LETTER, PRESS_THROUGH]
    assert len(letters) == len(set(letters))
    assert len(BY_LETTER) == len(CAPS)


@pytest.fixture
def awake(at_the_posts):
    """Somebody at the console, with time running."""
    at_the_posts.play.paused = False
    return at_the_posts


@pytest.mark.sampled(3)
@pytest.mark.parametrize("key", _SPRING)
def test_a_key_is_down_while_the_mouse_is(awake, key):
    place = awake.mouse_down(f"key.{key}")
    assert key in awake.session.saw.held
    awake.mouse_up(place)
    if key in PALMS:  # where the other hand is left for a while
        awake.wait(0.5)
    assert key not in awake.session.saw.held


@pytest.mark.sampled(3)
@pytest.mark.parametrize("key", [*_SPRING, ENABLE])
def test_a_key_is_down_while_its_letter_is(awake, key):
    letter = CAPS[key].letter
    awake.key_down(letter)
    assert key in awake.session.saw.held
    awake.key_up(letter)
    assert key not in awake.session.saw.held


@pytest.mark.parametrize("key", sorted(LATCHES))
def test_a_latch_stays_where_it_is_left(at_the_posts, key):
    at_the_posts.click(f"key.{key}")
    assert key in at_the_posts.session.saw.held
    at_the_posts.strike(CAPS[key].letter)
    assert key not in at_the_posts.session.saw.held


@pytest.mark.sampled(3)
@pytest.mark.parametrize("key", [key for key in CAPS if key not in _MODES])
def test_tab_and_return_reach_every_key(awake, key):
    stage = awake.app.stage
    for _ in range(len(stage.stops())):
        awake.strike("tab")
        if stage.focus == f"key.{key}":
            break
    assert stage.focus == f"key.{key}"
    awake.key_down("return")
    if key == ENABLE:  # which stays as it is left when the hand is off the return key
        awake.key_up("return")
    assert key in awake.session.saw.held
    awake.key_up("return")


@pytest.mark.parametrize("key", [key for key in _MODES if key != "mode.manual"])
def test_the_mode_switch_is_turned_by_mouse_letter_and_return(at_the_posts, key):
    seen, image = at_the_posts.session.saw.bus.seen, at_the_posts.session.saw.controller.image
    mode = key.partition(".")[2].upper()
    for turn in (
        lambda key: at_the_posts.click(f"key.{key}"),
        lambda key: at_the_posts.strike(CAPS[key].letter),
        lambda key: _by_return(at_the_posts, key),
    ):
        turn(key)
        assert seen[BY_KEY[key].tag]
        assert image["mode"] == "NONE"
        assert at_the_posts.widget("mode.now").face() == "NONE"
        at_the_posts.wait(0.6)
        assert image["mode"] == mode
        turn("mode.manual")
        at_the_posts.wait(0.6)
        assert image["mode"] == "MANUAL"


def _by_return(person, key):
    person.app.stage.focus = f"key.{key}"
    person.strike("return")


def test_each_movement_key_is_where_its_part_is_drawn(at_the_posts):
    """Along the bar, from the infeed to the outfeed: shuttle, cutting vise, head and band, coolant."""
    at_the_posts.frame()
    left = {
        part: min(
            at_the_posts.widget(f"key.{action.name}").rect.left
            for action in ACTIONS
            if action.name.startswith(f"{part}.")
        )
        for part in PARTS
    }
    assert left["shuttle"] == left["shuttle_vise"]
    assert left["shuttle"] < left["cutting_vise"] < left["head"] <= left["band"] < left["coolant"]


@pytest.mark.parametrize(("size", "scale"), [((1280, 720), 1.0), ((1280, 720), 2.0)])
def test_the_palm_keys_are_at_the_two_ends(size, scale):
    person = person_at(size, scale, "rail-posts")
    person.play.go("console")
    left, right = (person.widget(f"key.{palm}").rect for palm in PALMS)
    keys = [person.widget(f"key.{key}").rect for key in CAPS if key != EMERGENCY.key]
    assert left.left == min(rect.left for rect in keys)
    assert right.right == max(rect.right for rect in keys)
    between = right.left - left.right
    assert between > 0.55 * person.app.surface.get_width()


def test_the_emergency_stop_is_at_the_top_right_of_every_sheet(at_the_posts):
    held, screen = at_the_posts.session.saw.held, at_the_posts.app.surface.get_rect()
    for tab in ("brief", "walk", "inspect", "lockout", "diagnose", "log", "bench", "console"):
        at_the_posts.play.go(tab)
        stop = at_the_posts.widget(f"key.{EMERGENCY.key}").rect
        assert stop.right > 0.97 * screen.width
        assert stop.bottom < 0.08 * screen.height
        at_the_posts.click(f"key.{EMERGENCY.key}")
        assert EMERGENCY.key in held
        at_the_posts.click(f"key.{EMERGENCY.key}")
        assert EMERGENCY.key not in held


def test_letters_of_movement_are_for_the_console_only(at_the_posts):
    at_the_posts.play.go("inspect")
    at_the_posts.key_down("y")
    assert "head.raise" not in at_the_posts.session.saw.held


def test_losing_the_keyboard_takes_every_hand_off(at_the_posts):
    at_the_posts.key_down("y")
    at_the_posts.click("key.enable")
    assert at_the_posts.session.saw.held >= {"head.raise", ENABLE}
    at_the_posts.app.handle(pygame.event.Event(pygame.WINDOWFOCUSLOST, {}))
    assert not at_the_posts.session.saw.held


def test_a_refused_key_says_why_beside_itself(at_the_posts):
    at_the_posts.click("key.band.run")
    bubble = at_the_posts.app.stage.page.bubble()
    assert bubble.anchor == "key.band.run"
    assert bubble.refusal
    assert "control power" in bubble.text
    at_the_posts.click("key.coolant.off")
    assert at_the_posts.app.stage.page.bubble() is None


def test_a_key_that_is_not_allowed_is_drawn_hollow_and_says_why_when_asked(at_the_posts):
    name = "key.head.raise"
    palette = at_the_posts.app.stage.kit.palette
    assert _face_colour(at_the_posts, name) == palette.panel
    at_the_posts.power_up()
    assert _face_colour(at_the_posts, name) == palette.raised
    at_the_posts.strike("9")
    at_the_posts.wait(0.6)
    assert _face_colour(at_the_posts, name) == palette.panel
    at_the_posts.strike("/", "?")  # the letter after it asks, and presses nothing
    at_the_posts.strike("y")
    bubble = at_the_posts.app.stage.page.bubble()
    assert bubble.anchor == name
    assert not bubble.refusal
    assert "in PRODUCTION the job has all parts" in bubble.text[:1].lower() + bubble.text[1:]
    assert "head.raise" not in at_the_posts.session.saw.held
    assert not [event for event in at_the_posts.session.heard.events if event.kind == "refused"]


def _face_colour(person, name):
    """Return the colour beside the words of a key, where nothing else is drawn."""
    rect = person.widget(name).rect
    person.app.stage._hover = ""
    person.frame()
    return tuple(person.app.surface.get_at((rect.centerx, rect.top + rect.height // 5)))[:3]


def test_the_colours_of_the_keys_are_those_of_the_standard(at_the_posts):
    person, palette = at_the_posts, at_the_posts.app.stage.kit.palette
    person.strike("1")
    assert _face_colour(person, "key.supply.reset") == palette.blue
    person.strike("2")
    assert _face_colour(person, "key.supply.control_on") == palette.white
    person.strike("3")
    assert _face_colour(person, "key.band.run") == palette.white
    assert _face_colour(person, "key.band.stop") == palette.black
    assert _face_colour(person, "key.job.stop") == palette.black
    assert _face_colour(person, "key.head.raise") == palette.raised
    stop = person.widget("key.supply.emergency_stop").rect
    assert tuple(person.app.surface.get_at((stop.left + 3, stop.centery)))[:3] == palette.yellow
    assert tuple(person.app.surface.get_at((stop.centerx, stop.top + 8)))[:3] == palette.stop
    red, green, blue = palette.stop
    assert red > 180
    assert max(green, blue) < 40  # no orange


def test_the_counters_are_set_by_keys_and_typing_and_never_by_the_wheel():
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    read = person.session.saw.read
    assert read("job.wanted") == 24
    person.click("job.wanted.more")
    assert read("job.wanted") == 25
    spot = person.see("job.wanted.value").rect.center
    for focused in (False, True):
        if focused:
            person.click("job.wanted.value")
        person.app.stage.wheel(spot, -3)
        assert read("job.wanted") == 25
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
    at_the_posts.hands_back()
    assert session.saw.read("head.feed_force_n") < before
    assert len(session.done.all) == deeds + 1
