"""A picture of the window, as a command makes it, speaks to who reads."""

from functools import partial

import pygame
import pytest

from sim.session.opening import open_session
from sim.view.console.gauges import GAUGES
from sim.view.kit.palette import CALM
from sim.view.pages.picture_of_run import bring_to
from sim.view.pages.shot import shot
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
            "at '60s' the run is over; it ended at 0:50; give 50.8s or an earlier time",
        ),
    ],
)
def test_a_picture_that_cannot_be_made_is_refused(words, told, drycycle, tmp_path):
    code, _, err = drycycle("shot", "head-stops-short", "-o", tmp_path / "a.png", *words)

    assert (code, told in err) == (2, True), err
    assert not (tmp_path / "a.png").exists()


def test_a_run_that_came_to_its_end_can_be_seen_at_its_end(drycycle, tmp_path):
    code, _, err = drycycle("shot", "head-stops-short", "-o", tmp_path / "a.png", "--at", "50.8s")

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
