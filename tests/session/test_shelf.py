"""What ships is read once and listed from what was kept, for as long as the files are the same."""

import json

import pytest

from sim.records.keep import keep, kept
from sim.scenario.said_by_operator import said_of
from sim.session import opening, shelf
from sim.session.opening import library_entries
from sim.session.shelf import Listed, listed


@pytest.fixture(autouse=True)
def _fresh(monkeypatch, tmp_path):
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path))
    listed.cache_clear()
    yield
    listed.cache_clear()


def _again():
    listed.cache_clear()
    return listed()


def _wanted():
    return tuple(
        Listed(
            name,
            each.title,
            each.summary,
            each.mode,
            each.level,
            tuple(each.skills),
            said_of(each.reported),
        )
        for name, each in library_entries()
    )


def test_the_list_is_that_of_the_files_whether_it_was_kept_or_not():
    assert listed() == _wanted()
    assert _again() == _wanted()


def test_nothing_is_read_when_it_was_kept(monkeypatch):
    listed()
    monkeypatch.setattr(opening, "library_entries", lambda: pytest.fail("it was read again"))
    assert len(_again()) > 50


def test_other_files_are_read_again(monkeypatch, tmp_path):
    listed()
    name, path = shelf.entries()[0]
    other = tmp_path / path.name
    other.write_bytes(path.read_bytes() + b"\n")
    monkeypatch.setattr(shelf, "entries", lambda: ((name, other),))
    read = []
    monkeypatch.setattr(opening, "library_entries", lambda: read.append(name) or library_entries())
    assert _again()
    assert read == [name]


@pytest.mark.parametrize(
    "spoilt",
    [b"", b"{", b"[]", b"7", b"[7]", b"[{}]", b"\xff", b'{"a": 1}', b"[" * 100_000],
)  # fmt: skip
def test_what_does_not_fit_counts_as_not_kept(spoilt):
    listed()
    keep(shelf._key(), spoilt)
    assert _again() == _wanted()


@pytest.mark.parametrize(("field", "value"), [("level", "2"), ("title", 7), ("skills", [1])])
def test_a_field_of_another_type_counts_as_not_kept(field, value):
    listed()
    rows = json.loads(kept(shelf._key()))
    rows[0][field] = value
    keep(shelf._key(), json.dumps(rows).encode())
    assert _again() == _wanted()
