"""Which piece from which bar, against worked examples of the cutting-stock problem and an exhaustive count."""

from itertools import product

import pytest

from sim import extras
from sim.trade.cut_list import BarStock, cut_plan
from sim.trade.nesting import PiecesWanted, RackBar, first_fit_nesting, least_taken, nesting

# Winston, Operations Research, the example of the Woodco boards: 25 of 3 ft, 20 of 5 ft and 15 of 9 ft
# from boards of 17 ft take 19 boards (from memory). Here in hundredths of a foot.
WOODCO = (PiecesWanted("9 ft", 900, 15, 0), PiecesWanted("5 ft", 500, 20, 0), PiecesWanted("3 ft", 300, 25, 0))  # fmt: skip


def test_the_boards_of_the_text_book_are_nineteen():
    plan = nesting(WOODCO, [RackBar(f"b{number}", 1700) for number in range(19)], 0)

    assert extras.there(extras.SOLVER[0])
    assert plan.proved
    assert plan.taken == 19 * 1700
    assert _gives(plan) == {"9 ft": 15, "5 ft": 20, "3 ft": 25}


def test_the_bound_of_the_boards_is_theirs_too_and_first_fit_takes_more():
    rack = [RackBar(f"b{number}", 1700) for number in range(20)]

    assert least_taken(WOODCO, rack, 0) == 19 * 1700
    assert first_fit_nesting(WOODCO, rack, 0).taken > 19 * 1700


@pytest.mark.parametrize(
    ("wanted", "bar", "bars"),
    [
        # The paper machine of the article "Cutting stock problem" of Wikipedia: 13 widths from rolls of
        # 5600 mm, at least 73 rolls (from memory).
        ({1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
          2100: 14, 2140: 16, 2150: 18, 2200: 20}, 5600, 73),
        # Chvatal, Linear Programming (1983), chapter 13: rolls of 100 in, 453 of them (from memory).
        ({45: 97, 36: 610, 31: 395, 14: 211}, 100, 453),
    ],
)  # fmt: skip
def test_cut_lists_of_equal_bars_need_as_many_as_published(wanted, bar, bars):
    plan = cut_plan(wanted, BarStock(bar, 0))

    assert plan.proved
    assert len(plan.bars) == bars


# Derived: every way to share the pieces out is gone through.
@pytest.mark.parametrize(
    ("orders", "rack", "rest"),
    [
        ([("a", 300, 3, 20), ("b", 450, 2, 30)], [1600, 1250, 1250, 700], 100),
        ([("a", 500, 2, 0), ("b", 330, 3, 10)], [1000, 1000, 900, 520], 0),
        ([("a", 210, 4, 15), ("b", 640, 2, 15)], [2400, 1500, 900, 720], 60),
    ],
)
def test_bars_of_unequal_lengths_are_taken_as_an_exhaustive_search_takes_them(orders, rack, rest):
    wanted = [PiecesWanted(*each) for each in orders]
    bars = [RackBar(f"b{number}", length) for number, length in enumerate(rack)]

    plan = nesting(wanted, bars, rest)

    assert plan.solved
    assert plan.taken == _least_by_trying(wanted, rack, rest)
    assert plan.least >= least_taken(wanted, bars, rest) > 0
    assert first_fit_nesting(wanted, bars, rest).taken >= plan.taken
    assert _gives(plan) == {each.name: each.pieces for each in wanted}


def _gives(plan):
    given = {}
    for visit in plan.visits:
        given[visit.order] = given.get(visit.order, 0) + visit.pieces
    return given


def _least_by_trying(wanted, rack, rest):
    bars = range(len(rack))
    shares = [
        [
            each
            for each in product(range(order.pieces + 1), repeat=len(rack))
            if sum(each) == order.pieces
        ]
        for order in wanted
    ]
    best = None
    for shared in product(*shares):
        used = [
            sum(
                o.piece * n[b] + (o.trim if n[b] else 0)
                for o, n in zip(wanted, shared, strict=True)
            )
            for b in bars
        ]
        if all(used[b] + rest <= rack[b] for b in bars if used[b]):
            taken = sum(rack[b] for b in bars if used[b])
            best = taken if best is None else min(best, taken)
    return best
