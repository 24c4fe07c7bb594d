"""The best order of looks where causes are not alike in likelihood, nor looks in price.

Two published examples. "Bad wine": Cover and Thomas, Elements of Information Theory, a problem of the
chapter on data compression; one of six bottles is bad. MEMORY: the probabilities and both answers are
recalled, the book was not at hand; both follow by hand. One look for each part: Black 1965, Discrete
sequential search, Information and Control 8; the best order is that of falling probability by price.
MEMORY: the rule is recalled. Its figures here are made up, and worked out by hand.
"""

from itertools import combinations, permutations
from math import fsum

import pytest

from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.par import par
from sim.diagnosis.tree import path

WINE = (8.0, 6.0, 4.0, 2.0, 2.0, 1.0)  # 23rds


def tasted(*mixtures: tuple[int, ...]) -> Matrix:
    """The bottles, and a taste of each mixture of some: it is bad if the bad one is in it."""
    causes = tuple(
        Cause((f"bottle-{i}",), weight, tuple("bad" if i in each else "good" for each in mixtures))
        for i, weight in enumerate(WINE)
    )
    return Matrix(causes, tuple(Probe(f"taste {each}", 1.0) for each in mixtures))


def test_bottles_tasted_one_by_one_take_55_23rds_tastings_the_likeliest_first() -> None:
    best = par(tasted(*((i,) for i in range(6))))

    assert best.exact
    # 1 x 8 + 2 x 6 + 3 x 4 + 4 x 2 + 5 x 2 + 5 x 1
    assert best.expected_s == pytest.approx(55 / 23, abs=1e-12)
    assert best.tree.inspection == "taste (0,)"


def test_bottles_tasted_in_mixtures_take_54_23rds_tastings_and_the_first_is_mixed() -> None:
    mixtures = [each for size in (1, 2, 3) for each in combinations(range(6), size)]
    best = par(tasted(*mixtures))

    assert best.exact
    # The sums of the code of Huffman are 3, 5, 9, 14 and 23.
    assert best.expected_s == pytest.approx(54 / 23, abs=1e-12)
    first = next(look for look in mixtures if f"taste {look}" == best.tree.inspection)
    assert len(first) > 1


PARTS = {"a": (0.30, 30.0), "b": (0.15, 5.0), "c": (0.10, 20.0), "d": (0.05, 2.0)}
"""By part: how likely it is to be the faulty one, and what the look at it costs, s."""


def looked_at(parts: dict[str, tuple[float, float]]) -> Matrix:
    """Parts that each have a look of their own, and the machine on which nothing is wrong."""
    sound = Cause((), 1.0 - fsum(p for p, _ in parts.values()), ("right",) * len(parts))
    faulty = (
        Cause((name,), p, tuple("wrong" if each == name else "right" for each in parts))
        for name, (p, _) in parts.items()
    )
    return Matrix(
        (sound, *faulty), tuple(Probe(name, price_s) for name, (_, price_s) in parts.items())
    )


def test_parts_are_looked_at_by_falling_probability_over_price() -> None:
    matrix = looked_at(PARTS)
    best = par(matrix)

    # b .15/5 = .03, d .05/2 = .025, a .30/30 = .01, c .10/20 = .005
    assert [look.inspection for look in path(best.tree, matrix, "nothing-wrong")] == [*"bdac"]
    # 5 x 1 + 2 x .85 + 30 x .80 + 20 x .50
    assert best.expected_s == pytest.approx(40.7, abs=1e-9)


@pytest.mark.parametrize(
    "parts",
    [
        {"a": (0.2, 10.0), "b": (0.2, 40.0), "c": (0.2, 5.0), "d": (0.2, 20.0), "e": (0.1, 1.0)},
        {"a": (0.5, 60.0), "b": (0.25, 20.0), "c": (0.12, 8.0), "d": (0.06, 3.0), "e": (0.03, 1.0)},
        {"a": (0.01, 1.0), "b": (0.02, 300.0), "c": (0.6, 300.0), "d": (0.3, 100.0)},
    ],
)
def test_no_order_of_looks_is_cheaper(parts: dict[str, tuple[float, float]]) -> None:
    def price_of(order: tuple[str, ...]) -> float:
        """Each look is paid for as long as no part before it was the faulty one."""
        before = [fsum(parts[name][0] for name in order[:k]) for k in range(len(order))]
        return fsum(parts[name][1] * (1.0 - p) for name, p in zip(order, before, strict=True))

    best = par(looked_at(parts))

    assert best.expected_s == pytest.approx(min(map(price_of, permutations(parts))), abs=1e-9)
