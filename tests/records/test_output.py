"""A file that was asked for is whole or not there, and never takes the place of something else."""

import os
from pathlib import Path

import pytest

from sim.errors import CommandError
from sim.records.output import check_output, write_output
from tests.records.chains import ChainWriter

PAGE = "<!doctype html>\n<title>New</title>\n"
KINDS = {
    "record": '{"act":"open"}\n', "page": "<!DOCTYPE html>old", "drawing": "<svg old", "dump": "$date",
    "chart": "<?xml old", "picture": b"\x89PNG\r\n", "text": "notes of mine", "binary": b"\x00\x01",
    "program": "/* old */",
}  # fmt: skip


def put(path, content):
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def test_a_new_file_is_written_with_the_rights_of_any_new_file(tmp_path):
    path = tmp_path / "page.html"
    plain = put(tmp_path / "plain", "x")

    write_output(path, PAGE)

    assert path.read_text(encoding="utf-8") == PAGE
    assert path.stat().st_mode == plain.stat().st_mode
    assert sorted(each.name for each in tmp_path.iterdir()) == ["page.html", "plain"]


@pytest.mark.parametrize("there", KINDS)
@pytest.mark.parametrize("new", KINDS)
def test_only_a_file_of_its_own_kind_gives_way(tmp_path, there, new):
    path = put(tmp_path / "file", KINDS[there])
    before = path.read_bytes()

    if there == new:
        write_output(path, KINDS[new])
    else:
        with pytest.raises(CommandError, match="file of another kind"):
            write_output(path, KINDS[new])
        assert path.read_bytes() == before


def test_an_empty_file_gives_way(tmp_path):
    path = put(tmp_path / "file", "")
    write_output(path, PAGE)
    assert path.read_text(encoding="utf-8") == PAGE


@pytest.mark.parametrize("link", ["hard", "soft", "way round"])
def test_what_is_read_is_never_written_over_by_whatever_name(tmp_path, link):
    read = put(tmp_path / "read.html", PAGE)
    path = tmp_path / "other.html"
    if link == "hard":
        path.hardlink_to(read)
    elif link == "soft":
        path.symlink_to(read)
    else:
        (tmp_path / "folder").mkdir()
        path = tmp_path / "folder" / ".." / "read.html"

    for refuse in (
        lambda: write_output(path, PAGE, [read]),
        lambda: check_output(path, b"<", [read]),
    ):
        with pytest.raises(CommandError, match="this file is read"):
            refuse()
    assert read.read_text(encoding="utf-8") == PAGE


def test_a_link_stays_one_and_what_it_leads_to_is_written(tmp_path):
    real = put(tmp_path / "real.html", "<!doctype html>old")
    link = tmp_path / "link.html"
    link.symlink_to(real)

    write_output(link, PAGE)

    assert link.is_symlink()
    assert real.read_text(encoding="utf-8") == PAGE


def test_what_cannot_be_written_whole_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch):
    path = put(tmp_path / "page.html", "<!doctype html>old")

    def full(_number):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CommandError, match="cannot be written"):
        write_output(path, PAGE)

    assert path.read_text(encoding="utf-8") == "<!doctype html>old"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("name", ["missing/page.html", "file/page.html", "x" * 300, "a\0b"])
def test_a_place_that_there_is_not_is_refused_with_its_name(tmp_path, name):
    put(tmp_path / "file", "x")

    with pytest.raises(CommandError, match="cannot be written"):
        write_output(tmp_path / name, PAGE)

    assert [each.name for each in tmp_path.iterdir()] == ["file"]


def test_a_device_is_written_to_and_not_replaced():
    write_output(Path(os.devnull), PAGE)
    assert not Path(os.devnull).is_file()


# What people keep, and what looks like an output of ours at first sight.
KEPT = {
    "table": "piece,length,count\n1,600,4\n", "another table": "who,score\nA,3\n",
    "scenario": "title: Mine\nmode: practice\n", "machine": "title: Our saw\nkerf_mm: 1.5\n",
    "notes": "Signals: to be checked\n", "data": '{"who": "A"}\n', "list": "[1, 2]\n",
    "own page": "<!DOCTYPE html>\n<title>Shift plan</title>\n",
    "debrief": '<!DOCTYPE html>\n<meta name="generator" content="drycycle debrief">\n',
    "class": '<!DOCTYPE html>\n<meta name="generator" content="drycycle class">\n',
    "own drawing": "<?xml version='1.0'?>\n<svg width='3'/>\n",
    "diagram": "<svg width='3'><!-- drycycle print --></svg>\n",
    "statechart": "<scxml version='1.0'><!-- drycycle print --></scxml>\n",
    "own dump": "$date today $end\n", "trace": "$comment drycycle names\nQ0 $end\n",
    "own program": "/* a driver */\n", "model": "/* Made by `drycycle print promela` from */\n",
    "mermaid": "%% head\n", "picture": b"\x89PNG\r\n", "program file": b"\x7fELF\x00",
}  # fmt: skip


@pytest.mark.parametrize("there", KEPT)
@pytest.mark.parametrize("new", KEPT)
def test_what_people_keep_gives_way_to_nothing_but_its_own_kind(tmp_path, there, new):
    path = put(tmp_path / "file", KEPT[there])
    before = path.read_bytes()

    if there == new:
        write_output(path, KEPT[new])
    else:
        with pytest.raises(CommandError, match="file of another kind"):
            write_output(path, KEPT[new])
        assert path.read_bytes() == before


def test_a_record_gives_way_to_nothing_not_even_to_a_record(tmp_path):
    path = tmp_path / "one.jsonl"
    ChainWriter(path).close({})
    before = path.read_bytes()

    with pytest.raises(CommandError, match="file of another kind"):
        write_output(path, before)
    assert path.read_bytes() == before


def test_a_longer_text_with_the_same_first_line_is_the_same_table_made_anew(tmp_path):
    path = put(tmp_path / "file.csv", "who,score\nA,3\n")
    write_output(path, "who,score\nA,3\nB,5\n")
    assert path.read_text(encoding="utf-8").endswith("B,5\n")
