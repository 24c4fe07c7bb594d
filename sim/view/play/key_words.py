"""Keys, machines and their states by the words that stand on the console."""

from collections.abc import Hashable
from typing import Final

from sim.control.nouns import state_word
from sim.signals import BY_KEY, BY_TAG
from sim.view.play.console_rows import CAPS, TITLES
from sim.words.fields import name, part
from sim.words.message import Message, named, plain, row

_KEY: Final = row("console.key", "{part} {cap}", part=part(), cap=part())
_BY_WIRE: Final = row("console.key.wire", "{part} {tag}", part=part(), tag=name())
_SUBJECTS: Final[dict[str, Message]] = {
    **TITLES,
    "cycle": plain("console.cycle", "CYCLE"),
    "first": plain("console.first-cut", "FIRST CUT"),
    "coolant_choice": plain("console.coolant-choice", "COOLANT CHOICE"),
    "latch.deviation": plain("console.deviation", "DEVIATION"),
    "latch.trip_line": plain("console.trip-line", "TRIP LINE"),
    "watch.deviation": plain("console.watch.deviation", "DEVIATION TIME"),
    "watch.jog": plain("console.watch.jog", "JOG TIME"),
    "watch.run_on": plain("console.watch.run-on", "RUN-ON TIME"),
    "job.squaring": plain("console.job.squaring", "SQUARING CUT"),
    "job.fed": plain("console.job.fed", "BAR FED"),
    "job.owes": plain("console.job.owes", "END TO SQUARE"),
    "job.run_on": plain("console.job.run-on", "RUN-ON SET"),
}


def called(key: str) -> Message:
    """Return part and cap of a key; a key without a cap by its wire."""
    part = TITLES[key.partition(".")[0]]
    cap = CAPS.get(key)
    return _KEY(part=part, cap=cap.words) if cap else _BY_WIRE(part=part, tag=BY_KEY[key].tag)


def state_of(subject: str, value: Hashable) -> Message:
    """Return a machine's state as the console writes it."""
    return state_word(subject, str(value))


_CONSOLE: Final = row(
    "console.acts-there",
    "{pressed} works on the Console (F2); on any other sheet only the stops act.",
    pressed=part(),
)
ON_CONSOLE: Final = plain(
    "console.keys-there", "The keys of the saw work on the Console (F2); here only the stops act."
)


def acts_on_console(pressed: Message) -> Message:
    """Return where a key acts that was pressed on another sheet.

    Args:
        pressed: Part and cap of it.
    """
    return _CONSOLE(pressed=pressed)


def called_subject(subject: str) -> Message:
    """Return what a contact or a refusal is about: a tag as it is, a machine by its title."""
    return named(subject) if subject in BY_TAG else _SUBJECTS[subject]
