"""A bowed bar in the jaws: what comes of a harder grip, and what is refused."""

import pytest

from sim.errors import DrycycleError
from sim.trade.bow import (
    SQUARE_M,
    curvature_1_m,
    face_lean_rad,
    flat_from_n,
    lean_at_jaws_rad,
    rise_m,
)

K, JAW_M, EI = 0.048, 0.12, 8400.0


def test_a_straight_bar_does_not_lean():
    assert lean_at_jaws_rad(0.0, JAW_M, EI, 0.0) == 0.0
    assert lean_at_jaws_rad(0.0, JAW_M, EI, 1e4) == 0.0
    assert rise_m(0.0, 1.0) == 0.0


def test_the_harder_it_is_pressed_the_less_it_leans_and_never_not_at_all():
    leans = [lean_at_jaws_rad(K, JAW_M, EI, share * 500.0) for share in range(200)]

    assert leans == sorted(leans, reverse=True)
    assert leans[-1] > 0.0


def test_the_lean_goes_on_smoothly_where_its_middle_begins_to_lie_flat():
    flat_n = flat_from_n(K, JAW_M, EI)
    before, at, after = (lean_at_jaws_rad(K, JAW_M, EI, flat_n + by) for by in (-1.0, 0.0, 1.0))

    assert at == pytest.approx(K * JAW_M / 4)
    assert before - at == pytest.approx(at - after, rel=1e-3)


def test_a_square_reads_no_more_of_a_long_piece_than_it_reaches():
    assert (
        face_lean_rad(0.0, K, SQUARE_M) == face_lean_rad(0.0, K, 2.0) > face_lean_rad(0.0, K, 0.1)
    )


def test_a_bow_is_told_over_a_metre_and_squareness_over_a_hand_and_a_half():
    # As they are chosen: a straightedge of 1000 mm, a square of 150 mm.
    assert curvature_1_m(0.006) == pytest.approx(0.048, rel=1e-3)
    assert face_lean_rad(0.0, 0.048, 2.0) == pytest.approx(0.0036)


def test_nothing_in_the_jaws_is_refused():
    with pytest.raises(DrycycleError):
        flat_from_n(K, 0.0, EI)
    with pytest.raises(DrycycleError):
        curvature_1_m(0.001, 0.0)
