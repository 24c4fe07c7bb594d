"""What a vise must hold so that a pull at the end of its jaws does not move a bar: statics of rigid bodies.

Textbook statics, from memory: a body on dry friction can stand a load only where forces at its contacts, each within
its cone of friction, balance it. The least clamping at which there are such forces is found by linear programming
(scipy), with six equations of balance, and held to what is taken. Cones are taken as pyramids of eight sides inside them.
"""

from itertools import product
from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import linprog

from sim.trade.creep import SKEW_AT, creep_m, skew_at, slide_at
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.sections import Rectangle, Round, SquareTube
from sim.trade.wander import peak_pull_n
from sim.units import MM

TABLE = cut_table(
    Round(60 * MM), 300.0, 1e-3, CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 1.0, 1.0)
)
LENGTH_M, HOLDING_N = 0.12, 1000.0
SIDES = 8
X, Y, Z = np.eye(3)
# Width, height and whether it is round, mm: thick and thin, tall and flat; a round one touches along lines.
BARS = [(20, 20, False), (180, 30, False), (30, 180, False), (60, 60, True), (150, 150, True)]
FRICTION = (0.05, 0.15, 0.3)


def _cone(normal, friction, one, other):
    angles = np.linspace(0.0, 2.0 * pi, SIDES, endpoint=False)
    return [normal + friction * (cos(a) * one + sin(a) * other) for a in angles]


def _wrench(place, force):
    return np.concatenate([force, np.cross(place, force)])


def _least_holding(bar, friction, pull, at, thrust, places=4):
    """Return the least holding that stands a pull of 1, the friction of both jaws together.

    x runs along the bar and ends with the jaws at 0, y across from the solid jaw at 0 to the moving one below it, z up.

    Args:
        bar: Width and height, mm, and whether it is round.
        friction: Of jaws and bed.
        pull: Of the band, without unit.
        at: Where it acts: across from 0 at the solid jaw to 1, and up from 0 at the bed to 1.
        thrust: Of the band, down on the bed, by its pull.
        places: How many places of contact along the jaws.
    """
    width_m, height_m, is_round = bar[0] * MM, bar[1] * MM, bar[2]
    along = np.linspace(-LENGTH_M, 0.0, places)
    heights = [height_m / 2] if is_round else np.linspace(0.0, height_m, 3)
    across = [-width_m / 2] if is_round else np.linspace(-width_m, 0.0, 3)
    columns = []
    for x, z in product(along, heights):
        columns += [_wrench((x, 0.0, z), force) for force in _cone(-Y, friction, X, Z)]
    for x, y in product(along, across):
        columns += [_wrench((x, y, 0.0), force) for force in _cone(Z, friction, X, Y)]
    free, moving = len(columns), list(product(along, heights))
    for x, z in moving:
        columns += [_wrench((x, -width_m, z), force) for force in _cone(Y, friction, X, Z)]
    # The last unknown is the force of the moving jaw, which presses evenly: it has no other way to give.
    balance = np.zeros((6 + len(moving), len(columns) + 1))
    balance[:6, :-1] = np.array(columns).T
    for number in range(len(moving)):
        first = free + number * SIDES
        balance[6 + number, first : first + SIDES] = 1.0
        balance[6 + number, -1] = -1.0 / len(moving)
    place = (0.0, -width_m / 2 if is_round else -at[0] * width_m, at[1] * height_m)
    load = _wrench(place, np.array(pull)) + _wrench((0.0, place[1], 0.0), -thrust * Z)
    found = linprog(
        np.append(np.zeros(len(columns)), 1.0), A_eq=balance,
        b_eq=np.concatenate([-load, np.zeros(len(moving))]), bounds=(0.0, None), method="highs",
    )  # fmt: skip
    assert found.success
    return 2.0 * friction * float(found.fun)


def _worst(bars, frictions, mitres_deg, towards, thrusts):
    return max(
        _least_holding(
            bar, friction, (to_side * sin(radians(mitre)), toward * cos(radians(mitre)), 0.0), at, thrust
        )
        for bar, friction, mitre, toward, thrust in product(bars, frictions, mitres_deg, towards, thrusts)
        for to_side, at in product((1, -1) if mitre else (1,), ((0.0, 0.98), (1.0, 0.98), (1.0, 0.02)))
    )  # fmt: skip


def test_no_bar_asks_for_as_much_holding_as_is_taken() -> None:
    # Toward the solid jaw and away from it, square and mitred, with the whole thrust on the bed and with none
    worst = _worst(BARS, (0.05, 0.3), (0, 30, 60), (1, -1), (0.0, 1.0))

    assert worst == pytest.approx(1.6, abs=0.05)  # as it is said where the law stands
    assert worst < SKEW_AT


def test_a_flat_bar_that_is_pulled_square_against_the_solid_jaw_asks_for_none() -> None:
    flat = [bar for bar in BARS if not bar[2]]

    assert _worst(flat, FRICTION, (0,), (1,), (1.0,)) == pytest.approx(0.0, abs=1e-6)
    away = _worst(flat, (0.05, 0.15), (0,), (-1,), (0.0, 1.0))  # the jaws of the saws have 0.15
    assert away == pytest.approx(0.6, abs=0.05)
    assert away < skew_at(Rectangle(60 * MM, 60 * MM), 1.0) < SKEW_AT
    assert _worst(flat, FRICTION, (0,), (-1,), (0.0, 1.0)) < 1.15  # with jaws as dry as they come
    assert skew_at(Rectangle(60 * MM, 60 * MM), 1.01) == SKEW_AT  # a mitre


def _stands_n(places_m: np.ndarray, limits_n: np.ndarray) -> float:
    """Return the greatest pull at the end of the jaws that friction alone, along them, can balance, N."""
    arms_m = LENGTH_M / 2 - places_m  # from the pulled end
    balance = [np.append(np.ones_like(arms_m), -1.0), np.append(arms_m, 0.0)]
    found = linprog(
        np.append(np.zeros_like(arms_m), -1.0), A_eq=balance, b_eq=[0.0, 0.0],
        bounds=[*zip(-limits_n, limits_n, strict=True), (0.0, None)],
    )  # fmt: skip
    assert found.success
    return float(-found.fun)


def test_a_pull_that_lies_in_the_faces_would_ask_for_more() -> None:
    # DERIVED: turning about a point c from the pulled end, friction works back on c and forward on the rest:
    # c = l / sqrt 2. It is what would hold where nothing but friction bore the pull; here a jaw stands behind it.
    places_m = LENGTH_M * ((np.arange(2000) + 0.5) / 2000 - 0.5)
    friction_alone = HOLDING_N / _stands_n(places_m, np.full(2000, HOLDING_N / 2000))

    assert friction_alone == pytest.approx(1.0 + sqrt(2.0), rel=1e-3)
    assert friction_alone > SKEW_AT


@pytest.mark.parametrize(
    ("times", "name"),
    [
        (slide_at(Round(60 * MM), 1.0), 1.0), (skew_at(Round(60 * MM), 1.0), 2.0),
        (slide_at(SquareTube(60 * MM, 3 * MM), 1.0), 0.5), (skew_at(SquareTube(60 * MM, 3 * MM), 1.0), 1.0),
    ],
)  # fmt: skip
def test_a_bar_begins_to_creep_just_below_so_many_times_the_pull(times: float, name: float) -> None:
    # DERIVED: a bar slides as a whole where all its friction is less than the pull
    peak_n = name * peak_pull_n(TABLE)

    assert creep_m(TABLE, peak_n * 1.001, times, 0.02, 0.0, 60 * MM) == 0.0
    assert creep_m(TABLE, peak_n * 0.99, times, 0.02, 0.0, 60 * MM) > 0.0
