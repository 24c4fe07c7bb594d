"""Lengths along the bar: index travel, pieces a bar, and the rack of the length stop.

Never here: where the shuttle is or what it holds.

Counts are taken in whole hundredths of a millimetre. On floats an exact fit is lost or won by
rounding: floor(0.3 / 0.1) is 2.

Theory of the count, with k the kerf, p the piece and r the least remnant. A squaring cut first
uses up its slug and one kerf. If a remnant is wanted every piece is cut off, so each needs
p + k. If none is, the last piece may be the bar's own end and needs no kerf behind it. The
short formula that adds one kerf to the bar in both cases is one piece too many in the first.
"""

from typing import Final

from sim.errors import DrycycleError
from sim.trade.bounds import require_above_zero
from sim.units import MM
from sim.words.message import plain

HUNDREDTH_M: Final = 0.01 * MM

_BELOW_ZERO: Final = plain("length.below-zero", "a length of the bar is below zero")
_ZERO_OR_MORE: Final = plain("length.below-zero.do", "give every length as zero or more")


def hundredths_from_m(length_m: float) -> int:
    """Return a length in whole hundredths of a millimetre, rounded to the nearest."""
    return round(length_m / HUNDREDTH_M)


def m_from_hundredths(length_hundredths: int) -> float:
    """Return metres from hundredths of a millimetre."""
    return length_hundredths * HUNDREDTH_M


def index_travel_m(piece_m: float, kerf_m: float, strokes: int = 1) -> float:
    """Return how far each stroke of an index must carry the bar, m.

    The cut face is already one kerf back, so all strokes together make piece and kerf.

    Raises:
        DrycycleError: There is no stroke at all.
    """
    require_above_zero("index", strokes=strokes)
    return (piece_m + kerf_m) / strokes


def strokes_needed(piece_m: float, kerf_m: float, longest_stroke_m: float) -> int:
    """Return the fewest equal strokes that carry a piece and its kerf to the band.

    Raises:
        DrycycleError: The longest stroke is less than a hundredth of a millimetre.
    """
    longest = hundredths_from_m(longest_stroke_m)
    require_above_zero("index", longest_stroke_hundredths=longest)
    return ceil_div(hundredths_from_m(piece_m) + hundredths_from_m(kerf_m), longest)


def ceil_div(whole: int, part: int) -> int:
    """Return how many parts it takes to reach the whole, in integers."""
    return -(-whole // part)


def pieces_per_bar(bar: int, piece: int, kerf: int, squaring: int = 0, remnant: int = 0) -> int:
    """Return how many whole pieces a bar yields; all lengths in hundredths of a millimetre.

    Args:
        bar: Length of the bar.
        piece: Length of a piece, above zero.
        kerf: Width of the cut.
        squaring: Slug cut off the front first, 0 for none.
        remnant: Least length that must be left in the vise, 0 for none.

    Raises:
        DrycycleError: A length is below zero, or the piece is nothing.
    """
    require_above_zero("bar", piece=piece)
    if min(bar, kerf, squaring, remnant) < 0:
        raise DrycycleError(_BELOW_ZERO, "bar", _ZERO_OR_MORE)
    usable = bar - (squaring + kerf if squaring else 0)
    if remnant:
        return max(0, (usable - remnant) // (piece + kerf))
    return max(0, (usable + kerf) // (piece + kerf))


def yield_share(pieces: int, piece_m: float, bar_m: float) -> float:
    """Return the share of the bar that becomes pieces, 0 to 1."""
    return pieces * piece_m / bar_m


def stop_after_turn(stop_m: float, reading_m: float, play_m: float) -> float:
    """Return where the length stop stands after its handwheel was turned, m.

    The pinion has play in its rack. Turned down, it pushes the stop from above and the stop
    stands at the reading; turned up, it has to take up the play first and the stop is left
    short by it. In between the stop stays where it was. So a setting approached from above is
    true, and one approached from below is short by the play.

    Args:
        stop_m: Where the stop stood, m.
        reading_m: What scale and vernier read now, m.
        play_m: Between pinion and rack, m.
    """
    return min(max(stop_m, reading_m - play_m), reading_m)
