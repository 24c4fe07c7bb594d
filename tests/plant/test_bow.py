"""A bowed bar on the saw: what comes out, and that a straight bar has nothing of it."""

from dataclasses import replace

import pytest

from sim.pilot.autopilot import whole_job
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.scenario.scenario import Scenario
from sim.session.opening import session_for
from sim.trade.bow import (
    SQUARE_M,
    curvature_1_m,
    edges_differ_m,
    face_lean_rad,
    lean_at_jaws_rad,
    sideways_m4,
)
from sim.units import MM


def ran(job="posts", bow_mm_m=0.0):
    """Return a session after a whole job, its bar bowed by so much in any metre."""
    scenario = REFERENCE_JOBS[job].scenario()
    stock = scenario.stock.model_copy(update={"bow_mm_m": bow_mm_m})
    session = session_for(scenario.model_copy(update={"stock": stock}), nonce="")
    whole_job(session)
    return session


def pieces(session):
    return [cut for cut in session.saw.cuts if cut.is_piece]


def test_a_straight_bar_has_nothing_of_a_bow():
    session = ran()

    assert {cut.lost_m for cut in pieces(session)} == {0.0}
    assert "bowed" not in session.saw.state()
    assert session.saw.consequences == []


@pytest.mark.parametrize("job", ["posts", "stringers"])
def test_a_bowed_bar_gives_what_the_laws_of_the_trade_say(job):
    bow_mm_m = 6.0
    straight, bowed = (pieces(ran(job, by))[-1] for by in (0.0, bow_mm_m))
    session = ran(job, bow_mm_m)
    plant, order = session.saw.plant, session.order
    stock, machine = plant.bar.stock, plant.site.machine
    curvature = curvature_1_m(bow_mm_m * MM)
    differ_m = edges_differ_m(curvature, order.piece_m, stock.section.width_m)
    leans = face_lean_rad(
        lean_at_jaws_rad(
            curvature, machine.cutting_jaw_m,
            stock.material.young_pa * sideways_m4(stock.section), force_of(session),
        ),
        curvature, order.piece_m,
    )  # fmt: skip

    assert bowed.lost_m == pytest.approx(differ_m, rel=1e-3)
    assert bowed.length_m - straight.length_m == pytest.approx(differ_m / 2, rel=0.01)
    # It comes on top of what the band wanders, at right angles to it.
    assert bowed.out_of_square**2 - straight.out_of_square**2 == pytest.approx(leans**2, rel=0.01)


def force_of(session):
    """What the cutting vise presses with when it is clamped, N."""
    machine, vise = session.saw.plant.site.machine, session.saw.plant.cutting_vise
    return vise.set_pressure_pa * machine.piston_m2 * machine.jaw_efficiency


def test_a_slender_bar_is_pressed_nearer_to_straight_by_a_harder_grip():
    session = ran("rails", 6.0)
    bar, jaw_m = session.saw.plant.bar, session.machine.cutting_jaw_m
    turned = (
        curvature_1_m(bar.bow_m) * min(max(bar.front_m - session.machine.kerf_m, 0.0), SQUARE_M) / 2
    )

    assert bar.leans_rad(2e4, jaw_m) < bar.leans_rad(1e4, jaw_m) < bar.leans_rad(0.0, jaw_m)
    assert bar.leans_rad(1e9, jaw_m) == pytest.approx(turned, abs=1e-5)


def test_the_state_of_the_saw_tells_a_bow():
    session = ran(bow_mm_m=3.0)

    assert session.saw.state()["bowed"] == pytest.approx(3.0 * MM)


def test_a_fresh_bar_is_as_straight_as_the_stock_it_comes_from():
    session = ran()
    bar = session.saw.plant.bar
    bar.bend(5.0 * MM)
    bar.load(replace(bar.stock, bow_m=1.0 * MM))

    assert bar.bow_m == 1.0 * MM


@pytest.mark.parametrize(("given", "said"), [
    ({"bow_mm_m": 11}, "bow_mm_m"),
    ({"bow_mm_m": -1}, "bow_mm_m"),
])  # fmt: skip
def test_an_impossible_bow_is_refused(given, said):
    scenario = REFERENCE_JOBS["posts"].scenario().model_dump(mode="json")
    scenario["stock"] |= given
    with pytest.raises(ValueError, match=said):
        Scenario.model_validate(scenario)
