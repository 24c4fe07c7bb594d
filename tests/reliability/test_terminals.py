"""What a command says is the same on any terminal and in any pipe, and never a crash."""

import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from sim import cli
from sim.debrief.debrief import finish
from sim.pilot.autopilot import whole_job
from sim.session.opening import open_recorded
from sim.text.page import Printer
from sim.text.streams import make_ready
from sim.words.message import quoted
from sim.words.visible import visible

ENCODINGS = ("ascii", "cp1252", "cp437", "latin-1", "utf-8")
LANGUAGES = ("en", "es")
# Each line is a command as it is typed; what stands in braces is a file.
LINES = (
    "list scenarios", "list faults", "list inspections", "list keys", "list points",
    "list materials", "replay {record}", "debrief {record}", "debrief {record} --json",
    "class {folder}", "instruct {record}", "next --folder {folder}", "print handbook",
    "print cause-and-effect", "print signals", "print rungs", "print all", "print scxml",
    "print diagram head --format svg", "schema", "calc speed S275JR", "calc coolant --reading 4",
    "calc feed S275JR round:60", "calc bars --piece 250x10", "--help", "play --help",
    "list nonsense", "run \u00f1and\u00fa", "check \u4e2d\u6587.yaml", "class \U0001f527",
)  # fmt: skip


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    folder = tmp_path_factory.mktemp("records")
    session = open_recorded("rail-posts", folder / "job.jsonl", "bench-07")
    session.set("job.wanted", 1)
    whole_job(session)
    finish(session)
    return {"folder": folder, "record": folder / "job.jsonl"}


class _Pipe(io.TextIOWrapper):
    """A stream of an encoding, whose octets can be read afterwards."""

    def __init__(self, encoding):
        self.octets = io.BytesIO()
        super().__init__(self.octets, encoding=encoding, errors="strict")

    def said(self):
        self.flush()
        return self.octets.getvalue().decode(self.encoding)


@pytest.fixture
def spoken(monkeypatch, tmp_path, files):
    """Do a command with streams of an encoding; return exit code, output and errors."""
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)

    def do(line, language, encoding):
        out, err = _Pipe(encoding), _Pipe(encoding)
        monkeypatch.setattr(sys, "stdout", out)
        monkeypatch.setattr(sys, "stderr", err)
        words = [word.format(**files) for word in line.split()]
        monkeypatch.setattr(sys, "argv", ["drycycle", "--language", language, *words])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        return ended.value.code or 0, out.said(), err.said()

    return do


@pytest.mark.sampled(3)
@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_command_speaks_in_every_encoding(spoken, line, language):
    code, out, err = spoken(line, language, "utf-8")
    assert code != cli.BUG, err

    for encoding in ENCODINGS[:-1]:
        there = spoken(line, language, encoding)
        assert there[0] == code
        for plain, told in ((there[1], out), (there[2], err)):
            assert plain.count("\n") == told.count("\n")
            if told.isascii():
                assert plain == told


def test_a_letter_that_a_terminal_has_not_is_shown_as_the_plain_one(spoken):
    _, out, _ = spoken("list faults", "es", "ascii")
    _, whole, _ = spoken("list faults", "es", "utf-8")

    assert "Deposito de refrigerante" in out
    assert "Dep\u00f3sito de refrigerante" in whole
    assert "?" not in out.replace("\u00bf", "")


def test_a_page_printed_in_another_encoding_has_its_letters_as_markup(spoken):
    _, out, _ = spoken("print all", "es", "cp437")

    assert "\u00e1" not in out
    assert "&#225;" in out


# In a process of its own -------------------------------------------------------------------


def _run(*words, stdin=b"", **environ):
    home = environ.pop("home")
    env = {
        **{key: value for key, value in os.environ.items() if not key.startswith("LC_")},
        "DRYCYCLE_HOME": str(home), "PYTHONPATH": str(Path(cli.__file__).parents[2]), **environ,
    }  # fmt: skip
    return [sys.executable, "-c", "from sim.cli import main; main()", *map(str, words)], env


def _done(*words, stdin=b"", home, **environ):
    line, env = _run(*words, home=home, **environ)
    return subprocess.run(line, input=stdin, env=env, capture_output=True, timeout=120, check=False)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("environ", [
    {"PYTHONIOENCODING": "ascii", "TERM": "dumb", "COLUMNS": "20"},
    {"PYTHONIOENCODING": "cp437", "COLUMNS": "1"},
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "COLUMNS": "-3"},
])  # fmt: skip
def test_a_session_in_a_poor_terminal_ends_as_in_a_good_one(environ, tmp_path):
    script = b"look\nwhy head.raise\nquit\n"
    environ = {**environ, "DRYCYCLE_LANGUAGE": "es"}
    done = _done("play", "rail-posts", "--text", stdin=script, home=tmp_path / "home", **environ)

    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr
    assert not list((tmp_path / "home").rglob("bugs.log"))


@pytest.mark.sampled(3)
@pytest.mark.parametrize(
    "words", [("list", "faults"), ("print", "handbook"), ("--help",), ("schema",), ("list", "x")]
)
def test_a_reader_who_goes_away_is_no_bug(words, tmp_path):
    line, env = _run(*words, home=tmp_path / "home")
    with subprocess.Popen(line, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()  # as `| head -1` does
        errors = running.stderr.read()
        code = running.wait(timeout=60)

    assert code in (2, 130)
    assert b"Traceback" not in errors
    assert b"Exception ignored" not in errors
    assert not list((tmp_path / "home").rglob("bugs.log"))


@pytest.mark.sampled(6)
@pytest.mark.skipif(sys.platform == "win32", reason="closes streams as a shell does")
@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
@pytest.mark.parametrize("words", ["list keys", "list nonsense", "play rail-posts --text"])
def test_a_closed_stream_is_no_bug(closed, words, tmp_path):
    line, env = _run(*words.split(), home=tmp_path / "home")
    shell = " ".join(f"'{each}'" for each in line)
    stdin = None if "<" in closed else subprocess.DEVNULL
    done = subprocess.run(
        ["sh", "-c", f"{shell} {closed}"], env=env, stdin=stdin, capture_output=True, timeout=120,
        check=False,
    )  # fmt: skip

    assert done.returncode == (2 if words == "list nonsense" else 0)
    assert b"Traceback" not in done.stderr
    assert not list((tmp_path / "home").rglob("bugs.log"))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
def test_an_output_that_cannot_be_written_is_one_line(tmp_path):
    line, env = _run("list", "faults", home=tmp_path / "home")
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            line, env=env, stdout=full, stderr=subprocess.PIPE, timeout=120, check=False
        )

    assert done.returncode == 2
    assert done.stderr.decode() == (
        "drycycle: the output cannot be written: No space left on device\n"
    )
    assert not list((tmp_path / "home").rglob("bugs.log"))


@pytest.mark.sampled(8)
@pytest.mark.skipif(sys.platform == "win32", reason="opens a terminal of its own")
@pytest.mark.parametrize("columns", [1, 5, 20, 200])
@pytest.mark.parametrize("term", ["dumb", "xterm"])
@pytest.mark.parametrize("words", ["list faults", "play rail-posts --text", "calc speed S275JR"])
def test_a_narrow_terminal_folds_and_never_fails(words, term, columns, tmp_path):
    line, env = _run(
        *words.split(), home=tmp_path / "home", TERM=term, COLUMNS=str(columns), LINES="10"
    )
    ours, theirs = pty.openpty()
    with subprocess.Popen(line, env=env, stdin=theirs, stdout=theirs, stderr=theirs) as running:
        os.close(theirs)
        os.write(ours, b"quit\n")
        said = b""
        while True:
            try:
                octets = os.read(ours, 65_536)
            except OSError:  # the other end is closed
                break
            if not octets:
                break
            said += octets
        code = running.wait(timeout=60)
    os.close(ours)

    assert code == 0, said
    assert b"Traceback" not in said


# What nobody may be shown as it stands -----------------------------------------------------


def test_what_moves_a_cursor_or_turns_a_text_is_written_out():
    assert visible("a\x1b[2Jb\u202ec\u2066d\x9be\udc9b") == (
        "a\\x1b[2Jb\\u202ec\\u2066d\\x9be\\udc9b"
    )
    assert (
        visible("ca\u00f1o \u4e2d \u00a0 na\u00efve\n", keep="\n")
        == "ca\u00f1o \u4e2d \u00a0 na\u00efve\n"
    )


def test_a_printed_line_holds_no_sign_that_acts():
    lines = []
    Printer(lines.append).put(quoted("one\x1b]0;x\x07 \u202etwo\nthree"))

    assert lines == ["one\\x1b]0;x\\x07 \\u202etwo three"]


@pytest.mark.parametrize(
    "command", ["replay", "debrief", "class", "check", "run", "trace -o a.vcd"]
)
def test_a_file_name_that_acts_is_written_out(drycycle, tmp_path, command):
    name = tmp_path / "a\x1b[31m\u202eb\n.jsonl"
    code, out, err = drycycle(*command.split(), name)

    assert code == 2
    assert not {"\x1b", "\u202e"} & set(out + err)
    assert len(err.splitlines()) == 1
    assert "\\x1b[31m\\u202eb" in err


def test_streams_made_ready_twice_are_ready(monkeypatch):
    for stream in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, stream, None)
    make_ready()
    make_ready()

    assert sys.stdin.read() == ""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        stream.close()
