"""The parts by hand in MANUAL: what each key does, and how a motion ends."""

from dataclasses import replace

import pytest

from sim.units import MM

VISES = {"cutting_vise": ("Y31", "Y33", "B33", "B31"), "shuttle_vise": ("Y32", "Y34", "B34", "B32")}
HELD_KEYS = {
    "shuttle.back": "Y22",
    "shuttle.forward": "Y21",
    "head.raise": "Y11",
    "head.lower": "Y12",
}
ALL_HELD = {
    **HELD_KEYS,
    "cutting_vise.clamp": "Y31",
    "cutting_vise.release": "Y33",
    "shuttle_vise.clamp": "Y32",
    "shuttle_vise.release": "Y34",
}
AT_REST = {"K1", "Q2", "Y13"}


@pytest.fixture
def at_half_way(hands):
    """Control on, shuttle and head somewhere in the middle."""
    hands.set_up()
    hands.hold_down("shuttle.back", 0.3)
    hands.hold_down("head.lower", 15)
    assert not hands.sees("B11")
    return hands


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_clamps_and_releases_while_its_key_is_held(hands, vise):
    clamp, release, clamped, back = VISES[vise]
    hands.control_on()
    hands.press(f"{vise}.clamp")
    assert hands.on == {*AT_REST, clamp}
    hands.until(lambda: hands.sees(clamped))
    assert hands.on == AT_REST
    hands.release(f"{vise}.clamp")
    assert not hands.sees(back)
    hands.wait(600)
    assert hands.sees(clamped)
    hands.press(f"{vise}.release")
    assert hands.on == {*AT_REST, release}
    assert not hands.sees(clamped)
    hands.until(lambda: hands.sees(back))

    assert hands.on == AT_REST
    assert hands.state(vise) == "RELEASED"


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_let_go_half_way_stays_there_and_goes_back_when_asked(hands, vise):
    _, release, clamped, back = VISES[vise]
    hands.control_on()
    hands.hold_down(f"{vise}.clamp", 0.2)
    assert hands.on == AT_REST
    assert hands.state(vise) == "BETWEEN"
    hands.wait(30)
    assert not hands.sees(clamped)
    hands.press(f"{vise}.release")
    assert hands.on == {*AT_REST, release}
    assert hands.until(lambda: hands.sees(back)) == pytest.approx(0.2)
    hands.wait(5)

    assert not hands.sees(clamped)


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_turned_back_on_its_way_back_clamps(hands, vise):
    clamp, _, clamped, _ = VISES[vise]
    hands.control_on()
    hands.clamp_bar()
    hands.hold_down(f"{vise}.release", 0.2)
    hands.press(f"{vise}.clamp")
    assert hands.on == {*AT_REST, clamp}

    assert hands.until(lambda: hands.sees(clamped)) == pytest.approx(0.2 + 0.3)


@pytest.mark.parametrize(
    ("tag", "machine", "at_rest"),
    [
        ("B31", "cutting_vise", "RELEASED"),
        ("B32", "shuttle_vise", "RELEASED"),
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
def test_clamping_lost_is_not_taken_again_by_itself(hands, vise):
    clamped = VISES[vise][2]
    hands.control_on()
    hands.clamp_bar()
    hands.stick(clamped, False)
    assert hands.state(vise) == "BETWEEN"
    hands.wait(10)
    assert hands.on == AT_REST
    hands.mend(clamped)

    assert hands.state(vise) == "CLAMPED"
    assert hands.on == AT_REST


def back_on(hands):
    hands.release("supply.emergency_stop")
    hands.tap("supply.reset")
    hands.tap("supply.control_on")


@pytest.mark.parametrize("verb", ["clamp", "release"])
@pytest.mark.parametrize("vise", VISES)
def test_a_stroke_broken_off_by_a_loss_of_power_does_not_go_on_when_it_returns(hands, vise, verb):
    jaw = getattr(hands.saw.plant, vise).jaw
    hands.control_on()
    hands.press(f"{vise}.clamp")
    if verb == "release":
        hands.wait(10)
        hands.release(f"{vise}.clamp")
        hands.press(f"{vise}.release")
    hands.wait(0.2)
    hands.press("supply.emergency_stop")
    left_m = jaw.position
    assert 0 < left_m < 4 * MM

    hands.wait(5)
    back_on(hands)
    hands.wait(5)

    assert jaw.position == left_m


@pytest.mark.parametrize("vise", VISES)
def test_a_vise_left_half_way_by_a_loss_of_power_can_be_clamped_or_released(new_hands, vise):
    clamp, release, clamped, back = VISES[vise]
    for verb, output, switch in (("clamp", clamp, clamped), ("release", release, back)):
        hands = new_hands()
        hands.control_on()
        hands.press(f"{vise}.clamp")
        hands.wait(0.2)
        hands.press("supply.emergency_stop")
        assert hands.state(vise) == "BETWEEN"
        hands.release(f"{vise}.clamp")
        back_on(hands)
        hands.press(f"{vise}.{verb}")
        assert output in hands.on
        hands.until(lambda hands=hands, switch=switch: hands.sees(switch))


@pytest.mark.parametrize("key", HELD_KEYS)
def test_shuttle_and_head_move_only_while_their_key_is_held(at_half_way, key):
    hands = at_half_way
    places = hands.places
    hands.press(key)
    if key == "shuttle.forward":  # the head is not up
        assert not hands.sees(HELD_KEYS[key])
        hands.release(key)
        hands.hold_down("head.raise", 5)
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


@pytest.mark.parametrize("mode", ["MANUAL", "MAINTENANCE"])
@pytest.mark.parametrize("key", ALL_HELD)
def test_hold_to_run_stops_on_release(hands, key, mode):
    hands.set_up()
    hands.hold_down("shuttle.back", 0.3)
    for vise in VISES:
        hands.hold_down(f"{vise}.clamp", 0.2)
    if key == "head.raise":
        hands.hold_down("head.lower", 15)
    hands.turn(mode)
    if mode == "MAINTENANCE":
        hands.press("enable")
    assert hands.press(key).accepted
    assert ALL_HELD[key] in hands.on
    hands.wait(0.05)
    hands.release(key)

    assert not hands.on & set(ALL_HELD.values())
    places = hands.places
    hands.wait(30)
    assert hands.places == places


@pytest.mark.parametrize(
    ("key", "limit"),
    [("shuttle.back", "B21"), ("shuttle.forward", "B22"), ("head.raise", "B11")],
)
def test_a_motion_ends_at_its_limit_with_the_key_still_held(at_half_way, key, limit):
    hands = at_half_way
    if key == "shuttle.forward":
        hands.hold_down("head.raise", 5)
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
        ("shuttle.back", "shuttle.forward"),
        ("shuttle.forward", "shuttle.back"),
        ("head.raise", "head.lower"),
        ("head.lower", "head.raise"),
    ],
)
def test_the_last_of_two_opposite_keys_wins_and_one_output_is_on(at_half_way, first, then):
    hands = at_half_way
    if first.startswith("shuttle"):
        hands.hold_down("head.raise", 5)
    hands.press(first, then)

    assert hands.on & set(HELD_KEYS.values()) == {HELD_KEYS[then]}


@pytest.mark.parametrize("mode", ["MANUAL", "MAINTENANCE"])
def test_the_shuttle_does_not_go_forward_with_the_head_down_in_any_mode(at_half_way, mode):
    hands = at_half_way
    hands.turn(mode)
    if mode == "MAINTENANCE":
        hands.press("enable")
    answer = hands.press("shuttle.forward")

    assert [(r.interlock, r.device) for r in answer.refusals] == [("I4", "B11")]
    assert hands.on & {"Y21", "Y22"} == set()


def test_the_head_goes_down_by_hand_until_its_lower_limit_and_up_again(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.clamp_bar()
    hands.press("head.lower")
    hands.until(lambda: hands.sees("B12"))
    assert hands.state("head") == "DOWN"
    assert not hands.sees("Y12")
    hands.release("head.lower")
    hands.press("head.raise")
    hands.wait(0.1)
    assert not hands.sees("B12")
    hands.until(lambda: hands.sees("B11"))

    assert hands.state("head") == "UP"


def test_one_pair_of_hands_can_make_a_cut_for_the_band_runs_on(hands):
    hands.set_up()
    hands.band_speed()
    hands.clamp_bar()
    hands.tap("coolant.with_band")
    hands.palms("band.run")
    hands.until(lambda: hands.sees("B2"))
    hands.press("head.lower")
    hands.until(lambda: bool(hands.saw.cuts))

    assert hands.sees("Q1")
    assert hands.harm == []


def test_both_vises_released_by_hand_is_not_refused(hands):
    """MANUAL drops what protects the job; what follows from it is the operator's to know."""
    hands.set_up()
    hands.clamp_bar()
    for vise, (_, _, _, back) in VISES.items():
        assert hands.press(f"{vise}.release").accepted
        hands.until(lambda back=back: hands.sees(back))
        hands.release(f"{vise}.release")

    assert {hands.state(vise) for vise in VISES} == {"RELEASED"}


def test_lowering_on_to_bar_that_nobody_clamped_is_not_refused_and_snatches_it(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.wait(3)
    assert hands.press("head.lower").accepted
    hands.wait(60)

    assert "bar-snatched" in hands.harm


def test_a_length_stop_moved_away_leaves_the_shuttle_between_and_moved_back_finds_it(hands):
    hands.set_up()
    hands.press("shuttle.back")
    hands.until(lambda: hands.sees("B21"))
    hands.release("shuttle.back")
    reading_mm = hands.saw.read("shuttle.stop_mm")
    hands.set(shuttle__stop_mm=reading_mm + 10)
    assert hands.state("shuttle") == "BETWEEN"
    hands.set(shuttle__stop_mm=reading_mm)

    assert hands.state("shuttle") == "BACK"


def test_a_height_stop_moved_under_a_head_at_rest_changes_its_switch(hands):
    hands.set_up()
    notch = hands.saw.read("head.stop_notch")
    hands.set(head__stop_notch=12)
    assert hands.state("head") == "BETWEEN"
    hands.set(head__stop_notch=notch)

    assert hands.state("head") == "UP"


def test_the_shuttle_found_forward_after_a_loss_of_power_is_known_to_be(hands):
    hands.set_up()
    hands.hold_down("shuttle.back", 0.3)
    hands.press("shuttle.forward")
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
