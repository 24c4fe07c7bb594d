"""Nothing outside a part's own area changes between frames when nothing moves there.

The ten scenes run for 300 frames each, standing and with time running. What a frame changes must lie in
the places of the parts whose face has changed, and now and then all of it must be what a window that is
painted anew shows: a part that paints over another, or one that is not wiped away, is seen by that.
"""

import numpy as np
import pytest
from pygame import Surface, surfarray

from sim.units import US
from sim.view.kit.stage import Stage
from sim.view.pages.app import start_drawing
from sim.view.picture.round import cut, view
from sim.view.picture.round.frame import baked
from sim.view.picture.round.travel import Travel

from .ten_scenes import SCENES

FRAMES = 300
FRAME_US = 16_667
_ANEW_EVERY = 60
# What is drawn finer than it is looked at: the end of a trace between two px, the edges of a head that has come
# down by a hundredth of one, those of a shuttle by a quarter. So many px of it may be older than the frame; a box
# that wipes is far more.
_FINE = ("round", "cut", "plan", "end view", "signal.")
_FINE_PX = 300


def _pixels(surface: Surface) -> np.ndarray:
    return surfarray.array2d(surface)


def _opened(name: str):
    start_drawing()
    app = SCENES[name]()
    app.play._pacer.frame_us = lambda: FRAME_US
    app.play.paused = False
    app.tick()
    app.stage.frame()
    return app


def leaked(stage: Stage, before: np.ndarray, after: np.ndarray, faces: list, tree: object) -> str:
    """Return what changed outside the parts whose face has changed since; empty where nothing did."""
    if stage.tree is not tree:
        return ""  # another tree: all of it was painted anew
    differs = before != after
    for widget, old, new in zip(stage.live, faces, stage._faces, strict=True):
        if old != new:
            place = widget.seen
            differs[place.left : place.right, place.top : place.bottom] = False
    return _where(differs)


def _where(differs: np.ndarray) -> str:
    if not differs.any():
        return ""
    xs, ys = np.nonzero(differs)
    return f"{len(xs)} px between {xs.min()}, {ys.min()} and {xs.max()}, {ys.max()}"


def unlike_anew(app) -> str:
    """Return where the window differs from itself painted anew from nothing; it is painted anew then."""
    was = _pixels(app.surface)
    view._kept.cache_clear()
    baked.cache_clear()
    cut._kept.cache_clear()
    app.stage.resize(app.surface, app.stage.kit)
    app.stage.frame()
    differs = was != _pixels(app.surface)
    for widget in app.stage.live:
        if widget.name.startswith(_FINE):
            place = widget.seen
            part = differs[place.left : place.right, place.top : place.bottom]
            if part.sum() <= _FINE_PX:
                part[:] = False
    return _where(differs)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", SCENES)
def test_nothing_changes_while_time_stands(name):
    app = _opened(name)
    app.play.paused = True
    app.tick()
    app.play.guide.settle()
    app.stage.frame()
    before = _pixels(app.surface)
    for frame in range(FRAMES):
        app.tick()
        assert app.stage.frame() == [], (frame, app.stage.live)
        assert np.array_equal(before, _pixels(app.surface)), frame


@pytest.fixture
def _runs_by_the_clock(monkeypatch):
    """Have the band drawn by the time alone: how far it was drawn to run hangs on the pictures before."""

    def way_m(travel, pitch_m):
        saw = travel._session.saw
        return saw.clock.now_us / US * saw.plant.band.speed_m_s * travel._slowed % pitch_m

    monkeypatch.setattr(Travel, "way_m", way_m)


@pytest.mark.usefixtures("_runs_by_the_clock")
@pytest.mark.sampled(6)
@pytest.mark.parametrize("name", SCENES)
def test_what_a_frame_changes_lies_in_the_parts_that_have_changed(name):
    app = _opened(name)
    within, before = 0, _pixels(app.surface)
    for frame in range(1, FRAMES + 1):
        stage = app.stage
        faces, tree = list(stage._faces), stage.tree
        app.tick()
        stage.frame()
        after = _pixels(app.surface)
        found = leaked(stage, before, after, faces, tree)
        assert not found, (frame, found)
        within += stage.tree is tree
        if frame % _ANEW_EVERY == 0:
            found = unlike_anew(app)
            assert not found, (frame, found)
            after = _pixels(app.surface)
        before = after
    assert within > FRAMES // 2


@pytest.mark.usefixtures("_runs_by_the_clock")
@pytest.mark.parametrize("way", ["beside itself", "over another", "left behind"])
def test_a_part_that_paints_where_it_should_not_is_seen(way):
    app = _opened("squaring cut")
    stage = app.stage
    clock = stage.by_name["bar.clock"]
    paint, place = clock.paint, clock.rect

    def bad(pen, rect, mood):
        paint(pen, rect, mood)
        pen.surface.set_clip(None)
        spot = stage.by_name["bar.title"].rect if way == "beside itself" else place
        if way == "over another":
            spot = stage.by_name["tab.walk"].rect
        pen.surface.fill((255, 0, 255), (spot.left + 4, spot.top + 4, 3, 3))

    if way == "left behind":
        clock.covers = True  # nothing is wiped under what it showed before
    else:
        clock.paint = bad
    found = ""
    before = _pixels(app.surface)
    for _ in range(30):
        faces, tree = list(stage._faces), stage.tree
        app.tick()
        stage.frame()
        assert stage.tree is tree
        after = _pixels(app.surface)
        found = found or leaked(stage, before, after, faces, tree)
        before = after
    assert found or unlike_anew(app)
