"""Cycle and job time against the sequence played out move by move.

The moves are walked with a clock for each of shuttle and head, each waiting for the other where
the interlocks make it wait, which is another route than the sums under test.
"""

from dataclasses import replace

import pytest

from sim.trade.job_time import Moves, head_s, index_s, job_of_cuts_s, piece_s

# 200 mm at 100 mm/s to the stop and 50 mm/s to the band, vises 0.5 and 0.4 s, 10 mm at 5 mm/s
# above the bar, a cut of 60 s, 70 mm up at 60 mm/s
MOVES = Moves(1, 0.2, 0.1, 0.05, 0.5, 0.4, 0.01, 0.005, 60.0, 0.07, 0.07 / 1.2)


def _played_s(moves: Moves, pieces: int, band_start_s: float, square_first: bool) -> float:
    """Walk shuttle and head through a job and return when the last lift ends."""
    shuttle_s = head_up_s = head_free_s = band_start_s
    at_stop = False

    def run_back(start_s: float) -> float:
        return start_s + moves.release_s + moves.stroke_m / moves.back_m_s + moves.clamp_s

    def cut(start_s: float) -> float:
        down_s = start_s + moves.approach_m / moves.approach_m_s + moves.cut_s
        return down_s + moves.lift_m / moves.lift_m_s

    if square_first:
        head_up_s = cut(head_free_s)
        if moves.returns_in_cut:
            shuttle_s, at_stop = run_back(head_free_s), True
    for piece in range(pieces):
        for _ in range(moves.strokes):
            if not at_stop:
                shuttle_s = run_back(max(shuttle_s, head_up_s))
            at_stop = False
            shuttle_s = max(shuttle_s, head_up_s) + moves.release_s
            shuttle_s += moves.stroke_m / moves.forward_m_s + moves.clamp_s
        start_s = shuttle_s
        head_up_s = cut(start_s)
        if moves.returns_in_cut and piece < pieces - 1:
            shuttle_s, at_stop = run_back(start_s), True
    return head_up_s


@pytest.mark.parametrize("cut_s", [0.5, 60.0], ids=["short cut", "long cut"])
@pytest.mark.parametrize("strokes", [1, 3])
@pytest.mark.parametrize("returns_in_cut", [False, True])
@pytest.mark.parametrize("square_first", [False, True])
@pytest.mark.parametrize("pieces", [0, 1, 2, 7])
def test_a_job_takes_as_long_as_its_moves_played_out(
    cut_s: float, strokes: int, returns_in_cut: bool, square_first: bool, pieces: int
) -> None:
    # DERIVED: played out move by move
    moves = replace(MOVES, cut_s=cut_s, strokes=strokes, returns_in_cut=returns_in_cut)

    cuts = [moves] * (pieces + square_first)

    assert job_of_cuts_s(cuts, 2.0, square_first) == pytest.approx(
        _played_s(moves, pieces, 2.0, square_first), rel=1e-12
    )


def test_worked_piece() -> None:
    # DERIVED: index 0.4 + 2 + 0.5 + 0.4 + 4 + 0.5; head 2 + 60 + 1.2
    assert index_s(MOVES) == pytest.approx(7.8, rel=1e-12)
    assert head_s(MOVES) == pytest.approx(63.2, rel=1e-12)
    assert piece_s(MOVES) == pytest.approx(71.0, rel=1e-12)
    assert piece_s(replace(MOVES, returns_in_cut=True)) == pytest.approx(68.1, rel=1e-12)
