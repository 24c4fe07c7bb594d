"""What people mistype who edit a file and know no YAML: the right line, and what to write instead.

Each row of `typed_wrongly.tsv` is one slip in a file that ships: what stood there, what was typed in
its place, and the whole sentence that is said. The lesson among them is a copy of its own, since lessons
are rewritten.
"""

import codecs
import json
import re
from pathlib import Path

import pytest

from sim.errors import ScenarioError
from sim.scenario.library import find, machine_path
from sim.session.opening import machine_of, read

TABLE = Path(__file__).with_name("typed_wrongly.tsv")
MACHINES = ("quay-saw", "harbour-saw")
LESSON = Path(__file__).with_name("typed_wrongly_lesson.yaml")


def _cases():
    lines = TABLE.read_text(encoding="utf-8").splitlines()[1:]
    return [tuple(_typed(part) for part in line.split("\t")) for line in lines]


def _typed(part):
    return json.loads('"' + part.replace('"', '\\"') + '"')


def _refused(path, name):
    with pytest.raises(ScenarioError) as caught:
        machine_of(str(path)) if name in MACHINES else read(str(path))
    return caught.value


def _text_of(name):
    if name == "01-power-up-and-stops":
        path = LESSON
    else:
        path = machine_path(name) if name in MACHINES else find(name)
    return path.read_text(encoding="utf-8")


@pytest.mark.parametrize(("name", "stood", "typed", "place", "said"), _cases())
def test_a_slip_of_the_pen_is_told_at_its_line_with_what_to_write(
    name, stood, typed, place, said, tmp_path
):
    text = _text_of(name)
    assert stood in text
    path = tmp_path / "mine.yaml"
    path.write_text(text.replace(stood, typed, 1), encoding="utf-8")

    assert str(_refused(path, name)) == f"{path}:{place}: {said}"


@pytest.mark.parametrize("name", ["rail-posts", "quay-saw"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8])
def test_a_slip_stands_on_the_same_line_however_the_editor_ends_its_lines(
    name, end, mark, tmp_path
):
    text = _text_of(name)
    first = text.index("title:")
    broken = text[:first] + text[first:].replace("title: ", "title: Posts: ", 1)
    path = tmp_path / "mine.yaml"
    path.write_bytes(mark + broken.replace("\n", end).encode())

    line = text.count("\n", 0, first) + 1
    refused = _refused(path, name)
    assert str(refused.where) == f"{path}:{line}:13"
    assert "put it in quotes" in str(refused.what_to_do)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8])
def test_a_file_is_read_alike_however_its_lines_end(end, mark, tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_bytes(mark + _text_of("rail-posts").replace("\n", end).encode())

    assert read(str(path))[0] == read("rail-posts")[0]


@pytest.mark.parametrize(
    ("content", "place", "what", "what_to_do"),
    [
        ("title: Posts\n".encode("utf-16"), "", "UTF-16", "UTF-8"),
        ("title: Posts\n".encode("utf-16-le"), "", "UTF-16", "UTF-8"),
        ("title: Posts\n".encode("utf-16-be"), "", "UTF-16", "UTF-8"),
        ("title: Posts\r\nbrief: ‘caf\u00e9’\r\n".encode("cp1252"), ":2:8", "0x91", "UTF-8"),
        ("title: Posts\rbrief: caf\u00e9\r".encode("cp1252"), ":2:11", "0xe9", "UTF-8"),
        (b"PK\x03\x04\x14\x00\x06\x00", "", "word processor", "plain text"),
        (b"{\\rtf1\\ansi title: Posts}", "", "word processor", "plain text"),
        (b"%PDF-1.4\n", "", "word processor", "plain text"),
        (b"title: Posts\x00\n", ":1:13", "U+0000", "take it out"),
    ],
)
def test_a_file_in_another_form_is_told_to_be_saved_as_text(
    content, place, what, what_to_do, tmp_path
):
    path = tmp_path / "mine.yaml"
    path.write_bytes(content)
    refused = _refused(path, "mine")

    assert str(refused.where) == f"{path}{place}"
    assert what in str(refused.what)
    assert what_to_do in str(refused.what_to_do)


_LINE = re.compile(r"; (?:write|put it in quotes:) ((?:- )?[a-z_.]+:(?: .*)?)$")
CURED = [  # what stands in braces is only a part of its line
    case
    for case in _cases()
    if (found := _LINE.search(case[4])) and "..." not in found[1] and "{" not in case[2]
]


@pytest.mark.parametrize(("name", "stood", "typed", "place", "said"), CURED)
def test_the_line_that_is_to_be_written_cures_the_file(name, stood, typed, place, said, tmp_path):
    lines = _text_of(name).replace(stood, typed, 1).split("\n")
    at = int(place.split(":")[0]) - 1
    cure = _LINE.search(said)[1]
    before = re.match(r" *" if cure.startswith("- ") else r" *(- )?", lines[at])
    lines[at] = before[0] + cure
    path = tmp_path / "mine.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")

    machine_of(str(path)) if name in MACHINES else read(str(path))
