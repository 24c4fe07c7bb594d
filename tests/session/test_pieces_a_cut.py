"""Bars that are cut at once: pieces count as on the drawing, and the job's counter counts cuts and says so."""

import pytest

from sim.debrief.debrief import debrief
from sim.pilot.autopilot import whole_job
from sim.scenario.scenario import Scenario
from sim.session.opening import open_session, session_for
from sim.session.sights.describe import told
from sim.teaching.slips import slip
from sim.text.typed.console import play
from sim.trade.sections import Bundle, Square, bars_in


def a_bundle(**bundle):
    return session_for(Scenario.model_validate({
        "title": "drawn", "mode": "practice", "job": {"length_mm": 120.0, "wanted": 2, "first": "square"},
        "stock": {
            "material": "S235JR", "section": {"shape": "square", "side_mm": 20.0}, "bundle": bundle,
            "length_mm": 2000.0, "front_mm": 12.0,
        },
    }, strict=False))  # fmt: skip


@pytest.mark.parametrize(("bundle", "bars"), [({"count": 4}, 4), ({"count": 3, "rows": 2}, 6)])
def test_what_falls_and_the_debrief_count_pieces_and_the_counter_counts_cuts(bundle, bars):
    session = a_bundle(**bundle)
    assert whole_job(session).finished
    found, seen = debrief(session), told(session)

    assert session.pieces_a_cut == bars
    assert session.saw.controller.job.cut == 2
    assert (found.pieces, found.good) == (2 * bars, 2 * bars)
    assert f"{2 * bars} pieces" in str(seen["outfeed"])
    assert f"each gives {bars} pieces" in str(seen["job"])
    fell = [
        str(event.message) for event in session.heard.events if "fell, one" in str(event.message)
    ]
    assert fell == [f"{bars} pieces fell, one of each bar."] * 2
    assert f"{2 * bars} good of {2 * bars} wanted" in " ".join(
        str(each.reason) for each in found.parts
    )


def test_order_card_and_coach_say_how_many_fall_a_cut():
    written = []
    play(open_session("12-bundles"), ["card job.wanted"], written.append, interactive=False)
    text = " ".join(" ".join(written).split())

    assert "The order: 8 pieces of 300 mm" in text
    assert "4 bars are cut at once, so that is 2 cuts." in text
    assert "4 bars, S235JR, together 80 mm wide" in text
    assert "job.wanted: set to 2" in text
    assert "each gives 4 pieces, and the order asks for 8" in text

    session = a_bundle(count=4)
    session.saw.set("job.wanted", 8)

    assert str(slip(session, "job.wanted")) == (
        "the order's 8 pieces take 2 cuts of 4 bars, and the job is set to 8"
    )


def test_of_a_single_bar_nothing_of_it_is_said():
    written = []
    play(open_session("rail-posts"), ["look"], written.append, interactive=False)
    text = "\n".join(written)

    assert "The order: 24 pieces" in text
    assert "at once" not in text
    assert "count cuts" not in text
    assert bars_in(Square(0.02)) == 1
    assert bars_in(Bundle(Square(0.02), 3, 2)) == 6
