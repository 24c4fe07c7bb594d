"""The real program in a real window: a drill done by mouse only, and once more by keyboard only.

A twin of the window in this process is given the same events, so that the test knows where every
control is; what the real one did is read from the record it wrote.
"""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.drill.debrief import debrief
from sim.drill.replay import replay
from sim.view.settings import Settings, keep_settings

from .conftest import Person, person_at

_NEEDED = ("Xvfb", "xdotool", "openbox")
pytestmark = pytest.mark.skipif(
    not all(shutil.which(program) for program in _NEEDED), reason=f"needs {', '.join(_NEEDED)}"
)
_ROOT = Path(__file__).parents[2]
_DRILL = "posts-come-out-short"
_LESSON = "01-power-up-and-stops"
_PROGRAM = "from sim.view.app import run; raise SystemExit(run({scenario!r}))"
_PATIENCE_S = 60.0


@pytest.fixture
def display() -> Iterator[str]:
    """An X server with a window manager, on a display of its own."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1440x900x24", "-nolisten", "tcp"],
        pass_fds=[write], stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(write)
    with os.fdopen(read) as said:
        name = f":{said.readline().strip()}"
    manager = subprocess.Popen(
        ["openbox", "--sm-disable"], env={**os.environ, "DISPLAY": name}, stderr=subprocess.DEVNULL
    )
    try:
        yield name
    finally:
        for process in (manager, server):
            process.terminate()
            process.wait(10)


class RealWindow:
    """The program in its window, with a mouse and a keyboard."""

    def __init__(self, display: str, home: Path, twin: Person, scenario: str) -> None:
        self.twin = twin
        self._scenario = scenario
        self._home = home
        self._env = {
            **os.environ, "DISPLAY": display, "SDL_VIDEODRIVER": "x11", "DRYCYCLE_HOME": str(home),
            "PYTHONPATH": str(_ROOT),
        }  # fmt: skip
        self.process = subprocess.Popen(
            [sys.executable, "-c", _PROGRAM.format(scenario=scenario)], env=self._env, cwd=_ROOT
        )
        self.id = self._wait_for(self._find)
        self._wait_for(self._focus)
        time.sleep(0.5)

    def _do(self, *words: str) -> str:
        done = subprocess.run(
            ["xdotool", *words],
            env=self._env,
            check=True,
            capture_output=True,
            text=True,
            timeout=20,
        )
        return done.stdout.strip()

    def _find(self) -> str:
        try:
            found = self._do("search", "--onlyvisible", "--pid", str(self.process.pid))
        except subprocess.CalledProcessError:
            return ""
        return found.splitlines()[-1] if found else ""

    def _focus(self) -> bool:
        try:
            self._do("windowfocus", self.id)
            return self._do("getwindowfocus") == self.id
        except subprocess.CalledProcessError:  # not mapped yet
            return False

    def _wait_for(self, what):
        end_s = time.monotonic() + _PATIENCE_S
        while time.monotonic() < end_s:
            found = what()
            if found:
                return found
            assert self.process.poll() is None, "the program ended by itself"
            time.sleep(0.2)
        raise AssertionError(f"waited {_PATIENCE_S} s in vain for {what.__name__}")

    # Hands, on the real window and on its twin ---------------------------------------------

    def _move_to(self, name: str) -> None:
        """Put the pointer on a control, turning the wheel over its pane until it is in sight."""
        for _ in range(200):
            widget = self.twin.widget(name)
            if widget.seen == widget.rect:
                break
            pane = self.twin.app.stage.page.scrolls.panes[widget.pane]
            down = widget.rect.bottom > pane.window.bottom
            place = (pane.window.left + 5, pane.window.centery)
            self._point(place)
            self._do("click", "5" if down else "4")
            self.twin.app.stage.wheel(place, -1 if down else 1)
            time.sleep(0.03)
        else:
            raise AssertionError(f"the wheel does not bring {name} into sight")
        self._point(widget.rect.center)

    def _point(self, place: tuple[int, int]) -> None:
        self._do("mousemove", "--window", self.id, str(place[0]), str(place[1]))

    def click(self, name: str) -> None:
        self._move_to(name)
        self._do("click", "1")
        self.twin.click(name)
        time.sleep(0.25)

    def strike(self, *keys: str) -> None:
        for key in keys:
            self._do("key", key)
            self.twin.strike({"Return": "return", "Tab": "tab"}.get(key, key.lower()))
            time.sleep(0.12)

    def type(self, text: str) -> None:
        self._do("type", "--delay", "60", text)
        self.twin.type(text)
        time.sleep(0.2)

    def start(self, letter: str) -> None:
        self._do("keydown", "space", "keydown", letter)
        time.sleep(0.1)
        self._do("keyup", letter, "keyup", "space")
        self.twin.start(letter)
        time.sleep(0.2)

    def hold_key(self, key: str, seconds: float) -> None:
        self._do("keydown", key)
        time.sleep(seconds)
        self._do("keyup", key)

    def tab_to(self, name: str) -> None:
        for _ in range(len(self.twin.app.stage.stops()) + 1):
            if self.twin.app.stage.focus == name:
                return
            self.strike("Tab")
        raise AssertionError(f"tab does not reach {name}")

    # What it did ---------------------------------------------------------------------------

    def record(self) -> Path:
        return next(self._home.glob(f"records/{self._scenario}-*.jsonl"))

    def closed(self) -> bool:
        return '"close":' in self.record().read_text(encoding="utf-8")

    def end(self) -> None:
        """Close the window as its owner does."""
        self._do("key", "--clearmodifiers", "alt+F4")  # the window manager asks it to close
        self.process.wait(20)

    def verdict(self):
        self._wait_for(self.closed)
        self.end()
        played = replay(self.record())
        assert played.same
        return debrief(played.session)


@pytest.fixture
def real(display, tmp_path, request):
    scenario, sticky = request.param
    settings = Settings(sticky=sticky, sound="off")
    keep_settings(settings)
    twin = person_at(scenario=scenario)
    twin.app.change_settings(settings)
    window = RealWindow(display, tmp_path, twin, scenario)
    try:
        yield window
    finally:
        if window.process.poll() is None:
            window.process.kill()
            window.process.wait(10)


@pytest.mark.parametrize("real", [(_DRILL, "on")], indirect=True)
def test_the_drill_is_done_by_mouse_only(real):
    for name in (
        "brief.begin", "tab.inspect", "inspect.stop-play", "tab.diagnose",
        "cause.counter-from-below", "chosen.name", "chosen.mend", "tab.desk",
        "key.supply.isolator", "key.supply.two_hand", "key.supply.control_on",
        "key.head.lift",
    ):  # fmt: skip
        real.click(name)
    time.sleep(2)  # the head comes up; sticky keys hold the key
    for name in ("key.head.lift", "key.supply.two_hand", "key.band.start"):
        real.click(name)
    time.sleep(3)
    real.click("key.band.faster")
    time.sleep(6.5)
    for name in ("key.band.faster", "key.band.stop"):
        real.click(name)
    time.sleep(4)
    for name in ("key.job.arm", "key.supply.two_hand", "key.job.begin_on_trim"):
        real.click(name)
    for _ in range(4):
        real.click("bar.faster")
    time.sleep(12)  # twenty times as fast: a trim cut and a piece
    real.click("bar.finish")
    verdict = real.verdict()
    assert verdict.passed, verdict.parts
    assert verdict.good >= 1


@pytest.mark.parametrize("real", [(_DRILL, "off")], indirect=True)
def test_the_drill_is_done_by_keyboard_only(real):
    real.tab_to("brief.begin")
    real.strike("Return", "F4")
    real.tab_to("inspect.search")
    real.type("length stop for play")
    real.tab_to("inspect.stop-play")
    real.strike("Return", "F6")
    real.tab_to("diagnose.search")
    real.type("counter")
    real.tab_to("cause.counter-from-below")
    real.strike("Return")
    real.tab_to("chosen.name")
    real.strike("Return")
    real.tab_to("chosen.mend")
    real.strike("Return", "F2", "1")
    real.start("2")
    real.hold_key("y", 2.0)
    real.start("q")
    time.sleep(3)
    real.hold_key("w", 6.5)
    real.strike("a")
    time.sleep(4)
    real.strike("i")
    real.start("o")
    for _ in range(4):
        real._do("key", "period")
    time.sleep(12)
    real.tab_to("bar.finish")
    real.strike("Return")
    verdict = real.verdict()
    assert verdict.passed, verdict.parts
    assert verdict.good >= 1


@pytest.mark.parametrize("real", [(_DRILL, "off")], indirect=True)
def test_the_window_can_be_resized_and_closed(real):
    real._do("windowsize", "--sync", real.id, "1000", "640")
    time.sleep(1.0)
    real._do("windowsize", "--sync", real.id, "1400", "860")
    time.sleep(1.0)
    assert real.process.poll() is None
    real.end()
    assert real.process.returncode == 0
    assert real.closed()  # the record of a window that was closed is whole


@pytest.mark.parametrize("real", [(_LESSON, "on")], indirect=True)
def test_the_first_lesson_is_done_by_mouse_only(real):
    for name in ("brief.begin", "tab.inspect", "inspect.band-over-bar", "tab.desk"):
        real.click(name)
    for name in ("key.supply.isolator", "key.supply.two_hand", "key.supply.control_on"):
        real.click(name)
    real.click("key.head.lift")  # sticky keys hold it
    time.sleep(3)
    for name in ("key.head.lift", "key.supply.two_hand", "key.band.start"):
        real.click(name)
    time.sleep(3)
    real.click("key.supply.drive_stop")
    time.sleep(5)
    for name in ("key.supply.two_hand", "key.band.start", "key.supply.reset"):
        real.click(name)
    real.click("key.supply.emergency_stop")
    time.sleep(1)
    real.click("key.supply.emergency_stop")
    for name in ("key.supply.two_hand", "key.supply.control_on", "key.head.lift"):
        real.click(name)
    time.sleep(3)
    real.click("bar.finish")
    assert real.verdict().passed


@pytest.mark.parametrize("real", [(_LESSON, "off")], indirect=True)
def test_the_first_lesson_is_done_by_keyboard_only(real):
    real.tab_to("brief.begin")
    real.strike("Return", "F4")
    real.tab_to("inspect.search")
    real.type("from the bar up")
    real.tab_to("inspect.band-over-bar")
    real.strike("Return", "F2", "1")
    real.start("2")
    real.hold_key("y", 3.0)
    real.start("q")
    time.sleep(3)
    real.strike("4")
    time.sleep(5)
    real.start("q")
    real.strike("3", "0", "0")
    real.start("2")
    real.hold_key("y", 3.0)
    real.tab_to("bar.finish")
    real.strike("Return")
    assert real.verdict().passed
