"""Every message that any wing can say has its Spanish (and each language its own), told by key; its gaps are those of the row."""

import importlib
import pkgutil
import re
from string import Formatter

import pytest

import sim
from sim.words.fields import OneOf, Parts
from sim.words.message import ROWS
from sim.words.phrases import CONTEXT
from sim.words.reader import _SYMBOLS, PSEUDO_LANGUAGE, Reader, languages, phrases_of

OTHERS = [each for each in languages() if each != "en"]
_LETTER = re.compile(r"[^\W\d_]")


def _load_every_wing():
    for module in pkgutil.walk_packages(sim.__path__, "sim."):
        if "__main__" not in module.name:
            importlib.import_module(module.name)


def _words_of(row):
    """Return every English phrase that the row can say."""
    yield row.template
    for field in row.fields.values():
        if isinstance(field, OneOf):
            yield from field.words
        if isinstance(field, Parts):
            yield from (joint for joint in (field.joint, field.last) if joint.strip())


def _bare(text):
    """Return a phrase without its gaps."""
    return "".join(words for words, *_ in Formatter().parse(text))


@pytest.fixture(scope="module")
def rows():
    _load_every_wing()
    return [row for key, row in ROWS.items() if not key.startswith("test.")]


def _spanish(row, english, language="es"):
    phrases = phrases_of(language)
    if row.plural and english == row.template:
        return phrases.get(f"{row.key}{CONTEXT}{english}\0{row.plural}")
    return phrases.get(f"{row.key}{CONTEXT}{english}") or phrases.get(english)


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_has_its_spanish(rows, language):
    missing = [
        f"{row.key}: {english!r}"
        for row in rows
        for english in _words_of(row)
        if _LETTER.search(_bare(english)) and not _spanish(row, english, language)
    ]
    assert not missing, f"not in art/locale/{language}.po:\n" + "\n".join(missing)


def test_every_plural_has_its_two_forms(rows):
    for row in rows:
        if row.plural:
            assert len((_spanish(row, row.template) or "").split("\0")) == 2, row.key


@pytest.mark.parametrize("language", OTHERS)
def test_the_head_of_a_list_names_its_language_its_plurals_and_its_decimal_mark(language):
    head = phrases_of(language)[""]

    assert f"Language: {language}\n" in head
    assert "Plural-Forms: nplurals=" in head
    assert "X-Language-Name: " in head
    assert re.search(r"X-Decimal-Mark: [.,]\n", head)


@pytest.mark.parametrize("language", OTHERS)
def test_the_gaps_of_the_spanish_are_those_of_the_row(rows, language):
    for row in rows:
        for form in (_spanish(row, row.template, language) or "").split("\0"):
            gaps = {name for _, name, _, _ in Formatter().parse(form) if name is not None}
            assert gaps <= set(row.fields), f"{row.key}: {form!r}"


# Words of one language that the other does not have, and that no sentence does without for long.
_ENGLISH = {
    "the", "and", "of", "with", "is", "are", "be", "it", "its", "for", "from", "at", "by", "or",
    "not", "before", "after", "when", "that", "this", "which", "has", "have", "was", "were",
    "will", "would", "stands", "only", "than", "then", "they", "there",
}  # fmt: skip
_SPANISH = {
    "el", "la", "los", "las", "un", "una", "de", "del", "que", "con", "por", "para", "y", "se",
    "está", "están", "al", "su", "sus", "lo", "pero", "como", "más", "hasta", "sobre", "sin",
    "donde", "cuando",
}  # fmt: skip
_TOKEN = re.compile(r"(?<![\w-])[^\W\d]+(?![\w-])")  # no parts of tags and of names with hyphens


def _tokens(text):
    return {token.lower() for token in _TOKEN.findall(_bare(text))}


def test_no_spanish_has_an_english_word_and_no_english_a_spanish_one(rows):
    mixed = []
    for row in rows:
        for english in (*_words_of(row), row.plural):
            if strange := _tokens(english) & _SPANISH:
                mixed.append(f"{row.key}: {sorted(strange)} in {english!r}")
            for form in (_spanish(row, english) or "").split("\0"):
                if strange := _tokens(form) & _ENGLISH:
                    mixed.append(f"{row.key}: {sorted(strange)} in {form!r}")
    assert not mixed, "\n".join(mixed)


@pytest.mark.parametrize("language", [*languages(), PSEUDO_LANGUAGE])
def test_the_symbol_of_a_unit_is_the_same_in_every_language(language):
    assert {"bar", "in", "min"} <= _SYMBOLS  # a bar of steel is `barra`, one of pressure is not
    assert {Reader(language).unit_name(each) for each in _SYMBOLS} == _SYMBOLS
    assert Reader(language).quantity(6.2, "bar", 0) == "6 bar"
    if language != "en":
        assert Reader(language).unit_name("turns") != "turns"
