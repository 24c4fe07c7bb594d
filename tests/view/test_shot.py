"""A picture of the window, as a command makes it, speaks to who reads."""

import pygame

from sim.session.opening import open_session
from sim.view.console.gauges import GAUGES
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
