"""What took long to work out is kept, nothing depends on its being there, and nothing else is touched."""

import os

import pytest

from sim.bugs import TableError
from sim.records import keep as keeping
from sim.records.keep import FOLDER, MARKER, engine, keep, kept, key_of

A, B, C = (key_of("plan", decides) for decides in (b"a", b"b", b"c"))


@pytest.fixture(autouse=True)
def named(tmp_path, monkeypatch):
    """The folder that is named for it."""
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def folder(named):
    """The folder that it makes there."""
    return named / FOLDER


def _held(folder):
    return {path.name for path in folder.iterdir()}


def test_what_was_kept_is_found_again_under_its_key_and_no_other():
    keep(A, b"one")
    keep(B, b"two")
    assert (kept(A), kept(B), kept(C)) == (b"one", b"two", None)


def test_what_is_kept_anew_replaces_the_old_and_leaves_no_scrap(folder):
    keep(A, b"one")
    keep(A, b"two")
    assert kept(A) == b"two"
    assert _held(folder) == {A, MARKER}


def test_a_folder_that_cannot_be_written_keeps_nothing_and_harms_nothing(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / "file" / "cache"))
    keep(A, b"one")
    assert kept(A) is None


def test_without_a_home_nothing_is_kept(monkeypatch):
    def no_home():
        raise RuntimeError("could not determine home directory")

    monkeypatch.delenv("DRYCYCLE_CACHE")
    monkeypatch.setattr(keeping, "home", no_home)
    keep(A, b"one")
    assert kept(A) is None


def test_the_longest_unused_go_when_there_are_too_many(folder):
    keys = [key_of("plan", b"%d" % number) for number in range(405)]
    for number, key in enumerate(keys):
        keep(key, b"x")
        os.utime(folder / key, (number, number))
    assert kept(keys[0]) is None
    assert kept(keys[-1]) == b"x"
    assert len(_held(folder) - {MARKER}) == 400


def test_what_was_used_lately_stays(folder, monkeypatch):
    monkeypatch.setattr(keeping, "_MOST_FILES", 2)
    for number, key in enumerate((A, B)):
        keep(key, b"x")
        os.utime(folder / key, (number, number))
    assert kept(A) == b"x"
    keep(C, b"x")
    assert _held(folder) == {A, C, MARKER}


def test_without_a_name_for_it_the_folder_lies_beside_the_records(tmp_path, monkeypatch):
    monkeypatch.delenv("DRYCYCLE_CACHE")
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    keep(A, b"one")
    assert _held(tmp_path / FOLDER) == {A, MARKER}


def test_the_engine_is_told_by_what_its_files_hold():
    assert len(engine()) == 64
    assert engine() == engine()


@pytest.mark.parametrize("key", ["", "plan", "../plan", f"plan-{'g' * 64}", f"{A}/x", A.upper()])
def test_only_a_key_names_what_is_kept(key):
    for ask in (kept, lambda key: keep(key, b"one")):
        with pytest.raises(TableError):
            ask(key)


# What is not ours ----------------------------------------------------------------------------


def test_foreign_files_and_folders_survive(named, folder, monkeypatch):
    monkeypatch.setattr(keeping, "_MOST_FILES", 1)
    keep(A, b"one")
    foreign = [
        named / "thesis.tex", folder / "thesis.tex", folder / "deep" / "er" / "notes.txt",
        folder / f"{A}.orig", folder / f"old-{A}", folder / ".hidden", folder / ".new-plan",
        folder / "plan-1234", folder / key_of("plan", b"folder") / "inside.txt",
    ]  # fmt: skip
    for path in foreign:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("mine")
        os.utime(path, (1, 1))
    link = folder / key_of("plan", b"link")
    link.symlink_to(named / "thesis.tex")
    os.utime(link, (1, 1), follow_symlinks=False)

    keep(B, b"two")
    keep(C, b"three")

    assert all(path.read_text() == "mine" for path in foreign)
    assert link.is_symlink()
    assert (kept(A), kept(B), kept(C)) == (None, None, b"three")


def test_files_of_others_survive(folder, monkeypatch):
    keep(A, b"one")
    monkeypatch.setattr(keeping, "_MOST_FILES", 1)
    real = os.geteuid()
    monkeypatch.setattr(
        os, "geteuid", lambda: real + 1
    )  # from now on A and the marker are another's
    keep(B, b"two")
    assert (folder / A).is_file()


def test_a_folder_of_that_name_that_is_not_ours_is_left_alone(folder):
    folder.mkdir(parents=True)
    (folder / A).write_bytes(b"a coincidence")
    keep(A, b"one")
    keep(B, b"two")
    assert (kept(A), kept(B)) == (None, None)
    assert (folder / A).read_bytes() == b"a coincidence"
    assert _held(folder) == {A}


@pytest.mark.parametrize(
    "marker", [b"", b"Signature: 8a477f597d28d172789f06886806bc55\n# another's"]
)
def test_the_marker_of_another_program_is_not_ours(folder, marker):
    folder.mkdir(parents=True)
    (folder / MARKER).write_bytes(marker)
    keep(A, b"one")
    assert kept(A) is None
    assert _held(folder) == {MARKER}


def test_what_a_killed_process_left_goes_in_time(folder, monkeypatch):
    monkeypatch.setattr(keeping, "_MOST_FILES", 1)
    keep(A, b"one")
    left = folder / ".new-abc_1234"
    left.write_bytes(b"half of it")
    os.utime(left, (1, 1))
    keep(B, b"two")
    assert _held(folder) == {B, MARKER}


# Entries that do not fit ----------------------------------------------------------------------


def _directory(path, _tmp_path):
    path.mkdir()
    (path / "notes.txt").write_text("mine")


def _linked(path, tmp_path):
    """A link to an entry that would fit."""
    real = tmp_path / "real"
    keep(path.name, b"true")
    path.rename(real)
    path.symlink_to(real)


SPOILT = {
    "empty": lambda path, _: path.write_bytes(b""),
    "no digest": lambda path, _: path.write_bytes(b"poison"),
    "digest of the content alone": lambda path, _: path.write_bytes(
        key_of("x", b"poison")[2:].encode() + b"\npoison"
    ),
    "another entry": lambda path, _: (keep(B, b"two"), path.write_bytes((path.parent / B).read_bytes())),
    "torn": lambda path, _: (keep(A, b"one"), path.write_bytes(path.read_bytes()[:-1])),
    "longer": lambda path, _: (keep(A, b"one"), path.write_bytes(path.read_bytes() + b"x")),
    "changed": lambda path, _: (keep(A, b"one"), path.write_bytes(path.read_bytes()[:-1] + b"f")),
    "huge": lambda path, _: (path.touch(), os.truncate(path, 2**40)),
    "a pipe": lambda path, _: os.mkfifo(path),
    "a folder": _directory,
    "a link": _linked,
    "a link to itself": lambda path, _: path.symlink_to(path),
    "a link to nothing": lambda path, _: path.symlink_to("/nowhere"),
    "a link to a device": lambda path, _: path.symlink_to("/dev/zero"),
}  # fmt: skip


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT)
def test_an_entry_that_does_not_fit_is_ignored_and_replaced(folder, tmp_path, spoil):
    keep(C, b"three")
    spoil(folder / A, tmp_path)

    assert kept(A) is None
    keep(A, b"new")

    assert kept(A) == b"new"
    assert kept(C) == b"three"
    assert (folder / A).is_file()
    assert not (folder / A).is_symlink()


def test_a_folder_in_the_place_of_an_entry_keeps_what_is_in_it(folder, tmp_path):
    keep(C, b"three")
    _directory(folder / A, tmp_path)
    keep(A, b"new")
    (aside,) = folder.glob("*/*/notes.txt")
    assert aside.read_text() == "mine"


def test_a_link_in_the_place_of_an_entry_is_replaced_and_its_target_stays(folder, tmp_path):
    keep(C, b"three")
    (tmp_path / "thesis.tex").write_text("mine")
    (folder / A).symlink_to(tmp_path / "thesis.tex")
    keep(A, b"new")
    assert (tmp_path / "thesis.tex").read_text() == "mine"


def test_an_entry_of_another_user_is_ignored(monkeypatch):
    keep(A, b"one")
    real = os.geteuid()
    fstat = os.fstat

    def foreign(descriptor):
        told = fstat(descriptor)
        if told.st_size > 200:  # not the marker
            return told
        return os.stat_result((*told[:4], real + 1, *told[5:10]))

    assert kept(A) == b"one"
    monkeypatch.setattr(os, "fstat", foreign)
    assert kept(A) is None
