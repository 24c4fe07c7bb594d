"""No safe way costs care or counts as exposure, by the session's verbs, the terminal's reader and the window alike."""

import pytest

from tests.safety.playing import by_session, by_terminal, by_window
from tests.safety.rows import SOURCES
from tests.safety.safe_ways import SAFE
from tests.safety.unsafe_acts import UNSAFE

WAYS = {"session": by_session, "terminal": by_terminal, "window": by_window}


@pytest.mark.sampled(9)
@pytest.mark.parametrize("play", WAYS.values(), ids=WAYS)
@pytest.mark.parametrize("row", SAFE, ids=lambda row: row.name)
def test_a_safe_way_costs_nothing_and_the_job_passes(row, play, tmp_path):
    came = play(row, tmp_path, to_the_end=True)

    assert came.strikes == []
    assert came.exposures == {}
    assert came.found.critical == ()
    assert came.care[0] == came.care[1]
    assert came.found.passed


@pytest.mark.sampled(3)
@pytest.mark.parametrize("row", SAFE, ids=lambda row: row.name)
def test_a_safe_way_is_taken_and_not_refused(row, tmp_path):
    came = by_session(row, tmp_path)
    done = came.session.done.all

    assert done[-1].answer is None or done[-1].answer.taken


def test_the_table_is_long_enough_and_says_its_sources():
    assert len(SAFE) >= 30
    assert len({row.name for row in (*SAFE, *UNSAFE)}) == len(SAFE) + len(UNSAFE)
    assert all(row.source in SOURCES and row.why.endswith(".") for row in SAFE)
