"""A step of a lesson lights its sheet, its key and its part, from its first moment until its act is done."""

import numpy as np
import pygame
import pytest

from sim.debrief.next_act import NextAct
from sim.debrief.step_way import step_way
from sim.pilot.lesson_pilot import play_lesson
from sim.records.acts import Pressed, Released
from sim.scenario import library
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import open_session
from sim.view.kit import stage as stage_of
from sim.view.kit.palette import CALM, CALM_APART, STARK, STARK_APART, contrast, luminance
from sim.view.pages.tabs import SHEETS
from sim.view.picture.round.parts import PARTS, part_of_act

from .conftest import LOOKS, person_at

LESSONS = [name for name, path in library.entries() if path.parent.name == "lessons"]


def _same(one, other):
    if isinstance(one, Pressed | Released):
        return type(one) is type(other) and one.keys == other.keys
    return type(one) is type(other) and all(
        getattr(one, field) == getattr(other, field)
        for field in one.__slots__ if field != "at_us"
    )  # fmt: skip


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", LESSONS)
def test_the_next_act_is_the_first_of_the_way_that_a_hint_tells_and_nothing_is_changed(name):
    session = open_session(name)
    lesson, looked = lesson_of(session), NextAct(session)
    found = 0
    while not lesson.done:
        before = session.saw.digest(), len(session.done.acts), len(session.heard.events)
        assert looked.look()
        act = looked.act()
        assert looked.act() == act  # it was only asked
        way = step_way(session)
        assert (session.saw.digest(), len(session.done.acts), len(session.heard.events)) == before
        if act is not None:
            found += 1
            assert _same(act, way.acts[0]), (lesson.number, act, way.acts[0])
        assert play_lesson(session, lesson, lesson.number + 1)
    assert found > len(lesson.steps) // 2


def test_what_is_looked_for_beside_a_session_stops_when_it_has_had_its_time():
    session = open_session("09-automatic-job-in-production")
    assert play_lesson(session, lesson_of(session), 8)
    looked, asked = NextAct(session), 0
    while not looked.look(lambda: True):
        asked += 1
        assert asked < 5000
    assert asked > 50


def lit(person):
    """Have the light worked out, and return what is lit on the page."""
    person.play.guide.settle()
    person.frame()
    return person.app.stage.page.lights()


def _unlike(person, name):
    """Return how many px of a widget the light changes."""
    stage = person.app.stage
    place = stage.by_name[name].seen
    with_light = pygame.surfarray.array3d(stage.surface.subsurface(place)).astype(int)
    guide, person.play.guide._act = person.play.guide._act, None
    stage.frame()
    without = pygame.surfarray.array3d(stage.surface.subsurface(place)).astype(int)
    person.play.guide._act = guide
    stage.frame()
    return int((np.abs(with_light - without).sum(axis=2) > 60).sum())


def test_the_tab_is_lit_until_its_sheet_is_open_and_then_what_is_set_there():
    person = person_at(scenario="03-load-and-clamp")
    assert play_lesson(person.session, person.play.lesson, 3)
    person.play.go("console")
    assert "tab.walk" in lit(person)
    assert _unlike(person, "tab.walk") > 100
    person.click("tab.walk")
    assert "tab.walk" not in lit(person)
    name = "walk.shuttle_vise.jaw_gap_mm.value"
    assert name in lit(person)
    assert _unlike(person, name) > 100


def test_what_is_lit_is_brought_into_sight_when_its_sheet_is_opened_and_not_again():
    person = person_at(scenario="03-load-and-clamp")
    assert play_lesson(person.session, person.play.lesson, 6)
    name = "walk.mode.key.in the switch"
    assert "tab.walk" in lit(person)
    person.play.go("walk")
    person.frame()
    person.frame()
    assert name in lit(person)
    place = person.app.stage.by_name[name]
    assert place.seen == place.rect
    person.app.stage.page.scrolls.panes["sheet.walk"].offset = 0
    person.play.refresh()
    person.frame()
    assert person.app.stage.page.scrolls.panes["sheet.walk"].offset == 0


def _at_the_mode_key():
    """Return somebody whose next act is on the sheet of the walk round, out of sight, and the widget's name."""
    person = person_at(scenario="03-load-and-clamp")
    assert play_lesson(person.session, person.play.lesson, 6)
    lit(person)
    return person, "walk.mode.key.in the switch"


def test_no_frame_shows_a_sheet_that_is_not_yet_scrolled_to_what_is_lit():
    person, name = _at_the_mode_key()
    person.play.go("walk")
    person.frame()
    place = person.app.stage.by_name[name]
    assert place.seen == place.rect
    first = person.app.stage.surface.copy()
    person.frame()
    assert first.get_buffer().raw == person.app.stage.surface.get_buffer().raw


def test_what_comes_under_the_pointer_as_a_sheet_is_scrolled_to_it_takes_no_click(monkeypatch):
    person, name = _at_the_mode_key()
    stage = person.app.stage
    monkeypatch.setattr(stage_of, "wall_s", lambda: 100.0)
    person.play.go("walk")
    person.frame()
    person.frame()
    place = stage.by_name[name].seen.center
    stage.mouse_move(place)
    stage.page.scrolls.set("sheet.walk", 0)  # by a hand
    person.frame()
    assert getattr(stage.at(place), "name", "") != name
    stage.page._lit = frozenset()  # as if it were lit from now on
    person.play.refresh()
    person.frame()
    person.frame()
    assert stage.at(place).name == name
    person.watches = True
    done = len(person.session.done.acts)
    stage.mouse_down(place)
    stage.mouse_up(place)
    assert person.play.busy is None
    assert len(person.session.done.acts) == done


def test_a_key_is_lit_from_the_first_second_until_it_is_pressed_and_a_wrong_one_puts_out_nothing():
    person = person_at(scenario="01-power-up-and-stops")
    assert play_lesson(person.session, person.play.lesson, 2)
    person.play.go("console")
    assert "key.supply.reset" in lit(person)
    person.strike("q")
    assert "key.supply.reset" in lit(person)
    person.key_down("2")
    person.play.guide.tick()
    assert "key.supply.reset" not in person.app.stage.page.lights()
    person.key_up("2")
    assert "key.supply.control_on" in lit(person)


def test_of_a_two_hand_start_the_key_is_lit_and_then_both_palm_keys():
    person = person_at(scenario="02-two-hand-start")
    lesson = person.play.lesson
    while lesson.steps[lesson.number].goal.state != {"band": ("RUNNING",)}:
        assert play_lesson(person.session, lesson, lesson.number + 1)
    person.play.go("console")
    assert "key.palm.left" in lit(person)  # which was held down to see that this does not count
    person.session.release("palm.left", "palm.right")
    assert "key.band.run" in lit(person)
    person.strike("q")
    assert {"key.palm.left", "key.palm.right"} <= lit(person)
    assert "key.band.run" not in lit(person)


def test_a_number_that_is_turned_lights_what_sets_it():
    person = person_at(scenario="03-load-and-clamp")
    person.watches = True
    assert play_lesson(person.session, person.play.lesson, 3)
    person.play.go("walk")
    lit(person)
    person.play.gathered("shuttle_vise.jaw_gap_mm", 4.0)
    person.frame()
    assert lit(person) == {"hands.do"}
    person.play.set_gathered()
    person.frame()
    assert person.play.busy is not None
    assert not lit(person)


@pytest.mark.parametrize("scenario", ["rail-posts", "posts-come-out-short"])
def test_nothing_is_lit_but_in_a_lesson(scenario):
    person = person_at(scenario=scenario)
    person.play.go("console")
    assert not lit(person)
    assert person.play.guide.light is None


def test_in_an_assessment_nothing_is_lit_even_with_steps():
    person = person_at(scenario="01-power-up-and-stops")
    session = person.session
    session.scenario = session.scenario.model_copy(update={"mode": "assessment"})
    assert not lit(person)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_what_is_lit_is_there_in_every_size_and_language(size, scale, language):
    for name, steps in (("01-power-up-and-stops", 2), ("03-load-and-clamp", 3), ("16-start-of-shift", 2)):  # fmt: skip
        person = person_at(size, scale, name, language)
        assert play_lesson(person.session, person.play.lesson, steps)
        for sheet in SHEETS:
            person.play.go(sheet)
            person.frame()
            names = lit(person)
            person.frame()
            seen = [
                each for each in names if min(getattr(person.app.stage.by_name.get(each), "seen", (0, 0, 0, 0))[2:]) > 0
            ]  # fmt: skip
            assert seen, (sheet, names)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", LESSONS)
def test_every_light_of_every_lesson_is_a_widget_of_its_sheet(name):
    person = person_at((1600, 900), scenario=name)
    lesson, met = person.play.lesson, 0
    while not lesson.done:
        lit(person)
        light = person.play.guide.light
        if light is not None:
            met += 1
            person.play.go(light.sheet)
            person.frame()
            assert any(each in person.app.stage.by_name for each in light.names), light
            assert part_of_act(light.act) in {"", *PARTS}
        assert play_lesson(person.session, lesson, lesson.number + 1)
    assert met > 3


@pytest.mark.parametrize("palette", [CALM, CALM_APART, STARK, STARK_APART])
def test_the_light_is_seen_on_anything_and_is_neither_danger_nor_focus_in_grey(palette):
    for ground in (palette.panel, palette.raised, palette.paper, palette.sunk):
        assert contrast(palette.guide, ground) >= 4.5
    assert luminance(palette.guide) > 2 * luminance(palette.red)
    assert palette.guide not in (palette.focus, palette.yellow, palette.white, palette.red)
