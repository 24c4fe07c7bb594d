"""Mastery and spacing against recalled formulas, worked numbers and scipy.

MEMORY: Wilson 1927, Newcombe 1998, Corbett and Anderson 1995, Wozniak 1990 (SM-2); the papers were not at hand.
"""

from math import comb

import pytest
from scipy.stats import binomtest, norm

from sim.diagnosis.knowledge import Z_95, Tracing, after_attempt, traced, wilson
from sim.diagnosis.spacing import FIRST_EASE, eased, schedule

WORKED = Tracing(known=0.4, learn=0.15, guess=0.2, slip=0.1)


def test_nine_of_ten_do_not_prove_that_four_of_five_are_mastered() -> None:
    # DERIVED
    low, high = wilson(9, 10)

    assert (low, high) == pytest.approx((0.5958, 0.9821), abs=5e-5)
    assert low < 0.8


@pytest.mark.parametrize(
    ("successes", "attempts", "limits"),
    [
        (81, 263, (0.2553, 0.3662)),
        (15, 148, (0.0624, 0.1605)),
        (0, 20, (0.0000, 0.1611)),
        (1, 29, (0.0061, 0.1718)),
    ],
)
def test_limits_are_those_of_the_worked_examples_of_newcombe(
    successes: int, attempts: int, limits: tuple[float, float]
) -> None:
    # MEMORY: Newcombe 1998, Statistics in Medicine 17, 857-872, table I, method 3 (score, no correction)
    assert wilson(successes, attempts) == pytest.approx(limits, abs=5e-5)


@pytest.mark.parametrize("attempts", [10, 16, 20])
def test_limits_hold_the_true_share_about_as_often_as_they_claim(attempts: int) -> None:
    # independent: exact binomial sums over every outcome. Brown, Cai and DasGupta 2001 (MEMORY) show that the
    # score interval keeps near its 95 % on average for few attempts, where share plus and minus does not.
    shares = [k / 200 for k in range(1, 200)]

    def held(share: float) -> float:
        return sum(
            comb(attempts, k) * share**k * (1 - share) ** (attempts - k)
            for k in range(attempts + 1)
            if wilson(k, attempts)[0] <= share <= wilson(k, attempts)[1]
        )

    assert sum(map(held, shares)) / len(shares) == pytest.approx(0.95, abs=0.01)


def test_sixteen_of_sixteen_are_the_fewest_that_prove_four_of_five() -> None:
    # DERIVED: without a miss the lower limit is n / (n + z^2), so n has to be 4 z^2 = 15.4
    assert wilson(15, 15)[0] < 0.8 <= wilson(16, 16)[0]


@pytest.mark.parametrize("attempts", [1, 2, 7, 10, 20, 100])
def test_limits_are_those_of_scipy(attempts: int) -> None:
    for successes in range(attempts + 1):
        theirs = binomtest(successes, attempts).proportion_ci(0.95, method="wilson")

        assert wilson(successes, attempts) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


def test_normal_point_is_that_of_scipy() -> None:
    assert pytest.approx(float(norm.ppf(0.975)), abs=1e-14) == Z_95


def test_nothing_is_known_of_what_was_never_tried() -> None:
    assert wilson(0, 0) == (0.0, 1.0)


def test_knowledge_after_a_right_and_after_a_wrong_attempt() -> None:
    # DERIVED: L .4, slip .1, guess .2, learn .15
    assert after_attempt(0.4, True, WORKED) == pytest.approx(0.7875, abs=5e-5)
    assert after_attempt(0.4, False, WORKED) == pytest.approx(0.2154, abs=5e-5)
    assert traced([True], WORKED) == pytest.approx(0.7875, abs=5e-5)


def test_knowledge_traced_is_that_of_the_hidden_markov_chain_summed_over_all_its_paths() -> None:
    # independent: the probability of being in the known state, over every hidden path
    seen = [True, False, True, True]
    paths = {(True,): WORKED.known, (False,): 1 - WORKED.known}
    for success in seen:
        grown: dict[tuple[bool, ...], float] = {}
        for path, chance in paths.items():
            right = 1 - WORKED.slip if path[-1] else WORKED.guess
            there = chance * (right if success else 1 - right)
            learns = 1.0 if path[-1] else WORKED.learn
            grown[(*path, True)] = there * learns
            grown[(*path, False)] = there * (1 - learns)
        paths = grown
    known = sum(chance for path, chance in paths.items() if path[-1])

    assert traced(seen, WORKED) == pytest.approx(known / sum(paths.values()), rel=1e-12)


@pytest.mark.parametrize(
    ("grade", "change"), [(5, 0.10), (4, 0.0), (3, -0.14), (2, -0.32), (1, -0.54), (0, -0.80)]
)
def test_ease_changes_as_sm_2_has_it(grade: int, change: float) -> None:
    # MEMORY: 0.1 - (5 - q)(0.08 + (5 - q) 0.02), worked out
    assert eased(FIRST_EASE, grade) - FIRST_EASE == pytest.approx(change, abs=1e-12)


def test_ease_never_falls_below_1_3() -> None:
    assert eased(1.35, 3) == 1.3


def test_intervals_of_even_good_work_grow_as_sm_2_has_them() -> None:
    # DERIVED: grade 4 keeps the ease at 2.5: 1, 6, 15, 37.5 up to 38, 95
    days, due = [0], []
    for _ in range(5):
        item = schedule([(day, 4) for day in days])
        due.append(item.interval_days)
        days.append(days[-1] + item.interval_days)

    assert due == [1, 6, 15, 38, 95]


def test_perfect_work_grows_the_ease_and_the_intervals_with_it() -> None:
    # DERIVED: ease before the third interval 2.7: 6 x 2.7 = 16.2, up to 17
    item = schedule([(0, 5), (1, 5), (7, 5)])

    assert item.ease == pytest.approx(2.8, abs=1e-12)
    assert item.interval_days == 17


def test_failure_begins_the_intervals_again_and_leaves_the_ease() -> None:
    before = schedule([(0, 4), (1, 3), (7, 4)])
    item = schedule([(0, 4), (1, 3), (7, 4), (22, 2)])

    assert item.ease == before.ease
    assert (item.repetitions, item.interval_days) == (0, 1)
    assert schedule([(0, 4), (1, 3), (7, 4), (22, 2), (23, 4), (24, 4)]).interval_days == 6


def test_a_whole_interval_is_not_rounded_up_by_its_last_bit() -> None:
    # DERIVED: ease 2.5 - .14 - .14 + .10 = 2.32, and 75 x 2.32 = 174, which binary numbers overshoot
    days = (0, 1, 7, 21, 53, 128)

    assert schedule(list(zip(days, (3, 3, 4, 5, 4, 3), strict=True))).interval_days == 174
