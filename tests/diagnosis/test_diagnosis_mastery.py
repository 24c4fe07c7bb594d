"""What a trainee is told to practise next."""

from itertools import pairwise
from random import Random

import pytest

from sim.diagnosis.mastery import (
    Advice,
    Attempt,
    Reason,
    Standing,
    grade,
    practise_next,
    standing,
)
from sim.diagnosis.mixing import mixed
from sim.diagnosis.spacing import Item, repeated, schedule

COURSE = ("height stop", "length counter", "band speed", "mitre")


def advise(*tries: tuple[int, str, int], today: int) -> dict[str, Advice]:
    return {a.skill: a for a in practise_next([Attempt(*t) for t in tries], COURSE, today)}


def order(*tries: tuple[int, str, int], today: int) -> list[str]:
    return [a.skill for a in practise_next([Attempt(*t) for t in tries], COURSE, today)]


def test_a_newcomer_takes_the_course_in_its_order() -> None:
    assert order(today=3) == list(COURSE)
    assert {a.reason for a in advise(today=3).values()} == {Reason.NEVER_TRIED}
    assert {a.standing for a in advise(today=3).values()} == {Standing.NEW}


def test_what_went_badly_today_comes_first_and_what_went_well_last() -> None:
    tries = ((5, "mitre", 40), (5, "band speed", 100))

    assert order(*tries, today=5) == ["mitre", "height stop", "length counter", "band speed"]
    assert advise(*tries, today=5)["mitre"].reason is Reason.AGAIN_TODAY
    assert advise(*tries, today=5)["band speed"].reason is Reason.LATER


def test_what_went_badly_yesterday_is_due_like_anything_else() -> None:
    assert advise((4, "mitre", 40), today=5)["mitre"].reason is Reason.DUE


def test_a_bare_pass_is_repeated_the_same_day_until_it_is_good() -> None:
    assert advise((5, "mitre", 70), today=5)["mitre"].reason is Reason.AGAIN_TODAY
    later = advise((5, "mitre", 70), (5, "mitre", 85), today=5)["mitre"]

    assert later.reason is Reason.LATER
    assert later.due_day == 6


def test_a_passed_skill_comes_back_after_one_day_then_after_six() -> None:
    assert advise((0, "mitre", 90), today=1)["mitre"].reason is Reason.DUE
    assert advise((0, "mitre", 90), (1, "mitre", 90), today=6)["mitre"].reason is Reason.LATER
    assert advise((0, "mitre", 90), (1, "mitre", 90), today=7)["mitre"].reason is Reason.DUE
    overdue = advise((0, "mitre", 90), (1, "mitre", 90), today=9)["mitre"]

    assert overdue.reason is Reason.OVERDUE
    assert (overdue.due_day, overdue.overdue_days) == (7, 2)


def test_of_two_overdue_the_one_with_the_shorter_interval_is_the_more_urgent() -> None:
    # both two days late: after an interval of one day, and after one of six
    tries = ((0, "band speed", 90), (1, "band speed", 90), (6, "mitre", 90))
    advice = advise(*tries, today=9)

    assert advice["mitre"].overdue_days == advice["band speed"].overdue_days == 2
    assert order(*tries, today=9)[:2] == ["mitre", "band speed"]


def test_practising_early_does_not_put_a_skill_off() -> None:
    every_day = schedule([(day, 5) for day in range(6)])

    assert every_day.due_day == 7
    assert every_day.repetitions == 2


def test_failing_early_brings_a_skill_back_tomorrow() -> None:
    item = schedule([(0, 5), (1, 5), (3, 1)])

    assert item.due_day == 4
    assert item.again_today


def test_second_try_of_a_day_neither_earns_nor_loses_an_interval() -> None:
    first = repeated(Item(), 10, 2)

    passed = schedule([(0, 5), (1, 5)])

    assert repeated(first, 10, 5).due_day == first.due_day == 11
    assert repeated(passed, 1, 0).due_day == passed.due_day == 7
    assert not repeated(first, 10, 5).again_today


def test_nine_of_ten_is_passing_and_not_mastery() -> None:
    assert standing([True] * 5 + [False] + [True] * 4) is Standing.PASSING


def test_sixteen_good_runs_in_a_row_are_mastery_and_fifteen_are_not_yet() -> None:
    # Wilson: 16 of 16 reaches 0.806, 15 of 15 reaches 0.796
    assert standing([True] * 15) is Standing.PASSING
    assert standing([True] * 16) is Standing.MASTERED


def test_old_failures_are_forgiven() -> None:
    assert standing([False] * 10 + [True] * 20) is Standing.MASTERED


def test_a_fresh_failure_ends_mastery() -> None:
    assert standing([True] * 20 + [False] * 2) is Standing.LEARNING


def test_a_beginner_who_fails_is_learning() -> None:
    assert standing([False]) is Standing.LEARNING
    assert standing([True, True]) is Standing.LEARNING


@pytest.mark.parametrize(
    ("score", "mark"), [(0, 0), (19, 0), (20, 1), (59, 2), (60, 3), (80, 4), (99, 4), (100, 5)]
)
def test_sixty_points_are_the_least_pass(score: int, mark: int) -> None:
    assert grade(score) == mark


def test_records_of_the_future_and_of_other_skills_do_not_count() -> None:
    tries = ((9, "mitre", 100), (1, "welding", 100))

    assert order(*tries, today=5) == list(COURSE)
    assert advise(*tries, today=5)["mitre"].attempts == 0


def test_records_may_come_in_any_order() -> None:
    tries = [Attempt(7, "mitre", 90), Attempt(0, "mitre", 90), Attempt(1, "mitre", 40)]

    assert practise_next(tries, COURSE, 8) == practise_next(tries[::-1], COURSE, 8)


def test_advice_shows_the_numbers_behind_it() -> None:
    advice = advise((0, "mitre", 90), (1, "mitre", 90), (2, "mitre", 10), today=2)["mitre"]

    assert (advice.attempts, advice.passes) == (3, 2)
    assert advice.share == pytest.approx((0.2077, 0.9385), abs=5e-5)
    # DERIVED: known .2, right .6, right .8903, wrong .5781
    assert advice.known == pytest.approx(0.5781, abs=5e-5)


def test_the_same_task_once_more_on_its_day_proves_nothing_more() -> None:
    once = [Attempt(1, "mitre", 90, task="13-mitre")]
    often = [Attempt(1, "mitre", 90, task="13-mitre")] * 20
    other = [
        *once,
        Attempt(1, "mitre", 90, task="braces"),
        Attempt(2, "mitre", 90, task="13-mitre"),
    ]

    def counted(tries: list[Attempt]) -> Advice:
        return {a.skill: a for a in practise_next(tries, COURSE, 3)}["mitre"]

    assert counted(often).share == counted(once).share
    assert counted(often).standing is not Standing.MASTERED
    assert counted(other).counted == 3


def test_a_miss_that_was_made_good_on_its_day_is_still_a_miss() -> None:
    tries = [Attempt(1, "mitre", 40, task="13-mitre"), Attempt(1, "mitre", 90, task="13-mitre")]
    (mitre,) = (a for a in practise_next(tries, COURSE, 1) if a.skill == "mitre")

    assert (mitre.passes, mitre.counted) == (0, 1)
    assert mitre.reason is Reason.LATER


def test_skills_that_are_due_come_mixed_the_most_urgent_first() -> None:
    tasks = [("a", {"x"}), ("b", {"x"}), ("c", {"x", "y"}), ("d", {"y"}), ("e", {"z"})]

    assert mixed(tasks) == ("a", "d", "b", "e", "c")
    assert mixed(tasks[:2]) == ("a", "b")
    assert mixed([]) == ()


def test_what_comes_mixed_is_the_same_tasks_and_neighbours_differ_where_they_can() -> None:
    chance = Random(7)
    for _ in range(300):
        tasks = [(n, frozenset(chance.sample("uvwxyz", 2))) for n in range(chance.randint(1, 9))]
        order, skills = mixed(tasks), dict(tasks)
        assert sorted(order) == sorted(skills)
        assert order[0] == 0
        for at, (here, there) in enumerate(pairwise(order), start=1):
            shared = len(skills[here] & skills[there])
            assert all(len(skills[here] & skills[later]) >= shared for later in order[at:])
