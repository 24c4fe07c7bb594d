"""A word of the trade is marked and explained at the pointer and by a key, with a picture; stops act meanwhile."""

import numpy as np
import pygame
import pytest
from pygame import Rect, Surface

from sim.glossary import finding
from sim.glossary.table import TERMS
from sim.pilot.lesson_pilot import play_lesson
from sim.view.kit import stage as stage_module
from sim.view.kit import words
from sim.view.kit.bubble import as_fits
from sim.view.kit.palette import CALM, STARK
from sim.view.kit.pen import Kit, Pen
from sim.view.pages.tabs import SHEETS
from sim.view.picture.round.parts import PARTS
from sim.view.picture.sketches import SKETCHES, paint_sketch
from sim.view.picture.word_pictures import PARTS_OF_WORDS
from sim.view.play.console_rows import CAPS, STOPS
from sim.words.message import quoted
from sim.words.speech import reader, tell

from .conftest import LOOKS, person_at
from .test_stops_everywhere import _acts, _strike

NEEDED = (
    "kerf", "gullet", "set", "rake", "pitch", "backlash", "long-point", "short-point", "remnant", "burr", "chip",
    "powder", "interlock", "two-hand", "lock-out", "mitre", "offcut", "bundle", "wall", "wander", "straddle", "jaw-gap",
)  # fmt: skip


def _explained(person, term):
    """Point at a word, wait a moment, and return its bubble."""
    stage = person.app.stage
    found = next(spot for _, spot in stage.words() if spot.term == term)
    stage.mouse_move(found.rect.center)
    stage._word_s = 0.0
    person.frame()
    return stage._bubble, found


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_no_explanation_is_off_the_screen_or_over_its_word_or_over_the_emergency_stop(
    size, scale, language
):
    person = person_at(size, scale, "03-load-and-clamp", language)
    assert play_lesson(person.session, person.play.lesson, 3)
    met = set()
    for sheet in SHEETS:
        person.play.go(sheet)
        person.frame()
        stage = person.app.stage
        screen = stage.surface.get_rect()
        for _, spot in stage.words():
            stage.mouse_move(spot.rect.center)
            stage._word_s = 0.0
            bubble = stage._explanation()
            if bubble is None:  # it lies under something
                continue
            met.add(bubble.word[0].title)
            spared = [
                stage.by_name[n].seen for n in ("stops", *stage.page.spared) if n in stage.by_name
            ]
            bubble, place = as_fits(stage.kit, bubble, Rect(bubble.word[1]), screen, spared)
            assert screen.contains(place), (sheet, spot)
            assert not place.colliderect(spot.rect), (sheet, spot)
            assert not place.colliderect(stage.by_name["key.supply.emergency_stop"].seen), (
                sheet,
                spot,
            )
            wide = place.width - 2 * stage.kit.px(0.6)
            assert stage.kit.letters.width(bubble.word[0].title, "body", True) <= wide
    assert len(met) > (25 if scale == 1.0 else 4)


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_stop_acts_while_a_word_is_explained_by_key_and_by_mouse(sheet):
    person = person_at(scenario="11-thin-wall")
    person.play.go(sheet)
    person.play.paused = True
    person.frame()
    stage = person.app.stage
    term = stage.words()[0][1].term
    for stop in STOPS:
        _explained(person, term)
        assert stage._bubble is not None
        assert _strike(person, stop), stop
        _explained(person, term)
        name = next(
            w.name for w in stage.active if w.name.endswith(f".{stop}") and w.seen == w.rect
        )
        place = person.mouse_down(name)
        assert _acts(person, stop), stop
        person.mouse_up(place)
        if _acts(person, stop):
            person.click(name)


def test_a_word_is_explained_when_the_pointer_has_rested_on_it_and_no_longer_when_it_leaves(monkeypatch):  # fmt: skip
    person = person_at(scenario="03-load-and-clamp")
    now = [100.0]
    monkeypatch.setattr(stage_module, "wall_s", lambda: now[0])
    stage = person.app.stage
    _, spot = next(each for each in stage.words() if each[0] == "lesson.ask")
    stage.mouse_move(spot.rect.center)
    person.frame()
    assert stage._bubble is None
    now[0] += 0.31
    person.frame()
    bubble = stage._bubble
    assert bubble.text == tell(TERMS[spot.term].text)
    before = pygame.surfarray.array3d(stage.surface)
    stage.mouse_move((2, stage.surface.get_height() - 2))
    person.frame()
    assert stage._bubble is None
    assert not np.array_equal(before, pygame.surfarray.array3d(stage.surface))


def test_the_key_goes_from_word_to_word_and_any_other_key_puts_the_explanation_away():
    person = person_at(scenario="03-load-and-clamp")
    stage = person.app.stage
    seen = []
    words_there = stage.words()
    for _ in words_there:
        person.strike("insert")
        seen.append(stage._word)
    assert seen == [spot for _, spot in words_there]
    person.strike("insert", mod=pygame.KMOD_SHIFT)
    assert stage._word == seen[-2]
    assert stage._bubble is not None
    person.strike("escape")
    assert stage._bubble is None
    assert stage._word is None


def test_the_key_begins_where_the_keyboard_is():
    person = person_at((1600, 900), scenario="03-load-and-clamp")
    person.play.go("inspect")
    person.frame()
    stage = person.app.stage
    name = next(name for name, _ in stage.words() if name.startswith("inspect.") and name in {w.name for w in stage.stops()})  # fmt: skip
    stage.focus = name
    person.strike("insert")
    assert stage._word_of == name


def test_a_word_of_the_coach_is_explained_until_the_coach_says_something_else():
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    person.play.say(quoted("The kerf is wide."))
    person.frame()
    bubble, _ = _explained(person, "kerf")
    assert bubble.word[0].picture is not None
    person.play.say(quoted("Nothing of that."))
    person.frame()
    assert person.app.stage._bubble is None


def test_a_refusal_goes_before_an_explanation():
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    person.play.paused = False
    person.play.say(quoted("The kerf is wide."))
    person.frame()
    _explained(person, "kerf")
    person.play.hands.press("mouse", "band.run")
    person.frame()
    assert person.app.stage._bubble.refusal


def test_words_are_found_once_for_a_text_and_not_each_frame(monkeypatch):
    person = person_at(scenario="03-load-and-clamp")
    asked = []
    monkeypatch.setattr(
        finding, "found_in", lambda *of: asked.append(of) or finding.found_in.__wrapped__(*of)
    )
    words._marks.cache_clear()
    monkeypatch.setattr(finding.found_in, "__wrapped__", lambda *_: (), raising=False)
    person.play.go("walk")
    person.frame()
    person.app.stage.words()
    first = len(asked)
    assert first > 5
    for _ in range(5):
        person.frame()
        person.app.stage.words()
    assert len(asked) == first
    words._marks.cache_clear()


def test_every_word_that_is_drawn_is_in_the_glossary_and_the_needed_ones_are_drawn():
    assert {*SKETCHES, *PARTS_OF_WORDS} <= set(TERMS)
    assert set(PARTS_OF_WORDS.values()) <= set(PARTS)
    assert set(NEEDED) <= {*SKETCHES, *PARTS_OF_WORDS}


@pytest.mark.parametrize("palette", [CALM, STARK])
def test_every_drawing_shows_what_is_meant_and_no_two_are_alike(palette):
    kit = Kit(person_at().app.stage.kit.letters, palette)
    met = {}
    for name, draw in SKETCHES.items():
        surface = Surface((160, 90))
        paint_sketch(Pen(surface, kit), surface.get_rect(), name)
        shown = pygame.surfarray.array3d(surface)
        bright = (shown == palette.guide).all(axis=2).sum()
        assert bright > 20, name
        other = met.setdefault(shown.tobytes(), draw)
        assert other is draw, name


def test_a_part_is_shown_as_it_is_seen_and_outlined():
    person = person_at((1600, 900), scenario="03-load-and-clamp")
    bubble, _ = _explained(person, "shuttle-vise" if any(s.term == "shuttle-vise" for _, s in person.app.stage.words()) else "bar")  # fmt: skip
    surface = Surface((240, 135))
    bubble.word[0].picture(Pen(surface, person.app.stage.kit), surface.get_rect())
    shown = pygame.surfarray.array3d(surface)
    assert (shown == CALM.guide).all(axis=2).sum() > 30
    assert len(np.unique(shown.reshape(-1, 3), axis=0)) > 60


def test_on_other_pages_nothing_is_marked():
    person = person_at()
    assert person.app.stage.words() == []


def test_words_are_found_in_the_readers_language():
    person = person_at(scenario="04-length-and-backlash", language="es")
    assert reader().language == "es"
    found = {spot.term for _, spot in person.app.stage.words()}
    assert {"length-stop"} <= found
    assert CAPS
