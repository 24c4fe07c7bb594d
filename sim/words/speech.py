"""The reader of this process, and the two calls that make text: `tell` for messages, `say` for labels.

Window, terminal, pages and prints are the edge; nothing below them imports this file.
"""

from typing import Final

from sim.words.fields import Told
from sim.words.reader import ENGLISH, Reader


class _Speech:
    """Who reads now."""

    reader = ENGLISH


_speech: Final = _Speech()


def read_by(reader: Reader) -> None:
    """Speak to this reader from now on."""
    _speech.reader = reader


def reader() -> Reader:
    """Return who reads now."""
    return _speech.reader


def tell(message: Told) -> str:
    """Return a message as text for who reads now."""
    return message.tell(_speech.reader)


def say(english: str, context: str = "") -> str:
    """Return a label in the reader's language; the English where there is no other.

    Args:
        english: A literal of the edge's own, or a title of a table; never a sentence put together.
        context: Tells two labels with the same English apart.
    """
    return _speech.reader.phrase(context, english)


def sentence(words: str) -> str:
    """Return words with a capital at their beginning."""
    return words[:1].upper() + words[1:]
