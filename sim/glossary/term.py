"""The form of a word of the trade: what it is called, the forms in which it is met, and what it means.

The forms are data of a language, as its words are, so that a plural or a verb is found without a
sentence being taken apart. They stand in one message, a semicolon between two; each list of phrases has
its own. The first of them is the word itself.

Never here: tags, keys, states and set points, which their own tables tell (see `derived`).
"""

from dataclasses import dataclass
from typing import Final

from sim.words.message import Message, plain
from sim.words.reader import ENGLISH, Reader

_BETWEEN: Final = ";"


@dataclass(frozen=True, slots=True)
class Term:
    """One word of the trade."""

    name: str
    word: Message
    written: Message  # its forms, a semicolon between two
    text: Message

    def forms(self, reader: Reader = ENGLISH) -> tuple[str, ...]:
        """Return the forms in which it is met in a reader's language, the word itself first."""
        return tuple(each.strip() for each in self.written.tell(reader).split(_BETWEEN))


@dataclass(frozen=True, slots=True)
class Group:
    """Words that belong together."""

    name: str
    title: Message
    terms: tuple[Term, ...]


def term(name: str, forms: str, text: str) -> Term:
    """Write a word down.

    Args:
        name: Names it for ever: its rows have the keys `glossary.NAME`, `.forms` and `.text`.
        forms: Its English forms, a semicolon between two, the word itself first.
        text: What it means: one or two sentences of at most 25 words.
    """
    first = forms.partition(_BETWEEN)[0]
    return Term(
        name,
        plain(f"glossary.{name}", first),
        plain(f"glossary.{name}.forms", forms),
        plain(f"glossary.{name}.text", text),
    )


def group(name: str, title: str, *terms: Term) -> Group:
    """Write a group of words down."""
    return Group(name, plain(f"glossary.group.{name}", title), terms)
