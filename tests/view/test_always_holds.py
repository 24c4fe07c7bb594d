"""What holds on every sheet, whatever has the focus and whatever stands across the stage.

Stops by key and by mouse are tried on every sheet in every state of the page with something of each kind in
focus; `test_stops_everywhere` tries each single focus while time stands.
"""

from math import dist, log2

import pytest

from sim.control.two_hand import LIMIT_US
from sim.signals import BY_KEY
from sim.units import US
from sim.view.kit.widget import Stroke
from sim.view.pages.tabs import SHEETS
from sim.view.play import hands
from sim.view.play.console_rows import CAPS, STOPS
from sim.view.sheets import bench_sheet

from .conftest import LOOKS, person_at

_CTRL = 0x40  # pygame.KMOD_LCTRL
_STOP_LEAST_PX = 32
_THROUGHPUT_BIT_S = (
    3.7  # of a mouse, the slow end of 3.7 to 4.9 (Soukoreff and MacKenzie 2004, from memory)
)

PAGES = [(sheet, "") for sheet in SHEETS if sheet != "bench"] + [
    ("bench", part) for part in bench_sheet.PARTS
]


def _runs(person):
    person.play.paused = False


def _stands(person):
    person.play.paused = True


def _asks(person):
    person.click("bar.finish")
    assert "ask.yes" in person.app.stage.by_name


def _tells(person):
    person.session.instructor.note("look at the head")


def _refuses(person):
    person.play.hands.tell("supply.isolator", hands._PAUSED)


def _warns(person):
    person.play.force("B11", True)
    assert person.widget("banner")


def _names(person):
    person.play.outlook.toggle_names()


def _draws(person):
    person.play.outlook.toggle_drawing()


STATES = (_runs, _stands, _asks, _tells, _refuses, _warns, _names, _draws)


def _open(person, sheet, part):
    person.play.go(sheet)
    if part:
        person.play.show_part(part)
    person.frame()


def _kinds(stage):
    """Return nothing, and one widget of each kind that can have the focus: whatever is named alike."""
    found = {"": ""}
    for widget in stage.stops():
        parts = widget.name.split(".")
        found.setdefault((parts[0], parts[-1] if len(parts) > 2 else "", widget.act.stroke is None), widget.name)  # fmt: skip
    return list(found.values())


def _acts(person, stop):
    wire = BY_KEY[stop]
    return person.session.saw.bus.driven(wire.tag) != wire.at_rest


def _key(person, stop):
    letter = CAPS[stop].letter
    person.key_down(letter, mod=_CTRL if len(letter) == 1 else 0)
    acted = _acts(person, stop)
    person.key_up(letter)
    return acted


def _mouse(person, stop):
    stage = person.app.stage
    named = [f"{kind}.{stop}" for kind in ("key", "apart")]
    places = [stage.by_name[name].seen for name in named if name in stage.by_name]
    place = next(place.center for place in places if min(place.size) > 0)
    stage.mouse_move(place)
    stage.mouse_down(place)
    acted = _acts(person, stop)
    stage.mouse_up(place)
    return acted


def _back(person, stop):
    if _acts(person, stop):  # a latch
        person.session.release(stop)


@pytest.mark.parametrize("state", STATES)
def test_every_stop_acts_before_the_next_frame(state):
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    person.play.paused = True
    person.click("key.supply.isolator")
    state(person)
    tried = {}
    for sheet, part in PAGES:
        _open(person, sheet, part)
        stage = person.app.stage
        for number, focus in enumerate(_kinds(stage)):
            stop = STOPS[number % len(STOPS)]
            stage.focus = focus
            assert _key(person, stop), (sheet, part, focus, stop)
            _back(person, stop)
        for stop in STOPS:
            assert _key(person, stop), (sheet, part, stop)
            _back(person, stop)
            assert _mouse(person, stop), (sheet, part, stop)
            _back(person, stop)
        red = stage.by_name["key.supply.emergency_stop"]
        assert red.seen == red.rect
        assert min(red.rect.size) >= _STOP_LEAST_PX
        assert red.act.at_once
        tried[sheet, part] = stage.focus
    assert len(tried) == len(PAGES)
    assert not person.session.over


def test_every_stop_that_is_pressed_at_a_frozen_machine_acts_in_the_first_frame_after_it():
    person = person_at(scenario="posts-come-out-short")
    person.play.paused = False
    for number, (sheet, part) in enumerate(PAGES):
        _open(person, sheet, part)
        stop = STOPS[number % len(STOPS)]
        for press in (_key, _mouse):
            person.session.instructor.freeze(True)
            person.app.stage.frame()
            press(person, stop)
            at_us = person.session.now_s
            person.session.instructor.freeze(False)
            person.play.tick()
            last = [act for act in person.session.done.acts if act.kind == "press"][-1]
            assert (last.keys, last.at_us / US) == ((stop,), at_us), (sheet, part, press)
            _back(person, stop)


def _fields(stage):
    letter = Stroke("a", "a")
    digit = Stroke("7", "7")
    return [w.name for w in stage.stops() if w.act.stroke and (w.act.stroke(letter) or w.act.stroke(digit))]  # fmt: skip


def test_no_field_of_any_sheet_lets_what_is_typed_press_a_key_of_the_saw():
    person = person_at(scenario="posts-come-out-short")
    person.power_up()
    person.play.paused = False
    found = set()
    for sheet, part in PAGES:
        _open(person, sheet, part)
        for field in _fields(person.app.stage):
            if field.startswith(("key.", "round")):
                continue
            found.add(sheet)
            before, done = person.session.saw.held, len(person.session.done.acts)
            for letter in "abcdefghijklmnopqrstuvwxyz0123456789-":
                person.app.stage.focus = field
                person.key_down(letter, letter)
                person.key_up(letter)
            assert person.session.saw.held == before, (sheet, field)
            assert len(person.session.done.acts) == done, (sheet, field)
            person.play.gathered.clear()
    assert {"console", "walk", "inspect", "diagnose", "instructor"} <= found


def test_each_sheet_and_each_part_of_the_bench_keeps_its_own_scroll():
    person = person_at((1280, 720), 1.5, "posts-come-out-short")
    person.play.paused = True
    left = {}
    for number, (sheet, part) in enumerate(PAGES):
        _open(person, sheet, part)
        scrolls = person.app.stage.page.scrolls
        (name,) = [each for each in scrolls.shown if each.startswith("sheet.")]
        most = scrolls.panes[name].most
        scrolls.set(name, min(7 + 3 * number, most))
        left[sheet, part] = name, min(7 + 3 * number, most)
    assert len({name for name, _ in left.values()}) == len(PAGES)
    assert sum(offset > 0 for _, offset in left.values()) >= 6
    for (sheet, part), (name, offset) in left.items():
        _open(person, sheet, part)
        assert person.app.stage.page.scrolls.panes[name].offset == offset, (sheet, part)


def _both_palms_by_key(person):
    person.key_down("x")
    person.key_down("p")
    person.key_up("x")
    person.key_up("p")


def _both_palms_by_mouse(person):
    for palm in hands.PALMS:
        person.click(f"key.{palm}")


def _one_each_way(person):
    person.key_down("x")
    person.click("key.palm.right")
    person.key_up("x")


@pytest.mark.parametrize("sticky", [False, True])
@pytest.mark.parametrize("way", [_both_palms_by_key, _both_palms_by_mouse, _one_each_way])
@pytest.mark.parametrize("stands", ["paused", "frozen"])
def test_no_two_hand_rule_is_met_while_time_stands_nor_over_it(at_the_posts, stands, way, sticky):
    person = at_the_posts
    person.power_up()
    person.session.hold("head.raise", 5)
    person.play.hands.set_sticky(sticky)
    band = person.session.saw.controller.machines["band"]

    def stand(on):
        if stands == "paused":
            person.play.paused = not on
            person.play.toggle_pause()
        else:
            person.session.instructor.freeze(on)
        person.play.tick()

    person.play.paused = False
    person.strike("q")
    stand(True)
    way(person)
    assert band.state == "STOPPED"
    stand(False)
    assert not {"palm.left", "palm.right"} & person.session.saw.held
    person.play.paused = False
    person.strike("q")
    person.key_down("x")  # one hand while time runs, the other after time stood
    stand(True)
    stand(False)
    person.key_down("p")
    person.wait(0.2)
    assert band.state == "STOPPED"


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_the_mouse_can_bring_the_second_palm_key_in_time(size, scale, language):
    """At the pace of life half a second is too short for the way between the palm keys; at a quarter it is not.

    How long a hand takes follows from Fitts' law in the form of ISO 9241-411: log2(way / width + 1) bits.
    """
    person = person_at(size, scale, "rail-posts", language)
    person.play.go("console")
    person.frame()
    one, other = (person.widget(f"key.{palm}").rect for palm in hands.PALMS)
    hard_bit = log2(dist(one.center, other.center) / min(other.size) + 1)
    takes_s = hard_bit / _THROUGHPUT_BIT_S
    given_s = LIMIT_US / US
    assert takes_s > given_s
    assert takes_s < given_s / hands._SLOW


def test_a_click_latches_one_palm_key_for_half_a_second_and_the_bubble_tells_the_pace(at_the_posts):
    person = at_the_posts
    person.power_up()
    person.play.paused = False
    person.play.speed = 10.0
    person.click("key.palm.left")
    assert person.play.hands.down("palm.left")
    assert person.play.pace == hands._SLOW
    assert person.widget("bar.pace").face() == person.play.pace
    assert "a quarter" in person.app.stage.page.bubble().text
    person.wait(0.49)
    assert person.play.hands.down("palm.left")
    person.wait(0.02)
    assert not person.play.hands.down("palm.left")
    assert person.play.pace == 10.0
