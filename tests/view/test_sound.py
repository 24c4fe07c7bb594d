"""Everything that is heard has a caption, nothing clips or clicks, and no device means no sound."""

from itertools import pairwise
from math import cos, hypot, pi, sin

import pygame
import pytest

from sim.pilot import autopilot
from sim.view.play import speaker
from sim.view.play.hearing import CAPTIONS, Ears
from sim.view.play.samples import KNOCKS, RATE_HZ
from sim.view.play.speaker import Speaker, wants_sound
from sim.view.play.synth import PIECE, Note, Synth
from sim.words.message import quoted

VOICES = ("band", "cut", "pump", "coolant", "Q2")
NOTE = Note(1.0, 150.0, 0.5)


def _pieces(synth, notes, count):
    return [each for _ in range(count) for each in synth.piece(notes)]


def _strength(samples, pitch_hz):
    """Return how strong a pitch is in the samples, by Goertzel."""
    turn = 2 * cos(2 * pi * pitch_hz / RATE_HZ)
    before = last = 0.0
    for sample in samples:
        before, last = last, sample + turn * last - before
    return hypot(last - before * cos(2 * pi * pitch_hz / RATE_HZ), before * sin(2 * pi * pitch_hz / RATE_HZ))  # fmt: skip


def _alike(one, other):
    """Return the correlation of two stretches, 1 where the one is the other."""
    return sum(a * b for a, b in zip(one, other, strict=True)) / (hypot(*one) * hypot(*other))


@pytest.mark.parametrize("name", [*VOICES, *KNOCKS])
def test_every_sound_has_a_caption_and_does_not_clip(name):
    samples = KNOCKS[name]() if name in KNOCKS else _pieces(Synth(), {name: NOTE}, 5)
    assert CAPTIONS[name]
    assert 1_000 < max(abs(s) for s in samples) < 32_000
    assert len(samples) <= 1.2 * RATE_HZ


@pytest.mark.parametrize("name", VOICES)
def test_a_voice_has_its_pitch_and_goes_on_without_a_click(name):
    synth = Synth()
    first = _pieces(synth, {name: Note(0.6, 150.0)}, 8)
    then = _pieces(synth, {name: Note(1.0, 210.0)}, 8)
    gone = _pieces(synth, {}, 1)
    settled = first[PIECE:]
    assert _strength(settled, 150) > 8 * _strength(settled, 190)
    assert _strength(then[PIECE:], 210) > 8 * _strength(then[PIECE:], 190)
    steepest = max(abs(b - a) for a, b in pairwise(then[PIECE:] + settled))
    joints = [first[0], *(b - a for a, b in pairwise(first + then + gone))]
    assert max(map(abs, joints)) <= 1.3 * steepest
    assert abs(gone[-1]) <= 0.02 * max(map(abs, settled))
    assert synth.silent


@pytest.mark.parametrize(("name", "most"), [("cut", 0.9), ("coolant", 0.2)])
def test_no_second_of_it_is_like_the_one_before(name, most):
    samples = _pieces(Synth(), {name: NOTE if name == "cut" else Note(1.0, 3.0, 1.0)}, 45)
    for seconds in (1, 2):
        shift = seconds * RATE_HZ
        assert abs(_alike(samples[:RATE_HZ], samples[shift : shift + RATE_HZ])) < most


def test_all_voices_at_once_stay_within_what_a_device_can_play():
    samples = _pieces(Synth(), dict.fromkeys(VOICES, NOTE), 20)
    over = [s for s in samples if abs(s) >= 32_000]
    assert len(over) < 0.001 * len(samples)


def test_the_teeth_are_heard_at_the_pitch_at_which_they_pass(at_the_posts):
    session, ears = at_the_posts.session, at_the_posts.play.ears
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    autopilot.wait_until(session, lambda: session.saw.plant.head.cutting is not None, 120)
    session.advance(1)
    plant, notes = session.saw.plant, ears.notes()
    passing_hz = plant.band.speed_m_s / (0.0254 / plant.blade.teeth_per_inch)
    assert notes["cut"].pitch_hz == pytest.approx(passing_hz)
    assert notes["band"].pitch_hz == pytest.approx(70 * plant.band.speed_m_s)
    assert set(notes) <= set(CAPTIONS)


def test_in_a_drill_no_sound_tells_a_speed_or_a_load(at_short_posts):
    session, ears = at_short_posts.session, at_short_posts.play.ears
    autopilot.power_up(session)
    autopilot.raise_head(session)
    session.palms("band.run")
    session.advance(3)
    slow = ears.notes()["band"]
    session.hold("band.faster", 5)
    assert ears.notes()["band"] == slow
    assert session.saw.plant.band.speed_m_s > 0


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
    play.paused = False  # paused, that time stands is said in their place
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
    def refuse(*_words, **_named):
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
