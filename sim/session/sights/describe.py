"""Words for how the machine stands: what somebody in front of it sees, part by part.

What only an inspection shows (the plunger, the backlash, what a gauge or a tachometer reads) is not said
here.

Never here: the lists and reports.
"""

from collections.abc import Callable
from typing import Final

from sim.logic.bench.force import banner
from sim.session.session import Session
from sim.session.sights import controller_words, machine_words, sounds
from sim.words.message import NOTHING, Message, plain

_WRECKED: Final = plain("seen.run.wrecked", "The run has ended: nobody would go on after this.")
_CLOSED: Final = plain("seen.run.closed", "The session is closed.")


def look(session: Session) -> tuple[Message, ...]:
    """Return sentences for every part of the machine, in the order in which a bar meets them."""
    return tuple(filter(None, (say(session) for say in _PARTS.values())))


def told(session: Session) -> dict[str, Message]:
    """Return by the names of the parts what is told without being asked: all but the mimic."""
    said = {part: say(session) for part, say in _PARTS.items() if part not in _ASKED}
    return {part: sentence for part, sentence in said.items() if sentence}


def _run(session: Session) -> Message:
    if session.saw.plant.site.wrecked:
        return _WRECKED
    return _CLOSED if session.closed else NOTHING


_SOUNDS, _MIMIC = "sounds", "mimic"
_ASKED: Final = (_MIMIC,)  # told on `look` only: it would be told with every motion
EVIDENCE: Final = (
    "lamps", "cutting vise", "shuttle vise", "shuttle", "band", "head", "coolant", "outfeed", "openings", _SOUNDS, _MIMIC,
)  # fmt: skip
"""The parts whose sight tells causes apart; the others show what hands have set."""


class InSight:
    """What is seen of the parts of EVIDENCE, in their order, as it is told; what stays is rounded once."""

    def __init__(self) -> None:
        self._exact: tuple[Message, ...] = ()
        self._told: tuple[Message, ...] = ()

    def of(self, session: Session) -> tuple[Message, ...]:
        """Return what is seen now."""
        exact = tuple([say(session) for say in _EVIDENCE])
        if exact != self._exact:
            self._exact, self._told = exact, tuple([each.rounded() for each in exact])
        return self._told


def in_sight(session: Session) -> tuple[Message, ...]:
    """Return what is seen of the parts of EVIDENCE, in their order, as it is told."""
    return InSight().of(session)


_PARTS: Final[dict[str, Callable[[Session], Message]]] = {
    "bench": lambda s: banner(s.saw),
    "supply": controller_words.supply,
    "mode": controller_words.mode,
    "lamps": controller_words.lamps,
    "bar": machine_words.bar,
    "cutting vise": lambda s: machine_words.vise("cutting", s.saw.plant.cutting_vise),
    "shuttle vise": lambda s: machine_words.vise("shuttle", s.saw.plant.shuttle_vise),
    "shuttle": machine_words.shuttle,
    "band": machine_words.band,
    "head": machine_words.head,
    "coolant": machine_words.coolant,
    "outfeed": machine_words.outfeed,
    "openings": machine_words.openings,
    "hook": machine_words.hook,
    _SOUNDS: sounds.sounds,
    _MIMIC: controller_words.mimic,
    "job": controller_words.job,
    "run": _run,
}
_EVIDENCE: Final = tuple(_PARTS[part] for part in EVIDENCE)
