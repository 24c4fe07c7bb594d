"""Words for how the machine stands follow the machine."""

import pytest

from sim.control import lamps
from sim.control.table import CYCLE, JOB
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.session.sights import controller_words, describe
from sim.text.typed import lists


@pytest.fixture
def posts():
    """A session on the clean job."""
    return open_session("rail-posts")


def told(session):
    """What is told of each part of the machine, in English."""
    return {part: str(said) for part, said in describe.told(session).items()}


def test_every_state_of_the_job_and_every_step_has_its_words():
    assert set(controller_words.JOB_STATES) == set(JOB.states)
    assert set(controller_words.STEPS) == set(CYCLE.states)


def test_a_machine_nobody_has_touched_is_dead_and_in_manual(posts):
    parts = told(posts)

    assert parts["supply"] == "The isolator is off."
    assert parts["mode"] == "The mode is MANUAL."
    assert parts["lamps"] == "No lamp is lit."
    assert parts["outfeed"] == "Nothing lies on the outfeed."
    assert "12 mm past the band" in parts["bar"]


def test_the_emergency_stop_and_a_lock_are_told(posts):
    posts.press("supply.isolator")
    posts.press("supply.emergency_stop")

    assert "the emergency stop is pressed in" in told(posts)["supply"]

    posts.release("supply.isolator")
    for step in ("tell", "lock-isolator"):
        posts.lock_out(step)

    assert "with your lock on it" in told(posts)["supply"]


def test_the_vises_are_told_moving_clamped_and_out_without_a_bar(posts):
    autopilot.power_up(posts)
    posts.press("cutting_vise.clamp")
    posts.advance(0.1)
    assert told(posts)["cutting vise"] == "The cutting vise jaw closes."

    posts.advance(2.0)
    posts.release("cutting_vise.clamp")
    assert told(posts)["cutting vise"] == "The cutting vise is clamped on the bar."

    posts.set("shuttle_vise.jaw_gap_mm", 20)
    posts.hold("shuttle_vise.clamp", 3.0)
    assert told(posts)["shuttle vise"] == "The shuttle vise jaw is out and clamps nothing."

    posts.press("cutting_vise.release")
    posts.advance(0.1)
    assert told(posts)["cutting vise"] == "The cutting vise jaw moves back."


def test_a_round_bar_is_said_to_be_round_and_another_its_width_and_height():
    assert "S275JR 60 mm round, is" in told(open_session("02-two-hand-start"))["bar"]
    other = told(open_session("12-bundles"))["bar"]
    assert " wide and " in other
    assert "round" not in other


def test_the_shuttle_is_told_under_way_between_and_at_its_stop(posts):
    autopilot.power_up(posts)
    posts.press("shuttle.back")
    posts.advance(0.5)
    assert told(posts)["shuttle"] == ("The shuttle goes back, 75 mm from the cutting vise.")

    posts.release("shuttle.back")
    assert told(posts)["shuttle"] == "The shuttle stands 75 mm from the cutting vise."

    posts.press("shuttle.back")
    posts.advance(5.0)
    assert told(posts)["shuttle"] == "The shuttle stands at its length stop."


def test_the_head_is_told_over_in_and_through_the_bar(posts):
    autopilot.power_up(posts)
    autopilot.set_up(posts)
    assert "clear above the bar" in told(posts)["head"]

    autopilot.begin(posts)
    autopilot.wait_until(posts, lambda: posts.saw.plant.head.cutting is not None, 100.0)
    posts.advance(10.0)
    assert told(posts)["head"].startswith("The head cuts, about ")

    autopilot.wait_until(posts, lambda: bool(posts.saw.cuts), 100.0)
    assert "down below the bar line" in told(posts)["head"]


def test_a_running_job_tells_its_step_and_a_held_one_its_reason(posts):
    autopilot.power_up(posts)
    autopilot.set_up(posts)
    autopilot.begin(posts)
    job = posts.saw.controller.job
    autopilot.wait_until(posts, lambda: job.step == "SHUTTLE_FORWARD", 100.0)
    assert "Step of piece 1: feeding the bar forward." in told(posts)["job"]
    assert "goes forward with the bar" in told(posts)["shuttle"]

    posts.tap("job.hold")
    assert "The job is coming to a hold." in told(posts)["job"]
    autopilot.wait_until(posts, lambda: job.state == "HELD", 10.0)
    job_words = told(posts)["job"]
    assert "The job is held." in job_words
    assert "Reason: the hold key was pressed." in job_words


def test_what_only_an_inspection_shows_is_not_told():
    sound = open_session("rail-posts")
    for name, setting in (("shuttle.stop_mm", 225), ("shuttle.stop_mm", 231.5)):
        sound.set(name, setting)  # turned up from below: short by the backlash
    spoiled = describe.look(sound)

    assert spoiled == describe.look(open_session("rail-posts"))


def test_the_lamps_follow_their_causes_and_are_dark_without_control_power(posts):
    posts.saw.plant.set_air(1.5e5)
    posts.saw.bus.settle()
    assert lamps.lit(posts.saw.controller.image) == ()

    autopilot.power_up(posts)
    assert [str(lamp.word) for lamp in lamps.lit(posts.saw.controller.image)] == ["air low"]

    posts.saw.plant.set_air(6e5)
    autopilot.raise_head(posts)
    posts.turn("production")
    posts.tap("job.reset")
    posts.saw.plant.coolant.set_level(0.1)
    posts.saw.bus.settle()
    assert [str(lamp.word) for lamp in lamps.lit(posts.saw.controller.image)] == [
        "ready",
        "coolant low",
    ]


def test_every_lamp_has_a_word_a_colour_and_a_shape_of_its_meaning():
    shapes = {(lamp.colour, lamp.shape) for lamp in lamps.LAMPS}

    assert shapes == {("green", "circle"), ("yellow", "triangle")}
    assert len({str(lamp.word) for lamp in lamps.LAMPS}) == len(lamps.LAMPS) == 10


def test_a_band_that_lies_on_the_bar_is_not_told_below_its_top(posts):
    assert told(posts)["head"].endswith("on top of the bar.")

    autopilot.power_up(posts)
    posts.press("head.raise")
    posts.advance(0.5)
    posts.release("head.raise")
    assert told(posts)["head"].endswith("clear above the bar.")


def test_below_the_speed_that_the_standstill_monitor_sees_the_band_is_not_said_to_stand(posts):
    autopilot.power_up(posts)
    autopilot.make_ready(posts)
    posts.palms("band.run")
    posts.advance(5)
    posts.tap("band.stop")
    assert "coasts down" in told(posts)["band"]
    drive = posts.saw.plant.band
    autopilot.wait_until(posts, lambda: not drive.turning, 60)

    assert told(posts)["band"].startswith(
        f"The band has almost stopped: below {drive.dial.position * 60 * 0.05:.1f} m/min its "
        "standstill monitor sees rest"
    )
    posts.advance(1)
    assert "stands still" in told(posts)["band"]


@pytest.mark.parametrize("stop", ["supply.trip_line", "supply.emergency_stop"])
def test_a_job_is_said_to_be_aborted_only_where_one_was_under_way(posts, stop):
    autopilot.power_up(posts)
    autopilot.make_ready(posts)
    posts.turn("manual")
    posts.press(stop)
    assert posts.saw.controller.job.state == "ABORTED"
    assert told(posts)["job"].startswith("No job was under way; the next one is begun with clear")

    other = open_session("rail-posts")
    autopilot.power_up(other)
    autopilot.make_ready(other)
    autopilot.begin(other)
    other.advance(3)
    other.press(stop)
    assert told(other)["job"].startswith("The job is aborted.")


def test_the_mimic_is_told_when_one_looks_and_sounds_without_it_and_both_are_evidence(posts):
    autopilot.power_up(posts)
    posts.advance(1)
    seen = [str(said) for said in describe.look(posts)]

    assert "You hear: the oil pump whines." in seen
    (mimic,) = (said for said in seen if said.startswith("The mimic shows: "))
    assert "head: between" in mimic
    assert "mimic" not in describe.told(posts)
    assert told(posts)["sounds"] == "You hear: the oil pump whines."
    assert {"mimic", "sounds", "openings"} <= set(describe.EVIDENCE)


def test_what_stands_open_or_in_the_way_is_told_without_a_walk(posts):
    assert "openings" not in told(posts)
    posts.set("infeed.hood", "open")
    assert told(posts)["openings"] == "You see that the infeed hood is open."


def test_the_lock_out_tells_what_of_the_energy_is_in_sight_as_the_window_does():
    drill = open_session("posts-come-out-short")

    def in_sight():
        listed = map(str, lists.lockout_steps(drill))
        return next(said for said in listed if said.startswith("In sight"))

    before = in_sight()
    drill.inspect("air-gauge")
    looked = in_sight()

    assert "Isolator: off, no padlock" in before
    assert "Air: unseen; inspect air-gauge" in before
    assert "Air: unseen" not in looked
    assert "Air: under pressure" in looked  # its figure is told by the look alone


def test_the_mimic_goes_by_the_switches_where_a_part_was_halted_at_its_end():
    """Tapped forward with the wire of its coil broken the shuttle stays at its stop, and B21 is made."""
    drill = open_session("goes-back-and-stays-there")
    autopilot.power_up(drill)
    drill.hold("head.raise", 3)
    drill.hold("shuttle.back", 8)
    drill.tap("shuttle.forward")
    drill.advance(1)

    seen = [str(said) for said in describe.look(drill)]
    (mimic,) = (said for said in seen if said.startswith("The mimic shows: "))
    assert "The shuttle stands at its length stop." in seen
    assert drill.saw.controller.image["B21"]
    assert "shuttle: back" in mimic


def test_the_mimic_says_between_where_no_switch_of_an_end_is_made(posts):
    autopilot.power_up(posts)
    image = posts.saw.controller.image
    assert controller_words.shown_state(image, "head") == "BETWEEN"
    assert controller_words.shown_state({**image, "B12": True}, "head") == "DOWN"
    assert controller_words.shown_state({**image, "B12": True, "B11": True}, "head") == "BETWEEN"
