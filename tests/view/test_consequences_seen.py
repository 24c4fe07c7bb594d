"""What a wrong set-up did can be seen: a dented tube, stripped teeth, a face out of square, a mitre."""

import pytest

from sim.pilot import autopilot
from sim.view.kit.scale import two_views
from sim.view.picture.head_picture import _edge, tilt_of

from .conftest import person_at


def _written(person):
    """Return every text on the page with its place."""
    stage = person.app.stage
    said = []
    person.play.aftermath.end()  # what would have happened is shown in the round, and is over
    person.play.refresh()
    stage.kit.letters.watcher = lambda drawn, _surface: said.append(drawn)
    stage.resize(stage.surface, stage.kit)
    stage.frame()
    stage.kit.letters.watcher = None
    return said


def _thin_wall(**settings):
    person = person_at((1600, 900), scenario="11-thin-wall")
    session = person.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    for name, setting in settings.items():
        session.saw.set(name.replace("__", "."), setting)
    person.play.go("console")
    person.play.outlook.drawing = person.play.paused = True
    autopilot.begin(session)
    return person


@pytest.fixture(scope="module")
def dented():
    person = _thin_wall(cutting_vise__pressure_bar=60.0, shuttle_vise__pressure_bar=60.0)
    autopilot.run(person.session, 2)
    person.session.advance(3)
    return person


def test_a_dented_tube_says_so_and_how_long_it_is_once_it_is_measured(dented):
    assert not any("400.00 mm" in drawn.text for drawn in _written(dented))
    dented.session.tap("job.stop")
    dented.session.advance(60)
    dented.session.inspect("last-piece")  # so small a dent takes a look
    dented.session.inspect("beam-caliper")
    tags = [drawn for drawn in _written(dented) if "mm  dented" in drawn.text]
    assert tags
    assert all("read 400.00 mm" in drawn.text for drawn in tags)
    assert len(tags) == 1


def test_stripped_teeth_are_gone_where_the_bar_was_and_a_skewed_face_is_told():
    # On fine teeth the load is spread: it takes a band for a solid bar to strip on a thin wall.
    person = _thin_wall(
        head__feed_force_n=900.0, head__feed_valve_mm_min=250.0, band__teeth_per_inch=4.0
    )
    person.session.advance(60)
    kinds = {consequence.kind for consequence in person.session.saw.consequences}
    assert {"teeth-stripped", "cut-out-of-square"} <= kinds
    assert any(drawn.text.startswith("leans") for drawn in _written(person))
    area = person.app.surface.get_rect()
    tilt = tilt_of(two_views(area, area)[1], person.session)
    whole, gone = (len(_edge(tilt, 0.13, 0.8, False, stripped)) for stripped in (False, True))
    assert gone < whole
