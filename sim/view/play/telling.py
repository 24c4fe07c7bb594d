"""What the coach line says: the coach's remark where there is a coach, else the last event in words."""

import re
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.heard import Event
from sim.session.session import Session
from sim.teaching.coach import Coach
from sim.view.kit.words import retell, say
from sim.view.play.desk_rows import CAPS, TITLES

_SETTING: Final = re.compile(r"Set (\S+) to (.*)\.")


class Telling:
    """One session's coach line."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._coach = Coach(session)
        self._seen = len(session.heard.events)
        self.kind = "note"
        self.text = ""

    def listen(self) -> None:
        """Take up what has happened since the last call."""
        events = self._session.heard.events
        if len(events) > self._seen:
            self._seen = len(events)
            self.kind, self.text = events[-1].kind, event_words(events[-1])
        remark = self._coach.remark()
        if remark:
            self.kind, self.text = "coach", retell(remark)

    def answer(self, text: str) -> None:
        """Say something that is no event, until the next one."""
        self.listen()
        self.kind, self.text = "answer", retell(text)


def event_words(event: Event) -> str:
    """Return what an event says, with the key's own words instead of its name."""
    setting = _SETTING.fullmatch(str(event.message))
    if setting is not None:
        return _setting_words(setting[1], setting[2])
    if event.kind == "finding":
        return _finding(str(event.message))
    name, colon, rest = str(event.message).partition(":")
    cap = CAPS.get(name)
    if cap is None:
        return retell(str(event.message))
    where = say(TITLES[name.partition(".")[0]])
    if not colon:
        return f"{where}: {say(cap.words)}."
    return f"{where}, {say(cap.words)}: {retell(rest.strip())}"


def _setting_words(name: str, setting: str) -> str:
    """Return what was set to what, by the plain name of the set point or the counter."""
    row = SET_POINTS.get(name)
    title = say(str(row.title) if row else str(DIALS[name].title) if name in DIALS else name)
    unit = f" {row.unit}" if row and row.unit else ""
    return f"{title[0].upper()}{title[1:]}: {say(setting)}{unit}."


def _finding(text: str) -> str:
    """Return what was looked at and what was seen, each in words that are known by themselves."""
    title, colon, found = text.partition(": ")
    if say(title) == title:  # a meter's title is known with its wire only
        return retell(text)
    return f"{say(title)}{colon}{retell(found)}"


def clock_words(at_us: int) -> str:
    """Return simulated time as minutes and seconds."""
    seconds = at_us // 1_000_000
    return f"{seconds // 60}:{seconds % 60:02d}"
