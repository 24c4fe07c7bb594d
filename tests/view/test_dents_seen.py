"""What a crushed bar looks like: narrower by its dent, and higher if it was round."""

import pytest

from sim.trade.crush import RING_CLOSING, RING_OPENING
from sim.trade.sections import Round, RoundTube, SquareTube
from sim.units import MM
from sim.view.picture.section_picture import section_pictures

GREY = (90, 90, 90)
PX_PER_M = 5000.0


def outline(section, dent_m):
    """Return how wide and how high the metal is drawn, px."""
    whole, _ = section_pictures(section, PX_PER_M, GREY, GREY, GREY, dent_m)
    return whole.get_bounding_rect(127).size


@pytest.mark.parametrize("dent_mm", [0.6, 2.0, 5.0])
def test_a_crushed_round_tube_is_drawn_oval_to_scale(dent_mm):
    tube = RoundTube(60 * MM, 3 * MM)
    wide, high = outline(tube, 0.0)
    pressed_wide, pressed_high = outline(tube, dent_mm * MM)

    assert wide - pressed_wide == pytest.approx(dent_mm * MM * PX_PER_M, abs=1.5)
    assert pressed_high - high == pytest.approx(
        dent_mm * MM * PX_PER_M * RING_OPENING / RING_CLOSING, abs=1.5
    )


def test_a_crushed_square_tube_is_drawn_narrower_and_no_higher():
    tube = SquareTube(50 * MM, 3 * MM)
    wide, high = outline(tube, 0.0)
    pressed_wide, pressed_high = outline(tube, 3 * MM)

    assert wide - pressed_wide == pytest.approx(15, abs=1.5)
    assert pressed_high == high


def test_a_sound_bar_is_drawn_as_it_is():
    assert outline(Round(60 * MM), 0.0) == (300, 300)
