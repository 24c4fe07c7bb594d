"""Testability measures against a worked example and against scipy.

The measures are those of IEEE 1522 and MIL-STD-2165; their formulas are from memory (MEMORY), the
example was worked by hand from them (DERIVED). Nobody here has read either text.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

from sim.bugs import TableError
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.testability import (
    ambiguity_groups,
    detected,
    entropy_bits,
    fraction_detected,
    fraction_isolated,
    information_gain_bits,
)

RATES = {"f1": 4.0, "f2": 2.0, "f3": 2.0, "f4": 1.0, "f5": 1.0}
ROWS = {"f1": "1000", "f2": "1100", "f3": "1100", "f4": "0010", "f5": "0000"}
EXAMPLE = Matrix(
    (
        Cause((), 0.0, tuple("0000")),
        *(Cause((name,), RATES[name], tuple(row)) for name, row in ROWS.items()),
    ),
    tuple(Probe(f"t{place}", 1.0) for place in range(1, 5)),
)


def test_detection_of_the_worked_example() -> None:
    assert fraction_detected(EXAMPLE) == pytest.approx(0.9, rel=1e-12)
    assert fraction_detected(EXAMPLE, by_count=True) == pytest.approx(0.8, rel=1e-12)
    assert [cause.name for cause in detected(EXAMPLE)] == ["f1", "f2", "f3", "f4"]


def test_isolation_of_the_worked_example() -> None:
    assert ambiguity_groups(EXAMPLE) == (("f1",), ("f2", "f3"), ("f4",))
    assert fraction_isolated(EXAMPLE, 1) == pytest.approx(5 / 9, rel=1e-12)  # 0.5556
    assert fraction_isolated(EXAMPLE, 2) == pytest.approx(1.0, rel=1e-12)
    assert fraction_isolated(EXAMPLE, 1, by_count=True) == pytest.approx(0.5, rel=1e-12)


def test_information_of_the_worked_example() -> None:
    faults = [cause for cause in EXAMPLE.causes if cause.faults]
    weights = [cause.weight for cause in faults]
    gains = [information_gain_bits([c.outcomes[t] for c in faults], weights) for t in range(4)]

    assert entropy_bits(weights) == pytest.approx(2.1219, abs=5e-5)
    assert gains == pytest.approx([0.7219, 0.9710, 0.4690, 0.0], abs=5e-5)


@given(st.lists(st.floats(1e-3, 1e3), min_size=1, max_size=12))
def test_entropy_is_that_of_scipy(weights: list[float]) -> None:
    assert entropy_bits(weights) == pytest.approx(float(entropy(weights, base=2)), abs=1e-9)


@given(st.lists(st.tuples(st.floats(1e-2, 1e2), st.sampled_from("abc")), min_size=1, max_size=9))
def test_gain_is_entropy_before_less_mean_entropy_after(rows: list[tuple[float, str]]) -> None:
    weights = [weight for weight, _ in rows]
    after = 0.0
    for outcome in "abc":
        left = [weight for weight, shown in rows if shown == outcome]
        if left:
            after += sum(left) / sum(weights) * float(entropy(left, base=2))

    gain = information_gain_bits([shown for _, shown in rows], weights)

    assert gain == pytest.approx(float(entropy(weights, base=2)) - after, abs=1e-9)


def test_measures_need_the_sound_machine_to_compare_with() -> None:
    headless = replace(EXAMPLE, causes=EXAMPLE.causes[1:])

    with pytest.raises(TableError, match="sound machine"):
        fraction_detected(headless)


def test_nothing_isolated_where_nothing_is_detected() -> None:
    blind = EXAMPLE.with_only({"t4"})

    assert fraction_detected(blind) == 0.0
    with pytest.raises(TableError, match="share"):
        fraction_isolated(blind)
