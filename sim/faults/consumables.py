"""Faults of what is used up: the band and its teeth, the brush, the coolant, the bar."""

from typing import Final

from sim.faults.fault import Family, Fault, Who, Wreck, fault
from sim.faults.forms import misset
from sim.plant.blade import ONE_SIDED, STRIPPED, WORN
from sim.trade.bow import BOW_ANY_METRE_M
from sim.trade.sections import Bundle

_F, _O = Family.CONSUMABLE, Who.OPERATOR
_NEW_BAND: Final = (
    "With the wheel cover open and the band let down, fit and seat a sharp band as the card has it, one that has been "
    "run in; jog it until it tracks before it runs."
)
_BAND_MIN: Final = 12.0
_FEWEST: Final = 2  # teeth an inch, that bands are sold with
_BENT_M: Final = 2.0 * BOW_ANY_METRE_M  # twice what a standard of delivery lets pass
_SLENDER: Final = (
    110.0  # length by width, from which a bar is bent in the slings; chosen for this saw
)


def _right_teeth(wreck: Wreck) -> float:
    return float(wreck.right.get("band.teeth_per_inch", wreck.plant.blade.teeth_per_inch))


def _fit_new(wreck: Wreck) -> None:
    """Fit one that was run in before: a new one would be run in on the job's own pieces."""
    wreck.plant.blade.fit(_right_teeth(wreck), run_in=True)
    wreck.plant.band.tension.renew()
    wreck.plant.band.seat.refit()


def _coarse(wreck: Wreck) -> float:
    return float(max(round(_right_teeth(wreck) / 3), _FEWEST))


def _is_coarse(teeth: float, wreck: Wreck) -> bool:
    return teeth < 0.6 * _right_teeth(wreck)


def _fit_coarse(wreck: Wreck) -> None:
    """Fit a band of a third of the teeth, in the state and the way round that the old one was."""
    blade = wreck.plant.blade
    condition, face = blade.condition.name, blade.face
    blade.fit(_coarse(wreck), run_in=True)
    blade.set_condition(condition)
    blade.turn(face)


def _bends(wreck: Wreck) -> bool:
    """Return whether a bar is so slender that it is bent in handling; one of a bundle would be seen at once."""
    stock = wreck.plant.bar.stock
    slender = stock.length_m >= _SLENDER * stock.section.width_m
    return slender and not isinstance(stock.section, Bundle) and stock.bow_m < _BENT_M


def _bend(wreck: Wreck) -> None:
    """Bend the bar, if it is one that is bent in handling: as a cause of others it would be believed."""
    if _bends(wreck):
        wreck.plant.bar.bend(_BENT_M)


def _teeth(name: str, title: str, changes: str, condition: str) -> Fault:
    return fault(
        name, title, _F, changes, _NEW_BAND, _O, _BAND_MIN,
        apply=lambda w: w.plant.blade.set_condition(condition),
        present=lambda w: w.plant.blade.condition.name == condition,
        mend=_fit_new,
    )  # fmt: skip


CONSUMABLE_ROWS: Final = (
    _teeth(
        "band-worn", "Band worn blunt", "the teeth of the band are blunt", WORN,
    ),
    _teeth(
        "band-one-sided", "Band with its set gone on one side",
        "the teeth have lost their set on one side, and pull aside", ONE_SIDED,
    ),
    _teeth(
        "band-stripped", "Band with teeth stripped", "teeth are missing from the band", STRIPPED,
    ),
    fault(
        "band-too-coarse", "Band too coarse for the wall", _F,
        "the teeth of the band stand further apart than the wall of the bar is thick",
        _NEW_BAND, _O, _BAND_MIN,
        apply=_fit_coarse,
        possible=lambda w: _is_coarse(_coarse(w), w),
        present=lambda w: _is_coarse(w.plant.blade.teeth_per_inch, w),
        mend=_fit_new,
    ),
    fault(
        "brush-worn", "Chip brush worn away", _F,
        "the bristles of the chip brush are worn away, so nothing clears the gullets",
        "Fit a new chip brush.",
        _O, 8,
        apply=lambda w: setattr(w.plant.brush, "wear", 1.0),
        present=lambda w: w.plant.brush.wear >= 1.0,
        mend=lambda w: setattr(w.plant.brush, "wear", 0.0),
    ),
    fault(
        "coolant-weak", "Coolant mixed too weak", _F,
        "there is too little concentrate in the coolant",
        "Bring the coolant to the strength on the card, by the refractometer.",
        _O, 5,
        **misset("coolant.concentration_percent", lambda _: 1.5, lambda percent, _: percent < 4),
    ),
    fault(
        "coolant-strong", "Coolant mixed too strong", _F,
        "there is far too much concentrate in the coolant, and it no longer cools",
        "Bring the coolant to the strength on the card, by the refractometer.",
        _O, 5,
        **misset("coolant.concentration_percent", lambda _: 18, lambda percent, _: percent > 14),
    ),
    fault(
        "coolant-out", "Coolant tank empty", _F,
        "the coolant tank is so low that its pump draws air",
        "Fill the coolant tank with ready mixture.",
        _O, 5,
        **misset("coolant.level_percent", lambda _: 3, lambda percent, _: percent < 15),
    ),
    fault(
        "bar-bent", "Bar bent in handling", _F,
        "the bar is bowed to one side, so it is sawn square to the jaws and not to itself",
        "Have the bent bar lifted out by crane, in two slings, and a straight one laid in.",
        _O, 6,
        apply=_bend,
        possible=_bends,
        present=lambda w: w.plant.bar.bow_m > w.plant.bar.stock.bow_m,
        mend=lambda w: w.plant.bar.bend(w.plant.bar.stock.bow_m),
        fresh_bar=True,
    ),
)  # fmt: skip
