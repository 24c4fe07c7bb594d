"""The file of a record: never replaced, whole after a full disk and after a killed program."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from sim.errors import RecordError
from sim.records import store
from sim.records.chain_check import read_chain, recover
from sim.words.visible import visible
from tests.records.chains import ChainWriter

ROOT = Path(__file__).resolve().parents[2]


def run(program, *arguments, **options):
    return subprocess.Popen(
        [sys.executable, "-c", program, *map(str, arguments)],
        stdout=subprocess.PIPE, cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT)}, **options,
    )  # fmt: skip


def test_a_record_never_replaces_a_file(tmp_path):
    path = tmp_path / "posts.jsonl"
    path.write_text("an older record")
    with pytest.raises(RecordError, match="already"):
        ChainWriter(path)

    assert path.read_text() == "an older record"


def test_a_record_in_a_folder_that_is_not_there_is_refused(tmp_path):
    for path in (tmp_path / "none" / "posts.jsonl", tmp_path / "a\0b"):
        with pytest.raises(RecordError, match="cannot be started") as caught:
            ChainWriter(path)
        assert str(caught.value.where) == visible(str(path))


def test_each_act_is_in_the_file_before_the_next_one(tmp_path):
    path = tmp_path / "posts.jsonl"
    with ChainWriter(path) as writer:
        for at_us in range(5):
            writer.append({"at_us": at_us})

            assert recover(path)[-1] == {"at_us": at_us}


@pytest.mark.parametrize(("durable", "calls"), [(True, 4), (False, 0)])
def test_a_durable_record_waits_for_the_disk_once_a_line(tmp_path, monkeypatch, durable, calls):
    waited = []
    monkeypatch.setattr(store, "_to_disk", waited.append)
    writer = ChainWriter(tmp_path / "posts.jsonl", durable=durable)
    writer.append({})
    writer.append({})
    writer.close()

    assert len(waited) == calls


FULL_DISK = """
import resource, signal, sys
from pathlib import Path
from sim.errors import RecordError
from tests.records.chains import ChainWriter
from sim.words.visible import visible

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
writer = ChainWriter(Path(sys.argv[1]))
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, resource.RLIM_INFINITY))
kept = 0
try:
    while True:
        writer.append({"at_us": kept})
        kept += 1
except RecordError as error:
    print(kept, error.what)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
writer.append({"at_us": kept})
writer.close()
"""


def test_a_line_the_disk_would_not_take_is_taken_off_again_and_the_record_goes_on(tmp_path):
    path = tmp_path / "posts.jsonl"
    out, _ = run(FULL_DISK, path).communicate(timeout=60)
    kept = int(out.split()[0])

    assert b"could not be recorded" in out
    assert kept > 0
    assert read_chain(path)[1:-1] == [{"at_us": at_us} for at_us in range(kept + 1)]


def test_a_record_that_cannot_even_take_a_torn_line_off_takes_no_more(tmp_path, monkeypatch):
    writer = ChainWriter(tmp_path / "posts.jsonl")

    def broken(*_):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(store.os, "write", broken)
    monkeypatch.setattr(store.os, "ftruncate", broken)
    with pytest.raises(RecordError, match="Input/output error"):
        writer.append({})
    monkeypatch.undo()

    with pytest.raises(RecordError, match="closed"):
        writer.append({})


def test_a_line_that_goes_out_in_pieces_is_written_whole(tmp_path, monkeypatch):
    path = tmp_path / "posts.jsonl"
    write = os.write
    monkeypatch.setattr(store.os, "write", lambda file, rest: write(file, rest[:7]))
    writer = ChainWriter(path)
    writer.append({"at_us": 1})
    writer.close()

    assert read_chain(path)[1] == {"at_us": 1}


ENDLESS = """
import sys
from pathlib import Path
from tests.records.chains import ChainWriter

writer = ChainWriter(Path(sys.argv[1]))
at_us = 0
while True:
    writer.append({"at_us": at_us})
    sys.stdout.write(f"{at_us}\\n")
    sys.stdout.flush()
    at_us += 1
"""


def test_a_killed_program_loses_no_act_that_it_had_acknowledged(tmp_path):
    path = tmp_path / "posts.jsonl"
    program = run(ENDLESS, path)
    for _ in range(200):
        program.stdout.readline()
    program.send_signal(signal.SIGKILL)
    rest = program.stdout.read().split(b"\n")[:-1]
    program.wait(timeout=60)
    program.stdout.close()
    acknowledged = int(rest[-1]) if rest else 199

    acts = recover(path)[1:]
    assert [act["at_us"] for act in acts] == list(range(len(acts)))
    assert acknowledged + 1 <= len(acts) <= acknowledged + 2
