"""What a debrief tells whoever reads it: why it came out so, both ways to the end, and what was in sight."""

import random
import re
from contextlib import suppress
from csv import DictReader
from dataclasses import replace
from functools import cache
from html import unescape
from io import StringIO

import pytest

from sim.authoring.search import put_right
from sim.debrief.best_path import Leg, LegKind, ways
from sim.debrief.class_report import class_of, csv_of, html_of
from sim.debrief.debrief import as_far_as_played, debrief, finish
from sim.debrief.debrief_html import html
from sim.debrief.evidence import FAULTY, SOUND, likely
from sim.debrief.hints import hint, next_thing
from sim.debrief.scoring import Outcome
from sim.debrief.sound_way import best_steps
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import again, as_found, begin, make_ready, power_up, prove
from sim.records.acts import Diagnosed, Mended
from sim.records.reading import read_record
from sim.session import lockout
from sim.session.inspections import find
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import replay
from sim.text.report import report
from sim.words.message import quoted

from .technicians import TECHNICIANS, look, mend

POSTS, STOP = "posts-come-out-short", "stop-from-below"
WORKS = {each.name: each for each in TECHNICIANS}


@cache
def of_work(name):
    """Return the debrief of what a technician did; worked once for all tests that read it."""
    session = open_session(WORKS[name].drill, nonce="")
    WORKS[name].works(session)
    return debrief(session)


def told(steps):
    return [str(step.message) for step in steps]


# Why it came out so ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("the skilled one", "Told apart from other causes, put right, and proved by a good piece."),
        ("one look and home", "The cause is right, and it is not put right yet."),
        ("does not prove", "It is put right, and no good piece has proved it yet."),
        ("asks before every look", "With a hint a drill is practice"),
        (
            "reads the report",
            "before what had been seen told it apart from others: that is a guess.",
        ),
        ("does nothing", "What was wrong was not named."),
        ("reaches in", "It was not safe, and nothing makes up for that."),
    ],
)
def test_a_sentence_says_why_it_came_out_so(name, says):
    found = of_work(name)

    assert says in str(found.why)
    assert str(found.why) in html(found)
    assert str(found.why) in [str(each) for each in report(found)]


def test_a_job_that_went_well_needs_no_reason():
    session = open_session("rail-posts")
    as_found(session, session.scenario.job.wanted)
    found = debrief(session)

    assert (found.passed, bool(found.why)) == (True, False)


# Both ways ------------------------------------------------------------------------------------


def test_both_ways_go_on_to_the_piece_that_proves_it():
    found = of_work("the skilled one")
    mine, plan = told(found.steps_taken), told(found.steps_best)

    assert mine[:3] == [
        "Look: Read the length stop against the card.",
        "Look: Try the length stop for play.",
        f"Named: {CATALOGUE[STOP].title}.",
    ]
    assert mine[3] == str(CATALOGUE[STOP].remedy)
    assert mine[4].startswith("A good piece at ")
    assert plan[0] == mine[0]
    assert plan[1] == "Look: Try the length stop for play (own control first)."
    assert plan[2] == f"Name the cause: {CATALOGUE[STOP].title}."
    assert str(CATALOGUE[STOP].remedy) in plan[3]
    assert plan[4] == "Run the job, and measure a good piece."
    assert [step.cost_s for step in found.steps_taken] == [15.0, 30.0, None, None, None]


def test_the_steps_that_have_a_price_are_the_legs_of_the_way():
    for name in ("the skilled one", "two at once", "changes parts"):
        found = of_work(name)
        for steps, legs in (
            (found.steps_taken, found.way_taken),
            (found.steps_best, found.way_best),
        ):
            priced = [step.cost_s for step in steps if step.cost_s is not None]
            assert priced == [leg.cost_s for leg in legs], name


def test_a_name_that_was_early_or_wrong_says_so_where_it_was_given():
    session = open_session(POSTS, nonce="")
    session.diagnose("guides-worn")
    look(session, "length-stop")
    session.diagnose(STOP)
    put_right(session, "shuttle-clamping-low")
    mine = told(debrief(session).steps_taken)

    assert mine[0] == f"Named: {CATALOGUE['guides-worn'].title}. It was never there."
    assert mine[2].startswith(f"Named: {CATALOGUE[STOP].title}. Too early")
    assert mine[-2] == f"{CATALOGUE['shuttle-clamping-low'].remedy} Nothing was wrong with it."
    assert mine[-1] == "Not proved by a good piece."


def test_what_a_lock_out_is_for_is_done_before_the_way_back():
    jaws, bar = find("cutting-jaws"), find("pulley")
    legs = [
        Leg(LegKind.LOCK_OUT, quoted("Lock out"), 240.0),
        *(Leg(LegKind.LOOK, row.title, 60.0, row.name) for row in (jaws, bar)),
        Leg(LegKind.TRIAL, quoted("Run it"), 200.0),
    ]
    steps = told(best_steps(legs, [CATALOGUE[STOP]], face=False))

    assert "Open the wheel cover" in steps[0]
    assert steps[0].endswith("Lock out, and verify: hands go in.")
    assert "The way back" not in steps[1]
    assert "The way back" in steps[2]
    assert steps[3] == "Trial: Run it."


def test_the_numbers_in_the_picture_of_the_ways_are_those_of_the_steps_beside_them():
    found = of_work("changes parts")
    assert found.steps_taken[0].cost_s is None  # it was needed, so it has no price
    drawn = html(found).partition("The way to the cause beside")[2].partition("</svg>")[0]
    inside = {int(n) for n in re.findall(r'fill="#ffffff"[^>]*>(\d+)</text>', drawn)}
    priced = {
        number
        for steps in (found.steps_taken, found.steps_best)
        for number, step in enumerate(steps, start=1)
        if step.cost_s is not None
    }

    assert inside
    assert inside <= priced
    assert 1 not in {n for n, step in enumerate(found.steps_taken, 1) if step.cost_s is not None}


def test_a_debrief_begins_with_what_was_reported():
    found = of_work("the skilled one")

    assert str(found.reported) == open_session(POSTS).scenario.report
    assert str(found.reported) in " ".join(str(each) for each in report(found))
    page = unescape(html(found))
    assert page.index(str(found.reported)) < page.index("Your way to the cause")
    assert page.index("Your way to the cause") < page.index("Score, part by part")


# In sight -------------------------------------------------------------------------------------


def test_what_was_in_sight_is_told_with_its_time_where_it_told_anything():
    found = of_work("watches")
    sights = [step for step in found.findings if not step.look]

    assert [str(step.found) for step in sights][-1] == "The shuttle stands at its length stop."
    assert sights[-1].at_us > sights[0].at_us
    shares = [found.start, *(step.shares for step in found.steps)]
    for before, step in zip(shares, found.steps, strict=False):
        moved = sum(abs(new - old) for new, old in zip(step.shares, before, strict=True)) / 2
        assert step.look or moved >= 0.01
    assert "Was in sight" in html(found)
    assert "Was in sight" in "\n".join(
        str(cell) for part in report(found) for row in getattr(part, "rows", ()) for cell in row
    )


def test_what_a_function_test_leaves_in_sight_is_dated_by_its_end():
    """The shuttle stands at its stop when the test is over, and forward when it is begun."""
    session = open_session("goes-back-and-stays-there")
    power_up(session)
    session.hold("head.raise", 2)
    begun_us = session.saw.clock.now_us
    session.inspect("try-shuttle")
    over_us = session.saw.clock.now_us
    assert session.saw.plant.shuttle.place.beyond("stop")

    steps = [step for step in debrief(session).findings if step.at_us >= begun_us]

    at_stop = [s for s in steps if not s.look and "at its length stop" in str(s.found)]
    assert [step.at_us for step in at_stop] == [over_us]
    assert over_us > begun_us
    assert [step.at_us for step in steps] == sorted(step.at_us for step in steps)


@pytest.mark.parametrize(
    ("shares", "count"), [((1.0,), 1), ((0.5, 0.46, 0.04), 2), ((0.25,) * 4, 4), ((0.95, 0.05), 1)]
)
def test_it_is_counted_how_many_causes_hold_95_percent(shares, count):
    assert likely(shares) == count


def test_nothing_that_stands_otherwise_after_a_good_repair_is_called_wrong():
    session = open_session("cut-smokes", nonce="")
    as_found(session, 1)
    [fault] = session.hidden
    mend(session, fault.name)
    again(session, 1)
    look_at = [name for name in ("coolant-tank", "coolant-flow") if find(name)]
    for name in look_at:
        session.inspect(name, SOUND)
    held = {str(each.title): each.held for each in debrief(session).expectations}

    assert len(held) == len(look_at)
    assert False not in held.values()


# Hints ----------------------------------------------------------------------------------------


def test_a_hint_goes_from_putting_right_to_proving_to_the_debrief():
    session = open_session(POSTS, nonce="")
    look(session, "length-stop", "stop-play")
    session.diagnose(STOP)
    named = str(next_thing(session).said)
    put_right(session, STOP)
    mended = str(next_thing(session).said)
    prove(session)
    proved = next_thing(session)

    assert "Put it right" in named
    assert mended == "You have put right what you named. Prove it with a good piece."
    assert str(proved.said).endswith("Read the debrief.")
    assert proved.acts == ("quit",)
    assert "points" not in str(hint(session).message)


# Records --------------------------------------------------------------------------------------


def test_the_closing_line_says_what_came_of_it(tmp_path):
    for name, outcome in (("the skilled one", "passed"), ("does not prove", "found")):
        path = tmp_path / f"{outcome}.jsonl"
        session = open_recorded(WORKS[name].drill, path, f"bench-{outcome}")
        WORKS[name].works(session)
        finish(session)
        closing = read_record(path).closing

        assert closing.summary.outcome == outcome
        assert closing.summary.passed == (outcome == "passed")


def test_a_class_report_tells_a_found_cause_from_a_pass_and_from_practice(tmp_path):
    came = {
        "the skilled one": "passed",
        "does not prove": "found",
        "asks before every look": "practised",
        "does nothing": "not passed",
    }
    for number, name in enumerate(came):
        session = open_recorded(WORKS[name].drill, tmp_path / f"{number}.jsonl", f"b-{number}")
        WORKS[name].works(session)
        finish(session)
    found = class_of(tmp_path)

    assert [row.outcome for row in found.rows] == [*came.values()]
    assert [str(row.came_to) for row in found.rows] == [
        "passed", "found, not proved", "practised, with hints", "not passed",
    ]  # fmt: skip
    assert found.total.passed == 1
    page = html_of(found)
    assert all(f">{row.came_to}</span>" in page for row in found.rows)
    assert [line["outcome"] for line in DictReader(StringIO(csv_of(found)))] == [*came.values()]


def test_a_record_that_ends_early_is_passed_by_nobody(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded(POSTS, path)
    WORKS["the skilled one"].works(session)
    finish(session)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-1]), encoding="utf-8")
    played = replay(path, allow_cut=True)
    found = debrief(played.session)

    assert found.passed
    cut = as_far_as_played(found, played)
    assert cut.outcome is Outcome.UNFINISHED
    assert not cut.passed
    assert "ends early" in str(cut.why)
    assert cut.parts == ()
    assert replace(cut, outcome=found.outcome, why=found.why, parts=found.parts) == found


# The price of a way ---------------------------------------------------------------------------


def test_putting_right_what_was_wrong_has_no_part_in_the_price_of_the_way():
    one, other = "shuttle-clamping-low", "cutting-jaws-oily"

    def by_turns(first, second):
        session = open_session("loose-at-both-ends", nonce="")
        look(session, "clamping-valves")
        mend(session, first)
        look(session, "cutting-jaws")
        mend(session, second)
        return debrief(session)

    both = of_work("two at once")
    for found in (by_turns(one, other), by_turns(other, one)):
        assert [leg.kind for leg in found.way_taken] == [leg.kind for leg in both.way_taken]
        assert [leg.cost_s for leg in found.way_taken] == [leg.cost_s for leg in both.way_taken]
        assert str(CATALOGUE[one].remedy) in told(found.steps_taken)


def test_a_needless_remedy_has_its_price():
    session = open_session(POSTS, nonce="")
    look(session, "length-stop", "stop-play")
    put_right(session, "shuttle-clamping-low")
    session.diagnose(STOP)
    found = debrief(session)

    assert LegKind.REMEDY in [leg.kind for leg in found.way_taken]


# What was expected ----------------------------------------------------------------------------


def expected_on(session):
    return [each.held for each in debrief(session).expectations]


def switched_on(name):
    session = open_session(name, nonce="")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.advance(1)
    return session


def test_a_look_is_not_judged_by_a_sound_saw_whose_job_has_gone_on():
    session = switched_on("goes-back-and-stays-there")
    session.inspect("meter Y21", SOUND)
    session.inspect("meter Y21", FAULTY)
    make_ready(session)
    begin(session)
    session.advance(120)  # it waits for the shuttle, and a sound one cuts
    session.inspect("meter Y21", FAULTY)
    session.inspect("output-lamps", SOUND)
    found = debrief(session)

    assert [each.held for each in found.expectations] == [True, False, None, None]
    said = [str(each) for each in report(found)]
    assert "1 of 2 expectations came true." in said
    assert any(line.endswith("a sound saw would have stood otherwise by then.") for line in said)
    assert "1 of 2 expectations came true." in html(found)


def test_a_look_is_not_judged_by_a_sound_saw_whose_start_was_taken():
    session = switched_on("says-there-is-no-bar")
    session.inspect("shuttle-switches", SOUND)
    make_ready(session)
    begin(session)  # refused
    session.advance(5)
    session.inspect("shuttle-switches", SOUND)

    assert expected_on(session) == [True, None]


def test_a_look_is_not_judged_by_a_sound_saw_that_came_on():
    session = open_session("says-no-though-it-clicked", nonce="")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.inspect("safety-relay", SOUND)
    session.tap("supply.control_on")  # refused
    session.inspect("safety-relay", SOUND)

    assert expected_on(session) == [True, None]


def test_what_is_wrong_with_a_switch_does_not_keep_a_look_at_it_from_being_judged():
    session = switched_on("stands-with-the-head-down")
    session.inspect("head-switches", SOUND)
    session.inspect("input-lamps", FAULTY)
    session.inspect("input-lamps", SOUND)

    assert expected_on(session)[1:] == [True, False]


# What the way that was taken costs --------------------------------------------------------------


def trials(session):
    legs = debrief(session).way_taken
    return [(str(leg.title), leg.cost_s) for leg in legs if leg.kind is LegKind.TRIAL]


def test_a_trial_is_called_by_what_was_done_and_costs_no_more_time_than_passed():
    session = open_session("stands-with-the-head-down", nonce="")
    session.hold("head.raise", 1)
    session.diagnose("head-down-wire")
    assert trials(session) == [("Try to raise the head", 11.0)]

    session = switched_on("stands-with-the-head-down")
    session.hold("head.raise", 1)
    session.diagnose("head-down-wire")
    assert trials(session) == [("Switch on, the head as it lies", 10.0), ("Raise the head", 11.0)]

    session = switched_on("says-no-though-it-clicked")
    session.diagnose("relay-message-wire")
    assert trials(session) == [("Try to switch on", 10.0)]


def test_a_job_that_was_started_costs_no_more_than_passed_after_it():
    session = switched_on("goes-back-and-stays-there")
    make_ready(session)
    begin(session)
    begun_s = session.now_s
    session.advance(20)
    session.inspect("output-lamps")
    session.advance(5)
    session.diagnose("forward-coil-wire")
    [_, (title, cost_s)] = trials(session)

    assert title == "Start the job"
    assert cost_s == pytest.approx(10 + 25, abs=session.now_s - begun_s - 24)
    assert cost_s <= 10 + session.now_s - begun_s


def test_a_whole_trial_costs_what_the_plan_pays_for_it():
    session = open_session(POSTS, nonce="")
    as_found(session, 1)
    session.advance(300)
    session.diagnose(STOP)
    best = {str(leg.title): leg.cost_s for leg in debrief(session).way_best}
    legs = [leg for leg in debrief(session).way_taken if leg.kind is LegKind.TRIAL]

    assert [str(leg.title) for leg in legs][-1] == "Run it to one piece"
    assert legs[-1].cost_s == legs[-1].whole_s
    assert best.get("Run it to one piece", legs[-1].whole_s) == legs[-1].whole_s


def test_a_way_is_not_said_to_be_quicker_for_a_power_up_that_was_not_waited_for():
    session = switched_on("says-there-is-no-bar")
    look(session, "shuttle-switches", "volts X2:39", "volts B53:4")
    session.diagnose("bar-sensor-wire")
    found = debrief(session)
    way = next(part for part in found.parts if part.key == "way")

    assert found.way_taken[0].cost_s < found.way_best[0].cost_s
    assert [leg.title for leg in found.way_best][1:] == [leg.title for leg in found.way_taken][1:]
    assert not found.cheaper
    assert "looks for every possible cause" not in str(way.reason)


_KEYS = (
    "supply.isolator", "supply.reset", "supply.control_on", "head.raise", "head.lower",
    "shuttle.back", "job.new", "job.stop", "supply.emergency_stop",
)  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_the_way_that_was_taken_costs_at_most_the_clock_and_the_hands_of_each_trial(seed):
    dice = random.Random(seed)
    name = dice.choice([POSTS, "stands-with-the-head-down", "goes-back-and-stays-there"])
    session = open_session(name, nonce="") if seed % 2 else switched_on(name)
    looks = [row for row in session.scenario.inspections if not row.startswith("meter")]
    acts = (
        lambda: session.hold(dice.choice(_KEYS), dice.choice((0.5, 2, 8))),
        lambda: session.tap(dice.choice(_KEYS)),
        lambda: session.release("supply.isolator"),
        lambda: session.press("supply.isolator"),
        lambda: session.inspect(dice.choice(looks)),
        lambda: session.inspect(dice.choice(looks), wait=False) and session.advance(3),
        lambda: session.break_off(),
        lambda: session.advance(dice.choice((1, 5, 40))),
        lambda: session.lock_out(dice.choice(lockout.STEPS).name),
        lambda: (make_ready(session), begin(session)),
        lambda: session.put_right("guides-worn"),
    )
    for _ in range(14):
        with suppress(CommandError):
            dice.choice(acts)()
    with suppress(CommandError):
        for fault in session.hidden:
            session.diagnose(fault.name)
    both = ways(session)
    named_us = max((act.at_us for act in session.done.of(Diagnosed)), default=session.now_s * 1e6)
    count = sum(leg.kind is LegKind.TRIAL for leg in both.taken)

    assert both.taken_s <= named_us / 1e6 + 10.0 * count + 1e-6


def test_a_remedy_that_was_broken_off_is_not_told_as_done():
    session = open_session(POSTS, nonce="")
    session.put_right(STOP, wait=False)
    session.advance(2)
    session.break_off()
    session.advance(5)
    session.diagnose(STOP)
    found = debrief(session)
    [leg, step] = [found.way_taken[0], told(found.steps_taken)[0]]

    assert str(leg.title) == step == f"Broken off: {CATALOGUE[STOP].remedy}"
    assert leg.cost_s <= 3.0
    assert STOP not in session.done.mended
    assert [naming.mended_us for naming in found.namings] == [None]
    assert "Not proved by a good piece." not in told(found.steps_taken)
    page = unescape(html(found))
    assert page.count(str(CATALOGUE[STOP].remedy)) == page.count(step) + 1  # the plan's own


def test_a_remedy_in_which_hands_were_struck_is_not_told_as_done():
    session = open_session(POSTS, nonce="")
    as_found(session, 1)
    make_ready(session)
    begin(session)
    session.advance(3)
    session.put_right("shuttle-clamping-low")
    session.put_right("guides-worn")
    deeds = [deed for deed in session.done.all if isinstance(deed.act, Mended) and not deed.done]
    steps = told(debrief(session).steps_taken)

    assert deeds
    for deed in deeds:
        assert f"Broken off: {CATALOGUE[deed.act.name].remedy}" in steps


def test_a_remedy_before_the_name_is_what_came_early_at_its_own_time():
    session = open_session(POSTS, nonce="")
    session.advance(7)
    put_right(session, STOP)
    as_found(session, 1)
    session.diagnose(STOP)
    found = debrief(session)
    [naming] = found.premature
    steps = told(found.steps_taken)
    said = " ".join(str(each) for each in report(found))

    assert naming.mended_us is not None
    assert naming.mended_us < naming.at_us
    assert "Too early" in next(each for each in steps if str(CATALOGUE[STOP].remedy) in each)
    assert f"Named: {CATALOGUE[STOP].title}." in steps
    assert "Named early" not in said
    assert "Put right early, at " in said
    assert "before it was named" in html(found)


def test_a_name_before_the_remedy_is_what_came_early():
    session = open_session(POSTS, nonce="")
    session.diagnose(STOP)
    put_right(session, STOP)
    found = debrief(session)

    assert [naming.mended_us for naming in found.premature] == [None]
    assert "Named early, at " in " ".join(str(each) for each in report(found))
