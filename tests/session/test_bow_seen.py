"""A bow and a burr as they are seen: by a straightedge at the bar, and by a look at the last piece."""

import pytest

from sim.authoring.search import put_right
from sim.pilot.autopilot import power_up, raise_head, whole_job
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.session.before.keys import hold_until
from sim.session.inspections import INSPECTIONS
from sim.session.opening import session_for
from sim.units import MM


def opened(job="posts", bow_mm_m=0.0, **changes):
    scenario = REFERENCE_JOBS[job].scenario()
    stock = scenario.stock.model_copy(update={"bow_mm_m": bow_mm_m, **changes})
    return session_for(scenario.model_copy(update={"stock": stock}), nonce="")


def seen(session, look):
    return str(INSPECTIONS[look].look(session.saw))


def test_a_straightedge_shows_how_far_a_bar_is_bowed():
    assert seen(opened(), "bar-straight").startswith("No light shows")
    assert seen(opened(bow_mm_m=0.05), "bar-straight").startswith("No light shows")
    assert "in the middle of 1000 mm it stands 6.0 mm off" in seen(
        opened(bow_mm_m=6.0), "bar-straight"
    )


def test_under_a_straightedge_a_short_bar_stands_off_less():
    # By the square of the chord: a quarter of 6 mm.
    assert "in the middle of 500 mm it stands 1.5 mm off" in seen(
        opened(bow_mm_m=6.0, length_mm=500.0), "bar-straight"
    )


def test_a_burr_is_seen_on_the_piece_of_a_worn_band_and_on_no_other():
    sharp, worn = opened(), opened()
    worn.saw.plant.blade.wear = 0.95
    worn.saw.plant.site.cut_changed()
    for session in (sharp, worn):
        assert "burr" not in seen(session, "last-piece")
        whole_job(session)

    assert "burr" not in seen(sharp, "last-piece")
    assert "A burr stands along its lower edge, 0.3 mm high." in seen(worn, "last-piece")


@pytest.mark.parametrize("bow_mm_m", [0.0, 6.0])
def test_the_two_edges_of_a_bowed_piece_are_read(bow_mm_m):
    session = opened(bow_mm_m=bow_mm_m)
    whole_job(session)
    said = str(session.inspect("caliper").message)

    assert ("along its shorter edge" in said) is (bow_mm_m > 0.0)


def test_a_bent_bar_is_replaced_as_any_bar_is_loaded():
    session = opened()
    plant = session.saw.plant
    plant.bar.bend(6.0 * MM)
    plant.bar.length_m = 1.5

    assert not session.put_right("bar-bent").taken  # the head lies on it
    power_up(session)
    raise_head(session)
    hold_until(session, "cutting_vise.clamp", lambda: plant.cutting_vise.clamped, 5.0)
    assert "A vise holds the old bar" in str(session.put_right("bar-bent").message)
    assert plant.bar.bow_m == 6.0 * MM
    put_right(session, "bar-bent")

    assert (plant.bar.bow_m, plant.bar.length_m) == (0.0, session.stock.length_m)
    assert not session.hands.exposures
