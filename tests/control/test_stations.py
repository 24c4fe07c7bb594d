"""The six stations by hand: what each key does, and how a motion ends."""

from dataclasses import replace

import pytest

from sim.units import MM

VISES = {"cutting_vise": ("Y31", "Y33", "B33", "B31"), "shuttle_vise": ("Y32", "Y34", "B34", "B32")}
HELD_KEYS = {
    "shuttle.to_stop": "Y22",
    "shuttle.to_blade": "Y21",
    "head.lift": "Y11",
    "head.lower": "Y12",
}


@pytest.fixture
def at_half_way(hands):
    """Control on, shuttle and head somewhere in the middle."""
    hands.set_up()
    hands.hold_down("shuttle.to_stop", 0.3)
    hands.hold_down("head.lower", 15)
    assert not hands.sees("B11")
    return hands


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_grips_and_frees_at_a_tap(hands, vise):
    grip, free, gripped, back = VISES[vise]
    hands.control_on()
    hands.tap(f"{vise}.grip")
    assert hands.on == {"K1", "Q2", grip}
    hands.until(lambda: hands.sees(gripped))
    assert hands.on == {"K1", "Q2"}
    assert not hands.sees(back)
    hands.wait(600)
    assert hands.sees(gripped)
    hands.tap(f"{vise}.free")
    assert hands.on == {"K1", "Q2", free}
    assert not hands.sees(gripped)
    hands.until(lambda: hands.sees(back))

    assert hands.on == {"K1", "Q2"}
    assert hands.state(vise) == "OPEN"


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_turned_back_half_way_opens_again(hands, vise):
    _, free, gripped, back = VISES[vise]
    hands.control_on()
    hands.tap(f"{vise}.grip")
    hands.wait(0.2)
    hands.tap(f"{vise}.free")
    assert hands.on == {"K1", "Q2", free}
    assert hands.until(lambda: hands.sees(back)) == pytest.approx(0.2)
    hands.wait(5)

    assert not hands.sees(gripped)


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_turned_back_on_its_way_open_grips(hands, vise):
    grip, _, gripped, _ = VISES[vise]
    hands.control_on()
    hands.grip_bar()
    hands.tap(f"{vise}.free")
    hands.wait(0.2)
    hands.tap(f"{vise}.grip")
    assert hands.on == {"K1", "Q2", grip}

    assert hands.until(lambda: hands.sees(gripped)) == pytest.approx(0.2 + 0.3)


@pytest.mark.parametrize(
    ("tag", "machine", "at_rest"),
    [
        ("B31", "cutting_vise", "OPEN"),
        ("B32", "shuttle_vise", "OPEN"),
        ("B22", "shuttle", "FORWARD"),
        ("B11", "head", "UP"),
    ],
)
def test_a_thing_pushed_off_its_switch_is_between_and_pushed_back_is_known(
    hands, tag, machine, at_rest
):
    hands.set_up()
    assert hands.state(machine) == at_rest
    hands.stick(tag, False)
    assert hands.state(machine) == "BETWEEN"
    hands.mend(tag)

    assert hands.state(machine) == at_rest


@pytest.mark.parametrize("vise", VISES)
def test_a_grip_lost_is_not_taken_again_by_itself(hands, vise):
    gripped = VISES[vise][2]
    hands.control_on()
    hands.grip_bar()
    hands.stick(gripped, False)
    assert hands.state(vise) == "BETWEEN"
    hands.wait(10)
    assert hands.on == {"K1", "Q2"}
    hands.mend(gripped)

    assert hands.state(vise) == "GRIPPED"
    assert hands.on == {"K1", "Q2"}


@pytest.mark.parametrize("verb", ["grip", "free"])
@pytest.mark.parametrize("vise", VISES)
def test_a_stroke_broken_off_by_a_loss_of_power_does_not_go_on_when_it_returns(hands, vise, verb):
    jaw = getattr(hands.saw.plant, vise).jaw
    hands.control_on()
    hands.tap(f"{vise}.grip")
    if verb == "free":
        hands.wait(10)
        hands.tap(f"{vise}.free")
    hands.wait(0.2)
    hands.press("supply.emergency_stop")
    left_m = jaw.position
    assert 0 < left_m < 4 * MM

    hands.wait(5)
    hands.release("supply.emergency_stop")
    hands.start("supply.control_on")
    hands.wait(5)

    assert jaw.position == left_m


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_left_half_way_by_a_loss_of_power_can_be_gripped_or_freed(new_hands, vise):
    grip, free, gripped, back = VISES[vise]
    for verb, output, switch in (("grip", grip, gripped), ("free", free, back)):
        hands = new_hands()
        hands.control_on()
        hands.tap(f"{vise}.grip")
        hands.wait(0.2)
        hands.press("supply.emergency_stop")
        assert hands.state(vise) == "BETWEEN"
        hands.release("supply.emergency_stop")
        hands.start("supply.control_on")
        hands.tap(f"{vise}.{verb}")
        assert output in hands.on
        hands.until(lambda hands=hands, switch=switch: hands.sees(switch))


@pytest.mark.parametrize("key", HELD_KEYS)
def test_shuttle_and_head_move_only_while_their_key_is_held(at_half_way, key):
    hands = at_half_way
    places = hands.places
    hands.press(key)
    assert hands.sees(HELD_KEYS[key])
    hands.wait(0.1)
    assert hands.places != places
    hands.release(key)
    assert not hands.sees(HELD_KEYS[key])
    assert hands.state(key.partition(".")[0]) == "BETWEEN"
    places = hands.places
    hands.wait(30)

    assert hands.places == places


@pytest.mark.parametrize(
    ("key", "limit"),
    [("shuttle.to_stop", "B21"), ("shuttle.to_blade", "B22"), ("head.lift", "B11")],
)
def test_a_motion_ends_at_its_limit_with_the_key_still_held(at_half_way, key, limit):
    hands = at_half_way
    hands.press(key)
    hands.until(lambda: hands.sees(limit))

    assert not hands.sees(HELD_KEYS[key])
    hands.wait(30)
    assert hands.sees(limit)
    hands.release(key)
    assert hands.tap(key).accepted
    assert not hands.sees(HELD_KEYS[key])


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("shuttle.to_stop", "shuttle.to_blade"),
        ("shuttle.to_blade", "shuttle.to_stop"),
        ("head.lift", "head.lower"),
        ("head.lower", "head.lift"),
    ],
)
def test_the_last_of_two_opposite_keys_wins_and_one_output_is_on(at_half_way, first, then):
    hands = at_half_way
    hands.press(first, then)

    assert hands.on & set(HELD_KEYS.values()) == {HELD_KEYS[then]}


def test_the_head_goes_down_by_hand_until_its_lower_limit_and_up_again(hands):
    hands.set_up()
    hands.start("band.start")
    hands.grip_bar()
    hands.press("head.lower")
    hands.until(lambda: hands.sees("B12"))
    assert hands.state("head") == "DOWN"
    assert not hands.sees("Y12")
    hands.release("head.lower")
    hands.press("head.lift")
    hands.wait(0.1)
    assert not hands.sees("B12")
    hands.until(lambda: hands.sees("B11"))

    assert hands.state("head") == "UP"


def test_a_length_stop_moved_away_leaves_the_shuttle_between_and_moved_back_finds_it(hands):
    hands.set_up()
    hands.press("shuttle.to_stop")
    hands.until(lambda: hands.sees("B21"))
    hands.release("shuttle.to_stop")
    counter_mm = hands.saw.read("shuttle.stop_mm")
    hands.set(shuttle__stop_mm=counter_mm + 10)
    assert hands.state("shuttle") == "BETWEEN"
    hands.set(shuttle__stop_mm=counter_mm)

    assert hands.state("shuttle") == "AT_STOP"


def test_a_height_stop_moved_under_a_head_at_rest_changes_its_switch(hands):
    hands.set_up()
    hole = hands.saw.read("head.stop_notch")
    hands.set(head__stop_notch=12)
    assert hands.state("head") == "BETWEEN"
    hands.set(head__stop_notch=hole)

    assert hands.state("head") == "UP"


def test_the_shuttle_found_forward_after_a_loss_of_power_is_known_to_be(hands):
    hands.set_up()
    hands.hold_down("shuttle.to_stop", 0.3)
    hands.press("shuttle.to_blade")
    hands.wait(0.1)
    hands.press("supply.emergency_stop")
    assert hands.state("shuttle") == "BETWEEN"
    hands.stick("B22", True)

    assert hands.state("shuttle") == "FORWARD"


def test_a_head_sunk_to_the_bottom_without_power_is_known_to_be_down(new_hands, stair_rod):
    hands = new_hands(replace(stair_rod, front_m=0.0))
    hands.set_up()
    hands.press("supply.emergency_stop")
    hands.until(lambda: hands.sees("B12"))

    assert hands.state("head") == "DOWN"
    assert hands.on == set()
    hands.stick("B12", False)
    assert hands.state("head") == "BETWEEN"


@pytest.mark.parametrize("station", ["band", "cutting_vise", "shuttle", "head", "coolant"])
def test_a_selector_turns_its_station_to_and_fro(hands, station):
    hands.control_on()
    for mode in ("auto", "hand", "hand", "auto"):
        hands.tap(f"{station}.{mode}")

        assert hands.saw.controller.image[f"mode.{station}"] == mode.upper()
