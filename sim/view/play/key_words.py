"""Keys, machines and states by the words that stand on the desk."""

from typing import Final

from sim.signals import BY_KEY, BY_TAG
from sim.view.kit.words import say
from sim.view.play.desk_rows import CAPS, TITLES

_SELECTOR: Final = ("HAND", "AUTO")


def key_words(key: str) -> str:
    """Return station and cap of a key; a key without a cap by its wire."""
    station = say(TITLES.get(key.partition(".")[0], key))
    cap = CAPS.get(key)
    return f"{station} {say(cap.words)}" if cap else f"{station} {BY_KEY[key].tag}"


def state_words(state: object) -> str:
    """Return a machine's state or a selector's position as the desk writes it."""
    return say(str(state)) if state in _SELECTOR else say(str(state).replace("_", " ").lower())


def subject_words(subject: str) -> str:
    """Return what a contact or a refusal is about: a tag as it is, a machine by its title."""
    if subject in BY_TAG:
        return subject
    kind, _, station = subject.partition(".")
    if kind == "mode":
        return say(TITLES[station])
    return say(TITLES.get(subject, subject.replace("latch.", "").replace("_", " ").upper()))
