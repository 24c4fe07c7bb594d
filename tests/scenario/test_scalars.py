"""The words of a scenario file, read by two other YAML libraries and by the gate."""

import math
from itertools import product

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError as RuamelError

from sim.scenario.scalars import LONGEST_NUMBER, Unclear, plain_word, spelled, written

# Words that both libraries read alike and the gate still refuses, and why.
# - not in the core schema of YAML 1.2, though ruamel keeps them: 1_000, 0b11, 0x_1, -0x1, dates, <<
# - bool in YAML 1.1's type repository, though PyYAML never read them so: y Y n N
# - not a finite number; more characters than a number needs


def read_by_pyyaml(word):
    return yaml.load(f"- {word}", Loader=yaml.SafeLoader)[0]  # the pure YAML 1.1 reader


def read_by_ruamel(word):
    return YAML(typ="safe", pure=True).load(f"- {word}")[0]  # YAML 1.2 is its default


def outcome(read, word):
    try:
        value = read(word)
    except (
        yaml.YAMLError,
        RuamelError,
        ValueError,
        AttributeError,
        KeyError,
        TypeError,
        IndexError,
    ):
        return "refused"
    return (type(value).__name__, "nan" if value != value else value)


RISKY = """
NO no No yes YES on On off OFF y n Y N true True TRUE false null Null NULL ~ tRUE oN nO
0 1 -1 +1 00 007 -007 012 -012 08 09 0o12 0o7 0O7 0b11 -0b1 0b2 0x1F 0xff -0x1 0x 0x_ 0b_
1_000 1__0 _1 1_ 0_7 0_8 12:30 12:30:45 190:20:30.15 1:60 24:00 -1:30 0:30
1.0 .5 +.5 -.5 5. 1.5e3 1.5e+3 1.5E-3 1e3 1e+3 1E3 1e 1.e+3 .e3 . .. -. 1.2.3 1,5
1_0.5 1._5 ._5 .inf -.inf +.inf .INF .Inf .iNf .nan .NaN .NAN -.nan inf nan 1.0e+999
2020-01-02 2020-13-45 2020-1-2 2001-12-14T21:59:43.10-05:00 2001-12-14t21:59:43Z 20-01-02
<< = + -- +1- 1-2 60mm S275JR 0.3 1.5.2 1/2 50% x=1 a<b 1e3e3 0x1.8 1d 0o8 0o 00x1
"""
WORDS = [*RISKY.split(), "9" * LONGEST_NUMBER, "2001-12-14 21:59:43", "twenty four"]


@pytest.mark.parametrize("word", WORDS)
def test_a_word_passes_only_if_both_yaml_libraries_give_the_value_the_gate_gives(word):
    assert is_one_plain_word(word)
    check(word)


ALPHABET = "0179_.:-+eExboyYnNfFtrue~=< "


@given(st.text(alphabet=ALPHABET, min_size=1, max_size=12).filter(lambda w: w == w.strip()))
@example("1e400")
@example("1.0e+400")
def test_no_spelling_of_a_number_or_a_switch_slips_through_that_two_libraries_read_apart(word):
    check(word)


def test_every_word_of_up_to_three_of_the_risky_characters_is_read_alike_or_refused():
    for length in (1, 2, 3):
        for characters in product("017_.:-+eox", repeat=length):
            check("".join(characters))


def is_one_plain_word(word):
    try:
        events = list(yaml.parse(f"- {word}", Loader=yaml.SafeLoader))
    except yaml.YAMLError:
        return False
    scalars = [event for event in events if isinstance(event, yaml.ScalarEvent)]
    return len(events) == 7 and len(scalars) == 1 and scalars[0].value == word


def check(word):
    if not is_one_plain_word(word):
        return
    old, new = outcome(read_by_pyyaml, word), outcome(read_by_ruamel, word)
    ours = plain_word(word)
    if isinstance(ours, Unclear):
        assert word in str(ours.what)
        return
    assert (type(ours).__name__, ours) == old == new


@pytest.mark.parametrize("word", ["NO", "on", "yes", "012", "0o12", "12:30:45", "1e3", "2020-13-45",
                                  "0x_", "y", "1_000", "08", "<<"])  # fmt: skip
def test_a_word_of_two_meanings_is_refused_and_both_meanings_are_told(word, untold):
    refusal = plain_word(word)

    assert isinstance(refusal, Unclear)
    assert f"{word} is " in str(refusal.what).replace("'", "")
    assert " to some programs and " in str(refusal.what)
    assert str(refusal.what).endswith(" to others")
    assert f"'{word}'" in str(refusal.what_to_do)
    assert not untold(refusal.what)
    assert not untold(refusal.what_to_do)


@pytest.mark.parametrize(
    ("word", "better"),
    [("1e3", "1000"), ("012", "12"), ("0o12", "10"), ("1_000", "1000"), ("on", "true"), ("08", "8"),
     ("NO", "false"), ("0b101", "5"), ("-0x1F", "-31"), ("+.5", "0.5"), ("1e-7", "1.0e-07")],
)  # fmt: skip
def test_a_refused_number_or_switch_comes_with_a_spelling_that_passes(word, better):
    refusal = plain_word(word)

    assert isinstance(refusal, Unclear)
    assert f"write {better}, or quote" in str(refusal.what_to_do)
    assert not isinstance(plain_word(better), Unclear)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_the_spelling_the_gate_advises_for_a_number_is_read_back_as_that_number(number):
    assert plain_word(spelled(number)) == number


@pytest.mark.parametrize("word", [".inf", "-.INF", ".nan", ".NaN", "1.0e+999"])
def test_a_number_that_cannot_be_measured_is_refused(word):
    assert isinstance(plain_word(word), Unclear)
    assert not math.isfinite(float(word.lower().replace(".inf", "inf").replace(".nan", "nan")))


def test_a_number_of_five_thousand_digits_is_refused_by_its_length():
    assert "5000 characters" in str(plain_word("9" * 5000).what)


@pytest.mark.parametrize("text", ["\ud800", "\0", "\x1b[2J", "\x85", "a\u2028b", "\x7f", "\ufeff"])
def test_a_text_that_no_screen_can_show_is_refused(text):
    assert isinstance(written(text), Unclear)


@pytest.mark.parametrize("text", ["", "Ø 60 mm², 45°", "a\nb\tc", "木", "\U0001f6e0"])
def test_a_text_of_any_language_passes_unchanged(text):
    assert written(text) == text
