"""Looks at stored energy: gauge and relief screws of the oil, prop, chock, hood, and the key of the mode switch.

All of them are made from outside; nothing is reached from where a gauge is read.
"""

from typing import Final

from sim.plant.hood import HOOD, NO_HOOD
from sim.plant.lift import SCREW
from sim.plant.mode_key import PLACES
from sim.plant.supports import CHOCK
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, way
from sim.words.fields import bar, number, one_of
from sim.words.message import Message, plain, row

_LIFT: Final = row(
    "inspection.lift-gauge.found",
    "The gauge of the lift shows {pressure}; the counter of its hand pump stands at {strokes}.",
    pressure=bar(1), strokes=number(),
)  # fmt: skip
_RELIEF: Final = row(
    "inspection.oil-reliefs.found",
    "The oil reliefs: that of the cutting vise is {cutting}, that of the shuttle vise {shuttle}, that "
    "of the lift {lift}.",
    cutting=one_of(*SCREW), shuttle=one_of(*SCREW), lift=one_of(*SCREW),
)  # fmt: skip
_NO_PROP: Final = plain("inspection.prop.out", "The prop is swung out.")
_LOADED: Final = plain("inspection.prop.loaded", "The prop is in, and the head rests on it.")
_NOT_LOADED: Final = plain(
    "inspection.prop.not-loaded",
    "The prop is in, and the head stands clear of it: it carries nothing yet.",
)
_CHOCK: Final = row(
    "inspection.bar-chock.found", "The chock at the rollers is {chock}.", chock=one_of(*CHOCK)
)
_HOOD: Final = row("inspection.infeed-hood.found", "The infeed hood is {hood}.", hood=one_of(*HOOD))
_NONE: Final = plain(
    "inspection.infeed-hood.none",
    "This saw has no infeed hood: shuttle and shuttle vise lie open to hands, and nothing but knowledge keeps "
    "them out.",
)
_KEY: Final = row(
    "inspection.mode-key.found", "The key of the mode switch is {where}.", where=one_of(*PLACES)
)


def _lift_gauge(saw: Saw) -> Message:
    head = saw.plant.head
    return _LIFT(pressure=head.oil_pa, strokes=head.strokes)


def _reliefs(saw: Saw) -> Message:
    plant = saw.plant
    return _RELIEF(
        cutting=plant.cutting_vise.relief,
        shuttle=plant.shuttle_vise.relief,
        lift=plant.head.lift.relief,
    )


def _prop(saw: Saw) -> Message:
    head = saw.plant.head
    if head.prop == "out":
        return _NO_PROP
    return _LOADED if head.propped else _NOT_LOADED


def _chock(saw: Saw) -> Message:
    return _CHOCK(chock=saw.plant.supports.chock)


def _hood(saw: Saw) -> Message:
    state = saw.plant.hood.state
    return _NONE if state == NO_HOOD else _HOOD(hood=state)


def _key(saw: Saw) -> Message:
    return _KEY(where=saw.plant.mode_key.place)


ENERGY_LOOKS: Final[tuple[Inspection, ...]] = (
    way(
        "lift-gauge", "Read the gauge of the lift", "head", 10, _lift_gauge, kind=Kind.GAUGE,
        reads=("head.hand_pump",),
    ),
    way(
        "oil-reliefs", "Look at the three oil reliefs", "head", 15, _reliefs,
        reads=("cutting_vise.oil_relief", "shuttle_vise.oil_relief", "head.oil_relief"),
    ),
    way("prop", "Look whether the head rests on its prop", "head", 10, _prop, reads=("head.prop",)),
    way(
        "bar-chock", "Look at the chock of the bar", "shuttle", 10, _chock,
        reads=("infeed.bar_chock",),
    ),
    way(
        "infeed-hood", "Look at the infeed hood", "shuttle", 10, _hood,
        reads=("infeed.hood",),
    ),
    way(
        "mode-key", "Look where the key of the mode switch is", "supply", 5, _key,
        reads=("mode.key",),
    ),
)  # fmt: skip
