"""What the coach line says: the coach's remark where there is a coach, else the last event in words.

Imports `drill` for coach and events, the desk's words, and the translation.
"""

import re
from typing import Final

from sim.drill.coach import Coach
from sim.drill.session import Event, Session
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.view.desk_rows import CAPS, TITLES
from sim.view.words import say

_SETTING: Final = re.compile(r"Set (\S+) to (.*)\.")


class Telling:
    """One session's coach line."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._coach = Coach(session)
        self._seen = len(session.events)
        self.kind = "note"
        self.text = ""

    def listen(self) -> None:
        """Take up what has happened since the last call."""
        events = self._session.events
        if len(events) > self._seen:
            self._seen = len(events)
            self.kind, self.text = events[-1].kind, event_words(events[-1])
        remark = self._coach.remark()
        if remark:
            self.kind, self.text = "coach", remark

    def answer(self, text: str) -> None:
        """Say something that is no event, until the next one."""
        self.listen()
        self.kind, self.text = "answer", text


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
