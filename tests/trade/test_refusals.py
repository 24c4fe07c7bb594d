"""Impossible bars, bands and cuts are refused in words that say what to give instead."""

from collections.abc import Callable

import pytest

from sim.errors import DrycycleError
from sim.trade.band import Band
from sim.trade.clamping import Jaws
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.job_time import Moves
from sim.trade.length import index_travel_m, pieces_per_bar, strokes_needed
from sim.trade.materials import Material
from sim.trade.motor import Motor
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Square,
    SquareTube,
    mitre_factor,
)

CUT = CutConditions(1780e6, 0.17, 0.006, 0.0015, 1.0, 0.8)
IMPOSSIBLE: dict[str, Callable[[], object]] = {
    "round of nothing": lambda: Round(0.0),
    "round of no number": lambda: Round(float("nan")),
    "square below nothing": lambda: Square(-0.01),
    "rectangle without height": lambda: Rectangle(0.05, 0.0),
    "tube all wall": lambda: RoundTube(0.05, 0.025),
    "square tube all wall": lambda: SquareTube(0.05, 0.03),
    "rectangular tube all wall": lambda: RectangularTube(0.05, 0.01, 0.005),
    "angle thicker than half its leg": lambda: Angle(0.05, 0.025),
    "beam with a web as wide as its flange": lambda: IBeam(0.1, 0.05, 0.05, 0.005),
    "beam all flange": lambda: IBeam(0.1, 0.05, 0.005, 0.05),
    "bundle of no bars": lambda: Bundle(Round(0.05), 0),
    "mitre along the bar": lambda: mitre_factor(1.5707963267948966),
    "mitre beyond the bar": lambda: mitre_factor(5.0),
    "metal with an exponent of one": lambda: Material("x", "", 1, 1, 1, 1, 1.0, 1, 2, ""),
    "metal with speeds the wrong way round": lambda: Material("x", "", 1, 1, 1, 1, 0.2, 2, 1, ""),
    "band with no pitch": lambda: CutConditions(1780e6, 0.17, 0.0, 0.0015, 1.0, 0.8),
    "band with no thickness": lambda: Band(0.03, 0.0),
    "cut without force": lambda: cut_table(Round(0.05), 0.0, 0.001, CUT),
    "cut through a shut valve": lambda: cut_table(Round(0.05), 100.0, 0.0, CUT),
    "cut from the bottom": lambda: cut_table(Round(0.05), 100.0, 0.001, CUT, 0.0, 0.05),
    "cut from above the bar": lambda: cut_table(Round(0.05), 100.0, 0.001, CUT, 0.0, -0.01),
    "vise with more force than pressure gives": lambda: Jaws(20e-4, 0.1, 1.1, 0.15),
    "motor with a power factor over one": lambda: Motor(3000, 400, 1.1, 0.8),
    "piece of no strokes": lambda: Moves(0, 0.2, 0.1, 0.1, 1, 1, 0.01, 0.01, 10, 0.1, 0.1),
    "index of no strokes": lambda: index_travel_m(0.1, 0.0015, 0),
    "shuttle that cannot move": lambda: strokes_needed(0.1, 0.0015, 0.0),
    "pieces of no length": lambda: pieces_per_bar(600_000, 0, 150),
    "bar below nothing": lambda: pieces_per_bar(-1, 100, 150),
}


@pytest.mark.parametrize("case", IMPOSSIBLE)
def test_what_cannot_be_is_refused_with_a_way_out(
    case: str, untold: Callable[[DrycycleError], list[str]]
) -> None:
    with pytest.raises(DrycycleError) as refusal:
        IMPOSSIBLE[case]()

    assert refusal.value.what
    assert refusal.value.where
    assert refusal.value.what_to_do
    assert not untold(refusal.value)
