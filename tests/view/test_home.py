"""Home finds a scenario by words, by level, and by what was done before."""

import os
import subprocess
import sys
from datetime import date

from sim.debrief.progress import Done
from sim.session.opening import library_entries
from sim.view.pages.library_entries import read_entries

from .conftest import person_at


def _shown(person):
    person.frame()
    return {n.removeprefix("pick.") for n in person.app.stage.by_name if n.startswith("pick.")}


def test_every_scenario_can_be_picked():
    assert _shown(person_at()) == {name for name, _ in library_entries()}


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


def test_points_alone_tick_nothing_off(monkeypatch, tmp_path):
    done = [Done(date(2026, 1, 10), "07-coolant", "", 90, passed=False),
            Done(date(2026, 1, 10), "13-mitre", "", 62, passed=True)]  # fmt: skip
    (tmp_path / "records").mkdir(exist_ok=True)
    (tmp_path / "records" / "one.jsonl").touch()
    monkeypatch.setattr("sim.debrief.progress.done_in", lambda _folder: done)
    monkeypatch.setattr("sim.debrief.progress.due_skills", frozenset)

    standing = {entry.name: (entry.best, entry.standing) for entry in read_entries()}

    assert standing["07-coolant"] == (90, "new")
    assert standing["13-mitre"] == (62, "done")
    assert standing["12-bundles"] == (None, "new")


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
