"""Belief in what is wrong, against counting every way that it could have come about."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.bugs import TableError
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.posterior import (
    Observed,
    after,
    belief_in,
    diagnosed,
    is_redundant,
    prior,
    still_possible,
    trail,
)


def table(*rows: tuple[str, float, str]) -> Matrix:
    """Rows of faults (blank for the sound machine, + between several), weight and outcomes."""
    return Matrix(
        tuple(
            Cause(tuple(faults.split("+")) if faults else (), weight, tuple(shown))
            for faults, weight, shown in rows
        ),
        tuple(Probe(f"t{j}", 1.0) for j in range(len(rows[0][2]))),
    )


PAIR = table(("", 1.0, "aaa"), ("low-air", 2.0, "baa"), ("leak", 1.0, "bba"), ("worn", 1.0, "aba"))


@st.composite
def runs(draw: st.DrawFn) -> tuple[Matrix, list[Observed], float]:
    causes, looks = draw(st.integers(1, 6)), draw(st.integers(1, 4))
    matrix = table(
        *(
            (
                f"f{i}" if i else "",
                draw(st.floats(0.01, 10.0)),
                "".join(draw(st.sampled_from("abc")) for _ in range(looks)),
            )
            for i in range(causes)
        )
    )
    asked = draw(st.lists(st.integers(0, looks - 1), max_size=5))
    findings = []
    for j in asked:
        can_show = sorted({cause.outcomes[j] for cause in matrix.causes})
        findings.append(Observed(f"t{j}", draw(st.sampled_from(can_show))))
    return matrix, findings, draw(st.floats(0.01, 0.6))


@given(runs())
@settings(max_examples=400)
def test_belief_is_that_of_counting_every_way_to_slip(
    run: tuple[Matrix, list[Observed], float],
) -> None:
    matrix, findings, slip = run
    joint = []
    for cause in matrix.causes:
        chance = 0.0
        # every sequence of slips: at each look none, or to one of the other outcomes
        ways = []
        for finding in findings:
            j = matrix.column(finding.inspection)
            right = cause.outcomes[j]
            others = sorted({each.outcomes[j] for each in matrix.causes} - {right})
            slips = [(other, slip / len(others)) for other in others]
            ways.append([(right, 1.0 - slip if others else 1.0), *slips])
        for way in product(*ways):
            if [outcome for outcome, _ in way] == [finding.outcome for finding in findings]:
                one = cause.weight
                for _, probability in way:
                    one *= probability
                chance += one
        joint.append(chance)
    counted = [chance / sum(joint) for chance in joint]

    belief = prior(matrix)
    for finding in findings:
        belief = after(matrix, belief, finding, slip)

    assert belief == pytest.approx(counted, abs=1e-9)
    steps = trail(matrix, findings, slip)
    assert not steps or steps[-1].belief == belief


@given(runs())
def test_without_slips_belief_is_the_prior_among_the_causes_that_agree(
    run: tuple[Matrix, list[Observed], float],
) -> None:
    matrix, findings, _ = run
    agree = [
        all(matrix.outcome(cause.name, f.inspection) == f.outcome for f in findings)
        for cause in matrix.causes
    ]
    steps = trail(matrix, findings)

    if any(agree):
        total = sum(c.weight for c, fits in zip(matrix.causes, agree, strict=True) if fits)
        wanted = [
            cause.weight / total if fits else 0.0
            for cause, fits in zip(matrix.causes, agree, strict=True)
        ]
        assert all(step.explained for step in steps)
        assert (steps[-1].belief if steps else prior(matrix)) == pytest.approx(wanted, abs=1e-9)
    else:
        assert not all(step.explained for step in steps)


def test_a_finding_takes_away_the_entropy_it_promised_on_the_average() -> None:
    # t0: a under nothing-wrong and worn (2 of 5), b under the others (3 of 5)
    [step_a] = trail(PAIR, [Observed("t0", "a")])
    [step_b] = trail(PAIR, [Observed("t0", "b")])
    before = 1.9219280948873623  # of 1, 2, 1, 1 in 5

    mean_left = 0.4 * step_a.entropy_bits + 0.6 * step_b.entropy_bits
    assert step_a.expected_bits == step_b.expected_bits == pytest.approx(before - mean_left)
    assert step_a.entropy_bits == pytest.approx(1.0)


def test_a_look_whose_outcome_was_already_implied_is_redundant() -> None:
    first, again, idle = trail(
        PAIR, [Observed("t0", "b"), Observed("t0", "b"), Observed("t2", "a")]
    )

    assert not first.redundant
    assert again.redundant
    assert idle.redundant
    assert idle.expected_bits == 0.0
    assert is_redundant(PAIR, prior(PAIR), "t2")


def test_a_reading_that_is_judged_alike_for_all_yet_likelier_under_one_of_them_is_not_redundant() -> (
    None
):
    names = [cause.name for cause in PAIR.causes]
    told = Observed("t2", "a", dict(zip(names, (0.001, 0.001, 0.9, 0.001), strict=True)))
    alike = Observed("t2", "a", dict.fromkeys(names, 0.4))

    decisive, nothing = trail(PAIR, [told, alike])

    assert is_redundant(PAIR, prior(PAIR), "t2")
    assert not decisive.redundant
    assert nothing.redundant


def test_what_no_cause_explains_leaves_the_belief_and_says_so() -> None:
    [step] = trail(PAIR, [Observed("t0", "smoke")])

    assert not step.explained
    assert step.belief == prior(PAIR)
    _, contrary = trail(PAIR, [Observed("t0", "b"), Observed("t0", "a")])
    assert not contrary.explained


def test_a_slip_keeps_what_the_finding_speaks_against_possible() -> None:
    sure, doubtful = (after(PAIR, prior(PAIR), Observed("t0", "b"), slip) for slip in (0.0, 0.1))

    assert still_possible(PAIR, sure) == ("low-air", "leak")
    assert still_possible(PAIR, doubtful) == ("nothing-wrong", "low-air", "leak", "worn")
    assert doubtful[0] == pytest.approx(0.1 / (0.1 + 0.9 * 2 + 0.9 + 0.1))


def test_naming_a_cause_before_its_rivals_are_ruled_out_is_premature() -> None:
    belief = after(PAIR, prior(PAIR), Observed("t0", "b"))
    early = diagnosed(PAIR, belief, "leak")
    late = diagnosed(PAIR, after(PAIR, belief, Observed("t1", "b")), "leak")

    assert not early.told_apart
    assert early.rivals == ("low-air",)
    assert early.credit == pytest.approx(1 / 3)
    assert late.told_apart
    assert late.credit == 1.0


def test_naming_one_of_two_that_nothing_tells_apart_is_not_premature() -> None:
    matrix = table(("", 1.0, "a"), ("valve", 1.0, "b"), ("coil", 3.0, "b"))
    named = diagnosed(matrix, after(matrix, prior(matrix), Observed("t0", "b")), "valve")

    assert named.told_apart
    assert named.credit == pytest.approx(0.25)


def test_belief_in_a_fault_counts_the_causes_where_it_comes_with_another() -> None:
    matrix = table(("", 1.0, "a"), ("valve", 1.0, "b"), ("valve+coil", 2.0, "b"))

    assert belief_in(matrix, prior(matrix), "valve") == pytest.approx(0.75)
    assert belief_in(matrix, prior(matrix), "coil") == pytest.approx(0.5)
    assert not diagnosed(matrix, after(matrix, prior(matrix), Observed("t0", "b")), "valve").rivals


@pytest.mark.parametrize("slip", [-0.1, 1.0, float("nan")])
def test_a_slip_that_is_no_probability_is_refused(slip: float) -> None:
    with pytest.raises(TableError, match="slip"):
        after(PAIR, prior(PAIR), Observed("t0", "b"), slip)


def test_an_inspection_that_the_matrix_does_not_have_is_refused() -> None:
    with pytest.raises(TableError, match="t9"):
        after(PAIR, prior(PAIR), Observed("t9", "b"))
