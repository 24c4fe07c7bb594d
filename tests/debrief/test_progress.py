"""What the records say is due, and a fresh bar on the saw."""

from datetime import date
from pathlib import Path

import pytest

from sim.authoring.search import put_right
from sim.debrief.course import FIRST
from sim.debrief.debrief import finish
from sim.debrief.hints import hint
from sim.debrief.progress import PASS_MARK, Best, Done, best_of, done_in, due, due_by
from sim.debrief.proposals import LEFT, ON_THE_PATH, proposals, prospect
from sim.debrief.scoring import Outcome
from sim.diagnosis.mixing import mixed
from sim.pilot import autopilot
from sim.pilot.lesson_pilot import play_lesson
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import library_entries, open_recorded, open_session
from sim.session.playback.replay import replay
from sim.text.reports.due_report import print_due
from sim.text.typed.acts import perform
from sim.text.typed.language import parse


def _play(folder, name, day, who=""):
    session = open_recorded("posts-come-out-short", folder / f"{name}.jsonl", who)
    session.inspect("stop-play")
    session.diagnose("stop-from-below")
    session.put_right("stop-from-below")
    autopilot.as_found(session, 1)
    autopilot.measure(session)
    return finish(session)


def _teach(folder, name):
    session = open_recorded("04-length-and-backlash", folder / f"{name}.jsonl")
    play_lesson(session, lesson_of(session))
    assert finish(session).passed


@pytest.fixture
def on_day(monkeypatch):
    """Have records stamped with a day."""

    def set_day(day):
        monkeypatch.setattr("sim.session.opening.today", lambda: day.isoformat())

    return set_day


def test_a_trainee_without_records_begins_with_the_first_lesson(tmp_path):
    first = due(tmp_path, today=date(2026, 1, 10))[0]

    assert first.scenario == "01-power-up-and-stops"
    assert first.advice.reason == "never tried"


def test_what_comes_next_is_told_in_lines_of_a_terminal_and_says_what_to_type_first(
    tmp_path, monkeypatch, capsys
):
    _play(tmp_path, "one", 0)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    print_due(tmp_path, "", as_json=False)
    told = capsys.readouterr().out
    lines = told.splitlines()

    assert max(map(len, lines)) <= 80
    assert len(lines) <= 50
    assert next(at for at, line in enumerate(lines) if line.startswith("Begin with: ")) < 8
    assert "Length stop: " in told
    never = due(tmp_path)
    assert f"{sum(not each.advice.counted for each in never)} skills were never tried: " in told


def test_a_skill_that_went_well_comes_back_after_a_day_and_then_after_six(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    _teach(tmp_path, "one")
    skill = next(
        d for d in due(tmp_path, today=date(2026, 1, 10)) if d.advice.skill == "length stop"
    )
    on_day(date(2026, 1, 11))
    _teach(tmp_path, "two")
    again = next(
        d for d in due(tmp_path, today=date(2026, 1, 11)) if d.advice.skill == "length stop"
    )

    # SM-2's first two intervals, from memory.
    assert skill.advice.due_day == date(2026, 1, 11).toordinal()
    assert again.advice.due_day == date(2026, 1, 17).toordinal()
    assert again.advice.passes == 2


def test_records_of_somebody_else_and_broken_ones_do_not_count(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    _play(tmp_path, "one", 10, who="bench-07")
    (tmp_path / "broken.jsonl").write_text("{}", encoding="utf-8")

    assert len(done_in(tmp_path)) == 1
    mine = due(tmp_path, today=date(2026, 1, 10))
    theirs = due(tmp_path, "bench-07", today=date(2026, 1, 10))
    assert all(d.advice.attempts == 0 for d in mine)
    assert any(d.advice.attempts == 1 for d in theirs)


def test_a_job_held_at_the_bar_end_goes_on_with_a_fresh_bar(tmp_path):
    path = tmp_path / "bar.jsonl"
    session = open_recorded("rail-posts", path)
    autopilot.power_up(session)
    autopilot.set_up(session)
    session.set("job.wanted", 30)
    autopilot.begin(session)
    ended = autopilot.run(session)
    session.advance(5)  # the band coasts down
    early = session.load_bar()
    session.turn("manual")
    session.hold("cutting_vise.release", 5)
    session.hold("shuttle_vise.release", 5)
    loaded = session.load_bar()
    before = session.tally.good
    session.hold("cutting_vise.clamp", 3)
    session.hold("shuttle.forward", 10)
    session.turn("production")
    session.palms("job.unhold")
    autopilot.run(session)
    session.close()

    assert str(ended.reason) == "the end of the bar was reached"
    assert not early.taken
    assert "Release both vises first" in str(early.message)
    assert loaded.taken
    assert session.tally.good > before
    assert replay(path).same


def test_a_bar_is_not_loaded_while_the_band_turns():
    session = open_session("rail-posts")
    autopilot.power_up(session)
    autopilot.raise_head(session)
    session.palms("band.run")
    session.advance(3)

    assert "band turns" in str(session.load_bar().message)


def test_no_skill_has_two_names():
    skills = {skill for _, scenario in library_entries() for skill in scenario.skills}

    assert len({skill.lower().replace("-", " ") for skill in skills}) == len(skills)
    assert "power-up" in skills


def test_a_lesson_done_before_its_skill_was_named_anew_still_counts(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    session = open_recorded("01-power-up-and-stops", tmp_path / "one.jsonl")
    lesson = lesson_of(session)
    assert lesson is not None
    play_lesson(session, lesson)
    assert finish(session).passed
    advice = {d.advice.skill: d.advice for d in due(tmp_path, today=date(2026, 1, 10))}

    assert advice["power-up"].passes == 1
    assert "power up" not in advice


def test_a_session_that_was_not_passed_is_no_pass_here_either_whatever_its_score(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    session = open_recorded("01-power-up-and-stops", tmp_path / "one.jsonl")
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, until=len(lesson.steps) - 1)
    found = finish(session)
    assert found.score >= PASS_MARK
    assert not found.passed

    tried = [d.advice for d in due(tmp_path, today=date(2026, 1, 10)) if d.advice.attempts]

    assert tried
    assert all(advice.passes == 0 for advice in tried)
    assert all(advice.reason == "again today" for advice in tried)


def test_a_drill_with_a_hint_is_practice_and_no_pass(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    session = open_recorded("posts-come-out-short", tmp_path / "one.jsonl")
    hint(session)
    session.inspect("length-stop")
    session.inspect("stop-play")
    session.diagnose("stop-from-below")
    put_right(session, "stop-from-below")
    autopilot.prove(session)
    found = finish(session)
    assert (found.score, found.outcome) == (100, Outcome.PRACTISED)

    rows = [d for d in due(tmp_path, today=date(2026, 1, 10)) if d.practised]

    assert rows
    assert all(each.advice.attempts == each.advice.passes == 0 for each in rows)
    assert all(each.advice.reason == "never tried" for each in rows)


def test_a_lesson_with_a_hint_is_passed_and_proves_no_skill(tmp_path, on_day):
    on_day(date(2026, 1, 10))
    session = open_recorded("04-length-and-backlash", tmp_path / "one.jsonl")
    perform(session, parse("hint"))
    play_lesson(session, lesson_of(session))
    found = finish(session)
    assert found.passed
    assert len(found.hints) == 1
    assert replay(tmp_path / "one.jsonl").same

    rows = {d.advice.skill: d for d in due(tmp_path, today=date(2026, 1, 10))}

    assert (rows["length stop"].practised, rows["length stop"].advice.attempts) == (1, 0)


def test_what_is_proposed_is_what_is_due_again_and_then_the_next_of_the_course(tmp_path, on_day):
    first = proposals(tmp_path, today=date(2026, 1, 10))
    assert [each.scenario for each in first[:2]] == ["01-power-up-and-stops", "02-two-hand-start"]
    assert first[0].why == FIRST
    on_day(date(2026, 1, 10))
    _teach(tmp_path, "one")

    found = proposals(tmp_path, today=date(2026, 1, 11))
    proposed = [each.scenario for each in found]

    assert found[proposed.index("01-power-up-and-stops")].why == ON_THE_PATH
    assert len(proposed) == len(set(proposed)) == 5
    assert {"length stop", "backlash", "measuring"} & {
        skill for name, each in library_entries() if name == proposed[0] for skill in each.skills
    }
    assert "01-power-up-and-stops" in proposed[1:]


def test_what_was_left_comes_before_all_else_until_it_is_finished_and_a_look_in_leaves_nothing(
    tmp_path,
):
    looked = open_recorded("03-load-and-clamp", tmp_path / "a.jsonl", "bench-07")
    looked.close()
    assert proposals(tmp_path, "bench-07")[0].scenario == "01-power-up-and-stops"

    left = open_recorded("05-head-height-feed-and-force", tmp_path / "b.jsonl", "bench-07")
    left.press("supply.isolator")
    left.close()

    assert [(each.scenario, each.why) for each in proposals(tmp_path, "bench-07")[:2]] == [
        ("05-head-height-feed-and-force", LEFT), ("01-power-up-and-stops", ON_THE_PATH),
    ]  # fmt: skip
    assert proposals(tmp_path, "bench-08")[0].why == FIRST

    again = open_recorded("05-head-height-feed-and-force", tmp_path / "c.jsonl", "bench-07")
    again.press("supply.isolator")
    finish(again)
    assert LEFT not in [each.why for each in proposals(tmp_path, "bench-07")]


def test_what_runs_still_is_not_left_until_it_is_ended(tmp_path):
    running = open_recorded("05-head-height-feed-and-force", tmp_path / "a.jsonl", "bench-07")
    running.press("supply.isolator")
    assert LEFT not in [each.why for each in proposals(tmp_path, "bench-07")]
    running.close()

    assert proposals(tmp_path, "bench-07")[0].why == LEFT


def test_what_is_due_again_comes_mixed(monkeypatch):
    """Two drills of one skill are not proposed one after the other where another skill is due as well."""
    day = date(2026, 1, 10)
    skills = {name: frozenset(each.skills) for name, each in library_entries()}
    drills = [name for name, each in library_entries() if each.mode == "drill"]
    done = [Done(day, name, "", 10, passed=False) for name in drills]
    monkeypatch.setattr("sim.debrief.proposals.done_in", lambda _folder: done)

    found = prospect(Path("/nowhere"), today=day).proposals
    again = [each.scenario for each in found if str(each.why).startswith("Once more today")]
    rows = due_by(done, day)
    urgent = list(dict.fromkeys(each.scenario for each in rows if each.scenario))[: len(again)]

    assert sorted(again) == sorted(urgent)
    assert tuple(again) == mixed([(name, skills[name]) for name in urgent])
    assert again != urgent


def test_the_lessons_are_proposed_in_the_order_of_their_numbers_until_each_is_passed(monkeypatch):
    done, day = [], date(2026, 1, 10)
    monkeypatch.setattr("sim.debrief.proposals.done_in", lambda _folder: done)
    lessons = sorted(name for name, each in library_entries() if each.mode == "lesson")

    for name in lessons:
        found = prospect(Path("/nowhere"), today=day).proposals[0]
        assert found.scenario == name
        done.append(Done(day, name, "", 90, passed=True, practice=name.startswith("04")))

    assert prospect(Path("/nowhere"), today=day).proposals[0].scenario not in lessons[:3]


def test_what_is_due_again_is_not_practised_with_a_lesson_far_ahead_on_the_path(monkeypatch):
    day = date(2026, 1, 10)
    done = [Done(day, "01-power-up-and-stops", "", 90, passed=True),
            Done(day, "posts-come-out-short", "", 70, passed=True)]  # fmt: skip
    monkeypatch.setattr("sim.debrief.proposals.done_in", lambda _folder: done)

    found = [each.scenario for each in prospect(Path("/nowhere"), today=day).proposals]

    assert "17-first-piece-right" not in found
    assert "02-two-hand-start" in found


def test_the_best_of_a_scenario_is_passed_when_it_once_was_whatever_its_points():
    def done(scenario, score, passed, who=""):
        return Done(date(2026, 1, 10), scenario, who, score, passed)

    sessions = (
        done("07-coolant", 90, passed=False),  # with points, and not as it was to be learnt
        done("13-mitre", 62, passed=True), done("13-mitre", 95, passed=False),
        done("12-bundles", 99, passed=True, who="kestrel"),
    )  # fmt: skip
    assert best_of(each for each in sessions if not each.who) == {
        "07-coolant": Best(90, passed=False),
        "13-mitre": Best(95, passed=True),
    }
