"""The power path is metal: what it feeds, and what it does not, whatever comes from the controller."""

import pytest

from sim.plant.power import MAIN, MOTORS, VALVES, VARIATOR
from sim.saw import Saw
from sim.scenario.machines import first_machine
from sim.signals import OUTPUTS, stuck
from tests.hands import STAIR_ROD

LOADS = (*MOTORS, *VARIATOR, *VALVES)


@pytest.fixture
def saw():
    """Switched on by hand; the controller's outputs are all held on by a force."""
    saw = Saw(first_machine(), STAIR_ROD)
    saw.press("supply.isolator")
    for tag in OUTPUTS:
        saw.bus.force(tag, True)
    saw.bus.settle()
    return saw


def reset(saw):
    saw.press("supply.reset")
    saw.release("supply.reset")


def fed(saw):
    """Every output whose load works."""
    return {tag for tag in OUTPUTS if saw.plant.power.moves(tag, saw.bus.seen[tag], None)}


def spoil(saw, **changes):
    def change(power):
        for name, value in changes.items():
            setattr(power, name, value)

    saw.plant.power.spoil(change)
    saw.bus.settle()


def test_every_output_hangs_on_the_path():
    assert {*LOADS, "K1"} == set(OUTPUTS)


def test_the_isolator_alone_feeds_nothing_and_a_reset_feeds_what_the_controller_asks_for(saw):
    assert not fed(saw)
    reset(saw)
    assert fed(saw) == set(OUTPUTS)


@pytest.mark.parametrize(
    "off",
    [
        lambda saw: saw.release("supply.isolator"),
        lambda saw: saw.press("supply.emergency_stop"),
        lambda saw: saw.press("supply.infeed_stop"),
        lambda saw: spoil(saw, fuse_24=False),
    ],
    ids=["isolator", "stop", "infeed stop", "fuse"],
)
def test_what_takes_the_feed_away_takes_it_from_everything_and_it_does_not_come_back_by_itself(
    saw, off
):
    reset(saw)
    off(saw)
    assert not fed(saw)
    saw.press("supply.isolator")
    saw.release("supply.emergency_stop")
    saw.release("supply.infeed_stop")
    spoil(saw, fuse_24=True)
    saw.advance_to(saw.clock.now_us + 60_000_000)

    assert not fed(saw)
    reset(saw)
    assert fed(saw) == set(OUTPUTS)


def test_the_trip_line_takes_its_feed_from_band_and_lowering_only(saw):
    reset(saw)
    saw.press("supply.trip_line")

    assert set(OUTPUTS) - fed(saw) == {"Q1", "Y12"}


def test_the_controller_s_wires_of_stop_and_isolator_are_not_in_the_path(saw):
    reset(saw)
    for tag, key in (("S1", "supply.emergency_stop"), ("S9", "supply.infeed_stop")):
        saw.bus.force(tag, True)
        saw.press(key)
        assert not fed(saw)
        saw.release(key)
        reset(saw)
        assert fed(saw)


def test_a_reset_counts_only_when_its_key_comes_up(saw):
    saw.press("supply.reset")
    assert not fed(saw)
    saw.release("supply.reset")
    assert fed(saw)


def test_a_reset_key_held_down_since_before_the_stop_came_out_counts_when_it_comes_up(saw):
    saw.press("supply.emergency_stop")
    saw.press("supply.reset")
    saw.release("supply.emergency_stop")
    assert not fed(saw)
    saw.release("supply.reset")
    assert fed(saw)


@pytest.mark.parametrize("contactor", MAIN)
def test_one_welded_contactor_still_stops_and_is_not_reset(saw, contactor):
    reset(saw)
    spoil(saw, welded={contactor})
    assert fed(saw) == set(OUTPUTS)
    saw.press("supply.emergency_stop")
    assert not fed(saw)
    saw.release("supply.emergency_stop")
    reset(saw)

    assert not fed(saw)
    spoil(saw, welded=set())
    reset(saw)
    assert fed(saw) == set(OUTPUTS)


@pytest.mark.parametrize("contact", [("S1", 1), ("S1", 2), ("S9", 1), ("S9", 2)])
def test_a_contact_that_never_opens_stops_all_the_same_and_is_noticed(saw, contact):
    key = "supply.emergency_stop" if contact[0] == "S1" else "supply.infeed_stop"
    reset(saw)
    saw.plant.power.relay.spoilt[contact] = True
    saw.press(key)
    assert not fed(saw)
    saw.release(key)
    reset(saw)

    assert not fed(saw)  # the channels disagreed
    del saw.plant.power.relay.spoilt[contact]
    reset(saw)
    assert not fed(saw)  # and still count as differing, until both have been open together
    saw.press(key)
    saw.release(key)
    reset(saw)
    assert fed(saw) == set(OUTPUTS)


def test_a_broken_feedback_loop_and_a_lost_return(saw):
    spoil(saw, loop_broken=True)
    reset(saw)
    assert not fed(saw)
    spoil(saw, loop_broken=False, no_return=True)
    reset(saw)
    assert set(OUTPUTS) - fed(saw) == set(VALVES)


def test_without_one_contactor_no_motor_turns_and_valves_still_open(saw):
    spoil(saw, dead_coils={"Q12"})
    reset(saw)

    assert fed(saw) == {"K1", *VALVES}


def test_with_a_phase_lost_no_motor_starts_and_one_that_turns_goes_on(saw):
    reset(saw)
    assert saw.plant.supply.pump
    spoil(saw, phase_lost=True)
    assert saw.plant.supply.pump
    saw.press("supply.emergency_stop")
    saw.release("supply.emergency_stop")
    reset(saw)

    assert not saw.plant.supply.pump
    assert saw.plant.hums == {"Q2", "Q3"}
    assert saw.plant.band.stalled


def test_weak_mains_drop_everything_when_the_band_starts(saw):
    saw.bus.force("Q1", False)
    spoil(saw, weak_mains=True)
    reset(saw)
    saw.advance_to(saw.clock.now_us + 5_000_000)
    assert fed(saw)
    saw.bus.force("Q1", True)
    saw.bus.settle()
    saw.advance_to(saw.clock.now_us + 1_000_000)

    assert not fed(saw)


@pytest.mark.parametrize(
    ("motors", "valves", "drops"),
    [  # a job under way has the band, hydraulics and coolant on, and one valve or two
        (("Q1", "Q2", "Q3"), 1, False),
        (("Q1", "Q2", "Q3"), 2, True),
        (("Q2", "Q3"), 2, False),  # as by hand, with the band at rest
        (("Q2",), 3, True),
    ],
)
def test_an_aged_24_v_supply_drops_a_job_at_its_second_valve_and_carries_what_is_done_by_hand(
    saw, motors, valves, drops
):
    for tag in OUTPUTS:
        saw.bus.force(tag, tag == "K1")
    spoil(saw, weak_24=True)
    reset(saw)
    for tag in (*motors, *VALVES[:valves]):
        saw.bus.force(tag, True)
        saw.bus.settle()
    saw.advance_to(saw.clock.now_us + 1_000_000)

    assert (not fed(saw)) == drops


def test_an_earth_fault_blows_the_fuse_when_its_output_comes_and_a_new_fuse_blows_again(saw):
    spoil(saw, grounded="Y22")
    for _ in range(2):
        reset(saw)
        saw.advance_to(saw.clock.now_us + 1_000_000)
        assert not saw.plant.power.fuse_24
        assert not saw.bus.seen["Q0"]
        spoil(saw, fuse_24=True)


def test_what_is_jammed_open_needs_no_current_but_a_motor_needs_the_mains(saw):
    saw.plant.seize("Y12", True)
    saw.plant.seize("Q1", True)

    assert saw.plant.power.moves("Y12", False, True)
    assert not saw.plant.power.moves("Q1", True, True)


def test_the_wire_of_k0_says_what_it_is_and_moves_nothing(saw):
    saw.bus.distort("K0", stuck(True))
    saw.bus.settle()
    assert saw.bus.seen["K0"]
    assert not fed(saw)
