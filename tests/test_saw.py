"""The whole saw: its verbs, and that a run is the same however it is looked at and wherever it runs."""

import json
import os
import random
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.control.dials import DIALS
from sim.errors import CommandError
from sim.plant.set_points import SET_POINTS
from sim.saw import Cut, check_setting, latches
from sim.signals import BY_KEY, Source
from sim.units import US
from sim.words.message import NOTHING

ROOT = Path(__file__).parents[1]
# Measured: four each of both vises, the shuttle and the head, and ten of the cycle. No slack.
STEPS_A_PIECE = 26

WHOLE_JOB = """
import sys
sys.path.insert(0, "tests")
from hands import Hands
hands = Hands()
hands.begin_job("square", wanted=3, strokes=2)
hands.until_job("COMPLETE")
hands.saw.release("supply.isolator")
hands.wait(100)
print(hands.saw.digest())
"""


# The verbs ----------------------------------------------------------------------------------


@pytest.mark.parametrize("verb", ["press", "release"])
def test_a_key_that_is_not_there_is_a_command_error(hands, verb):
    with pytest.raises(CommandError, match=r"no key called 'band\.reverse'"):
        getattr(hands.saw, verb)("band.reverse")


def test_a_key_answers_with_a_decision_and_a_latch_with_none(hands):
    assert hands.saw.press("supply.isolator") is None
    answer = hands.saw.press("head.raise")

    assert answer.action == "head.raise"
    assert not answer.accepted
    assert str(answer.sentence).startswith("There is no control power.")
    assert hands.saw.release("head.raise") is None


def test_an_answer_is_that_of_this_press_and_not_of_the_last(hands):
    hands.control_on()
    assert hands.saw.press("head.lower").accepted

    assert hands.saw.press("band.faster") is None


@pytest.mark.parametrize("key", BY_KEY)
def test_every_key_can_be_pressed_and_let_go_on_a_dead_saw(hands, key):
    hands.press(key)
    turned = BY_KEY[key].source is Source.SWITCH  # it stays without a hand on it
    assert (key in hands.saw.held) is not turned
    hands.release(key)

    assert key not in hands.saw.held
    assert hands.on == set()


def test_the_latches_are_the_isolator_the_emergency_stops_and_the_trip_line():
    assert latches() == (
        "supply.isolator",
        "supply.emergency_stop",
        "supply.infeed_stop",
        "supply.trip_line",
    )


@pytest.mark.parametrize("row", DIALS, ids=lambda row: row.name)
def test_a_dial_reads_back_as_whole_numbers_within_its_limits(hands, row):
    for number in (row.low, row.high):
        hands.saw.set(row.name, number)
        assert hands.saw.read(row.name) == number
    for number in (row.low - 1, row.high + 1):
        with pytest.raises(CommandError, match="outside"):
            hands.saw.set(row.name, number)
    assert hands.saw.read(row.name) == row.high


@pytest.mark.parametrize("row", [row for row in SET_POINTS if not row.words], ids=lambda r: r.name)
def test_a_number_out_of_limits_is_refused_and_changes_nothing(hands, row):
    before = hands.saw.digest()
    low, high = row.limits(hands.machine)
    for number in (low - row.step, high + row.step, float("nan"), float("inf")):
        with pytest.raises(CommandError, match=f"{row.name}: .*is outside"):
            hands.saw.set(row.name, number)

    assert hands.saw.digest() == before


@pytest.mark.parametrize("row", [row for row in SET_POINTS if row.words], ids=lambda r: r.name)
def test_a_word_that_is_not_of_the_set_point_is_refused(hands, row):
    with pytest.raises(CommandError, match="'askance' is none of"):
        hands.saw.set(row.name, "askance")
    assert hands.saw.read(row.name) in row.words


def test_a_word_for_a_number_is_refused_with_the_limits(hands):
    with pytest.raises(CommandError, match="'fast' is not a number; give 0"):
        check_setting("head.feed_valve_mm_min", "fast", hands.machine)


@pytest.mark.parametrize("verb", ["read", "set"])
def test_something_that_cannot_be_set_is_a_command_error(hands, verb):
    words = ("head.colour",) if verb == "read" else ("head.colour", 1)
    with pytest.raises(CommandError, match=r"nothing to set called 'head\.colour'"):
        getattr(hands.saw, verb)(*words)
    assert hands.saw.blocked("head.colour") == NOTHING


def test_every_parting_cut_is_told_when_it_happens(hands):
    told = []
    hands.saw.on_cut(lambda cut: told.append((cut, hands.saw.clock.now_us)))
    hands.begin_job("square", wanted=2)
    hands.until_job("COMPLETE")

    assert [cut for cut, _ in told] == hands.saw.cuts
    assert all(cut.at_us == now_us for cut, now_us in told)
    assert [(cut.squaring, cut.counted) for cut, _ in told] == [
        (True, True),
        (False, True),
        (False, True),
    ]


def test_a_cut_made_by_hand_is_not_the_jobs(hands):
    hands.set_up()
    hands.band_speed()
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(2)
    hands.press("head.lower")
    hands.until(lambda: bool(hands.saw.cuts))

    (cut,) = hands.saw.cuts
    assert isinstance(cut, Cut)
    assert not cut.counted


def test_by_hand_a_bar_that_was_not_fed_loses_its_end_and_a_fed_one_gives_a_piece(hands):
    hands.set_up()
    hands.band_speed()
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(2)
    for number in (1, 2):
        hands.press("head.lower")
        hands.until(lambda: len(hands.saw.cuts) == number)  # noqa: B023 - at once
        hands.release("head.lower")
        hands.hold_down("head.raise", 8)
        hands.let_go("shuttle_vise")
        hands.hold_down("shuttle.back", 6)
        hands.clamp("shuttle_vise")
        hands.let_go("cutting_vise")
        hands.hold_down("shuttle.forward", 6)
        hands.clamp("cutting_vise")

    assert [cut.squaring for cut in hands.saw.cuts] == [True, False]
    assert [cut.is_piece for cut in hands.saw.cuts] == [False, True]


# The same run ---------------------------------------------------------------------------------


def job(hands):
    """Begin a job that uses everything: squaring, two strokes a piece, the shuttle going back."""
    hands.begin_job("square", wanted=2, strokes=2)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(frames=st.lists(st.integers(200_000, 9 * US), min_size=1, max_size=60))
def test_the_run_is_the_same_at_any_frame_rate_and_headless(new_hands, frames):
    headless, watched = new_hands(), new_hands()
    for hands in (headless, watched):
        job(hands)
    now_us = end_us = watched.saw.clock.now_us
    end_us += 150 * US
    turn = 0
    while now_us < end_us:
        now_us = min(now_us + frames[turn % len(frames)], end_us)
        watched.saw.advance_to(now_us)
        watched.saw.digest()
        turn += 1
    headless.saw.advance_to(end_us)

    assert watched.job == "COMPLETE"
    assert watched.saw.cuts == headless.saw.cuts
    assert watched.saw.digest() == headless.saw.digest()


@pytest.mark.parametrize("frames_a_second", [5, 30, 144])
def test_a_cut_watched_at_a_frame_rate_ends_as_the_same_cut(new_hands, frames_a_second):
    watched, headless = new_hands(), new_hands()
    for hands in (watched, headless):
        job(hands)
        hands.until_in_metal()
    end_us = headless.saw.clock.now_us + 20 * US
    frame = 0
    while watched.saw.clock.now_us < end_us:
        frame += 1
        at_us = end_us - 20 * US + frame * US // frames_a_second
        watched.saw.advance_to(min(at_us, end_us))
    headless.saw.advance_to(end_us)

    assert watched.saw.digest() == headless.saw.digest()


def test_looking_at_the_state_changes_nothing(hands):
    hands.begin_job("straight")
    hands.until_step("SHUTTLE_FORWARD")
    hands.wait(0.1)
    due_us = hands.saw.clock.next_us()
    first = hands.saw.state()
    again = hands.saw.state()
    hands.saw.bus.settle()

    assert first == again == hands.saw.state()
    assert hands.saw.clock.next_us() == due_us


def test_the_state_is_plain_values(hands):
    state = hands.saw.state()

    assert json.loads(json.dumps(state)) == state


def test_two_different_runs_have_different_digests(new_hands):
    one, other = new_hands(), new_hands()
    other.wait(1e-6)

    assert one.saw.digest() != other.saw.digest()


@pytest.mark.parametrize(
    ("name", "setting"), [("shuttle.stop_mm", 299.95), ("head.stop_plunger", "on the land")]
)
def test_a_set_point_shows_in_the_digest(new_hands, name, setting):
    one, other = new_hands(), new_hands()
    other.saw.set(name, setting)

    assert one.saw.digest() != other.saw.digest()


def test_equal_runs_in_other_processes_have_equal_digests_whatever_the_hash_seed():
    running = [
        subprocess.Popen(
            [sys.executable, "-c", WHOLE_JOB],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in ("1", "4242")
    ]
    digests = [process.communicate(timeout=60)[0].strip() for process in running]

    assert [process.returncode for process in running] == [0, 0]
    assert digests[0] == digests[1]
    assert len(digests[0]) == 64


def test_the_same_random_hands_twice_give_the_same_saw(new_hands):
    def play():
        source = random.Random(11)
        hands = new_hands()
        hands.begin_job("straight", wanted=3)
        keys = sorted(set(BY_KEY) - set(latches()))
        for _ in range(150):
            (hands.press if source.random() < 0.5 else hands.release)(source.choice(keys))
            hands.wait(source.random() * 3)
        return hands.saw.digest()

    assert play() == play()


# Work -----------------------------------------------------------------------------------------


def test_a_piece_takes_few_steps_of_the_controllers_machines(hands):
    hands.begin_job("square", wanted=12)
    steps = []
    hands.saw.on_cut(lambda _cut: steps.append(hands.saw.controller.fired))
    hands.until_job("COMPLETE", limit_s=2000)
    each = [later - early for early, later in pairwise(steps[1:])]

    assert each == [STEPS_A_PIECE] * 10 + [
        STEPS_A_PIECE - 4
    ]  # the last has no shuttle to send back


def test_nothing_is_due_on_a_saw_at_rest(hands):
    hands.begin_job("square", wanted=1)
    hands.until_job("COMPLETE")
    hands.wait(3600)

    assert hands.saw.clock.next_us() is None
