"""The demonstration runs a real job and finds a real cause."""

import pytest

from sim.authoring.search import find_cause
from sim.diagnosis.dependency import NOTHING_WRONG
from sim.scenario.scenario import HiddenFault
from sim.session import opening
from sim.text.typed import demonstration
from sim.words.message import quoted


def test_the_demonstration_tells_a_job_and_a_drill_and_ends_well():
    written = []

    code = demonstration.demonstrate(written.append)

    text = "\n".join(written)
    assert code == 0
    assert "3 good pieces of 3: 230.00 mm, 230.00 mm, 230.00 mm" in text
    assert "Passed, 100 of 100." in text
    assert max(len(line) for line in written) <= 100
    assert all(line.isprintable() for line in written)


@pytest.mark.parametrize("fault", ["", "plunger-on-the-land", "height-stop-low"])
def test_the_autopilot_finds_a_cause_by_looking_and_a_sound_machine_too(fault):
    scenario, _ = opening.read("head-stops-short")
    faults = (HiddenFault(name=fault),) if fault else ()
    session = opening.session_for(scenario.model_copy(update={"faults": faults}))

    left = find_cause(session)

    # On a sound machine the causes stay that these looks cannot tell from it.
    assert left == (fault,) if fault else NOTHING_WRONG in left
    assert session.done.unsafe == []
    assert not session.lockout.locked


def test_a_demonstration_whose_saw_spoils_the_pieces_says_so_and_ends_badly(monkeypatch):
    def backlash_left_in(session):
        demonstration.autopilot.set_up(session)
        session.set("shuttle.stop_mm", 200)
        session.set("shuttle.stop_mm", 229)

    phases = list(demonstration._JOB_PHASES)
    phases[1] = demonstration.Phase(quoted("Set-up, badly."), backlash_left_in)
    monkeypatch.setattr(demonstration, "_JOB_PHASES", tuple(phases))
    written = []

    assert demonstration.demonstrate(written.append) == 1
    assert any(line.startswith("0 good pieces of 3: 227.35 mm") for line in written)
