"""A sample of the odd scenario and machine files; `odd_scenarios` tries as many as one likes."""

from pathlib import Path

import pytest

from sim.debrief.debrief import finish
from sim.errors import ScenarioError
from sim.pilot.autopilot import whole_job
from sim.plant.machine import ENTRIES
from sim.scenario.machines import read_machine
from sim.session.opening import read, session_for
from tests.reliability.odd_scenarios import odd_file, sources, tried


def test_odd_files_are_read_or_refused_in_a_sentence_with_a_place():
    found = tried(1, iter(range(600)))

    assert found.failures == []
    assert found.refused > 300
    assert found.read > 30
    assert len(found.sentences) > 30  # they are refused for what is wrong with them


def test_a_number_always_makes_the_same_file():
    known = sources()

    assert odd_file(1, 7, known) == odd_file(1, 7, known)
    assert odd_file(1, 7, known) != odd_file(2, 7, known)


@pytest.mark.sampled(12)
@pytest.mark.parametrize("limit", ["low", "high"])
@pytest.mark.parametrize("attr", ENTRIES)
def test_a_machine_with_a_number_at_its_limit_is_refused_or_plays(attr, limit):
    entry = ENTRIES[attr]
    number = f"{getattr(entry, limit):.10f}".rstrip("0").rstrip(".")
    content = f"title: Odd\n{entry.section}:\n  {entry.key}: {number}\n".encode()
    scenario, _ = read("rail-posts")
    short = {"job": scenario.job.model_copy(update={"wanted": 1})}
    try:
        machine = read_machine(Path("odd.yaml"), content)
        session = session_for(scenario.model_copy(update=short).built_as(machine), nonce="")
    except ScenarioError:
        return
    whole_job(session)
    finish(session)

    assert session.closed
