"""Why it will not go, and the way out: what is said is so, and what is proposed works on the saw."""

from math import ceil
from typing import Final

import pytest

from sim.control.actions import ACTIONS
from sim.logic.bench.freeing import free, search
from sim.logic.bench.way import Way, do
from sim.logic.bench.why_not import behind, why_not
from sim.pilot.autopilot import begin, make_ready, power_up, run, set_up, wait_until
from sim.plant.guard_lock import GuardLock
from sim.session.opening import open_session, read, session_for
from sim.session.why import against, devices_against
from sim.signals import BY_TAG, SIGNALS
from sim.teaching.forewarning import forewarning
from sim.teaching.way_out import fresh_saw, way_out
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.text.way_lines import lines_of, typed
from sim.text.whys import why
from sim.words.message import NOTHING


@pytest.fixture
def lock_defeated(monkeypatch):
    """Have the locks of guard and cover hold nothing, as on a saw where somebody has defeated them.

    A guard that is locked while the band moves opens in no other way than this one.
    """
    monkeypatch.setattr(GuardLock, "drawn", True)


def _cold():
    return open_session("rail-posts")


def _guard_open_and_estop():
    session = open_session("rail-posts")
    session.set("band.guard", "open")
    session.press("supply.emergency_stop")
    return session


def _tripped_by_the_guard():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    session.palms("band.run")
    session.advance(5)
    session.set("band.guard", "open")
    return session


def _held_in_the_job():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    begin(session)
    session.advance(3)
    session.tap("job.hold")
    wait_until(session, lambda: session.saw.controller.job.state == "HELD", 300)
    return session


def _ready_with_the_head_down():
    session = open_session("rail-posts")
    power_up(session)
    session.turn("production")
    session.tap("job.reset")
    return session


def _in_maintenance():
    session = open_session("rail-posts")
    power_up(session)
    session.turn("maintenance")
    return session


STANDS = [_cold, _guard_open_and_estop, _tripped_by_the_guard, _held_in_the_job,
          _ready_with_the_head_down, _in_maintenance]  # fmt: skip


def test_from_cold_the_way_to_a_job_is_power_head_mode_reset_start():
    way = way_out(_cold(), "job.start")

    assert way.verified
    acts = [step.act.names for step in way.steps]
    assert acts[:3] == [("supply.isolator",), ("supply.reset",), ("supply.control_on",)]
    assert sorted(acts[3:-1]) == [("head.raise",), ("job.reset",), ("mode.production",)]
    assert acts.index(("head.raise",)) < acts.index(("mode.production",))  # by hand, before it
    assert acts[-1] == ("job.start", "palm.left", "palm.right")


@pytest.mark.parametrize("stand", STANDS)
@pytest.mark.parametrize(
    "action", ["job.start", "job.unhold", "band.run", "shuttle.back", "coolant.with_band"]
)
def test_a_way_that_is_found_works_and_no_act_of_it_can_be_left_out(stand, action):
    session = stand()
    way = way_out(session, action)

    if way is None:
        assert action == "job.unhold"  # there is no way to a hold but a job that runs
        assert stand is not _held_in_the_job
        return
    assert way.verified, way
    for left_out in range(len(way.steps) - 1):
        fewer = (*way.steps[:left_out], *way.steps[left_out + 1 :])
        assert _fails(session, fewer, action), way.steps[left_out]


def _fails(session, steps, action):
    steps = tuple(type(step)(step.act, ()) for step in steps)  # its images are other ones
    saw = fresh_saw(session)
    trial = do(saw, steps, action)
    on_the_bar = saw.plant.head.place.position <= saw.plant.bar.height_m
    return bool(trial.stuck_at) or (action == "band.run" and on_the_bar)


@pytest.mark.parametrize("stand", STANDS)
def test_every_action_that_is_refused_has_rows_with_devices_and_none_that_is_taken_has(stand):
    session = stand()
    controller = session.saw.controller
    refused = 0
    for action in ACTIONS:
        found = devices_against(session.saw, session.trace, action.name)
        assert [str(row.sentence) for row in found] == [
            sentence[: len(str(row.sentence))]
            for row, sentence in zip(
                found, map(str, against(session.saw, action.name)), strict=True
            )
        ]
        refused += bool(found)
        for row in found:
            assert row.devices
            for device in row.devices:
                assert device.tag in controller.image
    assert refused


@pytest.mark.usefixtures("lock_defeated")
def test_the_band_fault_is_traced_to_the_guard_that_was_opened_and_to_the_moment():
    session = _tripped_by_the_guard()
    opened_us = session.saw.clock.now_us
    session.advance(7)

    device = _behind_the_band_fault(session)

    assert device.tag == "B41"
    assert device.changed.time_us == opened_us
    assert str(device.sentence).startswith(
        "It is so because the band guard was opened. "
        "B41 (I2.5, A2:5) is off (on means the band guard is closed); it last"
    )
    assert behind(session.saw.controller, "supply") == ("supply", NOTHING)


@pytest.mark.usefixtures("lock_defeated")
def test_what_latched_a_fault_is_remembered_when_its_switch_shows_nothing_any_more():
    session = _tripped_by_the_guard()
    session.set("band.guard", "closed")
    session.set("band.wheel_cover", "open")  # another that would have done it, and did not

    device = _behind_the_band_fault(session)

    assert device.tag == "B41"
    assert str(device.sentence).startswith(
        "It is so because the band guard was opened. B41 (I2.5, A2:5) is on"
    )


def _behind_the_band_fault(session):
    rows = {str(row.sentence): row for row in why_not(session.saw, session.trace, "band.run")}
    return rows["The band fault is latched."].devices[0]


@pytest.mark.usefixtures("lock_defeated")
def test_the_latched_band_is_freed_by_guard_a_wait_until_it_stands_and_reset():
    session = _tripped_by_the_guard()

    way = way_out(session, "band.run")

    words = [str(act) for act in way.words]
    assert words.index("Wait until everything stands still.") < words.index("Press supply.reset.")
    assert "Close the band guard." in words
    assert way.verified


def test_the_emergency_stop_is_turned_out_before_anything_that_it_forbids():
    way = way_out(_guard_open_and_estop(), "band.run")

    words = [str(act) for act in way.words]
    out = words.index(
        "Turn the emergency stop out when the reason for it is gone and nobody is in the saw."
    )
    assert out < words.index("Press supply.reset.") < words.index("Press supply.control_on.")
    assert way.verified


def test_a_way_that_would_press_the_band_on_to_the_bar_is_not_told_as_one_that_works():
    session = _cold()

    outcome = do(fresh_saw(session), search(session.saw, "head.lower"), "head.lower")

    assert "Band pressed on to the bar at rest" in str(outcome.stuck_at)
    assert str(outcome.harm) == "Band pressed on to the bar at rest"


@pytest.mark.parametrize("action", ["head.lower", "band.run"])
def test_where_the_band_lies_on_the_bar_or_in_it_the_way_raises_the_head_first(action):
    session = _cold() if action == "head.lower" else _in_the_cut()
    session.press("supply.emergency_stop")
    session.advance(10)

    way = way_out(session, action)

    assert way.verified
    assert ("head.raise",) in [step.act.names for step in way.steps[:-1]]


def test_in_maintenance_the_way_to_a_jog_stays_in_it_and_the_way_to_a_job_leads_out():
    jog = way_out(_in_maintenance(), "band.run")
    job = way_out(_in_maintenance(), "job.start")

    assert not [step for step in jog.steps if step.act.verb == "turn"]
    assert jog.verified
    assert "Turn the mode switch to PRODUCTION." in [str(act) for act in job.words]
    assert job.verified


@pytest.mark.parametrize("stand", STANDS)
def test_why_is_at_most_seven_lines_whatever_stands_against_whatever_key(stand):
    session = stand()
    for action in ACTIONS:
        assert 1 <= len(why(session, action.name)) <= 7, action.name


def test_a_copy_of_a_session_stands_where_the_session_stands():
    for stand in STANDS:
        session = stand()
        assert fresh_saw(session).digest() == session.saw.digest()


def test_looking_for_a_way_changes_nothing_on_the_saw():
    session = _ready_with_the_head_down()
    before = session.saw.digest()

    way_out(session, "job.start")

    assert session.saw.digest() == before


def test_a_switch_that_lies_is_found_out_when_the_way_is_done():
    session = open_session("neither-feeds-nor-turns")

    way = free(lambda: fresh_saw(session), "job.start")

    assert not way.verified
    assert "B11 does not show it" in str(way.stuck_at)


def test_in_a_drill_the_way_is_told_by_the_tables_and_not_tried():
    session = open_session("neither-feeds-nor-turns")

    way = way_out(session, "job.start")

    assert isinstance(way, Way)
    assert not way.verified
    assert "B11" not in str(way.stuck_at)


def test_in_an_assessment_no_way_is_told():
    session = _cold()
    session.scenario = session.scenario.model_copy(update={"mode": "assessment"})

    assert way_out(session, "job.start") is None


def test_a_missing_bar_has_no_way_by_keys():
    session = _cold()
    session.bench.force("B53", False)

    assert search(session.saw, "job.start") is None


def test_what_a_hand_sets_at_the_machine_does_bring_its_switch():
    by_hand = [row for row in SIGNALS if row.good]
    assert {row.tag for row in by_hand} == {
        "F1",
        "B41",
        "B42",
        "B43",
        "B51",
        "B54",
        "B61",
        "B62",
        "B63",
    }
    for row in by_hand:
        tag, saw = row.tag, _cold().saw
        for name, setting in row.good:
            saw.set(name, setting)
        saw.advance_to(saw.clock.now_us + 300_000_000)
        assert saw.bus.seen[tag], tag


def test_the_terminal_says_device_last_change_hazard_and_the_way():
    told: list[str] = []
    ready = ["press supply.isolator", "tap supply.reset", "tap supply.control_on",
             "turn production", "tap job.reset", "why job.start"]  # fmt: skip

    play(open_session("rail-posts"), ready, told.append, interactive=False)

    text = " ".join(line.strip() for line in told)
    assert (
        "B11 (I5.2, A3:10) is off (on means the head is up at its height stop); it has not changed"
        in text
    )
    assert "I4 keeps you from driving bar into the band." in text
    assert "The shortest way, tried on a copy of this saw:" in text
    assert "1. Turn the mode switch to MANUAL." in text
    assert "2. Hold head.raise until it is there." in text
    assert "3. Turn the mode switch to PRODUCTION." in text
    assert "4. Press job.start, then both palm keys together." in text


def test_from_cold_why_says_what_can_be_told_in_the_dark_and_the_way():
    said = [str(line) for line in why(_cold(), "job.start")]

    assert said[0].startswith("There is no control power.")
    assert said[3].startswith(
        "Q0 (I0.0, A1:0) is off"
    )  # no switch is told of that the control cannot see
    assert (
        "1. Switch the isolator on when you know why it was off and nobody is at the saw."
        in said[-1]
    )


def test_fed_it_says_the_first_three_things_and_how_many_more():
    session = _cold()
    session.press("supply.isolator")
    session.set("band.guard", "open")
    said = [str(line) for line in why(session, "job.start")]

    assert said[0].startswith("There is no control power.")
    assert said[3] == "2 more things block it."


# Where a recipe once lacked a wait, or none was offered ------------------------------------


POWER = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
UP = ("press head.raise", "wait until head.up", "release head.raise")
RUN = (*POWER, *UP, "palms band.run", "wait until band.running")
JOB = (*POWER, *UP, "turn production", "tap job.reset", "palms job.start")
STROKES = (  # a job whose band stands for longer than the walk to the guard takes
    *POWER, *UP, "hold cutting_vise.clamp 2", "hold shuttle_vise.clamp 2", "set job.strokes 3", "turn production",
    "tap job.straight", "tap job.reset", "palms job.start",
)  # fmt: skip


def _typed_in(session, lines):
    for line in lines:
        perform(session, parse(line))


@pytest.mark.parametrize(
    ("acts", "action", "lines"),
    [
        ((*RUN, "tap band.stop"), "supply.reset", ("wait still", "tap supply.reset")),
        ((*RUN, "tap band.stop"), "band.run", ("wait still", "palms band.run")),
        ((*RUN, "press supply.trip_line"), "supply.reset",
         ("wait still", "release supply.trip_line", "tap supply.reset")),
        ((*RUN, "set band.guard open"), "band.run",
         ("wait still", "set band.guard closed", "tap supply.reset", "palms band.run")),
        ((*JOB, "wait 5", "tap job.stop"), "job.reset", ("wait still", "tap job.reset")),
        ((*JOB, "wait 5", "tap job.stop"), "job.start",
         ("wait still", "tap job.reset", "palms job.start")),
        ((*JOB, "tap job.hold"), "job.unhold", ("wait still", "palms job.unhold")),
        ((*JOB, "tap job.hold"), "job.complete",
         ("wait still", "palms job.unhold", "tap job.complete")),
        ((*RUN, "turn maintenance"), "head.lower",
         ("wait still", "press enable", "hold head.lower 1")),
        ((*RUN, "hold band.faster 5", "turn maintenance", "wait still"), "band.run",
         ("turn manual", "palms band.run")),
    ],
)  # fmt: skip
@pytest.mark.usefixtures("lock_defeated")
def test_a_way_says_every_wait_and_stays_in_maintenance_where_it_can(acts, action, lines):
    session = open_session("rail-posts")
    _typed_in(session, acts)

    way = way_out(session, action)

    assert lines_of(way) == lines
    assert way.verified, way.stuck_at


@pytest.mark.usefixtures("lock_defeated")
def test_unhold_is_freed_of_a_guard_that_held_the_job_and_of_a_relay_that_tripped():
    for trouble in ("set band.guard open", "set band.relay tripped"):
        session = open_session("rail-posts")
        _typed_in(session, (*STROKES, trouble, "wait 3"))
        assert session.saw.controller.job.state == "HELD", trouble

        way = way_out(session, "job.unhold")

        assert way.verified, way.stuck_at
        assert lines_of(way)[-1] == "palms job.unhold"


def _in_the_cut():
    """Return a saw that is set up, with the band in the metal."""
    session = open_session("rail-posts")
    power_up(session)
    set_up(session)
    begin(session)
    wait_until(session, lambda: session.saw.controller.job.cutting, 300)
    session.advance(8)
    return session


def _owing():
    """Return a saw whose last piece was broken off in the cut."""
    session = _in_the_cut()
    session.tap("job.stop")
    wait_until(session, lambda: session.saw.controller.job.state == "STOPPED", 300)
    assert session.saw.controller.image["job.owes"]
    return session


def test_straight_is_freed_by_squaring_the_end_that_the_bar_owes():
    way = way_out(_owing(), "job.straight")

    assert way.verified, way.stuck_at
    assert lines_of(way) == (
        "tap job.reset", "palms job.start", "wait until cycle.raise_head", "tap job.hold", "wait still",
        "tap job.straight",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("job.hold", "No job runs. To begin one, ask what blocks job.start."),
        ("job.complete", "No job runs. To begin one, ask what blocks job.start."),
        ("job.unhold", "No job is held. To begin one, ask what blocks job.start."),
        ("job.clear", "No job is aborted, so there is nothing to clear."),
    ],
)
def test_a_key_of_the_job_that_has_nothing_to_act_on_says_so(key, said):
    assert str(why(_cold(), key)[-1]) == said


def test_a_full_count_is_freed_by_a_new_job():
    session = _ready_with_the_head_down()
    session.turn("manual")
    _typed_in(session, [*UP, "turn production"])
    job = session.saw.controller.job
    job.cut = job.wanted

    steps = search(session.saw, "job.start")

    assert [typed(step.act) for step in steps] == [("tap job.new",), ("palms job.start",)]


def test_nobody_whose_lock_is_on_the_isolator_is_told_to_switch_it_on():
    session = _cold()
    for step in ("tell", "lock-isolator"):
        session.lock_out(step)
    assert session.lockout.locked

    said = " ".join(str(line) for line in why(session, "supply.control_on")[1:])

    assert way_out(session, "supply.control_on") is None
    assert "Press supply.isolator" not in said
    assert "witch the isolator on" not in said
    assert "your padlock hangs on the saw" in said
    assert "take the lock-out back, step by step" in said


def test_a_hot_relay_is_waited_for_before_it_is_set():
    session = _ready_with_the_head_down()
    relay = session.saw.plant.band.relay
    for _ in range(20):
        if not relay.tripped:
            relay.start(1.0)
            session.advance(0.1)
    assert relay.tripped
    wait_s = relay.too_hot_s

    steps = search(session.saw, "job.start")

    lines = [line for step in steps for line in typed(step.act)]
    assert wait_s > 10
    assert f"wait {ceil(wait_s + 1)}" == lines[lines.index("set band.relay set") - 1]
    _typed_in(session, lines)
    assert session.saw.controller.job.state == "EXECUTE"


@pytest.mark.parametrize("key", ["shuttle.back", "cutting_vise.clamp", "head.raise"])
def test_with_the_trip_line_pulled_why_says_that_a_held_key_still_moves_its_part(key):
    session = open_session("rail-posts")
    _typed_in(session, (*POWER, "press supply.trip_line"))

    said = [str(line) for line in why(session, key)]

    assert said[0] == f"Nothing blocks {key} now."
    told = [str(line) for line in forewarning(session, key)]  # who else may be there comes first
    assert said[1 : 1 + len(told)] == told
    assert said[1 + len(told)].startswith(
        "The trip line is latched: it stops the band and lowering, and a held"
    )


def test_a_job_that_begins_with_nothing_clamped_says_for_what_it_waits():
    session = open_session("rail-posts")
    begun = (*JOB[:-2], "tap job.straight", "tap job.reset", "palms job.start", "wait still")
    _typed_in(session, begun)
    assert session.saw.controller.job.state == "EXECUTE"

    said = str(why(session, "job.start")[0])

    assert said == (
        "The job stands and waits: B33: the cutting vise is not clamped. Clamp the cutting vise."
    )


@pytest.mark.parametrize(
    "key", ["supply.isolator", "supply.reset", "supply.control_on", "job.start"]
)
def test_with_a_lock_on_the_isolator_why_says_first_that_it_is_locked_and_to_leave_it(key):
    session = _cold()
    for step in ("tell", "lock-isolator"):
        session.lock_out(step)

    said = [str(line) for line in why(session, key)]

    assert said[0].startswith("The isolator is locked off: leave it off")
    assert "witch the isolator on" not in " ".join(said)


def test_a_shut_air_cock_is_opened_when_it_is_known_why_it_was_shut():
    session = _ready_with_the_head_down()
    _typed_in(session, ("set supply.air_cock shut", "wait 20m"))
    assert not session.saw.controller.image["B61"]

    said = str(why(session, "job.start")[-1])

    assert (
        "Restore the air supply when you know why the air is low or shut off and nobody is under the head."
        in said
    )


# What no interlock asks for, and a careful person does all the same ------------------------


@pytest.mark.parametrize("later", [(), ("wait 1",)])
@pytest.mark.parametrize("trouble", ["set band.guard open", "press supply.trip_line"])
@pytest.mark.parametrize("action", ["head.lower", "cutting_vise.release"])
@pytest.mark.usefixtures("lock_defeated")
def test_nothing_is_lowered_or_released_in_the_cut_before_the_band_stands(action, trouble, later):
    session = _in_the_cut()
    _typed_in(session, (trouble, *later))
    assert session.saw.plant.band.turning

    way = way_out(session, action)

    assert way.verified, way.stuck_at
    words = [str(each) for each in way.words]
    assert words[0] == "Wait until everything stands still."
    assert ("Close the band guard." in words) == ("guard" in trouble and action == "head.lower")
    *before, _asked = lines_of(way)
    _typed_in(session, before)
    assert session.saw.plant.band.speed_m_s == 0.0
    if action == "head.lower":
        assert session.saw.plant.band.guide.guarded
    else:
        assert session.saw.controller.image["B11"]


@pytest.mark.parametrize(
    ("acts", "key", "said"),
    [
        (("set band.guard open",), "head.lower", ["B1: the band still turns.", "B41: the band guard is open."]),
        (("tap band.stop",), "cutting_vise.release", ["B1: the band still turns."]),
        (("tap band.stop", "wait still", "hold head.lower 0.5"), "cutting_vise.release",
         ["B11: the head is not up at its height stop."]),
        (("tap band.stop", "wait still"), "head.lower", []),
        ((), "head.lower", []),  # a guarded band that is driven may cut by hand
    ],
)  # fmt: skip
@pytest.mark.usefixtures("lock_defeated")
def test_why_says_what_to_heed_where_no_interlock_keeps_anybody_from_it(acts, key, said):
    session = open_session("rail-posts")
    _typed_in(session, (*RUN, *acts))

    first, *rest = [str(line) for line in why(session, key)]

    assert first == f"Nothing blocks {key} now."
    heed = [line for line in rest if line.startswith("No interlock keeps you from it now")]
    assert len(heed) == len(said)
    for line, sentence in zip(heed, said, strict=True):
        assert f"but heed this first: {sentence}" in line


def test_why_names_the_jumpered_row_that_would_block_and_its_hazard():
    session = open_session("rail-posts")
    _typed_in(session, (*POWER, *UP, "jumper I3", "set band.guard open"))

    said = [str(line) for line in why(session, "band.run")]

    assert said == [
        "Nothing blocks band.run now.",
        *map(str, forewarning(session, "band.run")),
        "B41: the band guard is open. I3 would refuse it for that, but a jumper is over it. It is there "
        "against touching a moving band, and protects nobody now.",
        "Look for other people first: two palm keys tell where your hands are, and nobody else's.",
        "Glasses and ear protection on; no gloves at a running band, and nothing loose: sleeves, hair, rings.",
    ]


def test_a_way_under_a_jumper_does_what_the_jumpered_rows_ask_for():
    session = open_session("rail-posts")
    _typed_in(session, (*POWER, *UP, "jumper I3", "set band.guard open"))

    way = way_out(session, "job.start")

    assert way.verified, way.stuck_at
    assert "Close the band guard." in [str(each) for each in way.words]
    assert str(why(session, "job.start")[0]).startswith(
        "B41: the band guard is open. I3 would refuse"
    )


def test_wait_still_ends_when_the_band_stands_and_no_sooner():
    session = open_session("rail-posts")
    _typed_in(session, (*RUN, "tap band.stop"))
    band = session.saw.plant.band
    wait_until(session, lambda: not band.turning, 60)
    assert band.speed_m_s > 0.0  # the monitor sees rest already

    _typed_in(session, ("wait still",))

    assert band.speed_m_s == 0.0
    assert not band.motor.moving


# The safety relay -------------------------------------------------------------------------------

KEEPS_IT_OUT = ["main-contactor-q11-welded", "main-contactor-q12-welded", "stop-channel-wire", "feedback-wire",
                "relay-message-wire", "stop-contact-stuck"]  # fmt: skip


@pytest.mark.parametrize("cause", KEEPS_IT_OUT)
@pytest.mark.parametrize("action", ["supply.control_on", "head.raise"])
def test_no_way_promises_control_where_the_safety_relay_cannot_pull_in(cause, action):
    session = open_session("rail-posts")
    session.instructor.put_in(cause)
    way = free(lambda: fresh_saw(session), action)

    assert way is not None
    assert not way.verified
    assert "K0" in str(way.stuck_at) or "safety relay" in str(way.stuck_at)


@pytest.mark.parametrize("action", ["supply.control_on", "head.raise"])
def test_no_way_promises_control_by_a_forced_safety_relay(action):
    session = open_session("rail-posts")
    session.instructor.put_in("main-contactor-q11-welded")
    session.bench.force("K0", True)
    way = free(lambda: fresh_saw(session), action)

    assert way is not None
    assert not way.verified
    assert "nothing is fed" in str(way.stuck_at)


def test_a_sound_safety_relay_is_pulled_in_by_the_way():
    session = open_session("rail-posts")
    way = free(lambda: fresh_saw(session), "supply.control_on")

    assert way is not None
    assert way.verified


@pytest.mark.parametrize(
    ("machine", "told"), [("harbour-saw", "B63 (I6.1, A4:1)"), ("quay-saw", "B63 (I7.4, A4:12)")]
)
def test_a_device_is_told_with_the_address_and_terminal_of_the_saw_that_it_is_on(machine, told):
    session = open_session("rail-posts", machine=machine)
    power_up(session)
    session.tap("coolant.on")
    session.set("coolant.level_percent", 10.0)
    rows = why_not(session.saw, session.trace, "job.start")

    assert told in " ".join(str(device.sentence) for row in rows for device in row.devices)
    assert all(not device.at for row in rows for device in row.devices if device.tag not in BY_TAG)


def _bar_at_its_end(length_mm, *then):
    """Have the job stop for want of a bar, then do some lines."""
    scenario, _ = read("rail-posts")
    short = scenario.stock.model_copy(update={"length_mm": length_mm})
    session = session_for(scenario.model_copy(update={"stock": short, "mode": "practice"}))
    power_up(session)
    set_up(session)
    session.set("job.wanted", 30)
    begin(session)
    run(session)
    assert not session.saw.controller.image["B53"]
    session.advance(60)
    for line in then:
        perform(session, parse(line))
    return session


_UNDER_A_BAR: Final = (
    (),
    ("tap job.stop", "wait still"),
    ("tap job.stop", "wait still", "turn manual", "hold cutting_vise.release 6", "hold shuttle_vise.release 6"),
    ("tap job.stop", "wait still", "turn manual", "hold cutting_vise.release 6", "hold shuttle_vise.release 6", "set mode.key in my pocket"),
)  # fmt: skip


@pytest.mark.parametrize("then", _UNDER_A_BAR)
@pytest.mark.parametrize("action", ["job.start", "job.unhold"])
def test_a_way_that_lays_a_bar_in_has_the_key_of_the_mode_switch_out_meanwhile(then, action):
    session = _bar_at_its_end(1200, *then)
    way = way_out(session, action)
    if way is None:
        assert action == "job.unhold"
        assert session.saw.controller.job.state != "HELD"
        return
    assert way.verified, way
    lines = lines_of(way)
    at = lines.index("load")
    assert lines[at - 1] == "set mode.key in my pocket"
    assert lines[at + 1] == "set mode.key in the switch"
    session.hands.exposures.clear()  # whatever was before
    for line in lines:
        perform(session, parse(line))

    assert session.done.unsafe == []
    assert session.hands.exposures == []
    assert not session.saw.consequences
    assert session.saw.controller.job.state == "EXECUTE"
