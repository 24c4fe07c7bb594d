"""A message is a value: held to its row when it is made, told in the reader's way, kept as JSON."""

import json
import pickle

import pytest

from sim.bugs import TableError
from sim.words.fields import authored, clock, mm, name, number, one_of, part, parts, percent
from sim.words.message import NOTHING, from_plain, plain, quoted, row, sentences
from sim.words.phrases import CONTEXT, read_phrases, translations
from sim.words.reader import ENGLISH, PSEUDO, Reader

SET = row("test.set", "{length}", length=mm(None))
RANGE = row("test.range", "{low} to {high}", low=mm(bare=True), high=mm())
FELL = row("test.fell", "A piece of {length}.", length=mm(2))
COUNT = row("test.count", "{count} bar", plural="{count} bars", count=number())
STOOD = row("test.stood", "{what} is {how}.", what=part(capital=True), how=one_of("open", "shut"))
TAG = row("test.tag", "Wire {tag}: {said} at {at}, {share}", tag=name(), said=authored(),
          at=clock(), share=percent())  # fmt: skip
LIST = row("test.list", "{all}", all=parts(", ", " and "))
BRACES = plain("test.braces", "write {at_least: 3}")
COCK = plain("test.cock", "the air cock")


def test_a_message_is_told_in_shop_units():
    assert str(FELL(length=0.229854)) == "A piece of 229.85 mm."
    assert FELL(length=0.229854).tell(Reader(inch=True)) == "A piece of 9.0494 in."


@pytest.mark.parametrize(
    ("length", "metric", "inch"),
    [
        (0.006, "6 mm", "0.24 in"),
        (0.2315, "231.5 mm", "9.114 in"),
        (0.015 + 1e-17, "15 mm", "0.59 in"),
    ],
)
def test_a_length_as_it_is_set_has_as_many_figures_in_inches_as_it_can_have(length, metric, inch):
    message = SET(length=length)
    assert str(message) == metric
    assert message.tell(Reader(inch=True)) == inch


def test_of_a_range_the_unit_is_told_once():
    assert str(RANGE(low=0.04, high=0.34)) == "40 to 340 mm"
    assert RANGE(low=0.04, high=0.34).tell(Reader(inch=True)) == "1.57 to 13.39 in"


def test_braces_that_are_no_gaps_are_told_as_they_are():
    assert str(BRACES) == "write {at_least: 3}"


def test_numbers_have_the_readers_decimal_mark():
    assert FELL(length=0.229854).tell(Reader("es")).count("229,85 mm") == 1


def test_one_and_many():
    assert [str(COUNT(count=n)) for n in (0, 1, 2)] == ["0 bars", "1 bar", "2 bars"]


def test_parts_and_capitals():
    assert str(STOOD(what=COCK, how="open")) == "The air cock is open."
    assert str(LIST(all=(COCK, COCK, COCK))) == "the air cock, the air cock and the air cock"
    assert str(LIST(all=())) == ""


def test_a_pseudo_reader_sees_every_word_that_can_be_translated():
    told = TAG(tag="B11", said="hello", at=65_000_000, share=0.5).tell(PSEUDO)
    assert told == "[Wire] «B11»: «hello» [at] 1:05, 50 %"


def test_fields_are_held_to_the_row():
    for wrong in ({}, {"length": "x"}, {"length": True}, {"length": 1.0, "other": 2}):
        with pytest.raises(TableError):
            FELL(**wrong)
    with pytest.raises(TableError, match="gaps"):
        row("test.gap", "{a} {b}", a=mm())
    with pytest.raises(TableError, match="two messages"):
        row("test.fell", "again")
    with pytest.raises(TableError, match="how"):
        STOOD(what=COCK, how="ajar")


def test_a_message_survives_json_and_pickle():
    for message in (
        FELL(length=0.1), COCK, STOOD(what=COCK, how="shut"), LIST(all=(COCK, FELL(length=1.0))),
        quoted("what he said {not a gap}"), sentences(COCK, FELL(length=2.0)),
    ):  # fmt: skip
        assert from_plain(json.loads(json.dumps(message.plain()))) == message
        assert pickle.loads(pickle.dumps(message)) == message


def test_what_is_no_message_is_refused():
    for odd in (None, {}, {"key": "test.none"}, {"key": "test.fell", "fields": 3}, [1], 10**400):
        with pytest.raises(TableError):
            from_plain(odd)


def test_sentences_leave_out_what_says_nothing():
    assert sentences(NOTHING, COCK) is COCK
    assert not sentences()
    assert str(sentences(COCK, COCK)) == "the air cock the air cock"
    assert str(quoted("{x}").tell(ENGLISH)) == "{x}"


def test_a_context_wins_over_plain_words(tmp_path):
    path = tmp_path / "xx.po"
    path.write_text(
        'msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=n != 1;\\n"\n'
        'msgid "open"\nmsgstr "abierto"\n'
        'msgctxt "test.stood"\nmsgid "open"\nmsgstr "abierta"\n'
        'msgctxt "test.count"\nmsgid "{count} bar"\nmsgid_plural "{count} bars"\n'
        'msgstr[0] "{count} barra"\nmsgstr[1] "{count} barras"\n'
    )
    spoken = translations(read_phrases(path))
    assert spoken.gettext("open") == "abierto"
    assert spoken.gettext(f"test.stood{CONTEXT}open") == "abierta"
    assert [spoken.npgettext("test.count", "{count} bar", "{count} bars", n) for n in (1, 3)] == [
        "{count} barra", "{count} barras",
    ]  # fmt: skip


@pytest.mark.parametrize("wrap", [lambda m: m, lambda m: STOOD(what=m, how="open"),
                                  lambda m: LIST(all=(COCK, STOOD(what=LIST(all=(m,)), how="shut")))])  # fmt: skip
def test_rounded_is_equal_where_it_reads_alike_however_deep_the_quantity_lies(wrap):
    exact, near = wrap(FELL(length=0.229854)), wrap(FELL(length=0.229849))
    assert exact != near
    assert exact.rounded() == near.rounded()
    assert str(exact.rounded()) == str(exact)


def test_rounded_leaves_words_and_counts_as_they_are():
    for said in (COCK, STOOD(what=COCK, how="open"), LIST(all=(COCK, COUNT(count=2))), NOTHING):
        assert said.rounded() == said
    assert NOTHING.rounded() is NOTHING
