"""How long a piece and a job take, as a sum of moves at steady speeds.

Never here: the sequence itself, which is the controller's; this is the planner's estimate.

One piece: the shuttle vise releases, the shuttle goes back to its stop, the shuttle vise clamps,
the cutting vise releases, the shuttle goes forward, the cutting vise clamps, as often as there
are strokes; the head comes down, cuts and is raised. With `returns_in_cut` the shuttle makes its
first run back while the head is at work. Starting and stopping of each move is neglected.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from sim.trade.bounds import require_above_zero


@dataclass(frozen=True)
class Moves:
    """What one piece is made of: ways, speeds and the times that have no way."""

    strokes: int
    stroke_m: float
    back_m_s: float
    forward_m_s: float
    clamp_s: float
    release_s: float
    approach_m: float
    approach_m_s: float
    cut_s: float
    lift_m: float
    lift_m_s: float
    returns_in_cut: bool = False

    def __post_init__(self) -> None:
        require_above_zero(
            "Moves",
            strokes=self.strokes,
            back_m_s=self.back_m_s,
            forward_m_s=self.forward_m_s,
            approach_m_s=self.approach_m_s,
            lift_m_s=self.lift_m_s,
        )


def return_s(moves: Moves) -> float:
    """Return the time to release the shuttle vise, go back to the stop and clamp, s."""
    return moves.release_s + moves.stroke_m / moves.back_m_s + moves.clamp_s


def advance_s(moves: Moves) -> float:
    """Return the time to release the cutting vise, go forward and clamp, s."""
    return moves.release_s + moves.stroke_m / moves.forward_m_s + moves.clamp_s


def index_s(moves: Moves) -> float:
    """Return the time of a whole index with nothing else going on, s."""
    return moves.strokes * (return_s(moves) + advance_s(moves))


def head_s(moves: Moves) -> float:
    """Return the time of the head down through the bar and up again, s."""
    down_s = moves.approach_m / moves.approach_m_s + moves.cut_s
    return down_s + moves.lift_m / moves.lift_m_s


def piece_s(moves: Moves) -> float:
    """Return the time from one piece to the next within a job, s."""
    if not moves.returns_in_cut:
        return index_s(moves) + head_s(moves)
    others_s = index_s(moves) - return_s(moves)
    return others_s + max(return_s(moves), head_s(moves))


def job_of_cuts_s(cuts: Sequence[Moves], band_start_s: float, square_first: bool = False) -> float:
    """Return the time of a job, s: band up to speed, squaring cut if any, then the pieces.

    The first index has no cut before it to run back in, unless there is a squaring cut; the last
    cut has no index after it. The cuts need not take the same time.

    Args:
        cuts: The moves of each cut with its index, in order; of a squaring cut its head alone counts.
        band_start_s: What the band takes to its speed, s.
        square_first: Whether the first cut squares the end.
    """
    if not cuts:
        return band_start_s
    first_s = head_s(cuts[0]) + (0.0 if square_first else index_s(cuts[0]))
    return band_start_s + first_s + fsum(piece_s(moves) for moves in cuts[1:])
