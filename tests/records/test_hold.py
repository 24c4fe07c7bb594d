"""Whether somebody still writes a record, and that looking never takes it from whoever does."""

import errno
import os
import threading

import pytest

from sim.records import hold as holding
from sim.records.hold import hold, is_held
from tests.records.chains import ChainWriter


def test_a_record_is_held_until_its_writer_lets_it_go(tmp_path):
    path = tmp_path / "one.jsonl"
    writer = ChainWriter(path, durable=False)
    during = is_held(path), is_held(path, unknown=False)
    writer.abandon()

    assert during == (True, True)
    assert not is_held(path)


def test_a_file_that_may_only_be_read_is_told_alike(tmp_path):
    path = tmp_path / "one.jsonl"
    writer = ChainWriter(path, durable=False)
    path.chmod(0o444)
    during = is_held(path, unknown=False)
    writer.abandon()

    assert during
    assert not is_held(path, unknown=False)


def test_whoever_looks_at_a_new_record_at_that_moment_does_not_take_it_from_its_writer(tmp_path):
    path = tmp_path / "one.jsonl"
    path.write_bytes(b"")
    looks, writes = (os.open(path, os.O_RDWR) for _ in range(2))
    hold(looks)  # as `is_held` does for a moment
    held = threading.Thread(target=hold, args=(writes,))
    held.start()
    os.close(looks)
    held.join(10)

    assert not held.is_alive()
    assert is_held(path)
    os.close(writes)


@pytest.mark.parametrize("unknown", [True, False])
def test_without_locks_it_is_not_known(unknown, tmp_path, monkeypatch):
    path = tmp_path / "one.jsonl"
    path.write_bytes(b"")

    def no_locks(_descriptor):
        raise OSError(errno.ENOLCK, "no locks")

    monkeypatch.setattr(holding, "_try", no_locks)
    assert is_held(path, unknown=unknown) is unknown
