"""How well the inspections find and tell apart the faults of the catalogue."""

import pytest

from sim.authoring.catalogue_check import JobTestability, judged, on_job
from sim.faults.catalogue import CATALOGUE
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.words.message import NOTHING

LEAST_ISOLATED = 0.95


@pytest.mark.sampled(8)
@pytest.mark.parametrize("job", REFERENCE_JOBS)
def test_every_fault_is_detected_and_hardly_any_looks_like_another(job):
    found, seen = on_job(job)

    assert found.undetected == ()
    assert found.detected == 1.0
    assert found.isolated >= LEAST_ISOLATED, found.groups
    assert len(seen) == found.faults > 0.9 * len(CATALOGUE)


def _job(*groups):
    return JobTestability("a", NOTHING, 4, 3, 1.0, 0.5, (), groups)


def test_a_fault_is_isolated_only_if_no_job_shows_another_that_looks_the_same():
    names = sorted(CATALOGUE)[:4]
    pair = (names[0], names[1])
    found = judged([_job(), _job(pair)], [frozenset(names), frozenset(pair)])

    assert (found.detected, found.isolated) == (4, 2)
    assert found.fraction_isolated == 0.5
    assert found.fraction_detected == 4 / len(CATALOGUE)
