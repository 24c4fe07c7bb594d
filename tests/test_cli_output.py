"""No command writes over what it reads, over a record, or over a file of another kind."""

import os
import re
import subprocess
import sys

import pytest

from sim.cli import BAD_INPUT, BROKEN_OFF
from sim.debrief.debrief import finish
from sim.pilot.autopilot import whole_job
from sim.resources import shipped
from sim.scenario import library
from sim.session.opening import open_recorded

_TOOK = re.compile(r"\bin \d+ s\b")  # by the wall, which no two runs share
WRITERS = (
    "trace {record} -o", "debrief {record} -o", "class {folder} -o", "prove dead --quick --bypass I14 -o",
    "print signals -o", "print all -o", "print diagram head --format svg -o", "draw --seed 3 -o",
    "shot rail-posts -o",
)  # fmt: skip
KEPT = (
    library.find("rail-posts").read_bytes(),
    (shipped("scenarios") / "machines" / "harbour-saw" / "sizes.yaml").read_bytes(),
    b"piece,length,count\n1,600,4\n", b'{"who": "A"}', b"<!DOCTYPE html>\n<title>Shift plan</title>\n",
)  # fmt: skip
ENDINGS = {"debrief": ".html", "class": ".csv", "prove": ".vcd", "shot": ".png"}


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    """A record of a short job, alone in its folder."""
    path = tmp_path_factory.mktemp("records") / "job.jsonl"
    session = open_recorded("rail-posts", path)
    session.set("job.wanted", 1)
    whole_job(session)
    finish(session)
    return path


def name_for(line):
    """Return a name whose ending the command takes."""
    ending = ".svg" if "svg" in line else ".html" if "all" in line else ".txt"
    return f"file{ENDINGS.get(line.split()[0], ending)}"


@pytest.mark.parametrize("line", WRITERS)
def test_a_record_and_a_file_of_another_kind_stay_as_they_are(drycycle, record, tmp_path, line):
    words = line.format(record=record, folder=record.parent).split()
    copy = tmp_path / name_for(line)
    for content in (record.read_bytes(), b"\x00\x01 of another program", *KEPT):
        copy.write_bytes(content)

        code, _, err = drycycle(*words, copy)

        assert (code, len(err.splitlines())) == (BAD_INPUT, 1)
        assert str(copy) in err
        assert copy.read_bytes() == content
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".part"] == []


@pytest.mark.parametrize("line", ["trace {record} -o {record}", "run rail-posts --record {record}"])
def test_what_is_read_or_recorded_is_never_written_over(drycycle, record, line):
    before = record.read_bytes()

    code, _, err = drycycle(*line.format(record=record).split())

    assert code == BAD_INPUT
    assert str(record) in err
    assert record.read_bytes() == before


@pytest.mark.sampled(2)
@pytest.mark.parametrize("line", [each for each in WRITERS if not each.startswith("draw")])
def test_what_a_command_wrote_itself_it_may_write_anew(drycycle, record, tmp_path, line):
    words = line.format(record=record, folder=record.parent).split()
    path = tmp_path / "new" / name_for(line)
    path.parent.mkdir()
    first = drycycle(*words, path)
    written = path.read_bytes()

    assert first[2] == ""
    again = drycycle(*words, path)
    assert again[2] == ""
    assert _TOOK.sub("in some s", again[1]) == _TOOK.sub("in some s", first[1])
    assert len(path.read_bytes()) == len(written)
    assert list(path.parent.iterdir()) == [path]


@pytest.mark.sampled(2)
@pytest.mark.skipif(sys.platform == "win32", reason="has no /dev/stdout")
@pytest.mark.parametrize(
    "line",
    ["--help", "list", "schema", "print signals", "print signals -o /dev/stdout", "debrief {record} --json",
     "class {folder}", "replay {record}"],
)  # fmt: skip
def test_where_nobody_reads_any_more_every_command_ends_alike(record, line):
    words = line.format(record=record, folder=record.parent).split()
    read_end, write_end = os.pipe()
    os.close(read_end)
    program = "from sim.cli import main; main()"

    done = subprocess.run(
        [sys.executable, "-c", program, *words], stdin=subprocess.DEVNULL, stdout=write_end,
        stderr=subprocess.PIPE, check=False,
    )  # fmt: skip
    os.close(write_end)

    assert (done.returncode, done.stderr) == (BROKEN_OFF, b"")
