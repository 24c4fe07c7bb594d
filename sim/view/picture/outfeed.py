"""The pieces on the outfeed: the newest rolls aside, each carries what was read on it.

What a bad set-up did to a piece is drawn on it, larger than it is: a face out of square, a dent.
"""

from math import sin, tan
from typing import Final

import pygame
from pygame import Rect

from sim.plant.bar import CORNER_SEEN_M, Piece
from sim.saw import SCALE_RAD
from sim.session.session import Session
from sim.units import US
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View
from sim.view.picture.drawn import as_seen, is_offcut, lying, plant_of, read_of
from sim.view.picture.plan_ground import FRONT_Z, TRAY
from sim.view.play.motion import stands
from sim.words.fields import count, mm
from sim.words.message import plain, row
from sim.words.speech import tell

_HEAD_REACH_M: Final = 0.42  # of the head over the outfeed, at a right angle
FALL_S: Final = 1.2  # a cut piece rolls aside in this time
_SCALE_EMS: Final = 7  # of the scale bar at the right, under the outfeed
_MOST_SHOWN: Final = 8
_THIN: Final = 1.6  # lines of text
_SKEW_FACTOR: Final = 20
_SKEW_SEEN: Final = 0.001  # m a m

_LENGTH: Final = row("picture.piece.length", "read {read}", read=mm(2))
_GAP: Final = row("picture.piece.gap", "gap {read}", read=mm(2))
_LEANS: Final = plain("picture.piece.leans", "leans")
_DENTED: Final = plain("picture.piece.dented", "dented")
_CORNER: Final = plain("picture.piece.corner", "corner missing")
_DIFFER: Final = plain("picture.piece.ends-differ", "ends differ")
_MORE: Final = row("picture.piece.more", "and {count} more", count=count())


def rolled_share(session: Session) -> float:
    """Return how far the newest piece has rolled to its place, 0 to 1, as it slows down."""
    pieces = lying(session)
    if not pieces or stands():
        return 1.0
    share = min((session.saw.clock.now_us - pieces[-1].at_us) / US / FALL_S, 1.0)
    return share * share * (3 - 2 * share)


def still_rolling(session: Session) -> bool:
    """Return whether a piece is on its way to its place."""
    pieces = session.saw.plant.bar.pieces
    if stands():
        return False
    return bool(pieces) and session.saw.clock.now_us - pieces[-1].at_us < (FALL_S + 0.1) * US


def paint_pieces(pen: Pen, view: View, session: Session) -> None:
    """Draw the last pieces, as many as there is room for."""
    pieces = lying(session)
    if not pieces:
        return
    width = session.saw.plant.bar.stock.section.width_m
    line_m = pen.letters.line("small") / view.px_per_m
    # A head that is swung out stands over the near part of the outfeed.
    home_x = (
        TRAY[0] + 0.01 + _HEAD_REACH_M * sin(plant_of(session, "head.mitre_deg").swivel.mitre_rad)
    )
    thin = width < _THIN * line_m and not _beside(pen, view, session, home_x)
    step = width + line_m + 0.006 if thin else max(width, line_m) + 0.008
    first = -width - 0.02 - max(width, line_m) / 2
    reach = width / 2 + line_m if thin else max(width, line_m) / 2  # of the last one, words too
    room = max(int((first - reach - FRONT_Z) / step) + 1, 1)
    rolled = rolled_share(session)
    for slot, piece in enumerate(reversed(pieces[-room:])):
        home = first - slot * step
        before = -width / 2 if slot == 0 else home + step
        z = before + (home - before) * rolled
        left = home_x * (rolled if slot == 0 else 1.0) + session.machine.kerf_m
        shown = as_seen(session, piece)
        right = min(left + shown.length_m, TRAY[1] - 0.01)
        body = view.rect(left, z - width / 2, right, z + width / 2)
        _piece(pen, body, shown, view.px_per_m)
        words = piece_words(session, shown)
        if words:
            _tag(pen, view, body, words, under=thin)
    if len(pieces) > room:
        words = tell(_MORE(count=len(pieces) - room))
        place = view.rect(TRAY[0], FRONT_Z - 0.05, TRAY[1], FRONT_Z)
        place.height = pen.letters.line("fine")
        if pen.letters.width(words, "fine") + pen.px(_SCALE_EMS) <= place.width:
            pen.text(words, place, pen.palette.soft, role="fine")


def _beside(pen: Pen, view: View, session: Session, home_x: float) -> bool:
    """Return whether all words can be written at the right of its piece."""
    room = view.area.right - view.at(home_x, 0.0)[0] - pen.px(1.2)
    pieces = lying(session)
    return all(
        view.long(piece.length_m) + pen.letters.width(piece_words(session, piece), "small", True)
        <= room
        for piece in (as_seen(session, each) for each in pieces[-_MOST_SHOWN:])
    )


def _piece(pen: Pen, body: Rect, piece: Piece, px_per_m: float) -> None:
    palette = pen.palette
    skew = round(piece.out_of_square * _SKEW_FACTOR * body.height)
    skew = min(skew, body.width // 2) if piece.out_of_square >= _SKEW_SEEN else 0
    front, rear = (
        min(round(body.height * tan(angle)), body.width // 2)
        for angle in (piece.front_rad, piece.rear_rad)
    )
    gone = 0
    if piece.corner_m > CORNER_SEEN_M:
        gone = min(max(round(piece.corner_m * px_per_m), 3), front)
    corners = [
        body.topleft, (body.right - front, body.top),
        *_near_corner(body, front, gone), (body.left + skew + rear, body.bottom),
    ]  # fmt: skip
    pygame.draw.polygon(pen.surface, palette.steel, corners)
    shade = Rect(
        body.left + skew + rear,
        body.top + body.height * 7 // 10,
        max(body.width - skew - rear - max(gone, front * 3 // 10), 0),
        body.height * 3 // 10,
    )
    pen.fill(shade, mix(palette.steel, palette.iron, 0.3))
    pygame.draw.polygon(pen.surface, palette.yellow if skew or gone else palette.cut, corners, 1)
    if piece.half_sawn:
        at = body.left + body.width // 2
        pen.line((at, body.top), (at, body.bottom), palette.black, 2)
    if piece.dent_m > 0.0:
        middle = (body.left + body.width // 3, body.top)
        pen.disc(middle, max(body.height // 4, 3), palette.paper)
        pen.ring(middle, max(body.height // 4, 3), palette.yellow)


def _near_corner(body: Rect, lean: int, gone: int) -> list[tuple[int, int]]:
    """Return the corners of the front end at the near side: its point, or what is left where that is missing."""
    if not gone:
        return [body.bottomright]
    down = round(body.height * (lean - gone) / max(lean, 1))
    return [(body.right - gone, body.top + down), (body.right - gone, body.bottom)]


def piece_words(session: Session, piece: Piece) -> str:
    """Return what was read on a piece, and what is to be seen of it; nothing where that is nothing."""
    read = read_of(session, piece)
    said = [(_GAP if each.tool.squareness else _LENGTH)(read=each.read_m) for each in read]
    if piece.out_of_square >= _SKEW_SEEN and not any(each.tool.squareness for each in read):
        said.append(_LEANS)
    if piece.dent_m > 0.0:
        said.append(_DENTED)
    if is_offcut(session, piece):
        return "  ".join(map(tell, said))
    if piece.corner_m > CORNER_SEEN_M:
        said.append(_CORNER)
    if abs(piece.front_rad - piece.rear_rad) > SCALE_RAD:
        said.append(_DIFFER)
    return "  ".join(map(tell, said))


def _tag(pen: Pen, view: View, body: Rect, words: str, *, under: bool) -> None:
    wide, high = pen.letters.width(words, "small", True), pen.letters.line("small")
    place = Rect(0, 0, wide + pen.px(0.6), high)
    place.center = body.center
    beside = Rect(body.right + pen.px(0.3), place.top, place.width, place.height)
    small = body.width < place.width + 4 or under
    if small and beside.right <= view.area.right:
        place = beside
    elif under:
        place.midtop = body.midbottom
    place.left = max(place.left, body.left)  # further left the head would hide it
    place.clamp_ip(view.area)
    pen.box(place, pen.palette.paper, radius=0.0)
    pen.text(words, place, role="small", bold=True, align="centre")
