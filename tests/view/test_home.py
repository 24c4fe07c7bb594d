"""Home begins or goes on, shows the path, and finds a scenario by report, words, level, and what was done before."""

import os
import subprocess
import sys
from datetime import date

import pytest

from sim.debrief.library_entries import GROUPS, PRACTICE, read_library, stands
from sim.debrief.progress import Done
from sim.records.settings import Settings
from sim.scenario.said_by_operator import GROUPS as SAID
from sim.scenario.said_by_operator import said_of
from sim.session.opening import library_entries
from sim.session.shelf import listed
from sim.view.pages.home_path import LEAST_PX, mark_of
from sim.view.pages.home_saw import HomeSaw

from .conftest import person_at

FIRST = "01-power-up-and-stops"


def _shown(person):
    person.frame()
    return {n.removeprefix("pick.") for n in person.app.stage.by_name if n.startswith("pick.")}


@pytest.fixture
def with_records(monkeypatch, tmp_path):
    """Return what has the records tell of some finished sessions."""

    def tell(*done, left=""):
        (tmp_path / "records").mkdir(exist_ok=True)
        (tmp_path / "records" / "one.jsonl").touch()
        monkeypatch.setattr("sim.debrief.proposals.done_in", lambda _folder: done)
        monkeypatch.setattr("sim.debrief.proposals.left_unfinished", lambda *_: left)

    return tell


def _done(name, score, *, passed):
    return Done(date(2026, 1, 10), name, "", score, passed=passed)


def test_every_scenario_can_be_picked_on_the_path_or_in_a_group():
    person = person_at()
    found = _shown(person)
    lessons = {name for name, each in library_entries() if each.mode == "lesson"}
    assert lessons < found
    for name in GROUPS:
        person.click(f"home.group.{name}")
        found |= _shown(person)
    assert found == {name for name, _ in library_entries()}


def test_a_drill_is_in_the_group_of_its_report_and_every_group_has_a_tile():
    assert set(GROUPS) == {PRACTICE, *SAID}
    person = person_at()
    of = {name: said_of(each.reported) for name, each in library_entries() if each.mode == "drill"}
    assert set(of.values()) == set(SAID)
    for group in SAID:
        person.click(f"home.group.{group}")
        drills = {name for name in _shown(person) if name in of}
        assert drills == {name for name, said in of.items() if said == group}
    assert of["posts-come-out-short"] == "length"
    assert of["nothing-lights-up"] == "power"
    assert {each.said for each in listed() if each.mode == "lesson"} == {""}


def test_one_key_begins_the_first_lesson():
    person = person_at()
    assert person.widget("home.go").label.startswith("Start here: Lesson 1: ")
    person.strike("return")
    assert person.session.origin.scenario == FIRST


def test_the_button_goes_on_with_what_was_left_and_else_with_what_is_next(with_records):
    with_records(_done(FIRST, 90, passed=True), left="07-coolant")
    label = person_at().widget("home.go").label
    assert label == "Go on: Lesson 7: Coolant. You left it before its end. It begins anew."
    with_records(_done(FIRST, 90, passed=False))
    person = person_at()
    assert person.widget("home.go").label.startswith("Go on: Lesson 1: ")
    person.click("home.go")
    assert person.session.origin.scenario == FIRST


def test_where_a_drill_is_gone_on_with_the_path_still_marks_its_next_lesson(with_records):
    lessons = read_library().lessons
    with_records(*(_done(each.name, 90, passed=True) for each in lessons if each.name[:2] != "07"),
                 left="posts-come-out-short")  # fmt: skip
    library = read_library()
    assert (library.next, library.next_lesson) == ("posts-come-out-short", "07-coolant")
    person = person_at()
    assert person.widget("home.told").face() == "07-coolant"
    assert person.app.stage.page.group == "length"


def test_a_station_tells_of_itself_under_the_pointer_and_by_the_keyboard_and_opens():
    person = person_at()
    told = person.widget("home.told").face
    assert told() == FIRST
    place = person.see("pick.03-load-and-clamp").seen.center
    person.app.stage.mouse_move(place)
    assert told() == "03-load-and-clamp"
    person.app.stage.mouse_move((1, 1))
    person.app.stage.go_to(person.widget("pick.02-two-hand-start"))
    assert told() == "02-two-hand-start"
    person.strike("right")
    assert told() == "03-load-and-clamp"
    person.strike("return")
    assert person.session.origin.scenario == "03-load-and-clamp"


@pytest.mark.parametrize("size", [(1280, 720), (1600, 900), (3840, 2160)])
def test_at_plain_text_whatever_a_hand_goes_to_is_44_px_wide_and_high(size):
    person = person_at(size)
    for widget in person.app.stage.active:
        if not widget.name.endswith(".bar"):
            assert min(widget.rect.size) >= LEAST_PX >= 44, widget.name


def test_the_saw_moves_once_all_is_loaded_where_it_is_seen_and_motion_is_wanted(monkeypatch):
    now_s = [100.0]
    monkeypatch.setattr("sim.view.pages.home_saw.wall_s", lambda: now_s[0])
    person = person_at()

    def pictures(seconds=1.0):
        for _ in range(round(seconds * 20)):
            now_s[0] += 0.05
            person.app.tick()
            person.app.stage.frame()
        return person.widget("home.saw").face()

    assert pictures() == -1  # nothing is loaded yet
    person.app.loaded = True
    first = pictures()
    assert 5 <= pictures() - first <= 10
    person.click("home.group.stands")  # which has most cards
    scrolls = person.app.stage.page.scrolls
    scrolls.set("home.all", 10_000)
    person.frame()
    assert person.widget("home.saw").seen.height <= 0
    out = pictures()
    assert pictures() == out
    scrolls.set("home.all", 0)
    person.frame()
    person.app.change_settings(Settings(motion="still"))
    still = pictures()
    assert pictures() == still


def test_when_its_job_is_done_the_saw_at_home_begins_another(monkeypatch):
    now_s = [100.0]
    monkeypatch.setattr("sim.view.pages.home_saw.wall_s", lambda: now_s[0])
    saw = HomeSaw()
    first = saw._session
    for _ in range(4000):
        now_s[0] += 0.3
        saw.tick()
        if saw._session is not first:
            break
    assert saw._session is not first
    assert first.saw.controller.job.state == "COMPLETE"


def test_a_skill_finds_its_scenarios():
    person = person_at()
    person.click("home.search")
    person.type("two-hand start")
    wanted = {n for n, s in library_entries() if "two-hand start" in s.skills}
    assert wanted
    assert wanted <= _shown(person)
    person.type(" xyzzy")
    assert _shown(person) == set()
    assert "home.none" in person.app.stage.by_name


def test_a_level_shows_its_own():
    person = person_at()
    person.click("home.level.3")
    assert _shown(person) == {n for n, s in library_entries() if s.level == 3}


def test_what_was_passed_is_done_and_the_rest_is_not(tmp_path):
    person = person_at()
    person.click("pick.rail-posts")
    person.click("bar.home")
    person.click("home.list.done")
    assert _shown(person) == set()  # broken off, not finished
    person.click("home.list.all")
    person.click("pick.rail-posts")
    person.app.finish()
    person.app.home()
    entry = next(e for e in person.app.stage.page.entries if e.name == "rail-posts")
    assert entry.best is not None
    person.click("home.list.new")
    assert ("rail-posts" in _shown(person)) is (entry.standing == "new")


def test_what_is_due_again_says_so_and_only_that(with_records):
    with_records(_done("posts-come-out-short", 90, passed=True), _done(FIRST, 90, passed=True))
    entries = {entry.name: entry for entry in read_library().entries}
    skills = {
        skill for name in (FIRST, "posts-come-out-short") for skill in entries[name].listed.skills
    }
    due = {each.name for each in entries.values() if each.due}

    assert entries["posts-come-out-short"].standing == "due"
    assert str(stands(entries["posts-come-out-short"])) == "passed, best 90, due again"
    assert all(skills.intersection(entries[name].listed.skills) for name in due)


def test_points_alone_tick_nothing_off(with_records):
    with_records(_done("07-coolant", 90, passed=False), _done("13-mitre", 62, passed=True))
    entries = {entry.name: entry for entry in read_library().entries}

    assert (entries["07-coolant"].best, entries["07-coolant"].passed) == (90, False)
    assert "tick" not in (mark_of(entries["07-coolant"]) or ())
    assert entries["13-mitre"].passed
    assert (entries["12-bundles"].best, entries["12-bundles"].standing) == (None, "new")
    labels = [person_at().widget(f"pick.{n}").label for n in ("07-coolant", "12-bundles")]
    assert "not passed, best 90" in labels[0]
    assert labels[1].endswith("not done yet")


def test_the_first_frame_needs_no_other_page_and_the_rest_is_loaded_after_it():
    program = (
        "import gc, sys, pygame\n"
        "gc.disable()\n"
        "from sim.view.pages import app, window\n"
        "app.start_drawing()\n"
        "shown = app.App(pygame.display.set_mode((1280, 720)))\n"
        "shown.stage.frame()\n"
        "rest = ('sim.debrief.debrief', 'sim.view.pages.saw_page', 'sim.view.pages.replay_page')\n"
        "assert not any(name in sys.modules for name in rest)\n"
        "for _ in window.load_the_rest(): pass\n"
        "assert all(name in sys.modules for name in rest) and gc.isenabled()\n"
    )
    environment = {**os.environ, "SDL_VIDEODRIVER": "dummy"}
    subprocess.run([sys.executable, "-c", program], check=True, env=environment)


def test_once_the_list_is_kept_the_first_frame_loads_no_gate_and_no_saw(tmp_path):
    program = (
        "import sys, pygame\n"
        "from sim.view.pages import app\n"
        "app.start_drawing()\n"
        "window = app.App(pygame.display.set_mode((1280, 720)))\n"
        "window.stage.frame()\n"
        "print(len(window.stage.page.entries), *sorted(sys.modules))\n"
    )
    environment = {
        **os.environ, "SDL_VIDEODRIVER": "dummy", "DRYCYCLE_CACHE": str(tmp_path / "kept"),
    }  # fmt: skip
    first, second = (
        subprocess.run(
            [sys.executable, "-c", program], check=True, env=environment, capture_output=True, text=True
        ).stdout.split("\n")[-2].split()
        for _ in range(2)
    )  # fmt: skip
    heavy = {"pydantic", "yaml", "sim.session.session", "sim.plant.plant", "sim.scenario.gate"}
    assert heavy <= set(first)
    assert not heavy & set(second)
    assert first[0] == second[0] == str(len(library_entries()))
