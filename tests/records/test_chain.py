"""The chained record: what a reader finds out, whatever is done to the file."""

import json
import math
import time
import tracemalloc
from itertools import combinations, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sim
from sim.errors import RecordError
from sim.records.chain_check import LONGEST_LINE, checked, read_chain, recover, walk_chain
from sim.words.visible import visible
from tests.records.chains import ChainLog, ChainWriter

ACTS = [
    {"at_us": 0, "press": "control on"},
    {"at_us": 0, "press": "two-hand"},
    {"at_us": 250_000, "set": "head.feed_valve_mm_min", "to": 40.5},
    {"at_us": 250_000, "set": "head.feed_valve_mm_min", "to": 40.5},
    {"at_us": 1_250_000, "note": 'Ø 60 mm, 木\n\x00 {} \\ "h":"', "deep": [{"a": [None, True]}]},
]


def finished(acts=ACTS, header=None, last=None):
    log = ChainLog(header)
    for act in acts:
        log.append(act)
    log.close(last)
    return log


WHOLE = finished(header={"scenario": "rail-posts"}, last={"score": 91}).text().encode()
LINES = WHOLE.splitlines(keepends=True)


def refusal(content, **options):
    with pytest.raises(RecordError) as caught:
        checked(content, "posts.jsonl", **options)
    assert str(caught.value.where).startswith("posts.jsonl:")
    assert caught.value.what_to_do
    assert str(caught.value).isprintable()
    return caught.value


# ---- an unharmed record


def test_a_record_gives_back_its_header_its_acts_and_its_closing():
    header, *acts, closing = checked(WHOLE, "posts.jsonl")

    assert header == {"record": "drycycle", "format": 3, "engine": sim.__version__,
                      "scenario": "rail-posts"}  # fmt: skip
    assert acts == ACTS
    assert closing["count"] == len(ACTS) + 1
    assert closing["last"] == {"score": 91}


def test_the_mark_of_the_program_cannot_be_overwritten_by_a_header():
    assert checked(finished(header={"record": "x"}).text().encode(), "-")[0]["record"] == "drycycle"


def test_every_line_is_sorted_compact_json_with_number_and_hashes():
    for seq, line in enumerate(LINES):
        values = json.loads(line)

        assert line.decode() == json.dumps(values, sort_keys=True, separators=(",", ":")) + "\n"
        assert values["seq"] == seq
        assert values["prev"] == (json.loads(LINES[seq - 1])["h"] if seq else "0" * 64)


def test_a_record_on_disk_is_the_record_in_memory_to_the_last_byte(tmp_path):
    path = tmp_path / "posts.jsonl"
    with ChainWriter(path, {"scenario": "rail-posts"}) as writer:
        heads = [writer.append(act) for act in ACTS]
        writer.close({"score": 91})
    log = ChainLog({"scenario": "rail-posts"})

    assert path.read_bytes() == WHOLE
    assert [log.append(act) for act in ACTS] == heads
    assert writer.head == json.loads(LINES[-1])["h"]
    assert read_chain(path) == checked(WHOLE, "-")
    assert recover(path) == checked(WHOLE, "-")[:-1]


def test_two_equal_sessions_have_one_head_and_two_different_ones_have_two():
    assert finished().head == finished().head
    assert finished().head != finished([*ACTS[:-1], {"at_us": 1}]).head


def test_nothing_can_be_added_to_a_closed_record(tmp_path):
    writer = ChainWriter(tmp_path / "posts.jsonl")
    writer.close()
    for closed in (finished(), writer):
        for add in (closed.append, closed.close):
            with pytest.raises(RecordError, match="closed"):
                add({})


def nested(depth):
    value = 1
    for _ in range(depth):
        value = [value]
    return value


@pytest.mark.parametrize(
    "value", [math.nan, math.inf, object(), b"x", {1: 2, "a": 3}, {1, 2}, nested(100_000)]
)
def test_what_json_cannot_hold_is_refused_and_the_record_goes_on_without_it(value):
    log = ChainLog()
    with pytest.raises(RecordError, match="cannot be written down"):
        log.append({"value": value})
    log.append({"at_us": 1})
    log.close()

    assert checked(log.text().encode(), "-")[1:-1] == [{"at_us": 1}]


def test_a_line_costs_less_than_eight_microseconds_besides_its_json():
    encode = json.JSONEncoder(sort_keys=True, separators=(",", ":")).encode
    act = {"at_us": 123_456_789, "press": "head lower", "accepted": True, "state": "EXECUTE"}

    def cpu_us(do):
        start = time.process_time()
        for _ in range(1000):
            do(act)
        return (time.process_time() - start) * 1e3

    log = ChainLog()
    rounds = [(cpu_us(log.append), cpu_us(encode)) for _ in range(30)]
    with_chain, json_alone = (min(column) for column in zip(*rounds, strict=True))

    assert with_chain - json_alone < 8.0


# ---- a cut record


@pytest.mark.parametrize("filler", [b"", b"\0" * 40], ids=["short", "padded"])
def test_a_record_cut_at_any_byte_is_refused_and_recovers_to_its_last_whole_line(tmp_path, filler):
    path = tmp_path / "cut.jsonl"
    whole = [json.loads(LINES[0])["begin"], *ACTS]
    for length in range(1, len(WHOLE)):
        content = WHOLE[:length] + filler
        lines = content.count(b"\n")
        error = refusal(content)
        path.write_bytes(content)

        assert str(error.where) == f"posts.jsonl:{lines + 1}"
        assert "cut" in str(error.what)
        if lines == 0:
            with pytest.raises(RecordError, match="before its first line was whole"):
                recover(path)
            continue
        assert recover(path) == whole[:lines]
        last = checked(content, "-", allow_cut=True)[-1]
        assert last["count"] == lines
        assert last["head"] == json.loads(LINES[lines - 1])["h"]
        assert "cut" in last


def test_a_last_line_that_was_changed_is_refused_even_where_a_cut_is_allowed():
    closing = LINES[-1].rstrip(b"\n")
    before = WHOLE[: -len(LINES[-1])]

    assert "cut" in checked(before + closing, "-", allow_cut=True)[-1]
    assert "changed" in str(
        refusal(before + closing.replace(b'"count":', b'"count":1'), allow_cut=True).what
    )
    assert "not the beginning" in str(refusal(before + b"scored 100", allow_cut=True).what)


def test_an_abandoned_record_reads_as_cut(tmp_path):
    path = tmp_path / "posts.jsonl"
    with ChainWriter(path) as writer:
        writer.append(ACTS[0])

    with pytest.raises(RecordError, match="closing line is missing"):
        read_chain(path)
    assert recover(path)[1:] == ACTS[:1]


# ---- a changed record


def test_every_single_flipped_bit_is_found():
    for place in range(len(WHOLE)):
        for bit in range(8):
            changed = bytearray(WHOLE)
            changed[place] ^= 1 << bit
            with pytest.raises(RecordError):
                checked(bytes(changed), "posts.jsonl")


def test_every_flipped_bit_but_in_the_tail_is_found_even_where_a_cut_is_allowed():
    tail = len(WHOLE) - len(LINES[-1])
    for place in range(tail - 1):
        changed = bytearray(WHOLE)
        changed[place] ^= 4
        with pytest.raises(RecordError):
            checked(bytes(changed), "posts.jsonl", allow_cut=True)


def test_every_dropped_set_of_lines_is_found():
    for kept_count in range(1, len(LINES)):
        for kept in combinations(range(len(LINES)), kept_count):
            content = b"".join(LINES[index] for index in kept)
            error = refusal(content)
            if kept != tuple(range(kept_count)):  # not merely cut at a line's end
                refusal(content, allow_cut=True)
                first = next(index for index, line in enumerate(kept) if index != line)
                assert str(error.where) == f"posts.jsonl:{first + 1}"


def test_every_new_order_of_the_lines_is_found():
    orders = list(permutations(range(len(LINES))))
    assert len(orders) == 5040
    for order in orders[1:]:
        refusal(b"".join(LINES[index] for index in order), allow_cut=True)


def test_every_repeated_line_is_found_wherever_it_is_put():
    for line in LINES:
        for place in range(len(LINES) + 1):
            changed = [*LINES[:place], line, *LINES[place:]]
            refusal(b"".join(changed), allow_cut=True)


def test_lines_of_another_record_are_found():
    other = finished([{"at_us": index} for index in range(5)]).text().encode()
    lines = other.splitlines(keepends=True)
    for split in range(1, len(LINES)):
        error = refusal(b"".join([*LINES[:split], *lines[split:]]))

        assert "does not follow" in str(error.what)
        assert str(error.where) == f"posts.jsonl:{split + 1}"


@pytest.mark.parametrize(
    ("content", "says", "line"),
    [
        (WHOLE.replace(b"40.5", b"41.5", 1), "has been changed", 4),
        (WHOLE.replace(b"40.5", b"40.50", 1), "has been changed", 4),
        (WHOLE.replace(b"\n", b"\r\n"), "not a session record", 1),
        (WHOLE.replace(b'"close"', b'"act"'), "has been changed", 7),
        (b"".join([*LINES[:2], *LINES[3:]]), "1 line is missing", 3),
        (b"".join([*LINES[:2], *LINES[5:]]), "3 lines are missing", 3),
        (b"".join([*LINES[:3], LINES[2], *LINES[3:]]), "repeated", 4),
        (b"".join(LINES[1:]), "1 line is missing", 1),
        (WHOLE + b"\n", "more after the closing", 8),
        (WHOLE + b"x", "more after the closing", 8),
        (WHOLE + WHOLE, "more after the closing", 8),
        (WHOLE.replace(b"}\n{", b"}\n\n{", 1), "not a line of a record", 2),
        (b"\n", "not a session record", 1),
        (b"title: Rail posts\n", "not a session record", 1),
        (b"title: Rail posts", "not a session record", 1),
        (b"{}\n", "not a session record", 1),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "not a session record", 1),
        (bytes(range(256)), "not a session record", 1),
        (b"\xff\xfe" + WHOLE.decode().encode("utf-16-le"), "not a session record", 1),
        (b"\0" * 100, "cut before", 1),
    ],
)  # fmt: skip
def test_what_was_done_to_a_record_is_told_with_its_line(content, says, line):
    error = refusal(content)

    assert says in str(error.what)
    assert str(error.where) == f"posts.jsonl:{line}"


# ---- records that a careful hand has made: every hash is right


def forged(*kinds_and_contents):
    """Return a record whose hashes all fit, with whatever lines are asked for."""
    log = ChainLog()
    links = log._links
    links.head, links.count, log.lines = "0" * 64, 0, []
    for kind, content in kinds_and_contents:
        log._add(kind, content)
    return log.text().encode()


MARK = {"record": "drycycle", "format": 3, "engine": "0.2.0"}


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ([("act", {})], "kind act cannot stand here"),
        ([("begin", MARK), ("begin", MARK)], "kind begin cannot stand here"),
        ([("begin", {})], "another program"),
        ([("begin", MARK | {"format": 4})], "format 4, and format 3 is known"),
        ([("begin", MARK | {"format": 2})], "format 2, of a saw whose keys had other names"),
        ([("begin", MARK | {"format": 1})], "format 1, which version 0.1.0 plays"),
        ([("begin", MARK | {"format": "\x1b[2J"})], "format"),
        ([("begin", MARK), ("close", {"count": 2, "head": "0" * 64})], "does not fit"),
        ([("begin", MARK), ("close", {})], "does not fit"),
        ([("close", {"count": 0, "head": "0" * 64})], "kind close cannot stand here"),
    ],
)
def test_lines_that_cannot_stand_where_they_are_are_found_though_their_hashes_fit(lines, says):
    assert says in str(refusal(forged(*lines)).what)


def test_an_act_that_looks_like_a_closing_does_not_close_a_record():
    content = forged(("begin", MARK), ("act", {"count": 1, "head": "0" * 64, "last": {}}))

    assert "closing line is missing" in str(refusal(content).what)


@pytest.mark.parametrize(
    "content",
    ['{"a":' * 100_000 + "1" + "}" * 100_000, '{"a":NaN}', '{"a":' + "9" * 5000 + "}", "{,}", "{]}"],
    ids=["deep", "nan", "long", "comma", "bracket"],
)  # fmt: skip
def test_a_line_whose_hash_fits_and_whose_json_does_not_is_found(content, monkeypatch):
    monkeypatch.setattr("sim.records.chain._written", lambda act: content)

    assert str(refusal(forged(("begin", {}))).what) == "this line is not JSON"


# ---- anything at all

JSON = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(-(2**63), 2**63), st.text(max_size=10),
        st.floats(allow_nan=False, allow_infinity=False),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=8,
)  # fmt: skip
ACT_LISTS = st.lists(st.dictionaries(st.text(max_size=8), JSON, max_size=4), max_size=6)


@given(ACT_LISTS)
def test_whatever_acts_are_recorded_come_back_equal_and_of_the_same_kind(acts):
    assert repr(checked(finished(acts).text().encode(), "-")[1:-1]) == repr(
        [dict(sorted(json.loads(json.dumps(act, sort_keys=True)).items())) for act in acts]
    )


@settings(max_examples=150)
@given(ACT_LISTS, st.data())
def test_whatever_bytes_of_a_record_are_replaced_it_is_found(acts, data):
    whole = finished(acts).text().encode()
    start = data.draw(st.integers(0, len(whole)))
    stop = data.draw(st.integers(start, min(len(whole), start + 400)))
    changed = whole[:start] + data.draw(st.binary(max_size=40)) + whole[stop:]
    if changed == whole:
        return

    with pytest.raises(RecordError):
        checked(changed, "posts.jsonl")


@given(st.one_of(st.binary(max_size=200), st.text(max_size=100).map(str.encode)))
def test_any_other_bytes_are_refused_as_no_record(content):
    refusal(content, allow_cut=True)


# ---- files that are no records at all


def test_files_that_cannot_be_a_record_are_refused_with_their_path(tmp_path):
    empty = tmp_path / "empty.jsonl"
    empty.touch()
    start = time.perf_counter()

    for path, says in (
        (tmp_path / "none.jsonl", "No such file"),
        (tmp_path, "not a file"),
        (empty, "empty"),
        (tmp_path / "a\0b", "cannot be read"),
    ):
        with pytest.raises(RecordError, match=says) as caught:
            read_chain(path)
        assert str(caught.value.where) == visible(str(path))
        assert caught.value.what_to_do
    assert time.perf_counter() - start < 0.2


def test_a_line_that_no_record_has_is_not_read_to_its_end(tmp_path):
    path = tmp_path / "large.jsonl"
    with path.open("wb") as out:
        out.write(LINES[0] + b'{"act":{"note":"')
        out.truncate(40 * LONGEST_LINE)
    tracemalloc.start()
    try:
        with pytest.raises(RecordError, match="longer than any line of a record") as caught:
            read_chain(path, allow_cut=True)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert str(caught.value.where) == f"{path}:2"
    assert most < 4 * LONGEST_LINE


def test_a_long_record_is_walked_in_little_memory(tmp_path):
    path, log = tmp_path / "long.jsonl", ChainLog()
    with path.open("w", encoding="utf-8") as out:
        for at_us in range(20_000):
            log.append({"at_us": at_us, "note": "x" * 200})
            out.writelines(f"{line}\n" for line in log.lines)
            log.lines.clear()
    tracemalloc.start()
    try:
        count = sum(1 for _ in walk_chain(path, allow_cut=True))
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert count == 20_002  # with the header, and with how it ends
    assert path.stat().st_size > 7_000_000
    assert most < 4_000_000
