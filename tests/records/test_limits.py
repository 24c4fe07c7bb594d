"""What the gate still takes in each field of a record, and what is the first that it refuses."""

import json
import sys

import pytest

from sim.errors import RecordError
from sim.records.acts import (
    Frozen,
    Marked,
    Noted,
    OrderRefused,
    Pressed,
    act_from,
    is_carried_out,
    is_order,
    line_of,
)
from sim.records.kinds import By
from sim.records.rows import (
    Closing,
    Fork,
    Happened,
    Opening,
    SealedAct,
    plain_row,
    row_from,
    this_arithmetic,
)
from sim.words.message import plain

LONGEST_US = 500 * 24 * 3600 * 1_000_000  # 12,000 hours
HEX = "0123456789abcdef" * 4
IT_IS_SO = plain("test.limits.said", "It is so.")
SAID = IT_IS_SO.plain()

OPENING = {"mode": "drill", "seal": HEX}
WORTH = {
    "score": 50,
    "passed": True,
    "minutes": 1.5,
    "critical": 0,
    "hints": 0,
    "good": 0,
    "pieces": 0,
}
CLOSING = {"at_us": 0, "state": HEX, "faults": [], "nonce": "n"}
EVENT = {"event": "act", "at_us": 0, "message": SAID}
SEALED = {"act": "put_in", "at_us": 0, "seal": HEX}
ROWS = {Opening: OPENING, Closing: CLOSING, Happened: EVENT, SealedAct: SEALED}

NOT_DIGESTS = ("", HEX[:-1], HEX + "0", HEX.upper(), HEX[:-1] + "g", HEX + "\n")

# row, field, what is still taken, what is not any more
FIELDS = [
    (Opening, "mode", ["x", "x" * 100], ["", "x" * 101, None, 1]),
    (Opening, "seal", [HEX], NOT_DIGESTS),
    (Opening, "scenario", ["", "x" * 100], ["x" * 101]),
    (Opening, "path", ["", "x" * 4_096], ["x" * 4_097]),
    (Opening, "scenario_sha256", ["", HEX], [HEX[:-1], HEX + "0", HEX.upper()]),
    (Opening, "scenario_text", ["", "x" * 400_000], ["x" * 400_001]),
    (Opening, "scenario_sealed", ["", "x" * 400_000], ["x" * 400_001]),
    (Opening, "day", ["", "2031-12-31"], ["2031-12-3", "31-12-2031", "2031-12-311", "x"]),
    (Opening, "attempt", [None, 1, 1_000_000], [0, -1, 1_000_001, 1.0, "1", True]),
    (Opening, "seed", [0, 1, 2**31], [-1, 2**31 + 1, 1.0, "1", None]),
    (Opening, "fork", [None, {"head": HEX, "at_us": 0}], [{"head": HEX}, {"head": "", "at_us": 0}, {}]),
    (Opening, "arithmetic", [None, {"python": "3", "implementation": "C", "sums": ""}], [{}, {"python": "3"}]),
    (Opening, "orders_salt", ["", HEX[:32]], [HEX[:31], HEX[:33], HEX[:31] + "g", None]),
    (Opening, "orders_check", ["", HEX], [HEX[:-1], HEX + "0", HEX.upper(), None]),
    (Closing, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1, 1.0, "1", None]),
    (Closing, "state", [HEX], NOT_DIGESTS),
    (Closing, "faults", [[], ["x", "x" * 100]], [[""], ["x" * 101], "x", [1]]),
    (Closing, "sealed", [[], ["x", "x" * 100]], [[""], ["x" * 101], "x"]),
    (Closing, "nonce", ["", "x" * 200], ["x" * 201, 1]),
    (Closing, "debrief", [None, {}, {"score": 80}], [[], "x"]),
    (Happened, "event", ["act", "fault"], ["", "x", None]),
    (Happened, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1, 10**400]),
    (Happened, "message", [SAID], ["", {}, None, {"key": "x"}, 1]),
    (Happened, "zone", ["", "x" * 100], ["x" * 101]),
    (Happened, "hands", ["", "x" * 100], ["x" * 101]),
    (Happened, "until_us", [None, 0, LONGEST_US], [-1, LONGEST_US + 1]),
    (SealedAct, "act", ["put_in", "take_out"], ["press", "", None]),
    (SealedAct, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1]),
    (SealedAct, "seal", [HEX], NOT_DIGESTS),
    (SealedAct, "by", ["trainee", "instructor"], ["", "x"]),
]  # fmt: skip
FIGURES = [
    ("score", [0, 100], [-1, 101, 10**400, 50.0, "50"]),
    ("passed", [True, False], [1, "yes", None]),
    ("minutes", [0, 0.5, 1e6], [-0.1, 1_000_000.1, "1"]),
    ("outcome", ["", "passed"], ["found", "not passed", "x", "Passed", None]),
    ("exposed_s", [0, 0.5, 1e8], [-0.1, 100_000_000.1]),
    *(
        (name, [0, 1_000_000_000], [-1, 1_000_000_001, 0.5])
        for name in ("critical", "hints", "good", "pieces", "strikes")
    ),
]
# act, its other fields, then as above
ACTS = [
    ("press", {}, "keys", [["x"], ["x"] * 20, ["x" * 100]], [[], ["x"] * 21, [""], ["x" * 101], "x"]),
    ("release", {}, "keys", [["x"], ["x"] * 20], [[], ["x"] * 21]),
    ("load", {}, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1, 0.5, True, None]),
    ("break_off", {}, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1]),
    ("set", {"name": "x"}, "setting", [1, -0.5, "x", "x" * 100], ["", "x" * 101, None, True, 10**400]),
    ("set", {"setting": 1}, "name", ["x", "x" * 100], ["", "x" * 101]),
    ("inspect", {"name": "x"}, "expect", ["", "x" * 4_000], ["x" * 4_001]),
    ("lockout", {}, "step", ["x"], [""]),
    ("diagnose", {}, "name", ["x"], [""]),
    ("put_right", {}, "name", ["x"], [""]),
    ("force", {"tag": "B1"}, "value", [True, False, None], [1, "x"]),
    ("jumper", {"name": "I4"}, "on", [True, False], [1, None]),
    ("note", {}, "text", ["", "x" * 4_000, SAID], ["x" * 4_001, 1, None]),
    ("hint", {}, "message", [SAID], ["x", None]),
    ("put_in", {}, "name", ["x"], [""]),
    ("take_out", {}, "name", ["x"], [""]),
    ("second", {"who": "x"}, "told", ["", "x" * 4_000], ["x" * 4_001]),
    ("freeze", {}, "on", [True, False], [1]),
    ("pace", {}, "factor", [0.5, 2], ["x", None, True]),
    ("mark", {}, "text", ["", "x" * 4_000, SAID], ["x" * 4_001]),
    ("begin_shift", {}, "at_us", [0, LONGEST_US], [-1, LONGEST_US + 1, 0.5, None]),
    ("take", {"bar": "x"}, "order", ["x", "x" * 100], ["", "x" * 101, None]),
    ("take", {"order": "x"}, "bar", ["x", "x" * 100], ["", "x" * 101, None]),
    ("order_refused", {}, "order", ["", "x" * 100], ["x" * 101, None]),
    ("order_refused", {"order": "x"}, "why", [None, SAID], ["x", {}]),
    ("order_refused", {"order": "x"}, "sealed", ["", "x" * 8_000], ["x" * 8_001, None]),
]  # fmt: skip


def refused(take):
    with pytest.raises(RecordError) as caught:
        take()
    assert str(caught.value.where) == "a.jsonl:7"
    return str(caught.value.what)


@pytest.mark.parametrize(("kind", "field", "taken", "not_taken"), FIELDS)
def test_a_line_is_taken_to_its_limits_and_no_further(kind, field, taken, not_taken):
    for value in taken:
        found = getattr(row_from(kind, ROWS[kind] | {field: value}, "-"), field)
        assert type(value) not in (str, int) or found == value
    for value in not_taken:
        told = refused(lambda value=value: row_from(kind, ROWS[kind] | {field: value}, "a.jsonl:7"))
        assert told.endswith(f"does not fit: {field} does not fit"), (value, told)


@pytest.mark.parametrize(("field", "taken", "not_taken"), FIGURES)
def test_what_a_session_was_worth_is_taken_to_its_limits_and_no_further(field, taken, not_taken):
    for value in taken:
        row = row_from(Closing, CLOSING | {"summary": WORTH | {field: value}}, "-")
        assert getattr(row.summary, field) == value
    for value in not_taken:
        line = CLOSING | {"summary": WORTH | {field: value}}
        assert "summary" in refused(lambda line=line: row_from(Closing, line, "a.jsonl:7"))


@pytest.mark.parametrize(("act", "others", "field", "taken", "not_taken"), ACTS)
def test_an_act_is_taken_to_its_limits_and_no_further(act, others, field, taken, not_taken):
    line = {"act": act, "at_us": 5, **others}
    for value in taken:
        assert act_from(line | {field: value}, "-").at_us in (5, value)
    for value in not_taken:
        told = refused(lambda value=value: act_from(line | {field: value}, "a.jsonl:7"))
        assert told == f"the act {act} does not fit: {field} does not fit", (value, told)


def test_what_is_left_out_of_a_line_is_as_nothing():
    row = row_from(Opening, OPENING, "-")
    assert {getattr(row, name) for name in ("scenario", "path", "scenario_text", "who", "day")} == {
        ""
    }
    assert (row.attempt, row.fork, row.arithmetic) == (None, None, None)
    worth = row_from(Closing, CLOSING | {"summary": WORTH}, "-").summary
    assert (worth.exposed_s, worth.strikes) == (0.0, 0)


@pytest.mark.parametrize("kind", ROWS)
def test_a_missing_field_and_one_that_has_no_place_are_named(kind):
    first = next(iter(ROWS[kind]))
    less = {key: value for key, value in ROWS[kind].items() if key != first}

    assert refused(lambda: row_from(kind, less, "a.jsonl:7")).endswith(f"{first} is missing")
    more = ROWS[kind] | {"mood": "good"}
    assert refused(lambda: row_from(kind, more, "a.jsonl:7")).endswith("mood has no place there")


@pytest.mark.parametrize("act", ["x", "", None, 3, ["press"], "open"])
def test_a_line_that_is_no_act_says_so(act):
    assert refused(lambda: act_from({"act": act, "at_us": 0}, "a.jsonl:7")) == "this line is no act"


@pytest.mark.parametrize("field", ["mood", "Mood", "zone"])
def test_a_field_that_has_no_place_in_an_act_is_named(field):
    told = refused(lambda: act_from({"act": "load", "at_us": 0, field: "x"}, "a.jsonl:7"))

    assert told == f"the act load does not fit: {field} has no place there"


@pytest.mark.parametrize("depth", [300, 100_000])
def test_a_nesting_that_cannot_be_read_is_told(depth):
    deep = []
    for _ in range(depth):
        deep = [deep]

    assert "does not fit" in refused(lambda: act_from({"act": "load", "at_us": deep}, "a.jsonl:7"))
    assert "does not fit" in refused(
        lambda: row_from(Happened, EVENT | {"zone": deep}, "a.jsonl:7")
    )


WORDS = {"act": "mark", "at_us": 5, "text": "here", "by": "instructor"}


@pytest.mark.parametrize(
    ("line", "act"),
    [
        ({"act": "press", "at_us": 5, "keys": ["a", "b"]}, Pressed(5, ("a", "b"))),
        ({"act": "note", "at_us": 5, "text": "x"}, Noted(5, "x")),
        (
            {"act": "note", "at_us": 5, "text": "x", "by": "instructor"},
            Noted(5, "x", By.INSTRUCTOR),
        ),
        (WORDS, Marked(5, "here")),
        (WORDS | {"by": "trainee"}, Marked(5, "here", By.TRAINEE)),
        ({"act": "order_refused", "at_us": 5, "order": "mark"}, OrderRefused(5, "mark")),
    ],
)
def test_an_act_and_its_line_are_one_another_s(line, act):
    assert line_of(act) == line
    assert act_from(line, "-") == act


def test_who_does_not_say_who_gave_an_order_was_the_instructor():
    assert act_from({"act": "freeze", "at_us": 5, "on": True}, "-") == Frozen(
        5, True, By.INSTRUCTOR
    )


@pytest.mark.parametrize(
    ("act", "order", "carried_out"),
    [
        (Pressed(5, ("a",)), False, False),
        (Noted(5, "x"), False, False),
        (Noted(5, "x", By.INSTRUCTOR), True, True),
        (Frozen(5, True), True, True),
        (Marked(5, "here"), True, True),
        (Marked(5, IT_IS_SO), True, False),  # by a window
        (OrderRefused(5, "mark"), True, False),
    ],
)
def test_what_is_an_order_and_what_is_one_that_was_carried_out(act, order, carried_out):
    assert (is_order(act), is_carried_out(act)) == (order, carried_out)


def test_an_opening_and_its_line_are_one_another_s_and_name_this_python():
    kept = Opening(
        mode="drill",
        seal=HEX,
        who="bench-07",
        arithmetic=this_arithmetic(),
        attempt=2,
        fork=Fork(HEX, 5),
    )
    line = json.loads(json.dumps(plain_row(kept)))

    assert line == {
        "mode": "drill", "seal": HEX, "who": "bench-07", "attempt": 2, "fork": {"head": HEX, "at_us": 5},
        "arithmetic": {
            "python": ".".join(map(str, sys.version_info[:3])),
            "implementation": {"cpython": "CPython", "pypy": "PyPy"}[sys.implementation.name],
            "sums": "math.fsum",
        },
    }  # fmt: skip
    assert row_from(Opening, line, "-") == kept
