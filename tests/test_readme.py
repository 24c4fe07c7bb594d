"""The README is true: its examples run, its outputs are what comes out, its words exist."""

import os
import re
import subprocess
import sys
from collections import Counter
from importlib import import_module
from pathlib import Path
from shutil import copy, copytree, ignore_patterns

import pytest

from sim import cli
from sim.authoring.check import check
from sim.cli.commands import DRYCYCLE
from sim.debrief.evidence import evidence
from sim.session.opening import library_entries, open_session
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def _block(after: str, kind: str) -> str:
    """Return the first fenced block of a kind that comes after some words."""
    found = re.search(rf"```{kind}\n(.*?)```", README[README.index(after) :], re.DOTALL)
    assert found is not None
    return found[1]


def test_the_readme_opens_with_the_job_and_two_commands():
    paragraph, _, rest = README.removeprefix("# drycycle\n\n").partition("\n\n")

    assert "training saw that can be run wrong on purpose" in paragraph
    modes = Counter(scenario.mode for _, scenario in library_entries())
    assert f"{modes['lesson']} lessons, {modes['drill']} drills, a printed debrief" in paragraph
    assert rest.startswith("![")  # the picture, before anything that is typed
    commands = re.findall(r"```sh\n(.*?)\n```", rest, re.DOTALL)[:2]
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)
    assert commands[0].endswith(".venv/bin/drycycle")
    assert "pytest" in commands[1]


def test_the_run_in_the_readme_prints_what_it_says(capsys, monkeypatch):
    block = _block("## Without a window", "console")
    command, _, output = block.partition("\n")
    monkeypatch.setattr(sys, "argv", command.removeprefix("$ ").split())
    with pytest.raises(SystemExit):
        cli.main()

    assert capsys.readouterr().out == output


def test_the_drill_typed_in_one_go_ends_with_full_marks():
    script = _block("typed in one go", "sh").split("\n")[1:-2]
    told: list[str] = []
    session = open_session("posts-come-out-short")

    code = play(session, script, told.append, interactive=False)

    assert code == 0
    assert "Passed, 100 of 100." in "\n".join(told)


def test_the_lines_beside_the_drill_of_wiring_tell_its_cause():
    sentence = next(line for line in README.splitlines() if line.startswith("That one is told by"))
    lines = re.findall(r"`([^`]+)`", sentence)
    session = open_session("stands-with-the-head-down", nonce="")

    assert len(lines) == 8
    assert play(session, lines, lambda _: None, interactive=False) == 0
    [hidden] = session.scenario.faults
    session = open_session("stands-with-the-head-down", nonce="")
    for line in lines:
        perform(session, parse(line))
    session.diagnose(hidden.name)
    [naming] = evidence(session).namings
    assert naming.told_apart


def test_the_lock_out_typed_in_one_go_is_verified_and_exposes_nobody():
    script = _block("The whole of it for a band change", "sh").split("\n")[1:-2]
    told: list[str] = []
    session = open_session("rail-posts")

    code = play(session, script, told.append, interactive=False)

    assert code == 0
    assert "locked and verified" in "\n".join(told)
    assert session.saw.read("band.teeth_per_inch") == 6
    assert (session.saw.consequences, session.hands.exposures) == ([], [])
    assert not session.lockout.begun
    # With the band let down it passes on nothing, and nobody cuts with it.
    assert not any("the drive passes on" in line or "would wander" in line for line in told)


def test_the_drill_of_the_tutorial_is_sound_and_shorter_than_thirty_lines(tmp_path):
    text = _block("## Write a drill", "yaml")
    mine = tmp_path / "mine.yaml"
    mine.write_text(text, encoding="utf-8")

    report = check(str(mine))

    assert len(text.splitlines()) < 30
    assert report.sound, [f for f in report.verdicts if not f.holds]


def test_every_command_stands_in_the_readme():
    names = [command.name for command in DRYCYCLE.commands]

    assert names
    missing = [name for name in names if f"drycycle {name}" not in README]

    assert missing == []


def test_every_file_the_readme_shows_is_there():
    for path in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / path).is_file(), path


@pytest.mark.parametrize("called", re.findall(r"\| `(sim\.[\w.]+)\(", README))
def test_what_the_readme_calls_in_python_is_there(called):
    module, _, function = called.rpartition(".")

    assert callable(getattr(import_module(module), function))


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_path_that_a_document_names_is_there(document):
    text = (ROOT / document).read_text(encoding="utf-8")
    made = set(re.findall(r"Save this as `([^`]+)`", text))  # by who reads
    paths = set(re.findall(r"`((?:[\w.-]+/)+[\w*-]*(?:\.\w+)?)`", text)) - made
    paths = {path for path in paths if not path.startswith(".venv/")}  # that the reader sets up

    assert paths
    assert not {path for path in paths if not _there(path.rstrip("/"))}


def _there(path):
    """Return whether a path is one of the repository, of `sim`, or of a folder in it or of tests."""
    inside = (where.glob(f"**/{path}") for where in (ROOT / "sim", ROOT / "tests"))
    return any(ROOT.glob(path)) or any(any(found) for found in inside)


@pytest.fixture
def clone(tmp_path):
    """A copy of what the first hour of DEVELOPERS.md works on, and how a line is typed in it."""
    for folder in ("sim", "scenarios", "art"):
        copytree(ROOT / folder, tmp_path / folder, ignore=ignore_patterns("__pycache__"))
    program = f"drycycle() {{ '{sys.executable}' -c 'from sim.cli import main; main()' \"$@\"; }}"
    known = {**os.environ, "PYTHONPATH": str(tmp_path), "XDG_DATA_HOME": str(tmp_path / "data")}

    def type_in(lines):
        return subprocess.run(
            ["sh", "-e", "-c", f"{program}\n{lines}"],
            cwd=tmp_path, env=known, capture_output=True, text=True, timeout=120, check=False,
        )  # fmt: skip

    return tmp_path, type_in


def test_the_first_hour_of_the_developers_goes_as_it_is_written(clone):
    there, type_in = clone
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    hour = told[told.index("**Change one number") : told.index("## Find things")]
    named, test = re.search(
        r"Save this as `([^`]+)`:\n\n```python\n(.*?)```", hour, re.DOTALL
    ).groups()
    typed = re.search(r"```sh\n(.*?)```", hour, re.DOTALL)[1]
    run = re.search(r"`python (-m pytest \S+)` fails", hour)[1]
    machine = Path("scenarios/machines/harbour-saw/sizes.yaml")
    mine = there / named
    mine.parent.mkdir(parents=True)
    mine.write_text(test, encoding="utf-8")

    changed = type_in(typed)
    assert changed.returncode == 0, changed.stderr
    lines = zip(
        (ROOT / machine).read_text("utf-8").splitlines(),
        (there / machine).read_text("utf-8").splitlines(),
        strict=True,
    )
    assert sum(before != after for before, after in lines) == 1
    assert (there / "before.png").read_bytes() != (there / "after.png").read_bytes()

    assert type_in(f"'{sys.executable}' {run}").returncode == 1
    copy(ROOT / machine, there / machine)  # as `git checkout scenarios`
    assert type_in(f"'{sys.executable}' {run}").returncode == 0
