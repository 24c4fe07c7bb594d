"""The best plan of inspections, against every plan there is."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.bugs import TableError
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.greedy import greedy, improved
from sim.diagnosis.par import par
from sim.diagnosis.tree import Node, expected_s, leaves, nodes, path

Worth = tuple[int, Fraction]  # negative groups, cost times weight


def table(*rows: str, costs: tuple[float, ...] = (), weights: tuple[float, ...] = ()) -> Matrix:
    """A matrix with a letter for each outcome; the first row is the sound machine."""
    wide = len(rows[0])
    return Matrix(
        tuple(
            Cause((f"f{i}",) if i else (), (weights or (1.0,) * len(rows))[i], tuple(row))
            for i, row in enumerate(rows)
        ),
        tuple(Probe(f"t{j}", (costs or (1.0,) * wide)[j]) for j in range(wide)),
    )


def every_plan(matrix: Matrix, rows: frozenset[int], stage: int) -> set[Worth]:
    """What every plan comes to: no optimality, no bounds, no classes, exact fractions."""
    found: set[Worth] = {(-1, Fraction(0))}
    weight = sum(Fraction(matrix.causes[i].weight) for i in rows)
    for j, look in enumerate(matrix.inspections):
        parts: dict[str, set[int]] = {}
        for i in rows:
            parts.setdefault(matrix.causes[i].outcomes[j], set()).add(i)
        harmed = any(matrix.causes[i].name in look.harms for i in rows)
        if look.stage != stage or harmed or (len(parts) == 1 and look.leads_to == stage):
            continue
        after = [every_plan(matrix, frozenset(part), look.leads_to) for part in parts.values()]
        price = Fraction(look.cost_s) * weight
        for combination in product(*after):
            groups = sum(worth[0] for worth in combination)
            found.add((groups, price + sum(worth[1] for worth in combination)))
    return found


@st.composite
def matrices(draw: st.DrawFn) -> Matrix:
    """Small matrices: up to three outcomes, two stages, a trial that may do harm."""
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
            float(draw(st.integers(1, 5))),
            tuple(draw(st.sampled_from("abc")) for _ in columns),
        )
        for i in range(causes)
    ]
    return Matrix(tuple(rows), tuple(columns))


@given(matrices())
@settings(max_examples=300)
def test_best_plan_is_the_best_of_every_plan(matrix: Matrix) -> None:
    total = sum(Fraction(cause.weight) for cause in matrix.causes)
    groups, cost = min(every_plan(matrix, frozenset(range(len(matrix.causes))), 0))

    found = par(matrix)

    assert found.exact
    assert len(leaves(found.tree)) == -groups
    assert found.expected_s == pytest.approx(float(cost / total), rel=1e-9, abs=1e-12)


@given(matrices())
def test_cost_of_the_best_plan_is_the_mean_of_its_paths(matrix: Matrix) -> None:
    found = par(matrix)
    total = sum(cause.weight for cause in matrix.causes)
    mean = sum(
        cause.weight * sum(look.cost_s for look in path(found.tree, matrix, cause.name))
        for cause in matrix.causes
    )

    assert found.expected_s == pytest.approx(mean / total, rel=1e-9, abs=1e-12)


@given(matrices())
def test_no_quick_plan_is_better_than_the_best_nor_the_improved_worse_than_greedy(
    matrix: Matrix,
) -> None:
    best, quick, better = par(matrix).tree, greedy(matrix), improved(matrix)

    def worth(tree: Node) -> tuple[int, float]:
        return -len(leaves(tree)), round(expected_s(tree, matrix), 9)

    assert worth(best) <= worth(better) <= worth(quick)


@given(matrices())
def test_no_plan_makes_a_look_that_would_wreck_the_machine(matrix: Matrix) -> None:
    harms = {column.name: column.harms for column in matrix.inspections}
    for tree in (par(matrix).tree, greedy(matrix), improved(matrix)):
        for node in nodes(tree):
            assert not harms.get(node.inspection, frozenset()) & set(node.causes)


@given(matrices())
def test_a_capped_search_states_a_bound_that_the_best_does_not_undercut(matrix: Matrix) -> None:
    capped, best = par(matrix, cap=1), par(matrix)

    if len(leaves(capped.tree)) == len(leaves(best.tree)):
        assert best.expected_s <= capped.expected_s + 1e-9
    if not capped.exact and not any(column.harms for column in matrix.inspections):
        assert capped.bound_s <= best.expected_s + 1e-9


def test_a_capped_search_says_so() -> None:
    matrix = table("aaaa", "baaa", "abaa", "aaba", "aaab")
    capped = par(matrix, cap=3)

    assert par(matrix).exact
    assert not capped.exact
    assert 0.0 < capped.bound_s < capped.expected_s
    assert capped.worst_excess == pytest.approx(capped.expected_s / capped.bound_s - 1.0)


def test_an_inspection_with_many_outcomes_tells_many_causes_at_one_look() -> None:
    matrix = table("a.", "b.", "c.", "d.", "ex", costs=(40.0, 10.0))

    assert par(matrix).expected_s == pytest.approx(40.0)


def test_a_cheap_look_at_the_likely_cause_comes_before_the_dear_look_at_all() -> None:
    matrix = table("aa", "bb", "ca", costs=(100.0, 10.0), weights=(1.0, 98.0, 1.0))
    found = par(matrix)

    assert found.tree.inspection == "t1"
    assert [look.inspection for look in path(found.tree, matrix, "f1")] == ["t1"]
    assert found.expected_s == pytest.approx(10.0 + 0.02 * 100.0)


def test_causes_that_nothing_tells_apart_stay_together_at_no_further_cost() -> None:
    matrix = table("a", "b", "b")
    found = par(matrix)

    assert set(leaves(found.tree)) == {("nothing-wrong",), ("f1", "f2")}
    assert found.expected_s == 1.0


def test_a_trial_that_could_wreck_waits_until_the_look_has_ruled_it_out() -> None:
    matrix = Matrix(
        (
            Cause((), 1.0, ("a", "a")),
            Cause(("f1",), 1.0, ("b", "wreck")),
            Cause(("f2",), 1.0, ("a", "b")),
        ),
        (Probe("look", 500.0), Probe("trial", 1.0, 0, 1, frozenset({"f1"}))),
    )

    assert par(matrix).tree.inspection == "look"
    assert par(matrix.among({"nothing-wrong", "f2"})).tree.inspection == "trial"


def test_a_stage_is_not_left_while_it_has_something_to_tell_that_later_ones_have_not() -> None:
    matrix = Matrix(
        (
            Cause((), 1.0, ("a", "a", "a")),
            Cause(("f1",), 1.0, ("b", "a", "a")),
            Cause(("f2",), 1.0, ("a", "a", "b")),
        ),
        (
            Probe("at rest", 90.0, 0, 0),
            Probe("trial", 1.0, 0, 1),
            Probe("after it", 1.0, 1, 1),
        ),
    )
    found = par(matrix)

    assert [len(group) for group in leaves(found.tree)] == [1, 1, 1]
    assert found.tree.inspection == "at rest"
    assert par(matrix, stage=1).tree.inspection == "after it"


def test_a_stage_that_only_promises_to_tell_is_no_way_out() -> None:
    # what would tell everything apart after the trial is barred by the one that is to be found
    matrix = Matrix(
        (
            Cause((), 1.0, ("a", "a", "a")),
            Cause(("f1",), 1.0, ("b", "a", "b")),
            Cause(("f2",), 1.0, ("c", "a", "c")),
        ),
        (
            Probe("dear look", 90.0, 0, 0),
            Probe("trial", 1.0, 0, 1),
            Probe("barred", 1.0, 1, 1, frozenset({"nothing-wrong", "f1", "f2"})),
        ),
    )

    assert par(matrix).tree.inspection == "dear look"
    assert len(leaves(par(matrix).tree)) == 3


def test_a_cheap_look_that_does_harm_does_not_stand_in_for_a_dear_one_that_does_none() -> None:
    matrix = Matrix(
        (Cause((), 1.0, ("a", "a")), Cause(("f1",), 1.0, ("b", "b"))),
        (Probe("cheap", 1.0, harms=frozenset({"f1"})), Probe("dear", 9.0)),
    )

    assert par(matrix).tree.inspection == "dear"


def test_greedy_takes_the_most_bits_for_the_time_not_the_most_bits() -> None:
    # one bit in 40 s, against .81 of a bit in 10 s
    matrix = table("ab", "aa", "ba", "ba", costs=(40.0, 10.0))

    assert greedy(matrix).inspection == "t1"


def test_greedy_makes_a_trial_that_tells_nothing_when_something_can_be_told_after_it() -> None:
    matrix = Matrix(
        (Cause((), 1.0, ("a", "a")), Cause(("f1",), 1.0, ("a", "b"))),
        (Probe("trial", 9.0, 0, 1), Probe("after it", 1.0, 1, 1)),
    )

    assert greedy(matrix).inspection == "trial"
    assert len(leaves(greedy(matrix))) == 2


def _next(matrix, possible):
    return par(matrix.among(possible), 0).tree.inspection


def test_next_look_depends_on_what_is_still_possible() -> None:
    matrix = table("aa", "ba", "ab")

    assert _next(matrix, {"nothing-wrong", "f1"}) == "t0"
    assert _next(matrix, {"nothing-wrong", "f2"}) == "t1"
    assert _next(matrix, {"f2"}) == ""


def test_a_cause_that_cannot_be_costs_nothing() -> None:
    known_faulty = table("a", "b", weights=(0.0, 1.0))

    assert par(known_faulty).expected_s == 0.0
    assert par(known_faulty).tree.causes == ("f1",)


def test_forty_faults_by_24_inspections_are_solved_exactly() -> None:
    # a fixed matrix from a small generator: four outcomes, costs of 10 to 70 s
    state = 7
    letters, costs = [], []
    for _ in range(40 * 24 + 24):
        state = (state * 1103515245 + 12345) % 2**31
        letters.append("abcd"[(state >> 16) % 4])
        costs.append(10.0 + (state >> 8) % 61)
    rows = ["".join(letters[24 * i : 24 * (i + 1)]) for i in range(40)]
    matrix = table(*rows, costs=tuple(costs[-24:]))
    found = par(matrix)

    assert found.exact
    assert len(leaves(found.tree)) == len(set(rows)) == 40
    assert found.expected_s <= expected_s(greedy(matrix), matrix)


def test_every_place_of_a_plan_splits_what_is_possible_there() -> None:
    matrix = table("aaa", "bab", "abb", "bbb")
    for node in nodes(par(matrix).tree):
        below = [cause for _, branch in node.branches for cause in branch.causes]

        assert not node.branches or sorted(below) == sorted(node.causes)


def test_a_plan_has_no_path_to_a_cause_that_it_leaves_out() -> None:
    matrix = table("a", "b", "c")

    with pytest.raises(TableError, match="does not look for it"):
        path(par(matrix.among({"nothing-wrong", "f1"})).tree, matrix, "f2")


@pytest.mark.parametrize(
    ("causes", "columns", "words"),
    [
        ([Cause(("a",), 1.0, ("x",))], [], "1 outcomes for 0"),
        ([Cause(("a",), -1.0, ())], [], "no weight"),
        ([Cause(("a",), float("nan"), ())], [], "no weight"),
        ([Cause(("a",), 0.0, ())], [], "weighs anything"),
        ([Cause(("a",), 1.0, ()), Cause(("a",), 1.0, ())], [], "twice"),
        ([Cause(("a",), 1.0, ("x",))], [Probe("t", -1.0)], "no cost"),
        ([Cause(("a",), 1.0, ("x",))], [Probe("t", 1.0, 1, 0)], "leads back"),
    ],
)
def test_a_matrix_that_contradicts_itself_is_refused(
    causes: list[Cause], columns: list[Probe], words: str
) -> None:
    with pytest.raises(TableError, match=words):
        Matrix(tuple(causes), tuple(columns))


def test_a_cell_is_found_by_its_names() -> None:
    matrix = table("ab", "cd")

    assert matrix.outcome("f1", "t0") == "c"
    assert matrix.outcome("nothing-wrong", "t1") == "b"
    with pytest.raises(TableError, match="f9"):
        matrix.outcome("f9", "t0")
    assert matrix.with_only({"t1"}).causes[1].outcomes == ("d",)


def test_from_a_stage_in_which_nothing_can_be_looked_at_the_plan_ends_at_once():
    matrix = table("aa", "ab", "ba")

    assert par(matrix, 2).tree == Node(tuple(cause.name for cause in matrix.causes))
