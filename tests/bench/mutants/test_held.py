"""The list of what is held by which tests names files that are there and lines that still stand so."""

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
HELD = tomllib.loads(Path(__file__).with_name("held.toml").read_text("utf-8"))


@pytest.mark.parametrize("file", HELD)
def test_the_files_are_there_and_the_lines_that_are_explained_stand_in_them(file):
    row = HELD[file]
    said = " ".join((ROOT / file).read_text("utf-8").split())

    assert row["tests"]
    assert [test for test in row["tests"] if not (ROOT / test).is_file()] == []
    for each in row.get("alike", ()):
        assert each["before"] in said, each
        assert each["why"], each
        assert set(each) == {"in", "before", "after", "why"}
