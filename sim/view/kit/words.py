"""What the screen says, in the reader's language.

`say` takes a phrase in English and returns it in the language that was chosen. `retell` does so for
a text that the layers below have put together: whole, by sentences and clauses, or by phrases with gaps, such as
`A piece of {length} mm.`, whose gaps are filled from the text. English comes back where there is no
other.
"""

import re
from functools import lru_cache
from gettext import NullTranslations
from typing import Final

from sim.resources import shipped
from sim.words.message import Message
from sim.words.phrases import read_phrases, translations
from sim.words.reader import Reader

ENGLISH: Final = "en"
_GAP: Final = re.compile(r"\{(\w+)\}")
_SENTENCES: Final = re.compile(r"(?<=[.!?])\s+")


class _Speech:
    """The language that is spoken now."""

    def __init__(self) -> None:
        self.speak(ENGLISH)

    def speak(self, language: str) -> None:
        """Speak another language from now on."""
        self.language = language
        phrases = phrases_of(language)
        self.spoken: NullTranslations = translations(phrases) if phrases else NullTranslations()
        self.gapped = sorted(
            ((_pattern(k), v) for k, v in phrases.items() if v and _GAP.search(k)),
            key=lambda each: -len(each[0].pattern),
        )
        self.retold: dict[str, str] = {}


@lru_cache
def phrases_of(language: str) -> dict[str, str]:
    """Return the phrases of a language, English to translated; nothing for English itself.

    Those of the program are in one file, the texts of the scenarios that ship in another.
    """
    if language == ENGLISH:
        return {}
    folder = shipped("art") / "locale"
    return read_phrases(folder / f"{language}.scenarios.po") | read_phrases(
        folder / f"{language}.po"
    )


def _pattern(phrase: str) -> re.Pattern[str]:
    """Return what a phrase with gaps looks like once they are filled."""
    parts = _GAP.split(phrase)
    text = "".join(
        f"(?P<{part}>{_gap(part)})" if index % 2 else re.escape(part)
        for index, part in enumerate(parts)
    )
    return re.compile(text, re.DOTALL)


def _gap(name: str) -> str:
    """Return what a gap takes: `n_...` a number, `tag` one word, anything else any text."""
    if name.startswith("n_"):
        return r"[-+]?[0-9.,]+ ?%?"
    return r"\w+" if name == "tag" else ".+?"


_speech: Final = _Speech()
_MOST_KEPT: Final = 2_000


def speak(language: str) -> None:
    """Speak `en` or `es` from now on."""
    if language != _speech.language:
        _speech.speak(language)


def say(english: str) -> str:
    """Return a phrase in the language that was chosen; the English where there is none."""
    return _speech.spoken.gettext(english) if english else ""


def sentence(words: str) -> str:
    """Return words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def retell(text: str | Message) -> str:
    """Return a message as text, or a text that was put together in English as far as it is known."""
    if isinstance(text, Message):
        return retell(text.tell(Reader(_speech.language)))
    if _speech.language == ENGLISH or not text:
        return text
    kept = _speech.retold
    if text not in kept:
        if len(kept) > _MOST_KEPT:
            kept.clear()
        kept[text] = _retold(text)
    return kept[text]


def _retold(text: str) -> str:
    whole = _known(text)
    if whole is not None:
        return whole
    parts = _SENTENCES.split(text)
    if len(parts) > 1:
        return " ".join(retell(part) for part in parts)
    bare = text.removesuffix(".")
    for joint in ("; ", ", and "):
        clauses = bare.split(joint)
        if len(clauses) > 1:
            told = [retell(clause) for clause in clauses]
            if told != clauses:
                return say(joint).join(told) + text[len(bare) :]
    return text


def _known(text: str) -> str | None:
    """Return a text that is known as it stands, or by a phrase with gaps; None when it is not.

    A title that was made a sentence has a full stop that it lacks by itself; a sentence that was made
    a clause of another has lost its capital and its full stop. Both are known all the same.
    """
    said = _as_it_stands(text)
    if said is not None:
        return said
    if text.endswith(".") and (said := _as_it_stands(text[:-1])) is not None:
        return f"{said}."
    clause = text[:1].lower() + text[1:]
    if clause != text and (said := _as_it_stands(clause)) is not None:
        return said[:1].upper() + said[1:]
    sentence = text[:1].upper() + text[1:]
    for whole, cut in ((sentence, 0), (f"{text}.", 1), (f"{sentence}.", 1)):
        said = _as_it_stands(whole) if whole != text else None
        if said is not None:
            said = said[:-1] if cut and said.endswith(".") else said
            return said[:1].lower() + said[1:] if text[:1].islower() else said
    return None


def _as_it_stands(text: str) -> str | None:
    said = _speech.spoken.gettext(text)
    if said != text:
        return said
    for pattern, translated in _speech.gapped:
        found = pattern.fullmatch(text)
        if found is not None:
            return translated.format(**{k: retell(v) for k, v in found.groupdict().items()})
    return None
