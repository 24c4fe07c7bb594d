"""Cut lists against an independent solver and against an exhaustive count."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from sim import extras
from sim.errors import DrycycleError
from sim.trade.cut_list import BY_LENGTH, BY_LONG_PIECES, NO_SOLVER, BarStock, cut_plan, least_bars


def bars_by_scipy(order: dict[int, int], stock: BarStock, most: int) -> int:
    """Least bars by the assignment model, another formulation, in scipy's solver."""
    lengths = list(order)
    n = len(lengths)
    # Variables: y_b (bar used), x_{b,i} (pieces of length i on bar b).
    c = np.concatenate([np.ones(most), np.zeros(most * n)])
    rows, low, high = [], [], []
    for b in range(most):
        row = np.zeros(len(c))
        row[b] = -stock.room
        for i, length in enumerate(lengths):
            row[most + b * n + i] = length + stock.kerf
        rows.append(row)
        low.append(-np.inf)
        high.append(0)
    for i, length in enumerate(lengths):
        row = np.zeros(len(c))
        row[[most + b * n + i for b in range(most)]] = 1
        rows.append(row)
        low.append(order[length])
        high.append(np.inf)
    for b in range(most - 1):
        row = np.zeros(len(c))
        row[b], row[b + 1] = 1, -1
        rows.append(row)
        low.append(0)
        high.append(np.inf)
    upper = np.concatenate([np.ones(most), np.full(most * n, 50)])
    done = milp(
        c, constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.ones(len(c)), bounds=Bounds(0, upper),
    )  # fmt: skip
    assert done.success
    return round(done.fun)


# Derived; scipy.optimize.milp (HiGHS through another formulation) as independent reference.
@pytest.mark.parametrize(
    ("order", "stock"),
    [
        ({4000: 3, 3000: 3, 2000: 2}, BarStock(10_000, 0)),
        ({5100: 2, 2700: 3, 2300: 3, 1900: 4}, BarStock(10_000, 0)),
        ({4850: 4, 3200: 5, 1450: 6}, BarStock(12_000, 150, squaring=500, remnant=600)),
    ],
)
def test_the_plan_needs_as_few_bars_as_an_independent_model_finds(order, stock):
    plan = cut_plan(order, stock)

    assert plan.proved
    assert len(plan.bars) == bars_by_scipy(order, stock, plan.first_fit)


def test_first_fit_needs_eleven_bars_where_nine_do_on_the_classic_worst_case():
    # Johnson's worst case for first fit decreasing, 11/9 of the optimum (1973, from memory).
    order = {5100: 6, 2700: 6, 2600: 6, 2300: 12}

    plan = cut_plan(order, BarStock(10_000, 0))

    assert plan.first_fit == 11
    assert len(plan.bars) == 9
    assert plan.proved


@settings(max_examples=40)
@given(
    order=st.dictionaries(st.integers(100, 900), st.integers(1, 3), min_size=1, max_size=3),
    kerf=st.integers(0, 20),
    remnant=st.sampled_from([0, 50]),
)
def test_a_plan_gives_the_whole_order_and_never_more_than_a_bar_holds(order, kerf, remnant):
    stock = BarStock(1000, kerf, remnant=remnant)
    if max(order) + (kerf + remnant if remnant else 0) > 1000:
        with pytest.raises(DrycycleError):
            cut_plan(order, stock)
        return

    plan = cut_plan(order, stock)

    given_out = {length: sum(bar.get(length, 0) for bar in plan.bars) for length in order}
    assert given_out == order
    for bar in plan.bars:
        assert sum((length + kerf) * n for length, n in bar.items()) <= stock.room
    fewest = _exhaustive(order, stock)
    assert len(plan.bars) == fewest
    assert least_bars(order, stock) <= fewest


# Derived by hand: three pieces of 60 in bars of 100 lie alone, and the two of 45 do not fit beside
# them, since 60 + 45 > 100; by length alone three bars would do.
def test_the_bound_counts_pieces_that_cannot_lie_together():
    assert least_bars({60: 3, 45: 2}, BarStock(100, 0)) == 4


def test_without_the_solver_the_first_fit_stands_beside_its_bound(monkeypatch):
    monkeypatch.setattr(extras, "there", lambda _library: False)
    order = {5100: 6, 2700: 6, 2600: 6, 2300: 12}

    plan = cut_plan(order, BarStock(10_000, 0))

    assert (len(plan.bars), plan.least, plan.proved, plan.solver) == (11, 9, False, False)
    assert (plan.bound, plan.greedy) == (BY_LENGTH, NO_SOLVER)


def test_a_plan_that_meets_its_bound_is_proved_without_the_solver(monkeypatch):
    monkeypatch.setattr(extras, "there", lambda _library: False)

    plan = cut_plan({60: 3, 15: 1}, BarStock(100, 0))

    assert (len(plan.bars), plan.proved, plan.said) == (3, True, BY_LONG_PIECES)


def _exhaustive(order: dict[int, int], stock: BarStock) -> int:
    """Least bars by trying every way to fill one bar after the other."""
    lengths = tuple(order)
    start = tuple(order.values())
    fits = [
        row
        for row in product(*(range(n + 1) for n in start))
        if any(row)
        and sum((length + stock.kerf) * n for length, n in zip(lengths, row, strict=True))
        <= stock.room
    ]
    front, bars = {start}, 0
    while not any(sum(left) == 0 for left in front):
        bars += 1
        front = {
            tuple(left - taken for left, taken in zip(lefts, row, strict=True))
            for lefts in front
            for row in fits
            if all(taken <= left for left, taken in zip(lefts, row, strict=True))
        }
    return bars


def test_a_piece_longer_than_the_bar_is_refused_in_words():
    with pytest.raises(DrycycleError, match="does not come out of a bar"):
        cut_plan({1200: 1}, BarStock(1000, 10))
