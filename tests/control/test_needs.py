"""What a need says where it does not hold, and that it says nothing where it does."""

import pytest

from sim.control import needs


@pytest.mark.parametrize(
    ("need", "sentence", "remedy"),
    [
        (needs.GUARD, "B41: the band guard is open.", "Close the band guard."),
        (needs.POWER, "There is no control power.", "Switch control on."),
        (needs.at_rest("head", ("RAISING",), ("UP", "RAISING")), "The head moves.",
         "Let the head come to rest first."),
    ],
)  # fmt: skip
def test_a_need_says_what_is_wrong_with_its_device_and_what_puts_it_right(need, sentence, remedy):
    assert str(need.sentence) == sentence
    assert str(need.remedy) == remedy


@pytest.mark.parametrize("state", ["STARTING", "RUNNING", "COASTING"])
def test_a_band_that_moves_has_no_latched_fault(hands, state):
    hands.set_up()
    hands.palms("band.run")
    hands.until(lambda: hands.state("band") == "STARTING")
    if state != "STARTING":
        hands.until(lambda: hands.state("band") == "RUNNING")
    if state == "COASTING":
        hands.tap("band.stop")
    assert hands.state("band") == state
    told = [str(each.fact) for each in hands.saw.controller.blocks("band.run")]

    assert "the band fault is latched" not in told


def test_control_on_once_more_is_no_open_safety_circuit(hands):
    switched_on(hands)
    hands.tap("supply.control_on")
    hands.wait(1)

    assert hands.saw.controller.blocks("supply.control_on") == ()
    assert hands.tap("supply.control_on").accepted


def test_with_the_isolator_off_only_the_isolator_stands_against_control_on(hands):
    told = hands.saw.controller.blocks("supply.control_on")

    assert [each.device for each in told] == ["Q0"]


def test_a_saw_whose_mode_switch_is_being_turned_is_not_in_maintenance(hands):
    hands.set_up()
    hands.press("mode.production")
    assert hands.state("mode") == "NONE"
    told = [str(each.fact) for each in hands.saw.controller.blocks("job.clear")]

    assert "the saw is in MAINTENANCE" not in told


STOP_OUT = "Turn the emergency stop out when the reason for it is gone and nobody is in the saw"
BY_RESET = ", press reset, then switch control on."


def switched_on(hands):
    hands.press("supply.isolator")
    hands.tap("supply.reset")


def with_the_isolator_off(hands):
    hands.press("supply.emergency_stop")  # a nearer cause comes first


def with_a_stop_in(hands):
    switched_on(hands)
    hands.press("supply.emergency_stop", "supply.trip_line")


def with_the_infeed_stop_in(hands):
    switched_on(hands)
    hands.press("supply.infeed_stop")


def with_the_trip_line_pulled(hands):
    hands.press("supply.isolator", "supply.trip_line")


def before_the_reset(hands):
    hands.press("supply.isolator")


def with_the_relay_out(hands):
    switched_on(hands)
    hands.stick("K0", False)
    hands.tap("supply.reset")


@pytest.mark.parametrize(
    ("stands", "to_do"),
    [
        (with_the_isolator_off, "Switch the isolator on when you know why it was off and nobody is at the saw" + BY_RESET),
        (with_a_stop_in, STOP_OUT + BY_RESET),
        (with_the_infeed_stop_in, STOP_OUT + BY_RESET),
        (with_the_trip_line_pulled, "Set the trip line back when the reason for it is gone" + BY_RESET),
        (before_the_reset, "Press reset, then switch control on."),
        (with_the_relay_out, "Press reset, and if the safety relay stays out find why; then switch control on."),
        (switched_on, "Switch control on."),
    ],
    ids=lambda each: getattr(each, "__name__", ""),
)  # fmt: skip
def test_without_control_power_the_nearest_cause_is_what_to_mend_first(hands, stands, to_do):
    stands(hands)
    (told,) = hands.saw.controller.blocks("head.raise")

    assert str(told.sentence) == "There is no control power."
    assert str(told.remedy) == to_do
