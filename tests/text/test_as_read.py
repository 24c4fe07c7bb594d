"""Numbers of set points are printed as their scales are read."""

import pytest

from sim.session.opening import open_session
from sim.text.points import as_read, shown
from sim.words.speech import tell


@pytest.mark.parametrize(
    ("name", "there", "read"),
    [
        ("coolant.level_percent", 79.719, 80.0),
        ("coolant.concentration_percent", 7.005, 7.0),
        ("cutting_vise.pressure_bar", 41.6, 42.0),
        ("shuttle.stop_mm", 301.537, 301.54),
        ("band.relay_a", 6.3333, 6.3),
        ("head.mitre_deg", 22.5, 22.5),  # no scale rounds what an order asks for
    ],
)
def test_a_number_is_told_to_the_decimals_of_its_step(name, there, read):
    assert as_read(name, there) == pytest.approx(read, abs=1e-9)


def test_a_level_that_the_work_has_drawn_down_is_told_as_the_glass_shows_it():
    session = open_session("rail-posts")
    session.saw.set("coolant.level_percent", 79.719)

    assert tell(shown(session, "coolant.level_percent")) == "80"
