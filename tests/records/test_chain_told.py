"""What is said of a record that is not whole: what is wrong, at which line, and what to do."""

import math

import pytest

from sim.errors import RecordError
from sim.records import chain_check
from sim.records.chain_check import checked, read_chain, walk_chain
from tests.records.chains import ChainLog, ChainWriter
from tests.records.test_chain import LINES, MARK, WHOLE, forged

UNCHANGED = "look for an unchanged copy"
WHOLE_COPY = "look for a whole copy, or take what is there as a cut record"
NAME_ONE, EMPTY = "name a record of this program", "nothing is in it"
ENGINE = "read it with the engine that wrote it"
FIRST = LINES[0]

SAID = [
    (b"title: Rail posts\n", 1, "this is not a session record", NAME_ONE),
    (b"title: Rail posts", 1, "this is not a session record", NAME_ONE),
    (b"", 1, "the record was cut before its first line was whole", EMPTY),
    (FIRST[:20], 1, "the record was cut before its first line was whole", EMPTY),
    (FIRST[:3] + b"\0" * 9, 1, "the record was cut before its first line was whole", EMPTY),
    (FIRST, 2, "the closing line is missing, so the end is cut off", WHOLE_COPY),
    (FIRST + LINES[1][:20], 2, "this line is cut short", WHOLE_COPY),
    (FIRST + b"\n", 2, "this is not a line of a record", UNCHANGED),
    (FIRST.replace(b"rail", b"rale"), 1, "this line has been changed", UNCHANGED),
    (FIRST + LINES[2], 2, "1 line is missing here", UNCHANGED),
    (FIRST + LINES[4], 2, "3 lines are missing here", UNCHANGED),
    (FIRST + FIRST, 2, "this line is repeated, or out of its place", UNCHANGED),
    (WHOLE + b"\n", 8, "there is more after the closing line", UNCHANGED),
    (WHOLE + b"x", 8, "there is more after the closing line", UNCHANGED),
    (forged(("begin", MARK), ("begin", MARK)), 2, "a line of the kind begin cannot stand here", UNCHANGED),
    (forged(("act", {})), 1, "a line of the kind act cannot stand here", UNCHANGED),
    (forged(("begin", {"record": "x"})), 1, "this is a record of another program", "name one of this program"),
    (forged(("begin", MARK | {"format": 1})), 1, "this record has format 1, which version 0.1.0 plays",
     "play it with version 0.1.0"),
    (forged(("begin", MARK | {"format": 2})), 1, "this record has format 2, of a saw whose keys had other names",
     ENGINE),
    (forged(("begin", MARK | {"format": 4})), 1, "this record has format 4, and format 3 is known", ENGINE),
    (forged(("begin", MARK | {"format": 3.0})), 1, "this record has format 3.0, and format 3 is known", ENGINE),
    (forged(("begin", MARK | {"format": "x" * 60})), 1,
     f'this record has format "{"x" * 39}, and format 3 is known', ENGINE),
    (forged(("begin", MARK), ("close", {"count": 2, "head": "0" * 64})), 2,
     "the closing line does not fit the lines before it", UNCHANGED),
]  # fmt: skip


@pytest.mark.parametrize(("content", "line", "what", "to_do"), SAID)
def test_what_is_wrong_with_a_record_is_said_with_its_line_and_what_to_do(
    content, line, what, to_do
):
    with pytest.raises(RecordError) as caught:
        checked(content, "a.jsonl")

    told = caught.value
    assert (str(told.what), str(told.where), str(told.what_to_do)) == (
        what,
        f"a.jsonl:{line}",
        to_do,
    )


def test_a_line_of_another_record_at_its_very_number_does_not_follow():
    other = ChainLog({"scenario": "another"})
    other.append({"at_us": 0, "press": "control on"})
    with pytest.raises(RecordError, match="does not follow the one before it"):
        checked(FIRST + f"{other.lines[1]}\n".encode(), "a.jsonl")


@pytest.mark.parametrize(
    ("tail", "what"),
    [(b"", "the closing line is missing, so the end is cut off"),
     (b'{"act":{"at_us":1', "this line is cut short"), (b'{"cl', "this line is cut short"),
     (b"{\0\0\0", "this line is cut short"), (LINES[1].rstrip(b"\n"), "this line is cut short")],
)  # fmt: skip
def test_where_a_cut_is_allowed_its_kind_is_told_in_place_of_the_closing(tail, what):
    header, end = checked(FIRST + tail, "a.jsonl", allow_cut=True)

    assert header["scenario"] == "rail-posts"
    assert (end["count"], str(end["cut"]), set(end)) == (1, what, {"count", "head", "cut"})


@pytest.mark.parametrize("tail", [b"x", b'{"begin":{', b"\0x", b'{"actor":'])
def test_where_a_cut_is_allowed_what_is_no_beginning_of_a_line_is_refused(tail):
    with pytest.raises(RecordError) as caught:
        checked(FIRST + tail, "a.jsonl", allow_cut=True)

    assert str(caught.value.what) == "what stands here is not the beginning of a line"
    assert str(caught.value.where) == "a.jsonl:2"
    assert str(caught.value.what_to_do) == UNCHANGED


def test_a_closing_line_of_some_millions_of_octets_is_read(tmp_path):
    with ChainWriter(tmp_path / "a.jsonl") as writer:
        writer.close({"debrief": "x" * 3_000_000})

    assert len(read_chain(tmp_path / "a.jsonl")[-1]["last"]["debrief"]) == 3_000_000


def test_a_torn_line_longer_than_any_is_no_line_of_a_record(monkeypatch):
    tail = b'{"act":{"at_us":1'
    monkeypatch.setattr(chain_check, "LONGEST_LINE", len(tail))
    assert checked(FIRST + tail, "a.jsonl", allow_cut=True)
    monkeypatch.setattr(chain_check, "LONGEST_LINE", len(tail) - 1)
    with pytest.raises(RecordError, match="longer than any line"):
        checked(FIRST + tail, "a.jsonl", allow_cut=True)


def test_a_closed_record_and_an_act_that_cannot_be_written_say_what_to_do(tmp_path):
    for log in (ChainLog(), ChainWriter(tmp_path / "a.jsonl")):
        with pytest.raises(RecordError) as caught:
            log.append({"x": math.nan})
        assert str(caught.value.what_to_do) == "this is a fault of the program"
        assert str(caught.value.what).startswith("an act cannot be written down: ")
        log.close()
        with pytest.raises(RecordError) as caught:
            log.append({})
        assert (str(caught.value.what), str(caught.value.what_to_do)) == (
            "the record is closed",
            "start a new one",
        )


def test_a_record_left_by_an_error_reads_as_cut(tmp_path):
    with pytest.raises(ZeroDivisionError), ChainWriter(tmp_path / "a.jsonl") as writer:
        writer.append({"at_us": 1 // 0})

    with pytest.raises(RecordError, match="closing line is missing"):
        list(walk_chain(tmp_path / "a.jsonl"))
    _header, end = read_chain(tmp_path / "a.jsonl", allow_cut=True)
    assert str(end["cut"]) == "the closing line is missing, so the end is cut off"


def test_a_record_whose_header_cannot_be_written_leaves_no_file(tmp_path):
    with pytest.raises(RecordError):
        ChainWriter(tmp_path / "a.jsonl", {"x": math.nan})

    assert not (tmp_path / "a.jsonl").exists()
