"""What any sawyer knows, held on whole saws: more of this gives more of that."""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.signals import stuck
from sim.trade.sections import Round, RoundTube
from sim.units import MM

quick = settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
ROOMY = {"cutting_vise__pressure_bar": 40}
CONDITION = st.sampled_from(["sharp", "worn", "one-sided"])


def square_mm(hands):
    assert hands.saw.cuts, hands.harm
    return hands.saw.cuts[0].out_of_square * 100


def in_state(name):
    """Have teeth in a state, and the deviation gauge look away so that every cut is finished."""

    def spoil(plant):
        plant.blade.set_condition(name)
        plant.site.bus.distort("B52", stuck(True))

    return spoil


@quick
@given(CONDITION, st.floats(75, 250), st.floats(1.05, 1.3))
def test_a_larger_guide_span_wanders_more(ran, teeth, span_mm, more):
    near = ran(spoil=in_state(teeth), band__guide_span_mm=span_mm, **ROOMY)
    far = ran(spoil=in_state(teeth), band__guide_span_mm=span_mm * more, **ROOMY)

    assert square_mm(far) > square_mm(near)


@quick
@given(CONDITION, st.floats(155, 280), st.floats(1.02, 1.07))
def test_less_tension_wanders_more(ran, teeth, mpa, more):
    slack = ran(spoil=in_state(teeth), band__tension_mpa=mpa, **ROOMY)
    tight = ran(spoil=in_state(teeth), band__tension_mpa=mpa * more, **ROOMY)

    assert square_mm(slack) > square_mm(tight)


@quick
@given(st.floats(1.5, 5.0), st.floats(1.05, 1.5), st.floats(10, 60))
def test_a_thinner_wall_is_crushed_sooner(ready, steel, wall_mm, more, bar):
    def dented(wall):
        tube = Stock(steel, RoundTube(60 * MM, wall * MM), 6.0, 12 * MM)
        hands = ready(tube, shuttle_vise__pressure_bar=bar)
        hands.hold_down("shuttle_vise.clamp", 2)
        return hands.harm == ["tube-crushed"]

    thin, thick = dented(wall_mm), dented(wall_mm * more)
    assert thin or not thick


@quick
@given(st.floats(10, 60))
def test_more_pressure_never_dents_less(ready, tube, bar):
    def dent_m(pressure_bar):
        hands = ready(tube, shuttle_vise__pressure_bar=pressure_bar)
        hands.hold_down("shuttle_vise.clamp", 2)
        return hands.saw.plant.bar.dent_m

    assert dent_m(bar) <= dent_m(min(bar * 1.1, 60))


@quick
@given(st.floats(60, 900), st.floats(1.05, 1.5))
def test_a_bigger_feed_force_cuts_faster_until_the_valve_holds_it(ran, force_n, more):
    card = {"head__feed_valve_mm_min": 200, "cutting_vise__pressure_bar": 60}
    soft = ran(head__feed_force_n=force_n, **card)
    hard = ran(head__feed_force_n=force_n * more, **card)

    assert hard.saw.cuts[0].at_us < soft.saw.cuts[0].at_us


@quick
# with less than 1000 N a band that is so overfed is worn, and asks for less power, before the relay trips
@given(st.floats(1000, 1500), st.sampled_from([150.0, 200.0]))
def test_no_feed_force_gets_past_the_motor_and_the_deviation_switch(
    ran, steel, force_n, diameter_mm
):
    bar = Stock(steel, Round(diameter_mm * MM), 6.0, 12 * MM)
    card = {
        "head__feed_valve_mm_min": 250, "band__teeth_per_inch": 2, "band__brush_mm": 3,
        "cutting_vise__pressure_bar": 60, "band__relay_a": 5,
    }  # fmt: skip
    hands = ran(bar, speed_m_min=110.0, wanted=8, head__feed_force_n=force_n, **card)

    assert hands.job in {"HELD", "STOPPED"}
    assert hands.reason in {
        "the overload relay tripped", "the band wandered beyond its range for too long",
    }  # fmt: skip


@quick
@given(st.floats(2.0, 6.0), st.sampled_from([2, 3, 4, 6, 8, 10, 14]))
def test_if_fine_teeth_strip_in_a_thin_wall_coarser_ones_do_too(ran, steel, wall_mm, coarse):
    tube = Stock(steel, RoundTube(60 * MM, wall_mm * MM), 6.0, 12 * MM)
    card = {"cutting_vise__pressure_bar": 6, "shuttle_vise__pressure_bar": 9, "band__brush_mm": 2}
    harm = [
        ran(tube, band__teeth_per_inch=pitch, head__feed_force_n=130, **card).harm
        for pitch in (18, coarse)
    ]

    assert "teeth-stripped" not in harm[0] or "teeth-stripped" in harm[1]


def test_a_band_of_2_tpi_strips_in_a_wall_of_3_mm_and_one_of_18_does_not(ran, tube):
    card = {"cutting_vise__pressure_bar": 6, "shuttle_vise__pressure_bar": 9}
    stripped = {
        pitch: "teeth-stripped" in ran(tube, band__teeth_per_inch=pitch, **card).harm
        for pitch in (2, 4, 18)
    }

    assert stripped == {2: True, 4: True, 18: False}


@quick
@given(st.floats(0.5, 2.0), st.floats(0.0, 60.0))
def test_a_bar_end_is_never_fed_into_the_band(ran, steel, length_m, front_mm):
    bar = Stock(steel, Round(60 * MM), length_m, front_mm * MM)
    hands = ran(bar, wanted=100, first="straight", hours=9)

    assert hands.job == "HELD"
    assert hands.reason == "the end of the bar was reached"
    assert hands.harm == []
    lengths_m = [cut.length_m for cut in hands.saw.cuts[1:]]
    assert lengths_m == [pytest.approx(0.1, abs=1e-9)] * len(lengths_m)


@quick
@given(st.floats(5, 40), st.floats(1.1, 1.5))
def test_weaker_clamping_never_holds_a_bar_straighter(ran, bar, more):
    weak = ran(cutting_vise__pressure_bar=bar)
    strong = ran(cutting_vise__pressure_bar=bar * more)

    assert square_mm(weak) >= square_mm(strong)


@quick
@given(st.floats(25, 105), st.floats(1.02, 1.15))
def test_a_faster_band_cuts_faster_and_past_the_metals_range_lasts_shorter(ran, m_min, more):
    assume(m_min * more <= 110)
    card = {"wanted": 2, "head__feed_valve_mm_min": 250}
    slow, fast = ran(speed_m_min=m_min, **card), ran(speed_m_min=m_min * more, **card)

    def piece_us(hands):
        return hands.saw.cuts[1].at_us - hands.saw.cuts[0].at_us

    assert piece_us(fast) < piece_us(slow)
    if m_min >= 85:
        assert fast.saw.plant.blade.wear > slow.saw.plant.blade.wear
