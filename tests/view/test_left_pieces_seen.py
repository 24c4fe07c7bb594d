"""The operator's pieces in the window: as many as there are, and of each what somebody went to see."""

from sim.session.opening import open_session
from sim.view.picture.drawn import as_seen, how_many_lie, lying
from tests.view.test_free_sight import at_window, pixels

CROOKED = "ends-do-not-meet"
SHORT = "brackets-one-and-a-half-short"


def seen(session):
    return [as_seen(session, piece) for piece in lying(session)]


def test_they_are_drawn_and_the_picture_changes_when_one_is_measured():
    session, bare = open_session(SHORT), open_session(SHORT)
    bare.saw.left = tuple
    there = at_window(session)
    with_them, without = plan(there), plan(at_window(bare))
    session.inspect("caliper 6")
    measured = plan(there)

    assert how_many_lie(session) == 6
    assert len({with_them, without, measured}) == 3


def test_each_is_drawn_as_wanted_until_it_is_measured():
    session = open_session(SHORT)
    before = {each.length_m for each in seen(session)}
    session.inspect("caliper 2")
    after = [round(each.length_m, 4) for each in seen(session)]

    assert before == {session.order.piece_m}
    assert after == [0.15, 0.1485, 0.15, 0.15, 0.15, 0.15]


def test_a_face_that_leans_is_drawn_once_somebody_looked_there():
    session = open_session(CROOKED)
    before = [each.out_of_square for each in seen(session)]
    session.inspect("last-piece")
    after = [each.out_of_square > 0.0 for each in seen(session)]

    assert before == [0.0] * 4
    assert after == [False, False, False, True]


def test_the_sheet_of_looks_has_his_apart():
    session = open_session(SHORT)
    person = at_window(session)
    person.play.tab, person.play.changed = "inspect", True
    person.app.stage.frame()
    names = {widget.name for widget in person.app.stage.tree.walk()}
    session.inspect("caliper 2")
    person.play.changed = True
    person.app.stage.frame()
    then = {widget.name for widget in person.app.stage.tree.walk()}

    assert "piece.title" in names
    assert not any(name.startswith("piece.left") for name in names)
    assert {"piece.left.title", "piece.left.0"} <= then
    assert "piece.0" not in then


def plan(person):
    """Return what the plan view shows."""
    person.play.outlook.drawing = person.play.changed = True
    person.app.stage.frame()
    return pixels(person)["plan"]
