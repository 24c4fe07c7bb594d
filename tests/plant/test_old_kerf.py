"""What a broken-off cut leaves in the bar: a kerf at its place and depth, and what a band does that comes to it."""

import pytest

from sim.plant.blade import SHARP, STRIPPED
from sim.plant.harm.kinds import KINDS
from sim.units import MM


def bar(hands):
    return hands.saw.plant.bar


def break_off(ready, seconds=10.0, **settings):
    """A cut that was stopped some way down, the band standing, the head up again."""
    hands = ready(**settings)
    hands.clamp_bar()
    saw_some(hands, seconds)
    return hands


def saw_some(hands, seconds):
    hands.tap("coolant.with_band")
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.wait(seconds)
    hands.release("head.lower")
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.tap("band.stop")
    hands.wait(10)


def feed(hands, seconds):
    """Feed the bar on by the shuttle, some seconds of its way; return by how much, m."""
    before_m = bar(hands).front_m
    hands.clamp("cutting_vise")
    hands.let_go("shuttle_vise")
    hands.until(lambda: hands.sees("B32"))
    hands.hold_down("shuttle.back", seconds)
    hands.clamp("shuttle_vise")
    hands.let_go("cutting_vise")
    hands.until(lambda: hands.sees("B31"))
    hands.hold_down("shuttle.forward", 5)
    hands.clamp("cutting_vise")
    return bar(hands).front_m - before_m


def lower_through(hands):
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until(lambda: bool(hands.saw.cuts))


def new_band(hands):
    hands.saw.plant.blade.fit(hands.saw.plant.blade.teeth_per_inch)


def test_a_broken_off_cut_leaves_its_kerf_at_its_place_and_depth_and_it_goes_with_the_bar(ready):
    hands = break_off(ready)
    depth_m = bar(hands).kerf_depth_m
    assert depth_m > 5 * MM
    fed_m = feed(hands, 0.5)
    (kerf,) = bar(hands).kerfs.all

    assert bar(hands).kerf_depth_m == 0.0
    assert kerf.depth_m == depth_m
    assert bar(hands).rear_m + kerf.from_rear_m == pytest.approx(fed_m, abs=1e-9)


def test_the_band_that_sawed_it_goes_back_into_it_and_saws_on(ready):
    hands = break_off(ready)
    lower_through(hands)

    assert hands.harm == []
    assert bar(hands).kerfs.all == ()


def test_a_kerf_that_was_entered_is_sawn_deeper_and_stays_one(ready):
    hands = break_off(ready)
    shallow_m = bar(hands).kerf_depth_m
    saw_some(hands, 5)

    assert len(bar(hands).kerfs.all) == 1
    assert bar(hands).kerf_depth_m > shallow_m


@pytest.mark.parametrize("worn", [0.0, 0.4, 1.0])
def test_another_band_binds_in_it_and_strips_its_teeth(ready, told, worn):
    hands = ready()
    hands.saw.plant.blade.wear = worn
    hands.clamp_bar()
    saw_some(hands, 10)
    new_band(hands)
    assert hands.saw.plant.blade.condition.name == SHARP
    lower_through(hands)

    assert "bound-in-kerf" in hands.harm
    assert hands.saw.plant.blade.condition.name == STRIPPED
    slot = 1.5 - 0.4 * worn / 3
    assert f"{slot:.2f} mm wide" in told(hands, "bound-in-kerf")


def test_another_band_that_stands_is_let_down_into_it_without_harm(ready):
    hands = break_off(ready)
    new_band(hands)
    hands.hold_down("head.lower", 3)

    assert "bound-in-kerf" not in hands.harm


def test_the_end_with_the_kerf_cut_off_lets_a_new_band_begin(ready):
    hands = break_off(ready)
    new_band(hands)
    assert feed(hands, 0.2) > 10 * MM
    lower_through(hands)

    assert "bound-in-kerf" not in hands.harm
    assert bar(hands).kerfs.all == ()
    assert hands.saw.cuts[0].half_sawn
    # By hand nobody says that it is an end; and nobody eased the feed for the new band.
    assert hands.harm == ["not-run-in", "piece-half-sawn"]


def test_a_kerf_behind_the_band_comes_with_a_later_piece(ready):
    hands = break_off(ready)
    (kerf,) = bar(hands).kerfs.all
    feed(hands, 0.6)
    lower_through(hands)
    assert hands.saw.cuts[0].half_sawn
    assert kerf not in bar(hands).kerfs.all


def test_a_band_that_comes_down_on_its_edge_is_drawn_in_and_the_face_leans(ready, told):
    hands = break_off(ready)
    fed_m = feed(hands, 0.005)
    assert 0.2 * MM < fed_m < 1.5 * MM
    lower_through(hands)

    assert "drawn-into-kerf" in hands.harm
    assert f"{fed_m / MM:.2f} mm beside" in told(hands, "drawn-into-kerf")
    assert hands.saw.cuts[0].out_of_square >= fed_m / bar(hands).height_m


def test_one_moved_by_less_than_the_room_beside_the_band_is_entered(ready):
    hands = break_off(ready)
    moved_m = bar(hands).front_m + 0.15 * MM
    bar(hands).ride(lambda: moved_m)
    bar(hands).lie()
    assert bar(hands).kerf_depth_m > 0.0
    lower_through(hands)

    assert hands.harm == []


def test_a_kerf_sawn_at_an_angle_is_none_for_a_square_cut(ready):
    hands = break_off(ready, head__mitre_deg=30, outfeed__back_rail="back", band__guide_span_mm=140)
    assert bar(hands).kerf_depth_m > 0.0
    hands.saw.plant.swing(0.0)

    assert bar(hands).kerf_depth_m == 0.0
    assert len(bar(hands).kerfs.all) == 1


@pytest.mark.parametrize("kind", ["bound-in-kerf", "drawn-into-kerf", "piece-half-sawn"])
def test_each_says_what_to_do_instead(kind):
    assert "old kerf" in str(KINDS[kind].instead)
