"""The real program in a real window: a drill and a lesson done by mouse only, and by keyboard only.

Hands go through the X server. What is on the screen, and how the saw stands, the program itself
writes down (`watched_window`), so that every wait is for something that is seen and not for time to
pass; what was done is read from the record it wrote.
"""

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.debrief.debrief import debrief
from sim.records.settings import Settings, keep_settings
from sim.session.playback.replay import replay
from sim.trade.measuring import Ruling

_NEEDED = ("Xvfb", "xdotool", "openbox")
pytestmark = pytest.mark.skipif(
    not all(shutil.which(program) for program in _NEEDED), reason=f"needs {', '.join(_NEEDED)}"
)
_ROOT = Path(__file__).parents[2]
_DRILL = "posts-come-out-short"
_LESSON = "01-power-up-and-stops"
_PATIENCE_S = 240.0  # for one thing to be seen, on a machine that has much else to do
_LOOK_S = 0.01
_STROKE_S = 10.0  # for what one stroke does; then it is struck again


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    """An X server with a window manager, on a display of its own."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1440x900x24", "-nolisten", "tcp", "-noreset"],
        pass_fds=[write], stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(write)
    with os.fdopen(read) as said:
        name = f":{said.readline().strip()}"
    manager = _manager({**os.environ, "DISPLAY": name})
    try:
        yield name
    finally:
        for process in (manager, server):
            process.terminate()
            process.wait(10)


def _manager(env: dict[str, str]) -> subprocess.Popen[bytes]:
    """Return the window manager once it manages; on a busy machine it may not reach the server at first."""
    end_s = time.monotonic() + _PATIENCE_S
    manager = None
    while time.monotonic() < end_s:
        if manager is None or manager.poll() is not None:
            manager = subprocess.Popen(
                ["openbox", "--sm-disable"], env=env, stderr=subprocess.DEVNULL
            )
        # It is the manager that says how many desktops there are.
        told = subprocess.run(["xdotool", "get_num_desktops"], env=env, capture_output=True)
        if told.returncode == 0:
            return manager
        time.sleep(_LOOK_S)
    raise AssertionError("no window manager")


class RealWindow:
    """The program in its window, with a mouse and a keyboard."""

    def __init__(self, display: str, home: Path, scenario: str) -> None:
        self._scenario = scenario
        self._home = home
        self._file = home / "seen.json"
        self._env = {
            **os.environ, "DISPLAY": display, "SDL_VIDEODRIVER": "x11", "DRYCYCLE_HOME": str(home),
            "PYTHONPATH": str(_ROOT),
        }  # fmt: skip
        program = [sys.executable, "-m", "tests.view.watched_window", scenario, str(self._file)]
        self.process = subprocess.Popen(program, env=self._env, cwd=_ROOT)
        self.id = self._wait_for(self._find)
        self._wait_for(self._focus)
        self.until(lambda seen: seen["keyboard"] and seen["quiet"] >= 2)

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
            time.sleep(_LOOK_S)
        raise AssertionError(f"waited {_PATIENCE_S} s in vain")

    # What is on it -------------------------------------------------------------------------

    def seen(self):
        """Return what the window said after its last frame."""
        try:
            return json.loads(self._file.read_text(encoding="utf-8"))
        except FileNotFoundError:
            return {"keyboard": False, "quiet": 0, "hands": 0, "widgets": {}}

    def until(self, holds) -> None:
        """Wait until something is seen to hold."""
        self._wait_for(lambda: holds(self.seen()))

    def until_state(self, machine: str, *states: str) -> None:
        self.until(lambda seen: seen["states"][machine] in states)

    def hands_back(self) -> None:
        """Wait until the hands have done what they went for."""
        self.until(lambda seen: not seen["busy"])

    # Hands ---------------------------------------------------------------------------------

    def _hand(self, *words: str, lets_go: int = 1) -> None:
        """Do something that ends with hands let go; wait until the window has taken and shown it."""
        before = self.seen()["hands"]
        self._do(*words)
        self.until(lambda seen: seen["hands"] >= before + lets_go and seen["quiet"] >= 2)

    def _move_to(self, name: str) -> tuple[str, ...]:
        """Return how the pointer gets on a control, after turning the wheel until it is in sight."""
        self.until(lambda seen: name in seen["widgets"])
        notches, before = 1, None
        for _ in range(100):
            seen = self.seen()
            widget = seen["widgets"][name]
            if widget["seen"] == widget["rect"]:
                x, y, wide, high = widget["rect"]
                return ("mousemove", "--window", self.id, str(x + wide // 2), str(y + high // 2))
            left, top, _, high = seen["panes"][widget["pane"]]
            above, below = (
                top - widget["rect"][1],
                widget["rect"][1] + widget["rect"][3] - top - high,
            )
            if before is not None:  # how far one notch goes was seen
                notch = max(abs(widget["rect"][1] - before) // notches, 1)
                notches = max(max(above, below) // notch, 1)
            before = widget["rect"][1]
            point = ("mousemove", "--window", self.id, str(left + 5), str(top + high // 2))
            turn = ("click", "--repeat", str(notches), "--delay", "5", "5" if below > 0 else "4")
            self._hand(*point, *turn, lets_go=notches)
        raise AssertionError(f"the wheel does not bring {name} into sight")

    def click(self, *names: str) -> None:
        for name in names:
            self._hand(*self._move_to(name), "click", "1")

    def strike(self, *keys: str) -> None:
        for key in keys:
            self._hand("key", key)

    def type(self, text: str) -> None:
        self._hand("type", "--delay", "5", text, lets_go=len(text))

    def erase(self, letters: int) -> None:
        self._hand("key", "--delay", "5", *["BackSpace"] * letters, lets_go=letters)

    def start(self, letter: str) -> None:
        """Press the key of a start, and then both palm keys together."""
        self.strike(letter)
        self._hand("keydown", "x", "keydown", "p", "keyup", "x", "keyup", "p", lets_go=2)

    def start_by_mouse(self, key: str) -> None:
        """Leave a hand at a palm key, as sticky keys do, press the key of a start, and the other palm key."""
        self.click("key.palm.left", f"key.{key}", "key.palm.right")

    def hold_until(self, key: str, holds) -> None:
        """Hold a key until something is seen."""
        self._do("keydown", key)
        self.until(holds)
        self._hand("keyup", key)

    def tab_to(self, name: str) -> None:
        seen = self.seen()
        stops = seen["stops"]
        here = stops.index(seen["focus"]) if seen["focus"] in stops else -1
        steps = (stops.index(name) - here) % len(stops)
        self._hand("key", "--delay", "5", *["Tab"] * steps, lets_go=steps)
        assert self.seen()["focus"] == name, f"tab does not reach {name}"

    # What it did ---------------------------------------------------------------------------

    def record(self) -> Path:
        return next(self._home.glob(f"records/{self._scenario}-*.jsonl"))

    def closed(self) -> bool:
        return '"close":' in self.record().read_text(encoding="utf-8")

    def end(self) -> None:
        """Close the window as its owner does, who strikes again where nothing came of it.

        The window manager asks it to close.
        """

        def closes() -> bool:
            if self._focus():
                self._do("key", "--clearmodifiers", "alt+F4")
            try:
                self.process.wait(_STROKE_S)
            except subprocess.TimeoutExpired:
                return False
            return True

        end_s = time.monotonic() + _PATIENCE_S
        while not closes():
            assert time.monotonic() < end_s, "it does not close"

    def verdict(self):
        self._wait_for(self.closed)
        self.end()
        played = replay(self.record())
        assert played.same
        saw = played.session.saw
        self.harm = [str(each.sentence) for each in saw.consequences]  # told where a test fails
        self.band_m_min = saw.plant.band.dial.position * 60
        # One piece in some fifteen lies where a caliper leaves it open; at the saw one measures another then.
        last = played.session.measuring.readings[-1:]
        self.left_open = any(reading.verdict is Ruling.OPEN for reading in last)
        return debrief(played.session)


@pytest.fixture
def real(display, tmp_path, request):
    scenario, sticky = request.param
    keep_settings(Settings(sticky=sticky, sound="off"))
    window = RealWindow(display, tmp_path, scenario)
    try:
        yield window
    finally:
        if window.process.poll() is None:
            window.process.kill()
            window.process.wait(10)


def _up(seen) -> bool:
    return seen["states"]["head"] == "UP"


def _at_pace(seen) -> bool:
    return seen["states"]["band"] == "RUNNING" and seen["band_m_min"] >= _CARD_M_MIN


def _cut(seen) -> bool:
    return seen["pieces"] >= 1


def _held(seen) -> bool:
    return seen["held"]


_CARD_M_MIN = 84.0
_LOOKED_FOR = "length stop for play"


@pytest.mark.slow
@pytest.mark.parametrize("real", [(_DRILL, "on")], indirect=True)
def test_the_drill_is_done_by_mouse_only(real):
    real.click("brief.begin", "tab.inspect", "inspect.stop-play")
    real.hands_back()
    real.click("tab.diagnose", "cause.stop-from-below", "chosen.name", "chosen.mend")
    real.hands_back()
    real.click(
        "tab.console",
        "key.supply.isolator", "key.supply.reset", "key.supply.control_on", "key.head.raise",
    )  # fmt: skip
    real.until(_up)  # sticky keys hold the key
    real.click("key.head.raise")
    real.start_by_mouse("band.run")
    real.until_state("band", "RUNNING")
    real.click("bar.slower", "bar.slower")  # a busy machine lets go late
    real.click("key.band.faster")
    real.until(_at_pace)
    real.click("key.band.faster", "key.band.stop")
    real.click(*["bar.faster"] * 4)
    real.until_state("band", "STOPPED")
    real.click("key.mode.production")
    real.until_state("mode", "PRODUCTION")
    real.click("key.job.square", "key.job.reset")
    real.until_state("job", "IDLE")
    real.start_by_mouse("job.start")
    real.click("bar.faster", "bar.faster")  # twenty times as fast: a squaring cut and a piece
    real.until(_cut)
    real.click("key.job.hold")
    real.until(_held)
    real.click("tab.inspect", "inspect.caliper")
    real.hands_back()
    real.click("bar.finish", "ask.yes")
    verdict = real.verdict()
    assert verdict.passed or real.left_open, (real.harm, real.band_m_min, verdict.parts)
    assert verdict.good >= 1


@pytest.mark.slow
@pytest.mark.parametrize("real", [(_DRILL, "off")], indirect=True)
def test_the_drill_is_done_by_keyboard_only(real):
    real.tab_to("brief.begin")
    real.strike("Return", "F4")
    real.tab_to("inspect.search")
    real.type(_LOOKED_FOR)
    real.tab_to("inspect.stop-play")
    real.strike("Return")
    real.hands_back()
    real.strike("F6")
    real.tab_to("diagnose.search")
    real.type("wrong side")
    real.tab_to("cause.stop-from-below")
    real.strike("Return")
    real.tab_to("chosen.name")
    real.strike("Return")
    real.tab_to("chosen.mend")
    real.strike("Return")
    real.hands_back()
    real.strike("F2", "1", "2", "3")
    real.hold_until("y", _up)
    real.start("q")
    real.until_state("band", "RUNNING")
    real.strike("comma", "comma")  # a busy machine lets go late
    real.hold_until("w", _at_pace)
    real.strike("a", *["period"] * 4)
    real.until_state("band", "STOPPED")
    real.strike("9")
    real.until_state("mode", "PRODUCTION")
    real.strike("z", "i")
    real.until_state("job", "IDLE")
    real.start("o")
    real.strike("period", "period")
    real.until(_cut)
    real.strike("k")
    real.until(_held)
    real.strike("F4")
    real.tab_to("inspect.search")
    real.erase(len(_LOOKED_FOR))
    real.type("caliper")
    real.tab_to("inspect.caliper")
    real.strike("Return")
    real.hands_back()
    real.tab_to("bar.finish")
    real.strike("Return")
    real.tab_to("ask.yes")
    real.strike("Return")
    verdict = real.verdict()
    assert verdict.passed or real.left_open, (real.harm, real.band_m_min, verdict.parts)
    assert verdict.good >= 1


@pytest.mark.parametrize("real", [(_DRILL, "off")], indirect=True)
def test_the_window_can_be_resized_and_closed(real):
    # It opens as large as the screen; two clicks on its title bar let it have another size.
    real._do("mousemove", "500", "8", "click", "--repeat", "2", "--delay", "60", "1")
    for wide, high in ((1000, 640), (1400, 860)):
        real._do("windowsize", "--sync", real.id, str(wide), str(high))
        real.until(lambda seen, wide=wide: _rightmost(seen) in range(wide - 60, wide + 1))
    assert real.process.poll() is None
    real.end()
    assert real.process.returncode == 0
    assert real.closed()  # the record of a window that was closed is whole


def _rightmost(seen) -> int:
    return max(x + wide for x, _, wide, _ in (w["seen"] for w in seen["widgets"].values()))


@pytest.mark.parametrize("real", [(_LESSON, "on")], indirect=True)
def test_the_first_lesson_is_done_by_mouse_only(real):
    real.click("brief.begin", "tab.inspect", "inspect.band-over-bar")
    real.hands_back()
    real.click("tab.console")
    real.click("key.supply.isolator", "key.supply.reset", "key.supply.control_on")
    real.click("key.head.raise")  # sticky keys hold it
    real.until(_up)
    real.click("key.head.raise", "bar.faster", "bar.faster")
    real.start_by_mouse("band.run")
    real.until_state("band", "RUNNING")
    real.click("key.supply.trip_line")
    real.until(_at_rest)
    real.click("key.supply.trip_line", "key.band.run", "key.supply.reset")
    real.click("key.supply.emergency_stop")
    real.until_state("supply", "TRIPPED")
    real.click("key.supply.emergency_stop")
    real.click("key.supply.reset", "key.supply.control_on", "key.job.clear", "key.head.raise")
    real.until(_done)
    real.click("bar.finish")
    assert real.verdict().passed


@pytest.mark.slow
@pytest.mark.parametrize("real", [(_LESSON, "off")], indirect=True)
def test_the_first_lesson_is_done_by_keyboard_only(real):
    real.tab_to("brief.begin")
    real.strike("Return", "F4")
    real.tab_to("inspect.search")
    real.type("from the bar up")
    real.tab_to("inspect.band-over-bar")
    real.strike("Return")
    real.hands_back()
    real.strike("F2", "1", "2", "3")
    real.hold_until("y", _up)
    real.strike("period", "period")
    real.start("q")
    real.until_state("band", "RUNNING")
    real.strike("4")
    real.until(_at_rest)
    real.strike("4", "q", "2", "F12")
    real.until_state("supply", "TRIPPED")
    real.strike("F12", "2", "3", "6")
    real.hold_until("y", _done)
    real.tab_to("bar.finish")
    real.strike("Return")
    assert real.verdict().passed


def _at_rest(seen) -> bool:
    return seen["states"]["band"] == "STOPPED" and seen["band_m_min"] == 0


def _done(seen) -> bool:
    return seen["step"] >= seen["steps"]
