"""A saw set as a good operator sets it does no harm, whatever the bar."""

from math import radians

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.trade.mitre import kerf_along_m, lean_m
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
)
from sim.units import MM

BARS = {
    "round": Round(60 * MM),
    "large round": Round(200 * MM),
    "small round": Round(12 * MM),
    "square": Square(50 * MM),
    "flat": Rectangle(100 * MM, 12 * MM),
    "standing flat": Rectangle(12 * MM, 100 * MM),
    "round tube": RoundTube(60 * MM, 5 * MM),
    "thin tube": RoundTube(50 * MM, 3 * MM),
    "square tube": SquareTube(50 * MM, 4 * MM),
    "rectangular tube": RectangularTube(80 * MM, 40 * MM, 4 * MM),
    "angle": Angle(50 * MM, 6 * MM),
    "beam": IBeam(100 * MM, 55 * MM, 4.1 * MM, 5.7 * MM),
    "row of rounds": Bundle(Round(30 * MM), 4),
    "stack of squares": Bundle(Square(20 * MM), 3, 2),
}


@pytest.mark.parametrize("bar", BARS)
def test_a_job_well_set_up_has_no_consequence(ran, sensible, steel, bar):
    stock = Stock(steel, BARS[bar], 3.0, 12 * MM)
    hands = ran(stock, wanted=3, first="square", **sensible(stock))

    assert hands.job == "COMPLETE"
    assert hands.harm == []
    assert hands.lengths_mm() == [10.5, 100.0, 100.0, 100.0]


@pytest.mark.parametrize("mitre_deg", [15, 30, 45, 60])
def test_a_mitre_well_set_up_has_no_consequence(ran, sensible, steel, mitre_deg):
    stands_out_m = lean_m(60 * MM, radians(mitre_deg)) + 2 * MM
    stock = Stock(steel, Round(60 * MM), 3.0, stands_out_m)
    hands = ran(stock, wanted=2, first="square", **sensible(stock, mitre_deg))

    assert hands.job == "COMPLETE"
    assert hands.harm == []


def test_the_defaults_are_those_for_a_post_of_60_mm(ran):
    hands = ran(wanted=4, first="square", head__feed_valve_mm_min=60)

    assert hands.job == "COMPLETE"
    assert hands.harm == []
    assert all(cut.out_of_square * 100 < 0.1 for cut in hands.saw.cuts)
    assert all(cut.dent_m == 0.0 for cut in hands.saw.cuts)


size = st.floats(15, 150)
BAR = st.one_of(
    st.builds(lambda d: Round(d * MM), size),
    st.builds(lambda a: Square(a * MM), size),
    st.builds(lambda w, h: Rectangle(w * MM, h * MM), size, size),
    st.builds(lambda d, t: RoundTube(d * MM, d * t * MM), size, st.floats(0.05, 0.3)),
    st.builds(lambda a, t: SquareTube(a * MM, a * t * MM), size, st.floats(0.05, 0.3)),
    st.builds(lambda a, t: Angle(a * MM, a * t * MM), size, st.floats(0.1, 0.3)),
    st.builds(lambda d, n: Bundle(Round(d * MM), n), st.floats(15, 40), st.integers(2, 4)),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BAR, st.sampled_from([0, 0, 20, 45]))
def test_any_bar_well_set_up_is_cut_without_harm(ran, sensible, steel, bar, mitre_deg):
    front_m = 12 * MM + lean_m(bar.width_m, radians(mitre_deg))
    stock = Stock(steel, bar, 3.0, front_m)
    card = sensible(stock, mitre_deg)
    assume(card is not None)
    assume(card["band__guide_span_mm"] <= 340)
    hands = ran(stock, wanted=1, first="square", hours=12.0, **card)

    assert hands.job == "COMPLETE"
    assert hands.harm == []
    trim_m = front_m - kerf_along_m(1.5 * MM, radians(mitre_deg))
    assert hands.lengths_mm() == [round(trim_m / MM, 6), 100.0]
