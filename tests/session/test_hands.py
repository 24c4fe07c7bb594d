"""The table of hands, what strikes them and what exposes them."""

import pytest

from sim.control import dials
from sim.debrief.debrief import PASS_MARK, debrief, json_values, summary
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import begin, make_ready, power_up, run, whole_job
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.plant.harm.kinds import KINDS, Severity
from sim.plant.set_points import SET_POINTS
from sim.session import inspections
from sim.session.hands import table
from sim.session.hands.zones import HARMLESS, Demand, Zone, kind_of_strike
from sim.session.kept.told import LET_GO
from sim.session.locking import do_all, locking_out
from sim.session.opening import open_session, session_for
from sim.signals import SIGNALS
from sim.text.report import report
from tests.debrief.eventful import debrief_by_few

LOOKS = [*inspections.INSPECTIONS.values(), *(inspections.meter(row.tag) for row in SIGNALS)]

pytestmark = pytest.mark.usefixtures("weighed_with_few")  # no test asks for a belief


def opened(job="posts"):
    return session_for(REFERENCE_JOBS[job].scenario(), nonce="")


def cutting():
    session = opened()
    power_up(session)
    make_ready(session)
    begin(session)
    cycle = session.saw.controller.machines["cycle"]
    assert session.advance_until(lambda: cycle.state == "LOWER_HEAD", 120_000_000)
    session.advance(5)
    return session


def locked_out():
    session = opened()
    do_all(session, locking_out(session))
    assert session.lockout.verified
    return session


def strikes(session):
    return [c.kind for c in session.saw.consequences if c.kind.startswith("struck-")]


# The table ---------------------------------------------------------------------------------


def test_every_set_point_and_dial_has_its_row():
    assert set(table.SETS) == {row.name for row in (*SET_POINTS, *dials.DIALS)}


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_every_look_has_its_row(look):
    assert table.to_look(look).seconds == look.seconds


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=lambda fault: fault.name)
def test_every_remedy_has_its_row(fault):
    assert table.to_mend(fault).seconds == fault.minutes * 60


def rows():
    return [
        *table.SETS.values(),
        *map(table.to_look, LOOKS),
        *map(table.to_mend, CATALOGUE.values()),
        table.LOADING,
    ]


def test_nothing_takes_no_time_and_what_reaches_in_has_hands_in_after_the_walk():
    for reach in rows():
        assert reach.seconds > 0
        assert reach.hands in (1, 2)
        if reach.zone not in HARMLESS:
            assert 3 <= reach.walk_s <= 8
            assert reach.walk_s < reach.seconds


def test_what_is_done_outside_asks_for_nothing_and_what_reaches_in_asks_for_something():
    for reach in rows():
        assert (reach.zone in HARMLESS) == (reach.demand is Demand.OUTSIDE)


def test_every_zone_that_something_can_strike_in_has_its_harm_that_ends_the_run():
    for zone in set(Zone) - {*HARMLESS, Zone.FLOOR}:
        assert KINDS[kind_of_strike(zone)].severity is Severity.STOP


# Strikes -----------------------------------------------------------------------------------


def test_hands_that_measure_beside_the_running_band_are_struck_and_the_run_is_over():
    session = cutting()
    before_us = session.saw.clock.now_us

    answer = session.inspect("guide-arm")

    assert not answer.taken
    assert strikes(session) == ["struck-band"]
    assert session.over
    walk_s = table.to_look(inspections.INSPECTIONS["guide-arm"]).walk_s
    assert session.saw.clock.now_us - before_us == walk_s * 1e6
    assert session.seen.looks == []


@pytest.mark.parametrize("point", [("band.brush_mm", 5.0), ("band.guide_span_mm", 150.0)])
def test_hands_that_reach_for_what_cannot_be_set_at_a_running_band_are_struck(point):
    session = cutting()
    assert session.saw.blocked(*point)

    answer = session.set(*point)

    assert not answer.taken
    assert strikes(session) == ["struck-band"]
    assert session.over
    assert debrief_by_few(session).score == 0


def test_a_closed_wheel_cover_keeps_hands_off_a_running_band_and_the_refusal_says_so():
    session = cutting()

    said = str(session.set("band.seat", "coiled in gloves").message)

    assert "The wheel cover is closed." in said
    assert (strikes(session), session.over) == ([], False)


def test_what_cannot_be_set_is_refused_at_once_where_nothing_moves():
    session = locked_out()
    before_us = session.saw.clock.now_us

    assert not session.set("band.guide_span_mm", 150.0).taken  # its lock is tight
    assert session.saw.clock.now_us == before_us


def test_what_begins_while_hands_are_in_strikes_when_it_begins():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.hold("head.raise", 8)
    start_us = session.saw.clock.now_us
    session.saw.clock.after(9_000_000, lambda: session.saw.press("shuttle.back"))

    session.inspect("infeed-rollers")

    assert strikes(session) == ["struck-shuttle-path"]
    assert session.saw.clock.now_us == start_us + 9_000_000


def test_what_begins_when_the_hands_are_out_again_strikes_nobody():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.hold("head.raise", 8)
    look_s = inspections.INSPECTIONS["infeed-rollers"].seconds
    session.saw.clock.after(round(look_s * 1e6), lambda: session.saw.press("shuttle.back"))

    assert session.inspect("infeed-rollers").taken
    assert strikes(session) == []
    assert session.saw.plant.shuttle.place.moving


def test_a_vise_that_is_opened_up_with_oil_in_it_strikes():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.hold("cutting_vise.clamp", 4)

    assert not session.put_right("cutting-vise-leaks").taken
    assert strikes(session) == ["struck-cutting-jaws"]


def test_a_strike_at_the_first_instant_names_the_lock_out_that_was_wanting_once_and_in_itself():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.hold("cutting_vise.clamp", 4)

    session.put_right("cutting-vise-leaks")
    found = debrief(session)

    assert session.hands.exposures == []
    [critical] = map(str, found.critical)
    assert critical.startswith("Hands were in the cutting vise")
    assert "without a whole lock-out" in critical


def test_a_strike_after_exposure_is_one_critical_act_too():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.saw.clock.after(30_000_000, lambda: session.saw.press("cutting_vise.clamp"))

    session.inspect("cutting-jaws")
    found = debrief(session)

    assert session.hands.exposures
    [critical] = map(str, found.critical)
    assert "without a whole lock-out" in critical


def test_a_strike_where_no_lock_out_was_wanted_speaks_of_none():
    session = cutting()
    session.inspect("guide-arm")

    [critical] = map(str, debrief(session).critical)
    assert "lock-out" not in critical


def test_whoever_walks_to_the_saw_lets_the_keys_go():
    session = opened()
    power_up(session)
    session.turn("manual")
    session.press("head.raise")

    session.inspect("guide-arm")

    assert "head.raise" not in session.saw.held
    assert strikes(session) == []


RELAY_A = ("band.relay_a", 6.0)


def _locked_out(role, until):
    scenario = REFERENCE_JOBS["posts"].scenario().model_copy(update={"role": role})
    session = session_for(scenario, nonce="")
    power_up(session)
    do_all(session, locking_out(session, until=until))
    return session


def test_the_overload_relay_is_set_by_a_qualified_person_in_a_cabinet_that_is_proved_dead():
    session = _locked_out("qualified", "prove-dead")

    assert session.set(*RELAY_A).taken
    assert session.hands.exposures == []
    assert debrief(session).critical == ()


@pytest.mark.parametrize(
    ("role", "until"), [("qualified", "verify"), ("authorised", "prove-dead"), ("operator", "tell")]
)
def test_whoever_else_sets_the_overload_relay_is_exposed(role, until):
    session = _locked_out(role, until)

    assert session.set(*RELAY_A).taken
    assert session.hands.exposures_s() == {Zone.CABINET: 16.0}
    assert "nobody had proved dead" in str(session.heard.events[-2].message)
    assert not debrief(session).passed


def test_the_remedy_of_a_relay_set_low_asks_for_what_setting_it_asks_for():
    row = table.to_mend(CATALOGUE["relay-set-low"])

    assert (row.zone, row.demand, row.bare) == (Zone.CABINET, Demand.LOCKED_OUT, False)
    assert table.last_step_to_mend("relay-set-low") == "prove-dead"


# Exposures ---------------------------------------------------------------------------------


def test_hands_in_a_saw_that_others_can_start_are_exposed_for_as_long_as_they_are_in():
    session = opened()
    power_up(session)
    look = inspections.INSPECTIONS["infeed-rollers"]

    session.inspect(look.name)

    seconds = look.seconds - table.to_look(look).walk_s
    assert session.hands.exposures_s() == {Zone.SHUTTLE_PATH: pytest.approx(seconds)}


@pytest.mark.parametrize("stop", ["supply.emergency_stop", "supply.infeed_stop"])
def test_a_stop_that_stays_pressed_in_keeps_the_saw_in_my_own_control(stop):
    session = opened()
    session.press(stop)
    power_up(session)

    session.inspect("guide-arm")

    assert session.hands.exposures_s() == {}


def test_a_stop_that_is_set_back_meanwhile_exposes_from_then_on():
    session = opened()
    session.press("supply.emergency_stop")
    power_up(session)
    session.saw.clock.after(10_000_000, lambda: session.saw.release("supply.emergency_stop"))

    session.inspect("guide-arm")

    assert session.hands.exposures_s() == {Zone.BAND: pytest.approx(10.0)}


def test_a_raised_head_exposes_whoever_is_under_it_though_the_stop_is_in():
    session = opened()
    power_up(session)
    session.set("head.feed_valve_mm_min", 0)
    session.turn("manual")
    session.hold("head.raise", 8)
    session.press("supply.emergency_stop")

    session.inspect("band-over-bar")

    assert "struck-under-head" in strikes(session) or Zone.UNDER_HEAD in session.hands.exposures_s()


@pytest.mark.parametrize(
    ("role", "until"),
    [("qualified", "prove-dead"), ("qualified", "verify"), ("authorised", "prove-dead")],
)
def test_wiring_is_worked_on_by_who_is_qualified_and_has_proved_it_dead(role, until):
    scenario = REFERENCE_JOBS["posts"].scenario().model_copy(update={"role": role})
    session = session_for(scenario, nonce="")
    do_all(session, locking_out(session, until=until))
    assert session.lockout.verified

    session.put_right("contactor-dead")

    safe = (role, until) == ("qualified", "prove-dead")
    assert (session.hands.exposures_s() == {}) is safe
    assert session.lockout.proved_dead is safe


@pytest.mark.parametrize("name", ["cutting-vise-leaks", "band-worn"])
def test_work_under_lock_out_exposes_nobody(name):
    session = locked_out()

    session.put_right(name)

    assert session.hands.exposures_s() == {}
    assert session.done.unsafe == []


def test_time_that_the_instructor_froze_exposes_nobody():
    session = opened()
    power_up(session)
    session.instructor.freeze(True)

    session.inspect("infeed-rollers")
    session.advance_us(5_000_000)

    assert session.hands.exposures_s() == {}


# What it is worth --------------------------------------------------------------------------


def test_hands_that_were_exposed_cost_care_and_the_pass_and_stand_in_the_report():
    session = opened()
    power_up(session)
    session.inspect("infeed-rollers")
    whole_job(session)
    found = debrief(session)

    assert found.score >= PASS_MARK
    assert not found.passed
    assert found.critical == ()
    assert json_values(found)["exposures_s"] == {"shuttle_path": pytest.approx(34.0)}
    assert summary(found).exposed_s == pytest.approx(34.0)
    assert [row.fine for row in found.safety] == [False]
    care = next(part for part in found.parts if str(part.title) == "Care")
    assert care.points < care.of


def test_a_careful_job_exposes_nobody_and_passes():
    session = opened()
    whole_job(session)
    found = debrief(session)

    assert json_values(found)["exposures_s"] == {}
    assert found.passed


def test_a_band_that_runs_on_when_everybody_has_gone_costs_something():
    session = opened()
    power_up(session)
    make_ready(session)
    session.set("job.run_on_min", 5)
    begin(session)
    run(session)
    session.advance(59)
    assert [c.kind for c in session.saw.consequences] == []
    session.advance(2)

    assert [c.kind for c in session.saw.consequences] == ["ran-on"]


def test_a_bar_is_not_laid_under_a_head_that_came_down_meanwhile():
    session = opened()
    power_up(session)
    make_ready(session)
    session.turn("manual")
    for vise in ("cutting_vise", "shuttle_vise"):
        session.hold(f"{vise}.release", 6)
    front_m = session.saw.plant.bar.front_m
    session.set("head.oil_relief", "open")
    answer = session.load_bar()

    assert not answer.taken
    assert "head is in the way" in str(answer.message)
    assert session.saw.plant.bar.front_m == front_m


def test_a_key_that_a_hand_comes_off_for_an_act_is_told_of():
    session = open_session("goes-back-and-stays-there")
    power_up(session)
    session.press("shuttle.forward")
    before = len(session.heard.events)
    session.inspect("output-lamps")
    assert "shuttle.forward" in session.saw.held  # one looks from where one stands
    assert LET_GO not in [event.message.row for event in session.heard.events[before:]]

    session.inspect("volts A5:9")

    assert "shuttle.forward" not in session.saw.held
    told = [event.message for event in session.heard.events[before:]]
    of_key = [said for said in told if said.row is LET_GO]
    assert [said["action"] for said in of_key] == ["shuttle.forward"]
    assert told.index(of_key[0]) < len(told) - 1  # before what the probes show
    timeline = debrief_by_few(session).timeline
    assert any("You let go of shuttle.forward" in str(row.message) for row in timeline)


def test_hands_that_were_on_no_key_let_go_of_none():
    session = open_session("goes-back-and-stays-there")
    power_up(session)
    session.press("supply.infeed_stop")
    session.inspect("volts A5:9")
    assert LET_GO not in [event.message.row for event in session.heard.events]


@pytest.mark.parametrize("raised", [True, False])
def test_the_debrief_names_where_hands_were_and_the_head_that_rested_on_nothing(raised):
    session = opened()
    power_up(session)
    if raised:
        session.hold("head.raise", 3.0)
    assert session.saw.plant.head.rests is not raised
    session.inspect("guide-arm")
    lines = [str(part) for part in report(debrief(session))]
    (told,) = [line for line in lines if line.startswith("Enough to fail: ")]
    assert "hands were in reach of the band" in told
    assert ("while the head rested on nothing" in told) is raised
