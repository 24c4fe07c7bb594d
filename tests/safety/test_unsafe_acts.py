"""Each unsafe act has its consequence, by the session's verbs, the terminal's reader and the window alike."""

import pytest

from tests.safety.playing import by_session, by_terminal, by_window
from tests.safety.rows import HAZARDS, LACKS, SOURCES, ZONES, Exposure, Refusal, Strike
from tests.safety.unsafe_acts import UNSAFE

WAYS = {"session": by_session, "terminal": by_terminal, "window": by_window}
STRIKES = [row for row in UNSAFE if isinstance(row.then, Strike)]
EXPOSURES = [row for row in UNSAFE if isinstance(row.then, Exposure)]
REFUSALS = [row for row in UNSAFE if isinstance(row.then, Refusal)]
_NEVER_UNSAFE = {"console", "outside"}


def _each(rows):
    return pytest.mark.parametrize("row", rows, ids=lambda row: row.name)


def _states():
    """Return one row for each state, saw and crew that exposures begin from."""
    first = {}
    for row in EXPOSURES:
        first.setdefault((row.state, row.saw, row.role, row.other_locks), row)
    return list(first.values())


both_ways = pytest.mark.parametrize("play", WAYS.values(), ids=WAYS)


@pytest.mark.sampled(12)
@both_ways
@_each(STRIKES)
def test_hands_that_a_hazard_reaches_are_struck_and_the_run_is_lost(row, play, tmp_path):
    came = play(row, tmp_path)

    assert came.strikes == [row.zone]
    assert came.session.over
    assert came.found.critical
    assert not came.found.passed
    assert came.found.score == 0


@pytest.mark.sampled(12)
@both_ways
@_each(EXPOSURES)
def test_hands_that_nothing_protects_are_counted_in_seconds_and_the_job_does_not_pass(
    row, play, tmp_path
):
    came = play(row, tmp_path, to_the_end=True)

    assert came.strikes == []
    assert came.exposures.get(row.zone, 0.0) >= row.then.seconds
    assert came.care[0] < came.care[1]
    assert came.session.saw.controller.job.state == "COMPLETE"
    assert not came.found.passed


@pytest.mark.parametrize("row", _states(), ids=lambda row: row.name)
def test_the_same_run_without_the_act_passes(row, tmp_path):
    came = by_session(row, tmp_path, acts=False, to_the_end=True)

    assert came.strikes == []
    assert came.exposures == {}
    assert came.found.critical == ()
    assert came.found.passed


@both_ways
@_each(REFUSALS)
def test_what_the_metal_does_not_allow_is_refused_and_the_saw_stays_as_it_was(row, play, tmp_path):
    came = play(row, tmp_path)

    assert came.refused
    assert came.strikes == []


# The table itself --------------------------------------------------------------------------


def test_every_row_says_by_what_rule_and_how_well_the_rule_is_known():
    assert len(UNSAFE) >= 60
    assert len({row.name for row in UNSAFE}) == len(UNSAFE)
    for row in UNSAFE:
        assert row.source in SOURCES, row.name
        assert row.clause, row.name
        assert row.why.endswith("."), row.name
        assert row.hazard in HAZARDS, row.name
        assert row.lacks in (*LACKS, ""), row.name


def test_every_zone_in_which_a_hand_can_be_hurt_has_its_row():
    assert {row.zone for row in UNSAFE} == set(ZONES) - _NEVER_UNSAFE


def test_every_kind_of_hazard_and_every_way_to_lack_a_lock_out_has_its_row():
    assert {row.hazard for row in UNSAFE} == set(HAZARDS)
    assert {row.lacks for row in UNSAFE} == {*LACKS, ""}


def test_what_the_act_itself_lets_loose_and_what_begins_later_strike():
    for row in UNSAFE:
        if row.hazard in ("let loose", "begins later"):
            assert isinstance(row.then, Strike), row.name
