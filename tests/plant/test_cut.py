"""The cut: how long it takes, what it leaves, and what is worked out anew when something changes."""

from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from sim.plant.band import TURNS
from sim.trade.cutting import feed_for_force_m_s
from sim.trade.sections import (
    Angle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Square,
    SquareTube,
)
from sim.units import MM

COARSE, FINE = 4, 18  # teeth an inch, so that none is stripped and no gullet packed
SECTIONS = [
    (Round(31.7 * MM), COARSE),
    (Square(25.4 * MM), COARSE),
    (Rectangle(60 * MM, 12.3 * MM), COARSE),
    (RoundTube(42.4 * MM, 2.6 * MM), FINE),
    (RectangularTube(50 * MM, 30 * MM, 3 * MM), FINE),
    (SquareTube(40.1 * MM, 3.3 * MM), FINE),
    (Angle(45 * MM, 5 * MM), FINE),
    (IBeam(80 * MM, 42 * MM, 3.9 * MM, 5.9 * MM), FINE),
]


def begin_cut(hands):
    """By hand, with the bar clamped and the band at 60 m/min: down until the band is in metal."""
    hands.set_up()
    hands.set(head__stop_notch=6)
    hands.hold_down("head.raise", 3)
    hands.band_speed()
    hands.clamp("cutting_vise")
    hands.palms("band.run")
    hands.wait(2)
    hands.press("head.lower")
    hands.until(lambda: hands.saw.plant.head.cutting is not None)


def table(hands):
    plan = hands.saw.plant.head.cutting
    return plan.table if plan is not None else None


def depth_m(hands):
    bar = hands.saw.plant.bar
    return bar.height_m - hands.saw.plant.head.place.position


@pytest.mark.parametrize(("section", "teeth"), SECTIONS, ids=lambda v: type(v).__name__)
def test_every_section_is_cut_through_in_the_time_of_its_table(
    new_hands, stair_rod, section, teeth
):
    hands = new_hands(replace(stair_rod, section=section))
    hands.set(band__teeth_per_inch=teeth)
    begin_cut(hands)
    if teeth == FINE:
        hands.set(head__feed_valve_mm_min=30, head__feed_force_n=100)
    expected_s = table(hands).duration_s
    took_s = hands.until(lambda: bool(hands.saw.cuts))

    assert took_s == pytest.approx(expected_s, abs=1e-5)
    assert hands.saw.plant.head.cutting is None
    hands.until(lambda: hands.sees("B12"))


@pytest.mark.parametrize("seconds", [0.5, 3.0, 8.0])
def test_a_cut_left_in_part_is_remembered_as_a_kerf(hands, seconds):
    begin_cut(hands)
    whole = table(hands)
    hands.wait(seconds)
    hands.release("head.lower")
    assert hands.saw.plant.bar.kerf_depth_m == pytest.approx(whole.depth_at_m(seconds), abs=1e-7)
    hands.hold_down("head.raise", 0.3)
    lifted_m = hands.saw.plant.head.place.position
    hands.press("head.lower")
    air_s = hands.until(lambda: hands.saw.plant.head.cutting is not None)
    left_s = hands.until(lambda: bool(hands.saw.cuts))

    kerf_top_m = hands.saw.plant.bar.height_m - whole.depth_at_m(seconds)
    assert air_s == pytest.approx((lifted_m - kerf_top_m) / (200 * MM / 60), abs=1e-4)
    assert left_s == pytest.approx(whole.duration_s - seconds, abs=1e-4)
    assert hands.lengths_mm() == [10.5]


def test_a_bar_that_was_moved_has_no_kerf_under_the_band_any_more(hands):
    begin_cut(hands)
    hands.wait(3)
    hands.release("head.lower")
    hands.tap("band.stop")
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    assert hands.saw.plant.bar.kerf_depth_m > 0
    hands.hold_down("shuttle.back", 0.2)
    hands.clamp("shuttle_vise")
    hands.let_go("cutting_vise")
    hands.until(lambda: hands.sees("B34") and hands.sees("B31"))
    hands.hold_down("shuttle.forward", 0.1)

    assert hands.saw.plant.bar.kerf_depth_m == 0.0
    assert hands.saw.plant.bar.work_top_m == hands.saw.plant.bar.height_m


def test_a_cut_that_has_gone_through_leaves_no_kerf(hands):
    begin_cut(hands)
    hands.until(lambda: bool(hands.saw.cuts))

    assert hands.saw.plant.bar.kerf_depth_m == 0.0
    assert hands.saw.plant.bar.front_m == 0.0


# What is worked out anew -----------------------------------------------------------------------


def slow(hands):
    hands.set(head__feed_valve_mm_min=6)


def press_less(hands):
    hands.set(head__feed_force_n=80)


def run_faster(hands):
    hands.hold_down("band.faster", 1)


def run_to_the_limit(hands):
    hands.hold_down("band.faster", 8)


@pytest.mark.parametrize("change", [slow, press_less, run_faster, run_to_the_limit])
def test_a_change_in_the_cut_is_worked_out_anew_from_where_the_band_is(hands, change):
    begin_cut(hands)
    hands.set(head__feed_valve_mm_min=100, head__feed_force_n=150)
    hands.wait(1)
    before = table(hands)
    change(hands)
    after = table(hands)
    assert after is not None
    assert after.duration_s != pytest.approx(before.duration_s, rel=1e-3)
    depth = depth_m(hands)
    left_s = hands.until(lambda: bool(hands.saw.cuts))

    assert left_s == pytest.approx(after.duration_s - after.time_at_s(depth), abs=3e-6)


def test_a_speed_key_held_in_the_cut_acts_while_it_is_held(hands):
    begin_cut(hands)
    hands.set(head__feed_valve_mm_min=250, head__feed_force_n=100)
    hands.wait(0.5)
    durations_s = [table(hands).duration_s]
    hands.press("band.slower")
    for _ in range(4):
        hands.wait(0.5)
        durations_s.append(table(hands).duration_s)

    speeds_m_min = [60, 55, 50, 45, 40]
    assert durations_s == [
        pytest.approx(durations_s[0] * 60 / speed, rel=0.03) for speed in speeds_m_min
    ]
    hands.release("band.slower")
    assert table(hands).duration_s == pytest.approx(durations_s[0] * 60 / 40, rel=0.01)


def test_a_feed_valve_closed_in_the_cut_stands_and_opened_again_goes_on(hands):
    begin_cut(hands)
    whole_s = table(hands).duration_s
    hands.wait(2)
    hands.set(head__feed_valve_mm_min=0)
    depth = depth_m(hands)
    hands.wait(60)
    assert depth_m(hands) == depth
    assert hands.harm == []
    hands.set(head__feed_valve_mm_min=200)

    assert hands.until(lambda: bool(hands.saw.cuts)) == pytest.approx(whole_s - 2, abs=1e-4)


def test_a_band_stopped_in_the_cut_cuts_on_while_it_coasts_and_then_stands(hands):
    begin_cut(hands)
    hands.wait(2)
    law, conditions = table(hands).law, table(hands).conditions
    contact_m = hands.saw.plant.bar.stock.section.contact_length_m
    assert contact_m(depth_m(hands)) > law.free_contact_m  # the feed force sets the pace
    hands.tap("band.stop")
    at_stop, machine = depth_m(hands), hands.saw.plant.site.machine
    hands.until(lambda: not hands.saw.plant.band.turning)

    # DERIVED: the speed falls evenly, and the feed that the force gives is integrated over it by scipy.
    # Ten steps of it, each with the speed of its middle, are within a two-hundred-and-fiftieth.
    def feed_m_s(time_s, depth):
        speed_m_s = conditions.band_speed_m_s * (1 - time_s / machine.coast_s)
        slower = replace(conditions, band_speed_m_s=speed_m_s)
        return feed_for_force_m_s(hands.saw.plant.head.force_n, contact_m(depth[0]), slower)

    coasts_s = machine.coast_s * (1 - TURNS)
    sawn = solve_ivp(feed_m_s, (0.0, coasts_s), [at_stop], rtol=1e-8, atol=1e-10).y[0, -1]
    assert depth_m(hands) - at_stop == pytest.approx(sawn - at_stop, rel=0.004)
    at_rest = depth_m(hands)
    hands.wait(10)
    assert depth_m(hands) == at_rest


def test_a_head_that_comes_down_on_the_bar_while_the_band_coasts_cuts_ever_slower(hands):
    begin_cut(hands)
    plant = hands.saw.plant
    hands.release("head.lower")
    hands.hold_down("head.raise", 0.1)
    assert plant.head.cutting is None
    hands.press("head.lower")
    hands.tap("band.stop")
    hands.until(lambda: plant.head.cutting is not None)
    driven_m_s, seen = plant.band.dial.position, []
    while plant.band.turning:
        speed_m_s = plant.head.cutting.setup.band_speed_m_s
        assert speed_m_s == pytest.approx(plant.band.speed_m_s, abs=0.06 * driven_m_s)
        seen.append(speed_m_s)
        hands.wait(0.01)

    assert len(set(seen)) >= 5
    assert seen == sorted(seen, reverse=True)


def test_a_band_that_coasts_with_the_head_held_cuts_nothing_more(hands):
    begin_cut(hands)
    hands.wait(2)
    hands.release("head.lower")
    hands.tap("band.stop")
    depth = depth_m(hands)
    hands.wait(10)

    assert depth_m(hands) == depth
    assert hands.harm == []


def test_a_band_stopped_in_the_cut_lifted_started_and_lowered_goes_on(hands):
    begin_cut(hands)
    hands.wait(2)
    hands.tap("band.stop")
    hands.wait(10)
    hands.release("head.lower")
    hands.hold_down("head.raise", 0.2)
    hands.palms("band.run")
    hands.wait(2)
    hands.press("head.lower")
    hands.until(lambda: table(hands) is not None)
    whole, done_s = table(hands), table(hands).time_at_s(depth_m(hands))

    took_s = hands.until(lambda: bool(hands.saw.cuts))
    assert took_s == pytest.approx(whole.duration_s - done_s, abs=1e-4)
    assert "started-buried" not in hands.harm


def test_the_same_cut_is_worked_out_once(hands):
    hands.begin_job("square", wanted=3)
    plans = []
    for _ in range(4):
        hands.until(lambda: hands.saw.plant.head.cutting is not None)
        plans.append(hands.saw.plant.head.cutting)
        hands.until(lambda: hands.saw.plant.head.cutting is None)

    assert all(one is plans[0] for one in plans)


# What is left of the bar ------------------------------------------------------------------------


def test_bar_pieces_and_kerfs_make_up_the_bar_that_was_loaded(hands):
    hands.begin_job("square", wanted=4)
    hands.until_job("COMPLETE")
    plant = hands.saw.plant

    pieces_m = sum(piece.length_m for piece in plant.bar.pieces)
    assert plant.bar.length_m + pieces_m + 5 * 1.5 * MM == pytest.approx(3.0, abs=1e-12)
    assert [piece.at_us for piece in plant.bar.pieces] == [cut.at_us for cut in hands.saw.cuts]


@pytest.mark.parametrize("front_mm", [0.4, 1.5])
def test_a_face_that_is_only_skimmed_gives_no_piece(new_hands, stair_rod, front_mm):
    hands = new_hands(replace(stair_rod, front_m=front_mm * MM))
    hands.begin_job("square", wanted=1)
    hands.until(lambda: bool(hands.saw.cuts))

    assert hands.lengths_mm() == [0.0]
    assert hands.saw.plant.bar.pieces == []
    assert hands.saw.plant.bar.length_m == pytest.approx(3.0 - front_mm * MM)
    hands.until_job("COMPLETE")
    assert hands.lengths_mm() == [0.0, 100.0]


def test_with_no_bar_under_the_band_the_head_goes_down_through_air(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, front_m=0.0))
    hands.begin_job("square", wanted=1)
    hands.until_step("RAISE_HEAD")

    assert hands.saw.cuts == []
