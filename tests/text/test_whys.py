"""`why` of a key: nothing is called free that does nothing or does harm, and no way makes a slip."""

import pytest

from sim.control.actions import ACTIONS
from sim.pilot.autopilot import begin, make_ready, power_up, wait_until
from sim.session.opening import open_session
from sim.session.sights.controller_words import job
from sim.session.why import answer_to
from sim.teaching.coach import Coach
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.whys import why
from sim.view.play.asking import told_of

ON = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
RAISE = ("press head.raise", "wait until head.up", "release head.raise")
SPEED_KEYS = ("band.slower", "band.faster")


def typed(session, *lines):
    for line in lines:
        perform(session, parse(line))
    return session


def told(session, key):
    return [str(line) for line in why(session, key)]


def answer(session, line):
    """Type one line; return what is told of it and what the coach says."""
    coach = Coach(session)
    seen = len(session.heard.events)
    perform(session, parse(line))
    return str(session.heard.events[seen].message), str(coach.remark())


@pytest.mark.parametrize("before", [(), ON[:1], ON, (*ON, *RAISE)], ids=len)
def test_the_way_to_a_running_band_does_no_harm_and_the_coach_has_nothing_to_say_against_it(before):
    session = typed(open_session("rail-posts"), *before)
    said = told(session, "band.run")
    if len(said) == 1:
        lines = ["palms band.run"]
    else:
        way = said[-1].partition("Typed: ")[2].removesuffix(".")
        lines = way.split("; ") if way else [*RAISE, "palms band.run"]
    coach = Coach(session)
    remarks = []
    for line in lines:
        typed(session, line)
        remarks.append(str(coach.remark()))

    assert session.saw.controller.image["band"] == "STARTING"
    assert not [remark for remark in remarks if "teeth on the bar" in remark]
    assert not session.saw.consequences


LOOK_FIRST = (
    "Look for other people first: two palm keys tell where your hands are, and nobody else's.",
    "Glasses and ear protection on; no gloves at a running band, and nothing loose: sleeves, hair, rings.",
)


def test_the_band_that_lies_on_the_bar_is_free_to_start_and_why_warns_of_it():
    session = typed(open_session("rail-posts"), *ON)

    assert told(session, "band.run") == [
        "Nothing blocks band.run now.",
        "But the band starts with its teeth on the bar; raise the head clear before it is started.",
        *LOOK_FIRST,
    ]
    typed(session, *RAISE)
    assert told(session, "band.run") == ["Nothing blocks band.run now.", *LOOK_FIRST]


def test_why_tells_everything_that_lowering_would_harm_at_once():
    session = typed(open_session("rail-posts"), *ON, *RAISE)
    said = told(session, "head.lower")

    assert said[0] == "Nothing blocks head.lower now."
    assert [line for line in said if line.startswith("But")] == [
        "But no vise holds the bar at the band, and in MANUAL no interlock checks it; clamp it first.",
        "But the band is stopped over the bar, and in MANUAL no interlock checks it; run it first, or let the key go above the bar.",
    ]


RUN = (*ON, *RAISE, "turn production", "tap job.reset", "palms job.start")


@pytest.mark.parametrize("key", ["job.start", "job.new", "head.raise", "cutting_vise.clamp"])
def test_why_says_that_the_job_runs_already_and_no_way_breaks_it_off_unsaid(key):
    session = typed(open_session("02-two-hand-start"), *RUN, "wait 3")
    said = told(session, key)

    assert said[0] == (
        "The job is running already. Job stop, a turn of the mode switch and every emergency stop break it off; "
        "hold interrupts it, and unhold goes on with it."
    )
    assert said[-1].startswith("Beware: this way breaks off the job.")
    assert not [line for line in said if "execute" in line]
    assert len(said) <= 7


def test_a_way_that_breaks_nothing_off_does_not_say_that_it_does():
    session = typed(open_session("rail-posts"), *ON)
    said = told(session, "job.start")

    assert "The shortest way" in said[-1]
    assert not [line for line in said if "breaks off" in line or "already" in line]


@pytest.mark.parametrize("time", ["0.8", "1", "1.2"])
def test_a_band_that_had_hardly_begun_to_turn_is_not_waited_for_until_it_coasts(time):
    session = typed(open_session("02-two-hand-start"), *RUN, f"wait {time}")

    said = told(session, "cutting_vise.clamp")[-1]

    assert "does not come to" not in said
    assert (
        "The shortest way, tried on a copy of this saw: 1. Turn the mode switch to MANUAL." in said
    )


@pytest.mark.parametrize("key", SPEED_KEYS)
@pytest.mark.parametrize("name", ["rail-posts", "posts-come-out-short"])
def test_why_warns_of_a_speed_key_for_as_long_as_the_band_stands(name, key):
    session = typed(open_session(name), *ON, *RAISE)
    free = f"Nothing blocks {key} now."

    assert told(session, key) == [
        free,
        "But the band is stopped: change the band speed only while the band turns (I13).",
    ]
    typed(session, "palms band.run", "wait 5")
    assert told(session, key) == [free]


@pytest.mark.parametrize("key", SPEED_KEYS)
def test_without_control_power_a_speed_key_is_not_free_and_the_way_switches_control_on(key):
    said = told(open_session("rail-posts"), key)

    assert said[0].startswith("There is no control power. Switch the isolator on")
    assert said[-1].endswith(
        "Typed: press supply.isolator; tap supply.reset; tap supply.control_on."
    )
    assert not any("Nothing blocks" in line for line in said)


@pytest.mark.parametrize(
    ("before", "to_do"),
    [
        (
            (),
            "Switch the isolator on when you know why it was off and nobody is at the saw, press reset, then switch control on.",
        ),
        (
            ("press supply.emergency_stop", "press supply.isolator"),
            "Turn the emergency stop out when the reason for it is gone and nobody is in the saw, press reset, "
            "then switch control on.",
        ),
        (("press supply.isolator",), "Press reset, then switch control on."),
        (ON[:2], "Switch control on."),
    ],
    ids=["isolator", "emergency stop", "reset", "control on"],
)
def test_a_refusal_for_want_of_power_tells_the_nearest_cause_first(before, to_do):
    session = typed(open_session("rail-posts"), *before)
    refused, coach = answer(session, "palms band.run")

    assert refused == f"band.run: There is no control power. {to_do}"
    assert to_do[1:-1] in coach
    assert told(session, "band.run")[0] == f"There is no control power. {to_do}"


def test_a_stop_of_a_dead_saw_is_not_taken_and_says_that_there_is_nothing_to_stop():
    session = open_session("rail-posts")
    refused, coach = answer(session, "tap job.stop")

    assert refused == (
        "job.stop: There is no control power. Nothing is driven, so there is nothing to stop."
    )
    assert "head is raised" not in coach
    assert told(session, "job.stop")[-1] == "No job is under way, so there is nothing to stop."


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("job.stop", "No job is under way, so there is nothing to stop."),
        ("band.stop", "The band is stopped already."),
    ],
)
def test_a_stop_that_stops_nothing_is_taken_and_says_so(key, said):
    session = typed(open_session("rail-posts"), *ON)
    taken, coach = answer(session, f"tap {key}")

    assert taken == key
    assert coach == said


@pytest.mark.parametrize(
    "key", ["job.hold", "job.complete", "job.new", "job.square", "job.straight", "job.reset"]
)
def test_no_key_of_the_job_is_taken_without_control_power(key):
    session = open_session("rail-posts")
    decision = session.tap(key)

    assert not decision.accepted
    assert decision.refusals[0].device == "supply"


def test_a_palm_key_held_from_before_is_named_and_let_go_first():
    session = typed(open_session("rail-posts"), "press palm.left", *ON, *RAISE)
    typed(session, "turn production", "tap job.reset", "press job.start")
    said = told(session, "job.start")

    assert said[0] == "S3: palm.left is held down from before. Let go of palm.left first."
    way = said[-1].partition("Typed: ")[2].removesuffix(".")
    assert way == "release job.start; release palm.left; palms job.start"
    typed(session, *way.split("; "))
    assert session.saw.controller.image["job"] in ("STARTING", "EXECUTE")


def test_both_palm_keys_that_came_too_far_apart_are_let_go_first():
    session = typed(open_session("rail-posts"), *ON, *RAISE, "turn production", "tap job.reset")
    typed(session, "tap job.start", "press palm.left", "wait 0.8", "press palm.right")
    said = told(session, "job.start")

    assert said[:2] == [
        f"{tag}: {key} is held down from before. Let go of {key} first."
        for tag, key in (("S3", "palm.left"), ("S4", "palm.right"))
    ]
    assert said[-1].endswith("Typed: release palm.left; release palm.right; palms job.start.")


def test_a_first_palm_key_that_the_second_may_still_join_blocks_nothing():
    session = typed(open_session("rail-posts"), *ON, *RAISE, "turn production", "tap job.reset")
    typed(session, "press job.start", "press palm.left", "wait 0.2")

    assert told(session, "job.start")[0] == "Nothing blocks job.start now."
    typed(session, "wait 0.4")
    assert told(session, "job.start")[0].startswith("S3: palm.left is held down")


def test_a_key_that_is_held_itself_is_let_go_before_it_is_pressed_again():
    session = typed(open_session("rail-posts"), *ON, "turn production", "press head.raise")
    said = told(session, "head.raise")

    assert said[0] == "S50: head.raise is held down from before. Let go of head.raise first."
    assert said[-1].endswith("Typed: release head.raise; turn manual; hold head.raise 1.")
    typed(session, "turn manual", "release head.raise", "press head.raise")
    assert told(session, "head.raise") == ["Nothing blocks head.raise now."]


def test_a_stop_that_is_pressed_in_is_named_before_the_safety_circuit():
    session = typed(open_session("rail-posts"), "press supply.infeed_stop", "press supply.isolator")
    said = told(session, "supply.control_on")

    assert said[0].startswith("S9: the emergency stop at the infeed is pressed in.")
    assert said[1] == "The safety circuit is open. Press reset."
    assert said[2].startswith("S9 (I0.4, A1:4) is off")


def test_after_a_stop_control_on_waits_for_a_band_that_still_coasts_and_the_way_says_so():
    raised = "hold head.raise 5"
    session = typed(
        open_session("rail-posts"), *ON, raised, "palms band.run", "wait 3",
        "press supply.emergency_stop", "release supply.emergency_stop",
    )  # fmt: skip
    said = told(session, "supply.control_on")

    assert said[0] == "B1: the band still turns. Wait until the band has stopped."
    assert said[1] == "The safety circuit is open. Press reset."
    assert "wait still; tap supply.reset; tap supply.control_on" in said[-1]


def test_in_maintenance_the_way_to_a_jog_stays_there_and_is_taken():
    session = typed(open_session("rail-posts"), *ON, "turn maintenance")
    way = told(session, "band.run")[-1].partition("Typed: ")[2].removesuffix(".")

    assert "turn" not in way
    assert way.startswith("press enable; ")
    typed(session, *way.split("; ")[:-1], "press band.run")
    assert session.saw.controller.image["band"] == "STARTING"


def test_the_warning_of_an_unclamped_bar_names_the_mode_that_is_on():
    session = typed(open_session("rail-posts"), *ON, "turn maintenance", "press enable")

    assert told(session, "head.lower")[1] == (
        "But no vise holds the bar at the band, and in MAINTENANCE no interlock checks it; "
        "clamp it first."
    )
    typed(session, "turn manual", *RAISE)
    assert "in MANUAL no interlock" in told(session, "head.lower")[1]


def test_a_jog_with_the_guard_open_is_taken_and_is_no_harm_while_the_enabling_device_is_held():
    session = typed(open_session("rail-posts"), *ON, "turn maintenance", "set band.guard open")
    typed(session, "press enable")  # who goes to the guard lets go of it
    typed(session, "press head.raise", "wait until head.up", "release head.raise")
    taken, coach = answer(session, "hold band.run 1")

    assert taken == "band.run"
    assert session.saw.consequences == []
    assert coach.startswith(
        "MAINTENANCE: the band jogs while its key and the enabling device are held"
    )
    assert "let the band come to rest" not in coach


_JAW_FAR = (*ON, *RAISE, "set cutting_vise.jaw_gap_mm 30", "turn production", "tap job.reset",
            "palms job.start", "wait still")  # fmt: skip


@pytest.mark.parametrize(
    ("key", "before"), [("job.start", ()), ("job.unhold", ("tap job.hold", "wait still"))]
)
def test_a_job_that_stands_for_a_jaw_out_of_reach_is_led_on_by_setting_the_jaw(key, before):
    session = typed(open_session("rail-posts"), *_JAW_FAR, *before)
    way = told(session, key)[-1].partition("Typed: ")[2].removesuffix(".").split("; ")
    session.advance(1)
    harmed, unsafe = len(session.saw.consequences), list(session.done.unsafe)
    exposed = len(session.hands.exposures)  # the jaw was put out of reach without care

    assert "set cutting_vise.jaw_gap_mm 4" in way
    typed(session, *way)
    session.advance(30)

    assert session.done.unsafe == unsafe
    assert len(session.hands.exposures) == exposed
    assert len(session.saw.consequences) == harmed
    assert session.saw.controller.job.step in ("BAND_TO_SPEED", "LOWER_HEAD")


def test_from_a_hold_at_the_end_of_the_bar_the_way_loads_one_and_goes_on():
    session = open_session("10-hold-go-on-and-bar-end")
    power_up(session)
    make_ready(session)
    begin(session)
    job = session.saw.controller.job
    wait_until(session, lambda: job.state == "HELD", 3600)
    typed(session, "wait still")
    cut = job.cut
    said = told(session, "job.unhold")
    way = said[-1].partition("Typed: ")[2].removesuffix(".").split("; ")

    assert said[0].startswith("B53: there is no bar")
    assert way.index("turn manual") < way.index("load") < way.index("turn production")
    assert way[-1] == "palms job.unhold"
    typed(session, *way)
    wait_until(session, lambda: job.cut > cut, 300)
    assert job.cut > cut


def test_a_job_that_completes_tells_the_piece_and_the_step_that_it_finishes():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    begin(session)
    wait_until(session, lambda: session.saw.controller.job.cut == 1, 600)
    wait_until(session, lambda: session.saw.controller.job.step == "LOWER_HEAD", 600)
    session.advance(2)
    session.tap("job.complete")

    assert session.saw.controller.job.state == "COMPLETING"
    assert str(job(session)).startswith(
        "The job finishes what it has begun, and is then complete. "
        "Step of piece 2: lowering the head and cutting."
    )


STUCK = {
    "head.lower": ("B12", "the head", "down"),
    "head.raise": ("B11", "the head", "up"),
    "shuttle.back": ("B21", "the shuttle", "back"),
    "shuttle.forward": ("B22", "the shuttle", "forward"),
    "cutting_vise.clamp": ("B33", "the cutting vise", "clamped"),
    "cutting_vise.release": ("B31", "the cutting vise", "released"),
    "shuttle_vise.clamp": ("B34", "the shuttle vise", "clamped"),
    "shuttle_vise.release": ("B32", "the shuttle vise", "released"),
}


def test_the_keys_that_a_switch_can_hold_back_are_all_that_move_while_they_are_held():
    assert set(STUCK) == {action.name for action in ACTIONS if action.halt}


@pytest.mark.parametrize("key", STUCK)
def test_why_says_of_a_key_that_moves_nothing_which_switch_shows_its_end(key):
    tag, part, state = STUCK[key]
    session = typed(open_session("posts-come-out-short"), *ON, *RAISE)
    saw = session.saw
    line = (
        f"The control takes {part} to be {state} already, for {tag} is on: "
        "the key is taken, and moves nothing."
    )
    for switch in {each for each, _, _ in STUCK.values()} - {"B11"}:
        saw.bus.force(switch, switch == tag)
    saw.bus.settle()
    said = told(session, key)

    assert said[:2] == [f"Nothing blocks {key} now.", line]
    assert line in str(answer_to(saw, session.trace, key))
    assert line in str(told_of(session, key))
    saw.bus.force(tag, False)
    saw.bus.settle()
    assert line not in told(session, key)


def test_that_the_head_down_switch_is_stuck_is_told_by_asking_and_goes_on_record():
    session = typed(open_session("counts-without-cutting"), *ON, *RAISE)
    told(session, "head.lower")

    assert "B12 is on: the key is taken, and moves nothing" in str(session.seen.answers[-1].said)


@pytest.mark.parametrize("name", ["posts-come-out-short", "start-does-nothing"])
def test_in_a_drill_the_rule_for_lowering_is_told_for_as_long_as_the_band_stands(name):
    session = typed(open_session(name), *ON, *RAISE)
    rule = (
        "But the band stands, and no interlock checks it here: on to the bar the head comes down only with "
        "the band running and the bar clamped."
    )

    assert rule in told(session, "head.lower")
    assert rule in str(told_of(session, "head.lower"))
    typed(session, "palms band.run", "wait 5")
    assert session.saw.plant.band.turning == (rule not in told(session, "head.lower"))


@pytest.mark.parametrize("name", ["rail-posts", "posts-come-out-short"])
def test_the_way_to_a_start_says_first_what_is_off_at_the_console(name):
    session = typed(open_session(name), *ON, *RAISE)
    dry = "But the coolant is off, and the job would cut dry; choose it with the band first."
    way = told(session, "job.start")[-1]

    assert "palms job.start" in way
    assert dry in way
    assert "The dial shows 20 m/min, too slow for S275JR" in way
    typed(session, "palms band.run", "wait 2", "hold band.faster 6.5", "tap band.stop", "wait 8")
    typed(session, "tap coolant.with_band")
    way = told(session, "job.start")[-1]
    assert dry not in way
    assert "The dial shows" not in way


def test_reset_of_an_aborted_job_is_refused_with_the_key_that_comes_first():
    stop = ("press supply.emergency_stop", "release supply.emergency_stop")
    session = typed(open_session("rail-posts"), *ON, *stop, *ON[1:])
    session.turn("production")
    refused = session.tap("job.reset")

    assert session.saw.controller.job.state == "ABORTED"
    assert "clear an aborted one first" in str(refused.sentence)
    typed(session, "tap job.clear")
    assert session.tap("job.reset").accepted
