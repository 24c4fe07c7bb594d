"""Random cut lists: no metal is lost or made, and nothing takes less bar than the best plan or the bound."""

from random import Random

import pytest

from sim import extras
from sim.trade.nesting import PiecesWanted, RackBar, first_fit_nesting, least_taken, nesting

REST = 12_000  # hundredths of a millimetre


def cut_list(seed):
    """Return orders and a rack that has room for them, lengths in hundredths of a millimetre."""
    chance = Random(seed)
    orders = [
        PiecesWanted(
            f"o{number}", chance.randrange(8_000, 90_000), chance.randrange(1, 7), chance.randrange(1_000, 9_000)
        )
        for number in range(chance.randrange(1, 4))
    ]  # fmt: skip
    rack = [
        RackBar(f"b{number}", chance.choice((150_000, 300_000, 420_000, 600_000)))
        for number in range(chance.randrange(4, 9))
    ]
    return orders, rack


def as_it_comes(orders, rack, chance):
    """Return the bars that somebody brings who takes for each piece any bar with room; None where none has."""
    free = {bar.name: bar.length - REST for bar in rack}
    for order in orders:
        brought = set()
        for _ in range(order.pieces):
            able = [
                bar
                for bar in free
                if free[bar] >= order.piece + (0 if bar in brought else order.trim)
            ]
            if not able:
                return None
            bar = chance.choice(able)
            free[bar] -= order.piece + (0 if bar in brought else order.trim)
            brought.add(bar)
    return sum(bar.length for bar in rack if free[bar.name] < bar.length - REST)


@pytest.mark.parametrize("seed", range(60))
def test_the_best_plan_lies_between_the_bound_and_whatever_else_is_done(seed):
    orders, rack = cut_list(seed)
    plain, best = first_fit_nesting(orders, rack, REST), nesting(orders, rack, REST)

    assert extras.there(extras.SOLVER[0])
    assert least_taken(orders, rack, REST) <= best.taken or best.missing
    if not plain.missing:
        assert not best.missing
        assert best.taken <= plain.taken
    for other in range(5):
        taken = as_it_comes(orders, rack, Random(f"{seed}/{other}"))
        if taken is not None:
            assert not best.missing
            assert best.taken <= taken


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("plan", [first_fit_nesting, nesting])
def test_pieces_trims_and_what_is_left_are_the_bars_that_were_taken(seed, plan):
    orders, rack = cut_list(seed)
    found = plan(orders, rack, REST)
    of = {order.name: order for order in orders}
    left = {bar.name: bar.length for bar in rack}
    given = dict.fromkeys(of, 0)
    for visit in found.visits:
        left[visit.bar] -= of[visit.order].piece * visit.pieces + of[visit.order].trim
        given[visit.order] += visit.pieces

    used = sum(of[v.order].piece * v.pieces + of[v.order].trim for v in found.visits)
    brought = {visit.bar for visit in found.visits}
    assert used + sum(left[bar] for bar in brought) == found.taken
    assert all(left[bar] >= REST for bar in brought)
    assert {o.name: o.pieces - given[o.name] for o in orders if given[o.name] < o.pieces} == dict(
        found.missing
    )
