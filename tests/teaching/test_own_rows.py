"""On a saw with interlock rows of its own nothing is claimed of what those rows keep."""

import pytest

from sim.control.row_file import FIRST_ROWS
from sim.debrief.debrief import debrief
from sim.pilot.autopilot import power_up
from sim.session.lockout import Lockout
from sim.session.opening import open_session
from sim.teaching.coach import Coach
from sim.teaching.slips import slip


@pytest.fixture
def saw_without(tmp_path):
    """Make the folder of a saw that lacks the rows in which some words stand, and return it."""

    def made(words):
        folder = tmp_path / "own"
        folder.mkdir()
        (folder / "sizes.yaml").write_text("title: Ours\n")
        rows = FIRST_ROWS.read_text("utf-8").splitlines(keepends=True)
        kept = [row for row in rows if words not in row]
        assert len(kept) < len(rows)
        (folder / "interlocks.yaml").write_text("".join(kept))
        return str(folder)

    return made


def test_where_the_row_is_gone_the_guard_is_not_said_to_keep_the_band_and_the_start_is_critical(
    saw_without,
):
    session = open_session("rail-posts", machine=saw_without("action: band.run, needs: {B41"))
    coach = Coach(session)
    power_up(session)
    session.hold("head.raise", 8)
    coach.remark()
    session.set("band.guard", "open")
    said = str(coach.remark())
    assert "B41 keeps" not in said
    assert "count on none" in said

    session.palms("band.run")
    session.advance(3)
    assert session.saw.plant.band.turning
    assert "band-set-going-uncovered" in {each.kind for each in session.saw.consequences}
    [critical] = map(str, debrief(session).critical)
    assert "set going with a guard or a cover open" in critical


def test_where_the_row_is_there_it_is_said_and_the_band_stays(saw_without):
    # Another row is gone, which has nothing to do with the guard.
    session = open_session("rail-posts", machine=saw_without("interlock: I19,"))
    coach = Coach(session)
    power_up(session)
    session.hold("head.raise", 8)
    coach.remark()
    session.set("band.guard", "open")
    assert "B41 keeps the band from starting" in str(coach.remark())

    session.palms("band.run")
    session.advance(3)
    assert not session.saw.plant.band.turning
    assert debrief(session).critical == ()


@pytest.mark.parametrize(
    ("device", "name", "value", "claim"),
    [
        ("B42", "band.wheel_cover", "open", "from starting"),
        ("B51", "band.tension_mpa", 100.0, "from starting"),
        ("B54", "band.tension_mpa", 320.0, "from starting"),
        ("B61", "supply.air_bar", 4.0, "the job holds"),
        ("B62", "supply.oil_percent", 5.0, "holds the job"),
    ],
)
def test_what_a_slip_claims_of_a_row_is_said_only_where_the_saw_has_it(
    saw_without, monkeypatch, device, name, value, claim
):
    monkeypatch.setattr(Lockout, "verified", True)  # without it the cover's slip is about that
    said = []
    for machine in ("", saw_without(f"{{{device}: ")):
        session = open_session("rail-posts", machine=machine)
        power_up(session)
        session.set(name, value)
        said.append(str(slip(session, name)))
    assert claim in said[0]
    assert said[1]
    assert claim not in said[1]


def test_what_a_mode_means_and_the_card_promise_nothing_of_rows_that_differ(saw_without):
    said = []
    for machine in ("", saw_without("needs: {B41: true}")):
        session = open_session("rail-posts", machine=machine)
        coach = Coach(session)
        power_up(session)
        session.turn("production")
        coach.remark()
        session.turn("manual")
        reasons = {line.name: str(line.reason) for line in session.card}
        said.append((str(coach.remark()), reasons["band.guard"], reasons["band.wheel_cover"]))
    (mode, guard, cover), (own_mode, own_guard, own_cover) = said
    assert "runs only guarded" in mode
    assert "runs only guarded" not in own_mode
    assert "neither band nor job starts" in guard
    assert own_guard == "Close it before band or job is started."
    assert own_cover == cover
