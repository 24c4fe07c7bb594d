"""A record played again ends in the same state, or says why it cannot be played."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.diagnosis.matrix_from_saw import key_for, with_faults
from sim.errors import DrycycleError, RecordError
from sim.pilot.autopilot import whole_job
from sim.plant.set_points import SET_POINTS
from sim.scenario import library, machines
from sim.scenario.machines import first_machine
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.playback.replay import replay
from sim.signals import BY_KEY
from tests.records.chains import ChainWriter


def test_a_whole_drill_replays_to_the_same_state_and_the_same_time_line(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.inspect("stop-play")
    session.diagnose("stop-from-below")
    session.put_right("stop-from-below")
    whole_job(session)
    session.close()

    played = replay(path)

    assert played.same
    assert played.session.heard.events == session.heard.events


def test_a_record_replays_on_the_machine_of_its_time_whatever_becomes_of_the_files(
    tmp_path, monkeypatch
):
    path = tmp_path / "quay.jsonl"
    session = open_recorded("rail-posts", path, machine="quay-saw")
    whole_job(session)
    session.close()
    heavier = replace(first_machine(), shuttle_m_s=0.09, idle_w=700.0, lift_m_s=0.05)
    monkeypatch.setattr(machines, "first_machine", lambda: heavier)
    monkeypatch.setattr(library, "machine_path", lambda *_: tmp_path / "gone.yaml")

    played = replay(path)

    assert played.same


def test_what_is_asked_of_a_record_is_asked_of_the_machine_of_its_time(tmp_path, monkeypatch):
    path = tmp_path / "quay.jsonl"
    session = open_recorded("posts-come-out-short", path, machine="quay-saw")
    session.inspect("stop-play")
    session.close()
    then = key_for(session.scenario)
    heavier = tmp_path / "heavier.yaml"
    heavier.write_text("title: A heavier one\nhead:\n  mass_kg: 99\n")
    monkeypatch.setattr(library, "machine_path", lambda *_: heavier)

    played = replay(path)
    now = key_for(read("posts-come-out-short", "quay-saw")[0])

    assert played.session.machine == session.machine
    assert key_for(played.session.scenario) == then  # what its looks could tell is found by this
    assert now != then
    ghost = session_for(with_faults(played.session.scenario, ("guard-open",)), nonce="")
    assert ghost.machine == session.machine
    assert played.session.machine == session.machine
    assert played.session.machine.name == "quay-saw"


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    acts=st.lists(
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
        max_size=60,
    )
)
def test_any_sequence_of_acts_replays_exactly(tmp_path, acts):
    path = tmp_path / "any.jsonl"
    path.unlink(missing_ok=True)
    session = open_session("rail-posts", record=ChainWriter(path, durable=False))
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
    session.close()

    played = replay(path)

    assert played.same
    assert played.session.heard.events == session.heard.events


def _recorded(tmp_path: Path) -> Path:
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    session.press("supply.isolator")
    session.close()
    return path


def test_a_record_cut_short_is_refused_with_its_place(tmp_path):
    path = _recorded(tmp_path)
    path.write_bytes(path.read_bytes()[:-40])

    with pytest.raises(RecordError) as refused:
        replay(path)

    assert str(path) in str(refused.value.where)


def test_a_record_with_an_edited_line_is_refused_with_the_line(tmp_path):
    path = _recorded(tmp_path)
    path.write_text(path.read_text().replace("supply.isolator", "supply.isolated"))

    with pytest.raises(RecordError) as refused:
        replay(path)

    assert str(refused.value.where).startswith(f"{path}:3")


def test_a_record_plays_on_the_scenario_of_its_time_though_the_file_has_changed(tmp_path):
    scenario = tmp_path / "mine.yaml"
    text = Path("scenarios/drills/posts-come-out-short.yaml").read_text(encoding="utf-8")
    scenario.write_text(text, encoding="utf-8")
    path, broken_off = tmp_path / "one.jsonl", tmp_path / "two.jsonl"
    session = open_recorded(str(scenario), path)
    session.inspect("stop-play")
    session.close()
    open_recorded(str(scenario), broken_off).journal._record.abandon()
    scenario.write_text(text.replace("tolerance_mm: ", "tolerance_mm: 1"), encoding="utf-8")

    assert replay(path).same
    assert replay(path).session.scenario == session.scenario
    with pytest.raises(RecordError, match="has changed since"):  # its text is sealed for good
        replay(broken_off, allow_cut=True)


def test_a_file_that_is_no_record_is_refused(tmp_path):
    path = tmp_path / "other.jsonl"
    path.write_text(json.dumps({"a": 1}), encoding="utf-8")

    with pytest.raises(DrycycleError):
        replay(path)
