"""What every apprentice is told about the saw, held true for all sensible settings."""

from math import cos, isfinite

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sim.trade.band import Band, wander_m
from sim.trade.choice import (
    TEETH_PER_INCH,
    longest_wall_m,
    pitch_m_from_teeth_per_inch,
    teeth_in_cut,
    tooth_pitch_m,
)
from sim.trade.clamping import Jaws, clamping_window_pa
from sim.trade.crush import closing_m, dent_m, first_yield_n
from sim.trade.cut_table import cut_table
from sim.trade.cutting import (
    CutConditions,
    chip_thickness_m,
    cutting_force_n,
    cutting_power_w,
    feed_for_force_m_s,
    teeth_in_contact,
)
from sim.trade.length import stop_after_turn
from sim.trade.materials import Material
from sim.trade.motor import heat_after, time_to_trip_s
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    Square,
    SquareTube,
)

QUICK = settings(max_examples=60, deadline=None)
STEEL = Material("S235JR", "", 7850, 235e6, 210e9, 1780e6, 0.17, 1.1, 1.7, "")
BAND = Band(0.034, 0.0011)


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


SIZES = between(0.01, 0.2)
WALL_SHARES = between(0.02, 0.3)
BARS = st.one_of(
    st.builds(Round, SIZES),
    st.builds(Square, SIZES),
    st.builds(Rectangle, SIZES, SIZES),
    st.builds(lambda d, s: RoundTube(d, d * s), SIZES, WALL_SHARES),
    st.builds(lambda a, s: SquareTube(a, a * s), SIZES, WALL_SHARES),
    st.builds(lambda w, h, s: RectangularTube(w, h, min(w, h) * s), SIZES, SIZES, WALL_SHARES),
    st.builds(lambda a, s: Angle(a, a * s), SIZES, WALL_SHARES),
    st.builds(lambda h, s: IBeam(h, h / 2, h * s / 4, h * s / 3), SIZES, WALL_SHARES),
)
SECTIONS = st.one_of(BARS, st.builds(Bundle, BARS, st.integers(1, 4), st.integers(1, 3)))
CUTS = st.builds(
    CutConditions,
    between(700e6, 2600e6),
    between(0.1, 0.35),
    st.sampled_from([pitch_m_from_teeth_per_inch(each) for each in TEETH_PER_INCH]),
    between(0.001, 0.002),
    between(0.3, 1.9),
    between(0.4, 1.5),
)
FORCES = between(20.0, 2000.0)
VALVES = between(5e-5, 0.01)


@QUICK
@given(SECTIONS, FORCES, VALVES, CUTS, between(0.0, 1.04), between(0.0, 0.95))
def test_the_head_only_ever_sinks_and_its_table_reads_both_ways(
    section: Section, force: float, valve: float, cut: CutConditions, mitre: float, share: float
) -> None:
    table = cut_table(section, force, valve, cut, mitre, section.height_m * share)

    assert all(a < b for a, b in zip(table.depth_m, table.depth_m[1:], strict=False))
    assert all(a < b for a, b in zip(table.time_s, table.time_s[1:], strict=False))
    assert table.depth_m[-1] == pytest.approx(section.height_m, rel=1e-12)
    assert table.duration_s >= (section.height_m * (1 - share)) / valve * (1 - 1e-9)
    for part in (0.0, 0.1, 0.37, 0.9, 1.0):
        moment_s = table.duration_s * part
        assert table.time_at_s(table.depth_at_m(moment_s)) == pytest.approx(
            moment_s, rel=1e-6, abs=1e-9
        )
    assert table.mean_power_w <= table.peak_power_w * (1 + 1e-6)
    assert table.depth_at_m(-1.0) == table.depth_m[0]
    assert table.depth_at_m(table.duration_s + 1.0) == table.depth_m[-1]


@QUICK
@given(SECTIONS, FORCES, VALVES, CUTS, between(0.05, 0.95))
def test_a_cut_taken_up_again_takes_the_rest_of_the_time(
    section: Section, force: float, valve: float, cut: CutConditions, share: float
) -> None:
    depth_m = section.height_m * share
    whole = cut_table(section, force, valve, cut, nodes=1024)
    rest = cut_table(section, force, valve, cut, start_depth_m=depth_m, nodes=1024)

    assert whole.time_at_s(depth_m) + rest.duration_s == pytest.approx(whole.duration_s, rel=1e-3)


@QUICK
@given(SECTIONS, FORCES, VALVES, CUTS, between(1.05, 3.0))
def test_more_feed_force_cuts_faster_until_the_valve_holds_the_head(
    section: Section, force: float, valve: float, cut: CutConditions, more: float
) -> None:
    soft = cut_table(section, force, valve, cut)
    hard = cut_table(section, force * more, valve, cut)
    valve_alone_s = section.height_m / valve

    assert hard.duration_s <= soft.duration_s * (1 + 1e-6)
    assert hard.duration_s >= valve_alone_s * (1 - 1e-9)
    if soft.duration_s > valve_alone_s * 1.001:
        assert hard.duration_s < soft.duration_s


@QUICK
@given(SECTIONS, VALVES, CUTS)
def test_with_force_enough_the_valve_alone_sets_the_time(
    section: Section, valve: float, cut: CutConditions
) -> None:
    assert cut_table(section, 1e7, valve, cut).duration_s == pytest.approx(
        section.height_m / valve, rel=1e-9
    )


@QUICK
@given(BARS, FORCES, CUTS, between(0.1, 1.04))
def test_a_mitre_cut_takes_longer_and_loads_the_motor_no_less(
    bar: Section, force: float, cut: CutConditions, mitre: float
) -> None:
    square = cut_table(bar, force, 0.002, cut)
    mitred = cut_table(bar, force, 0.002, cut, mitre_rad=mitre)

    assert mitred.duration_s >= square.duration_s * (1 - 1e-9)
    assert mitred.peak_power_w >= square.peak_power_w * (1 - 1e-9)
    assert mitred.least_teeth == pytest.approx(square.least_teeth / cos(mitre), rel=1e-9)


@QUICK
@given(SECTIONS, FORCES, VALVES, CUTS)
def test_no_depth_loads_the_band_above_the_reported_peaks(
    section: Section, force: float, valve: float, cut: CutConditions
) -> None:
    table = cut_table(section, force, valve, cut)
    for step in range(1, 60):
        depth_m = section.height_m * step / 60
        chip_m = chip_thickness_m(table.feed_m_s_at(depth_m), cut.pitch_m, cut.band_speed_m_s)
        assert table.power_w(depth_m) <= table.peak_power_w * (1 + 1e-4)
        assert chip_m <= table.peak_chip_m * (1 + 1e-9)
        assert table.feed_m_s_at(depth_m) <= valve * (1 + 1e-12)


@QUICK
@given(between(1e-5, 0.01), between(0.002, 0.3), CUTS)
def test_pull_on_the_teeth_is_always_power_by_band_speed(
    feed: float, contact: float, cut: CutConditions
) -> None:
    chip_m = chip_thickness_m(feed, cut.pitch_m, cut.band_speed_m_s)
    teeth = teeth_in_contact(contact, cut.pitch_m)
    pull_n = cutting_force_n(cut.kc11_pa, cut.mc, cut.kerf_m, chip_m, teeth)

    assert cutting_power_w(feed, contact, cut) == pytest.approx(
        pull_n * cut.band_speed_m_s, rel=1e-12
    )


@QUICK
@given(FORCES, between(0.0, 0.3), CUTS)
def test_the_teeth_carry_exactly_the_force_that_feeds_them(
    force: float, contact: float, cut: CutConditions
) -> None:
    feed_m_s = feed_for_force_m_s(force, contact, cut)

    chip_m = chip_thickness_m(feed_m_s, cut.pitch_m, cut.band_speed_m_s)
    teeth = max(1.0, contact / cut.pitch_m)
    pull_n = cutting_force_n(cut.kc11_pa, cut.mc, cut.kerf_m, chip_m, teeth)
    assert cut.thrust_ratio * pull_n == pytest.approx(force, rel=1e-9)


@QUICK
@given(between(10, 400), between(0.05, 0.6), between(1.01, 3.0), between(500, 20000), st.booleans())
def test_a_wider_guide_span_wanders_more(
    force: float, span: float, wider: float, tension: float, built_in: bool
) -> None:
    near_m = wander_m(force, span, tension, BAND, built_in)
    far_m = wander_m(force, span * wider, tension, BAND, built_in)

    assert wider * near_m <= far_m * (1 + 1e-9)
    assert far_m <= wider**3 * near_m * (1 + 1e-9)


@QUICK
@given(between(10, 400), between(0.05, 0.6), between(0.0, 20000), between(1.0, 5000), st.booleans())
def test_a_slacker_band_wanders_more(
    force: float, span: float, tension: float, less: float, built_in: bool
) -> None:
    slack_m = wander_m(force, span, tension, BAND, built_in)
    tight_m = wander_m(force, span, tension + less, BAND, built_in)

    assert isfinite(slack_m)
    assert tight_m < slack_m


@QUICK
@given(
    between(0.02, 0.15), between(0.02, 0.2), between(0.3, 0.95), st.sampled_from(["round", "sq"])
)
def test_a_thinner_wall_crushes_sooner_and_gives_more(
    size: float, share: float, thinner: float, shape: str
) -> None:
    make = RoundTube if shape == "round" else SquareTube
    thick, thin = make(size, size * share), make(size, size * share * thinner)
    thin_yield_n = first_yield_n(thin, STEEL, 0.1)

    assert thin_yield_n < first_yield_n(thick, STEEL, 0.1)
    assert closing_m(thin, STEEL, thin_yield_n, 0.1) > closing_m(thick, STEEL, thin_yield_n, 0.1)


@QUICK
@given(
    st.builds(lambda d, s: RoundTube(d, d * s), between(0.02, 0.1), between(0.03, 0.15)),
    between(0.2, 3.0),
    between(1.001, 1.5),
)
def test_a_harder_grip_never_dents_a_tube_less(tube: RoundTube, load: float, more: float) -> None:
    clamping_n = first_yield_n(tube, STEEL, 0.1) * load
    soft_m, hard_m = (
        dent_m(tube, STEEL, clamping_n, 0.1),
        dent_m(tube, STEEL, clamping_n * more, 0.1),
    )

    assert soft_m <= hard_m + 1e-9  # a nanometre is the noise of the sum
    assert soft_m == 0.0 or load > 1.0
    assert hard_m <= tube.diameter_m - 2 * tube.wall_m


@QUICK
@given(between(0.02, 0.1), between(0.02, 0.08))
def test_a_thin_tube_has_a_narrower_grip_window_than_a_solid_bar(size: float, share: float) -> None:
    jaws = Jaws(20e-4, 0.1, 0.9, 0.15)
    tube_low_pa, tube_high_pa = clamping_window_pa(
        RoundTube(size, size * share), STEEL, 200.0, jaws
    )
    solid_low_pa, solid_high_pa = clamping_window_pa(Round(size), STEEL, 200.0, jaws)

    assert tube_low_pa == solid_low_pa
    assert tube_high_pa < solid_high_pa


@QUICK
@given(st.builds(lambda d, s: RoundTube(d, d * s), SIZES, between(0.02, 0.12)))
def test_coarser_teeth_leave_fewer_of_them_in_a_tube(tube: RoundTube) -> None:
    counts = [teeth_in_cut(tube, pitch_m_from_teeth_per_inch(each)) for each in TEETH_PER_INCH]

    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


@QUICK
@given(SECTIONS)
def test_the_pitch_proposed_keeps_three_teeth_wherever_any_pitch_can(section: Section) -> None:
    finest_m = pitch_m_from_teeth_per_inch(TEETH_PER_INCH[-1])
    assume(teeth_in_cut(section, finest_m) >= 3.0)
    pitch_m = tooth_pitch_m(section)

    assert teeth_in_cut(section, pitch_m) >= 2.95


@QUICK
@given(SECTIONS)
def test_the_pitch_proposed_has_at_most_24_teeth_in_a_wall_wherever_any_has(
    section: Section,
) -> None:
    stock_m = [pitch_m_from_teeth_per_inch(each) for each in TEETH_PER_INCH]
    longest_m = longest_wall_m(section)
    assume(any(longest_m / m <= 24 and teeth_in_cut(section, m) >= 2.95 for m in stock_m))

    assert longest_m / tooth_pitch_m(section) <= 24


@QUICK
@given(st.lists(between(0.0, 0.6), min_size=1, max_size=20), between(0.0, 0.001))
def test_the_length_stop_never_leaves_the_play_of_its_screw(
    turns: list[float], play: float
) -> None:
    stop_m = 0.3
    for screw_m in turns:
        stop_m = stop_after_turn(stop_m, screw_m, play)
        assert screw_m - play <= stop_m <= screw_m

    assert stop_after_turn(stop_after_turn(stop_m, 0.601, play), 0.2, play) == 0.2


@QUICK
@given(between(0.0, 1.2), between(1.2, 8.0), between(0.0, 0.9))
def test_time_left_to_the_overload_trip_runs_down_with_the_clock(
    heat: float, ratio: float, share: float
) -> None:
    left_s = time_to_trip_s(ratio, heat)
    later = heat_after(heat, ratio, left_s * share)

    assert time_to_trip_s(ratio, later) == pytest.approx(left_s * (1 - share), rel=1e-6, abs=1e-6)


@QUICK
@given(SECTIONS, between(0.001, 0.999))
def test_intervals_lie_in_order_inside_the_bar_and_sum_to_the_contact(
    section: Section, share: float
) -> None:
    intervals = section.contact_intervals_m(section.height_m * share)
    ends = [end for interval in intervals for end in interval]
    half_m = section.width_m / 2 * (1 + 1e-9)

    assert ends == sorted(ends)
    assert all(-half_m <= end <= half_m for end in ends)
    assert sum(b - a for a, b in intervals) == pytest.approx(
        section.contact_length_m(section.height_m * share), rel=1e-9, abs=1e-12
    )
