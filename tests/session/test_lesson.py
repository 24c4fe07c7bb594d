"""Lessons: every shipped one can be done as asked, any right way counts, and only a right way does."""

import pytest

from sim.debrief.debrief import debrief
from sim.pilot.autopilot import wait_until
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario import library
from sim.scenario.scenario import Scenario
from sim.scenario.steps import Goal
from sim.session.before.keys import raise_head
from sim.session.kept.heard import EventKind
from sim.session.kept.news import SQUARED
from sim.session.lessons.goals import KINDS
from sim.session.lessons.lesson import CLOSING, lesson_of
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.playback.replay import replay

LESSONS = tuple(name for name, path in library.entries() if path.parent.name == "lessons")
COURSE = (
    "power-up", "two-hand", "load-and-clamp", "length", "head-height", "band-speed", "coolant", "single-cut",
    "automatic-job-in-production", "hold-go-on", "thin-wall", "bundles", "mitre", "shut-down",
    "band-change", "start-of-shift", "first-piece", "reading-the-cut", "change-of-order", "cut-broken-off",
)  # fmt: skip
ROUND = {"material": "S275JR", "section": {"shape": "round", "diameter_mm": 60.0},
         "length_mm": 3000.0, "front_mm": 12.0}  # fmt: skip

FLAT = {"material": "S235JR", "section": {"shape": "rectangle", "width_mm": 60.0, "height_mm": 20.0},
        "length_mm": 900.0}  # fmt: skip


def lesson_with(*goals, **more):
    """Return session and lesson of a lesson that asks for goals, one after the other."""
    scenario = Scenario.model_validate({
        "title": "drawn", "mode": "lesson", "stock": ROUND,
        "job": {"length_mm": 230.0, "wanted": 2},
        "steps": [{"ask": "Do it.", "why": "Because.", "goal": goal} for goal in goals],
        **more,
    }, strict=False)  # fmt: skip
    session = session_for(scenario, nonce="")
    return session, lesson_of(session)


def powered(session):
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")


# ---- the course


def test_the_course_covers_the_whole_job_in_the_order_in_which_one_learns_it():
    assert len(LESSONS) == len(COURSE)
    for number, (name, subject) in enumerate(zip(LESSONS, COURSE, strict=True), start=1):
        assert name.startswith(f"{number:02d}-")
        assert subject in name
        scenario, _ = read(name)
        assert scenario.mode == "lesson"
        assert 5 <= len(scenario.steps) <= 25
        assert scenario.skills
        assert scenario.teaches


@pytest.mark.sampled(2)
@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_done_as_asked_reaches_every_step_and_harms_nothing(name, tmp_path):
    path = tmp_path / "record.jsonl"
    session = open_recorded(name, path)
    lesson = lesson_of(session)

    assert play_lesson(session, lesson)
    session.close()

    assert lesson.done
    assert lesson.step is None
    assert lesson.ask == lesson.hint() == CLOSING
    assert lesson.idle == []
    assert session.saw.consequences == []
    assert session.done.unsafe == []
    outcome = debrief(session)
    assert (outcome.passed, outcome.score) == (True, 100)
    played = replay(path)
    assert played.same
    assert played.session.heard.events == session.heard.events
    assert lesson_of(played.session).reached_us == lesson.reached_us


@pytest.mark.parametrize("name", LESSONS)
def test_no_step_is_done_before_somebody_does_it(name):
    session = open_session(name)
    lesson = lesson_of(session)
    before = []
    for number in range(len(lesson.steps)):
        before.append((number, lesson.wanting()))
        assert play_lesson(session, lesson, until=number + 1)

    assert [number for number, wanting in before if not wanting] == []


@pytest.mark.parametrize("name", LESSONS)
def test_sentences_of_a_lesson_are_sentences(name):
    scenario, _ = read(name)
    for step in scenario.steps:
        for text in filter(None, (step.ask, step.why, step.caution, step.hint)):
            assert text[0].isupper(), text
            assert text.endswith("."), text
            assert "  " not in text


def test_where_the_work_can_hurt_somebody_the_lesson_says_so():
    for name in LESSONS:
        scenario, _ = read(name)
        moves = any(
            {"cuts", "pieces", "measured", "square_faces"}
            & step.goal.model_dump(exclude_none=True).keys()
            or "RUNNING" in str(step.goal.state)
            for step in scenario.steps
        )
        if moves:
            assert any(step.caution for step in scenario.steps), name


# ---- what counts


def test_a_state_that_was_there_already_counts_as_soon_as_it_is_asked():
    session, lesson = lesson_with({"signal": {"Q0": True}}, {"state": {"supply": ["ON"]}})

    powered(session)

    assert lesson.done


def test_an_inspection_counts_only_from_when_it_is_asked():
    session, lesson = lesson_with({"signal": {"Q0": True}}, {"inspected": "air-gauge"})
    session.inspect("air-gauge")
    session.press("supply.isolator")

    assert lesson.number == 1
    session.inspect("air-gauge")
    assert lesson.done


def test_any_way_of_raising_the_head_is_right():
    goal = {"signal": {"B11": True}}
    by_hand, asked_by_hand = lesson_with(goal)
    powered(by_hand)
    by_hand.press("head.raise")
    by_hand.advance(5)
    lower_stop, asked_lower = lesson_with(goal)
    lower_stop.set("head.stop_notch", 2)

    assert asked_by_hand.done
    assert asked_lower.done


def test_all_conditions_of_a_goal_must_hold_at_one_moment():
    session, lesson = lesson_with({"signal": {"S1": False}, "state": {"supply": ["ON"]}})
    powered(session)
    session.press("supply.emergency_stop")

    assert not lesson.done
    assert tuple(map(str, lesson.wanting())) == (
        "It is done when the supply is on; it is tripped now.",
    )


def test_a_state_that_only_passes_counts():
    session, lesson = lesson_with({"state": {"band": ["STARTING"]}, "signal": {"B1": True}})
    powered(session)
    raise_head(session)
    session.palms("band.run")
    assert not lesson.done

    session.advance(10)

    assert session.saw.controller.machines["band"].state == "RUNNING"
    assert lesson.done


@pytest.mark.parametrize("slice_s", [0.013, 0.5, 30.0])
def test_how_often_somebody_looks_changes_nothing(slice_s):
    session, lesson = lesson_with(
        {"signal": {"B11": True}}, {"measure": {"head.over_bar_mm": {"at_most": 12.0}}}
    )
    powered(session)
    session.press("head.raise")
    session.advance(5)
    session.release("head.raise")
    session.press("head.lower")
    for _ in range(round(30.0 / slice_s)):
        session.advance(slice_s)
        lesson.wanting()
        str(lesson.hint())
    session.release("head.lower")

    assert lesson.reached_us[0] == pytest.approx(333_333, abs=2)
    assert len(lesson.reached_us) == 2
    assert lesson.reached_us[1] == pytest.approx(5e6 + 20 / (174 / 60) * 1e6, abs=50)


def test_a_start_that_waits_for_the_palm_keys_and_gets_them_in_one_deed_is_no_refusal():
    session, lesson = lesson_with({"refused": "band.run"})
    powered(session)
    raise_head(session)
    session.palms("band.run")

    assert session.saw.controller.machines["band"].state == "STARTING"
    assert not lesson.done
    session.tap("band.stop")
    session.advance(5)
    session.tap("band.run")
    assert lesson.done


def test_the_length_stop_is_as_the_card_says_only_with_its_play_taken_out():
    session, lesson = lesson_with({"setting": {"shuttle.stop_mm": "card"}}, ready=False)
    session.set("shuttle.stop_mm", 200)
    session.set("shuttle.stop_mm", 231.5)
    assert "play is still in" in str(lesson.wanting()[0])

    session.set("shuttle.stop_mm", 236.5)
    session.set("shuttle.stop_mm", 231.5)

    assert lesson.done


@pytest.mark.parametrize(
    ("goal", "wrong", "right"),
    [
        ({"head.stop_notch": "card"}, 3, 4),
        ({"head.stop_notch": 6.0}, 5, 6),
        ({"cutting_vise.jaw_gap_mm": {"at_least": 1.0, "at_most": 6.0}}, 7, 5),
        ({"band.guard": "open"}, "closed", "open"),
        ({"cutting_vise.pressure_bar": "card"}, 50, 58),
    ],
)
def test_a_setting_counts_when_it_is_near_enough_to_what_is_asked(goal, wrong, right):
    session, lesson = lesson_with({"setting": goal}, ready=False, found={"head.stop_notch": 2,
                                  "cutting_vise.jaw_gap_mm": 20, "cutting_vise.pressure_bar": 20})  # fmt: skip
    (name,) = goal
    session.press("supply.isolator")  # the lock of a guard is drawn with power only
    session.set(name, wrong)
    assert not lesson.done
    assert name in str(lesson.wanting()[0])

    session.set(name, right)

    assert lesson.done


@pytest.mark.parametrize(("hold_s", "done"), [(3.0, False), (5.2, True), (7.8, True), (8.9, False)])
def test_any_speed_within_the_metals_range_is_right(hold_s, done):
    session, lesson = lesson_with({"speed_m_min": "card"})
    powered(session)
    raise_head(session)
    session.palms("band.run")
    session.advance(2)
    session.press("band.faster")
    session.advance(hold_s)
    session.release("band.faster")

    assert lesson.done == done


def test_a_lesson_that_is_left_half_done_is_not_passed():
    session, lesson = lesson_with(*[{"signal": {"Q0": True}}] * 9, {"state": {"supply": ["ON"]}})
    session.press("supply.isolator")
    assert lesson.number == 9
    session.close()

    outcome = debrief(session)

    assert outcome.score == 93
    assert not outcome.passed
    assert str(outcome.parts[0].reason) == "9 of 10 steps done. The next one: Do it."


# ---- the pilot knows every kind of goal

ON = {"state": {"supply": ["ON"]}}
UP = {"signal": {"B11": True}}
SPEED = {"speed_m_min": 85.0, "state": {"band": ["STOPPED"]}}
REACHABLE = {
    "signal": [{"signal": {"S3": True}}, {"signal": {"B41": False}}, {"signal": {"F1": False}},
               {"signal": {"B61": False}}, {"signal": {"B34": True}}, {"signal": {"Q1": True}},
               {"signal": {"B11": True, "B1": True}}, {"signal": {"B51": False}},
               {"signal": {"S1": False}}, {"signal": {"B53": False}}],
    "state": [{"state": {"job": ["EXECUTE"]}}, {"state": {"band": ["TRIPPED"]}},
              {"state": {"band": ["COASTING"]}}, {"state": {"shuttle": ["BACK"]}},
              {"state": {"head": ["BETWEEN"]}}, {"state": {"coolant": ["FLOWING"]}},
              {"state": {"job": ["HELD"]}}, {"state": {"job": ["COMPLETE"]}},
              {"state": {"job": ["ABORTED"]}}, {"state": {"job": ["STOPPING"]}},
              {"state": {"cycle": ["RELEASE_CUTTING_VISE"]}}],
    "mode": [{"mode": "PRODUCTION"}, {"mode": "MAINTENANCE"}],
    "setting": [{"setting": {"head.mitre_deg": 45.0}}, {"setting": {"band.teeth_per_inch": 10.0}},
                {"setting": {"band.guide_span_mm": {"at_least": 100.0, "at_most": 120.0}}},
                {"setting": {"job.wanted": 7.0}}, {"setting": {"cutting_vise.support_arm": "up"}}],
    "backlash": [{"backlash": "in"}],
    "speed_m_min": [{"speed_m_min": 50.0},
                    {"speed_m_min": {"at_least": 30.0, "at_most": 40.0}}],
    "measure": [{"measure": {"head.over_bar_mm": {"at_least": 5.0, "at_most": 15.0}}},
                {"measure": {"bar.front_mm": {"at_least": 200.0}}},
                {"measure": {"bar.kerf_mm": {"at_least": 10.0, "at_most": 30.0}}},
                {"measure": {"cutting_vise.clamping_bar": {"at_least": 50.0}}}],
    "cuts": [{"cuts": 1}, {"cuts": 2, "state": {"job": ["EXECUTE"]}}],
    "pieces": [{"pieces": 1}],
    "measured": [{"measured": 1}, {"measured": 2}],
    "square_faces": [{"square_faces": 1}],
    "inspected": [{"inspected": "pulley"}, {"inspected": "meter B11"}],
    "lockout": [{"lockout": "lock-isolator"}, {"lockout": "verified"}],
    "taken": [{"taken": "head.lower"}, {"taken": "job.reset"}, {"taken": "job.new"}, {"taken": "supply.reset"}],
    "refused": [{"refused": "band.run"}, {"refused": "job.complete"}],
    "loaded": [{"loaded": "stock"}, {"loaded": "stock", "setting": {"mode.key": "in my pocket"}}],
}  # fmt: skip


@pytest.mark.parametrize("goal", [goal for goals in REACHABLE.values() for goal in goals], ids=str)
def test_the_pilot_brings_about_every_kind_of_goal_without_harm(goal):
    session, lesson = lesson_with(
        ON, UP, SPEED, goal, **({"old_bar": FLAT} if "loaded" in goal else {})
    )
    assert play_lesson(session, lesson, until=3)
    assert lesson.wanting()

    assert play_lesson(session, lesson), (lesson.wanting(), session.heard.events)
    assert [c.kind for c in session.saw.consequences] == []
    assert session.done.unsafe == []


def test_every_kind_of_goal_that_a_file_may_give_is_judged_and_tried_here():
    assert set(KINDS) == set(Goal.model_fields) == set(REACHABLE)


def test_the_pilot_takes_a_lock_out_back():
    session, lesson = lesson_with({"lockout": "verified"}, {"lockout": "off"}, ON)

    assert play_lesson(session, lesson)


def test_the_pilot_gives_up_on_what_cannot_be():
    session, lesson = lesson_with({"measured": 2, "setting": {"head.stop_notch": 2}})

    assert not play_lesson(session, lesson)


def test_the_pilot_does_not_go_round_in_a_circle_over_a_relay_that_stays_hot():
    session, lesson = lesson_with({"state": {"band": ["RUNNING"]}, "signal": {"F1": False}})

    assert not play_lesson(session, lesson)


def test_a_hint_says_how_and_what_is_wanting():
    session = open_session("01-power-up-and-stops")
    lesson = lesson_of(session)
    play_lesson(session, lesson, until=4)

    assert str(lesson.hint()) == (
        "Hold the raise key until the head stands at its stop. "
        "B11 must show that the head is up at its height stop."
    )


def test_the_time_of_each_step_is_kept():
    session, lesson = lesson_with({"signal": {"Q0": True}}, UP)
    session.advance(10)
    powered(session)
    wait_until(session, lambda: lesson.number == 1, 1)
    session.press("head.raise")
    session.advance(1)

    assert lesson.took_s() == (10.0, pytest.approx(1 / 3, abs=1e-5))


def test_a_state_that_is_no_adjective_is_called_a_state():
    session, lesson = lesson_with({"state": {"job": ["EXECUTE"]}})
    powered(session)

    said = "The job must come to the state execute; its state is stopped."
    assert tuple(map(str, lesson.wanting())) == (said,)


def test_the_end_that_is_squared_by_hand_is_told_as_an_end_and_is_no_piece_of_the_lesson():
    session = open_session("20-a-cut-broken-off", nonce="")
    lesson = lesson_of(session)
    sawn_through = 10
    assert lesson.steps[sawn_through - 1].goal.cuts == 1
    assert play_lesson(session, lesson, sawn_through)

    told = [each.message for each in session.heard.events if each.kind == EventKind.CUT]
    assert told == [SQUARED]
    assert session.tally.pieces == 0
    assert not list(session.measuring.own)
