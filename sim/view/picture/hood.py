"""The infeed hood from above, on a saw that has one: clear over the shuttle, or tilted up at the rear."""

from typing import Final

from sim.plant.hood import HOOD_OPEN, NO_HOOD
from sim.session.session import Session
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen
from sim.view.kit.scale import View

_LEFT: Final = -0.60
_FRONT: Final = -0.40
_REAR: Final = 0.165
_TILTED: Final = 0.20  # as far as its edge is seen from above when it is open
_RIBS: Final = 4


def paint_hood(pen: Pen, view: View, session: Session) -> None:
    """Draw it, if there is one: shut, its outline and ribs, through which the shuttle is seen."""
    state = session.saw.plant.hood.state
    if state == NO_HOOD:
        return
    palette = pen.palette
    right = -session.machine.cutting_jaw_m - 0.03
    hinge = view.rect(_LEFT, _REAR - 0.008, right, _REAR + 0.008)
    if state == HOOD_OPEN:
        pen.box(view.rect(_LEFT, _REAR, right, _TILTED), palette.iron, palette.cut, radius=0.0)
        pen.fill(hinge, palette.iron_edge)
        return
    edge = palette.cut
    rib = mix(palette.paper, palette.iron_edge, 0.7)
    corners = [
        view.at(x, z) for x, z in ((_LEFT, _REAR), (right, _REAR), (right, _FRONT), (_LEFT, _FRONT))
    ]
    for number in range(1, _RIBS):
        x = _LEFT + (right - _LEFT) * number / _RIBS
        pen.line(view.at(x, _REAR), view.at(x, _FRONT), rib)
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        pen.line(start, end, edge)
    pen.fill(hinge, palette.iron_edge)
