"""The laws of motion: each answers where, how fast and when, and the three answers agree."""

from bisect import bisect_right

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sim.kernel.motion import Jerky, Ramp, Rest, Tabled

places = st.floats(-1, 1)
rates = st.floats(1e-5, 1)
shares = st.floats(0, 1)
NEAR = 1e-9


def tabled(steps, since_share=0.0):
    """Return a falling table from (time, depth) steps, read by lines between its points."""
    times, heights = [0.0], [0.2]
    for step_s, depth_m in steps:
        times.append(times[-1] + step_s)
        heights.append(heights[-1] - depth_m)

    def read(known, wanted, at):
        if at <= known[0]:
            return wanted[0]
        if at >= known[-1]:
            return wanted[-1]
        right = bisect_right(known, at)
        share = (at - known[right - 1]) / (known[right] - known[right - 1])
        return wanted[right - 1] + share * (wanted[right] - wanted[right - 1])

    depths = [heights[0] - height for height in heights]
    return Tabled(
        at_s=lambda s: read(times, heights, s),
        when_s=lambda y: read(depths, times, heights[0] - y),
        since_s=since_share * times[-1],
        end_s=times[-1],
    )


tables = st.builds(
    tabled,
    st.lists(st.tuples(st.floats(0.01, 20), st.floats(1e-5, 0.02)), min_size=1, max_size=8),
    st.floats(0, 0.95),
)
ramps = st.builds(Ramp, places, places, rates)
jerks = st.builds(Jerky, st.one_of(ramps, tables), st.floats(0.1, 5), st.floats(0, 0.9))


@settings(max_examples=50)
@given(st.one_of(ramps, tables, jerks), st.floats(0, 100), st.floats(0, 100))
def test_a_law_goes_one_way_only(law, early_s, later_s):
    early_s, later_s = sorted((early_s, later_s))

    assert (law.at(later_s) - law.at(early_s)) * law.direction >= 0
    assert law.rate(early_s) * law.direction >= 0


@settings(max_examples=50)
@given(ramps, shares)
def test_a_ramp_is_at_a_place_when_it_says_it_will_be(law, share):
    place = law.start + share * (law.end - law.start)
    assume(law.start != law.end)

    when_s = law.time_to(place)
    assume(when_s is not None)
    assert law.at(when_s) == pytest.approx(place, abs=NEAR)


@settings(max_examples=50)
@given(tables, shares)
def test_a_table_is_at_a_place_when_it_says_it_will_be(law, share):
    place = law.at(0.0) + share * (law.at(1e6) - law.at(0.0))

    when_s = law.time_to(place)
    assume(when_s is not None)
    assert law.at(when_s) == pytest.approx(place, abs=NEAR)


@settings(max_examples=50)
@given(tables)
def test_a_table_reaches_its_own_start_and_end(law):
    assert law.time_to(law.at(0.0)) == pytest.approx(0.0, abs=1e-6)
    assert law.time_to(law.at(1e6)) == pytest.approx(law.end_s - law.since_s)
    assert law.time_to(law.at(0.0) + 1e-6) is None
    assert law.time_to(law.at(1e6) - 1e-6) is None
    assert law.at(1e6) == pytest.approx(law.at(law.end_s - law.since_s), rel=1e-12)
    assert law.rate(law.end_s) == 0.0


@settings(max_examples=50)
@given(tables, shares)
def test_a_table_begun_part_way_goes_on_as_the_whole_one(law, share):
    whole = Tabled(law.at_s, law.when_s, 0.0, law.end_s)
    elapsed_s = share * (law.end_s - law.since_s)

    assert law.at(elapsed_s) == pytest.approx(whole.at(law.since_s + elapsed_s), abs=NEAR)


@settings(max_examples=50)
@given(jerks, shares)
def test_jerks_are_at_a_place_when_they_say_they_will_be_and_not_before(law, share):
    start, end = law.at(0.0), law.at(1e9)
    place = start + share * (end - start)
    when_s = law.time_to(place)
    assume(when_s is not None)

    assert law.at(when_s) == pytest.approx(place, abs=1e-8)
    assert (law.at(when_s * (1 - 1e-9)) - place) * law.direction <= 1e-8


@settings(max_examples=50)
@given(jerks, st.integers(0, 20))
def test_jerks_are_as_fast_as_the_even_law_over_whole_periods(law, periods):
    elapsed_s = periods * law.period_s

    assert law.at(elapsed_s) == pytest.approx(law.law.at(elapsed_s), abs=1e-8)
    assert (law.at(elapsed_s + 0.5 * law.period_s) - law.law.at(elapsed_s + 0.5 * law.period_s)) * (
        law.direction
    ) <= 1e-8


def test_a_jerk_stands_for_its_share_and_then_runs_the_faster():
    law = Jerky(Ramp(0.1, 0.0, 0.01), period_s=1.0, stands=0.75)

    assert law.at(0.7) == 0.1
    assert law.rate(0.7) == 0.0
    assert law.rate(0.9) == pytest.approx(-0.04)
    assert law.at(1.0) == pytest.approx(0.09)


def test_a_tables_rate_is_its_slope():
    law = tabled([(10.0, 0.05), (10.0, 0.01)])

    assert law.rate(5.0) == pytest.approx(-0.005)
    assert law.rate(15.0) == pytest.approx(-0.001)
    assert law.direction == -1


def test_a_ramp_goes_at_its_rate_and_stands_at_its_end():
    law = Ramp(start=0.6, end=0.0, rate_per_s=0.15)

    assert law.at(1.0) == pytest.approx(0.45)
    assert law.rate(1.0) == -0.15
    assert law.time_to(0.3) == pytest.approx(2.0)
    assert law.at(4.0) == 0.0
    assert law.rate(4.0) == 0.0


@pytest.mark.parametrize("place", [0.7, -0.1])
def test_a_ramp_never_reaches_a_place_off_its_way(place):
    assert Ramp(start=0.6, end=0.0, rate_per_s=0.15).time_to(place) is None


def test_a_ramp_to_where_it_stands_does_not_move():
    law = Ramp(start=0.3, end=0.3, rate_per_s=0.15)

    assert law.direction == 0
    assert law.rate(0.0) == 0.0
    assert law.time_to(0.3) is None


def test_a_thing_at_rest_stays():
    law = Rest(0.25)

    assert (law.at(1e9), law.rate(1e9), law.direction, law.time_to(0.25)) == (0.25, 0.0, 0, None)


def test_the_slope_of_a_table_of_years_is_told():
    law = Tabled(lambda at_s: -1e-12 * at_s, lambda place: -1e12 * place, 5e12, 1e13)

    assert law.rate(1e12) == pytest.approx(-1e-12, rel=1e-6)
