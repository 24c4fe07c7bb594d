"""A reading says by how much it is off and which way a face gapes, and counts by that, not by a word.

What chance adds to a piece is the same in each reading of it (by statics of errors, no source wanted); a bar that
hangs at its rear is short above by geometry: its own axis rises to the front, and the cut is plumb.
"""

from math import exp

import pytest

from sim.debrief.evidence import evidence
from sim.pilot.autopilot import as_found
from sim.saw import Cut
from sim.session.inspections.pieces import Gape, gapes, ways_of
from sim.session.kept.origin import Origin
from sim.session.opening import read, session_for
from sim.trade.measuring import BY_NAME, Ruling, likelihood

MM = 1e-3
CALIPER = BY_NAME["caliper"]


def session_on(name="posts-come-out-short", **job):
    scenario, _ = read(name)
    scenario = scenario.model_copy(update={"job": scenario.job.model_copy(update=job)})
    session = session_for(scenario, origin=Origin(seed=7))
    as_found(session, 1)
    session.tap("job.hold")
    session.advance(60)
    return session


def test_a_short_piece_is_told_by_how_much_to_what_the_caliper_is_sure_of():
    session = session_on()
    said = str(session.inspect("caliper").message)
    reading = session.measuring.readings[-1]

    assert reading.verdict is Ruling.SHORT
    assert f"short by {-reading.off_m / MM:.2f} mm, sure to 0.02 mm" in said


def test_a_reading_near_a_limit_says_where_it_stands():
    session = session_on(tolerance_mm=0.16)
    said = str(session.inspect("caliper").message)

    assert session.measuring.readings[-1].verdict is Ruling.OPEN
    assert f"undecided at {session.measuring.readings[-1].off_m / MM:.2f} mm" in said


def test_a_tape_says_no_more_than_half_millimetres():
    session = session_on("loose-at-both-ends")
    said = str(session.inspect("tape").message)
    off_mm = abs(session.measuring.readings[-1].off_m) / MM

    assert f"by {off_mm:.1f} mm, sure to 0.49 mm" in said or f"at -{off_mm:.1f} mm" in said


# ---- what counts


def test_two_causes_that_are_short_by_different_amounts_are_told_apart_by_one_reading():
    near = likelihood(-0.43 * MM, -0.40 * MM, CALIPER, 0.03 * MM)
    far = likelihood(-0.43 * MM, -1.20 * MM, CALIPER, 0.03 * MM)

    assert near == pytest.approx(exp(-0.5 * 0.03**2 / (0.012**2 + 0.01**2 / 12 + 0.03**2)))
    assert far < 1e-9


def test_a_piece_that_is_read_again_tells_nothing_more_of_what_chance_added_to_it():
    once = likelihood(0.06 * MM, 0.0, CALIPER, 0.03 * MM)
    again = likelihood(0.06 * MM, 0.0, CALIPER, 0.03 * MM, [(0.06 * MM, CALIPER)] * 4)

    assert once < 0.2
    assert again > 0.9


def shares(session):
    found = evidence(session)
    held = dict(zip(found.causes, found.steps[-1].shares, strict=True))
    return {cause: share for cause, share in held.items() if share > 1e-6}


def test_a_tenth_and_a_half_that_is_short_is_no_kerf_that_was_forgotten():
    session = session_on()
    session.inspect("caliper")

    assert session.measuring.readings[-1].off_m == pytest.approx(-0.16 * MM)
    assert set(shares(session)) == {"stop-from-below"}  # a kerf forgotten is 1.5 mm


def test_a_face_that_gapes_across_was_not_left_by_a_band_that_wandered():
    session = session_on("ends-do-not-meet")
    said = str(session.inspect("feeler").message)
    held = shares(session)

    assert "It gapes across the face" in said
    assert "index-plunger-out" in held
    assert "clamp-lever-open" in held  # how wide it gapes tells nothing
    assert not {"guides-worn", "guide-arm-far"} & set(held)


# ---- which way a face gapes


def cut(down_mm, across_mm, *, top=False):
    return Cut(
        0, 0.2, squaring=False, counted=True, out_of_square=0.01,
        gap_down_m=down_mm * MM, gap_across_m=across_mm * MM,
        gapes_at_top=top,
    )  # fmt: skip


def test_a_gap_is_told_down_across_or_both_and_at_an_edge_only_where_the_saw_leaves_no_doubt():
    assert ways_of(cut(0.6, 0.1)) == {Gape.DOWN}
    assert ways_of(cut(0.1, 0.6)) == {Gape.ACROSS}
    assert ways_of(cut(0.5, 0.4)) == {Gape.DOWN, Gape.ACROSS}
    assert "between top and bottom" in str(gapes(cut(0.6, 0.1)))
    assert "at the top" in str(gapes(cut(0.6, 0.1, top=True)))
    assert "between its two sides" in str(gapes(cut(0.1, 0.6, top=True)))
    assert not str(gapes(cut(0.0, 0.0)))


def test_a_short_bar_that_hangs_leaves_a_face_that_gapes_at_the_top():
    session = session_for(read("rail-posts")[0], origin=Origin(seed=7))
    as_found(session, 1)
    supports = session.saw.plant.supports
    type(supports).tilt_rad, kept = property(lambda _self: 0.004), type(supports).tilt_rad
    try:
        as_found(session, 2)
    finally:
        type(supports).tilt_rad = kept
    first, last = session.saw.cuts[-2:]

    assert not first.gapes_at_top
    assert last.gapes_at_top
    assert "at the top" in str(gapes(last))
