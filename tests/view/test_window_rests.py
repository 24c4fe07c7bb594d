"""The window draws fast while something moves or a hand is at it, and rests while nothing does."""

import pygame
import pytest

from sim.pilot import autopilot
from sim.view.pages import window
from sim.view.pages.window import Frames


@pytest.fixture
def rests(at_the_posts, monkeypatch):
    """Return what makes one frame a time later, and how often the window then rests before the next."""
    now_s, naps = [0.0], []
    monkeypatch.setattr(window, "wall_s", lambda: now_s[0])
    monkeypatch.setattr(window, "load_the_rest", lambda: iter(()))
    monkeypatch.setattr(pygame.display, "update", lambda _rects: None)
    monkeypatch.setattr(pygame.time, "wait", naps.append)
    monkeypatch.setattr(pygame.event, "get", list)
    monkeypatch.setattr(pygame.event, "peek", lambda: False)
    app = at_the_posts.app
    app.play._pacer.frame_us = lambda: 16_667
    frames = Frames(app)

    def rests(after_s: float = 0.0) -> int:
        now_s[0] += after_s
        naps.clear()
        frames.one()
        frames.wait()
        return len(naps)

    return at_the_posts, rests


def test_a_window_in_which_nothing_moves_rests_and_one_in_which_time_runs_less(rests):
    person, rest = rests
    rest()
    assert rest(0.5) == 0  # a hand may still be at it
    long = rest(2.0)
    person.play.paused = False
    rest()  # the banner goes, which is to be seen
    assert rest(0.5) == 0
    short = rest(2.0)
    assert 0 < short < long
    assert (
        short * window._NAP_MS + 1000 / window.FRAMES_A_SECOND <= 50
    )  # ms until what moves is seen


def test_while_the_saw_moves_or_sounds_the_window_does_not_rest(rests, monkeypatch):
    person, rest = rests
    person.play.paused = False
    autopilot.power_up(person.session)
    person.session.press("head.raise")
    rest()
    assert [rest(0.5) for _ in range(8)] == [0] * 8
    person.session.advance(8.0)
    person.session.release("head.raise")
    rest()
    assert rest(2.0) > 0
    monkeypatch.setattr(type(person.app.speaker), "sounding", frozenset({"pump"}))
    assert rest(2.0) == 0
