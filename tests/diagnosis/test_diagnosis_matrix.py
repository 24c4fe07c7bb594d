"""What each inspection shows under each cause, found by running the saw."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from sim.diagnosis.causes import with_faults
from sim.diagnosis.dependency import NOTHING_WRONG, Matrix
from sim.diagnosis.judgement import judged
from sim.diagnosis.matrix_from_saw import (
    allowed,
    causes_for,
    key_for,
    matrix_for,
    price_s,
)
from sim.diagnosis.packed import packed, unpacked
from sim.diagnosis.par import par
from sim.diagnosis.posterior import Observed, belief_in, diagnosed, prior, trail
from sim.diagnosis.testability import detected, fraction_detected
from sim.diagnosis.tree import nodes, path
from sim.diagnosis.worlds import TimedAct, Witnessed, lived
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE, EVERY
from sim.pilot import autopilot
from sim.records.keep import keep, kept
from sim.saw import Saw
from sim.scenario.scenario import HiddenFault, Scenario
from sim.session import inspections
from sim.session.hands import table
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.opening import read, session_for
from sim.session.session import Session
from sim.session.sights.describe import EVIDENCE, in_sight
from sim.units import US
from sim.words.message import Message, quoted

SET_UP_FAULTS = ("plunger-on-the-land", "height-stop-low", "stop-from-below", "variator-forced")


@pytest.fixture(scope="module")
def posts() -> Scenario:
    """The drill with short posts, every inspection allowed."""
    return read("posts-come-out-short")[0].model_copy(update={"inspections": "all"})


@pytest.fixture(scope="module")
def matrix(posts: Scenario) -> Matrix:
    return matrix_for(posts)


@pytest.mark.parametrize("fault", SET_UP_FAULTS)
def test_every_cell_at_rest_is_what_a_session_shows(
    posts: Scenario, matrix: Matrix, fault: str
) -> None:
    for name, row in inspections.INSPECTIONS.items():
        if row.tool is not None:
            continue  # chance is in its reading, and not in what a matrix counts on
        faulty, sound = (
            session_for(with_faults(posts, cause), nonce="") for cause in ((fault,), ())
        )
        if to_look(row).behind_cover:
            for each in (faulty, sound):
                each.saw.plant.band.guide.set_cover("open")

        assert matrix.outcome(fault, name) == judged(
            faulty.inspect(name).message, sound.inspect(name).message
        )


def test_every_cell_of_a_powered_saw_is_what_a_session_shows(
    posts: Scenario, matrix: Matrix
) -> None:
    session = session_for(with_faults(posts, ("plunger-on-the-land",)), nonce="")
    sound = session_for(with_faults(posts, ()), nonce="")
    for each in (session, sound):
        autopilot.power_up(each)
    for tag in ("B11", "K1", "Q2"):
        seen = judged(
            session.inspect(f"meter {tag}").message, sound.inspect(f"meter {tag}").message
        )

        assert matrix.outcome("plunger-on-the-land", f"meter {tag} (powered up)") == seen


def test_the_pin_is_seen_at_its_stop_rod_and_the_play_at_the_stop(matrix: Matrix) -> None:
    sound = matrix.sound
    assert sound is not None
    for fault, look in (("plunger-on-the-land", "stop-plunger"), ("stop-from-below", "stop-play")):
        assert matrix.outcome(fault, look) != matrix.outcome(NOTHING_WRONG, look)
    assert matrix.outcome("stop-from-below", "stop-plunger") == matrix.outcome(
        NOTHING_WRONG, "stop-plunger"
    )


def test_a_trial_shows_a_band_that_never_gets_to_speed_and_a_caliper_the_short_post(
    matrix: Matrix,
) -> None:
    right = matrix.outcome(NOTHING_WRONG, "try one piece")
    read = {
        name: matrix.outcome(name, "caliper (after a trial)")
        for name in (NOTHING_WRONG, "stop-from-below")
    }

    assert "A piece fell." in right
    assert matrix.outcome("stop-from-below", "try one piece") == right
    assert read == {
        NOTHING_WRONG: "It reads within the drawing.",
        "stop-from-below": "It reads short.",
    }
    assert "at speed" in matrix.outcome("variator-forced", "try one piece")
    assert "at speed" not in right


def test_a_trial_is_barred_where_it_would_drive_the_bar_into_the_band(matrix: Matrix) -> None:
    trial = matrix.inspections[matrix.column("try one piece")]

    assert {"plunger-on-the-land", "height-stop-low"} <= trial.harms
    assert not {"stop-from-below", "variator-forced", NOTHING_WRONG} & trial.harms
    for node in nodes(par(matrix).tree):
        if node.inspection == "try one piece":
            assert not trial.harms & set(node.causes)


def test_looks_after_a_wreck_show_only_that_the_run_is_over(matrix: Matrix) -> None:
    assert matrix.outcome("plunger-on-the-land", "air-gauge (after a trial)") == "The run is over."


def test_the_trial_costs_what_it_takes_on_the_sound_machine(
    posts: Scenario, matrix: Matrix
) -> None:
    session = session_for(with_faults(posts, ()), nonce="")
    autopilot.as_found(session, 1)

    trial = matrix.inspections[matrix.column("try one piece")]
    hands_s, stops_s = 10.0, 10.0
    assert trial.cost_s == pytest.approx(session.now_s + hands_s + stops_s, abs=1.0)


def test_a_look_with_hands_in_the_machine_costs_its_lock_out(matrix: Matrix) -> None:
    pulley = inspections.INSPECTIONS["pulley"]

    assert locked_out_to_look(pulley)
    look, lock_out = (matrix.inspections[matrix.column(name)] for name in ("pulley", "lock out"))
    assert (lock_out.stage, lock_out.leads_to) == (0, look.stage)
    assert look.cost_s == pulley.seconds
    assert look.cost_s + lock_out.cost_s == price_s(pulley)
    assert lock_out.cost_s >= 195  # the six steps


def test_what_is_in_sight_costs_nothing(posts: Scenario, matrix: Matrix) -> None:
    session = session_for(with_faults(posts, ("height-stop-low",)), nonce="")
    sound = session_for(with_faults(posts, ()), nonce="")
    for each in (session, sound):
        autopilot.power_up(each)
        autopilot.raise_head(each)
        each.advance(30)
    part = EVIDENCE.index("head")
    column = matrix.inspections[matrix.column("sight of head (powered up)")]

    assert column.seen
    assert column.cost_s == 0.0
    assert matrix.outcome("height-stop-low", column.name) == judged(
        in_sight(session)[part], in_sight(sound)[part]
    )
    assert matrix.outcome("height-stop-low", column.name) != matrix.outcome(
        NOTHING_WRONG, column.name
    )


def test_every_set_up_fault_is_detected_and_isolated(matrix: Matrix) -> None:
    few = matrix.among({NOTHING_WRONG, *SET_UP_FAULTS})
    groups = [node.causes for node in nodes(par(few).tree) if not node.inspection]

    assert fraction_detected(few) == 1.0
    assert sorted(map(len, groups)) == [1] * 5


def test_the_best_path_to_the_hidden_fault_ends_at_it(matrix: Matrix) -> None:
    few = matrix.among({NOTHING_WRONG, *SET_UP_FAULTS})
    for fault in SET_UP_FAULTS:
        looks = path(par(few).tree, few, fault)

        assert looks[-1].left == (fault,)
        assert all(few.outcome(fault, look.inspection) == look.outcome for look in looks)


def test_the_matrix_is_found_once_for_a_scenario(posts: Scenario, matrix: Matrix) -> None:
    assert matrix_for(posts) is matrix
    assert matrix_for(posts.model_copy(deep=True)) is matrix
    other = posts.model_copy(update={"inspections": ("stop-plunger", "meter B11")})
    assert key_for(other) != key_for(posts)
    assert matrix_for(other) is not matrix


def test_a_kept_matrix_is_the_one_that_is_found_anew(matrix: Matrix) -> None:
    assert unpacked(packed(matrix)) == matrix


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"null",
        b"[]",
        b"{}",
        b'{"outcomes": ["a"], "inspections": [], "causes": [[[], 1, [3]]]}',
    ],
)
def test_bytes_that_are_no_matrix_count_as_not_kept(content: bytes) -> None:
    assert unpacked(content) is None


def test_a_torn_matrix_is_found_anew_and_kept_again(
    posts: Scenario, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path))
    few = posts.model_copy(update={"inspections": ("stop-plunger", "stop-play")})
    keep(key_for(few), b'{"outcomes": [')

    found = matrix_for(few)

    again = unpacked(kept(key_for(few)) or b"")
    assert again is not None
    assert again.inspections == found.inspections
    assert [c.outcomes for c in again.causes] == [c.outcomes for c in found.causes]


def test_only_what_the_drill_allows_is_in_its_matrix(posts: Scenario) -> None:
    only = posts.model_copy(update={"inspections": ("stop-plunger", "meter B11")})
    looks = {column.look for column in matrix_for(only).inspections}

    assert looks == {"", "stop-plunger", "meter B11"}
    assert len(allowed(posts)) > len(inspections.INSPECTIONS)


def test_weights_are_the_belief_once_the_report_was_heard(posts: Scenario) -> None:
    weights = {cause.name: cause.weight for cause in matrix_for(posts).causes}

    assert sum(weights.values()) == pytest.approx(1.0)
    assert weights["stop-from-below"] > 0.3  # both fit "all short, all alike"
    assert weights["length-without-kerf"] > 0.3
    assert weights["plunger-on-the-land"] < 0.05


def test_two_hidden_faults_are_told_from_either_alone_and_from_their_neighbours(
    posts: Scenario,
) -> None:
    both = posts.model_copy(
        update={
            "faults": (HiddenFault(name="plunger-on-the-land"), HiddenFault(name="stop-from-below"))
        }
    )
    causes = causes_for(both)

    assert ("plunger-on-the-land", "stop-from-below") in causes
    assert ("height-stop-low", "stop-from-below") in causes
    assert ("plunger-on-the-land",) in causes
    assert len(set(causes)) == len(causes)
    found = matrix_for(both)
    pair = "plunger-on-the-land + stop-from-below"
    for alone in ("stop-from-below", "plunger-on-the-land"):
        assert found.causes[found.row(pair)].outcomes != found.causes[found.row(alone)].outcomes


def test_a_look_that_moves_the_machine_changes_no_other_look(
    posts: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    def trip(saw: Saw) -> Message:
        saw.press("supply.emergency_stop")
        return quoted(
            f"The stop latches; control power is {'on' if saw.bus.seen['K1'] else 'off'}."
        )

    row = inspections.Inspection(
        "trip", quoted("Try the emergency stop"), "supply", 20, trip, kind=inspections.Kind.TEST
    )
    monkeypatch.setitem(inspections.INSPECTIONS, "trip", row)
    monkeypatch.setitem(table._LOOKS, "trip", table._LOOKS["try-keys"])
    looks = ("trip", "meter K1", "input-lamps")
    found = matrix_for(posts.model_copy(update={"inspections": looks}))
    without = matrix_for(posts.model_copy(update={"inspections": looks[1:]}))

    assert "latches" in found.outcome(NOTHING_WRONG, "trip (powered up)")
    for name in (column.name for column in without.inspections):
        assert [found.outcome(c.name, name) for c in found.causes] == [
            without.outcome(c.name, name) for c in without.causes
        ]
    assert "live" in found.outcome(NOTHING_WRONG, "meter K1 (powered up)")


def test_a_fault_that_the_machine_cannot_have_is_no_cause_and_a_hidden_one_is(
    posts: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    likeness = CATALOGUE["plunger-on-the-land"]
    for name, there in (("not-here", False), ("unseen", True)):
        fault = replace(
            likeness,
            name=name,
            apply=lambda _wreck: None,
            present=lambda _wreck, there=there: there,
        )
        for rows in (CATALOGUE, EVERY):
            monkeypatch.setitem(rows, name, fault)
    found = matrix_for(posts.model_copy(update={"inspections": ("stop-plunger", "air-gauge")}))
    names = {cause.name for cause in found.causes}

    assert "not-here" not in names
    assert "unseen" in names
    assert "unseen" not in {cause.name for cause in detected(found)}


# What was really done -------------------------------------------------------------------------


def at(seconds: float, verb: str, *words: str) -> TimedAct:
    def do(session: Session) -> object:
        return getattr(session, verb)(*words)

    return TimedAct(round(seconds * US), do)


def everything(scenario: Scenario) -> dict[tuple[str, ...], float]:
    return {cause.faults: cause.weight for cause in matrix_for(scenario).causes}


def observed(findings: Sequence[Witnessed]) -> list[Observed]:
    return [each.observed for each in findings]


RUN = (
    at(0, "inspect", "stop-plunger"),
    at(30, "press", "supply.isolator"),
    at(31, "tap", "supply.reset"),
    at(31, "tap", "supply.control_on"),
    at(40, "inspect", "input-lamps"),
    at(110, "inspect", "stop-plunger"),
    at(140, "inspect", "stop-play"),
)


@pytest.mark.parametrize("fault", SET_UP_FAULTS)
def test_what_is_really_wrong_is_never_ruled_out_by_what_was_done(
    posts: Scenario, fault: str
) -> None:
    matrix, findings = lived(with_faults(posts, (fault,)), RUN, everything(posts))

    for step in trail(matrix, observed(findings)):
        assert step.explained
        assert belief_in(matrix, step.belief, fault) > 0.0


def test_a_look_made_twice_at_a_machine_at_rest_is_redundant(posts: Scenario) -> None:
    twice = at(0, "inspect", "stop-play"), at(40, "inspect", "stop-play")
    matrix, findings = lived(posts, twice, everything(posts))
    steps = {step.finding.inspection: step for step in trail(matrix, observed(findings))}

    assert not steps["1: stop-play"].redundant
    assert steps["2: stop-play"].redundant


def test_belief_comes_to_rest_on_the_fault_that_was_found(posts: Scenario) -> None:
    matrix, findings = lived(posts, RUN, everything(posts))
    steps = trail(matrix, observed(findings))

    assert belief_in(matrix, prior(matrix), "stop-from-below") < 0.5
    assert belief_in(matrix, steps[-1].belief, "stop-from-below") == pytest.approx(1.0)
    assert diagnosed(matrix, steps[-1].belief, "stop-from-below").told_apart
    assert not diagnosed(matrix, steps[0].belief, "stop-from-below").told_apart


def test_a_finding_after_the_remedy_does_not_speak_against_the_fault(posts: Scenario) -> None:
    mended = (
        at(0, "inspect", "stop-play"),
        at(40, "put_right", "stop-from-below"),
        at(120, "inspect", "stop-play"),
    )
    matrix, findings = lived(posts, mended, everything(posts))
    first, last = (
        s for s in trail(matrix, observed(findings)) if "stop-play" in s.finding.inspection
    )

    assert findings[0].observed.outcome != findings[-1].observed.outcome
    assert belief_in(matrix, last.belief, "stop-from-below") == pytest.approx(
        belief_in(matrix, first.belief, "stop-from-below")
    )


def test_a_wreck_in_another_world_ends_that_world_only(posts: Scenario) -> None:
    def whole_piece(session: Session) -> None:
        autopilot.as_found(session, 1)

    acts = (TimedAct(0, whole_piece), at(200, "inspect", "air-gauge"))
    matrix, findings = lived(posts, acts, everything(posts))

    assert findings[0].observed.inspection == "1: seen"
    assert "moved against the band" in matrix.outcome("plunger-on-the-land", "1: seen")
    assert "The run is over." in matrix.outcome("plunger-on-the-land", "2: air-gauge")
    assert "run is over" not in matrix.outcome("stop-from-below", "2: air-gauge")


def test_acts_that_the_run_itself_refuses_are_refused(posts: Scenario) -> None:
    with pytest.raises(CommandError, match="no inspection"):
        lived(posts, (at(0, "inspect", "crystal-ball"),), {(): 1.0})
