"""Does the lines of an act by the window's own input handling, without a screen.

Mouse and keyboard events go to the window as they come from a hand; what hands are busy with is let
pass by the next frame. Not by the window go waiting, what a second person does, and the autopilot: they
are no keys of it.
"""

from collections.abc import Callable
from typing import Any, Final

from pygame import Surface

from sim.control.dials import BY_NAME as DIALS
from sim.faults.spares import SPARES
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.records.settings import Settings
from sim.session.known import mode_key
from sim.session.session import Session
from sim.text.typed.language import parse
from sim.text.typed.reading import TypedAct
from sim.view.pages.app import App, start_drawing
from sim.view.play.console_rows import CAPS
from sim.view.play.hands import LATCHES
from tests.view.conftest import Person

_SIZE: Final = (1280, 720)
_FORCE: Final = {"on": "on", "off": "off", "out": "free"}


class AtTheWindow:
    """Somebody at the window of a session that was opened elsewhere."""

    def __init__(self, session: Session) -> None:
        start_drawing()
        self.person = Person(App(Surface(_SIZE), None, settings=Settings(), language="en"))
        self.person.app.open(lambda: session)
        self._session = session

    def do(self, line: str) -> bool:
        """Do a line, if the window has a way to; return whether it has."""
        act = parse(line)
        assert act is not None, line
        does = _DOES.get(act.word)
        if does is None:
            return False
        self.person.play.paused = True  # time passes when a line says so
        stood = act.word == "set" and self._session.saw.read(act.names[0]) == act.setting
        does(self, act)
        self.person.hands_back()
        if not stood:  # a number that stands there already is not set again
            self._is_the_same(act)
        return True

    def _is_the_same(self, act: TypedAct) -> None:
        """Hold what the window did to what the line says: the same act with the same arguments."""
        same = _SAME.get(act.word)
        if same is not None:
            done = self._session.done.all[-1].act
            assert same(done) == (act.names[0] if act.names else "", act.setting), done

    # Keys ---------------------------------------------------------------------------------

    def _console(self) -> None:
        self.person.play.go("console")
        self.person.frame()

    def press(self, act: TypedAct) -> None:
        """Put a hand on keys by the keyboard; a latch is pressed and let go."""
        self._console()
        for key in act.names:
            if key not in LATCHES:
                self.person.key_down(CAPS[key].letter)
            elif key not in self._session.saw.held:
                self.person.strike(CAPS[key].letter)

    def release(self, act: TypedAct) -> None:
        """Take a hand off keys; a latch is turned back."""
        self._console()
        for key in act.names:
            if key not in LATCHES:
                self.person.key_up(CAPS[key].letter)
            elif key in self._session.saw.held:
                self.person.strike(CAPS[key].letter)

    def tap(self, act: TypedAct) -> None:
        """Strike keys."""
        self._console()
        for key in act.names:
            self.person.strike(CAPS[key].letter)

    def hold(self, act: TypedAct) -> None:
        """Hold a key down for a time."""
        self.press(act)
        if not self._session.over:
            self._session.advance(act.seconds)
        self.release(act)

    def palms(self, act: TypedAct) -> None:
        """Strike a start, and both palm keys after it."""
        self._console()
        self.person.start(CAPS[act.names[0]].letter)

    def turn(self, act: TypedAct) -> None:
        """Turn the mode switch."""
        self._console()
        self.person.strike(CAPS[mode_key(act.names[0])].letter)
        if not self._session.over:
            self._session.advance(0.5)

    # Hands --------------------------------------------------------------------------------

    def set(self, act: TypedAct) -> None:
        """Click a word on the walk round, or type a number and strike return."""
        name, setting = act.names[0], act.setting
        point = SET_POINTS.get(name)
        if point is not None and point.words:
            self._click("walk", f"walk.{name}.{setting}")
            return
        sheet, widget = ("console", name) if name in DIALS else ("walk", f"walk.{name}")
        self._click(sheet, f"{widget}.value")
        self.person.type(f"{setting}")
        self.person.strike("return")

    def inspect(self, act: TypedAct) -> None:
        """Click a look, or the meter of a wire."""
        name = act.names[0]
        if name.startswith("meter "):
            tag = name.removeprefix("meter ")
            self.person.play.show_signal(tag)
            self._click("signals", f"meter.{tag}")
        else:
            self._click("inspect", f"inspect.{name}")

    def fix(self, act: TypedAct) -> None:
        """Choose a cause, and have its remedy applied."""
        self._click("diagnose", f"cause.{act.names[0]}")
        self._click("diagnose", "chosen.mend")

    def swap(self, act: TypedAct) -> None:
        """Choose a cause that lies in a part, and have that exchanged."""
        self.person.play.choose_cause(SPARES[act.names[0]].faults[0].name)
        self._click("diagnose", "chosen.swap")

    def load(self, act: TypedAct) -> None:
        """Click the bar rack, at the way that was typed."""
        self._click("walk", ".".join(("walk.load", *act.names)))

    def lock_out(self, act: TypedAct) -> None:
        """Click a step."""
        self._click("lockout", f"lockout.{act.names[0]}")

    def force(self, act: TypedAct) -> None:
        """Click a force on the bench."""
        self.person.play.show_part("meddle")
        self._click("bench", f"force.{act.names[0]}.{_FORCE[act.names[1]]}")

    def _click(self, sheet: str, widget: str) -> None:
        self.person.play.go(sheet)
        self.person.frame()
        place = self.person.mouse_down(widget)
        self.person.mouse_up(place)


_DOES: Final[dict[str, Callable[[AtTheWindow, TypedAct], None]]] = {
    "press": AtTheWindow.press, "release": AtTheWindow.release, "tap": AtTheWindow.tap,
    "hold": AtTheWindow.hold, "palms": AtTheWindow.palms, "turn": AtTheWindow.turn,
    "set": AtTheWindow.set, "inspect": AtTheWindow.inspect, "fix": AtTheWindow.fix, "swap": AtTheWindow.swap,
    "load": AtTheWindow.load, "lockout": AtTheWindow.lock_out, "force": AtTheWindow.force,
}  # fmt: skip
_SAME: Final[dict[str, Callable[[Any], tuple[str, object]]]] = {
    "set": lambda done: (done.name, done.setting), "inspect": lambda done: (done.name, ""),
    "fix": lambda done: (done.name, ""), "swap": lambda done: (done.name, ""), "lockout": lambda done: (done.step, ""),
    "load": lambda done: (done.kind.value.replace("load", ""), ""),
}  # fmt: skip
