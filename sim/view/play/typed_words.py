"""Acts as the terminal has them typed, in the words of the window: keys by their caps, sheets by their tabs.

A hint puts its acts on the record as they are typed, whichever front end asked for it; here they are read in
the other one. Never here: which acts a hint names.
"""

from collections.abc import Callable, Iterable
from typing import Final

from sim.faults.catalogue import EVERY
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session import inspections, lockout
from sim.signals import BY_KEY
from sim.view.play.key_words import called
from sim.view.play.step_hint import (
    CONSOLE,
    DIAGNOSE,
    HOLD,
    INSPECT,
    KEEP,
    LET_GO,
    LOCK_OUT,
    LOOK,
    PALMS,
    PRESS,
    SET,
    TURN,
    WALK,
    by_sheet,
)
from sim.words.fields import part
from sim.words.message import Message, plain, row, sentences

_NAME_IT: Final = plain("window.typed.name", "choose the cause that is left, and name it")
_MEND: Final = row("window.typed.mend", "choose {fault}, and put it right", fault=part())
_AS_CARD: Final = plain("window.typed.ready", "set everything up as the card says")
_FINISH: Final = plain("window.typed.finish", "choose Finish")
_WAITS: Final = {
    "piece": plain("window.typed.wait.piece", "wait until a piece has fallen"),
    "job": plain("window.typed.wait.job", "wait until the job stands"),
    "still": plain("window.typed.wait.still", "wait until everything stands"),
}
_WAIT: Final = plain("window.typed.wait", "wait a little")

Said = tuple[Message, Message]  # the sheet, and what is done there


def in_window(acts: Iterable[str]) -> Message:
    """Return what does the same in the window as acts do that are typed."""
    return sentences(*by_sheet([_said(act) for act in acts if act != "faults"]))


def _said(act: str) -> Said:
    verb, _, rest = act.partition(" ")
    return _VERBS[verb](rest)


def _key(typed: str) -> Message:
    """Return what a key is called, whose part may be left out."""
    return called(next(k for k in BY_KEY if k == typed or k.endswith(f".{typed}")))


def _held(rest: str) -> Said:
    key, _, time = rest.partition(" ")
    return CONSOLE, HOLD(cap=_key(key), time=float(time))


def _set(rest: str) -> Said:
    called_, _, word = rest.partition(" ")
    point = SET_POINTS[called_]
    try:
        setting: float | str = float(word)
    except ValueError:
        setting = word
    return WALK, SET(title=point.title, setting=point.told(setting))


def _looked(rest: str) -> Said:
    look = inspections.find(rest)
    return INSPECT, LOOK(look=look.title) if look is not None else _WAIT


_VERBS: Final[dict[str, Callable[[str], Said]]] = {
    "tap": lambda key: (CONSOLE, PRESS(cap=_key(key))),
    "press": lambda key: (CONSOLE, KEEP(cap=_key(key))),
    "release": lambda key: (CONSOLE, LET_GO(cap=_key(key))),
    "hold": _held,
    "palms": lambda key: (CONSOLE, PALMS(cap=_key(key))),
    "turn": lambda mode: (CONSOLE, TURN(cap=_key(f"mode.{mode}"))),
    "wait": lambda what: (CONSOLE, _WAITS.get(what, _WAIT)),
    "auto": lambda _: (WALK, _AS_CARD),
    "set": _set,
    "inspect": _looked,
    "lockout": lambda step: (LOCK_OUT, LOOK(look=lockout.BY_NAME[step].title)),
    "fix": lambda fault: (DIAGNOSE, _MEND(fault=EVERY[fault].title)),
    "diagnose": lambda _: (DIAGNOSE, _NAME_IT),
    "quit": lambda _: (CONSOLE, _FINISH),
}  # fmt: skip
