"""A home that is not there, cannot be written or is told by nobody: one sentence and exit code 2, or none needed."""

import io
import os
import sys
import tempfile
from pathlib import Path

import pytest
from pygame import Surface

from sim.records import bug_log
from sim.records.folder import home
from sim.records.settings import Settings, keep_settings, read_settings
from sim.session.opening import open_recorded
from sim.view.pages.app import App, start_drawing

WANT_IT = (
    ("play", "rail-posts", "--text"), ("instruct", "last"), ("debrief", "last"), ("replay", "last"),
    ("trace", "last", "-o", "out.vcd"),
)  # fmt: skip
DO_WITHOUT = (
    ("play", "rail-posts", "--text", "--no-record"), ("list",), ("check", "rail-posts"),
    ("schema",), ("--version",), ("shot", "rail-posts", "-o", "out.png"),
)  # fmt: skip


def a_file(place):
    (place / "file").write_text("no folder")
    return place / "file"


def below_a_file(place):
    return a_file(place) / "home"


def a_device(_place):
    return Path("/dev/full/home")


def a_link_to_itself(place):
    (place / "round").symlink_to("round")
    return place / "round"


def too_long_a_name(place):
    return place / ("x" * 300)


def told_by_nobody(_place):
    return None


HOMES = (
    a_file, below_a_file, a_device, a_link_to_itself, too_long_a_name, told_by_nobody,
)  # fmt: skip


@pytest.fixture(params=HOMES, ids=[each.__name__ for each in HOMES])
def at_odd_home(request, drycycle, tmp_path, monkeypatch):
    """The command `drycycle` where home is of no use."""
    folder = request.param(tmp_path)
    if folder is None:
        tell_none(monkeypatch)
    else:
        monkeypatch.setenv("DRYCYCLE_HOME", str(folder))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("press supply.isolator\nquit\n"))
    return drycycle


def tell_none(monkeypatch):
    def none(_cls=None):
        raise RuntimeError("Could not determine home directory.")

    for name in ("DRYCYCLE_HOME", "HOME", "XDG_DATA_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", classmethod(none))


def test_a_command_that_wants_it_says_so_in_one_sentence(at_odd_home):
    for words in WANT_IT:
        code, out, err = at_odd_home(*words)

        assert (code, out) == (2, ""), words
        assert err.startswith("drycycle: "), words
        assert err.count("\n") == 1, words
        assert "; " in err, words  # and what to do


def test_a_command_that_does_not_want_it_does_without(at_odd_home):
    for words in DO_WITHOUT:
        code, _, err = at_odd_home(*words)

        assert code == 0, (words, err)
        assert "something went wrong" not in err, words


def test_what_is_due_is_told_by_no_records_where_there_can_be_none(drycycle, monkeypatch, tmp_path):
    monkeypatch.setenv("DRYCYCLE_HOME", str(below_a_file(tmp_path)))
    assert drycycle("next")[0] == 0
    tell_none(monkeypatch)
    code, _, err = drycycle("next")

    assert code == 2
    assert "DRYCYCLE_HOME" in err


def test_settings_that_cannot_be_kept_are_as_nobody_chose_them(monkeypatch):
    tell_none(monkeypatch)
    assert read_settings() == Settings()
    assert not keep_settings(Settings())


def test_a_record_and_no_record_do_not_go_together(drycycle):
    code, _, err = drycycle("play", "rail-posts", "--record", "one.jsonl", "--no-record")
    assert code == 2
    assert "leave one of them out" in err


def test_a_bug_is_logged_among_temporary_files_or_not_at_all(monkeypatch, tmp_path):
    tell_none(monkeypatch)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert bug_log.write_bug(ValueError("one")) == tmp_path / "drycycle-bugs.log"
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "gone" / "gone"))
    (tmp_path / "gone").write_text("a file")
    assert bug_log.write_bug(ValueError("two")) is None


def test_the_usual_place_is_never_one_that_hangs_on_where_one_is(monkeypatch):
    monkeypatch.delenv("DRYCYCLE_HOME", raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    for named in ("", "share", "./share"):
        monkeypatch.setenv("XDG_DATA_HOME", named)
        assert home().is_absolute()
    monkeypatch.setenv("XDG_DATA_HOME", "/some/share")
    assert home() == Path("/some/share/drycycle")


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() != 0, reason="needs root to drop it")
def test_a_home_that_only_another_may_write_is_said_in_one_sentence(tmp_path, monkeypatch):
    folder = tmp_path / "home"
    folder.mkdir(mode=0o755)
    for place in (tmp_path, *tmp_path.parents[:3]):
        place.chmod(0o755)
    monkeypatch.setenv("DRYCYCLE_HOME", str(folder))
    open_recorded("rail-posts", tmp_path / "one.jsonl").close()  # all that is wanted is loaded
    out, into = os.pipe()
    if not (child := os.fork()):
        try:
            os.setgid(54321)
            os.setuid(54321)
            open_recorded("rail-posts", None)
        except BaseException as error:  # noqa: BLE001 - told to the parent, whatever it is
            os.write(into, f"{type(error).__name__} {error}".encode())
        finally:
            os._exit(0)
    os.close(into)
    os.waitpid(child, 0)
    with open(out, "rb") as said:  # noqa: PTH123 - a descriptor
        told = said.read().decode()

    assert told.startswith("RecordError ")
    assert "Permission denied" in told
    assert "--no-record" in told


# ---- the window


def test_a_scenario_that_cannot_be_recorded_is_said_at_home_and_the_window_stays(
    monkeypatch, tmp_path
):
    start_drawing()
    app = App(Surface((1280, 720)))
    monkeypatch.setenv("DRYCYCLE_HOME", str(below_a_file(tmp_path)))
    app.open("rail-posts")
    app.stage.frame()

    assert app.running
    assert app.play is None
    assert "--no-record" in app.stage.by_name["home.trouble"].label


def test_once_more_where_the_record_has_a_name_is_said_at_home(monkeypatch, tmp_path):
    start_drawing()
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    path = tmp_path / "one.jsonl"
    app = App(Surface((1280, 720)), lambda: open_recorded("rail-posts", path))
    app.finish()
    app.stage.page._again()

    assert "already" in app.stage.by_name["home.trouble"].label


def test_a_page_that_cannot_be_saved_is_said_on_it(monkeypatch, tmp_path):
    start_drawing()
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    app = App(Surface((1280, 720)), lambda: open_recorded("rail-posts", tmp_path / "one.jsonl"))
    app.finish()
    (tmp_path / "one.html").mkdir()
    app.stage.page.save()
    app.stage.frame()

    assert app.stage.page.saved is None
    assert "this is a folder" in app.stage.by_name["record.0"].label
