"""The demonstration runs a real job and finds a real cause."""

import pytest

from sim.drill import opening
from sim.drill.inspections import INSPECTIONS
from sim.drill.scenario import Fault
from sim.text import demonstration
from sim.text.page import Page


def test_the_demonstration_tells_a_job_and_a_drill_and_ends_well():
    written = []

    code = demonstration.demonstrate(written.append)

    text = "\n".join(written)
    assert code == 0
    assert "3 good pieces of 3: 230.00 mm, 230.00 mm, 230.00 mm" in text
    assert "Passed, 100 of 100." in text
    assert max(len(line) for line in written) <= 100
    assert all(line.isprintable() for line in written)


SEEN_AT_REST = ("", "pin-under-collar", "height-stop-low", "variator-forced", "counter-from-below")


@pytest.mark.parametrize("fault", SEEN_AT_REST)
def test_the_autopilot_finds_a_cause_by_looking_and_a_sound_machine_too(fault):
    scenario, _ = opening.read("posts-come-out-short")
    faults = (Fault(name=fault),) if fault else ()
    session = opening.session_for(scenario.model_copy(update={"faults": faults}))

    left = demonstration.find_cause(Page(lambda _line: None), session)

    assert fault in left
    assert all(name == fault or not _shows_at_rest(name) for name in left)
    assert session.unsafe == []
    assert not session.lockout.locked


def _shows_at_rest(name):
    """Whether a look at the standing machine can tell a fault from none."""
    scenario, _ = opening.read("posts-come-out-short")
    sound = opening.session_for(scenario.model_copy(update={"faults": ()}))
    faulty = opening.session_for(scenario.model_copy(update={"faults": (Fault(name=name),)}))
    looks = (row for row in INSPECTIONS.values() if not row.acts_s)
    return any(row.look(faulty.saw) != row.look(sound.saw) for row in looks)


def test_a_demonstration_whose_saw_spoils_the_pieces_says_so_and_ends_badly(monkeypatch):
    def backlash_left_in(session):
        demonstration.autopilot.set_up(session)
        session.set("shuttle.counter_mm", 200)
        session.set("shuttle.counter_mm", 229)

    phases = list(demonstration._JOB_PHASES)
    phases[1] = demonstration.Phase("Set-up, badly.", backlash_left_in)
    monkeypatch.setattr(demonstration, "_JOB_PHASES", tuple(phases))
    written = []

    assert demonstration.demonstrate(written.append) == 1
    assert any(line.startswith("0 good pieces of 3: 227.35 mm") for line in written)
