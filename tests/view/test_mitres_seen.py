"""What a mitre and a broken-off cut look like from above: ends at their angle, a corner gone, a slot in the bar."""

from math import radians, tan

import pygame
import pytest

from sim.plant.bar import Piece
from sim.session.opening import open_session
from sim.trade.mitre import square_end
from sim.units import MM
from sim.view.kit.pen import Pen
from tests.view.test_free_sight import at_window, pixels

WIDE_M = 60 * MM


def plan(session):
    """Return what the plan view shows."""
    person = at_window(session)
    person.play.outlook.drawing = True
    person.play.changed = True
    person.app.stage.frame()
    return pixels(person)["plan"]


@pytest.fixture
def shapes(monkeypatch):
    """Every polygon that is drawn, in the order in which it is."""
    drawn = []
    shape, polygon = Pen.shape, pygame.draw.polygon

    def told(pen, points, *colours):
        drawn.append([tuple(map(float, point)) for point in points])
        shape(pen, points, *colours)

    def drawing(surface, colour, points, width=0):
        drawn.append([tuple(map(float, point)) for point in points])
        return polygon(surface, colour, points, width)

    monkeypatch.setattr(Pen, "shape", told)
    monkeypatch.setattr(pygame.draw, "polygon", drawing)
    return drawn


def with_end(degrees):
    session = open_session("rail-posts")
    bar = session.saw.plant.bar
    end = square_end(WIDE_M, 1.0).cut(radians(degrees))
    bar.end = end.moved(-end.x_at_m(0.0))
    return session


@pytest.mark.parametrize("degrees", [30, 45, 60])
def test_the_end_of_the_bar_is_drawn_at_its_angle(shapes, degrees):
    plan(with_end(degrees))
    slants = [
        (points[2][0] - points[1][0]) / (points[2][1] - points[1][1])
        for points in shapes
        if len(points) == 4 and points[0][0] == points[3][0] and points[2][1] > points[1][1]
    ]

    assert any(slant == pytest.approx(tan(radians(degrees)), abs=0.05) for slant in slants)


def test_a_square_end_is_drawn_otherwise_than_a_mitred_one():
    assert plan(with_end(0)) != plan(with_end(45))


def test_an_old_kerf_past_the_band_is_drawn_at_its_place():
    bare, sawn = open_session("rail-posts"), open_session("rail-posts")
    bar = sawn.saw.plant.bar
    bar.saw_to(20 * MM, 1.5 * MM, 0.2 * MM, 1)
    for session in (bare, sawn):
        moved = session.saw.plant.bar
        moved.ride(lambda: 0.1)
        moved.lie()
    assert sawn.saw.plant.bar.kerf_depth_m == 0.0

    assert plan(bare) != plan(sawn)


PIECES = {
    "square": Piece(0, 0.2),
    "parallel": Piece(0, 0.2, front_rad=radians(45), rear_rad=radians(45)),
    "one end": Piece(0, 0.2, lost_m=WIDE_M, rear_rad=radians(45)),
    "corner": Piece(
        0, 0.2, lost_m=20 * MM, front_rad=radians(45), rear_rad=radians(45), corner_m=20 * MM
    ),
    "half sawn": Piece(0, 0.2, half_sawn=True),
}


def test_each_kind_of_piece_is_drawn_in_its_own_way():
    seen = set()
    for piece in PIECES.values():
        session = open_session("rail-posts")
        session.advance(10.0)
        session.saw.plant.bar.pieces.append(piece)
        seen.add(plan(session))

    assert len(seen) == len(PIECES)
