"""What can be heard at this moment, with the caption for each: the speaker plays it, the screen says it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from sim.plant.harm.consequences import Severity
from sim.session.session import Session
from sim.session.sights import sounds
from sim.session.sights.known import hides
from sim.signals import OUTPUTS
from sim.units import US
from sim.view.play.last_minute import LastMinute
from sim.view.play.readings import load_share, rubbed
from sim.view.play.synth import Note
from sim.words.message import plain
from sim.words.speech import tell

CAPTIONS: Final = {
    **sounds.CAPTIONS,
    **{
        name: plain(f"caption.{name}", words)
        for name, words in {
            "valve": "a valve clacks", "contactor": "a contactor clunks", "thud": "a heavy thud",
            "whip": "the band whips", "clang": "steel clangs", "creak": "metal creaks",
            "clatter": "teeth clatter", "rush": "something heavy comes down", "screech": "the teeth screech",
            "crackle": "an arc crackles", "fades": "all falls silent",
        }.items()
    },
}  # fmt: skip
_CONTACTORS: Final = frozenset(tag for tag in OUTPUTS if tag[0] in "KQ")
_LINGERS_US: Final = round(1.2 * US)  # a knock stays on the screen so long
_LEAST: Final = 0.35
_GRATES: Final = 0.5  # how much louder teeth are that only rub
_STEADY_HZ: Final = {
    sounds.BAND: 100.0, sounds.CUT: 180.0, sounds.PUMP: 75.0, sounds.COOLANT: 3.0,
    sounds.SQUEAL: 1400.0,
}  # fmt: skip
"""Where the plant has no pitch for it, or a drill keeps it back; of the pump by ear."""
_MAINS_HZ: Final = 100.0  # a motor that stands hums at twice the mains
_WHEEL_HZ: Final = 70.0  # of the band's hum at 1 m/s, by ear
_ROUGH: Final = {
    sounds.BAND: 0.15, sounds.CUT: 0.55, sounds.PUMP: 0.08, sounds.COOLANT: 1.0, sounds.SQUEAL: 0.2,
    sounds.HISS: 0.95, sounds.GROWL: 0.4, sounds.RATTLE: 0.75,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Knock:
    """Something short that was heard."""

    at_us: int
    name: str


class Ears:
    """Hears one session."""

    def __init__(
        self,
        session: Session,
        trace: LastMinute,
        shown: Callable[[], Mapping[str, Note]] = dict,
    ) -> None:
        self._session = session
        self._shown = shown  # what is heard of an accident while it is shown
        self._trace = trace
        self._noted = trace.noted
        self._harm = len(session.saw.consequences)
        self._recent: list[Knock] = []

    def notes(self) -> dict[str, Note]:
        """Return what goes on, with its loudness, pitch and roughness; in a drill only that it is heard."""
        shown = dict(self._shown())
        return shown if self._session.over else self._going_on() | shown

    def _going_on(self) -> dict[str, Note]:
        plant, machine = self._session.saw.plant, self._session.machine
        heard = {
            name: Note(_LEAST, _STEADY_HZ.get(name, _MAINS_HZ), _ROUGH.get(name, 0.0))
            for name in sounds.going_on(self._session)
        }
        if hides(self._session):
            return heard
        speed_m_s = plant.band.speed_m_s
        if sounds.BAND in heard:
            level = min(_LEAST + speed_m_s / machine.band_high_m_s, 1.0)
            heard[sounds.BAND] = Note(level, _WHEEL_HZ * speed_m_s, _ROUGH[sounds.BAND])
        for cut in heard.keys() & sounds.CUTS:
            rubs = rubbed(self._session)
            level = min(_LEAST + load_share(self._session) + _GRATES * rubs, 1.0)
            rough = min(_ROUGH[cut] + 0.4 * rubs, 1.0)
            heard[cut] = Note(level, speed_m_s / plant.blade.pitch_m, rough)
        return heard

    def knocks(self) -> list[Knock]:
        """Return what was heard since the last call, the oldest first.

        In a drill no valve and no contactor is heard: the terminal does not tell them, so nobody is
        credited with them.
        """
        now_us = self._session.saw.clock.now_us
        fresh = [
            Knock(at_us, "contactor" if tag in _CONTACTORS else "valve")
            for at_us, tag in self._trace.edges_since(self._noted)
            if not hides(self._session) and (tag in _CONTACTORS or tag.startswith("Y"))
        ]
        harm = self._session.saw.consequences
        fresh += [
            Knock(c.at_us, "thud")
            for c in harm[self._harm :]
            if c.row.severity in (Severity.DAMAGE, Severity.STOP)
        ]
        self._noted, self._harm = self._trace.noted, len(harm)
        self._recent = [k for k in (*self._recent, *fresh) if now_us - k.at_us < _LINGERS_US]
        return fresh

    def captions(self) -> tuple[str, ...]:
        """Return a caption for everything that is heard, each once."""
        shown = self._shown()
        goes_on = () if self._session.over else sounds.going_on(self._session)
        names = dict.fromkeys([*shown, *goes_on, *(knock.name for knock in self._recent)])
        return tuple(tell(CAPTIONS[name]) for name in names)
