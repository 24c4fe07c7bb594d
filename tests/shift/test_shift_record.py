"""The record of a shift: played again it ends in the same state, and cut off anywhere the shift goes on from it."""

import io
import json
import sys

import pytest

from sim.errors import CommandError, RecordError
from sim.kernel.streams import stream
from sim.pilot import autopilot
from sim.records.acts import ActKind, OrderTaken
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.playback.replay import Playable, live_again, replay
from sim.session.playback.resume import resume
from sim.session.playback.rewind import SHIFT, against, go_back
from sim.session.shift.opening import open_shift
from sim.shift.account import account_of
from sim.text.reports.shift_record import shop_of
from sim.text.typed.shift_console import play_shift
from sim.units import US
from sim.words.message import NOTHING
from tests.records.chains import ChainLog
from tests.shift.test_by_hand import CUT, LET_GO, TWO

SEEDS = range(1, 7)
KEYS = (
    "supply.control_on", "head.raise", "head.lower", "cutting_vise.release", "cutting_vise.close",
    "shuttle_vise.release", "shuttle_vise.close", "shuttle.back", "job.start", "job.hold", "job.stop",
    "supply.emergency_stop",
)  # fmt: skip


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    path = tmp_path_factory.mktemp("recorded") / "two.yaml"
    path.write_text(TWO, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def done(two, tmp_path_factory):
    """One order done and the next one taken, on record: the shop, and the file."""
    path = tmp_path_factory.mktemp("done") / "a.jsonl"
    shop = open_shift(two, record=path, who="bench-07", seed=5)
    fault = play_shift(
        shop, ("take pins B", LET_GO, CUT, "tap job.reset", "take mitres"), lambda _: None,
        interactive=False,
    )  # fmt: skip
    assert not fault
    return shop, path


def cut_off(path, lines, to):
    """Write the first lines of a record to another file."""
    kept = path.read_bytes().splitlines(keepends=True)[:lines]
    to.write_bytes(b"".join(kept))
    return to


def goes_on(shop, whole, lines):
    """Have a resumed shift do what the whole record has after so many lines, and end it."""
    rest = iter([(n, act) for n, act in whole.acts if n > lines])
    live_again(shop.session, whole.name, Playable(rest, whole.last_us, NOTHING, (), iter(())))
    shop.close()


def test_a_record_tells_when_the_shift_began_and_which_order_was_taken_from_which_bar(done):
    shop, path = done
    record = read_record(path)
    told = [act for _, act in record.acts if act.kind in (ActKind.TAKE, ActKind.BEGIN_SHIFT)]

    assert [act.kind for act in told] == ["begin_shift", "take", "take"]
    assert [(act.order, act.bar) for act in told[1:]] == [("pins", "B"), ("mitres", "T")]
    assert told[0].at_us == round(shop.session.going.now_us - shop.now_s * US)
    assert (record.opening.mode, record.opening.who) == ("shift", "bench-07")
    assert not record.left_out


def test_played_again_it_ends_in_the_same_state_with_the_same_account(done):
    shop, path = done
    played = replay(path)
    again = shop_of(played.session)
    again.book()

    assert played.same
    assert again.served == shop.served
    assert account_of(again) == account_of(shop)
    assert again.harm == shop.harm
    assert any(each.good for each in again.served)


def test_closed_and_gone_on_with_it_is_as_if_it_had_not_been_closed(done, tmp_path):
    shop, path = done
    on = resume(read_record(path), tmp_path / "on.jsonl")
    assert (on.order, on.bar, on.on_saw) == ("mitres", "T", "B")
    assert on.now_s == shop.now_s
    on.session.set("mode.key", "in my pocket")
    on.close()
    record = read_record(tmp_path / "on.jsonl")

    assert record.opening.fork.head == read_record(path).head
    assert replay(tmp_path / "on.jsonl").same
    assert on.served[0] == shop.served[0]


@pytest.mark.parametrize("share", [0.03, 0.2, 0.4, 0.6, 0.8, 0.95])
def test_cut_off_at_a_line_it_goes_on_to_the_same_end(done, tmp_path, share):
    shop, path = done
    whole = read_record(path)
    lines = max(3, round(share * whole.count))
    on = resume(
        read_record(cut_off(path, lines, tmp_path / "cut.jsonl"), allow_cut=True),
        tmp_path / "on.jsonl",
    )
    goes_on(on, whole, lines)

    assert read_record(tmp_path / "on.jsonl").closing.state == whole.closing.state
    assert on.served == shop.served
    assert account_of(on) == account_of(shop)


def test_gone_on_with_the_autopilot_still_waits_for_the_bar_that_was_taken(done, tmp_path):
    on = resume(read_record(done[1]), tmp_path / "on.jsonl")
    told = []
    fault = play_shift(on, ("auto setup",), told.append, interactive=False)

    assert fault
    assert "T is on the rack; B lies on the saw" in " ".join(told)


def act_at_random(shop, chance):
    """Do one act of a shift, or have it refused."""
    session = shop.session
    what = chance.choice(
        ("take", "load", "key", "key", "hold", "wait", "wait", "mode", "look", "let go", "set up")
    )
    if what == "take":
        order = chance.choice(("pins", "mitres"))
        shop.take(order, chance.choice(("A", "B", "")) if order == "pins" else "")
    elif what == "load":
        shop.load(chance.choice(("crane", "alone", "under")))
    elif what == "key":
        session.tap(chance.choice(KEYS))
    elif what == "hold":
        session.hold(chance.choice(KEYS[1:8]), chance.uniform(0.1, 6.0))
    elif what == "wait":
        session.advance(chance.uniform(0.0, 30.0))
    elif what == "mode":
        session.set("mode.key", chance.choice(("in my pocket", "in the switch")))
    elif what == "look":
        session.inspect(chance.choice(("last-piece", "tape", "bar-front")))
    elif what == "let go":
        autopilot.clear_for_bar(session)
    elif shop.order and shop.on_saw == shop.bar:
        autopilot.set_up(session)
        autopilot.begin(session)
        session.advance(chance.uniform(0.0, 120.0))


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_is_done_in_a_shift_its_record_goes_on_from_any_line_to_the_same_state(
    two, tmp_path, seed
):
    chance = stream(seed, "shift")
    shop = open_shift(two, record=tmp_path / "a.jsonl", seed=seed)
    for _ in range(25):
        try:
            act_at_random(shop, chance)
        except CommandError:
            continue
    shop.close()
    whole = read_record(tmp_path / "a.jsonl")
    lines = chance.randrange(3, whole.count)
    cut = read_record(cut_off(tmp_path / "a.jsonl", lines, tmp_path / "cut.jsonl"), allow_cut=True)
    on = resume(cut, tmp_path / "on.jsonl")
    goes_on(on, whole, lines)

    assert replay(tmp_path / "a.jsonl").same
    assert read_record(tmp_path / "on.jsonl").closing.state == whole.closing.state
    assert replay(tmp_path / "on.jsonl").same
    assert on.served == shop.served


def test_nothing_of_a_shift_is_taken_back(two, done):
    for session in (open_shift(two, recorded=False, seed=5).session, done[0].session):
        assert against(session)[0] == SHIFT
        with pytest.raises(CommandError, match="nothing is taken back"):
            go_back(session, 0)


@pytest.mark.parametrize("seed", [None, 7])
def test_without_a_record_none_is_written(two, seed, tmp_path, monkeypatch):
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))
    shop = open_shift(two, recorded=False, seed=seed)
    shop.take("mitres")
    shop.close()

    assert shop.session.record_path is None
    assert not (tmp_path / "home").exists()


# ---- at the command line


def typed(monkeypatch, *lines):
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n".join(lines)))


def test_the_debrief_off_the_record_is_that_of_the_shift(drycycle, two, tmp_path, monkeypatch):
    record, live, again = (tmp_path / each for each in ("a.jsonl", "live.json", "again.json"))
    typed(monkeypatch, "take pins B", LET_GO, CUT, "quit")
    code, out, _ = drycycle("play", two, "--record", record, "-o", live)
    assert code == 0
    assert f"The record of this session: {record}" in " ".join(out.split())
    code, told, _ = drycycle("debrief", record, "-o", again)

    assert code == 0
    assert json.loads(again.read_text()) == json.loads(live.read_text())
    assert again.read_text() == live.read_text()
    shown = out.split("The shift is over.")[1].split("The debrief")[0]
    assert shown.strip() == told.split("The debrief")[0].strip()
    code, out, _ = drycycle("replay", record)
    assert code == 0
    assert "The same, to the last bit." in out
    assert "Score" not in out


def test_it_goes_on_by_name_of_its_record_and_others_are_refused(
    drycycle, two, done, tmp_path, monkeypatch
):
    _, path = done
    typed(monkeypatch, "orders", "quit")
    code, out, _ = drycycle(
        "play", two, "--resume", path, "--record", tmp_path / "on.jsonl", "-o", tmp_path / "on.json"
    )
    assert code == 0
    assert "The shift goes on where its record ends" in out
    assert "2 of 2 fell" in out
    assert read_record(tmp_path / "on.jsonl").opening.fork is not None
    other = tmp_path / "other.yaml"
    other.write_text(TWO.replace("Pins and a mitre", "Another"), encoding="utf-8")
    post = tmp_path / "post.jsonl"
    open_recorded("rail-posts", post).close()
    for words, told in (
        (("play", other, "--resume", path), "of another shift"),
        (("play", two, "--resume", post), "not the record of a shift"),
        (("play", "rail-posts", "--resume", path), "only a shift of orders goes on"),
        (("play", two, "--resume", path, "--who", "a"), "only a shift of orders goes on"),
        (("play", two, "--instructor-code"), "takes no instructor's code"),
    ):
        code, _, err = drycycle(*words, "--no-record") if "rail" in str(words) else drycycle(*words)
        assert code == 2, words
        assert told in " ".join(err.split()), words
    assert not (tmp_path / "home" / "records").exists()


def test_a_changed_line_is_refused_with_its_place(drycycle, done, tmp_path):
    lines = done[1].read_bytes().splitlines(keepends=True)
    place = next(n for n, line in enumerate(lines) if b'"take"' in line)
    lines[place] = lines[place].replace(b'"pins"', b'"pinx"')
    bad = tmp_path / "bad.jsonl"
    bad.write_bytes(b"".join(lines))

    for command in ("replay", "debrief"):
        code, _, err = drycycle(command, bad)
        assert code == 2
        assert f"{bad}:{place + 1}" in "".join(err.split())


def rechained(path, to, change):
    """Write a record anew with a sound chain, each act as `change` has it, and no end."""
    log = ChainLog()
    for line in map(json.loads, path.read_bytes().splitlines()):
        if "act" in line:
            log.append(change(line["act"]))
    to.write_text(log.text(), encoding="utf-8")
    return to


@pytest.mark.parametrize(
    ("field", "given", "told"),
    [("order", "pinx", "the cut list has no order pinx"), ("bar", "Z", "the rack has no bar Z")],
)
def test_an_order_that_its_shift_has_not_is_refused_with_its_place(
    done, tmp_path, field, given, told
):
    def change(act):
        return act | {field: given} if act.get("act") == "take" else act

    bad = rechained(done[1], tmp_path / "bad.jsonl", change)
    numbers = [n for n, line in enumerate(bad.read_text().splitlines(), 1) if '"take"' in line]
    for play in (
        lambda: replay(bad, allow_cut=True),
        lambda: resume(read_record(bad, allow_cut=True), tmp_path / "on.jsonl"),
    ):
        with pytest.raises(RecordError) as caught:
            play()
        assert told in str(caught.value.what)
        assert str(caught.value.where) == f"{bad}:{numbers[0]}"
    assert not (tmp_path / "on.jsonl").exists()


def test_an_order_taken_in_a_session_that_is_no_shift_is_refused(tmp_path):
    post = tmp_path / "post.jsonl"
    session = open_recorded("rail-posts", post)
    session.journal.act(OrderTaken(0, "pins", "B"))
    session.close()

    with pytest.raises(RecordError, match="no shift of orders"):
        replay(post)


def test_a_line_that_does_not_fit_is_no_way_to_go_on(done, tmp_path):
    def change(act):
        return act | {"zzz": 1} if act.get("act") == "take" else act

    bad = read_record(rechained(done[1], tmp_path / "bad.jsonl", change), allow_cut=True)
    with pytest.raises(RecordError) as caught:
        resume(bad, tmp_path / "on.jsonl")

    assert str(caught.value.where) == bad.left_out[0].place
    assert not (tmp_path / "on.jsonl").exists()


def test_a_class_and_what_is_due_pass_a_shift_over(drycycle, done, tmp_path):
    folder = tmp_path / "class"
    folder.mkdir()
    (folder / "a.jsonl").write_bytes(done[1].read_bytes())
    cut_off(done[1], 40, folder / "b.jsonl")
    open_recorded("rail-posts", folder / "post.jsonl").close()
    code, out, _ = drycycle("class", folder)

    assert code == 0
    assert " ".join(out.split()).count("it is of a shift of orders") == 2
    code, _, _ = drycycle("next", "--folder", folder)
    assert code == 0
