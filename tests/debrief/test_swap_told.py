"""A part exchanged on trial is a remedy in the debrief: needless, too early or fit, and never a look for nothing."""

import pytest

from sim.debrief.debrief import debrief
from sim.faults.spares import SPARES
from sim.pilot.careful import careful
from sim.session.hands.table import to_swap
from sim.session.opening import open_session

DRILL = "chosen-and-dry"  # the coil of Q3 is burnt through


@pytest.fixture(scope="module")
def found():
    session = open_session(DRILL, nonce="")
    for part in ("S71", "Q3"):
        with careful(session, to_swap(SPARES[part])):
            assert session.swap(part).taken
    session.diagnose("q3-coil-open")
    return debrief(session)


def test_a_spare_that_cured_before_the_cause_was_told_apart_is_too_early(found):
    [naming] = found.namings

    assert naming.right
    assert naming.premature
    assert naming.mended_us is not None
    assert naming.credit < 0.5


def test_every_part_that_was_used_is_a_step_and_one_for_nothing_has_its_price(found):
    steps = {str(step.message): step.cost_s for step in found.steps_taken}

    assert steps["Exchange S71 for a spare. Nothing was wrong with it."] == 1200
    assert "Exchange Q3 for a spare. Too early: others could still have been it." in steps


def test_a_part_that_was_sound_is_a_needless_remedy(found):
    [care] = [part for part in found.parts if part.key == "care"]

    assert str(care.reason).startswith("1 needless remedy")
    assert found.outcome != "passed"
