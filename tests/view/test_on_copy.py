"""The second hint of a step is shown on a copy: nothing of the session changes, and anything ends it."""

from itertools import pairwise

import numpy as np
import pygame
import pytest

from sim.pilot.lesson_pilot import play_lesson
from sim.records.acts import Hinted
from sim.view.picture.round.person import PersonShown
from sim.view.play.console_rows import CAPS, STOPS
from sim.view.play.motion import keep_still
from sim.view.play.on_copy import COMES_S, is_copy

from .conftest import LOOKS, person_at
from .test_stops_everywhere import _acts, _strike

_FRAME_S = 0.04


class Shown:
    """Somebody who has asked for the hint of a step twice, and a wall clock of the test's own."""

    def __init__(self, lesson="03-load-and-clamp", steps=7, tab="brief", look=((1280, 720), 1.0, "en")):  # fmt: skip
        size, scale, language = look
        self.person = person_at(size, scale, lesson, language)
        self.person.watches = True
        self.play = self.person.play
        assert not steps or play_lesson(self.person.session, self.play.lesson, steps)
        self.play.tab = tab
        self.play.paused = True
        self.now_s = 0.0
        self.play.on_copy._wall = lambda: self.now_s
        self.person.frame()
        self.play.hint()
        assert not self.play.on_copy.running
        self.play.hint()

    def whole(self):
        session = self.person.session
        return (
            session.saw.digest(), session.now_s, len(session.done.acts), len(session.done.all),
            len(session.heard.events), len(session.seen.looks), tuple(session.hands.strikes), self.play.paused,
        )  # fmt: skip

    def pass_s(self, seconds):
        for _ in range(round(seconds / _FRAME_S)):
            self.now_s += _FRAME_S
            self.play.tick()
            self.person.frame()

    def to_end(self):
        for _ in range(3000):
            if not self.play.on_copy.running:
                return
            self.pass_s(_FRAME_S)
        raise AssertionError


@pytest.mark.parametrize(
    ("lesson", "steps"),
    [("01-power-up-and-stops", 2), ("03-load-and-clamp", 3), ("03-load-and-clamp", 7), ("06-band-speed-tension-guides-and-brush", 1),
     ("09-automatic-job-in-production", 3), ("14-shut-down", 6)],
)  # fmt: skip
def test_what_is_shown_changes_nothing_of_the_session(lesson, steps):
    shown = Shown(lesson, steps)
    before = shown.whole()
    assert shown.play.on_copy.running
    copy = shown.play.on_copy.copy
    was = copy.saw.digest(), len(copy.done.acts)
    shown.pass_s(COMES_S + 1.0)
    assert (copy.saw.digest(), len(copy.done.acts)) != was
    assert shown.whole() == before
    shown.to_end()
    assert shown.whole() == before
    assert shown.play.tab == "brief"


def test_every_hint_counts_and_what_is_shown_is_none_of_its_own():
    shown = Shown()
    hints = [act for act in shown.person.session.done.acts if isinstance(act, Hinted)]
    assert len(hints) == 2
    shown.to_end()
    assert len([act for act in shown.person.session.done.acts if isinstance(act, Hinted)]) == 2


def test_the_first_hint_of_the_next_step_is_in_words_again():
    shown = Shown()
    shown.play.on_copy.end()
    assert play_lesson(shown.person.session, shown.play.lesson, 8)
    shown.play.hint()
    assert not shown.play.on_copy.running
    shown.play.hint()
    assert shown.play.on_copy.running


def test_the_sheet_of_the_act_is_opened_and_its_key_has_a_ghost_hand():
    shown = Shown()
    shown.pass_s(_FRAME_S)
    stage = shown.person.app.stage
    assert shown.play.tab == "console"
    assert "key.shuttle.back" in stage.page.lights()
    mood = stage._mood(stage.by_name["key.shuttle.back"])
    assert mood.lit
    assert mood.ghost
    assert "Shown on a copy" in stage.by_name["stands"].label


def test_hands_of_the_copy_are_dashed_and_go_slowly_and_no_hand_there_is_solid(monkeypatch):
    shown = Shown(steps=3)
    solid = []
    arm = PersonShown._arm
    monkeypatch.setattr(
        PersonShown,
        "_arm",
        lambda person, *of, **words: solid.append(person._session) or arm(person, *of, **words),
    )
    stage = shown.person.app.stage
    pictures, copy = [], shown.play.on_copy.copy
    for _ in range(6):
        shown.pass_s(0.2)
        place = stage.by_name["round"].seen
        pictures.append(pygame.surfarray.array3d(stage.surface.subsurface(place)).astype(int))
    for one, other in pairwise(pictures):
        assert (np.abs(one - other).sum(axis=2) > 30).any()
    shown.pass_s(COMES_S + 1.0)
    assert is_copy(copy)
    assert not is_copy(shown.person.session)
    assert copy not in solid


def test_where_no_motion_is_wanted_the_hands_are_there_at_once():
    shown = Shown(steps=3)
    assert shown.play.on_copy.share == 0.0
    keep_still(True)
    assert shown.play.on_copy.share == 1.0


def test_a_key_or_a_click_ends_it_and_does_nothing_else():
    for end in ("key", "click", "right"):
        shown = Shown()
        shown.pass_s(0.4)
        before = shown.whole()
        if end == "key":
            shown.person.strike("1")
        elif end == "click":
            place = shown.person.widget("key.supply.isolator").seen.center
            shown.person._send(pygame.MOUSEBUTTONDOWN, pos=place, button=1)
            shown.person.mouse_up(place)
        else:
            shown.person._send(pygame.MOUSEBUTTONDOWN, pos=(300, 500), button=3)
        assert not shown.play.on_copy.running
        assert shown.whole() == before
        shown.person.frame()
        assert shown.play.tab == "brief"
        assert "Shown on a copy" not in shown.person.app.stage.by_name["stands"].label


@pytest.mark.parametrize("stop", STOPS)
@pytest.mark.parametrize("by", ["key", "mouse", "bare letter"])
def test_a_stop_ends_it_and_acts_on_the_saw_itself(stop, by):
    shown = Shown()
    shown.pass_s(0.4)
    person = shown.person
    if by == "mouse":
        place = person.mouse_down(f"key.{stop}")
        assert _acts(person, stop)
        person.mouse_up(place)
    elif by == "bare letter":
        person.app.stage.focus = ""
        person.key_down(CAPS[stop].letter)
        assert _acts(person, stop)
        person.key_up(CAPS[stop].letter)
    else:
        assert _strike(person, stop)
    assert not shown.play.on_copy.running


def test_an_instructor_who_freezes_the_saw_ends_it():
    shown = Shown()
    shown.person.session.instructor.freeze(True)
    shown.pass_s(_FRAME_S)
    assert not shown.play.on_copy.running


def test_while_hands_are_at_the_saw_a_hint_is_only_told():
    shown = Shown()
    shown.play.on_copy.end()
    shown.play.inspect("jaw-gaps")
    assert shown.play.busy is not None
    shown.play.hint()
    assert not shown.play.on_copy.running


@pytest.mark.sampled(3)
@pytest.mark.parametrize("look", [each.values for each in LOOKS])
def test_that_it_is_a_copy_is_said_across_the_stage_in_every_size_and_language(look):
    shown = Shown(look=look)
    shown.pass_s(_FRAME_S)
    stage = shown.person.app.stage
    banner = stage.by_name["stands"]
    assert banner.seen == banner.rect
    assert ("copia" if look[2] == "es" else "copy") in banner.label
    assert banner.rect.width >= 0.3 * stage.by_name["picture"].rect.width
