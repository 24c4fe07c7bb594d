"""The best order of looks against a published example.

Pattipati and Alexandridis 1990, IEEE Trans. SMC 20(4): six states (the first is the sound one), five
tests of unit cost. MEMORY: states, probabilities, matrix and the optimum of 2.18 are recalled; the
paper was not at hand. That the recalled matrix has exactly the recalled optimum speaks for both.
"""

import heapq
from collections.abc import Iterable
from math import fsum

import pytest

from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.greedy import greedy
from sim.diagnosis.par import par
from sim.diagnosis.testability import entropy_bits
from sim.diagnosis.tree import expected_s, leaves, path

PROBABILITIES = (0.70, 0.01, 0.02, 0.10, 0.05, 0.12)
ROWS = ("00000", "01001", "00110", "10011", "11000", "11110")
MATRIX = Matrix(
    tuple(
        Cause(() if place == 0 else (f"s{place}",), weight, tuple(row))
        for place, (weight, row) in enumerate(zip(PROBABILITIES, ROWS, strict=True))
    ),
    tuple(Probe(f"t{place}", 1.0) for place in range(1, 6)),
)


def test_best_plan_of_the_published_example_costs_2_18_tests() -> None:
    best = par(MATRIX)

    assert best.exact
    assert best.expected_s == pytest.approx(2.18, abs=1e-12)


def test_best_plan_of_the_published_example_isolates_every_state() -> None:
    assert sorted(len(group) for group in leaves(par(MATRIX).tree)) == [1] * 6


def test_mean_length_of_the_paths_is_the_published_optimum() -> None:
    # counted path by path, not by the plan's own sum
    tree = par(MATRIX).tree
    mean = sum(c.weight * len(path(tree, MATRIX, c.name)) for c in MATRIX.causes)

    assert mean == pytest.approx(2.18, abs=1e-12)


def test_greedy_plan_of_the_published_example_is_31_percent_dearer() -> None:
    # DERIVED: information gain a test first takes the one that splits .70 from the most
    cost = expected_s(greedy(MATRIX), MATRIX)

    assert cost == pytest.approx(2.86, abs=1e-12)
    assert cost / 2.18 == pytest.approx(1.31, abs=0.005)


def huffman_looks(weights: Iterable[float], outcomes: int = 2) -> float:
    """Return the least mean number of looks that could tell causes apart, were any look possible.

    It is the mean length of a Huffman code with as many letters as a look has outcomes; no plan
    needs fewer. Source: Huffman 1952, from memory.

    Args:
        weights: Of the causes, more than 0.
        outcomes: How many things a look can show, 2 or more.
    """
    heap = list(weights)
    total = fsum(heap)
    heap += [0.0] * (-(len(heap) - 1) % (outcomes - 1))
    heapq.heapify(heap)
    looks = 0.0
    while len(heap) > 1:
        merged = fsum(heapq.heappop(heap) for _ in range(outcomes))
        looks += merged
        heapq.heappush(heap, merged)
    return looks / total


def test_bounds_of_the_published_example() -> None:
    # MEMORY: Huffman bound 1.59; DERIVED: entropy
    assert huffman_looks(PROBABILITIES) == pytest.approx(1.59, abs=1e-12)
    assert huffman_looks(PROBABILITIES) <= par(MATRIX).expected_s
    assert entropy_bits(PROBABILITIES) == pytest.approx(1.455, abs=5e-4)


def test_huffman_code_of_three_letters() -> None:
    # DERIVED by hand: 5 equal weights, three letters: two merges, 3/5 and 5/5, so 1.6
    assert huffman_looks([1.0] * 5, 3) == pytest.approx(1.6, rel=1e-12)
    # an even number needs a filler of no weight: 4 equal: 2/4 + 4/4
    assert huffman_looks([1.0] * 4, 3) == pytest.approx(1.5, rel=1e-12)
    assert huffman_looks([1.0] * 9, 3) == pytest.approx(2.0, rel=1e-12)
