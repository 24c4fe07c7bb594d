"""A plan that ends when one cause is told apart, against every plan there is."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.diagnosis.condensed import Condensed
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.enough import Enough
from sim.diagnosis.greedy import greedy, improved
from sim.diagnosis.par import cap_passed, par
from sim.diagnosis.tree import Node, expected_s, nodes, path

Worth = tuple[Fraction, Fraction]  # weight left in doubt, cost times weight


def told_apart(matrix: Matrix, rows: frozenset[int], enough: Enough) -> bool:
    """The rule in its own words, in fractions: share of what is left, and odds against before."""
    weights: dict[tuple[str, ...], Fraction] = {}
    for i in rows:
        cause = matrix.causes[i]
        weights[cause.outcomes] = weights.get(cause.outcomes, Fraction(0)) + Fraction(cause.weight)
    left, lead = sum(weights.values()), max(weights.values())
    if lead < Fraction(enough.share) * left:
        return False
    if lead == left:
        return True
    odds, before = lead / (left - lead), lead / (Fraction(enough.total) - lead)
    return odds >= Fraction(enough.rise) * before


def every_plan(matrix: Matrix, rows: frozenset[int], stage: int, enough: Enough) -> set[Worth]:
    """What every plan comes to: no optimality, no bounds, no classes, exact fractions."""
    weight = sum(Fraction(matrix.causes[i].weight) for i in rows)
    if told_apart(matrix, rows, enough):
        return {(Fraction(0), Fraction(0))}
    found: set[Worth] = {(weight, Fraction(0))}
    for j, look in enumerate(matrix.inspections):
        parts: dict[str, set[int]] = {}
        for i in rows:
            parts.setdefault(matrix.causes[i].outcomes[j], set()).add(i)
        harmed = any(matrix.causes[i].name in look.harms for i in rows)
        if look.stage != stage or harmed or (len(parts) == 1 and look.leads_to == stage):
            continue
        after = [every_plan(matrix, frozenset(p), look.leads_to, enough) for p in parts.values()]
        price = Fraction(look.cost_s) * weight
        for combination in product(*after):
            doubt = sum((worth[0] for worth in combination), Fraction(0))
            found.add((doubt, price + sum(worth[1] for worth in combination)))
    return found


@st.composite
def matrices(draw: st.DrawFn) -> Matrix:
    """Small matrices with priors that lie far apart, up to three outcomes, two stages, a trial."""
    causes, looks = draw(st.integers(1, 5)), draw(st.integers(1, 3))
    staged = draw(st.booleans())
    columns = []
    for j in range(looks):
        stage = draw(st.integers(0, 1)) if staged else 0
        columns.append(Probe(f"t{j}", float(draw(st.integers(0, 9))), stage, stage))
    if staged:
        harms = draw(st.frozensets(st.sampled_from([f"f{i}" for i in range(1, 6)]), max_size=2))
        columns.append(Probe("trial", float(draw(st.integers(1, 9))), 0, 1, harms))
    rows = [
        Cause(
            (f"f{i}",) if i else (),
            draw(st.sampled_from([1.0, 2.0, 3.0, 20.0, 64.0])),
            tuple(draw(st.sampled_from("abc")) for _ in columns),
        )
        for i in range(causes)
    ]
    return Matrix(tuple(rows), tuple(columns))


def rule(matrix: Matrix) -> Enough:
    return Enough(sum(cause.weight for cause in matrix.causes))


@given(matrices())
@settings(max_examples=400)
def test_the_best_plan_leaves_the_least_in_doubt_and_then_costs_the_least(matrix: Matrix) -> None:
    enough = rule(matrix)
    everything = frozenset(range(len(matrix.causes)))
    doubt, cost = min(every_plan(matrix, everything, 0, enough))

    found = par(matrix, enough=enough)

    assert found.exact
    assert in_doubt(found.tree, matrix, enough) == doubt
    assert found.expected_s == pytest.approx(float(cost / Fraction(enough.total)), abs=1e-9)


def in_doubt(tree: Node, matrix: Matrix, enough: Enough) -> Fraction:
    total = Fraction(0)
    for node in nodes(tree):
        rows = frozenset(matrix.row(name) for name in node.causes)
        if not node.inspection and not told_apart(matrix, rows, enough):
            total += sum(Fraction(matrix.causes[i].weight) for i in rows)
    return total


@given(matrices())
def test_no_quick_plan_is_better_and_the_bound_of_a_capped_search_holds(matrix: Matrix) -> None:
    enough = rule(matrix)

    def worth(tree: Node) -> tuple[Fraction, float]:
        return in_doubt(tree, matrix, enough), round(expected_s(tree, matrix), 9)

    best = par(matrix, enough=enough)
    quick, better = greedy(matrix, enough=enough), improved(matrix, enough=enough)
    capped = par(matrix, cap=1, enough=enough)

    assert worth(best.tree) <= worth(capped.tree) <= worth(better) <= worth(quick)
    if not capped.exact and not any(column.harms for column in matrix.inspections):
        assert capped.bound_s <= best.expected_s + 1e-9


@given(matrices())
@settings(max_examples=400)
def test_the_best_plan_over_the_likeliest_causes_is_a_bound_that_none_as_certain_undercuts(
    matrix: Matrix,
) -> None:
    enough = rule(matrix)
    best = par(matrix, enough=enough)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Condensed, "bound_s", lambda *_: 0.0)  # so that this bound stands alone
        capped = cap_passed(matrix, enough=enough)

    if in_doubt(capped.tree, matrix, enough) == in_doubt(best.tree, matrix, enough):
        assert capped.bound_s <= best.expected_s + 1e-9


def test_causes_that_hardly_weigh_do_not_keep_a_plan_from_being_near_the_best() -> None:
    """Two likely causes, told apart by one look; sixty that share a hundredth, each with a look of its own."""
    looks = (Probe("likely", 50.0), *(Probe(f"own {i}", 10.0) for i in range(60)))
    causes = [Cause((name,), 495.0, (name, *("no",) * 60)) for name in ("one", "other")]
    for i in range(60):
        shows = tuple("yes" if i == j else "no" for j in range(60))
        causes.append(Cause((f"rare {i}",), 10.0 / 60.0, ("one", *shows)))
    matrix = Matrix(tuple(causes), looks)
    capped = cap_passed(matrix, enough=rule(matrix))

    assert 49.5 <= capped.bound_s <= capped.expected_s
    assert capped.worst_excess <= 0.1


def test_a_plan_ends_when_the_rest_is_a_twentieth() -> None:
    causes = tuple(
        Cause((name,), weight, outcomes)
        for name, weight, outcomes in (
            ("likely", 60.0, ("a", "a")),
            ("rare", 3.0, ("a", "b")),
            ("other", 37.0, ("b", "a")),
        )
    )
    matrix = Matrix(causes, (Probe("first", 10.0), Probe("second", 10.0)))
    ends = par(matrix, enough=Enough(100.0))
    goes_on = par(matrix)

    assert [each.inspection for each in path(ends.tree, matrix, "likely")] == ["first"]
    assert [each.inspection for each in path(goes_on.tree, matrix, "likely")] == ["first", "second"]


def test_what_was_likely_before_is_not_told_apart_by_a_look_that_hardly_tells() -> None:
    causes = (
        Cause(("likely",), 96.0, ("a", "a")),
        Cause(("second",), 3.0, ("a", "b")),
        Cause(("third",), 1.0, ("b", "a")),
    )
    matrix = Matrix(causes, (Probe("first", 10.0), Probe("second", 10.0)))

    # By its share alone it would be told apart before anything was seen.
    assert par(matrix, enough=Enough(100.0)).expected_s > 0.0
    assert par(matrix, enough=Enough(100.0, rise=1.0)).expected_s == 0.0
