"""A picture of the window, as a command makes it, speaks to who reads."""

from functools import partial

import pygame
import pytest

from sim.session.opening import open_session
from sim.view.console.gauges import GAUGES
from sim.view.kit.palette import CALM
from sim.view.pages.picture_of_run import bring_to
from sim.view.pages.shot import shot
from sim.view.play.play import Play
from sim.view.play.telling import LASTS_S, Telling
from sim.words.reader import ENGLISH, Reader
from sim.words.speech import read_by


def test_a_picture_is_in_the_language_of_who_reads():
    pictures = []
    for reader in (ENGLISH, Reader("es"), ENGLISH):
        read_by(reader)
        pictures.append(pygame.image.tobytes(shot(open_session("rail-posts")), "RGB"))

    english, spanish, english_again = pictures
    assert english != spanish
    assert english == english_again


def test_every_unit_of_a_gauge_is_told_in_spanish():
    spanish = Reader("es")

    for gauge in GAUGES:
        if any(part.isalpha() and len(part) > 3 for part in gauge.unit.split()):
            assert spanish.unit(gauge.unit) != gauge.unit, gauge.unit


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--size", "99999x9999"), "--size: '99999x9999' is too large; give at most 7680x4320"),
        (("--size", "800x4321"), "is too large"),
        (("--size", "799x600"), "is not a size"),
        (("--at", "1441m"), "--at: '1441m' is too late; give at most 1440m, which is a day"),
        (("--at", "99999999999999999999s"), "is too late"),
        (
            ("--at", "60s"),
            "at '60s' the run is over; it ended at 0:51; give 51.6s or an earlier time",
        ),
    ],
)
def test_a_picture_that_cannot_be_made_is_refused(words, told, drycycle, tmp_path):
    code, _, err = drycycle("shot", "head-stops-short", "-o", tmp_path / "a.png", *words)

    assert (code, told in err) == (2, True), err
    assert not (tmp_path / "a.png").exists()


def test_a_run_that_came_to_its_end_can_be_seen_at_its_end(drycycle, tmp_path):
    code, _, err = drycycle("shot", "head-stops-short", "-o", tmp_path / "a.png", "--at", "51.6s")

    assert (code, err) == (0, "")
    assert (tmp_path / "a.png").stat().st_size > 10_000


def test_a_picture_of_the_signals_has_the_edges_that_came_before_it():
    grounds = []
    for at_s in (0.0, 30.0):
        seen = shot(
            open_session("rail-posts", nonce="for tests"),
            tab="signals",
            run=partial(bring_to, at_s=at_s),
        )
        lines = seen.subsurface((700, 600, 700, 280))
        grounds.append(pygame.mask.from_threshold(lines, CALM.white, (1, 1, 1)).count())
    assert grounds[1] > grounds[0] + 500  # a high level has a white line


@pytest.mark.parametrize("at_s", [12.0, 42.0])
def test_the_coach_line_of_a_picture_speaks_of_what_happens_then(at_s, monkeypatch):
    plays = []

    class Watched(Play):
        def __post_init__(self):
            super().__post_init__()
            plays.append(self)

    monkeypatch.setattr("sim.view.pages.shot.Play", Watched)
    session = open_session("rail-posts", nonce="for tests")

    shot(session, run=partial(bring_to, at_s=at_s))

    kind, words = plays[0].coach()
    assert session.saw.controller.job.state == "EXECUTE"
    assert (kind == "coach") == (at_s == 12.0)
    assert words == (
        "Both palm keys together: the job has all parts and runs. They tell where your hands are, and nobody else's."
        if kind == "coach"
        else "JOB: start."
    )


def test_a_remark_of_the_coach_goes_when_the_run_has_moved_on_and_not_before():
    session = open_session("rail-posts", nonce="for tests")
    telling = Telling(session)
    session.press("supply.isolator")
    telling.listen()
    said = str(telling.said)
    assert telling.kind == "coach"

    session.advance(LASTS_S * 3)
    telling.listen()
    assert str(telling.said) == said  # the control stands as it stood

    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.press("head.raise")
    telling.listen()
    assert telling.kind == "coach"
    session.advance(LASTS_S * 2)  # the head comes up, and no event tells of it
    telling.listen(pace=4.0)
    assert telling.kind == "coach"  # too fast to have been read
    telling.listen()
    assert telling.kind != "coach"
