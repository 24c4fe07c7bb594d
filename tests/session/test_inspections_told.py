"""What inspections say is a value: equal where it reads alike, with its numbers as they are read."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import power_up
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.scenario.scenario import HiddenFault
from sim.session.inspections import INSPECTIONS
from sim.session.opening import session_for
from sim.words.message import Message


def at_rest_and_powered(name):
    """Yield one session as it is found and one powered up, on each job that the fault can be on."""
    for job in ("posts", "rails"):
        scenario = REFERENCE_JOBS[job].scenario()
        faults = (HiddenFault(name=name),) if name else ()
        for power in (False, True):
            session = session_for(scenario.model_copy(update={"faults": faults}), nonce="")
            if power:
                power_up(session)
            yield session


@pytest.mark.slow
def test_findings_are_equal_exactly_where_they_read_alike():
    """The dependency matrix groups by findings as readers tell them apart: by what is written."""
    for inspection in INSPECTIONS.values():
        found: dict[str, Message] = {}
        said: dict[Message, str] = {}
        for fault in ("", *list(CATALOGUE)[::4]):
            for session in at_rest_and_powered(fault):
                message = inspection.look(session.saw)
                text = str(message)
                assert found.setdefault(text, message) == message, inspection.name
                assert said.setdefault(message, text) == text, inspection.name


def test_a_finding_holds_its_numbers_as_they_are_read():
    session = next(at_rest_and_powered("stop-from-below"))
    shuttle = session.saw.plant.shuttle
    play = INSPECTIONS["stop-play"].look(session.saw)

    assert play["play"] == pytest.approx(shuttle.reading_m - shuttle.stop_m, abs=5e-6)
    assert play["play"] == round(play["play"] / 1e-3, 2) * 1e-3
    assert f"{play['play'] / 1e-3:.2f} mm" in str(play)
