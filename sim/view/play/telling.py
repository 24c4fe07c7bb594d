"""What the coach line says: the coach's remark where there is a coach, else the last event.

It calls keys by the words on their caps and set points by their titles; the session knows neither.
"""

from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.kept.heard import Event
from sim.session.kept.told import KEY_REFUSED, KEY_TAKEN, SET_TO
from sim.session.session import Session
from sim.teaching.coach import Coach
from sim.view.play.console_rows import CAPS, TITLES
from sim.words.fields import Told, entry, part
from sim.words.message import NOTHING, Message, row

_TAKEN: Final = row("window.key.taken", "{part}: {cap}.", part=part(), cap=part())
_REFUSED: Final = row(
    "window.key.refused", "{part}, {cap}: {why}", part=part(), cap=part(), why=part()
)
_SET: Final = row("window.set", "{title}: {setting}.", title=part(capital=True), setting=part())
_DIALLED: Final = row(
    "window.dialled", "{title}: {setting}.", title=part(capital=True), setting=entry()
)


class Telling:
    """One session's coach line."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._coach = Coach(session)
        self._seen = len(session.heard.events)
        self.kind = "note"
        self.said: Told = NOTHING

    def listen(self) -> None:
        """Take up what has happened since the last call."""
        events = self._session.heard.events
        if len(events) > self._seen:
            self._seen = len(events)
            self.kind, self.said = events[-1].kind, shown(events[-1])
        remark = self._coach.remark()
        if remark:
            self.kind, self.said = "coach", remark

    def answer(self, said: Told) -> None:
        """Say something that is no event, until the next one."""
        self.listen()
        self.kind, self.said = "answer", said


def shown(event: Event) -> Message:
    """Return what an event says, with the words on a key's cap and the title of what was set."""
    said = event.message
    if said.key == SET_TO.key:
        return _setting(said)
    cap = CAPS.get(str(said["action"])) if said.key in (KEY_TAKEN.key, KEY_REFUSED.key) else None
    if cap is None:
        return said
    title = TITLES[cap.key.partition(".")[0]]
    if said.key == KEY_TAKEN.key:
        return _TAKEN(part=title, cap=cap.words)
    return _REFUSED(part=title, cap=cap.words, why=said["why"])


def _setting(said: Message) -> Message:
    """Return what was set to what, by the plain name of the set point or the counter."""
    name, setting = str(said["name"]), said["setting"]
    point, dial = SET_POINTS.get(name), DIALS.get(name)
    if point is not None and isinstance(setting, str | int | float):
        return _SET(title=point.title, setting=point.told(setting))
    return said if dial is None else _DIALLED(title=dial.title, setting=setting)
