"""Stopping against ISO 13850, IEC 60204-1 and ISO 14118.

Nobody here has read these standards. FOUND: quoted on a switch maker's page about ISO 13850, in the
text of a machinery directive, or in pages that explain IEC 60204-1; MEMORY: recalled, clause numbers
and all, and perhaps off by an edition.
"""

from dataclasses import replace

import pytest

from sim.scenario.machines import first_machine

STATES = (
    "at rest",
    "band running",
    "shuttle moving by hand",
    "head lowering by hand",
    "indexing",
    "cutting",
    "raising",
    "held",
    "complete",
    "reset and waiting",
)
HAZARDOUS = {"Q1", "Q2", "Q3", "Y11", "Y12", "Y21", "Y22", "Y31", "Y32", "Y33", "Y34", "M2", "M3"}


def bring_to(hands, state):
    if state in ("indexing", "held"):
        hands.begin_and_get_to("SHUTTLE_FORWARD")
    elif state == "cutting":
        hands.begin_job("straight")
        hands.until_in_metal()
    elif state == "raising":
        hands.begin_and_get_to("RAISE_HEAD")
    elif state == "complete":
        hands.begin_job("square", wanted=1)
        hands.until_job("COMPLETE")
    else:
        hands.set_up()
    if state == "held":
        hands.tap("job.hold")
        hands.until_job("HELD")
    elif state == "reset and waiting":
        hands.ready("square")
    elif state == "band running":
        hands.palms("band.run")
        hands.wait(2)
        hands.press("band.faster")
    elif state == "shuttle moving by hand":
        hands.press("shuttle.back")
    elif state == "head lowering by hand":
        hands.press("head.lower")
    hands.wait(0.05)


@pytest.fixture(params=STATES)
def anywhere(request, hands):
    """A saw in one of its states and modes."""
    bring_to(hands, request.param)
    return hands


# ISO 13850 ------------------------------------------------------------------------------------


def test_an_emergency_stop_overrides_everything_in_every_state_and_mode(anywhere):
    # FOUND: available and operational at all times; overrides all other functions in all modes.
    anywhere.press("supply.emergency_stop")

    assert anywhere.on & HAZARDOUS == set()
    assert anywhere.on == set()
    assert anywhere.job in ("ABORTING", "ABORTED")


@pytest.mark.parametrize("sinks", [False, True], ids=["holds", "sinks"])
@pytest.mark.parametrize("state", STATES)
def test_after_an_emergency_stop_nothing_moves_but_a_head_that_sinks(new_hands, state, sinks):
    # FOUND: it must bring the hazard to a stop, and must not make a new one; gravity stays (below).
    hands = new_hands(machine=replace(first_machine(), head_sinks=sinks))
    bring_to(hands, state)
    plant = hands.saw.plant
    hands.press("supply.emergency_stop")
    stood, low_m = hands.places, plant.head.place.position
    for _ in range(20):
        hands.wait(1.0)
        shuttle, head, *others = hands.places
        fell_m = low_m - head
        assert (shuttle, *others) == (stood[0], *stood[2:])
        assert fell_m <= plant.head.valve_m_s * 1.0 + 1e-9 if sinks else fell_m == 0.0
        low_m = head
    if sinks and state not in ("cutting",):
        assert low_m < stood[1] or plant.head.rests
    assert plant.band.speed_m_s == 0.0


def test_the_command_stays_until_it_is_reset_by_hand(anywhere):
    # FOUND: the command is held (latched) until reset by an intended human action.
    anywhere.press("supply.emergency_stop")
    for key in ("supply.reset", "supply.control_on", "job.clear", "job.reset", "band.stop"):
        anywhere.tap(key)
    anywhere.palms("job.start")
    anywhere.wait(3600)

    assert anywhere.state("supply") == "TRIPPED"
    assert anywhere.on == set()


def test_reset_does_not_restart_but_only_permits_restarting(anywhere):
    # FOUND: disengaging must not restart, only permit restarting.
    anywhere.press("supply.emergency_stop")
    anywhere.wait(10)
    before = anywhere.places
    anywhere.release("supply.emergency_stop")
    assert anywhere.on == set()
    anywhere.wait(3600)

    assert anywhere.on == set()
    shuttle, head, *others = anywhere.places
    assert (shuttle, *others) == (before[0], *before[2:])
    assert head <= before[1]  # it sinks, and nothing raises it
    assert anywhere.tap("supply.reset").accepted
    assert anywhere.on == set()
    anywhere.release(*sorted(anywhere.saw.held - {"supply.isolator"}))
    assert anywhere.tap("supply.control_on").accepted
    assert anywhere.on == {"K1", "Q2", "Y13"}


def test_a_start_key_held_from_before_needs_to_be_pressed_afresh(hands):
    # DERIVED from the rule above: an old edge is no fresh start.
    bring_to(hands, "at rest")
    hands.press("supply.emergency_stop")
    hands.press(
        "supply.control_on", "supply.reset", "band.run", "job.start", "palm.left", "palm.right"
    )
    hands.release("supply.emergency_stop")
    hands.wait(10)

    assert hands.on == set()


def test_an_emergency_stop_wins_over_a_start_held_with_both_hands(hands):
    hands.control_on()
    hands.tap("band.run")
    hands.press("palm.left", "palm.right")
    hands.wait(1)
    hands.press("supply.emergency_stop")
    hands.wait(10)

    assert hands.on == set()
    hands.release("supply.emergency_stop")
    hands.wait(10)
    assert hands.on == set()


def test_it_is_a_category_0_stop_power_goes_at_once_and_the_band_coasts(hands):
    # FOUND: category 0 removes the power to the actuators at once; an emergency stop is 0 or 1.
    bring_to(hands, "cutting")
    hands.press("supply.emergency_stop")

    assert hands.on == set()
    assert hands.saw.plant.band.speed_m_s > 0
    hands.wait(3.1)
    assert hands.saw.plant.band.speed_m_s == 0


def test_the_emergency_stop_shuts_when_its_wire_is_cut(hands):
    # The contact is normally closed: a cut wire acts as a pressed button.
    bring_to(hands, "cutting")
    hands.stick("S1", False)

    assert hands.on == set()


# IEC 60204-1 ----------------------------------------------------------------------------------


def test_hold_is_a_category_2_stop_controlled_with_the_power_kept(hands):
    # FOUND: category 2 is a controlled stop with power kept.
    bring_to(hands, "indexing")
    hands.tap("job.hold")
    hands.until_job("HELD")

    assert {"K1", "Q2"} <= hands.on
    assert not hands.on & {"Y21", "Y22"}


def test_a_stop_has_priority_over_a_start_pressed_with_it(hands):
    # MEMORY (9.2.2): stop functions override start functions.
    hands.control_on()
    hands.press("supply.trip_line")
    hands.palms("band.run")
    assert not hands.sees("Q1")
    hands.release("supply.trip_line")
    hands.wait(10)

    assert not hands.sees("Q1")


@pytest.mark.parametrize("tag", ["B41", "B42"])
def test_closing_a_guard_starts_nothing(hands, tag):
    # MEMORY (9.3.1): closing or resetting an interlocking guard starts no hazardous operation.
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.stick(tag, False)
    hands.until_job("STOPPED")
    hands.mend(tag)
    hands.wait(3600)

    assert not hands.on & (HAZARDOUS - {"Q2"})


def test_a_start_needs_its_safeguards_in_place(hands):
    # MEMORY (9.2.3.2): start only with all safeguards in place and functional.
    hands.control_on()
    for tag in ("B41", "B42"):
        hands.stick(tag, False)
        assert not hands.palms("band.run").accepted
        hands.mend(tag)

    assert hands.palms("band.run").accepted


def test_the_supply_coming_back_restarts_nothing(anywhere):
    # MEMORY (7.5); FOUND for the disconnector: off while cycling, all dead; on again, no motion.
    anywhere.release("supply.isolator")
    assert anywhere.on == set()
    assert anywhere.state("supply") == "DEAD"
    anywhere.wait(5)
    anywhere.press("supply.isolator")
    anywhere.wait(3600)

    assert anywhere.on == set()
    assert anywhere.job != "EXECUTE"


def test_a_key_that_moves_something_while_held_stops_it_when_let_go(hands):
    # MEMORY (9.2.3.7): hold-to-run.
    hands.set_up()
    for key in ("shuttle.back", "head.lower"):
        hands.press(key)
        hands.wait(0.2)
        moving = hands.places
        hands.release(key)
        stopped = hands.places
        hands.wait(10)

        assert hands.places == stopped
        assert stopped == moving


# ISO 14118 ------------------------------------------------------------------------------------


def test_gravity_is_an_energy_that_a_stop_does_not_take_away(hands):
    # FOUND (scope): stored energy, gravity among it, is a source of unexpected start-up. The saw
    # lets its head sink, so that it comes to rest low; a shut feed valve only slows it, and a prop holds it.
    hands.set_up()
    hands.press("supply.emergency_stop")
    place = hands.saw.plant.head.place
    top_m = place.position
    hands.wait(2)
    assert top_m - place.position == pytest.approx(2 * 0.2 / 60)  # 200 mm/min
    hands.wait(600)
    assert place.position == pytest.approx(hands.saw.plant.bar.height_m, abs=1e-6)


def test_a_head_on_its_prop_stays_where_it_is_after_a_stop(hands):
    # FOUND (scope), and common practice: a prop carries what oil does not hold.
    hands.set_up()
    hands.set(head__stop_notch=12)
    hands.hold_down("head.raise", 5)
    hands.set(head__prop="in")
    hands.press("supply.emergency_stop")
    hands.wait(3600)

    assert hands.saw.plant.head.propped
    assert hands.saw.plant.head.place.position == hands.machine.prop_m
