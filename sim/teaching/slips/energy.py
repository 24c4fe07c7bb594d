"""Slips at what restrains or relieves stored energy, once a job is to run: prop, reliefs, chock, key.

Under a lock-out, and by hand, each of them may stand as it likes.

Never here: what a scenario hides.
"""

from collections.abc import Callable
from typing import Final

from sim.plant.hood import HOOD_OPEN
from sim.plant.lift import OPEN
from sim.plant.plant import Plant
from sim.session.session import Session
from sim.teaching.slips.check import Check, rows_as_shipped
from sim.words.message import NOTHING, Message, plain

_PROP: Final = plain(
    "slip.prop",
    "the prop is in, and the head does not come past it; raise the head off it and swing it out",
)
_CHOCK: Final = plain(
    "slip.bar-chock", "the chock is in, and the bar does not follow the shuttle; take it out"
)
_LIFT: Final = plain(
    "slip.oil-relief.lift",
    "the oil relief of the lift is open, and the head is not raised; shut it",
)
_COMES_DOWN: Final = plain(
    "slip.oil-relief.comes-down",
    "the oil relief of the lift is open, and the raised head comes down by itself; see that nobody is under it, and keep clear",
)
_CUTTING: Final = plain(
    "slip.oil-relief.cutting-vise",
    "the oil relief of the cutting vise is open, and it does not clamp; shut it",
)
_SHUTTLE: Final = plain(
    "slip.oil-relief.shuttle-vise",
    "the oil relief of the shuttle vise is open, and it does not clamp; shut it",
)


_ROLLS: Final = plain(
    "slip.oil-relief.bar-rolls",
    "oil relief open and chock out: a bar that no vise holds rolls; chock the bar first, and keep clear of its ends",
)
_HOOD: Final = plain("slip.infeed-hood", "the infeed hood is open, and no job begins; shut it")

_HOOD_ALONE: Final = plain(
    "slip.infeed-hood.own-rows", "the infeed hood is open; shut it before a job is begun"
)


def _in_production(wrong: Callable[[Plant], bool], said: Message) -> Check:
    def says(session: Session) -> Message:
        production = session.saw.controller.image["mode"] == "PRODUCTION"
        return said if production and wrong(session.saw.plant) else NOTHING

    return says


def _nothing(_session: Session) -> Message:
    return NOTHING


def _lift_relief(session: Session) -> Message:
    head = session.saw.plant.head
    if head.lift.relief == OPEN and not head.rests:
        return _COMES_DOWN
    return _in_production(lambda p: p.head.lift.relief == OPEN, _LIFT)(session)


def _vise_relief(screw: Callable[[Plant], bool], said: Message) -> Check:
    otherwise = _in_production(screw, said)

    def says(session: Session) -> Message:
        plant = session.saw.plant
        loose = plant.bar.length_m > 0.0 and plant.supports.chock == "out"
        return _ROLLS if screw(plant) and loose else otherwise(session)

    return says


def _hood(session: Session) -> Message:
    said = _HOOD if rows_as_shipped(session, "B43") else _HOOD_ALONE
    return _in_production(lambda p: p.hood.state == HOOD_OPEN, said)(session)


SLIPS: Final[dict[str, Check]] = {
    "head.prop": _in_production(lambda p: p.head.prop == "in", _PROP),
    "head.oil_relief": _lift_relief,
    "head.hand_pump": _nothing,
    "cutting_vise.oil_relief": _vise_relief(lambda p: p.cutting_vise.relief == OPEN, _CUTTING),
    "shuttle_vise.oil_relief": _vise_relief(lambda p: p.shuttle_vise.relief == OPEN, _SHUTTLE),
    "infeed.bar_chock": _in_production(lambda p: p.supports.chock == "in", _CHOCK),
    "infeed.hood": _hood,
    "mode.key": _nothing,
}
