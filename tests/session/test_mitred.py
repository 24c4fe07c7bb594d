"""Mitred pieces through the session: stop by the rule, long and short points, trims, and what a first cut leaves."""

from itertools import pairwise
from math import cos, radians, tan

import pytest

from sim.pilot.autopilot import begin, power_up, run, set_up, whole_job
from sim.plant.bar import Bar
from sim.session.before.bring_out import SPARE_M, bring_out, wants_out_m
from sim.session.opening import read, session_for
from sim.teaching.slips.keys import before_pressed
from sim.trade.mitre import kerf_along_m, lean_m
from sim.units import MM

SIDE_M = 40 * MM  # of the bar of the lesson
KERF_M = 1.5 * MM
ANGLES = (0, 30, 45, 60)


def at(mitre_deg, *, front_mm=12.0, first="square", wanted=2):
    """The mitre lesson's bar as a plain job at an angle."""
    scenario, _ = read("13-mitre")
    stock = scenario.stock.model_copy(update={"front_mm": front_mm})
    job = scenario.job.model_copy(
        update={"mitre_deg": mitre_deg, "first": first, "wanted": wanted, "tolerance_mm": 0.2}
    )
    changes = {"job": job, "stock": stock, "found": {}, "mode": "drill", "steps": ()}
    return session_for(scenario.model_copy(update=changes), nonce="")


def ready(session):
    power_up(session)
    set_up(session)
    return session


def pieces(session):
    return [cut for cut in session.saw.cuts if not cut.squaring]


def harm(session):
    return [each.kind for each in session.saw.consequences]


def volume_m3(bar: Bar) -> float:
    """Metal of a bar whose section is alike at every place across: its length at the middle by its section."""
    points = bar.end.points
    area_m2 = sum(
        (far - near) * (bar.length_m + (one + other) / 2)
        for (near, one), (far, other) in pairwise(points)
    )
    return area_m2 * bar.height_m


# The rule of the length stop -------------------------------------------------------------------


@pytest.mark.parametrize("mitre_deg", ANGLES)
def test_the_length_stop_corrected_by_the_rule_gives_pieces_within_the_drawing(mitre_deg):
    session = at(mitre_deg)
    whole_job(session)
    stop_mm = next(line.setting for line in session.card if line.name == "shuttle.stop_mm")

    assert stop_mm == pytest.approx(300 + 1.5 / cos(radians(mitre_deg)), abs=0.006)
    assert session.tally.good == 2
    assert harm(session) == []
    for cut in pieces(session):
        assert cut.length_m == pytest.approx(0.3, abs=0.1 * MM)
        assert cut.short_m == pytest.approx(cut.length_m, abs=1e-9)
        assert (cut.front_rad, cut.rear_rad) == pytest.approx([radians(mitre_deg)] * 2)


@pytest.mark.parametrize(("mitre_deg", "short_mm"), [(30, 0.23), (45, 0.62), (60, 1.5)])
def test_a_stop_left_as_for_a_square_cut_gives_pieces_short_by_what_the_mitre_takes_more(
    mitre_deg, short_mm
):
    session = ready(at(mitre_deg))
    for past in (5.0, 0.0):
        session.set("shuttle.stop_mm", 301.5 + past)
    begin(session)
    run(session)

    assert session.tally.good == 0
    for cut in pieces(session):
        assert (0.3 - cut.length_m) / MM == pytest.approx(short_mm, abs=0.02)


# Long point, short point ------------------------------------------------------------------------


@pytest.mark.parametrize("mitre_deg", ANGLES)
def test_the_end_that_is_trimmed_off_is_as_long_at_its_points_as_the_angle_makes_it(mitre_deg):
    session = at(mitre_deg)
    whole_job(session)
    trim = session.saw.cuts[0]

    assert trim.squaring
    assert trim.lost_m == pytest.approx(min(lean_m(SIDE_M, radians(mitre_deg)), trim.length_m))


@pytest.mark.parametrize("mitre_deg", ANGLES[1:])
def test_a_straight_first_cut_on_a_square_front_gives_a_piece_with_ends_at_two_angles(mitre_deg):
    session = at(mitre_deg, front_mm=0.0, first="straight")
    whole_job(session)
    first, second = pieces(session)
    lean = SIDE_M * tan(radians(mitre_deg))

    assert first.length_m == pytest.approx(0.3, abs=0.1 * MM)
    assert first.lost_m == pytest.approx(lean)
    assert first.ends_differ
    assert not second.ends_differ
    assert harm(session) == ["ends-differ"]
    assert session.tally.good == 1


@pytest.mark.parametrize("mitre_deg", ANGLES[1:])
def test_a_straight_first_cut_on_a_mitred_front_is_long_by_its_lean(mitre_deg):
    session = at(mitre_deg)
    whole_job(session)
    job = session.scenario.job
    session.saw.plant.swing(0.0)
    session.scenario = session.scenario.model_copy(
        update={"job": job.model_copy(update={"first": "straight"})}
    )
    begin(session)
    run(session, 1)
    cut = session.saw.cuts[-1]
    lean = SIDE_M * tan(radians(mitre_deg))

    assert cut.ends_differ
    assert cut.lost_m == pytest.approx(lean)
    assert harm(session)[0] == "ends-differ"
    assert not session.tally.is_good(cut)


def test_a_tape_reads_both_edges_of_a_piece_with_ends_at_two_angles_and_one_of_a_parallel_one():
    session = at(45, front_mm=0.0, first="straight")
    whole_job(session)
    said = [str(session.inspect(f"tape {number}").message) for number in (1, 2)]

    assert "long point to long point" in said[0]
    assert "short" in said[0].split("wants")[1]
    assert "from the long point of one end to the short point of the other" in said[1]


# The trim ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("mitre_deg", ANGLES[1:])
def test_a_trim_that_stands_out_too_little_leaves_a_corner_and_the_first_piece_is_scrap(mitre_deg):
    lean_mm = 40 * tan(radians(mitre_deg))
    session = ready(at(mitre_deg, front_mm=lean_mm - 5))
    assert wants_out_m(session) == pytest.approx(5 * MM + SPARE_M)
    by_keys(session)
    run(session)
    trim, first, second = session.saw.cuts

    assert trim.corner_m == 0.0
    assert first.corner_m == pytest.approx(5 * MM)
    assert first.lost_m == pytest.approx(5 * MM)
    assert second.corner_m == 0.0
    assert harm(session) == ["corner-missing"]
    assert session.tally.good == 1


@pytest.mark.parametrize("mitre_deg", ANGLES)
def test_a_trim_that_stands_out_by_width_by_tangent_takes_the_whole_end(mitre_deg):
    lean_mm = 40 * tan(radians(mitre_deg))
    session = ready(at(mitre_deg, front_mm=lean_mm + 2.0))
    assert wants_out_m(session) == 0.0
    by_keys(session)
    run(session)

    assert harm(session) == []
    assert session.tally.good == 2


def by_keys(session):
    """Begin as a hand does that does not bring the end out."""
    session.turn("PRODUCTION")
    for key in ("job.reset", "coolant.with_band", "job.square"):
        session.tap(key)
    session.palms("job.start")


# Chips ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mitre_deg", [*ANGLES, 7, 52])
def test_what_is_missing_of_bar_and_piece_is_kerf_by_the_face_that_was_sawn(mitre_deg):
    session = ready(at(mitre_deg))
    begin(session)
    run(session, 1)
    bar = session.saw.plant.bar
    before_m3 = volume_m3(bar)
    run(session, 2)
    cut = pieces(session)[-1]
    piece_m3 = (cut.length_m + cut.short_m) / 2 * SIDE_M**2
    face_m2 = SIDE_M**2 / cos(radians(mitre_deg))

    assert before_m3 - volume_m3(bar) - piece_m3 == pytest.approx(KERF_M * face_m2, rel=1e-6)
    assert kerf_along_m(KERF_M, radians(mitre_deg)) * SIDE_M**2 == pytest.approx(KERF_M * face_m2)


@pytest.mark.parametrize(
    ("mitre_deg", "along", "more", "trim"),
    [(30, "1.73", "0.23", "23.1"), (45, "2.12", "0.62", "40.0"), (60, "3.00", "1.50", "69.3")],
)
def test_the_card_says_what_kerf_and_angle_want_of_stop_and_trim(mitre_deg, along, more, trim):
    # DERIVED, by hand: kerf 1.5, a bar 40 wide
    line = next(line for line in at(mitre_deg).card if line.name == "shuttle.stop_mm")

    assert f"takes {along} mm of it, {more} mm more than square" in str(line.reason)
    assert f"past the band by {trim} mm at least" in str(line.reason)


def test_the_coach_says_by_how_much_an_end_stands_out_too_little_before_the_job_is_started():
    session = ready(at(45, front_mm=30.0))
    session.turn("PRODUCTION")
    (said,) = before_pressed(session.saw, "job.start")
    assert "10.0 mm too little" in str(said)
    bring_out(session)
    session.turn("PRODUCTION")

    assert before_pressed(session.saw, "job.start") == ()


def test_the_coach_warns_of_a_kerf_that_another_band_sawed():
    session = ready(at(0))
    session.saw.plant.bar.saw_to(20 * MM, KERF_M, 0.2 * MM, session.saw.plant.blade.number)
    assert before_pressed(session.saw, "job.start") == ()
    session.saw.plant.blade.fit(6)
    (said,) = before_pressed(session.saw, "job.start")
    assert "would bind in it" in str(said)
    assert wants_out_m(session) > KERF_M
    whole_job(session)

    assert "bound-in-kerf" not in harm(session)
    assert session.tally.good == 2
