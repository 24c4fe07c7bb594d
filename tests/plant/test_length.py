"""The length of the piece: index travel, the play of the length stop, and what the shuttle does to the bar."""

from dataclasses import replace

import pytest

from sim.units import MM

PLAY_MM = 0.15


def pieces_of(hands, readings_mm, wanted=3):
    """Run a job with the length stop wound to each reading in turn; return the lengths in mm."""
    hands.set_up()
    for reading in readings_mm:
        hands.set(shuttle__stop_mm=reading)
    hands.band_speed()
    hands.tap("coolant.with_band")
    hands.set(job__wanted=wanted)
    hands.ready("square")
    hands.start()
    hands.until_job("COMPLETE")
    assert hands.harm == []
    return [cut.length_m / MM for cut in hands.saw.cuts if not cut.squaring]


@pytest.mark.parametrize("piece_mm", [3.5, 41.25, 100.0, 237.05, 590.0])
def test_the_index_gives_the_piece_to_the_last_bit_of_its_length(hands, piece_mm):
    lengths = pieces_of(hands, [min(piece_mm + 6.5, 600), piece_mm + 1.5])

    assert lengths == [pytest.approx(piece_mm, abs=1e-9)] * 3


def test_a_stop_wound_up_to_its_setting_makes_pieces_short_by_the_play(hands):
    lengths = pieces_of(hands, [80.0, 101.5])

    assert lengths == [pytest.approx(100.0 - PLAY_MM, abs=1e-9)] * 3
    assert hands.saw.plant.shuttle.short_m / MM == pytest.approx(PLAY_MM, abs=1e-9)


def test_winding_past_and_back_takes_the_play_out(hands):
    lengths = pieces_of(hands, [80.0, 101.5, 106.5, 101.5])

    assert lengths == [pytest.approx(100.0, abs=1e-9)] * 3


def test_another_machines_play_and_kerf_go_into_the_piece(new_hands):
    hands = new_hands()
    machine = replace(hands.machine, play_m=0.4 * MM, kerf_m=2.0 * MM)
    lengths = pieces_of(new_hands(machine=machine), [80.0, 102.0])

    assert lengths == [pytest.approx(99.6, abs=1e-9)] * 3


@pytest.mark.parametrize(("more_mm", "held"), [(-1, False), (1, True)])
def test_the_rest_that_no_stroke_fetches_is_what_does_not_fill_the_jaws_of_a_shuttle_that_is_forward(
    new_hands, stair_rod, more_mm, held
):
    rest_m = new_hands().machine.least_rest_m
    rest = replace(stair_rod, front_m=0.0, length_m=rest_m + more_mm * MM)
    shuttle = new_hands(rest).saw.plant.shuttle

    assert shuttle.place.position == 0.0
    assert shuttle.has_bar is held


def test_the_shuttle_takes_the_bar_along_only_while_its_vise_alone_clamps(hands):
    hands.set_up()
    front_m = hands.saw.plant.bar.front_m
    hands.hold_down("shuttle.back", 0.3)
    hands.hold_down("shuttle.forward", 0.1)
    assert hands.saw.plant.bar.front_m == front_m
    hands.clamp("shuttle_vise")
    shuttle_m = hands.places[0]
    hands.hold_down("shuttle.forward", 0.1)

    assert hands.saw.plant.bar.front_m == pytest.approx(front_m + 0.015)
    assert hands.places[0] == pytest.approx(shuttle_m - 0.015)


def test_the_bar_can_be_drawn_back_too(hands):
    hands.set_up()
    hands.clamp("shuttle_vise")
    hands.hold_down("shuttle.back", 0.1)

    assert hands.saw.plant.bar.front_m == pytest.approx(0.012 - 0.015)
    assert hands.harm == []


def test_a_bar_driven_while_both_vises_hold_it_is_scored_once_and_stays(hands):
    hands.set_up()
    hands.clamp_bar()
    front_m = hands.saw.plant.bar.front_m
    hands.press("shuttle.back")
    hands.set(cutting_vise__pressure_bar=20)
    hands.set(shuttle_vise__pressure_bar=20)
    hands.wait(0.2)
    hands.release("shuttle.back")

    assert hands.harm == ["bar-scored"]
    assert hands.saw.plant.bar.front_m == front_m


def test_a_vise_let_go_on_the_way_leaves_the_bar_where_it_is(hands):
    hands.set_up()
    hands.clamp("shuttle_vise")
    hands.press("shuttle.back")
    hands.wait(0.1)
    hands.press("shuttle_vise.release")
    front_m = hands.saw.plant.bar.front_m
    hands.wait(0.2)

    assert hands.saw.plant.bar.front_m == front_m == pytest.approx(0.012 - 0.015)
    assert hands.places[0] == pytest.approx(0.045)


def test_a_stop_wound_down_pushes_a_shuttle_that_stands_at_the_stop(hands):
    hands.set_up()
    hands.press("shuttle.back")
    hands.until(lambda: hands.sees("B21"))
    hands.release("shuttle.back")
    hands.set(shuttle__stop_mm=90)

    assert hands.places[0] == pytest.approx(0.09)
    assert hands.sees("B21")


def test_a_shuttle_stopped_in_the_instant_it_was_started_is_still_forward(hands):
    hands.set_up()
    hands.press("shuttle.back")
    hands.wait(0)
    hands.release("shuttle.back")
    hands.wait(1)

    assert hands.sees("B22")
    hands.press("shuttle.forward")
    hands.wait(1)
    assert hands.state("shuttle") == "FORWARD"
    assert not hands.sees("Y21")


def test_the_bar_sensor_opens_where_the_bar_ends(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, length_m=0.4, front_m=0.0))
    hands.set_up(piece_mm=300)
    assert hands.sees("B53")
    hands.press("shuttle.back")
    hands.until(lambda: not hands.sees("B53"))
    assert hands.places[0] == pytest.approx(0.4 - 0.150 - 0.080, abs=1e-6)
    hands.release("shuttle.back")
    hands.press("shuttle.forward")
    hands.until(lambda: hands.sees("B53"))

    assert hands.places[0] == pytest.approx(0.4 - 0.150 - 0.080, abs=1e-6)


def test_a_stop_that_pushed_the_shuttle_back_over_the_bars_end_lets_it_be_found_again(
    new_hands, stair_rod
):
    hands = new_hands(replace(stair_rod, length_m=0.4, front_m=0.0))
    hands.set_up(piece_mm=300)
    hands.press("shuttle.back")
    hands.until(lambda: hands.sees("B21"))
    hands.release("shuttle.back")
    assert not hands.sees("B53")
    hands.set(shuttle__stop_mm=100)
    assert hands.sees("B53")
    hands.set(shuttle__stop_mm=300)
    hands.press("shuttle.back")
    hands.until(lambda: hands.sees("B21"))

    assert not hands.sees("B53")


def test_a_bar_carried_back_keeps_its_end_at_the_sensor(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, length_m=0.26, front_m=0.0))
    hands.set_up(piece_mm=300)
    hands.clamp("shuttle_vise")
    hands.press("shuttle.back")
    edges = []
    for _ in range(25):
        hands.wait(0.1)
        edges.append(hands.sees("B53"))
        hands.saw.state()
        hands.saw.bus.settle()

    assert all(edges)
    assert hands.sees("B21")


def test_a_bar_too_short_for_the_jaws_is_never_clamped(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, length_m=0.22, front_m=0.0))
    hands.set_up()
    hands.hold_down("shuttle_vise.clamp", 30)

    assert not hands.sees("B34")
    assert not hands.sees("B53")


def test_a_fresh_bar_loaded_while_the_old_one_is_carried_lies_where_it_was_put(hands, stair_rod):
    hands.set_up()
    hands.clamp("shuttle_vise")
    hands.press("shuttle.back")
    hands.wait(0.1)
    hands.saw.plant.load(replace(stair_rod, front_m=0.03))

    assert hands.saw.plant.bar.front_m == pytest.approx(0.03)
    hands.wait(0.1)
    assert hands.saw.plant.bar.front_m == pytest.approx(0.015)
