"""A round at the start of the shift: what is drawn, what is said of it, and what that is worth."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.debrief.debrief import debrief, finish
from sim.debrief.morning_round import judged
from sim.debrief.scoring import Outcome
from sim.errors import CommandError, DrycycleError
from sim.faults.catalogue import EVERY
from sim.pilot.autopilot import begin, make_ready, power_up
from sim.records.acts import FindingReported
from sim.scenario import library
from sim.session.morning import CLASSES, FIT, GOES_ON, STOPS, classes_of
from sim.session.opening import open_recorded, open_session, read, session_for, sound_twin_of
from sim.session.playback.replay import replay
from sim.text.typed.console import play

MORNING = "the-saw-this-morning"
SAWS = ("harbour-saw", "quay-saw")


def with_findings(**pools):
    """Return a session that comes upon all of what is given, of each class."""
    scenario, _ = read(MORNING)
    assert scenario.findings is not None
    every = sum(len(names) for names in pools.values())
    none = {"fit": (), "goes_on": (), "stops": ()}
    only = scenario.findings.model_copy(update={**none, **pools, "draw": every})
    session = session_for(scenario.model_copy(update={"findings": only}), nonce="")
    assert len(session.morning.found) == every
    return session


def names(findings):
    return [each.fault.name for each in findings]


def start(session):
    """Start the job as the saw stands, whatever is wrong with it."""
    for part_of_it in (power_up, make_ready, begin):
        part_of_it(session)
    return session.saw.controller.job.state


def part(session, key):
    return next(each for each in debrief(session).parts if each.key == key)


# What is drawn ----------------------------------------------------------------------------


def test_on_the_sound_saw_there_is_nothing_to_come_upon():
    scenario, _ = read(MORNING)

    assert session_for(scenario, nonce="").morning.found
    assert session_for(scenario.sound(), nonce="").morning.found == ()
    assert sound_twin_of(open_session(MORNING)).morning.found == ()


def test_other_mornings_come_upon_other_things_and_never_upon_two_that_stop_the_shift():
    mornings = [open_session(MORNING, seed=seed).morning.found for seed in range(1, 41)]

    assert {len(found) for found in mornings} == {3}
    assert len({tuple(sorted(names(found))) for found in mornings}) > 30
    assert {sum(e.calls_for == STOPS for e in found) for found in mornings} == {0, 1}
    assert {each.calls_for for found in mornings for each in found} == set(CLASSES)


def test_a_day_in_the_file_is_the_same_morning_in_every_session():
    scenario, _ = read(MORNING)
    assert scenario.findings is not None

    def found(day):
        findings = scenario.findings.model_copy(update={"day": day})
        return names(session_for(scenario.model_copy(update={"findings": findings})).morning.found)

    assert found(7) == found(7) == found(7)
    assert len({tuple(found(day)) for day in range(1, 9)}) > 4


@pytest.mark.parametrize("machine", SAWS)
def test_what_is_found_is_in_the_saw_from_the_first_look_on(machine):
    for seed in range(1, 6):
        session = open_session(MORNING, machine=machine, seed=seed)

        assert all(session.morning.still_there(each) for each in session.morning.found)
        assert not session.faults.culprits  # so nothing is asked as in a drill


def test_no_cause_of_the_shipped_round_stands_for_another():
    findings = read(MORNING)[0].findings
    assert findings is not None
    every = list(classes_of(findings))

    for each in every:
        assert [other.fault.name for other in every if other.is_meant_by(each.fault)] == [
            each.fault.name
        ]


# What is said of it -----------------------------------------------------------------------


def test_what_is_put_right_and_reported_as_it_is_earns_every_point():
    session = with_findings(fit=("guard-open",), goes_on=("band-worn",), stops=("s2-stuck",))
    session.set("band.guard", "closed")
    session.report("guard-open", FIT)
    session.report("band-worn", GOES_ON)
    session.report("s2-stuck", STOPS)

    found = finish(session)

    assert names(judged(session.morning).right) == names(session.morning.found)
    assert (found.score, found.outcome, found.critical) == (100, Outcome.PASSED, ())


def test_who_reports_nothing_has_missed_it_all_and_does_not_pass():
    session = with_findings(fit=("guard-open",), stops=("s2-stuck",))

    found = finish(session)

    assert names(judged(session.morning).missed) == names(session.morning.found)
    assert [p.points for p in found.parts[:2]] == [0, 0]
    assert found.outcome is Outcome.NOT_PASSED


def test_what_is_put_right_without_a_word_is_found_and_judged_right():
    session = with_findings(fit=("guard-open",))
    session.set("band.guard", "closed")

    assert names(judged(session.morning).right) == ["guard-open"]


def test_what_is_called_fit_and_still_there_is_wrongly_cleared():
    session = with_findings(fit=("guard-open",))
    session.report("guard-open", FIT)

    done = judged(session.morning)

    assert (names(done.found), names(done.cleared), done.right) == (
        ["guard-open"], ["guard-open"], (),
    )  # fmt: skip
    assert "Wrongly cleared: Band guard left open" in str(part(session, "judged").reason)


@pytest.mark.parametrize(
    ("pool", "name", "said", "graver"),
    [
        ("fit", "oil-low", GOES_ON, True),
        ("fit", "oil-low", STOPS, True),
        ("goes_on", "band-worn", STOPS, True),
        ("goes_on", "band-worn", FIT, False),
        ("stops", "s2-stuck", GOES_ON, False),
        ("stops", "s2-stuck", FIT, False),
    ],
)
def test_too_grave_and_too_mild_are_told_apart(pool, name, said, graver):
    session = with_findings(**{pool: (name,)})
    session.report(name, said)

    done = judged(session.morning)

    assert names(done.too_hard) == ([name] if graver else [])
    assert names(done.cleared) == ([] if graver else [name])
    assert not done.right


def test_who_mends_what_might_go_on_did_more_than_was_asked():
    session = with_findings(goes_on=("band-worn",))
    session.faults.mend(EVERY["band-worn"])
    session.report("band-worn", FIT)

    assert names(judged(session.morning).right) == ["band-worn"]


def test_what_stops_the_shift_is_reported_also_by_him_who_mends_it():
    session = with_findings(stops=("s2-stuck",))
    session.faults.mend(EVERY["s2-stuck"])

    done = judged(session.morning)

    assert (names(done.unwritten), done.cleared, done.right) == (["s2-stuck"], (), ())
    assert "not reported as what it was: S2" in str(part(session, "judged").reason)


def test_what_is_reported_and_is_not_there_costs_ten_points_each():
    session = with_findings(fit=("guard-open",))
    session.report("guard-open", GOES_ON)
    session.report("oil-low", FIT)
    session.report("arm-left-up", FIT)
    session.report("arm-left-up", STOPS)  # the same, said again

    scored = part(session, "found")

    assert scored.points == scored.of - 20
    assert list(session.morning.not_there) == ["oil-low", "arm-left-up"]


def test_what_the_trainee_did_to_the_saw_himself_is_there():
    session = with_findings(fit=("guard-open",))
    session.set("outfeed.back_rail", "back")
    session.set("coolant.wash_down", "open")
    session.report("wash-hose-open", FIT)

    assert not session.morning.not_there


def test_of_two_reports_of_one_finding_the_later_holds():
    session = with_findings(stops=("b41-stuck",))
    session.report("b41-stuck", STOPS)
    session.report("b41-to-24", GOES_ON)  # only a meter tells the two apart
    session.report("s2-channel", STOPS)
    assert names(judged(session.morning).cleared) == ["b41-stuck"]

    session.report("b41-stuck", STOPS)

    assert names(judged(session.morning).right) == ["b41-stuck"]
    assert list(session.morning.not_there) == ["s2-channel"]  # which is another device


@pytest.mark.parametrize("said", [None, FIT, GOES_ON])
def test_who_misses_or_clears_what_stops_the_shift_does_not_pass_with_any_points(said):
    session = with_findings(
        fit=("guard-open", "oil-low", "arm-left-up", "brush-backed-off"), stops=("s2-stuck",)
    )
    for name in ("guard-open", "oil-low", "arm-left-up", "brush-backed-off"):
        session.faults.mend(EVERY[name])
    if said:
        session.report("s2-stuck", said)

    found = finish(session)

    assert found.score >= 60
    assert found.outcome is Outcome.NOT_PASSED
    assert str(found.why).startswith("What stops the shift was missed or cleared")
    assert "S2: contact stuck" in str(found.why)


# What is started --------------------------------------------------------------------------


def test_to_start_the_job_with_what_stops_the_shift_is_a_critical_act():
    session = with_findings(stops=("s2-stuck",))
    session.report("s2-stuck", STOPS)
    assert not debrief(session).critical

    assert start(session) == "EXECUTE"

    found = finish(session)
    assert [str(each) for each in found.critical] == [
        "The job was started, although this stops the shift: S2: contact stuck"
    ]
    assert (found.score, found.outcome) == (0, Outcome.NOT_PASSED)


def test_to_start_the_job_with_what_goes_on_or_after_a_repair_is_none():
    session = with_findings(goes_on=("band-worn",), stops=("s2-stuck",))
    session.report("s2-stuck", STOPS)
    session.report("band-worn", GOES_ON)
    session.faults.mend(EVERY["s2-stuck"])

    assert start(session) == "EXECUTE"

    assert finish(session).critical == ()


# What is refused --------------------------------------------------------------------------


def test_a_round_is_reported_and_anything_else_is_named():
    session = open_session(MORNING)
    elsewhere = open_session("rail-posts")

    answers = session.diagnose("oil-low"), elsewhere.report("oil-low", FIT)

    assert [answer.taken for answer in answers] == [False, False]
    assert "report what you find" in str(answers[0].message)
    assert "no round" in str(answers[1].message)
    assert not session.done.named


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("oil-lwo", FIT), "oil-low"),
        (("oil-low", "fine"), "no finding calls for 'fine'"),
    ],
)
def test_a_report_of_no_cause_or_no_class_is_refused(words, told):
    with pytest.raises(CommandError, match=told):
        open_session(MORNING).report(*words)


@pytest.mark.parametrize(
    ("instead", "begins", "told"),
    [
        (("[band-worn", "[band-wron"), "  goes_on:", "band-worn"),
        (("[band-worn", "[oil-low"), "  goes_on:", "keep one"),
        (("draw: 3", "draw: 0"), "  draw:", "must be at least 1"),
        (("mode: practice", "mode: drill"), "mode:", "write mode: practice"),
        (("mode: practice", "mode: practice\nfaults: [{name: oil-low}]"), "faults:", "take out"),
        (("  draw: 3\n", ""), "  fit:", "add draw"),
        (("  stops:", "  stop:"), "  stop:", "the nearest name is stops"),
    ],
)
def test_a_slip_in_the_findings_is_told_by_its_line_with_what_to_do(
    tmp_path, instead, begins, told
):
    text = library.find(MORNING).read_text(encoding="utf-8")
    path = tmp_path / "mine.yaml"
    assert instead[0] in text
    path.write_text(text.replace(*instead, 1), encoding="utf-8")
    lines = path.read_text(encoding="utf-8").splitlines()
    line = next(n for n, each in enumerate(lines, 1) if each.startswith(begins))

    with pytest.raises(DrycycleError) as refused:
        open_session(str(path))

    assert f"mine.yaml:{line}:" in str(refused.value)
    assert told in str(refused.value)


def test_more_than_there_is_cannot_be_drawn(tmp_path):
    text = library.find(MORNING).read_text(encoding="utf-8")
    start, end = text.index("findings:"), text.index("teaches:")
    path = tmp_path / "mine.yaml"
    few = "findings:\n  draw: 3\n  fit: [oil-low]\n  stops: [s2-stuck, b41-stuck]\n"
    path.write_text(text[:start] + few + text[end:], encoding="utf-8")

    with pytest.raises(DrycycleError) as refused:
        open_session(str(path))

    assert f"mine.yaml:{text[:start].count(chr(10)) + 2}:" in str(refused.value)
    assert "3 are to be drawn, and there are 2 to draw from" in str(refused.value)
    assert "name more causes, or draw fewer" in str(refused.value)


# Typed, and kept --------------------------------------------------------------------------


def test_a_round_is_typed_from_the_first_look_to_the_debrief(tmp_path):
    session = open_recorded(MORNING, tmp_path / "one.jsonl", seed=5)
    written = []
    lines = [f"report {each.fault.name} as {each.calls_for}" for each in session.morning.found]

    play(
        session, ["report guard open as goes on", *lines, "quit"], written.append, interactive=False
    )

    said = " ".join("\n".join(written).split())
    reported = [act for act in session.done.acts if isinstance(act, FindingReported)]
    assert [(act.name, act.calls_for) for act in reported[1:]] == [
        (each.fault.name, each.calls_for) for each in session.morning.found
    ]
    assert "In the book: Band guard left open; work goes on with it." in said
    assert "3 of 3 findings found." in said


SAID = st.lists(
    st.tuples(
        st.sampled_from(sorted(e.fault.name for e in classes_of(read(MORNING)[0].findings))),
        st.sampled_from(sorted(CLASSES)),
        st.booleans(),
    ),
    max_size=6,
)


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(1, 2**31), said=SAID, started=st.booleans(), machine=st.sampled_from(SAWS))
def test_one_seed_is_one_morning_and_its_record_comes_to_the_same_judgement(
    tmp_path_factory, seed, said, started, machine
):
    path = tmp_path_factory.mktemp("round") / "one.jsonl"
    session = open_recorded(MORNING, path, machine=machine, seed=seed)
    assert names(session.morning.found) == names(
        open_session(MORNING, machine=machine, seed=seed).morning.found
    )
    for name, calls_for, mended in said:
        if mended:
            session.put_right(name)
        session.report(name, calls_for)
    if started:
        start(session)
    found = finish(session)

    played = replay(path)

    assert played.same
    assert judged(played.session.morning) == judged(session.morning)
    assert played.session.morning.reported == session.morning.reported
    assert played.session.morning.not_there == session.morning.not_there
    again = debrief(played.session)
    assert (again.score, again.outcome, again.parts, again.critical, again.why) == (
        found.score, found.outcome, found.parts, found.critical, found.why,
    )  # fmt: skip
