"""Orders from an instructor to a running session: who may give them, how they come, what is refused.

With a code a line is an order only under the key; without one an assessment takes none and no session
takes a fault. Whatever reached the session stands on its record, taken or not.
"""

import json

import pytest

from sim.debrief.debrief import debrief
from sim.errors import CommandError, RecordError
from sim.faults.catalogue import CATALOGUE
from sim.records.acts import OrderRefused
from sim.records.chain_check import read_chain
from sim.records.reading import read_record
from sim.session import order_key
from sim.session.opening import open_recorded, open_session, read
from sim.session.order_key import key_for, new_key
from sim.session.order_lines import Orders, give, orders_path
from sim.session.orders import TAKES, Order, obey, order_from
from sim.session.playback.replay import replay
from sim.words.message import NOTHING
from tests.records.chains import ChainWriter

COUNTER = "stop-from-below"
PULLEY = "variator-forced"
CODE = "left-7-right"


@pytest.fixture(autouse=True)
def _quick_keys(monkeypatch):
    """Have a code cost little to try: many are, here."""
    monkeypatch.setattr(order_key, "_COST", 16)


def code():
    return CODE


def asked(tmp_path, mode="assessment"):
    """Return the drill with short posts in another mode, as a file."""
    text = read("posts-come-out-short")[1].read_text("utf-8")
    path = tmp_path / "asked.yaml"
    path.write_text(text.replace("mode: drill", f"mode: {mode}"), "utf-8")
    return str(path)


def refusals(session):
    return [act for act in session.done.acts if isinstance(act, OrderRefused)]


# Given and taken --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("put-in stop-from-below", Order("put-in", fault=COUNTER)),
        ("take-out variator-forced", Order("take-out", fault=PULLEY)),
        ("freeze", Order("freeze")),
        ("go", Order("go")),
        ("pace 2.5", Order("pace", factor=2.5)),
        ("note Think  of\nB2.", Order("note", text="Think of B2.")),
        ("mark Asks for help.", Order("mark", text="Asks for help.")),
    ],
)
def test_an_order_is_what_its_words_say_and_reaches_the_session(words, order, tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    orders = Orders(path)
    assert order_from(words.split(" ")) == order
    before = len(session.done.acts)
    if order.order == "take-out":
        give(path, Order("put-in", fault=PULLEY), code)
        assert orders.carry_out(session)
        before = 1

    give(path, order, code)

    if order.order == "go":
        session.instructor.freeze(True)
        before = 1
    assert orders.carry_out(session)
    assert not orders.carry_out(session)  # once
    assert len(session.done.acts) == before + 1
    assert orders.refused == []


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "there is no order"),
        (["putin", COUNTER], "put-in"),
        (["put-in"], "put-in needs a fault"),
        (["put-in", "stop-from-bellow"], COUNTER),
        (["freeze", "now"], "stands alone"),
        (["pace", "fast"], "fast is no pace"),
        (["pace", "nan"], "nan is no pace"),
        (["pace", "21"], "0.25 to 20"),
        (["note", "x" * 501], "501 characters"),
    ],
)
def test_an_order_that_is_none_is_refused_with_what_to_write(words, says):
    with pytest.raises(CommandError, match=says):
        order_from(words)


def test_the_file_of_orders_does_not_name_the_fault(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    for order in ("put-in", "take-out", "put-in"):
        give(path, Order(order, fault=COUNTER), code)
    text = orders_path(path).read_text()

    assert COUNTER not in text
    digests = [json.loads(line)["fault"] for line in text.splitlines()]
    assert len(set(digests)) == 3
    assert Orders(path).carry_out(session)
    assert [fault.name for fault in session.hidden] == [COUNTER]


BROKEN = (
    b"", b"no JSON", b"[1]", b"{}", b'{"order":"explode"}', b'{"order":["freeze"]}',
    b'{"order":"freeze","now":true}', b'{"order":"pace"}', b'{"order":"pace","factor":"2"}',
    b'{"order":"pace","factor":1e9}', b'{"order":"pace","factor":NaN}', b'{"order":"note","text":3}',
    b'{"order":"note","text":"  "}', b'{"order":"put-in","fault":"stop-from-below"}',
    b'{"order":"put-in","salt":"1","fault":"00"}', b'{"order":"put-in","fault":{}}',
    b'{"number":1,"mac":"00","order":"freeze"}', b'{"order":"second","text":"\\ud800 \\u202e"}',
    b"\xff\xfe", b"[" * 2000, b'{"order":"note","text":"' + b"x" * 9000 + b'"}',
)  # fmt: skip


@pytest.mark.parametrize("line", BROKEN)
def test_a_line_that_is_no_order_is_passed_over_and_told_and_the_next_is_taken(line, tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    orders = Orders(path)
    orders_path(path).write_bytes(line + b"\n" + b'{"order":"freeze"}\n')

    for _ in range(3):
        orders.carry_out(session)

    assert session.frozen
    assert [act.kind for act in session.done.acts] == ["order_refused", "freeze"]
    [refusal] = map(str, orders.refused)
    assert refusal.startswith("one.orders.jsonl:1: ")
    session.close()
    again = replay(path)
    assert again.same
    assert again.left_out == ()


def test_an_order_that_is_half_written_waits_for_its_end(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    orders = Orders(path)
    assert not orders.carry_out(session)  # there is no file yet

    with orders_path(path).open("ab", buffering=0) as file:
        file.write(b'{"order":"fre')
        assert not orders.carry_out(session)
        file.write(b'eze"}\n')

    assert orders.carry_out(session)
    assert session.frozen
    assert orders.refused == []


def test_a_line_that_grows_too_long_while_it_is_written_is_one_refusal(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    orders = Orders(path)
    with orders_path(path).open("ab", buffering=0) as file:
        for _ in range(4):
            file.write(b"x" * 3_000)
            assert not orders.carry_out(session)
        file.write(b'{"order":"pace","factor":2}\n{"order":"freeze"}\n')

    assert orders.carry_out(session)
    assert len(orders.refused) == 1
    assert session.frozen
    assert session.instructor.pace_factor == 1.0


def test_an_order_that_the_session_does_not_take_is_told_and_spoils_nothing(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    orders = Orders(path)
    give(path, Order("put-in", fault=COUNTER), code)
    session.instructor.put_in(COUNTER)  # by another instructor, before the order is looked for
    give(path, Order("pace", factor=2), code)

    orders.carry_out(session)

    assert "has it already" in str(orders.refused[0])
    assert session.instructor.pace_factor == 2


def test_no_order_is_given_to_a_session_that_is_closed_or_was_never_opened(tmp_path):
    path = tmp_path / "one.jsonl"
    open_recorded("rail-posts", path).close()

    with pytest.raises(CommandError, match="closed"):
        give(path, Order("freeze"))
    with pytest.raises(RecordError):
        give(tmp_path / "none.jsonl", Order("freeze"))
    assert not orders_path(path).exists()


# Who gives them ---------------------------------------------------------------------------


def test_a_code_is_at_least_six_characters_and_no_file_is_left_where_it_is_not(tmp_path):
    path = tmp_path / "one.jsonl"
    with pytest.raises(CommandError, match="6 or more"):
        open_recorded("rail-posts", path, code="12345")
    assert not path.exists()


def test_the_record_has_salt_and_check_and_neither_code_nor_key(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    give(path, Order("freeze"), code)
    opening = read_record(path, allow_cut=True).opening
    written = path.read_text() + orders_path(path).read_text()

    assert key_for(CODE, opening.orders_salt, opening.orders_check) == session.order_key
    assert key_for("left-7-wrong", opening.orders_salt, opening.orders_check) is None
    assert CODE not in written
    assert session.order_key.secret.hex() not in written
    assert CODE not in repr(session.order_key)
    assert session.order_key.secret.hex() not in repr(session.order_key)


def test_the_same_code_makes_another_key_in_another_session():
    assert new_key(CODE).secret != new_key(CODE).secret


def test_no_name_of_the_catalogue_can_be_tried_on_a_line_without_the_code(tmp_path):
    """Everything in the line and the record is tried as a key, with every name."""
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    give(path, Order("put-in", fault=COUNTER), code)
    said = json.loads(orders_path(path).read_text())
    opening = read_record(path, allow_cut=True).opening
    known = [opening.orders_salt, opening.orders_check, said["mac"], opening.seal, ""]
    keys = [session.order_key.__class__(opening.orders_salt, each.encode()) for each in known]
    keys += [session.order_key.__class__("", bytes.fromhex(each)) for each in known]

    tried = {key.over("fault", f"1 {name}".encode()) for key in keys for name in CATALOGUE}

    assert said["fault"] not in tried
    assert session.order_key.over("fault", f"1 {COUNTER}".encode()) == said["fault"]


@pytest.mark.parametrize("words", ["put-in variator-forced", "freeze", "note Hello.", "pace 2"])
def test_a_wrong_code_writes_no_line_and_says_the_same_whatever_is_hidden(words, tmp_path):
    said = set()
    for name in ("rail-posts", "posts-come-out-short"):
        path = tmp_path / f"{name}.jsonl"
        open_recorded(name, path, code=CODE)
        with pytest.raises(CommandError) as refused:
            give(path, order_from(words.split(" ")), lambda: "left-7-wrong")
        said.add(str(refused.value.what))
        assert not orders_path(path).exists()
    assert said == {"that is not the instructor's code of this session"}


@pytest.mark.parametrize("mode", ["practice", "drill", "lesson"])
def test_without_a_code_no_fault_is_put_in_or_taken_out_and_the_answer_tells_nothing(
    mode, tmp_path
):
    name = "rail-posts" if mode == "practice" else asked(tmp_path, mode)
    if mode == "lesson":
        name = "01-power-up-and-stops"
    path = tmp_path / "one.jsonl"
    session = open_recorded(name, path)
    orders = Orders(path)
    answers = set()
    for verb in ("put-in", "take-out"):
        for fault in CATALOGUE:
            with pytest.raises(CommandError) as refused:
                give(path, Order(verb, fault=fault))
            answers.add((verb, str(refused.value)))
    assert len(answers) == 2  # one a verb
    assert all("--instructor-code" in said for _, said in answers)

    orders_path(path).write_text('{"order":"put-in","fault":"variator-forced"}\n')
    give(path, Order("pace", factor=2))
    orders.carry_out(session)

    assert not {each.name for each in session.hidden} & {PULLEY}
    assert session.instructor.pace_factor == 2
    assert [act.order for act in refusals(session)] == ["put-in"]


@pytest.mark.parametrize("order", [
    Order("put-in", fault=PULLEY), Order("take-out", fault=COUNTER), Order("freeze"), Order("go"),
    Order("pace", factor=2), Order("note", text="a"), Order("mark", text="a"),
    Order("second", text="comes Ada"),
])  # fmt: skip
def test_an_assessment_without_a_code_takes_no_order_at_all(order, tmp_path):
    assert order.order in TAKES
    path = tmp_path / "one.jsonl"
    session = open_recorded(asked(tmp_path), path)
    before = session.saw.digest()
    with pytest.raises(CommandError, match="takes no orders"):
        give(path, order)
    needs = TAKES[order.order]
    said = {"order": order.order} | ({needs: getattr(order, needs)} if needs else {})
    orders_path(path).write_text(json.dumps(said) + "\n")

    Orders(path).carry_out(session)

    assert [act.kind for act in session.done.acts] == ["order_refused"]
    assert session.saw.digest() == before
    assert not session.another.who
    assert debrief(session).orders_refused == 1


def test_an_assessment_with_a_code_takes_orders_and_is_marked_for_it(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded(asked(tmp_path), path, code=CODE)
    give(path, Order("take-out", fault=COUNTER), code)
    Orders(path).carry_out(session)

    assert not session.hidden
    assert str(debrief(session).ordered).startswith("MARKED: an assessment with an instructor's")


def test_no_line_is_taken_that_was_changed_or_given_before_or_comes_from_another_session(tmp_path):
    path, other = tmp_path / "one.jsonl", tmp_path / "other.jsonl"
    session, _ = (open_recorded("rail-posts", each, code=CODE) for each in (path, other))
    give(path, Order("pace", factor=2), code)
    give(path, Order("pace", factor=3), code)
    give(other, Order("freeze"), code)
    first, second = orders_path(path).read_text().splitlines(keepends=True)
    foreign = orders_path(other).read_text()
    changed = second.replace('"factor":3', '"factor":9')
    renumbered = second.replace('"number":2', '"number":7')
    unsigned = '{"order":"freeze"}\n'
    orders_path(path).write_text(
        first + changed + renumbered + foreign + unsigned + second + second + first
    )

    orders = Orders(path)
    orders.carry_out(session)

    assert session.instructor.pace_factor == 3
    assert not session.frozen
    assert [act.kind for act in session.done.acts] == ["pace", *["order_refused"] * 4, "pace",
                                                      *["order_refused"] * 2]  # fmt: skip


def test_numbers_rise_and_two_instructors_at_one_moment_are_both_heard(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path, code=CODE)
    give(path, Order("pace", factor=2), code)
    one = orders_path(path).read_text()
    orders_path(path).unlink()
    give(path, Order("mark", text="here"), code)
    orders_path(path).write_text(one + orders_path(path).read_text())

    Orders(path).carry_out(session)

    assert [act.kind for act in session.done.acts] == ["pace", "mark"]


# On the record ----------------------------------------------------------------------------


def test_every_refusal_is_on_the_record_plays_again_and_is_told_only_in_the_debrief(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path, code=CODE)
    give(path, Order("put-in", fault=PULLEY), code)
    give(path, Order("second", text="leaves"), code)  # nobody has come
    session.instructor.put_in(PULLEY)
    with orders_path(path).open("a") as file:
        file.write("nonsense\n")
    Orders(path).carry_out(session)
    heard = [str(event.message) for event in session.heard.events]
    during = path.read_text()
    session.close()

    assert PULLEY not in during
    assert str(CATALOGUE[PULLEY].title) not in during
    assert "has it already" not in during
    assert not any("refused" in said for said in heard)
    again = replay(path)
    assert again.same
    assert again.session.heard.behind == session.heard.behind
    told = [str(event.message) for event in debrief(again.session).timeline]
    title = CATALOGUE[PULLEY].title
    assert f"An order was refused: put-in: the machine has it already: {title}." in told
    assert "An order was refused: second: nobody else is at the saw." in told
    assert "An order was refused: this line is not JSON." in told


def test_why_an_order_on_a_fault_was_refused_is_as_long_on_the_record_whatever_it_says(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_session("rail-posts", record=ChainWriter(path, durable=False))
    for fault in CATALOGUE.values():
        session.instructor.refused("put-in", fault.title)
        session.instructor.refused("take-out", fault.title)
    lines = read_chain(path, allow_cut=True)
    sealed = [line["sealed"] for line in lines if "sealed" in line]

    assert len(sealed) == len(set(sealed)) == 2 * len(CATALOGUE)
    assert len({len(each) for each in sealed}) == 1


def test_a_record_without_its_end_has_the_refusal_and_keeps_its_reason(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.instructor.refused("put-in", CATALOGUE[PULLEY].title)
    session.journal._record.abandon()

    told = [str(event.message) for event in replay(path, allow_cut=True).session.heard.behind]

    assert told == ["An order was refused: put-in: why is sealed until the close."]


def test_a_flood_of_lines_that_are_no_orders_does_not_fill_the_record(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    orders = Orders(path)
    orders_path(path).write_bytes(b"x\n" * 5_000 + b'{"order":"freeze"}\n')

    while not session.frozen:
        orders.carry_out(session)

    assert len(refusals(session)) == 101
    assert "not written down one by one" in str(refusals(session)[-1].why)


def test_orders_and_refusals_are_counted_and_a_windows_own_mark_is_no_order(tmp_path):
    session = open_recorded("rail-posts", tmp_path / "one.jsonl")
    session.instructor.mark(CATALOGUE[PULLEY].title)  # a message: the window's own
    assert debrief(session).ordered is NOTHING
    obey(session, Order("mark", text="here"))
    obey(session, Order("freeze"))
    session.instructor.refused("", CATALOGUE[PULLEY].title)
    found = debrief(session)

    assert (found.orders, found.orders_refused) == (2, 1)
    assert str(found.ordered) == (
        "An instructor's orders: 2 carried out, 1 refused; the time line has each."
    )
