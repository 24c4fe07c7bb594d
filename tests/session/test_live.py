"""An instructor at a running session, and faults that set in on their own: all of it plays again."""

import hashlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.debrief.debrief import debrief
from sim.errors import CommandError, RecordError, ScenarioError
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import (
    again,
    as_found,
    begin,
    make_ready,
    measure,
    power_up,
    run,
    wait_until,
)
from sim.pilot.locking import give_back
from sim.records.chain_check import read_chain
from sim.records.reading import read_record
from sim.records.seal import fault_seal
from sim.scenario.scenario import HiddenFault, Intermittent, Trigger, read_scenario
from sim.session.hands.table import to_mend
from sim.session.kept.told import STANDS_STILL
from sim.session.locking import do_all, locking_out
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.orders import obey, order_from
from sim.session.playback.replay import replay
from sim.signals import BY_KEY, Direction
from sim.units import US
from tests.debrief.eventful import debrief_by_few
from tests.records.chains import ChainWriter

COUNTER = "stop-from-below"
PULLEY = "variator-forced"


def played_again(path, session):
    """Return the replay of a record, after holding it against the session that wrote it."""
    again = replay(path)
    assert again.same
    assert again.session.heard.events == session.heard.events
    assert again.session.heard.behind == session.heard.behind
    return again


def running(name="rail-posts", **record):
    session = open_session(name, **record)
    power_up(session)
    make_ready(session)
    begin(session)
    return session


def with_fault(fault, **job):
    """Return a session on the rail posts, less of them, with one fault in it."""
    scenario, _ = read("rail-posts")
    order = scenario.job.model_copy(update={"wanted": 4, **job})
    return session_for(scenario.model_copy(update={"faults": (fault,), "job": order}))


# Put in and taken out ---------------------------------------------------------------------


def test_a_fault_put_into_a_running_job_spoils_the_next_pieces_and_plays_again(tmp_path):
    path = tmp_path / "live.jsonl"
    session = open_recorded("rail-posts", path)
    power_up(session)
    make_ready(session)
    begin(session)
    run(session, 2)
    session.instructor.put_in(COUNTER)
    run(session, 4)
    session.close()

    set_mm = [
        round((cut.length_m - cut.scatter_m) * 1000, 2)
        for cut in session.saw.cuts if not cut.squaring
    ]  # fmt: skip
    # The shuttle stood at the stop, and was pushed along when that was wound below the setting.
    assert set_mm == [230.0, 230.0, 225.0, 229.85]
    played_again(path, session)


def test_the_name_of_a_fault_put_in_is_nowhere_before_the_close_and_the_close_opens_its_seal(
    tmp_path,
):
    path = tmp_path / "live.jsonl"
    session = open_recorded("rail-posts", path)
    session.instructor.put_in(PULLEY)
    session.instructor.take_out(PULLEY)
    session.instructor.put_in(COUNTER)
    during = path.read_text()
    told = " ".join(str(event.message) for event in session.heard.events)
    session.close()
    closing = read_chain(path)[-1]["last"]

    for name in (PULLEY, COUNTER):
        assert name not in during
        assert str(CATALOGUE[name].title) not in during + told
    assert closing["sealed"] == [PULLEY, PULLEY, COUNTER]
    seals = [line["seal"] for line in read_chain(path) if line.get("by") == "instructor"]
    assert seals == [fault_seal(i, n, closing["nonce"]) for i, n in enumerate(closing["sealed"])]
    assert len(set(seals)) == 3


def test_a_fault_put_in_counts_as_hidden_and_one_taken_out_no_longer(tmp_path):
    session = open_session("posts-come-out-short")
    session.instructor.put_in(PULLEY)
    both = [fault.name for fault in session.hidden]
    session.instructor.take_out(COUNTER)

    assert both == [COUNTER, PULLEY]
    assert [fault.name for fault in session.hidden] == [PULLEY]
    assert [fault.name for fault in session.faults.still_wrong()] == [PULLEY]
    assert session.saw.plant.shuttle.reading_m == pytest.approx(session.saw.plant.shuttle.stop_m)
    session.diagnose(COUNTER)
    cause = debrief_by_few(session).parts[0]
    assert "not there" not in str(cause.reason)


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda i: i.put_in(COUNTER), "has it already"),
        (lambda i: i.take_out(PULLEY), "not hidden"),
        (lambda i: i.put_in("stop-from-bellow"), COUNTER),
        (lambda i: i.pace(99), "99 is no pace"),
    ],
)
def test_what_an_instructor_cannot_have_is_refused_and_leaves_no_trace(act, says):
    session = open_session("posts-come-out-short")
    before = session.saw.digest()

    with pytest.raises(CommandError, match=says):
        act(session.instructor)

    assert session.saw.digest() == before
    assert session.done.acts == []
    assert session.heard.behind == []


def test_a_closed_session_takes_no_orders():
    session = open_session("rail-posts")
    session.close()

    for act in (session.instructor.freeze, session.instructor.mark, session.instructor.put_in):
        with pytest.raises(CommandError):
            act(COUNTER)


def test_a_record_whose_seal_was_made_for_another_fault_is_not_played(tmp_path):
    path = tmp_path / "live.jsonl"
    session = open_session("rail-posts", record=ChainWriter(path, durable=False))
    session.instructor.put_in(COUNTER)
    session.journal._sealed[0] = PULLEY
    session.close()

    with pytest.raises(RecordError, match="does not open this seal"):
        replay(path)


def test_a_record_that_was_cut_plays_without_what_is_still_sealed(tmp_path):
    path = tmp_path / "live.jsonl"
    session = open_recorded("rail-posts", path)
    session.press("supply.isolator")
    session.instructor.put_in(COUNTER)
    session.instructor.mark("here")

    acts = list(read_record(path, allow_cut=True).acts)
    session.close()
    whole = list(read_record(path).acts)

    assert [act.kind for _, act in acts] == ["press", "mark"]
    assert [act.kind for _, act in whole] == ["press", "put_in", "mark"]
    assert whole[1][1].name == COUNTER
    assert [number for number, _ in whole] == [3, 4, 5]


# Frozen -----------------------------------------------------------------------------------


def test_at_a_frozen_machine_time_stands_and_every_act_is_refused_in_words():
    session = running()
    session.advance(20)
    session.instructor.freeze(True)
    before, events = session.saw.digest(), len(session.heard.events)

    session.advance(60)
    session.advance_us(1)
    pressed = session.press("job.hold")
    answers = (
        session.set("head.feed_force_n", 300),
        session.inspect("stop-plunger"),
        session.lock_out("tell"),
        session.diagnose(COUNTER),
        session.put_right(COUNTER),
    )

    assert session.saw.digest() == before
    assert pressed is not None
    assert pressed.sentence == STANDS_STILL.message
    assert {answer.message for answer in answers} == {STANDS_STILL.message}
    assert not any(answer.taken for answer in answers)
    assert (session.done.named, session.done.mended, session.seen.looks) == ([], [], [])
    assert len(session.heard.events) == events


def test_a_hand_can_let_go_at_a_frozen_machine_but_a_latch_stays():
    session = open_session("rail-posts")
    power_up(session)
    session.press("head.raise")
    session.instructor.freeze(True)

    latch = session.release("supply.isolator")
    session.release("head.raise")

    assert latch is not None
    assert not latch.accepted
    assert session.saw.held == {"supply.isolator"}


def test_a_machine_let_go_on_does_what_it_would_have_done(tmp_path):
    path = tmp_path / "frozen.jsonl"
    frozen, left_alone = running(record=ChainWriter(path, durable=False)), running()
    frozen.advance(20)
    frozen.instructor.freeze(True)
    frozen.advance(500)
    frozen.instructor.note("Look at the head.")
    frozen.instructor.freeze(False)
    frozen.advance(40)
    left_alone.advance(60)
    frozen.close()

    assert frozen.saw.digest() == left_alone.saw.digest()
    assert [str(e.message) for e in frozen.heard.events if e.kind == "instructor"] == [
        "The instructor froze the machine.",
        "The instructor says: Look at the head.",
        "The instructor let the machine go on.",
    ]
    played_again(path, frozen)


def test_waiting_at_a_frozen_machine_ends_at_once():
    session = running()
    session.instructor.freeze(True)

    assert not wait_until(session, lambda: session.tally.pieces > 0, 3600)
    assert not run(session).finished


def test_a_mark_is_told_only_in_the_debrief_and_a_pace_changes_nothing_on_the_machine(tmp_path):
    path = tmp_path / "paced.jsonl"
    paced, plain = running(record=ChainWriter(path, durable=False)), running()
    paced.instructor.pace(5)
    paced.instructor.mark("Reads the brief again.")
    for session in (paced, plain):
        session.advance(30)
    paced.close()

    assert paced.instructor.pace_factor == 5
    assert paced.saw.digest() == plain.saw.digest()
    assert not any("Reads the brief" in str(event.message) for event in paced.heard.events)
    assert any("Reads the brief" in str(event.message) for event in debrief(paced).timeline)
    played_again(path, paced)


# Faults that set in later -----------------------------------------------------------------


def test_a_fault_from_a_time_sets_in_at_that_time_and_not_before():
    session = with_fault(HiddenFault(name=COUNTER, from_s=100))
    session.advance(99.9)
    before = session.faults.present(CATALOGUE[COUNTER])
    session.advance(0.1)

    assert not before
    assert session.faults.present(CATALOGUE[COUNTER])
    assert [(e.at_us, str(e.message)) for e in session.heard.behind] == [
        (100 * US, "Length stop approached from the wrong side set in.")
    ]
    assert session.heard.events == []


def test_a_fault_from_a_piece_sets_in_when_the_one_before_it_is_cut():
    session = with_fault(HiddenFault(name=COUNTER, from_piece=2), tolerance_mm=0.1)
    as_found(session, 4)

    pieces = [cut for cut in session.saw.cuts if not cut.squaring]
    [culprit] = session.faults.culprits
    assert culprit.set_in_us == pieces[0].at_us
    assert [session.tally.is_good(cut) for cut in pieces] == [True, False, False, False]


def test_a_fault_on_a_condition_waits_for_the_wire_as_often_as_it_says():
    session = with_fault(
        HiddenFault(name=COUNTER, when=Trigger(signal="B11", goes="dead", times=3))
    )
    edges = []
    session.saw.bus.listen(
        Direction.INPUT,
        lambda tag, value: (
            edges.append(session.saw.clock.now_us) if tag == "B11" and not value else None
        ),
    )
    as_found(session, 4)

    [culprit] = session.faults.culprits
    assert culprit.set_in_us == edges[2]


def test_a_fault_that_comes_and_goes_is_there_for_its_share_of_the_time():
    session = with_fault(
        HiddenFault(name=PULLEY, intermittent=Intermittent(period_s=10, share=0.3, seed=5))
    )
    there = 0
    for _ in range(10_000):
        session.advance(0.1)
        there += session.faults.present(CATALOGUE[PULLEY])

    assert there / 10_000 == pytest.approx(0.3, abs=0.02)
    assert [fault.name for fault in session.faults.still_wrong()] == [PULLEY]


def test_another_seed_brings_it_at_other_times_and_the_same_seed_at_the_same():
    def times(seed):
        comes = Intermittent(period_s=10, share=0.3, seed=seed)
        session = with_fault(HiddenFault(name=PULLEY, intermittent=comes))
        seen = []
        for _ in range(300):
            session.advance(0.5)
            seen.append(session.faults.present(CATALOGUE[PULLEY]))
        return seen

    assert times(1) == times(1)
    assert times(1) != times(2)


@pytest.mark.parametrize(
    ("shares", "pieces"),
    [
        ([], 1),
        # 0.5 ** 6 is 0.016, 0.5 ** 7 is 0.008.
        ([0.5], 7),
        # 0.7 ** 12 is 0.014, 0.7 ** 13 is 0.0097.
        ([0.3], 13),
        ([0.5, 0.3], 13),
        ([0.999], 1),
    ],
)
def test_so_many_good_pieces_prove_that_leave_a_hundredth_to_luck(shares, pieces):
    names = (PULLEY, "bar-sensor-wire")
    rows = tuple(
        HiddenFault(name=name, intermittent=Intermittent(period_s=10, share=share))
        for name, share in zip(names, shares, strict=False)
    )
    scenario, _ = read("rail-posts")

    assert session_for(scenario.model_copy(update={"faults": rows})).faults.good_to_prove == pieces


def test_what_comes_and_goes_is_proved_to_be_gone_by_its_last_good_piece_and_no_sooner():
    comes = Intermittent(period_s=10, share=0.5)
    session = with_fault(HiddenFault(name=PULLEY, intermittent=comes), wanted=7)
    session.advance(60)
    do_all(session, locking_out(session, work=to_mend(CATALOGUE[PULLEY])))
    session.put_right(PULLEY)
    give_back(session)
    again(session, 6)

    assert session.tally.proving == 6
    assert session.tally.proved_us is None

    measure(session)
    assert session.tally.proved_us is None

    session.palms("job.unhold")
    run(session, 7)
    session.inspect("caliper 6")
    assert session.tally.proved_us is None

    assert measure(session)
    assert session.tally.proved_us == session.measuring.readings[-1].at_us


def test_one_that_comes_and_goes_stays_away_once_it_is_put_right():
    comes = Intermittent(period_s=10, share=0.5)
    session = with_fault(HiddenFault(name=PULLEY, intermittent=comes))
    session.advance(60)
    do_all(session, locking_out(session, work=to_mend(CATALOGUE[PULLEY])))
    session.put_right(PULLEY)
    seen = []
    for _ in range(400):
        session.advance(0.5)
        seen.append(session.faults.present(CATALOGUE[PULLEY]))

    assert not any(seen)
    assert session.faults.still_wrong() == ()


def test_a_good_piece_before_the_fault_sets_in_proves_nothing():
    session = with_fault(HiddenFault(name=COUNTER, from_piece=3))
    as_found(session, 2)

    assert session.tally.good == 2
    assert session.tally.proved_us is None
    assert [fault.name for fault in session.faults.still_wrong()] == [COUNTER]


def test_a_fault_that_the_instructor_takes_out_in_time_never_sets_in():
    session = with_fault(HiddenFault(name=COUNTER, from_piece=3))
    session.instructor.take_out(COUNTER)
    as_found(session, 4)

    assert session.tally.good == 4


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        ("{name: variator-forced, from_s: 3, from_piece: 2}", "from_s and from_piece both say"),
        ("{name: variator-forced, from_piece: 25}", "piece 25 is never cut"),
        ("{name: variator-forced, from_piece: 1}", "from_piece"),
        ("{name: variator-forced, when: {signal: B99}}", "there is no device 'B99'"),
        ("{name: variator-forced, when: {signal: B12, goes: up}}", "live"),
        ("{name: stop-from-below, intermittent: {period_s: 9, share: 0.5}}", "come and go"),
        ("{name: variator-forced, intermittent: {period_s: 9, share: 1}}", "share"),
    ],
)
def test_a_fault_that_cannot_set_in_so_is_refused_with_its_place(fault, says, tmp_path):
    path = tmp_path / "mine.yaml"
    scenario = read("rail-posts")[1].read_text(encoding="utf-8")
    path.write_text(f"{scenario}\nfaults: [{fault}]\n", encoding="utf-8")

    with pytest.raises(ScenarioError, match=says) as refused:
        read(str(path))

    assert str(refused.value.where).startswith(f"{path}:")


def test_every_way_of_setting_in_can_be_written_in_a_file(tmp_path):
    path = tmp_path / "mine.yaml"
    scenario = read("rail-posts")[1].read_text(encoding="utf-8")
    path.write_text(
        f"{scenario}\nfaults:\n"
        "  - {name: plunger-on-the-land, from_s: 90}\n"
        "  - {name: stop-from-below, from_piece: 2}\n"
        "  - name: variator-forced\n"
        "    when: {signal: B12, goes: live, times: 2}\n"
        "    intermittent: {period_s: 30, share: 0.25, seed: 7}\n",
        encoding="utf-8",
    )

    faults = read_scenario(path).faults

    assert [fault.from_the_start for fault in faults] == [False, False, False]
    assert faults[2].intermittent == Intermittent(period_s=30, share=0.25, seed=7)


# All of it together -----------------------------------------------------------------------

LATE = """
faults:
  - {name: plunger-on-the-land, when: {signal: B33, times: 2}}
  - {name: stop-from-below, from_piece: 2}
  - {name: variator-forced, from_s: 40, intermittent: {period_s: 7, share: 0.4}}
"""
ACTS = st.one_of(
    st.tuples(st.just("press"), st.sampled_from(sorted(BY_KEY))),
    st.tuples(st.just("release"), st.sampled_from(sorted(BY_KEY))),
    st.tuples(st.just("wait"), st.sampled_from([0.0, 0.0, 0.3, 5.0, 60.0])),
    st.tuples(st.just("order"), st.sampled_from([
        "freeze", "go", "pace 2", "mark here", "note there",
        *(f"{verb} {name}" for verb in ("put-in", "take-out") for name in sorted(CATALOGUE)[:12]),
    ])),
    st.tuples(st.just("put_right"), st.sampled_from(sorted(CATALOGUE))),
    st.tuples(st.just("inspect"), st.sampled_from(["stop-plunger", "meter B11", "last-piece"])),
    st.tuples(st.just("auto"), st.sampled_from([power_up, make_ready, begin])),
)  # fmt: skip


def do(session, word, what):
    if word == "wait":
        session.advance(what)
    elif word == "auto":
        what(session)
    elif word == "order":
        obey(session, order_from(what.split(" ")))
    else:
        getattr(session, word)(what)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=st.lists(ACTS, max_size=40))
def test_whatever_trainee_and_instructor_do_plays_again_exactly(tmp_path, acts):
    scenario = tmp_path / "late.yaml"
    if not scenario.exists():
        text = read("rail-posts")[1].read_text(encoding="utf-8")
        scenario.write_text(text + LATE, encoding="utf-8")
    path = tmp_path / "any.jsonl"
    path.unlink(missing_ok=True)
    session = open_session(str(scenario), record=ChainWriter(path, durable=False))
    for word, what in acts:
        try:
            do(session, word, what)
        except CommandError:
            continue
    session.close()

    played_again(path, session)


def test_letting_no_time_pass_makes_no_difference():
    once = with_fault(HiddenFault(name=COUNTER, from_piece=2))
    often = with_fault(HiddenFault(name=COUNTER, from_piece=2))
    for session, extra in ((once, 0), (often, 3)):
        for _ in range(400):
            if session.now_s == 0.0:
                power_up(session)
                make_ready(session)
                begin(session)
            session.advance(1)
            for _ in range(extra):
                session.advance(0)
            session.note("tick")

    assert once.saw.digest() == often.saw.digest()
    assert once.heard.events == often.heard.events


def test_a_fault_that_an_act_brings_about_is_there_before_the_next_act_of_that_instant(tmp_path):
    """By the fault the stop is wound up; set after it, from above, it is true again."""
    path = tmp_path / "any.jsonl"
    scenario = tmp_path / "late.yaml"
    text = read("rail-posts")[1].read_text(encoding="utf-8")
    fault = "faults: [{name: stop-from-below, when: {signal: S70}}]"
    scenario.write_text(f"{text}\n{fault}\n", encoding="utf-8")
    session = open_session(str(scenario), record=ChainWriter(path, durable=False))
    session.press("job.reset")
    session.set("shuttle.stop_mm", 300)
    session.set("shuttle.stop_mm", 240)
    session.close()

    shuttle = session.saw.plant.shuttle
    assert session.faults.culprits[0].set_in_us == 0
    assert shuttle.reading_m == pytest.approx(shuttle.stop_m)
    played_again(path, session)


def test_the_seal_of_a_fault_is_the_digest_that_its_docstring_says():
    assert fault_seal(2, "a", "n") == hashlib.sha256(b"2:a/n").hexdigest()
