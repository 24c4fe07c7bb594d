"""Whether the words that a trainee reads before the close name what is hidden.

Title, summary, brief, report and the name of the file are held against the name of each hidden fault
and its title, in every language there is. A text names a fault when it has most of its words, and two
of them at least, in whatever order; in a sentence of the brief or the report, all of them. Words that
many faults have in their names tell none of them: a head that stays down may do so for many reasons.

Never here: whether what is reported makes one cause likelier than all others (see `check`).
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.faults.catalogue import CATALOGUE, EVERY
from sim.faults.fault import Fault
from sim.scenario.scenario import Scenario
from sim.words.reader import Reader, languages

FILE: Final = "file"
_SHORT: Final = (
    2 / 3
)  # of the words of a name, from which a title, a summary or a file's name tells it
_LONG: Final = 1.0  # of them, from which a sentence of brief or report does
_LEAST: Final = 2  # words
_MOST: Final = 2  # faults that may have these words in their names
_STEM: Final = 4  # letters, in which leak and leaks are one word
_WORD: Final = re.compile(r"[^\W_]+")
_SENTENCE: Final = re.compile(r"[.!?;:]\s")
_LITTLE: Final = frozenset((
    "a", "an", "and", "as", "at", "by", "for", "from", "in", "is", "it", "its", "no", "not", "of", "on",
    "the", "to", "with",
    "al", "con", "de", "del", "el", "en", "es", "la", "las", "lo", "los", "no", "para", "por", "se", "su",
    "un", "una", "y",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class GivenAway:
    """A text that names a hidden fault."""

    field: str  # of the scenario, or FILE
    words: tuple[str, ...]  # of the text, in their order
    fault: str


def given_away(scenario: Scenario, called: str = "") -> tuple[GivenAway, ...]:
    """Return which texts name which hidden fault.

    Args:
        scenario: Whose texts are read.
        called: The name of its file, without its ending; empty where it has none.
    """
    return tuple(
        GivenAway(field, words, hidden.name)
        for field, text, share in _texts(scenario, called)
        for hidden in scenario.faults
        if (words := _shared(text, EVERY[hidden.name], share))
    )


def _texts(scenario: Scenario, called: str) -> Iterator[tuple[str, str, float]]:
    """Yield each text with its field and with the share of a name's words from which it tells it."""
    yield FILE, called.replace("_", " "), _SHORT
    yield "title", scenario.title, _SHORT
    yield "summary", scenario.summary, _SHORT
    for field in ("brief", "report"):
        for each in _SENTENCE.split(getattr(scenario, field)):
            yield field, each, _LONG


def _shared(text: str, fault: Fault, share: float) -> tuple[str, ...]:
    """Return the words of a text that name a fault; none where it does not."""
    for told in _names(fault):
        there = [word for word in _words(text) if any(_same(word, each) for each in told)]
        met = [each for each in told if any(_same(word, each) for word in there)]
        if len(met) >= max(_LEAST, share * len(told)) and _of_how_many(met) <= _MOST:
            return tuple(there)
    return ()


def _of_how_many(words: Iterable[str]) -> int:
    """Return how many faults have all of these words in one of their names."""
    wanted = tuple(words)
    return sum(
        any(
            all(any(_same(word, each) for each in told) for word in wanted)
            for told in _names(fault)
        )
        for fault in CATALOGUE.values()
    )


def _names(fault: Fault) -> Iterator[tuple[str, ...]]:
    yield _words(fault.name)
    for language in languages():
        yield _words(fault.title.tell(Reader(language)))


def _words(text: str) -> tuple[str, ...]:
    """Return the words of a text, each once, without those that tell nothing."""
    found = (word.lower() for word in _WORD.findall(text))
    return tuple(dict.fromkeys(word for word in found if word not in _LITTLE))


def _same(word: str, other: str) -> bool:
    """Return whether two words are one, whatever their endings."""
    short = min(len(word), len(other))
    return word == other or (short >= _STEM and word[:short] == other[:short])
