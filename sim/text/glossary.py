"""What a word means and where a thing is, as the terminal tells it: in a session and from the shell.

Never here: what the words are (see `sim.glossary`).
"""

from difflib import get_close_matches
from typing import Final

from sim.errors import CommandError
from sim.glossary import GROUPS, explain, near
from sim.glossary.derived import names_of
from sim.glossary.place import names, place
from sim.logic.bench.prints import PrintSheet, sheet_of
from sim.plant.machine import Machine
from sim.text.names import pick
from sim.text.page import Part, Printer, Table, may_draw, put_line
from sim.words.fields import name, parts
from sim.words.message import Message, plain, row
from sim.words.speech import reader

_CLOSE: Final = 0.7  # of difflib's ratio
_FEW: Final = 3
_SHOWN: Final = 40  # characters of what was typed that are repeated

GLOSSARY: Final = plain("glossary.title", "Words of the saw")
_HEADS: Final = (plain("glossary.head.word", "Word"), plain("glossary.head.meaning", "Meaning"))
_WORDS: Final = plain("what.words", "Words that are explained; what WORD tells one.")
_LISTED: Final = row("what.listed", "{words}", words=parts(", "))
_ALSO: Final = plain(
    "what.also",
    "It tells tags such as B11, keys, set points, looks and states such as head.up, too.",
)
_NO_WORD: Final = row("what.none", "'{given}' is not explained here", given=name())
_MEANT: Final = row("what.meant", "did you mean {names}", names=name())
_NAMES: Final = plain(
    "where.names", "keys, points, inspections and wiring list the names that where takes."
)
_ALL: Final = plain("what.all", "what alone lists the words")


def what(asked: str, machine: Machine | None = None) -> tuple[Part, ...]:
    """Return what a word means; all words by group when none is asked for.

    Args:
        asked: A word of the trade, a tag, or another name of the saw.
        machine: Whose wiring tells what a tag is; the saw that ships first when it is left out.

    Raises:
        CommandError: It is not explained; what is nearly it is told.
    """
    if not asked:
        rows = tuple(
            (group.title, _LISTED(words=tuple(term.word for term in group.terms)))
            for group in GROUPS
        )
        return Table(_WORDS, ("", ""), rows), _ALSO
    said = explain(asked, reader(), machine)
    if said is None:
        short = asked[:_SHOWN]
        close = near(short, reader()) or tuple(
            get_close_matches(short, names_of(machine), n=_FEW, cutoff=_CLOSE)
        )
        raise CommandError(
            _NO_WORD(given=short), "what", _MEANT(names=", ".join(close)) if close else _ALL
        )
    return (said,)


def glossary_sheets() -> tuple[PrintSheet, ...]:
    """Return a sheet for each group of words, as it is printed."""
    return tuple(
        sheet_of(group.title, _HEADS, ((term.word, term.text) for term in group.terms))
        for group in GROUPS
    )


def print_what(asked: str) -> None:
    """Print what a word means, or all words by group.

    Raises:
        CommandError: It is not explained; what is nearly it is told.
    """
    Printer(put_line, drawn=may_draw()).put(*what(asked))


def where(asked: str, machine: Machine) -> Message:
    """Return where a key, a set point, a look or a device is; where names are listed when none is asked for.

    Raises:
        CommandError: The saw has none of that name; the nearest is told.
    """
    if not asked:
        return _NAMES
    return place(pick(asked, names(machine), "part", "where"), machine)
