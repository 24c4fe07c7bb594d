"""A session under way in the window: its clock, its hands, its points, and what was last said.

The wall clock gives microseconds, the session is advanced by them, and nothing else drives it.
Imports the session, the pacer and `hands`, `points`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from sim.drill.session import Answer, Event, Session
from sim.errors import DrycycleError
from sim.kernel.pacing import Pacer
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.view.controls import Typed
from sim.view.desk_rows import CAPS, TITLES
from sim.view.hands import Hands
from sim.view.hearing import Ears
from sim.view.last_minute import Trace
from sim.view.points import Points
from sim.view.words import say

FIRST_CHOSEN: Final = (
    "K1", "Q1", "B2", "B33", "B34", "B21", "B22", "Y22", "Y21", "B11", "Y12", "Y11",
)  # fmt: skip
_SETTING: Final = re.compile(r"Set (\S+) to (.*)\.")
SPEEDS: Final = (0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)


@dataclass
class Play:
    """One session in the window."""

    session: Session
    hands: Hands = field(init=False)
    points: Points = field(init=False)
    trace: Trace = field(init=False)
    ears: Ears = field(init=False)
    captions: bool = True
    paused: bool = True
    speed: float = 1.0
    tab: str = "brief"
    group: str = "chosen"  # of wires on the signal sheet
    chosen: set[str] = field(default_factory=lambda: set(FIRST_CHOSEN))
    marked: set[str] = field(default_factory=set)  # picked on the picture
    cause: str = ""  # chosen on the diagnosis sheet
    search: Typed = field(default_factory=Typed)
    changed: bool = False  # a sheet has other content than when it was built
    said: str = ""  # the answer to the last act that is no event
    _heard: int = 0  # events seen when it was said

    def __post_init__(self) -> None:
        self.hands = Hands(self.session)
        self.points = Points(self.session)
        self.trace = Trace(self.session.saw)
        self.ears = Ears(self.session, self.trace)
        self._pacer = Pacer()

    def tick(self) -> None:
        """Let the simulated time pass that this frame is worth."""
        self._pacer.speed = min(self.speed, 1.0) if self.hands.two_handing else self.speed
        passed_us = self._pacer.frame_us()
        if not self.paused and not self.session.over:
            self.session.advance_us(passed_us)

    def go(self, tab: str) -> None:
        """Go to another sheet; going to the desk starts the clock."""
        if tab == "desk" and self.tab == "brief" and self.session.now_s == 0.0:
            self.paused = False
        if tab != self.tab:
            self.hands.let_go()
        self.tab = tab
        self.changed = True

    def refresh(self) -> None:
        """Have the sheet built anew."""
        self.changed = True

    def choose_cause(self, name: str) -> None:
        """Choose a cause on the diagnosis sheet."""
        self.cause = name
        self.changed = True

    def show_group(self, group: str) -> None:
        """Show another list of wires."""
        self.group = group
        self.changed = True

    def choose_signal(self, tag: str) -> None:
        """Put a wire on the chosen list, or take it off."""
        self.chosen ^= {tag}
        self.changed = True

    def show_signal(self, tag: str) -> None:
        """Show the wire of a device that was picked on the picture."""
        self.chosen.add(tag)
        self.marked = {tag}
        self.group = "chosen"
        self.changed = True

    def change_speed(self, step: int) -> None:
        """Go to the next faster or slower pace."""
        index = SPEEDS.index(self.speed) + step
        self.speed = SPEEDS[min(max(index, 0), len(SPEEDS) - 1)]

    def toggle_pause(self) -> None:
        """Stop the time, or let it go on."""
        self.paused = not self.paused

    def say(self, text: str) -> None:
        """Have the coach line say something until the next event."""
        self.said = text
        self._heard = len(self.session.events)

    def put(self, name: str, setting: float | str) -> None:
        """Set a set point or a dial; the answer goes to the coach line."""
        self._answer(lambda: self.session.set(name, setting))
        self.changed = name not in self.points.handled
        self.points.handled.add(name)

    def inspect(self, name: str) -> None:
        """Look at the machine in one of the listed ways."""
        self._answer(lambda: self.session.inspect(name))

    def lock_out(self, step: str) -> None:
        """Take one step of the lock-out."""
        self._answer(lambda: self.session.lock_out(step))

    def diagnose(self, name: str) -> None:
        """Name the cause."""
        self._answer(lambda: self.session.diagnose(name))

    def put_right(self, name: str) -> None:
        """Apply a remedy."""
        self._answer(lambda: self.session.put_right(name))

    def _answer(self, act: Callable[[], Answer]) -> None:
        try:
            answer = act()
        except DrycycleError as error:
            self.say(str(error))
            return
        self.say(answer.text)
        self.changed = True

    @property
    def last_event(self) -> Event | None:
        """The last event, None before there is one."""
        return self.session.events[-1] if self.session.events else None

    def coach(self) -> tuple[str, str]:
        """Return what kind of thing the coach line says, and the sentence."""
        events = self.session.events
        if self.said and self._heard == len(events):
            return "answer", self.said
        if not events:
            if self.paused:
                return "note", say("The clock stands. Read the brief, then begin.")
            return "note", say("Nothing has happened yet.")
        return events[-1].kind, event_words(events[-1])


def event_words(event: Event) -> str:
    """Return what an event says, with the key's own words instead of its name."""
    setting = _SETTING.fullmatch(event.text)
    if setting is not None and setting[1] in SET_POINTS:
        row = SET_POINTS[setting[1]]
        title = say(row.title)
        return f"{title[0].upper()}{title[1:]}: {say(setting[2])} {row.unit}".strip() + "."
    name, colon, rest = event.text.partition(":")
    cap = CAPS.get(name)
    if cap is None:
        return event.text
    where = say(TITLES[name.partition(".")[0]])
    return f"{where}, {say(cap.words)}{colon}{rest}" if colon else f"{where}: {say(cap.words)}."


def clock_words(at_us: int) -> str:
    """Return simulated time as minutes and seconds."""
    seconds = at_us // 1_000_000
    return f"{seconds // 60}:{seconds % 60:02d}"
