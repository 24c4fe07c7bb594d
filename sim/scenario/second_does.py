"""What a second person at the saw is told to do: a key, a latch or a set point, and in how many seconds.

    press head.lower in 12
    set supply.air_cock shut

A scenario counts the seconds from its start, an instructor from the order.

Never here: who he is, and what comes of it (see `sim.session.another`).
"""

from dataclasses import dataclass
from typing import Final

from sim.control import dials
from sim.errors import CommandError
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.scenario.nearest import nearest
from sim.signals import BY_KEY
from sim.words.fields import name, number
from sim.words.message import plain, row

LONGEST_S: Final = 3_600.0
_NO_ACT: Final = row(
    "second.no-act", "{words} does not say what a second person is to do", words=name()
)
_ACTS: Final = plain(
    "second.no-act.what-to-do",
    "write press KEY, release KEY or set NAME VALUE, and perhaps in SECONDS",
)
_NO_KEY: Final = row("second.no-key", "there is no key called {name}", name=name())
_NO_POINT: Final = row("second.no-point", "there is nothing to set called {name}", name=name())
_NO_DELAY: Final = row(
    "second.no-delay", "nobody waits {seconds} s; {most} s at most", seconds=number(None), most=number()
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Does:
    """One thing that he does."""

    verb: str  # press, release or set
    name: str
    setting: str = ""
    after_s: float = 0.0


def does_from(text: str) -> Does:
    """Return what a line tells a second person to do.

    Raises:
        CommandError: It tells nothing that he can do.
    """
    words, after_s = _delay(text.split())
    verb, names = (words[0] if words else ""), words[1:]
    takes = {"press": 1, "release": 1, "set": 2}.get(verb, 0)
    if not takes or len(names) < takes or (takes == 1 and len(names) > 1):
        raise CommandError(_NO_ACT(words=repr(" ".join(words))), "second", _ACTS)
    if verb == "set":
        if names[0] not in SET_POINTS and names[0] not in dials.BY_NAME:
            known = (*SET_POINTS, *dials.BY_NAME)
            raise CommandError(_NO_POINT(name=names[0]), "second", nearest(names[0], known))
    elif names[0] not in BY_KEY:
        raise CommandError(_NO_KEY(name=names[0]), "second", nearest(names[0], BY_KEY))
    return Does(verb, names[0], " ".join(names[1:]), after_s)


def _delay(words: list[str]) -> tuple[list[str], float]:
    """Return the words without a delay at their end, and the delay, s."""
    if len(words) < 2 or words[-2] != "in":
        return words, 0.0
    try:
        after_s = float(words[-1])
    except ValueError:
        return words, 0.0  # `set mode.key in my pocket`
    if not 0.0 <= after_s <= LONGEST_S:
        raise CommandError(_NO_DELAY(seconds=after_s, most=LONGEST_S), "second", _ACTS)
    return words[:-2], after_s
