"""The glossary: every word of trade that lessons, coach, card and console use has its row; rows are short, and found."""

import re

import pytest

from sim.bugs import TableError
from sim.control.table import TABLES
from sim.glossary import GROUPS, TERMS, by_form, explain, found_in, near
from sim.glossary.derived import names_of
from sim.glossary.place import names, place
from sim.glossary.states import meaning
from sim.glossary.term import term
from sim.scenario.machines import first_machine, shipped_machine
from sim.signals import BY_TAG
from sim.words.message import ROWS
from sim.words.reader import Reader, languages

from .spoken import everyday, said, unexplained

LONGEST = 25  # words in a sentence
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


@pytest.mark.parametrize("language", languages())
def test_every_word_that_is_said_at_the_saw_is_explained_or_is_an_everyday_word(language):
    known = everyday(language)
    odd = {
        place: sorted(left)
        for place, text in said(language)
        if (left := unexplained(text, language) - known)
    }

    assert not odd, "give each its row in sim/glossary, or call it everyday"


@pytest.mark.parametrize("language", languages())
def test_no_word_of_the_glossary_passes_for_an_everyday_word(language):
    reader = Reader(language)
    forms = {form.lower() for each in TERMS.values() for form in each.forms(reader)}

    assert not everyday(language) & forms


def test_a_word_that_nobody_explains_would_be_found():
    left = unexplained("Lower the flux capacitor by the gullet, B11 and head.lower.", "en")

    assert left == {"lower", "the", "flux", "capacitor", "by", "and"}
    assert left - everyday("en") == {"flux", "capacitor"}


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", TERMS)
def test_a_word_has_its_forms_and_a_sentence_or_two(name, language):
    reader, each = Reader(language), TERMS[name]
    sentences = _SENTENCE.split(each.text.tell(reader))

    assert each.word.tell(reader) == each.forms(reader)[0]
    assert 1 <= len(sentences) <= 3
    assert max(len(sentence.split()) for sentence in sentences) <= LONGEST
    assert all(sentence[0].isupper() or sentence[0].isdigit() for sentence in sentences)


@pytest.mark.parametrize("language", languages())
def test_a_form_means_one_word(language):
    reader, seen = Reader(language), {}
    for each in TERMS.values():
        for form in each.forms(reader):
            even = form if form.isupper() else form.lower()
            assert seen.setdefault(even, each) is each, form


def test_every_group_has_words_and_no_word_stands_in_two():
    assert all(group.terms for group in GROUPS)
    assert len(TERMS) == sum(len(group.terms) for group in GROUPS)


def test_every_form_is_explained_in_every_language():
    for language in languages():
        reader = Reader(language)
        for each in TERMS.values():
            for form in each.forms(reader):
                assert by_form(form, reader) is each
                assert explain(f" {form} ", reader)["text"] is each.text


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_every_name_of_the_saw_is_explained(saw):
    machine = shipped_machine(saw)

    assert not [name for name in names_of(machine) if not explain(name, machine=machine)]


def test_a_tag_says_what_its_rows_say():
    said = str(explain("b11"))

    assert said.startswith("B11: sensor, place: head.")
    assert str(BY_TAG["B11"].text) in said
    assert "It is typed as head.lower." in str(explain("S51"))
    assert str(explain("F25")) == "F25: fuse or breaker, place: cabinet."


def test_a_state_says_what_it_means_and_what_can_follow():
    assert str(explain("head.up")) == (
        "head.up, a state of the controller. The head was seen at its height stop. No valve is a holding "
        "device: it may sink. What can follow: lowering or between."
    )
    assert "cutting_vise.between" in str(explain("between"))
    for table in TABLES:
        for state in table.states:
            assert meaning(table.name, state), state
            assert str(meaning(table.name, state)) in str(explain(f"{table.name}.{state.lower()}"))


@pytest.mark.parametrize(
    ("language", "asked", "name", "told"),
    [
        ("en", "swarf", "swarf", "never with a hand"),
        ("en", "raker", "raker", "bottom of the kerf"),
        ("en", "chattering", "chatter", "waves on the face"),
        ("en", "blade", "blade", "the band"),
        ("en", "bi-metal", "bimetal", "welded on"),
        ("en", "camber", "camber", "along its back"),
        ("en", "tooth set", "set", "a straight raker"),
        ("es", "virutas mojadas", "swarf", "nunca con la mano"),
        ("es", "diente recto", "raker", "fondo del corte"),
        ("es", "vibración", "chatter", "ondas en la cara"),
        ("es", "hoja de sierra", "blade", "la cinta"),
        ("es", "bimetal", "bimetal", "acero rápido"),
        ("es", "combado", "camber", "de su lomo"),
        ("es", "triscado", "set", "un diente recto"),
    ],
)
def test_what_a_sawyer_says_is_explained(language, asked, name, told):
    reader = Reader(language)
    found = by_form(asked, reader)

    assert found is TERMS[name]
    assert told in found.text.tell(reader)
    assert told in explain(asked, reader).tell(reader)


def test_what_nobody_knows_is_not_explained():
    assert explain("flux") is None
    assert explain("") is None
    assert explain("head.sideways") is None


@pytest.mark.parametrize(
    ("text", "language", "expected"),
    [
        ("The Feed  valve keeps the chips small.", "en", ["feed-valve", "chip"]),
        ("MANUAL, by the maker's manual", "en", ["manual-mode", "manual-of-maker"]),
        ("a feeder feeds", "en", ["feed"]),
        ("run-in and in", "en", ["running-in"]),
        ("Las gargantas de la cinta", "es", ["gullet", "band"]),
        ("nothing of it", "en", []),
    ],
)
def test_the_words_of_a_text_are_found_whole(text, language, expected):
    found = found_in(text, Reader(language))

    assert [each.term.name for each in found] == expected
    assert all(text[each.start : each.end].strip() for each in found)


def test_what_is_nearly_a_word_is_told():
    assert near("gulet")[0] == "gullet"
    assert near("presostat", Reader("es"))[0] == "presostato"
    assert near("xyzxyz") == ()


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_everything_has_its_place(saw):
    machine = shipped_machine(saw)

    assert not [name for name in names(machine) if not place(name, machine)]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("head.lower", "head.lower is device S51; place: console."),
        ("supply.infeed_stop", "supply.infeed_stop is device S9; place: infeed."),
        ("Y12", "Y12; place: head."),
        ("job.wanted", "job.wanted is set on the console."),
        ("band.brush_mm", "Before hands go in: lock-out first"),
    ],
)
def test_a_place_is_that_of_the_tables(name, said):
    assert said in str(place(name, first_machine()))


def test_a_word_that_is_there_twice_is_refused():
    assert "glossary.gullet" in ROWS
    with pytest.raises(TableError, match="two messages"):
        term("gullet", "gullet", "The hollow.")
