"""Pieces a bar, index travel and the length stop against brute force on exact fractions."""

from fractions import Fraction

import pytest

from sim.trade.length import (
    ceil_div,
    hundredths_from_m,
    index_travel_m,
    m_from_hundredths,
    pieces_per_bar,
    stop_after_turn,
    strokes_needed,
    yield_share,
)

MM = 1e-3


def _cut_up(bar_mm: str, piece_mm: str, kerf_mm: str, squaring_mm: str, remnant_mm: str) -> int:
    """Saw a bar piece by piece on exact fractions, as the machine would, and count."""
    bar, piece, kerf, squaring, remnant = map(
        Fraction, (bar_mm, piece_mm, kerf_mm, squaring_mm, remnant_mm)
    )
    if squaring:
        bar -= squaring + kerf
    pieces = 0
    while True:
        if remnant == 0 and bar == piece:  # the bar's own end is the last piece
            return pieces + 1
        after = bar - piece - kerf
        if remnant == 0 and after < 0 <= bar - piece:  # the kerf runs off the end of the bar
            return pieces + 1
        if after < remnant:
            return pieces
        bar, pieces = after, pieces + 1


def _hundredths(length_mm: str) -> int:
    return int(Fraction(length_mm) * 100)


@pytest.mark.parametrize(
    ("bar", "piece", "kerf", "squaring", "remnant", "pieces"),
    [  # DERIVED, brute force on fractions
        ("6000", "100", "1.5", "0", "0", 59),
        ("1013.5", "100", "1.5", "0", "0", 10),
        ("1063.5", "100", "1.5", "0", "50", 9),
        ("6000", "250", "1.3", "10", "80", 23),
        ("3000", "98.7", "1.3", "5", "60", 29),
    ],
)
def test_worked_bars_yield_the_counted_pieces(
    bar: str, piece: str, kerf: str, squaring: str, remnant: str, pieces: int
) -> None:
    lengths = [_hundredths(each) for each in (bar, piece, kerf, squaring, remnant)]

    assert pieces_per_bar(*lengths) == pieces
    assert _cut_up(bar, piece, kerf, squaring, remnant) == pieces


def test_exact_fits_are_counted_right_where_floats_lose_or_win_a_piece() -> None:
    # DERIVED: bars that fit exactly; plain floats fail on some of these
    floats_wrong = 0
    for tenths in range(500, 1500, 7):
        for kerf_tenths in (9, 11, 13, 15, 17):
            for pieces in range(3, 30, 4):
                bar = tenths * pieces + kerf_tenths * (pieces - 1)  # in tenths
                exact = pieces_per_bar(bar * 10, tenths * 10, kerf_tenths * 10)
                naive = int((bar / 10 + kerf_tenths / 10) // (tenths / 10 + kerf_tenths / 10))
                floats_wrong += naive != pieces

                assert exact == pieces
                assert pieces_per_bar(bar * 10 - 1, tenths * 10, kerf_tenths * 10) == pieces - 1

    assert floats_wrong > 0


@pytest.mark.parametrize("remnant", [0, 6_000])
@pytest.mark.parametrize("pieces", [1, 7, 29])
def test_a_squaring_cut_uses_up_its_slug_and_one_kerf(remnant: int, pieces: int) -> None:
    # DERIVED: bars that fit to the hundredth, and the same a hundredth shorter
    piece, kerf, squaring = 9_870, 130, 500
    cuts = pieces if remnant else pieces - 1
    bar = squaring + kerf + pieces * piece + cuts * kerf + remnant

    assert pieces_per_bar(bar, piece, kerf, squaring, remnant) == pieces
    assert pieces_per_bar(bar - 1, piece, kerf, squaring, remnant) == pieces - 1


def test_counts_agree_with_sawing_the_bar_up_over_a_grid() -> None:
    # DERIVED, brute force on fractions
    for bar in ("800", "1063.5", "2999.9"):
        for piece in ("50", "98.7", "333.33"):
            for kerf in ("0.9", "1.5"):
                for squaring in ("0", "5"):
                    for remnant in ("0", "0.01", "60"):
                        lengths = [
                            _hundredths(each) for each in (bar, piece, kerf, squaring, remnant)
                        ]
                        assert pieces_per_bar(*lengths) == _cut_up(
                            bar, piece, kerf, squaring, remnant
                        )


def test_a_bar_too_short_for_one_piece_yields_none() -> None:
    # DERIVED
    assert pieces_per_bar(9_000, 10_000, 150) == 0
    assert pieces_per_bar(1_000, 10_000, 150, squaring=2_000, remnant=5_000) == 0


@pytest.mark.parametrize(
    ("piece_mm", "strokes"),
    [(100, 1), (598.5, 1), (598.51, 2), (1198.5, 2), (1199, 3), (3000, 6)],
)
def test_strokes_of_a_six_hundred_millimetre_shuttle(piece_mm: float, strokes: int) -> None:
    # DERIVED: kerf 1.5; the sum of the strokes is piece and kerf
    needed = strokes_needed(piece_mm * MM, 1.5 * MM, 0.6)

    assert needed == strokes
    assert index_travel_m(piece_mm * MM, 1.5 * MM, needed) * needed == pytest.approx(
        (piece_mm + 1.5) * MM, rel=1e-12
    )
    assert index_travel_m(piece_mm * MM, 1.5 * MM, needed) <= 0.6 + 1e-9


def test_yield_of_the_worked_bar() -> None:
    # DERIVED: 59 pieces of 100 in 6 m
    assert yield_share(59, 0.1, 6.0) == pytest.approx(0.9833, abs=5e-5)


def test_hundredths_and_ceilings_are_whole() -> None:
    # DERIVED
    assert hundredths_from_m(0.09870) == 9870
    assert m_from_hundredths(9870) == pytest.approx(0.0987, rel=1e-12)
    assert all(hundredths_from_m(m_from_hundredths(each)) == each for each in (0, 1, 600_000))
    assert (ceil_div(10, 5), ceil_div(11, 5), ceil_div(0, 5)) == (2, 3, 0)


def test_a_setting_approached_from_above_is_true_and_from_below_short_by_the_play() -> None:
    # common practice, no source; arithmetic DERIVED: 0.15 mm of play
    play_m = 0.15 * MM
    from_above_m = stop_after_turn(stop_after_turn(0.2, 0.105, play_m), 0.1, play_m)
    from_below_m = stop_after_turn(stop_after_turn(0.02, 0.095, play_m), 0.1, play_m)

    assert from_above_m == pytest.approx(0.1, abs=1e-15)
    assert from_below_m == pytest.approx(0.1 - play_m, abs=1e-15)
