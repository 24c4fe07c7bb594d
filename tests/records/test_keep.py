"""What took long to work out is kept, and nothing depends on its being there."""

import os

import pytest

from sim.records.keep import engine, keep, kept


@pytest.fixture(autouse=True)
def _own_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / "cache"))


def test_what_was_kept_is_found_again_under_its_key_and_no_other():
    keep("plan-a", b"one")
    keep("plan-b", b"two")
    assert (kept("plan-a"), kept("plan-b"), kept("plan-c")) == (b"one", b"two", None)


def test_what_is_kept_anew_replaces_the_old_and_leaves_no_scrap(tmp_path):
    keep("plan", b"one")
    keep("plan", b"two")
    assert kept("plan") == b"two"
    assert [path.name for path in (tmp_path / "cache").iterdir()] == ["plan"]


def test_a_folder_that_cannot_be_written_keeps_nothing_and_harms_nothing(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / "file" / "cache"))
    keep("plan", b"one")
    assert kept("plan") is None


def test_the_longest_unused_go_when_there_are_too_many(tmp_path):
    for number in range(205):
        keep(f"plan-{number}", b"x")
        os.utime(tmp_path / "cache" / f"plan-{number}", (number, number))
    assert kept("plan-0") is None
    assert kept("plan-204") == b"x"
    assert len(list((tmp_path / "cache").iterdir())) <= 201


def test_without_a_name_for_it_the_cache_lies_beside_the_records(tmp_path, monkeypatch):
    monkeypatch.delenv("DRYCYCLE_CACHE")
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    keep("plan", b"one")
    assert (tmp_path / "cache" / "plan").read_bytes() == b"one"


def test_the_engine_is_told_by_what_its_files_hold():
    assert len(engine()) == 64
    assert engine() == engine()
