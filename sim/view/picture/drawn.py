"""What the picture may show: in a drill only what is in sight, what was looked at, and what the hand has set.

A part that takes a look is drawn there as it is on a sound saw; its callout says `?` until the look.
What could hurt somebody (a guard, the cover, the hood, the arm, the prop, a wet floor) is always drawn as it
is, and the terminal tells it.
"""

from dataclasses import replace
from functools import lru_cache
from math import radians

from sim.plant.bar import Piece
from sim.plant.plant import Plant
from sim.plant.sawing import Chips
from sim.plant.vise import JAW_GAPS, Vise
from sim.session.inspections.pieces import DENT_M, leans
from sim.session.measuring import SizeRead
from sim.session.opening import sound_twin_of
from sim.session.session import Session
from sim.session.sights.known import hides, unread, wire_read
from sim.trade.chips import Colour, Form
from sim.view.play.readings import load_share, removal_mm3_s, wander_m

_OFF_M = 0.002  # of a jaw that clamps nothing
_CHIPS_MM3_S = (
    450.0  # of a cut in a drill: that it cuts is seen, how well is for a look at the chips
)

_GOOD_CHIPS = Chips(Form.CURLS, Colour.METAL)


@lru_cache(maxsize=2)
def _as_it_should_be(session: Session) -> Plant:
    return sound_twin_of(session).saw.plant


def plant_of(session: Session, *points: str) -> Plant:
    """Return the plant to draw set points from: this saw's, or a sound one's where one of them takes a look."""
    if any(unread(session, point) for point in points):
        return _as_it_should_be(session)
    return session.saw.plant


def plant_after(session: Session, look: str) -> Plant:
    """Return the plant to draw from what a look shows: this saw's once it was made."""
    if hides(session) and not session.seen.has(look):
        return _as_it_should_be(session)
    return session.saw.plant


def jaw_off_m(session: Session, name: str, vise: Vise) -> float:
    """Return how far a jaw is drawn off the bar, m; the gap that it was left with may take a look."""
    plant = plant_of(session, JAW_GAPS[name])
    if plant is session.saw.plant:
        return vise.gap_m - vise.jaw.position
    gap_m = plant.vise(name).gap_m
    return 0.0 if vise.clamped else max(gap_m - vise.jaw.position, _OFF_M)


def lying(session: Session) -> tuple[Piece, ...]:
    """Return what lies on the outfeed in the order in which it fell: the operator's pieces, then this saw's."""
    return (*session.saw.left(), *session.saw.plant.bar.pieces)


def how_many_lie(session: Session) -> int:
    """Return how many pieces and ends lie on the outfeed."""
    return len(session.saw.left()) + len(session.saw.plant.bar.pieces)


def as_seen(session: Session, piece: Piece) -> Piece:
    """Return a piece as it may be drawn: its face and sides as the eye sees them, until somebody looked closer.

    What the operator left is drawn as the good pieces that he wanted, each until somebody goes there and
    looks, or measures it: from where one stands there is only their number to be seen.
    """
    his = piece.at_us < 0
    looked = any(
        look.name == "last-piece" and _last_by(session, look.at_us) == piece.at_us
        for look in session.seen.looks
    )
    number = _number(session, piece)
    readings = session.measuring.of_piece(number)
    read = any(each.tool.squareness for each in readings)
    measured = not his or any(not each.tool.squareness for each in readings)
    seen_to_lean = leans(piece) and (looked or not his)
    lean = piece.out_of_square if read or seen_to_lean else 0.0
    dent_m = piece.dent_m if looked or (piece.dent_m > DENT_M and not his) else 0.0
    length_m = piece.length_m if measured else session.order.piece_m
    seen = replace(piece, length_m=length_m, out_of_square=lean, dent_m=dent_m)
    if not his or looked or read or measured:
        return seen
    wanted_rad = radians(session.order.mitre_deg)
    return replace(
        seen, front_rad=wanted_rad, rear_rad=wanted_rad, lost_m=0.0, corner_m=0.0, half_sawn=False
    )


def read_of(session: Session, piece: Piece) -> tuple[SizeRead, ...]:
    """Return what was read on a piece: the last length, and the last gap under a square."""
    found = {
        each.tool.squareness: each for each in session.measuring.of_piece(_number(session, piece))
    }
    return tuple(found[squareness] for squareness in (False, True) if squareness in found)


def is_offcut(session: Session, piece: Piece) -> bool:
    """Return whether what lies there is an end that was squared off, and no piece."""
    return _number(session, piece) == 0


def _last_by(session: Session, at_us: int) -> int | None:
    """Return when the piece fell that was the last at a moment; ends that were squared off are none."""
    fell = [cut.at_us for cut in session.measuring.pieces if cut.at_us <= at_us]
    return fell[-1] if fell else None


def _number(session: Session, piece: Piece) -> int:
    """Return the number of a piece among those that lie there; 0 of an end that was squared off."""
    fell = [cut.at_us for cut in session.measuring.pieces]
    return fell.index(piece.at_us) + 1 if piece.at_us in fell else 0


def shown_load(session: Session) -> float:
    """Return the share of load that colours the band; none in a drill."""
    return 0.0 if hides(session) else load_share(session)


def shown_wander_m(session: Session) -> float:
    """Return the wander that bends the band, m; none in a drill."""
    return 0.0 if hides(session) else wander_m(session)


def shown_removal_mm3_s(session: Session) -> float:
    """Return the removal that makes the chips, mm3/s; the same for every cut in a drill."""
    removal = removal_mm3_s(session)
    return _CHIPS_MM3_S if removal > 0.0 and hides(session) else removal


def shown_chips(session: Session) -> Chips:
    """Return how the chips are drawn; in a drill as they should be, until somebody looked at them."""
    thrown = session.saw.plant.head.sawing.thrown
    looked = not hides(session) or session.seen.has("chips")
    return thrown if thrown is not None and looked else _GOOD_CHIPS


def top_switch_made(session: Session) -> bool:
    """Return whether the upper switch of the head is drawn made; in a drill as its lamp was read last."""
    if not hides(session):
        return session.saw.bus.driven("B11")
    read = wire_read(session, "B11")
    return read is not None and read.live
