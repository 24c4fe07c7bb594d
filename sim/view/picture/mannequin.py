"""The mannequin's bare hand where the trainee's hands are, on the view that shows the place; never gore."""

from typing import Final

from pygame import Rect

from sim.session.hands.zones import Zone
from sim.session.session import Session
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View
from sim.view.kit.symbols import square_in, symbol
from sim.view.picture.supplies import BOTTOM_Z, CABINET_X
from sim.view.picture.wreck import fatal
from sim.view.play.happening import ZONE_OF

# Where hands are drawn: view (plan, end view), metres along, metres up.
_PLACES: Final[dict[Zone, tuple[int, float, float]]] = {
    Zone.BAND: (1, 0.05, 0.06), Zone.WHEELS: (1, -0.22, 0.17), Zone.CUTTING_JAWS: (0, -0.06, 0.0),
    Zone.SHUTTLE_JAWS: (0, -0.26, 0.0), Zone.SHUTTLE_PATH: (0, -0.42, -0.1),
    Zone.UNDER_HEAD: (1, 0.16, 0.03), Zone.SWING: (0, 0.03, 0.14), Zone.OUTFEED: (0, 0.14, -0.04),
    Zone.CABINET: (0, CABINET_X, BOTTOM_Z), Zone.FLOOR: (0, -0.62, -0.33),
}  # fmt: skip
_REACH_M: Final = 0.05


def hand_face(session: Session) -> tuple[str, bool]:
    """Return where hands are drawn, empty for nowhere, and whether anything protects them."""
    busy = session.under_way
    if busy is not None and busy.hands_in:
        return busy.reach.zone.value, busy.bare
    last = fatal(session)
    zone = ZONE_OF.get(last.kind) if last is not None else None
    return (zone.value, True) if zone is not None else ("", False)


def paint_hand(pen: Pen, view: View, session: Session, number: int) -> None:
    """Draw the hand on a view, if it is the one that shows the place: ringed in red where it is in danger."""
    name, bare = hand_face(session)
    if not name:
        return
    which, along, up = _PLACES[Zone(name)]
    if which != number:
        return
    palette = pen.palette
    centre = view.at(along, up)
    size = max(round(view.long(2 * _REACH_M)), pen.px(1.8))
    spot = Rect(0, 0, size, size)
    spot.center = round(centre[0]), round(centre[1])
    edge = palette.red if bare else palette.focus
    pen.disc(spot.center, size * 0.72, palette.dark)
    for line in range(3 if bare else 1):
        pen.ring(spot.center, size * 0.72 + 3 * line, edge, 2)
    symbol(pen, "hand", square_in(spot, size), palette.ink)
