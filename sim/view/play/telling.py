"""What the coach line says: the coach's remark where there is a coach, else the last event.

A remark gives way to the last event when the run has moved on: some seconds are past, and the control
no longer stands as it stood.

It calls keys by the words on their caps and set points by their titles; the session knows neither.
"""

from collections.abc import Iterable
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.records.kinds import EventKind
from sim.session.kept.heard import Event
from sim.session.kept.told import (
    KEY_REFUSED,
    KEY_TAKEN,
    LET_GO,
    LET_GO_TO_WORK,
    SET_TO,
    SET_TO_WORD,
    TYPED_ACTS,
)
from sim.session.session import Session
from sim.teaching.coach import Coach
from sim.units import US
from sim.view.play.console_rows import CAPS, TITLES
from sim.view.play.typed_words import in_window
from sim.words.fields import Told, Value, entry, part, parts
from sim.words.message import NOTHING, Message, row, sentences

_TAKEN: Final = row("window.key.taken", "{part}: {cap}.", part=part(), cap=part())
_REFUSED: Final = row(
    "window.key.refused", "{part}, {cap}: {why}", part=part(), cap=part(), why=part()
)
_LET_GO: Final = {
    LET_GO.key: row(
        "window.key.let-go", "You let go of {part} {cap}, for you left the console: {what}",
        part=part(), cap=part(), what=part(),
    ),
    LET_GO_TO_WORK.key: row(
        "window.key.let-go.to-work", "You let go of {part} {cap}, for no hand was left for it: {what}",
        part=part(), cap=part(), what=part(),
    ),
}  # fmt: skip
_KEY: Final = row("window.key.called", "{part} {cap}", part=part(), cap=part())
_OFF_FOR_SHEET: Final = row(
    "window.key.let-go.sheet", "You let go of {keys}, for you went to another sheet.", keys=parts(" and ")
)  # fmt: skip
_SET: Final = row("window.set", "{title}: {setting}.", title=part(capital=True), setting=part())
_DIALLED: Final = row(
    "window.dialled", "{title}: {setting}.", title=part(capital=True), setting=entry()
)


LASTS_S: Final = 10.0  # of a remark at the pace of the clock, so that it can be read; a choice


class Telling:
    """One session's coach line."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._coach = Coach(session)
        self._seen = len(session.heard.events)
        self.kind = "note"
        self.said: Told = NOTHING
        self._remarked_us: int | None = None  # when the coach said what stands there
        self._image: dict[str, object] = {}  # of the control, then

    def update(self) -> None:
        """Take up what has just happened, as a follower of the session."""
        self.listen()

    def listen(self, pace: float = 1.0) -> None:
        """Take up what has happened since the last call.

        Args:
            pace: Seconds of the run to one of the person who reads.
        """
        events = self._session.heard.events
        if len(events) > self._seen:
            new, self._seen = events[self._seen :], len(events)
            self._tell(events[-1])
            found = [each for each in new if each.kind is EventKind.FINDING]
            if found and found[-1] is not events[-1]:  # what a look told is what is to be read
                self.said = sentences(shown(found[-1]), shown(events[-1]))
        remark = self._coach.remark()
        if remark:
            self.kind, self.said = "coach", remark
            self._remarked_us = self._session.saw.clock.now_us
            self._image = dict(self._session.saw.controller.image)
        elif self._remarked_us is not None and self._moved_on(self._remarked_us, pace) and events:
            self._tell(events[-1])

    def _tell(self, event: Event) -> None:
        self.kind, self.said = event.kind, shown(event)
        self._remarked_us = None

    def _moved_on(self, since_us: int, pace: float) -> bool:
        saw = self._session.saw
        late = saw.clock.now_us - since_us > LASTS_S * max(pace, 1.0) * US
        return late and self._image != saw.controller.image

    def answer(self, said: Told, kind: str = "answer") -> None:
        """Say something that is no event, until the next one.

        Args:
            said: What.
            kind: The kind of event whose shape and colour it has; a tick is for success only.
        """
        self.listen()
        self.kind, self.said = kind, said
        self._remarked_us = None


def shown(event: Event) -> Message:
    """Return what an event says, with the words on a key's cap and the title of what was set."""
    said = event.message
    if said.key == SET_TO.key:
        return _setting(said)
    of_key = said.key in (KEY_TAKEN.key, KEY_REFUSED.key, *_LET_GO)
    cap = CAPS.get(str(said["action"])) if of_key else None
    if cap is None:
        return in_titles(said)
    title = TITLES[cap.key.partition(".")[0]]
    if said.key in _LET_GO:
        return _LET_GO[said.key](part=title, cap=cap.words, what=_in_titles(said["what"]))
    if said.key == KEY_TAKEN.key:
        return _TAKEN(part=title, cap=cap.words)
    return _REFUSED(part=title, cap=cap.words, why=said["why"])


def in_titles(said: Message) -> Message:
    """Return a message with what was set called by its plain name, and what is typed as the window does it."""
    if said.row in (SET_TO, SET_TO_WORD):
        return _setting(said)
    if said.row is TYPED_ACTS:
        listed = said["acts"]
        acts = listed if isinstance(listed, tuple) else ()
        return in_window(str(each["act"]) for each in acts if isinstance(each, Message))
    return Message(said.row, tuple((field, _in_titles(value)) for field, value in said.values))


def _in_titles(value: Value) -> Value:
    if isinstance(value, tuple):
        return tuple(in_titles(each) if isinstance(each, Message) else each for each in value)
    return in_titles(value) if isinstance(value, Message) else value


def _setting(said: Message) -> Message:
    """Return what was set to what, by the plain name of the set point or the counter."""
    name, setting = str(said["name"]), said["setting"]
    point, dial = SET_POINTS.get(name), DIALS.get(name)
    if point is not None and isinstance(setting, Message):  # a word, in the reader's language
        return _SET(title=point.title, setting=setting)
    if point is not None and isinstance(setting, str | int | float):
        return _SET(title=point.title, setting=point.told(setting))
    return said if dial is None else _DIALLED(title=dial.title, setting=setting)


def off_for_sheet(keys: Iterable[str]) -> Message:
    """Return that hands came off keys because another sheet was opened."""
    called = [CAPS[key] for key in keys]
    titles = [TITLES[cap.key.partition(".")[0]] for cap in called]
    return _OFF_FOR_SHEET(
        keys=tuple(_KEY(part=at, cap=cap.words) for at, cap in zip(titles, called, strict=True))
    )
