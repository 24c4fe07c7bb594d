"""Finds the words of the glossary: one by a form of it, those that a text contains, those that are nearly it.

A form is found whole, in capitals or not; of two that begin together the longer is meant, `feed valve`
before `feed`. A form that is written in capitals only, as a mode is, is found in capitals only.

Never here: tags, keys and states (see `derived`).
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from sim.glossary.table import TERMS
from sim.glossary.term import Term
from sim.words.reader import ENGLISH, Reader

_CLOSE: Final = 0.7  # of difflib's ratio
_FEW: Final = 3


@dataclass(frozen=True, slots=True)
class Found:
    """A word of the glossary in a text: from where to where."""

    term: Term
    start: int
    end: int


@lru_cache
def _forms(reader: Reader) -> dict[str, Term]:
    """Return every form of a language, as it is looked up, with its word."""
    return {_even(form): term for term in TERMS.values() for form in term.forms(reader)}


def _even(form: str) -> str:
    return form if form.isupper() else form.lower()


@lru_cache
def _pattern(reader: Reader) -> re.Pattern[str]:
    longest_first = sorted(_forms(reader), key=len, reverse=True)
    each = "|".join(r"\s+".join(map(re.escape, form.split())) for form in longest_first)
    return re.compile(rf"(?<![\w-])(?:{each})(?![\w-])", re.IGNORECASE)


def by_form(word: str, reader: Reader = ENGLISH) -> Term | None:
    """Return the word that is met as `word` in the reader's language or in English, by its name too."""
    asked = " ".join(word.split())
    for forms in (_forms(reader), _forms(ENGLISH)):
        found = forms.get(asked) or forms.get(asked.lower()) or forms.get(asked.upper())
        if found is not None:
            return found
    return TERMS.get(asked.lower())


def found_in(text: str, reader: Reader = ENGLISH) -> tuple[Found, ...]:
    """Return the words of the glossary that a text contains, in their order.

    Args:
        text: As it is shown to the reader.
        reader: In whose language it is.
    """
    forms = _forms(reader)
    found = []
    for match in _pattern(reader).finditer(text):
        form = " ".join(match[0].split())
        term = forms.get(form) if form.isupper() else None
        term = term or forms.get(form.lower())
        if term is not None:
            found.append(Found(term, *match.span()))
    return tuple(found)


def near(word: str, reader: Reader = ENGLISH) -> tuple[str, ...]:
    """Return the few forms of the reader's language, or else of English, that are nearly a word."""
    for forms in (_forms(reader), _forms(ENGLISH)):
        by_lower = {form.lower(): form for form in forms}
        close = get_close_matches(word.lower(), by_lower, n=_FEW, cutoff=_CLOSE)
        if close:
            return tuple(by_lower[each] for each in close)
    return ()
