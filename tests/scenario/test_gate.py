"""The gate for YAML files: what passes, what is refused, where it points, how fast."""

import json
import math
import os
import time
from contextlib import suppress
from functools import partial

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError as RuamelError

from sim.errors import ScenarioError
from sim.scenario import file_text, gate
from sim.scenario.file_text import LARGEST_BYTES
from sim.scenario.gate import DEEPEST, MOST_EVENTS, load
from sim.words.visible import visible


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "posts.yaml"

    def write(content):
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return write


def refusal(path):
    with pytest.raises(ScenarioError) as caught:
        load(path)
    assert str(caught.value.where).startswith(visible(str(path)))
    assert caught.value.what_to_do
    return caught.value


# ---- what passes


def test_a_plain_file_gives_plain_values(file):
    path = file("title: Rail posts\nstock: {length_mm: 6000, rate: 0.3}\nready: true\n"
                "skills: [grip, 'no']\nnote:\nbrief: >-\n  two\n  lines\n")  # fmt: skip

    assert load(path).value == {
        "title": "Rail posts", "stock": {"length_mm": 6000, "rate": 0.3}, "ready": True,
        "skills": ["grip", "no"], "note": None, "brief": "two lines",
    }  # fmt: skip


def test_every_key_and_value_is_found_again_at_its_line_and_column(file):
    path = file("title: Rail posts\nstock:\n  section: {shape: round, diameter_mm: 60}\n"
                "skills:\n  - grip\n  - length\n")  # fmt: skip
    located = load(path)

    assert located.where_key(("stock", "section", "diameter_mm")) == f"{path}:3:27"
    assert located.where_value(("stock", "section", "diameter_mm")) == f"{path}:3:40"
    assert located.where_value(("skills", 1)) == f"{path}:6:5"
    assert located.where_value(("stock", "section", "wall_mm")) == f"{path}:3:12"
    assert located.where_key(("job",)) == f"{path}:1:1"


def test_a_byte_order_mark_before_the_first_key_is_no_part_of_it(file):
    located = load(file(b"\xef\xbb\xbftitle: Posts\n"))

    assert located.value == {"title": "Posts"}
    assert located.keys[("title",)] == (1, 1)


def test_letters_beyond_ascii_count_as_one_column(file):
    assert load(file("{Ø: 60, b: 1}")).keys[("b",)] == (1, 9)


# ---- what cannot be read


def test_a_missing_file_a_folder_and_a_pipe_are_refused_without_waiting(tmp_path):
    os.mkfifo(tmp_path / "pipe")

    assert "no such file" in str(refusal(tmp_path / "none.yaml").what)
    assert "folder" in str(refusal(tmp_path).what)
    assert "pipe" in str(refusal(tmp_path / "pipe").what)


def test_a_name_no_file_can_have_is_refused(tmp_path):
    assert "cannot be read" in str(refusal(tmp_path / "a\0b").what)
    assert "cannot be read" in str(refusal(tmp_path / ("x" * 5000)).what)
    (tmp_path / "ring").symlink_to(tmp_path / "ring")
    assert "cannot be read" in str(refusal(tmp_path / "ring").what)


def test_a_file_that_may_not_be_read_is_refused(file, monkeypatch):
    path = file("title: Posts\n")
    path.chmod(0)
    if os.access(path, os.R_OK):  # the superuser may read everything

        def closed(*_, **__):
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(file_text, "reading", closed)

    assert "Permission denied" in str(refusal(path).what)


def test_a_hundred_megabyte_file_is_refused_in_milliseconds_by_its_size(tmp_path):
    path = tmp_path / "large.yaml"
    with path.open("wb") as out:
        out.truncate(100 * 1024 * 1024)
    start = time.perf_counter()

    assert "104857600 bytes" in str(refusal(path).what)
    assert time.perf_counter() - start < 0.05


def test_a_file_of_exactly_the_largest_size_passes_and_one_byte_more_does_not(file):
    whole = "a: '" + "x" * (LARGEST_BYTES - 5) + "'"

    assert len(load(file(whole)).value["a"]) == LARGEST_BYTES - 5
    assert str(LARGEST_BYTES + 1) in str(refusal(file(whole + "\n")).what)


def test_a_file_that_grows_between_measuring_and_reading_is_refused(file, monkeypatch):
    path = file("x" * 100)
    monkeypatch.setattr(file_text, "LARGEST_BYTES", 200)

    def grown(there):
        with there.open("ab") as out:
            out.write(b"x" * 200)
        return there.open("rb")

    monkeypatch.setattr(file_text, "reading", grown)

    assert "no scenario needs more" in str(refusal(path).what)


@pytest.mark.parametrize("content", ["", "  \n\n", "# only a comment\n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_refused(file, content):
    what = str(refusal(file(content)).what)

    assert "empty" in what or "nothing but comments" in what


def test_a_file_that_is_not_utf_8_is_refused_at_the_byte(file):
    error = refusal(file(b"title: Posts\nbrief: caf\xe9\n"))

    assert "0xe9" in str(error.what)
    assert str(error.where).endswith(":2:11")


def test_a_file_in_utf_16_is_refused(file):
    assert "UTF-8" in str(refusal(file("title: Posts".encode("utf-16"))).what)


# ---- what YAML can do and a scenario cannot


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [{', '.join([f'*{old}'] * 9)}]\n"
    for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    ("content", "says", "line_and_column"),
    [
        (BOMB, "an anchor, &a", "1:4"),
        ("a: b\nc: *a\n", "an alias, *a", "2:4"),
        ("a: !!int 3\n", "a tag", "1:4"),
        ("a: !!python/object/apply:os.system [x]\n", "a tag", "1:4"),
        ("a: !!timestamp foo\n", "a tag", "1:4"),
        ("a: ! 3\n", "a tag", "1:4"),
        ("!!map {a: 1}\n", "a tag", "1:1"),
        ("a: 1\n---\nb: 2\n", "second document", "2:1"),
        ("%YAML 1.1\n---\na: 1\n", "% line", "1:1"),
        ("%TAG ! tag:x,2000:\n---\na: 1\n", "% line", "1:1"),
        ("[" * 100_000, "depth", "1:"),
        ("[" * 500, f"more than {DEEPEST} deep", f"1:{DEEPEST + 1}"),
        ("{a: " * 10_000, f"more than {DEEPEST} deep", f"1:{4 * DEEPEST + 1}"),
        ("- " * 10_000 + "x", f"more than {DEEPEST} deep", f"1:{2 * DEEPEST + 1}"),
        ("- x\n" * 30_000, f"more than {MOST_EVENTS} parts", "19998:3"),
        ("a: 1\nb: 2\na: 3\n", "'a' is given twice, first on line 1", "3:1"),
        ("a: {b: 1, 'b': 2}\n", "'b' is given twice, first on line 1", "1:11"),
        ("x: .nan\n", "measured", "1:4"),
        ("x: [1, -.inf]\n", "measured", "1:8"),
        ("when: 2020-13-45\n", "'2020-13-45' is a date", "1:7"),
        ("k: 0x_\n", "'0x_' is a whole number", "1:4"),
        ("k: " + "7" * 5000 + "\n", "5000 characters", "1:4"),
        ('t: "\\ud800"\n', "", "1:"),
        ('t: "a\\0b"\n', "U+0000", "1:4"),
        ('t: "\\e[2J"\n', "U+001B", "1:4"),
        (b"t: a\x07b\n", "U+0007", "1:5"),
        ("t: a\u2028b\n", "U+2028", "1:5"),
        ("t: a\x85b\n", "U+0085", "1:5"),
        ("NO: 1\n", "'NO' is true or false", "1:1"),
        ("12: 1\n", "12 was found", "1:1"),
        ("true: 1\n", "True was found", "1:1"),
        ("~: 1\n", "nothing was found", "1:1"),
        ("? [a]\n: 1\n", "a list or a mapping was found", "1:3"),
        ("? {a: 1}\n: 1\n", "a list or a mapping was found", "1:3"),
        ("a: [1\n", "the bracket [ that opens here is not closed", "1:4"),
        ("a: 'x\n", "the quote ' that opens here is not closed", "1:4"),
        ("a: b: c\n", "a colon and a space in it", "1:5"),
        ("a: 1\n  b: 2\n", "the line begins with 2 spaces", "2:3"),
        ("just words\n", "names and values", "1:1"),
        ("~\n", "names and values", "1:1"),
        ("\ta: 1\n", "a tab", "1:1"),
        ("a: 'x\ty'\n", "a tab", "1:6"),
        ("a: @x\n", "a text that begins with @", "1:4"),
    ],
)
def test_what_a_scenario_cannot_hold_is_refused_at_its_line_and_column(
    file, untold, content, says, line_and_column
):
    path = file(content)
    start = time.process_time()
    error = refusal(path)
    took_s = time.process_time() - start

    assert says in str(error.what)
    assert str(error.where).startswith(f"{path}:{line_and_column}")
    assert not untold(error)
    assert took_s < 0.5


def test_as_many_brackets_and_parts_as_are_allowed_pass(file):
    assert load(file("[" * DEEPEST + "]" * DEEPEST)).value
    words = MOST_EVENTS - 6  # the stream, the document and the list each start and end

    assert len(load(file("- x\n" * words)).value) == words
    assert "parts" in str(refusal(file("- x\n" * (words + 1))).what)


def test_the_pure_python_parser_gives_the_same_values_and_places_as_the_c_one(file, monkeypatch):
    path = file("title: Rail posts\nstock: {a: [1, 2.5], 'b c': true}\nbrief: |\n  x\n  y\nq:\n")
    with_c = load(path)
    monkeypatch.setattr(gate, "_LOADER", yaml.SafeLoader)

    assert load(path) == with_c
    assert "U+D800" in str(refusal(file('t: "\\ud800"\n')).what)


# ---- anything at all


def outcome(path):
    """Return the values, or None if refused; any other exception is the test's failure."""
    try:
        return load(path)
    except ScenarioError as error:
        refused = error
    assert str(refused.where).startswith(str(path))
    assert str(refused).isprintable()
    return None


def leaves(value):
    if isinstance(value, dict):
        assert all(isinstance(key, str) for key in value)
        return [leaf for item in value.values() for leaf in leaves(item)]
    if isinstance(value, list):
        return [leaf for item in value for leaf in leaves(item)]
    return [value]


FUZZ = settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])


@FUZZ
@given(st.binary(max_size=200))
def test_any_bytes_are_values_or_a_refusal_and_nothing_else(file, content):
    outcome(file(content))


YAML_PIECES = st.lists(
    st.sampled_from(
        ["a", "b:", ": ", "- ", "? ", "\n", "\n  ", "  ", "{", "}", "[", "]", ", ", "'", '"', "|\n",
         ">-\n", "&a ", "*a", "!!int ", "! ", "%YAML 1.2\n", "---\n", "...\n", "#", "<<: ", "\\u",
         "\\x00", "0x_", "1_0", "1e3", ".inf", "on", "2020-13-45", "\t", "\r", "~", "12:30", "é",
         "=", "@", "`", "\ufeff", "\0", "\u2028", "null", "0.5", "-7"]
    ),
    max_size=30,
).map("".join)  # fmt: skip


@FUZZ
@given(st.one_of(st.text(max_size=100), YAML_PIECES))
@example("? a\n: ? b\n")
@example("a: |9\n x")
def test_any_text_is_plain_values_or_a_refusal_and_nothing_else(file, content):
    located = outcome(file(content.encode("utf-8", "surrogatepass")))

    if located is not None:
        for leaf in leaves(located.value):
            assert leaf is None or type(leaf) in (str, int, float, bool)
            assert not isinstance(leaf, float) or math.isfinite(leaf)


@FUZZ
@given(YAML_PIECES)
def test_a_text_that_passes_is_read_alike_by_two_other_yaml_libraries(file, content):
    located = outcome(file(content))
    if located is None:
        return
    for read in (partial(yaml.load, Loader=yaml.SafeLoader), YAML(typ="safe", pure=True).load):
        with suppress(yaml.YAMLError, RuamelError):  # stricter on layout, which an editor shows
            assert read(content) == located.value


VALUES = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(-(10**15), 10**15), st.text(max_size=8),
        st.floats(allow_nan=False, allow_infinity=False),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)  # fmt: skip


@FUZZ
@given(st.dictionaries(st.text("abc_", min_size=1), VALUES, min_size=1, max_size=4))
def test_values_written_as_json_come_back_equal_unless_a_word_of_them_is_refused(file, values):
    located = outcome(file(json.dumps(values, ensure_ascii=False).encode("utf-8", "replace")))

    if located is not None and "�" not in str(values):
        assert located.value == values
