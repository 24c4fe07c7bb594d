"""The two seconds of what would have happened: each kind is shown, moves, is heard, stops short of hands, and ends."""

import pygame
import pytest
from pygame import Rect, Surface

from sim.plant.harm.kinds import KINDS, Severity
from sim.session.hands.zones import STRIKES
from sim.session.opening import open_session
from sim.view.kit.palette import CALM
from sim.view.pages.app import start_drawing
from sim.view.picture.round.closeup import close_to
from sim.view.picture.round.reel import _SHORT_M, Reel
from sim.view.picture.round.view import round_of
from sim.view.play.aftermath import LASTS_S, Aftermath
from sim.view.play.happening import _BY_WAY, SHOWN, ZONE_OF, Showing, heard, is_shown
from sim.view.play.hearing import CAPTIONS
from sim.view.play.motion import keep_still
from sim.view.play.synth import Synth, timbre
from sim.words.message import quoted

from .conftest import person_at

AREA = Rect(0, 0, 480, 270)
MOVES = sorted(kind for kind, way in SHOWN.items() if way is not Showing.TOLD)


class Clock:
    """A wall clock that a test moves on."""

    def __init__(self):
        self.now_s = 100.0

    def __call__(self):
        return self.now_s


def came_to(kind, scenario="rail-posts"):
    session = open_session(scenario)
    session.saw.plant.site.tell(kind, quoted("For the test."))
    return session


def pictures(session, kind, shares):
    """Return what the picture shows at some shares; the last one is with no reel."""
    start_drawing()
    surface = Surface((AREA.right, AREA.bottom))
    seen = round_of(session, close_to(kind), AREA, AREA, CALM)
    found = []
    for share in (*shares, None):
        seen.reel.run(kind if share is not None else "", 1.0 if share is None else share)
        surface.fill((0, 0, 0))
        seen.paint(surface)
        found.append(pygame.image.tobytes(surface, "RGB"))
    return found


def at_harm(kind, scenario="rail-posts", *, still=False):
    """Return somebody before whose eyes it is shown, and the clock on his wall."""
    person = person_at(scenario=scenario)
    person.play.go("console")
    person.watches = True
    keep_still(still)
    clock = Clock()
    person.play.aftermath._wall = clock
    person.session.saw.plant.site.tell(kind, quoted("For the test."))
    person.frame()
    return person, clock


# The table --------------------------------------------------------------------------------


def test_every_kind_of_harm_and_every_strike_has_its_one_row():
    told = [kind for kinds in _BY_WAY.values() for kind in kinds]
    assert sorted(told) == sorted(KINDS)
    assert set(_BY_WAY) == set(Showing)
    for kind in STRIKES & KINDS.keys():
        assert SHOWN[kind] is Showing.HAND
        assert kind in ZONE_OF
    for kind, row in KINDS.items():
        grave = (row.severity is not Severity.WARNING or row.critical) and not row.measured
        assert is_shown(kind) == grave, kind


@pytest.mark.parametrize("kind", MOVES)
def test_every_kind_that_is_shown_moves_from_picture_to_picture_and_ends(kind):
    session = came_to(kind)
    digest = session.saw.digest()
    first, middle, late, ended, after = pictures(session, kind, (0.1, 0.45, 0.8, 1.0))
    assert len({first, middle, late}) >= 2
    assert first != after
    assert ended == after  # what is left when it is over
    assert pictures(session, kind, (0.45,))[0] == middle
    assert session.saw.digest() == digest


@pytest.mark.parametrize("kind", MOVES)
def test_every_kind_that_is_shown_is_heard_with_a_caption_until_it_ends(kind):
    synth = Synth()
    names = set()
    for share in (0.02, 0.3, 0.6, 0.9):
        notes = heard(kind, share)
        assert len(notes) == 1
        names |= notes.keys()
        (name,) = notes
        assert timbre(name) == name  # a voice of its own, not the hum of a motor
        assert name in CAPTIONS
        assert 0.0 < notes[name].level <= 1.0
        assert any(synth.piece(notes))
    assert len(names) == 1
    assert not heard(kind, 1.0)
    synth.piece({})
    assert synth.silent


@pytest.mark.parametrize("kind", sorted(set(ZONE_OF) & KINDS.keys()))
def test_where_hands_are_struck_all_else_is_grey_and_nothing_comes_to_them(kind):
    session = came_to(kind)
    start_drawing()
    seen = round_of(session, close_to(kind), AREA, AREA, CALM)
    surface = Surface((AREA.right, AREA.bottom))
    for share in (0.1, 0.5, 0.97, 1.0):
        seen.reel.run(kind, share)
        seen.paint(surface)
        pixels = pygame.surfarray.array3d(surface).astype(int)
        assert (pixels[..., 2] - pixels[..., 0]).max() <= 12  # a hand is no blue, and red is none
        assert (pixels[..., 1] - pixels[..., 0]).max() <= 12  # nor green
        assert seen.things._person._off(True)[1] < 0.0  # short of where they would be struck
        assert seen.reel.short_m >= _SHORT_M


# When -------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["bar-snatched", "struck-band"])
def test_the_card_comes_after_two_seconds_and_nothing_of_the_saw_goes_on_meanwhile(kind):
    person, clock = at_harm(kind)
    digest, at_us = person.session.saw.digest(), person.session.saw.clock.now_us
    assert person.app.moves
    for _ in range(19):
        clock.now_s += LASTS_S / 20
        person.app.tick()
        person.frame()
        assert "wreck" not in person.app.stage.by_name
        assert person.widget("phase").label
        assert person.play.ears.notes()
    clock.now_s += LASTS_S / 10
    person.app.tick()
    person.frame()
    assert "wreck.back" in person.app.stage.by_name
    assert not person.app.moves
    assert not person.play.ears.notes()
    assert not person.app.stage.frame()  # an idle window costs nothing
    assert (person.session.saw.digest(), person.session.saw.clock.now_us) == (digest, at_us)


def test_where_no_motion_is_wanted_the_last_picture_stands_at_once():
    person, _ = at_harm("bar-snatched", still=True)
    assert "wreck.back" in person.app.stage.by_name
    assert not person.app.moves
    assert not person.play.ears.notes()


def test_in_a_run_that_goes_on_it_goes_on_and_the_strip_comes_after_it():
    person, clock = at_harm("head-dropped")
    person.play.paused = False
    assert "harm" not in person.app.stage.by_name
    person.session.advance(1.0)
    person.strike("f12")
    assert "supply.emergency_stop" in person.session.saw.held
    clock.now_s += LASTS_S + 0.1
    person.frame()
    assert "harm.back" in person.app.stage.by_name


@pytest.mark.parametrize("how", ["f12", "mouse"])
def test_a_stop_while_the_end_is_shown_says_at_once_that_nothing_moves_any_more(how):
    person, _ = at_harm("band-broken")
    if how == "mouse":
        person.click("key.supply.emergency_stop")
    else:
        person.strike("f12")
    assert "nothing of the saw moves any more" in person.app.stage.page.bubble().text
    assert person.app.stage.page.bubble().anchor == "key.supply.emergency_stop"
    assert "wreck.back" in person.app.stage.by_name  # and it is shown no longer


def test_it_is_shown_in_the_round_and_the_drawing_comes_back_after_it():
    person, clock = at_harm("band-broken")
    person.play.outlook.drawing = True
    person.play.refresh()
    person.frame()
    assert "round" in person.app.stage.by_name
    clock.now_s += LASTS_S + 0.1
    person.frame()
    assert "drawing" in person.app.stage.by_name


def test_in_a_drill_only_what_ended_the_run_is_shown():
    for kind in ("teeth-stripped", "head-dropped"):
        session = open_session("posts-come-out-short")
        after = Aftermath(session)
        session.saw.plant.site.tell(kind, quoted("For the test."))
        assert not after.playing, kind
    session = open_session("posts-come-out-short")
    after = Aftermath(session)
    session.saw.plant.site.tell("band-broken", quoted("For the test."))
    assert after.playing


def test_the_later_of_two_that_end_nothing_is_shown_and_what_ends_the_run_before_both():
    session = open_session("rail-posts")
    after = Aftermath(session)
    for kind in ("teeth-stripped", "bar-snatched", "head-dropped"):
        session.saw.plant.site.tell(kind, quoted("For the test."))
    assert after.playing
    assert after.harm.kind == "bar-snatched"


def test_a_reel_that_does_not_run_moves_nothing():
    reel = Reel()
    assert not reel.runs
    assert (reel.bar, reel.band, reel.whips, reel.head_up_m) == (1.0, 1.0, 0.0, 0.0)
    assert reel.hands_off == (0.0, 0.0, 0.0)
