"""Everything that is heard has a caption, nothing clips or clicks, and no device means no sound."""

from itertools import pairwise

import pygame
import pytest

from sim.pilot import autopilot
from sim.view.play import speaker
from sim.view.play.hearing import CAPTIONS, Ears
from sim.view.play.samples import KNOCKS, LOOPS, RATE_HZ
from sim.view.play.speaker import Speaker, wants_sound
from sim.words.message import quoted


@pytest.mark.parametrize("name", [*LOOPS, *KNOCKS])
def test_every_sound_has_a_caption_and_does_not_clip(name):
    samples = {**LOOPS, **KNOCKS}[name]()
    assert CAPTIONS[name]
    assert 1_000 < max(abs(s) for s in samples) < 32_767
    assert len(samples) <= 1.2 * RATE_HZ


@pytest.mark.parametrize("name", list(LOOPS))
def test_a_loop_runs_into_its_own_beginning(name):
    samples = LOOPS[name]()
    steps = sorted(abs(b - a) for a, b in pairwise(samples))
    assert abs(samples[0] - samples[-1]) <= steps[-1]


def test_knocks_die_away():
    for make in KNOCKS.values():
        samples = make()
        assert max(abs(s) for s in samples[-50:]) < 0.05 * max(abs(s) for s in samples)


def test_a_job_is_heard_and_captioned(at_the_posts):
    session, play = at_the_posts.session, at_the_posts.play
    autopilot.power_up(session)
    heard = [knock.name for knock in play.ears.knocks()]
    assert "contactor" in heard
    assert "the oil pump whines" in play.ears.captions()
    assert "the band hums" not in play.ears.captions()
    autopilot.set_up(session)
    autopilot.begin(session)
    autopilot.wait_until(session, lambda: session.saw.plant.head.cutting is not None, 120)
    session.advance(1)
    assert "valve" in [knock.name for knock in play.ears.knocks()]
    captions = play.ears.captions()
    assert {"the band hums", "the teeth cut", "the oil pump whines"} <= set(captions)
    assert len(captions) == len(set(captions))
    at_the_posts.frame()
    assert "captions" in at_the_posts.app.stage.by_name


def test_harm_is_heard_as_a_thud(at_the_posts):
    at_the_posts.session.saw.plant.site.tell("bar-into-band", quoted("For this test."))
    assert [knock.name for knock in at_the_posts.play.ears.knocks()] == ["thud"]
    assert at_the_posts.play.ears.knocks() == []


def test_the_speaker_plays_what_is_heard_and_stops_with_the_clock(at_the_posts):
    sound = Speaker()
    sound.turn(True)
    assert sound.on
    session = at_the_posts.session
    ears = Ears(session, at_the_posts.play.trace)
    autopilot.power_up(session)
    sound.play(ears, running=True)
    assert sound.sounding == {"pump"}
    sound.play(ears, running=False)
    assert sound.sounding == frozenset()
    sound.turn(False)
    assert not sound.on
    assert pygame.mixer.get_init() is None


def test_sound_is_off_by_itself_where_there_is_no_device(monkeypatch, tmp_path):
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    assert not wants_sound("auto")
    assert wants_sound("on")
    assert not wants_sound("off")
    monkeypatch.delenv("SDL_AUDIODRIVER")
    monkeypatch.delenv("PULSE_SERVER", raising=False)
    monkeypatch.setattr(speaker.sys, "platform", "linux")
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    (tmp_path / "pulse").mkdir()
    (tmp_path / "pulse" / "native").touch()
    assert wants_sound("auto")


def test_a_mixer_that_cannot_start_leaves_the_window_silent(monkeypatch):
    def refuse(*_words):
        raise pygame.error("no device")

    monkeypatch.setattr(pygame.mixer, "init", refuse)
    sound = Speaker()
    sound.turn(True)
    assert not sound.on


@pytest.mark.parametrize(
    ("force_n", "caption"),
    [(360, "the teeth cut"), (100, "a thin, dry hiss, where the teeth should cut"), (1500, "the cut growls")],
)  # fmt: skip
def test_the_ear_tells_what_the_chips_tell(at_the_posts, force_n, caption):
    session = at_the_posts.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    session.set("head.feed_force_n", force_n)
    session.set("head.feed_valve_mm_min", 174 if force_n < 1000 else 250)
    autopilot.begin(session)
    autopilot.wait_until(session, lambda: session.saw.plant.head.cutting is not None, 120)
    session.advance(3)

    assert caption in at_the_posts.play.ears.captions()


def test_in_a_drill_the_ear_tells_only_that_the_teeth_cut(at_the_posts, monkeypatch):
    session = at_the_posts.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    session.set("head.feed_force_n", 100)
    autopilot.begin(session)
    autopilot.wait_until(session, lambda: session.saw.plant.head.cutting is not None, 120)
    session.advance(3)
    monkeypatch.setattr("sim.session.sights.sounds.hides", lambda _session: True)

    assert "the teeth cut" in at_the_posts.play.ears.captions()
