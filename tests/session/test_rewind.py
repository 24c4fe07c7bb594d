"""Going back from an accident: the saw stands as it stood then, and the books keep what came of it."""

from dataclasses import replace as with_other

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.debrief.class_report import class_of, csv_of
from sim.debrief.debrief import debrief, finish
from sim.debrief.progress import done_in
from sim.debrief.scoring import harms_of
from sim.errors import CommandError, RecordError
from sim.plant.harm.kinds import KINDS, Severity
from sim.plant.set_points import SET_POINTS
from sim.records.acts import Rewound
from sim.records.reading import read_record
from sim.scenario.scenario import Second
from sim.session.hands.zones import STRIKES
from sim.session.kept.heard import EventKind
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import library_entries, open_recorded, open_session, read, session_for
from sim.session.playback.acting import play as do_act
from sim.session.playback.replay import replay
from sim.session.playback.rewind import (
    BEFORE_S,
    against,
    go_back,
    lived,
    may_rewind,
    rewind,
)
from sim.session.rewinds import REWINDS_IN
from sim.signals import BY_KEY, Source
from sim.text.typed.console import play
from sim.units import US
from sim.view.play.player import player_from, player_of
from sim.words.message import quoted
from tests.records.chains import ChainLog, ChainWriter
from tests.safety.playing import do
from tests.safety.rows import Strike
from tests.safety.unsafe_acts import UNSAFE

LESSON = "01-power-up-and-stops"
STRUCK = [row for row in UNSAFE if isinstance(row.then, Strike) and not row.machine]
POWER = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
RUNS = (*POWER, "hold head.raise 8", "palms band.run", "wait 4")
STRIKES_BAND = "inspect guide-inserts"  # with the band running


def lesson(*lines, record=None, **others):
    session = open_session(LESSON, record=record, **others)
    for line in lines:
        do(session, line)
    return session


def struck(record=None, **others):
    session = lesson(*RUNS, STRIKES_BAND, record=record, **others)
    assert session.over
    assert [each.kind for each in session.hands.strikes] == ["struck-band"]
    return session


def as_lesson(row):
    """Return a lesson on the scenario and saw of a row, with its people."""
    people = {"role": row.role, "mode": "lesson", "steps": read(LESSON)[0].steps}
    if row.others or row.other_locks:
        people["second_person"] = Second(name="Ada", locks=row.other_locks)
    return session_for(read(row.scenario, row.saw)[0].model_copy(update=people))


def writer(path):
    return ChainWriter(path, durable=False)


# Whatever came to harm can be taken back -----------------------------------------------------


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_harm_is_taken_back_in_a_lesson_and_its_price_and_the_strike_stay(kind):
    session = lesson("press supply.isolator", "wait 20")
    session.saw.plant.site.tell(kind)
    before = debrief(session)
    assert session.over == (KINDS[kind].severity is Severity.STOP)

    on = rewind(session)

    assert not on.over
    assert (on.now_s, list(on.saw.consequences)) == (20 - BEFORE_S, [])
    assert [harm.kind for harm in harms_of(on)] == [kind]
    found = debrief(on)
    assert (found.critical, found.strikes) == (before.critical, before.strikes)
    assert found.strikes == (kind in STRIKES)
    assert with_other(found.cost, minutes=0) == with_other(before.cost, minutes=0)
    assert found.minutes == before.minutes  # those that were taken back were spent
    assert found.timeline[: len(before.timeline)] == before.timeline
    assert on.press("supply.emergency_stop") is None
    with pytest.raises(CommandError):
        session.press("supply.reset")  # of the session that was there before nothing is left to do


@pytest.mark.parametrize("row", STRUCK, ids=lambda row: row.name)
def test_hands_that_were_struck_are_taken_back_in_a_lesson(row):
    session = as_lesson(row)
    for line in (*row.state, *row.act[:-1]):
        do(session, line)
    for after_s, line in row.others:
        session.instructor.second(f"{line} in {after_s:g}")
    do(session, row.act[-1])
    (strike,) = session.hands.strikes

    on = rewind(session)

    assert not on.over
    assert on.hands.strikes == ()
    assert on.under_way is None
    assert strike in harms_of(on)
    assert debrief(on).strikes == (not session.hands.ordered)
    go_on(on, session.done.acts[on.rewinds[-1].stood :])
    assert on.saw.digest() == session.saw.digest()


def go_on(session, acts):
    """Do acts at their times, as they were done before."""
    for act in acts:
        session.advance_us(max(act.at_us - session.going.now_us, 0))
        do_act(session, act, wait=False)
    session.finish_act()
    return session


# The saw stands as it stood ------------------------------------------------------------------

ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("press"), st.sampled_from(sorted(BY_KEY))),
        st.tuples(st.just("release"), st.sampled_from(sorted(BY_KEY))),
        st.tuples(st.just("wait"), st.floats(0, 30)),
        st.tuples(
            st.just("set"),
            st.sampled_from([row for row in SET_POINTS if not row.words]),
            st.floats(0, 1),
        ),
    ),
    max_size=40,
)


def lived_through(session, acts):
    for word, *rest in acts:
        if session.over:
            break
        if word == "wait":
            session.advance(rest[0])
        elif word == "set":
            row, share = rest
            low, high = row.limits(session.machine)
            session.set(row.name, low + share * (high - low))
        else:
            getattr(session, word)(rest[0])
    return session


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    seed=st.integers(0, 2**31), acts=ACTS, shares=st.lists(st.floats(0, 1), min_size=1, max_size=3)
)
def test_a_fork_stands_as_the_saw_stood_and_comes_to_the_same_again(tmp_path, seed, acts, shares):
    path = tmp_path / "any.jsonl"
    path.unlink(missing_ok=True)
    session = lived_through(open_session("rail-posts", record=writer(path), seed=seed), acts)
    for share in shares:
        to_us = round(share * session.going.now_us)
        twin = open_session("rail-posts", seed=seed)
        go = [act for act in session.done.acts if act.at_us < to_us]
        for act in go:
            twin.advance_us(act.at_us - twin.going.now_us)
            do_act(twin, act, wait=False)
        twin.advance_us(to_us - twin.going.now_us)
        done, ended, end_us = list(session.done.acts), session.saw.digest(), session.going.now_us
        told = len(session.heard.events)

        session = go_back(session, to_us)

        assert session.saw.digest() == twin.saw.digest()
        assert session.going.now_us == to_us
        assert len(session.heard.events) == told + 1
        session = go_on(session, done[len(go) :])
        session.advance_us(max(end_us - session.going.now_us, 0))
        assert session.saw.digest() == ended
    session.close()

    played = replay(path)

    assert played.same
    assert played.session.heard.events == session.heard.events
    assert [each.took_us for each in played.session.rewinds] == [
        each.took_us for each in session.rewinds
    ]


def test_a_pair_of_forks_that_go_on_otherwise_are_otherwise():
    session = lesson(*RUNS)
    ended = session.saw.digest()

    on = go_back(session, round((session.now_s - 2) * US))
    on.advance_us(2 * US)

    assert on.saw.digest() == ended
    on = go_back(on, round((on.now_s - 2) * US))
    on.tap("band.stop")
    on.advance_us(2 * US)
    assert on.saw.digest() != ended


# Where to ------------------------------------------------------------------------------------


def test_it_goes_to_a_moment_at_which_hands_are_free():
    session = lesson(*POWER, "hold head.raise 8", "wait 10")
    begun_us = session.going.now_us
    session.press("head.lower")
    session.advance(60)
    session.saw.plant.site.tell("overload-trip")

    on = rewind(session)

    assert on.going.now_us == begun_us
    keys = {key for key in on.saw.held if BY_KEY[key].source is Source.KEY}
    assert keys == set()


def test_it_goes_to_before_the_act_that_hands_were_busy_with(tmp_path):
    session = lesson(*POWER, "wait 30")
    begun_us = session.going.now_us
    session.set("band.tension_mpa", 200.0, wait=False)
    session.advance_us(9 * US)
    assert session.under_way is not None
    session.saw.plant.site.tell("overload-trip")

    on = rewind(session)

    assert on.going.now_us == begun_us
    assert on.under_way is None


def test_who_does_nothing_and_comes_to_it_again_goes_back_further_each_time():
    on = rewind(struck())
    first_us, acts = on.going.now_us, len(on.done.acts)

    on = rewind(on)

    assert on.going.now_us < first_us
    assert len(on.done.acts) < acts


def test_a_time_that_is_given_counts_from_now():
    session = lesson("press supply.isolator", "wait 100")
    session.saw.plant.site.tell("overload-trip")
    session.advance(10)

    assert rewind(session, 30.0).now_s == 80.0


def test_before_anything_was_done_it_begins_anew():
    session = lesson("press supply.isolator")
    session.saw.plant.site.tell("struck-band")

    on = rewind(session)

    assert (on.now_s, len(on.done.acts)) == (0.0, 0)


# Where it is not ------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "mode"), [(name, sc.mode) for name, sc in library_entries()])
def test_it_is_in_lessons_and_practice_and_in_no_drill_or_assessment(name, mode):
    session = open_session(name)
    session.saw.plant.site.tell("overload-trip")

    assert may_rewind(session) == (mode in REWINDS_IN)


@pytest.mark.parametrize("mode", ["drill", "assessment"])
def test_in_a_drill_and_an_assessment_it_is_refused_with_what_to_do(mode):
    scenario = read("posts-come-out-short")[0].model_copy(update={"mode": mode})
    session = session_for(scenario, nonce="")
    session.saw.plant.site.tell("struck-band")

    with pytest.raises(CommandError) as refused:
        rewind(session)

    assert "nothing is taken back" in str(refused.value)
    assert "in a lesson or in practice" in str(refused.value)
    with pytest.raises(CommandError):
        go_back(session, 0)


def test_a_going_back_that_was_written_into_the_record_of_a_drill_is_refused(tmp_path):
    path = tmp_path / "forged.jsonl"
    session = open_session("posts-come-out-short", record=writer(path))
    session.advance(10)
    session.journal.act(Rewound(10 * US, 5 * US))
    session.journal.act(Rewound(5 * US, 2 * US))
    session.close()

    with pytest.raises(RecordError) as refused:
        replay(path)

    assert "nothing is taken back" in str(refused.value)


def test_a_line_that_goes_forward_is_left_out(tmp_path):
    path = tmp_path / "forged.jsonl"
    record = writer(path)
    session = lesson("press supply.isolator", record=record)
    record.append({"act": "rewind_to", "at_us": 5, "to_us": 10})
    session.close()

    assert [each.place for each in read_record(path).left_out] == [f"{path}:4"]
    assert replay(path).same


def test_where_nothing_came_to_harm_there_is_nothing_to_take_back():
    session = lesson("press supply.isolator", "wait 10")

    assert "nothing has come to harm" in str(against(session)[0])
    with pytest.raises(CommandError):
        rewind(session)


def test_in_a_frozen_session_and_in_one_that_is_closed_it_is_refused():
    session = struck()
    session.instructor.freeze(True)
    assert not may_rewind(session)
    session.instructor.freeze(False)
    assert may_rewind(session)
    session.close()
    assert not may_rewind(session)


# The books ------------------------------------------------------------------------------------


def test_a_lesson_with_a_rewind_is_practised_and_never_passed(tmp_path):
    path = tmp_path / "records" / "one.jsonl"
    path.parent.mkdir()
    session = open_recorded(LESSON, path, who="bench-07")
    told = []
    lines = [*FIRST[:8], STRIKES_BAND, "rewind", "wait 2", *FIRST[8:], "quit"]

    assert play(session, lines, told.append, interactive=False) == 0

    text = "\n".join(told).replace("\n  ", " ")
    assert "On with rewind: back to five seconds before it" in text
    assert "are taken back" in text
    assert "Steps: 70 of 70; 12 of 12 steps done." in text
    assert "Practised, 0 of 100." in text
    assert "Something was taken back" in text
    closing = read_record(path).closing
    assert closing is not None
    assert closing.summary is not None
    assert (closing.summary.outcome, closing.summary.passed) == ("practised", False)
    assert (closing.summary.strikes, closing.summary.critical > 0) == (1, True)
    (done,) = done_in(path.parent)
    assert not done.passed
    (row,) = class_of(path.parent, recount=True).rows
    assert (row.rewinds, row.outcome) == (1, "practised")
    assert str(row.came_to) == "practised, with something taken back"
    assert "rewinds" in csv_of(class_of(path.parent)).splitlines()[0]


def test_the_same_lesson_without_it_is_passed():
    told = []

    assert play(open_session(LESSON), [*FIRST, "quit"], told.append, interactive=False) == 0

    assert any("Passed, 100 of 100." in line for line in told)


# As a person would type it.
FIRST = (
    "inspect band-over-bar", "press isolator", "tap supply.reset", "tap control_on",
    "hold head.raise 3", "tap band.run", "palms band.run", "wait 10", "press trip_line",
    "release trip_line", "wait 4", "tap band.run", "tap supply.reset", "press emergency_stop",
    "release emergency_stop", "tap supply.reset", "tap control_on", "tap job.clear",
    "hold head.raise 2",
)  # fmt: skip


def test_what_was_seen_asked_and_hinted_stays():
    session = lesson(*RUNS)
    session.take_hint(quoted("look"))
    do(session, "inspect console-lamps")
    do(session, STRIKES_BAND)
    assert session.over
    heard, hints, looks = list(session.heard.events), session.done.hints, len(session.seen.looks)

    on = rewind(session, 60.0)

    assert list(on.heard.events)[: len(heard)] == heard
    assert on.done.hints == hints != []
    assert len(on.seen.looks) + len(on.rewinds[-1].looks) == looks
    assert debrief(on).hints == tuple(hint.message for hint in hints)
    assert debrief(on).exposures == debrief(session).exposures


def test_what_an_instructor_put_in_is_sealed_and_opened_as_before(tmp_path):
    path = tmp_path / "one.jsonl"
    session = lesson(*POWER, "wait 30", record=writer(path))
    session.instructor.put_in("stop-from-below")
    session.advance(3)
    session.saw.plant.site.tell("struck-band")

    on = rewind(session)
    on.instructor.put_in("tension-low")
    orders = on.done.orders
    on.close()

    assert orders == 2
    acts = [act for _, act in read_record(path).acts if act.kind == "put_in"]
    assert [act.name for act in acts] == ["stop-from-below", "tension-low"]


# The record -----------------------------------------------------------------------------------


def test_the_record_is_only_added_to():
    log = ChainLog()
    session = struck(record=log)
    before = list(log.lines)

    on = rewind(session)
    on.tap("band.stop")
    finish(on)

    assert log.lines[: len(before)] == before
    assert '"act":"rewind_to"' in log.lines[len(before)]


def test_a_record_with_a_rewind_that_was_cut_anywhere_is_played_as_far_as_it_goes(tmp_path):
    path, cut = tmp_path / "one.jsonl", tmp_path / "cut.jsonl"
    on = rewind(struck(record=writer(path)))
    for line in ("tap band.stop", "wait 20", STRIKES_BAND, "wait 3"):
        do(on, line)
    on = rewind(on, 2.0) if on.over else on
    on.close()
    whole = path.read_bytes()
    assert replay(path).same
    lines = whole.splitlines(keepends=True)
    first = next(i for i, line in enumerate(lines) if b'"rewind_to"' in line)
    for last in range(first - 1, len(lines)):
        for octets in (len(lines[last]), len(lines[last]) // 2):
            cut.write_bytes(b"".join(lines[:last]) + lines[last][:octets])
            played = replay(cut, allow_cut=True)
            assert played.same, (last, octets)
            back = last > first or (last == first and octets == len(lines[last]))
            assert bool(played.session.rewinds) == back
    again = replay(path)
    assert again.session.rewinds == on.rewinds


def test_the_scrubber_shows_what_was_taken_back_and_what_came_after(tmp_path):
    path = tmp_path / "one.jsonl"
    session = struck(record=writer(path))
    accident_us = session.going.now_us
    on = rewind(session)
    took_us = on.rewinds[-1].took_us
    on.tap("band.stop")
    on.advance(30)
    ended = on.saw.digest()
    on.close()
    assert list(lived(on)) == [act for _, act in read_record(path).acts]

    for player in (player_from(path), player_of(on)):
        assert player.end_us == on.going.now_us + took_us
        player.seek(accident_us - 1)
        assert not player.session.over
        marks = [each for each in player.events if each.kind == "consequence"]
        assert [each.at_us for each in marks] == [accident_us]
        player.seek(player.end_us)
        assert player.over
        assert player.session.saw.digest() == ended
        player.seek(accident_us // 2)
        assert player.now_us == accident_us // 2


# The terminal ---------------------------------------------------------------------------------


def test_a_script_that_does_not_go_back_ends_where_the_run_did():
    told = []
    lines = [*RUNS, STRIKES_BAND, "# a remark", "tap band.stop", "rewind", "quit"]

    assert play(open_session(LESSON), lines, told.append, interactive=False) == 0

    text = "\n".join(told)
    assert f"The run ended at line {len(RUNS) + 1}; what follows it was not played." in text
    assert "taken back" not in text


def test_in_a_drill_a_script_ends_at_the_accident_and_the_word_is_refused():
    told = []
    lines = ["press supply.isolator", "rewind 10", "tap supply.reset"]

    assert play(open_session("posts-come-out-short"), lines, told.append, interactive=False) == 2

    assert any("line 2: rewind: in a drill and in an assessment" in line for line in told)


def test_several_acts_on_a_line_go_on_behind_it():
    told = []
    lines = [*RUNS, f"{STRIKES_BAND}; rewind; tap band.stop; wait 5", "time", "quit"]

    assert play(open_session(LESSON), lines, told.append, interactive=False) == 0

    assert any("It is 0:" in line for line in told)
    assert not any("The run ended" in line for line in told)


def test_a_step_that_is_done_right_after_what_was_taken_back_is_done_well():
    struck_once = struck()
    again = rewind(struck_once, 60)  # to the beginning
    lesson_of(again)

    do(again, "inspect band-over-bar")

    told = [event for event in again.heard.events if "Step 1 of 12" in str(event.message)]
    assert told[-1].kind is EventKind.STEP


def test_once_struck_a_lesson_names_rewind_in_its_hint_and_in_what_it_refuses():
    said = []
    play(
        lesson(),
        [*RUNS, STRIKES_BAND, "hint", "tap band.stop", "wait 3"],
        said.append,
        interactive=True,
    )
    text = "\n".join(said).replace("\n  ", " ")
    told = text[text.index("On with rewind") :]

    assert "type rewind first" in told
    assert told.index("type rewind first") < told.index("Hint:")
    assert told.count("go back with rewind and do it right") == 2


def test_where_nothing_is_taken_back_rewind_is_not_named():
    session = open_session("head-stops-short")
    session.saw.plant.site.tell("struck-band")
    assert session.over
    with pytest.raises(CommandError) as refused:
        session.tap("band.stop")
    assert "close it and read the debrief" in str(refused.value)
    assert "rewind" not in str(refused.value)
