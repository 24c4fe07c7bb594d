"""What a session was worth: the trainee who knows, the one who guesses, the one who is careless."""

import json
from dataclasses import replace
from typing import Final

import pytest

from sim.authoring.search import put_right
from sim.debrief import hints
from sim.debrief.best_path import Leg, LegKind, best_way, price_s, ways
from sim.debrief.debrief import debrief, finish, json_values, summary
from sim.debrief.debrief_html import html
from sim.debrief.evidence import EXPECTS, FAULTY, SOUND, UNSURE, evidence
from sim.debrief.hints import hint
from sim.debrief.scoring import Outcome, way_share
from sim.diagnosis.best_plan import plan_for
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.diagnosis.tree import path as plan_path
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import as_found, begin, make_ready, measure, power_up, raise_head
from sim.records.chain_check import read_chain
from sim.records.rows import plain_row
from sim.session import lockout
from sim.session.hands.table import locked_out_to_mend
from sim.session.inspections import INSPECTIONS
from sim.session.locking import do_all, giving_back, locking_out
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.playback.replay import replay
from sim.text.report import report
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.typed.line import acts_of
from sim.words.message import quoted

from .eventful import few_causes

DRILLS = (
    "head-stops-short",
    "new-bar-same-settings",
    "posts-come-out-short",
    "head-will-not-come-down",
)
COUNTER, PIN, PULLEY = "stop-from-below", "plunger-on-the-land", "variator-forced"


FEW: Final = {name: CATALOGUE[name] for name in (PIN, "height-stop-low", PULLEY, COUNTER)}


@pytest.fixture(autouse=True)
def four_causes():
    """Weigh four faults and the sound machine only: quick, and every figure can be worked out."""
    with few_causes(tuple(FEW)):
        yield


def lock(session):
    session.press("supply.isolator")
    session.release("supply.isolator")
    do_all(session, locking_out(session))


def unlock(session):
    do_all(session, giving_back(session))


def mend(session, name):
    """Name it, put it right under lock-out where hands go in, and prove it."""
    session.diagnose(name)
    if locked_out_to_mend(name):
        session.press("job.hold")
        session.tap("supply.emergency_stop")
        lock(session)
    session.put_right(name)
    if locked_out_to_mend(name):
        unlock(session)


def by_the_plan(name):
    """A trainee who takes the best plan's way, names the cause, and proves it."""
    session = open_session(name)
    [fault] = session.hidden
    matrix, locked = matrix_for(session.scenario), False
    for name in best_way(matrix, fault.name).columns:
        row = matrix.inspections[matrix.column(name)]
        if row.seen:
            continue
        if row.look:
            session.inspect(row.look)
        elif row.name == "lock out":
            lock(session)
            locked = True
        elif row.name == "power up":
            power_up(session)
            raise_head(session)
        else:
            make_ready(session)
            as_found(session, 1)
            session.tap("job.hold")
            session.advance(10)
    session.diagnose(fault.name)
    if locked_out_to_mend(fault) and not locked:
        lock(session)
    session.put_right(fault.name)
    if locked or locked_out_to_mend(fault):
        unlock(session)
    as_found(session, 2)
    measure(session)
    return session


@pytest.mark.parametrize("name", DRILLS[:3])
def test_who_takes_the_best_way_and_proves_it_scores_a_hundred(name):
    found = debrief(by_the_plan(name))

    assert found.passed
    assert found.score == 100
    assert [part.points for part in found.parts] == [40, 20, 30, 10]
    assert (found.redundant, found.premature) == ((), ())


@pytest.mark.parametrize("name", DRILLS)
@pytest.mark.parametrize("guess", [COUNTER, PULLEY])
def test_who_guesses_without_a_look_stays_below_fifty_even_when_it_comes_true(name, guess):
    session = open_session(name)
    lock(session)
    session.diagnose(guess)
    session.put_right(guess)
    unlock(session)
    if not session.faults.still_wrong():
        as_found(session, 2)
    found = debrief(session)

    assert found.score < 50
    assert not found.passed
    assert [naming.fault for naming in found.premature] == [guess]
    # The mimic rules two of the five causes out before anybody looks, and where the operator left pieces
    # their number a third. That is no looking for the cause: of the odds that tell one apart it is little.
    naming = found.namings[0]
    right = naming.right
    assert naming.credit <= 2 * naming.heard
    assert naming.worth < (0.36 if session.saw.left() else 0.25)
    assert found.parts[0].points == (round(40 * naming.worth) if right else 0)
    assert found.parts[2].points <= (round(30 * naming.worth) if right else 0)


def test_who_names_the_whole_catalogue_has_no_points_for_the_cause():
    session = open_session("posts-come-out-short")
    for name in CATALOGUE:
        session.diagnose(name)

    cause = debrief(session).parts[0]

    assert (str(cause.title), cause.points) == ("Cause", 0)


@pytest.mark.parametrize("name", DRILLS[:3])
def test_hands_in_without_lock_out_make_the_best_trainee_fail(name):
    session = by_the_plan(name)
    before = debrief(session).score
    session.tap("job.stop")  # and wait until the band stands, so that the cover can be opened
    session.advance(30.0)
    session.set("band.wheel_cover", "open")
    session.inspect("pulley")
    found = debrief(session)

    assert before == 100
    assert (found.score, found.passed) == (0, False)
    assert len(found.critical) == 1
    assert [row.fine for row in found.safety] == [False]
    assert [part.points for part in found.parts] == [40, 20, 30, 0]  # no care after it


def test_a_wreck_fails_whatever_was_named_before():
    session = open_session("head-stops-short")
    session.inspect("stop-plunger")
    session.diagnose(PIN)
    as_found(session, 2)
    found = debrief(session)

    assert found.score == 0
    assert "would have pushed the band out of its guides" in str(found.critical[0])
    assert found.cost.money == found.money > 0
    assert found.cost.downtime_minutes > 0
    assert found.harm == 1


def test_harm_that_is_no_wreck_takes_three_points_each_off_for_care():
    session = open_session("rail-posts")
    session.instructor.put_in(COUNTER)
    power_up(session)
    session.press("band.faster")
    session.advance(2)
    session.release("band.faster")
    put_right(session, COUNTER)
    found = debrief(session)

    assert found.critical == ()
    assert found.harm == 1
    assert (found.parts[3].key, found.parts[3].points) == ("care", 7)


def test_nobody_who_mended_nothing_has_points_for_care():
    session = open_session("posts-come-out-short")
    session.inspect("stop-play")
    session.diagnose(COUNTER)

    care = debrief(session).parts[3]

    assert (care.points, str(care.reason)) == (0, "Nothing that was wrong was put right.")


def test_a_lock_out_for_a_look_costs_its_time_on_the_way_and_nothing_else():
    plain_, locked = open_session("posts-come-out-short"), open_session("posts-come-out-short")
    lock(locked)
    for session in (plain_, locked):
        session.inspect("stop-play")
    unlock(locked)
    for session in (plain_, locked):
        session.diagnose(COUNTER)
    points = [{p.key: p.points for p in debrief(each).parts} for each in (plain_, locked)]

    assert [points[0][key] for key in ("cause", "proof", "care")] == [
        points[1][key] for key in ("cause", "proof", "care")
    ]
    assert points[0]["way"] > points[1]["way"]
    legs = debrief(locked).way_taken
    assert [leg.kind for leg in legs] == [LegKind.LOCK_OUT, LegKind.LOOK, LegKind.LOCK_OUT]
    whole_s = sum(step.seconds for step in (*lockout.STEPS, *lockout.BACK))
    assert legs[0].cost_s + legs[2].cost_s == whole_s
    assert price_s(legs) == whole_s + INSPECTIONS["stop-play"].seconds


@pytest.mark.parametrize("steps", [("tell",), ("ask",), ("tell", "ask"), ("whole",)])
def test_telling_asking_and_a_lock_out_that_no_look_is_for_are_no_part_of_the_way(steps):
    plain_, told = open_session("posts-come-out-short"), open_session("posts-come-out-short")
    for step in steps:
        if step == "whole":
            lock(told)
            unlock(told)
        else:
            told.lock_out(step)
    for session in (plain_, told):
        session.inspect("stop-play")
        session.diagnose(COUNTER)

    assert [leg.kind for leg in debrief(told).way_taken] == [LegKind.LOOK]
    assert debrief(told).parts == debrief(plain_).parts


# Belief -----------------------------------------------------------------------------------


def test_belief_comes_to_rest_as_causes_are_ruled_out():
    scenario = read("posts-come-out-short")[0].model_copy(update={"reported": None})
    session = session_for(scenario, nonce="")
    for name in ("stop-plunger", "stop-notch", "jaw-gaps", "stop-play"):
        session.inspect(name)
    known = evidence(session)
    true = known.causes.index(COUNTER)
    looks = [step for step in known.steps if step.look]
    possible = [sum(share > 0.0 for share in step.shares) for step in looks]

    alike = len(known.causes)
    assert possible == [alike - 1, alike - 2, alike - 2, 1]
    assert all(sum(step.shares) == pytest.approx(1.0) for step in known.steps)
    assert [step.redundant for step in looks] == [False, False, True, False]
    assert known.possible == (COUNTER,)
    believed = [known.start[true], *(step.shares[true] for step in looks)]
    assert believed == sorted(believed)
    assert believed[-1] == 1.0


def test_the_trail_begins_with_what_the_report_said():
    session = open_session("posts-come-out-short")
    session.inspect("jaw-gaps")
    known = evidence(session)

    assert known.start[known.causes.index(COUNTER)] == pytest.approx(0.95)
    assert sum(known.start) == pytest.approx(1.0)


def test_a_look_that_could_tell_nothing_new_is_listed_but_not_after_the_cause_is_named():
    session = open_session("posts-come-out-short")
    session.inspect("jaw-gaps")
    session.inspect("stop-play")
    session.inspect("stop-play")
    session.diagnose(COUNTER)
    session.inspect("stop-play")
    found = debrief(session)

    assert [(step.at_us, str(step.title)) for step in found.redundant] == [
        (20_000_000, "Look at the jaw gaps"),
        (80_000_000, "Try the length stop for play"),
    ]


def test_a_look_at_a_machine_that_was_changed_is_judged_as_it_then_was():
    session = open_session("posts-come-out-short")
    session.put_right(COUNTER)
    session.inspect("stop-play")
    known = evidence(session)

    # It stands firm now under every cause, so it told nothing; the number of the operator's pieces did.
    assert known.steps[-1].redundant
    assert known.possible == ("nothing-wrong", COUNTER)
    assert [step.look for step in known.steps] == [False, True]


def test_what_the_machine_was_seen_to_do_counts_as_evidence():
    session = open_session("head-will-not-come-down")
    as_found(session, 1)
    session.diagnose(PULLEY)
    found = debrief(session)

    assert found.premature == ()
    assert found.namings[0].credit == pytest.approx(1.0)
    assert [step.look for step in found.steps] == [False, False]
    assert found.steps[0].at_us < found.steps[1].at_us
    assert any("The band" in str(step.found) for step in found.steps)


def test_a_part_in_sight_counts_as_evidence_and_makes_no_look_needless():
    session = open_session("head-will-not-come-down")
    as_found(session, 1)
    session.inspect("tachometer")
    found = debrief(session)
    looks = [step for step in found.steps if step.look]

    assert len(found.steps) > len(looks)
    assert not any(step.redundant for step in looks)


def test_a_fault_put_in_by_the_instructor_is_among_the_causes_that_are_weighed():
    session = open_session("rail-posts")
    power_up(session)
    session.advance(33)
    session.instructor.put_in(COUNTER)
    session.inspect("stop-play")
    session.diagnose(COUNTER)
    found = debrief(session)

    assert str(found.true_cause) == str(CATALOGUE[COUNTER].title)
    assert found.premature == ()
    assert [str(cause) for cause in found.causes] == [str(CATALOGUE[COUNTER].title)]
    assert [str(part.title) for part in found.parts] == [
        "Cause",
        "Proof",
        "Way to the cause",
        "Care",
    ]


def test_a_fault_that_was_taken_out_goes_in_every_world():
    session = open_session("rail-posts")
    session.instructor.put_in(COUNTER)
    session.inspect("jaw-gaps")
    session.instructor.take_out(COUNTER)
    session.inspect("stop-play")
    known = evidence(session)

    assert not known.why_none
    # It stands firm again whichever it was that was taken out.
    assert known.possible == known.causes


def test_a_session_with_too_many_acts_says_why_it_is_not_weighed(monkeypatch):
    session = open_session("posts-come-out-short")
    for _ in range(10):
        session.tap("job.hold")
    session.inspect("stop-play")
    session.diagnose(COUNTER)
    monkeypatch.setattr("sim.debrief.evidence.MOST_ACTS", 20)
    found = debrief(session)

    assert "too many to weigh" in str(found.not_weighed)
    assert found.steps == ()
    assert found.parts[0].points == 40


# Expectations and hints -------------------------------------------------------------------


def test_expectations_are_held_against_the_sound_machine_and_change_no_points():
    session, silent = open_session("posts-come-out-short"), open_session("posts-come-out-short")
    said = {
        "jaw-gaps": SOUND,
        "stop-plunger": FAULTY,
        "stop-notch": UNSURE,
        "air-gauge": "six bar",
        "stop-play": FAULTY,
    }
    for name, expect in said.items():
        session.inspect(name, expect)
        silent.inspect(name)
    found = debrief(session)

    assert [each.held for each in found.expectations] == [True, False, None, None, True]
    expected = [str(EXPECTS.get(words, words)) for words in said.values()]
    assert [str(each.expected) for each in found.expectations] == expected
    assert [p.points for p in found.parts] == [p.points for p in debrief(silent).parts]
    assert debrief(silent).expectations == ()


def test_what_was_expected_is_on_the_record_and_plays_again(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path, "bench-07")
    session.inspect("stop-play", "  sound ")
    session.inspect("jaw-gaps", "x" * 999)
    hint(session)
    found = finish(session)
    again = debrief(replay(path).session)

    lines = [line for line in read_chain(path) if line.get("act") == "inspect"]
    assert [len(line["expect"]) for line in lines] == [len(SOUND), 200]
    assert again == found
    assert found.who == "bench-07"


@pytest.mark.parametrize("name", DRILLS)
def test_hints_lead_to_the_one_cause_that_is_left_and_never_name_it(name):
    session = open_session(name)
    [fault] = session.hidden
    text = ""
    for _ in range(12):
        text = str(hint(session).message)
        assert str(fault.title) not in text
        assert fault.name not in text
        rows = [row for row in INSPECTIONS.values() if str(row.title) in text]
        if rows:
            session.inspect(rows[0].name)
        elif text.startswith("Power up"):
            power_up(session)
            raise_head(session)
        elif text.startswith("Run it"):
            as_found(session, 1)
        else:
            break
    known = evidence(session, up_to_now=True)

    assert text.startswith("What you have found leaves one cause")
    assert known.possible == (fault.name,)


def test_hints_take_no_points_off_and_make_practice_of_a_drill():
    hinted, alone = by_the_plan("posts-come-out-short"), by_the_plan("posts-come-out-short")
    for _ in range(3):
        hint(hinted)
    found, without = debrief(hinted), debrief(alone)

    assert (found.outcome, without.outcome) == (Outcome.PRACTISED, Outcome.PASSED)
    assert not found.passed
    assert found.parts == without.parts
    assert len(found.hints) == 3


def test_there_are_no_hints_in_an_assessment():
    scenario = read("posts-come-out-short")[0].model_copy(update={"mode": "assessment"})
    session = open_session("posts-come-out-short")
    session.scenario = scenario

    assert not hint(session).taken
    assert session.done.hints == []


def test_a_hint_for_who_has_named_everything_is_to_prove_it():
    session = open_session("posts-come-out-short")
    session.diagnose(COUNTER)

    assert "prove it" in str(hints.next_thing(session).said)


def typed_in(said):
    """Return the acts of a hint, as who pastes them reads where they end."""
    return acts_of(said.partition("Typed: ")[2].partition(" (")[0])


@pytest.mark.parametrize("name", DRILLS)
def test_a_hint_that_is_asked_for_twice_names_the_acts_and_they_lead_to_the_cause(name):
    session = open_session(name)
    [fault] = session.hidden
    for _ in range(12):
        first, again = str(hint(session).message), str(hint(session).message)
        assert "Typed: " not in first
        assert fault.name not in again
        assert str(fault.title) not in again
        acts = typed_in(again)
        if acts == ("faults", "diagnose NAME"):
            break
        for line in acts:
            act = parse(line)
            assert act is not None
            perform(session, act)
    known = evidence(session, up_to_now=True)

    assert known.possible == (fault.name,)
    assert session.done.unsafe == []


def test_the_hint_for_who_has_named_everything_mends_and_proves_it_act_by_act():
    session = open_session("posts-come-out-short")
    session.diagnose(COUNTER)
    hint(session)
    for line in typed_in(str(hint(session).message)):
        act = parse(line)
        assert act is not None
        perform(session, act)

    assert session.tally.proved_us is not None
    assert session.done.unsafe == []


# The two ways -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", DRILLS)
def test_the_best_way_is_the_branch_of_the_plan_without_what_is_in_sight(name):
    session = open_session(name)
    [fault] = session.hidden
    matrix = matrix_for(session.scenario)
    both = ways(session)
    looks = plan_path(plan_for(matrix).tree, matrix, fault.name)
    seen = {column.name for column in matrix.inspections if column.seen}

    assert len(both.best) == len([look for look in looks if look.inspection not in seen])
    assert both.best_s == pytest.approx(sum(look.cost_s for look in looks))
    assert both.exact
    assert both.near_best


def test_a_plan_that_would_name_another_cause_first_goes_on_without_it():
    columns = (Probe("quick", 1.0, look="stop-plunger"), Probe("slow", 9.0, look="stop-play"))
    causes = (
        Cause((COUNTER,), 96.0, ("a", "x")),
        Cause((PIN,), 1.0, ("a", "y")),
        Cause((PULLEY,), 103.0, ("b", "x")),
    )
    way = best_way(Matrix(causes, columns), PIN)

    assert way.misled == (COUNTER,)
    assert way.columns == ("quick",)
    assert best_way(Matrix(causes, columns), COUNTER).misled == ()


@pytest.mark.parametrize(
    ("taken_s", "share"),
    [(10, 1.0), (100, 1.0), (140, 1.0), (220, 0.5), (300, 0.0), (900, 0.0)],
)
def test_a_way_is_full_up_to_a_quarter_more_than_the_best_and_nothing_from_three_times(
    taken_s, share
):
    assert way_share(taken_s, 100) == pytest.approx(share)


def test_a_short_best_way_leaves_room_for_one_more_look():
    assert way_share(29, 10) > 0.0
    assert way_share(27, 10) == 1.0
    assert way_share(60, 10) == 0.0


def test_a_guess_after_an_idle_look_has_no_points_for_its_way():
    session = open_session("head-will-not-come-down")
    session.inspect("jaw-gaps")
    session.diagnose(PULLEY)
    way = debrief(session).parts[2]

    assert (way.points, str(way.reason)[:28]) == (0, "Looks and trials took 20 s; ")
    assert "before it was told apart" in str(way.reason)
    assert not debrief(session).cheaper


@pytest.mark.parametrize(("taken_s", "says"), [(20.0, True), (40.0, False), (60.0, False)])
def test_a_way_cheaper_than_the_plan_s_is_said_to_be_so_and_no_other(taken_s, says):
    found = debrief(by_the_plan("posts-come-out-short"))
    legs = {
        "way_taken": (Leg(LegKind.LOOK, quoted("a"), taken_s),),
        "way_best": (Leg(LegKind.LOOK, quoted("a"), 40.0),),
    }

    assert bool(replace(found, **legs).cheaper) == says
    assert not replace(found, **legs, named=()).cheaper


def test_a_start_that_was_refused_is_no_trial():
    session = open_session("head-stops-short")
    session.press("job.start")
    session.inspect("stop-plunger")
    session.diagnose(PIN)

    assert [leg.kind for leg in debrief(session).way_taken] == [LegKind.LOOK]


def test_a_job_that_was_started_is_a_trial():
    session = open_session("posts-come-out-short")
    as_found(session, 1)
    session.diagnose(COUNTER)

    assert [str(leg.title) for leg in debrief(session).way_taken][-1] == "Run it to one piece"
    assert [leg.kind for leg in debrief(session).way_taken] == [LegKind.TRIAL] * 2


def test_a_hint_for_a_job_that_was_started_and_cut_nothing_is_one_for_after_the_trial():
    session = open_session("feeds-and-then-stands")
    power_up(session)
    make_ready(session)
    begin(session)
    session.advance(60)

    assert not session.saw.cuts
    assert hints._stage(session) == 4


# The whole --------------------------------------------------------------------------------


def test_the_time_line_tells_after_the_close_what_went_on_behind():
    session = open_session("posts-come-out-short")
    session.inspect("stop-plunger")
    session.instructor.put_in(PULLEY)
    session.instructor.mark("here")
    session.inspect("jaw-gaps")
    texts = [str(event.message) for event in debrief(session).timeline]

    assert texts[1:3] == [f"Put in: {CATALOGUE[PULLEY].title}.", "Marked: here"]
    assert len(texts) == 4


def test_the_closing_line_says_what_the_session_was_worth(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.inspect("stop-play")
    found = finish(session)

    assert read_chain(path)[-1]["last"]["summary"] == plain_row(summary(found))
    assert read_chain(path)[-1]["last"]["debrief"]["score"] == found.score
    assert session.closed


def test_a_debrief_that_fails_still_closes_the_record(tmp_path, monkeypatch):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path)

    def broken(_session):
        raise ZeroDivisionError

    monkeypatch.setattr("sim.debrief.debrief.debrief", broken)
    with pytest.raises(ZeroDivisionError):
        finish(session)

    assert "state" in read_chain(path)[-1]["last"]


def test_a_debrief_is_plain_values_and_says_the_same_each_time():
    session = by_the_plan("posts-come-out-short")
    first, second = json_values(debrief(session)), json_values(debrief(session))

    assert first == second
    assert json.loads(json.dumps(first))["score"] == 100


def test_a_clean_job_is_weighed_without_running_anything_twice(monkeypatch):
    session = open_session("rail-posts")
    power_up(session)

    def never(*_):
        raise AssertionError("nothing was found or named")

    monkeypatch.setattr("sim.debrief.evidence.Worlds", never)

    assert debrief(session).steps == ()


@pytest.mark.parametrize("name", ["03-load-and-clamp", "rail-posts"])
def test_no_causes_are_weighed_where_nothing_is_hidden(name):
    session = open_session(name)
    session.inspect("jaw-gaps")
    session.inspect("jaw-gaps")
    found = debrief(session)

    assert found.redundant == ()
    assert not found.weighs
    assert "to be believed" not in str(report(found))
    assert "Causes still possible" not in html(found)
    assert debrief(by_the_plan("posts-come-out-short")).weighs


def test_a_start_that_does_not_come_on_is_a_trial_too():
    session = open_session("nothing-lights-up")
    power_up(session)
    session.diagnose("control-fuse-blown")

    with few_causes((*FEW, "control-fuse-blown")):
        legs = debrief(session).way_taken

    assert session.saw.controller.image["supply"] != "ON"
    assert [leg.kind for leg in legs] == [LegKind.TRIAL]
    assert legs[0].cost_s > 0.0
