"""From checked lines to typed rows: what is played, what is left out and why, what stays sealed."""

import json

import pytest

import sim
from sim.errors import RecordError
from sim.records.acts import BarLoaded, Diagnosed, Noted, Pressed, PutIn, TakenOut
from sim.records.kinds import By
from sim.records.reading import read_record
from sim.records.rows import Happened
from sim.records.seal import fault_seal, hidden_message
from sim.words.message import NOTHING, plain
from tests.records.chains import ChainLog

HEX = "0" * 64
OPENING = {"act": "open", "mode": "drill", "seal": HEX}
SAID = plain("test.reading.said", "It is so.").plain()
PRESS = {"act": "press", "at_us": 10, "keys": ["head.raise"]}
EVENT = {"event": "act", "at_us": 20, "message": SAID}
PUT_IN = {"act": "put_in", "at_us": 30, "seal": fault_seal(0, "oil-low", "n"), "by": "instructor"}
MARK = {"act": "mark", "at_us": 40, "text": "here", "by": "instructor"}
TAKE_OUT = {
    "act": "take_out",
    "at_us": 50,
    "seal": fault_seal(1, "oil-low", "n"),
    "by": "instructor",
}
LOAD = {"act": "load", "at_us": 60}
LINES = (OPENING, PRESS, EVENT, PUT_IN, MARK, TAKE_OUT, LOAD)
CLOSING = {"at_us": 70, "state": HEX, "faults": [], "nonce": "n", "sealed": ["oil-low", "oil-low"]}


@pytest.fixture
def record(tmp_path):
    def made(*lines, closing=CLOSING, header=None, **options):
        log = ChainLog(header)
        for line in lines:
            log.append(line)
        if closing is not None:
            log.close(closing)
        path = tmp_path / "a.jsonl"
        path.write_text(log.text(), encoding="utf-8")
        return read_record(path, **options)

    return made


def left_out(record):
    return [(str(each.place).partition("jsonl:")[2], str(each.what)) for each in record.left_out]


def test_a_whole_record_gives_its_rows_with_their_lines_and_opens_its_seals(record):
    found = record(*LINES)
    acts = list(found.acts)

    assert [(number, type(act)) for number, act in found.acts] == [
        (3, Pressed), (5, PutIn), (6, type(acts[2][1])), (7, TakenOut), (8, BarLoaded),
    ]  # fmt: skip
    assert [act.name for _, act in found.acts if isinstance(act, PutIn | TakenOut)] == [
        "oil-low"
    ] * 2
    assert [act.at_us for _, act in found.acts] == [10, 30, 40, 50, 60]
    assert [type(each) for each in found.events] == [Happened]
    assert (found.left_out, found.unopened, found.cut) == ([], None, NOTHING)
    assert (found.opening.mode, found.opening.seal) == ("drill", HEX)
    assert (found.nonce, found.count, found.last_us) == ("n", 8, 70)
    assert found.engine == sim.__version__
    assert found.check_engine() is None


def test_the_instructor_s_lines_are_those_with_seals_and_those_by_their_name(record):
    note = {"act": "note", "at_us": 55, "text": "look", "by": "instructor"}
    own = {"act": "note", "at_us": 56, "text": "mine"}

    assert record(*LINES[:-1], note, own).instructor_lines == [PUT_IN, MARK, TAKE_OUT, note]


def test_a_record_that_is_cut_keeps_its_seals_shut_and_tells_the_first(record):
    found = record(*LINES, closing=None, allow_cut=True)

    assert [number for number, _ in found.acts] == [3, 6, 8]
    assert [(number, act.at_us) for number, act in found.sealed] == [(5, 30), (7, 50)]
    unopened = found.unopened
    assert (unopened.line, unopened.at_us, unopened.events) == (5, 30, 1)
    assert (found.nonce, found.closing, found.last_us) == ("", None, 60)
    assert "cut off" in str(found.cut)
    assert found.instructor_lines == [PUT_IN, MARK, TAKE_OUT]


@pytest.mark.parametrize(
    ("lines", "last_us"), [(LINES[:2], 10), (LINES[:3], 20), (LINES[:4], 30), (LINES[:1], 0)]
)
def test_without_a_closing_the_last_moment_is_that_of_the_last_line_of_any_kind(
    record, lines, last_us
):
    found = record(*lines, closing=None, allow_cut=True)

    assert found.last_us == last_us
    assert (found.unopened is None) is (PUT_IN not in lines)


def test_a_cut_record_is_refused_where_it_is_not_asked_for(record):
    with pytest.raises(RecordError, match="closing line is missing"):
        record(*LINES, closing=None)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ({"at_us": 35}, "this line is neither an act nor an event"),
        (OPENING | {"at_us": 35}, "a session opens only once"),
        ({"act": "fly", "at_us": 35}, "this line is no act"),
        ({"act": "load", "at_us": 29}, "it lies before the line before it"),
        ({"event": "act", "at_us": 29, "message": SAID}, "it lies before the line before it"),
        ({"event": "fly", "at_us": 35, "message": SAID}, "the event does not fit: event does not fit"),
        ({"act": "put_in", "at_us": 35, "seal": "x"}, "the sealed act does not fit: seal does not fit"),
    ],
)  # fmt: skip
def test_a_line_that_does_not_fit_is_left_out_and_what_comes_after_it_counts(record, line, why):
    found = record(OPENING, PRESS, PUT_IN, line, MARK, TAKE_OUT, {"act": "load", "at_us": 50})

    assert left_out(found) == [("5", why)]
    assert str(found.left_out[0].message).endswith(f"a.jsonl:5 left out: {why}")
    assert [number for number, _ in found.acts] == [3, 4, 6, 7, 8]


@pytest.mark.parametrize(
    ("sealed", "line"),
    [([], 5), (["oil-low"], 7), (["oil-low", "air-low"], 7), (["air-low", "oil-low"], 5)],
)
def test_a_record_whose_closing_does_not_open_a_seal_is_refused_at_it(record, sealed, line):
    found = record(*LINES, closing=CLOSING | {"sealed": sealed})
    with pytest.raises(RecordError) as caught:
        list(found.acts)

    assert str(caught.value.what) == "the closing line does not open this seal"
    assert str(caught.value.where).endswith(f"a.jsonl:{line}")


def test_whoever_put_it_in_stays_with_an_opened_act(record):
    found = record(OPENING, PUT_IN | {"by": "trainee"}, closing=CLOSING | {"sealed": ["oil-low"]})

    assert next(found.acts)[1] == PutIn(30, "oil-low", By.TRAINEE)


def test_lines_before_the_opening_are_read_too(record):
    found = record(
        {"act": "note", "at_us": 0, "text": "early"},
        OPENING,
        {"act": "diagnose", "at_us": 0, "name": "x"},
    )

    assert list(found.acts) == [(2, Noted(0, "early")), (4, Diagnosed(0, "x"))]


@pytest.mark.parametrize(
    ("lines", "closing", "why"),
    [
        ((), CLOSING, "this is not the record of a session"),
        ((PRESS,), CLOSING, "this is not the record of a session"),
        ((OPENING,), {}, "this is not the record of a session"),
        ((), None, "the record was cut before its first act"),
        ((PRESS,), None, "the record was cut before its first act"),
        (({"act": "open", "mode": "drill"}, PRESS), CLOSING, "the opening line does not fit: seal is missing"),
        ((OPENING,), {"at_us": 1}, "the closing line does not fit: state is missing"),
    ],
)  # fmt: skip
def test_what_is_no_record_of_a_session_is_refused_whole(record, lines, closing, why):
    with pytest.raises(RecordError) as caught:
        record(*lines, closing=closing, allow_cut=True)

    assert str(caught.value.what) == why


@pytest.mark.parametrize(("opening_at", "place"), [(0, 2), (1, 3)])
def test_an_opening_that_does_not_fit_is_told_with_its_line(record, opening_at, place):
    lines = [LOAD] * opening_at + [{"act": "open", "mode": ""}]
    with pytest.raises(RecordError) as caught:
        record(*lines)

    assert str(caught.value.where).endswith(f"a.jsonl:{place}")


def test_a_closing_that_does_not_fit_is_told_with_its_line(record):
    with pytest.raises(RecordError) as caught:
        record(OPENING, PRESS, closing={"at_us": 1})

    assert str(caught.value.where).endswith("a.jsonl:4")


@pytest.mark.parametrize(("engine", "named"), [("0.0.9", "0.0.9"), (3, "")])
def test_a_record_of_another_version_is_read_and_not_played(record, engine, named, monkeypatch):
    monkeypatch.setattr(
        "sim.records.chain._MARK", {"record": "drycycle", "format": 3, "engine": engine}
    )
    found = record(*LINES)
    assert found.engine == named
    with pytest.raises(RecordError) as caught:
        found.check_engine()

    assert str(caught.value.what) == f"the record was made by version {named}"
    assert str(caught.value.what_to_do) == f"play it with that version; this is {sim.__version__}"


REFUSED = [
    {"act": "order_refused", "at_us": 30, "order": "put-in", "sealed": hidden_message(0, json.dumps(SAID), "n")},
    {"act": "order_refused", "at_us": 31, "order": "freeze", "why": SAID},
    {"act": "order_refused", "at_us": 32, "order": "take-out", "sealed": hidden_message(1, json.dumps(SAID), "n")},
]  # fmt: skip


def test_why_an_order_was_refused_is_opened_by_the_closing_and_not_before(record):
    whole = record(OPENING, *REFUSED, closing=CLOSING | {"sealed": []})
    cut = record(OPENING, *REFUSED, closing=None, allow_cut=True)

    assert [(number, act.order, str(act.why), act.sealed) for number, act in whole.acts] == [
        (3, "put-in", "It is so.", ""), (4, "freeze", "It is so.", ""), (5, "take-out", "It is so.", ""),
    ]  # fmt: skip
    assert [act.why is None for _, act in cut.acts] == [True, False, True]
    assert cut.unopened is None
    assert cut.instructor_lines == REFUSED


@pytest.mark.parametrize("nonce", ["m", ""])
def test_a_reason_that_the_closing_does_not_open_is_refused_at_its_line(record, nonce):
    found = record(OPENING, PRESS, *REFUSED, closing=CLOSING | {"sealed": [], "nonce": nonce})
    with pytest.raises(RecordError) as caught:
        list(found.acts)

    assert str(caught.value.what) == "the closing line does not open this seal"
    assert str(caught.value.where).endswith("a.jsonl:4")


@pytest.mark.parametrize("seal", ["0" * 64, "f" * 64])
def test_a_seal_of_anything_else_is_opened_by_no_closing(record, seal):
    found = record(OPENING, PUT_IN | {"seal": seal}, closing=CLOSING | {"sealed": ["oil-low"]})

    with pytest.raises(RecordError, match="does not open this seal"):
        list(found.acts)


@pytest.mark.parametrize("version", ["0.0.1", "99.0.0"])
def test_a_record_of_an_older_or_a_newer_version_names_both(record, monkeypatch, version):
    found, made_by = record(*LINES), sim.__version__
    monkeypatch.setattr(sim, "__version__", version)

    with pytest.raises(RecordError) as caught:
        found.check_engine()

    assert made_by in str(caught.value.what)
    assert version in str(caught.value.what_to_do)


def test_what_follows_a_line_that_is_left_out_is_still_the_instructor_s(record):
    found = record(OPENING, PRESS, {"at_us": 15}, MARK)

    assert [place for place, _ in left_out(found)] == ["4"]
    assert found.instructor_lines == [MARK]
    assert found.last_us == 70


def test_a_record_cut_before_its_first_act_and_one_of_no_session_say_so(record):
    for lines, closing, allow_cut, what, to_do in (
        ((), None, True, "the record was cut before its first act", "nothing is in it"),
        ((PRESS,), CLOSING, False, "this is not the record of a session", "name another"),
    ):
        with pytest.raises(RecordError) as caught:
            record(*lines, closing=closing, allow_cut=allow_cut)
        assert (str(caught.value.what), str(caught.value.what_to_do)) == (what, to_do)
        assert str(caught.value.where).endswith("a.jsonl")


def test_a_reason_that_nests_too_deeply_is_opened_by_no_closing(record):
    deep = "[" * 2_500 + "]" * 2_500  # as deep as such a line may be long
    refused = {"act": "order_refused", "at_us": 35, "order": "put-in"}
    found = record(OPENING, refused | {"sealed": hidden_message(0, deep, "n")})

    with pytest.raises(RecordError, match="does not open this seal"):
        list(found.acts)
