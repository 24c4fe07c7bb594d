"""The points of every part, reckoned from what a session did; each case has its figures worked out by hand.

The session is made up: it has what the score reads, and nothing else.
"""

from math import inf
from types import SimpleNamespace as Made

import pytest

from sim.debrief.best_path import Leg, LegKind, WaysToCause
from sim.debrief.evidence import Evidence, Naming
from sim.debrief.scoring import (
    Outcome,
    ScorePart,
    critical_acts,
    exposed_acts,
    fault_titles,
    harm_of,
    outcome_of,
    parts_of,
    score_of,
    taught,
)
from sim.faults.catalogue import CATALOGUE
from sim.plant.harm.consequences import Consequence
from sim.session.hands.zones import STRIKES
from sim.session.lessons.lesson import Lesson
from sim.words.message import NOTHING, quoted

PIN, LOW, PULLEY, COUNTER = (
    CATALOGUE[name]
    for name in ("plunger-on-the-land", "height-stop-low", "variator-forced", "stop-from-below")
)
AS_PLANNED = (
    "No needless remedy, and no warning or damage but in a trial that the best plan makes too."
)
WRECK, TRIP, DULLED = "band-broken", "overload-trip", "teeth-dulled"
STRUCK = sorted(STRIKES)[0]


def session(
    hidden=(),
    later=(),
    wrong=(),
    good=0,
    pieces=0,
    wanted=4,
    steps=(),
    proved_us=None,
    good_to_prove=1,
    answer_known=False,
    rehearsed=False,
    **done,
):
    """Return a made-up session with hidden faults, of which those of `later` have not set in."""
    acts = {
        "named": [],
        "mended": [],
        "swapped": [],
        "unsafe": [],
        "meddled": [],
        "untold": [],
        "hints": [],
        **done,
    }
    acts.setdefault("put_right", acts["mended"])
    culprits = [Made(fault=each, set_in_us=None if each in later else 0) for each in hidden]
    return Made(
        hidden=hidden,
        faults=Made(
            culprits=culprits,
            counted=culprits,
            still_wrong=lambda: wrong,
            good_to_prove=good_to_prove,
        ),
        done=Made(**acts),
        tally=Made(
            good=good,
            pieces=pieces,
            proved_us=proved_us,
            too_coarse=None,
            unmeasured=False,
            right_length=False,
            right_face=False,
        ),
        measuring=Made(face=False),
        pieces_a_cut=1,
        scenario=Made(steps=steps, job=Made(wanted=wanted), findings=None),
        morning=Made(started_with={}),
        bench=Made(banner=NOTHING),
        saw=Made(consequences=[]),
        hands=Made(ordered=False, exposures=[], strikes=()),
        rewinds=(),
        going=Made(followers=[]),
        origin=Made(answer_known=answer_known, rehearsed=rehearsed),
    )


def lesson(number, of):
    made = session(steps=tuple(Made(ask=f"Do step {n}.") for n in range(of)))
    follower = Lesson(made)
    follower.reached_us = [0] * number
    made.going.followers = [object(), follower]
    return made


def drill(**acts):
    """Return a session in which two of two hidden causes were named, mended and proved."""
    done = {"named": [PIN.name, LOW.name], "mended": [PIN.name, LOW.name], "proved_us": 1}
    return session(hidden=(PIN, LOW), **{**done, **acts})


def looks(*seconds):
    return tuple(Leg(LegKind.LOOK, quoted("a"), each) for each in seconds)


def ways(taken_s, best_s, exact=True):
    return WaysToCause(looks(taken_s), looks(best_s), exact)


def known(*namings):
    """Return evidence in which faults were named, each with the belief in it then; 1/4 before."""
    return Evidence((), (), namings=tuple(
        Naming(
            0, fault.name, True, credit, 0.25, credit >= 0.95,
            (quoted("another"),) if credit < 1.0 else (),
        )
        for fault, credit in namings
    ))  # fmt: skip


def points(made, evidence=known(), way=ways(10.0, 10.0)):  # noqa: B008
    return [(part.points, part.of) for part in parts_of(made, evidence, way)]


def reasons(made, evidence=known(), way=ways(10.0, 10.0)):  # noqa: B008
    return {str(part.title): str(part.reason) for part in parts_of(made, evidence, way)}


def harmed(made, *kinds):
    made.saw.consequences = [Consequence(0, kind) for kind in kinds]
    return made


# The whole ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("scored", "score"),
    [
        ([(40, 40), (20, 20), (30, 30), (10, 10)], 100),
        ([(20, 40), (5, 20), (15, 30), (7, 10)], 47),
        ([(70, 70), (30, 30), (-5, 0)], 95),
        ([(0, 70), (0, 30), (-15, 0)], 0),
        ([(2, 3)], 67),
        ([(1, 150)], 1),
    ],
)
def test_the_score_is_the_share_of_the_points_and_never_under_zero(scored, score):
    made = [ScorePart("a", NOTHING, got, of, NOTHING) for got, of in scored]

    assert score_of(made, ()) == score
    assert score_of(made, (quoted("a wreck"),)) == 0


def test_a_drill_without_a_slip_has_all_points():
    made = drill()

    assert points(made) == [(40, 40), (20, 20), (30, 30), (10, 10)]
    assert reasons(made) == {
        "Cause": "2 of 2 causes named.",
        "Proof": "Put right, and proved with a good piece.",
        "Way to the cause": "Looks and trials took 10 s; the best plan takes 10 s.",
        "Care": "No needless remedy, no warning and no damage.",
    }


# Cause -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("named", "namings", "got", "said"),
    [
        ([], [], 0, "0 of 2 causes named."),
        ([PIN], [(PIN, 1.0)], 20, "1 of 2 causes named."),
        ([PIN], [(PIN, 0.96)], 20, "1 of 2 causes named."),
        # Believed 0.55 after 0.25: (0.55 - 0.25) / 0.75 = 0.4 of 20 points.
        ([PIN], [(PIN, 0.55)], 8, "1 of 2 causes named, 1 of them named or put right before it was told apart from others."),
        ([PIN], [(PIN, 0.25)], 0, "1 of 2 causes named, 1 of them named or put right before it was told apart from others."),
        ([PIN, LOW], [(PIN, 0.55), (LOW, 1.0)], 28,
         "2 of 2 causes named, 1 of them named or put right before it was told apart from others."),
        ([PIN, LOW], [(PIN, 0.55), (LOW, 0.55)], 16,
         "2 of 2 causes named, 2 of them named or put right before it was told apart from others."),
        # Its first naming counts, whatever was found later.
        ([PIN], [(PIN, 0.55), (PIN, 1.0)], 8,
         "1 of 2 causes named, 1 of them named or put right before it was told apart from others."),
        ([PIN, LOW, PULLEY], [], 20, "2 of 2 causes named, 1 named that was not there."),
        ([PIN, LOW, PULLEY, PULLEY, COUNTER], [], 0,
         "2 of 2 causes named, 2 named that were not there."),
        ([PULLEY, COUNTER], [], 0, "0 of 2 causes named, 2 named that were not there."),
    ],
)  # fmt: skip
def test_a_cause_counts_by_what_was_found_before_it_was_named(named, namings, got, said):
    made = drill(named=[fault.name for fault in named])

    assert points(made, known(*namings))[0] == (got, 40)
    assert reasons(made, known(*namings))["Cause"] == said


def test_a_needless_remedy_is_as_dear_as_a_wrong_name_and_both_of_one_cause_are_one_slip():
    needless = drill(mended=[PIN.name, LOW.name, PULLEY.name])
    both = drill(named=[PIN.name, LOW.name, PULLEY.name], mended=[PIN.name, LOW.name, PULLEY.name])

    assert points(needless)[0] == points(both)[0] == (20, 40)
    assert reasons(needless)["Cause"] == "2 of 2 causes named, 1 needless remedy."


def test_each_of_three_causes_counts_a_third():
    three = (PIN, LOW, PULLEY)

    for number, got in enumerate((0, 13, 27, 40)):
        named = [fault.name for fault in three[:number]]
        assert points(session(hidden=three, named=named))[0] == (got, 40)


def test_of_one_cause_the_words_are_singular_and_one_that_has_not_set_in_is_told():
    made = session(hidden=(PIN,), later=(PIN,), named=[PIN.name])

    assert reasons(made)["Cause"] == "1 of 1 cause named, 1 had not set in yet."


# Proof -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "proved_us", "got", "said"),
    [
        ((PIN,), 5, 0, "The machine still has the fault."),
        ((PIN,), None, 0, "The machine still has the fault."),
        ((), None, 5, "Put right, but not proved with a good piece."),
        ((), 0, 20, "Put right, and proved with a good piece."),
    ],
)
def test_the_proof_is_a_good_piece_of_a_machine_put_right(wrong, proved_us, got, said):
    made = drill(wrong=wrong, proved_us=proved_us)

    assert points(made)[1] == (got, 20)
    assert reasons(made)["Proof"] == said


def test_what_comes_and_goes_is_not_proved_to_be_gone_by_one_good_piece():
    made = drill(proved_us=None, good_to_prove=9)

    assert points(made)[1] == (5, 20)
    assert reasons(made)["Proof"] == (
        "Put right, but what comes and goes is proved to be gone by 9 good pieces in a row."
    )


# Way ---------------------------------------------------------------------------------------

EVERY = " looks for every possible cause, so it comes to this one after 100 s."
NOT_SCORED = "Not scored, so the total is reckoned from the other parts: no plan is known to be near the best here, only one within 25 % of a bound."
EARLY = " A cause was named or put right before it was told apart from others."


@pytest.mark.parametrize(
    ("namings", "way", "got", "said"),
    [
        # Full up to 1.25 x 100 + 15 = 140 s, nothing from 300 s.
        ([], ways(140.0, 100.0), 30, "Looks and trials took 140 s; the best plan takes 100 s."),
        ([], ways(220.0, 100.0), 15, "Looks and trials took 220 s; the best plan takes 100 s."),
        ([], ways(300.0, 100.0), 0, "Looks and trials took 300 s; the best plan takes 100 s."),
        ([], ways(220.0, 100.0, False), 15, "Looks and trials took 220 s; a good plan takes 100 s."),
        ([], ways(50.0, 100.0), 30, "Looks and trials took 50 s. The best plan" + EVERY),
        ([], ways(50.0, 100.0, False), 30, "Looks and trials took 50 s. A good plan" + EVERY),
        ([], ways(0.0, 100.0), 30, "Looks and trials took 0 s. The best plan" + EVERY),
        # One of two named early, with 0.4 of its belief: 30 x (0.4 + 1) / 2; nobody calls a guess a short way.
        ([(PIN, 0.55)], ways(50.0, 100.0), 21, "Looks and trials took 50 s; the best plan takes 100 s." + EARLY),
        ([(PIN, 0.55), (LOW, 0.55)], ways(220.0, 100.0), 6,
         "Looks and trials took 220 s; the best plan takes 100 s." + EARLY),
    ],
)  # fmt: skip
def test_the_way_counts_by_the_best_plan_s_cost(namings, way, got, said):
    assert points(drill(), known(*namings), way)[2] == (got, 30)
    assert reasons(drill(), known(*namings), way)["Way to the cause"] == said


@pytest.mark.parametrize(
    ("taken_s", "excess", "got", "said"),
    [
        # The best plan takes 80 s at least, and 100 s at most: full up to 115 s, or 140 s.
        (110.0, 0.25, (30, 30), "Looks and trials took 110 s; a good plan takes 100 s."),
        (130.0, 0.25, (0, 0), NOT_SCORED),
        (250.0, 0.25, (0, 0), NOT_SCORED),
        (310.0, 0.25, (0, 30), "Looks and trials took 310 s; a good plan takes 100 s."),
        # Within a tenth, the plan in hand stands in for the best one.
        (130.0, 0.1, (30, 30), "Looks and trials took 130 s; a good plan takes 100 s."),
        # Nothing is known of what the best plan takes: anything between the two is not scored.
        (
            250.0,
            inf,
            (0, 0),
            "Not scored, so the total is reckoned from the other parts: no plan is known to be near the best here.",
        ),
        (310.0, inf, (0, 30), "Looks and trials took 310 s; a good plan takes 100 s."),
    ],
)
def test_a_way_is_scored_where_the_best_plan_may_be_better_only_if_that_changes_nothing(
    taken_s, excess, got, said
):
    way = WaysToCause(looks(taken_s), looks(100.0), exact=False, excess=excess)

    assert points(drill(), known(), way)[2] == got
    assert reasons(drill(), known(), way)["Way to the cause"] == said


def test_what_is_not_scored_takes_nothing_off():
    far = WaysToCause(looks(130.0), looks(100.0), exact=False, excess=0.25)

    assert score_of(parts_of(drill(), known(), far), ()) == 100


def test_a_way_is_not_scored_where_there_is_no_plan():
    none = WaysToCause(looks(10.0), (), exact=True, planned=False)

    assert points(drill(), known(), none)[2] == (0, 0)


def test_where_what_is_in_sight_is_enough_the_best_way_is_free_and_one_quick_look_too():
    assert points(drill(), known(), WaysToCause(looks(15.0), (), exact=True))[2] == (30, 30)
    assert points(drill(), known(), WaysToCause(looks(60.0), (), exact=True))[2] == (0, 30)


def test_who_named_one_of_two_causes_has_half_of_the_way_and_who_named_none_has_none_of_it():
    one, none = drill(named=[PIN.name]), drill(named=[PULLEY.name])

    assert points(one)[2] == (15, 30)
    assert points(none)[2] == (0, 30)
    assert reasons(none)["Way to the cause"] == "No hidden cause was named."


# Care --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("acts", "kinds", "exposures", "got", "said"),
    [
        ({"mended": [PIN.name, PULLEY.name]}, (), [], 0, "1 needless remedy."),
        ({"mended": [PIN.name, COUNTER.name, PULLEY.name]}, (), [], 0, "2 needless remedies."),
        ({"mended": []}, (), [], 0, "Nothing that was wrong was put right."),
        ({"mended": [PULLEY.name]}, (TRIP,), [], 0, "Nothing that was wrong was put right."),
        ({}, (TRIP,), [], 7, "1 warning or damage."),
        ({}, (TRIP, DULLED), [], 0, "2 warnings or damages, which took 100 % of a band's life."),
        ({}, (), [("a", 1)], 5, "1 time hands in reach with nothing to protect them."),
        ({}, (), [("a", 1), ("a", 1)], 5, "1 time hands in reach with nothing to protect them."),
        ({}, (), [("a", 1), ("a", 2)], 0, "2 times hands in reach with nothing to protect them."),
        ({"untold": [0]}, (), [], 5, "1 time power on before those affected were told."),
        ({"untold": [0, 0]}, (), [], 0, "2 times power on before those affected were told."),
        ({"untold": [0]}, (TRIP,), [], 2, "1 warning or damage, 1 time power on before those affected were told."),
        ({"untold": [0]}, (TRIP,), [("a", 1)], 0,
         "1 warning or damage, 1 time hands in reach with nothing to protect them, "
         "1 time power on before those affected were told."),
    ],
)  # fmt: skip
def test_each_slip_takes_its_points_off_the_care_of_a_drill(acts, kinds, exposures, got, said):
    made = harmed(drill(**acts), *kinds)
    made.hands.exposures = [Made(what=what, zone=zone) for what, zone in exposures]

    assert points(made)[3] == (got, 10)
    assert reasons(made)["Care"] == said


def tried(times):
    """Return the legs of a way with so many trials."""
    return tuple(Leg(LegKind.TRIAL, quoted("a"), 10.0) for _ in range(times))


@pytest.mark.parametrize(
    ("taken", "best", "at_us", "named", "got", "said"),
    [
        (1, 1, 5, (PIN, LOW), 10, AS_PLANNED),
        (1, 2, 5, (PIN, LOW), 10, AS_PLANNED),
        # A trial more than the best plan, harm after the last cause was named, or not all of them named.
        (2, 1, 5, (PIN, LOW), 7, "1 warning or damage."),
        (1, 0, 5, (PIN, LOW), 7, "1 warning or damage."),
        (1, 1, 9, (PIN, LOW), 7, "1 warning or damage."),
        (1, 1, 5, (PIN,), 7, "1 warning or damage."),
    ],
)
def test_what_a_fault_does_in_a_trial_of_the_best_plan_is_no_lack_of_care(
    taken, best, at_us, named, got, said
):
    made = drill()
    made.saw.consequences = [Consequence(at_us, TRIP)]
    namings = [Naming(6, fault.name, True, 1.0, 0.25, True, ()) for fault in named]
    evidence = Evidence((), (), namings=tuple(namings))
    way = WaysToCause(tried(taken), tried(best), exact=True)

    assert points(made, evidence, way)[3] == (got, 10)
    assert reasons(made, evidence, way)["Care"] == said


@pytest.mark.parametrize(
    ("acts", "kinds", "exposures", "banner", "got", "said"),
    [
        ({}, (), [], False, 30, "No warning."),
        ({}, (TRIP,), [], False, 20, "1 warning or damage."),
        ({}, (), [("a", 1)], False, 20, "1 time hands in reach with nothing to protect them."),
        ({"untold": [0]}, (), [], False, 20, "1 time power on before those affected were told."),
        ({}, (), [], True, 20, "A force or a jumper was left in."),
        ({"untold": [0, 0]}, (TRIP,), [("a", 1)], True, 0,
         "1 warning or damage, 1 time hands in reach with nothing to protect them, "
         "2 times power on before those affected were told, a force or a jumper was left in."),
    ],
)  # fmt: skip
def test_each_slip_takes_ten_points_off_the_care_of_a_job(
    acts, kinds, exposures, banner, got, said
):
    made = harmed(session(good=4, pieces=4, **acts), *kinds)
    made.hands.exposures = [Made(what=what, zone=zone) for what, zone in exposures]
    made.bench.banner = quoted("forced") if banner else NOTHING

    assert points(made) == [(70, 70), (got, 30)]
    assert reasons(made)["Care"].lower() == said.lower()


RUBBED = "teeth-rubbed"


def care_after(made, *lives, kind=RUBBED):
    """Return the points of care after harm that took these shares of a band's life, as the saw worked them out."""
    made.saw.consequences = [Consequence(0, kind, computed_life=each) for each in lives]
    part = next(part for part in parts_of(made, known(), ways(1.0, 1.0)) if part.key == "care")
    return part.points, str(part.reason)


@pytest.mark.parametrize(
    ("lives", "of_job", "of_drill"),
    [
        ((0.0,), 29, 9),
        ((0.002,), 29, 9),
        ((0.1,), 27, 9),
        ((0.375,), 19, 6),
        ((0.375, 0.375), 8, 2),
        ((0.9,), 3, 1),
        ((1.0,), 0, 0),
        ((0.6, 0.6), 0, 0),
    ],
)
def test_wear_by_harm_costs_the_share_of_a_care_that_it_is_of_a_band(lives, of_job, of_drill):
    """A rub of a moment is a point, and a band rubbed away is all of it: 30 of a job, 10 of a drill."""
    job, reason = care_after(session(good=4, pieces=4), *lives)
    shares = round(100 * sum(lives))

    assert (job, care_after(drill(), *lives)[0]) == (of_job, of_drill)
    assert (f"which took {shares} % of a band's life" in reason) is (shares >= 1)


def test_harm_that_is_more_than_wear_costs_what_any_harm_does_at_the_least():
    """A band that is struck loses little of its life, and the saw stands all the same."""
    for kind in ("guide-struck-bar", TRIP):
        assert harmed_care(kind) == 20
    assert harmed_care(DULLED) == 0


def harmed_care(kind):
    made = harmed(session(good=4, pieces=4), kind)
    return points(made)[1][0]


# Pieces, steps, hints ------------------------------------------------------------------------


@pytest.mark.parametrize(("good", "pieces", "got"), [(0, 2, 0), (1, 3, 18), (4, 5, 70), (6, 6, 70)])
def test_a_job_counts_its_good_pieces_and_no_more_than_were_wanted(good, pieces, got):
    made = session(good=good, pieces=pieces)

    assert points(made) == [(got, 70), (30, 30)]
    assert reasons(made)["Pieces"] == f"{good} good of 4 wanted, {pieces} cut."


@pytest.mark.parametrize(("number", "got"), [(0, 0), (1, 23), (2, 47), (3, 70)])
def test_a_lesson_counts_its_steps_and_says_the_next(number, got):
    made = lesson(number, 3)
    next_one = f" The next one: Do step {number}." if number < 3 else ""

    assert points(made) == [(got, 70), (30, 30)]
    assert reasons(made)["Steps"] == f"{number} of 3 steps done.{next_one}"
    assert taught(made) is (number == 3)


def test_without_steps_there_is_nothing_to_be_taught():
    assert taught(session())


@pytest.mark.parametrize("made", [drill, lambda **acts: session(good=4, pieces=4, **acts)])
def test_hints_take_no_points_off(made):
    without, three = made(), made(hints=["a", "b", "c"])

    assert points(three) == points(without)
    assert reasons(three) == reasons(without)


# What comes of it ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("acts", "namings", "outcome"),
    [
        ({}, [], Outcome.PASSED),
        ({}, [(PIN, 0.96), (LOW, 1.0)], Outcome.PASSED),
        ({"proved_us": None}, [], Outcome.FOUND),
        ({"wrong": (PIN,)}, [], Outcome.FOUND),
        ({"hints": ["a"]}, [], Outcome.PRACTISED),
        ({"hints": ["a"], "proved_us": None}, [], Outcome.PRACTISED),
        ({"answer_known": True}, [], Outcome.PRACTISED),
        ({"rehearsed": True}, [], Outcome.PRACTISED),
        ({"answer_known": True}, [(PIN, 0.94)], Outcome.NOT_PASSED),
        ({}, [(PIN, 0.94)], Outcome.NOT_PASSED),
        ({"named": [PIN.name]}, [], Outcome.NOT_PASSED),
        ({"named": []}, [], Outcome.NOT_PASSED),
        # One slip is forgiven, a second is not.
        ({"named": [PIN.name, LOW.name, PULLEY.name]}, [], Outcome.PASSED),
        ({"mended": [PIN.name, LOW.name, PULLEY.name]}, [], Outcome.PASSED),
        ({"named": [PIN.name, LOW.name, PULLEY.name, COUNTER.name]}, [], Outcome.NOT_PASSED),
        ({"named": [PIN.name, LOW.name, PULLEY.name], "mended": [COUNTER.name]}, [],
         Outcome.NOT_PASSED),
        ({"unsafe": [Made(what=NOTHING)]}, [], Outcome.NOT_PASSED),
    ],
)  # fmt: skip
def test_a_drill_is_passed_by_what_was_done(acts, namings, outcome):
    assert outcome_of(drill(**acts), known(*namings)) is outcome


def test_hands_without_protection_fail_a_drill_that_is_right_besides():
    made = drill()
    made.hands.exposures = [Made(what="a", zone=1)]

    assert outcome_of(made, known()) is Outcome.NOT_PASSED


# What fails ----------------------------------------------------------------------------------


@pytest.mark.parametrize("made", [drill, lambda: session(good=4, pieces=4), lambda: lesson(3, 3)])
def test_a_critical_act_leaves_no_care(made):
    wrecked = harmed(made(), WRECK)

    assert points(wrecked)[-1][0] == 0
    assert points(made())[-1][0] > 0
    assert reasons(wrecked)["Care"] == "None is left after a critical act."


def test_hands_in_a_wreck_and_meddling_that_was_not_allowed_are_critical_in_that_order():
    made = session()
    assert critical_acts(made) == ()
    made.done.meddled = [
        Made(message=quoted("a jumper in I4"), allowed=False),
        Made(message=quoted("a force of Q1"), allowed=True),
    ]
    made.done.unsafe = [Made(what=quoted("feel the teeth"))]
    harmed(made, TRIP, WRECK)

    told = [str(each) for each in critical_acts(made)]

    assert told[0] == (
        "Hands in the machine without the lock-out that this asks for: feel the teeth"
    )
    assert told[1] == "a jumper in I4"
    assert told[2:] == [str(Consequence(0, WRECK).sentence)]


def test_a_strike_is_critical_unless_an_instructor_s_order_brought_it_and_is_never_harm_besides():
    made = harmed(session(), STRUCK, WRECK)
    assert len(critical_acts(made)) == 2
    made.hands.ordered = True

    assert [str(each) for each in critical_acts(made)] == [str(Consequence(0, WRECK).sentence)]
    assert harm_of(harmed(session(), STRUCK, WRECK, TRIP)) == 2


def test_exposed_acts_are_counted_by_act_and_zone():
    made = session()
    made.hands.exposures = [Made(what=what, zone=zone) for what, zone in ("aX", "aX", "aY", "bX")]

    assert exposed_acts(made) == 3


def test_faults_are_told_by_their_plain_names():
    assert fault_titles([PIN.name, LOW.name]) == (PIN.title, LOW.title)
