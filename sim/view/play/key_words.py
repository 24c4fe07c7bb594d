"""Keys, machines and their states by the words that stand on the desk."""

from collections.abc import Hashable
from typing import Final

from sim.control.nouns import state_word
from sim.signals import BY_KEY, BY_TAG
from sim.view.play.desk_rows import CAPS, TITLES
from sim.words.fields import name, part
from sim.words.message import Message, named, plain, row

MODES: Final = {mode: plain(f"desk.mode.{mode.lower()}", mode) for mode in ("HAND", "AUTO")}
"""The two positions of a selector."""

_KEY: Final = row("desk.key", "{station} {cap}", station=part(), cap=part())
_BY_WIRE: Final = row("desk.key.wire", "{station} {tag}", station=part(), tag=name())
_SUBJECTS: Final[dict[str, Message]] = {
    **TITLES,
    **{f"mode.{station}": title for station, title in TITLES.items()},
    "cycle": plain("desk.cycle", "CYCLE"),
    "latch.deviation": plain("desk.deviation", "DEVIATION"),
}


def called(key: str) -> Message:
    """Return station and cap of a key; a key without a cap by its wire."""
    station = TITLES[key.partition(".")[0]]
    cap = CAPS.get(key)
    return (
        _KEY(station=station, cap=cap.words)
        if cap
        else _BY_WIRE(station=station, tag=BY_KEY[key].tag)
    )


def state_of(subject: str, value: Hashable) -> Message:
    """Return a machine's state, or a selector's position as `mode.head` has it, as the desk writes it."""
    return MODES[str(value)] if subject.startswith("mode.") else state_word(subject, str(value))


def called_subject(subject: str) -> Message:
    """Return what a contact or a refusal is about: a tag as it is, a machine by its title."""
    return named(subject) if subject in BY_TAG else _SUBJECTS[subject]
