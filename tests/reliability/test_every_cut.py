"""A record that is cut anywhere gives back its whole lines; `every_cut` tries every byte."""

import random
from itertools import accumulate

from .every_cut import record_of_a_drill, tried


def test_a_record_that_is_cut_anywhere_gives_back_all_before_the_cut(tmp_path):
    path = tmp_path / "one.jsonl"
    record_of_a_drill(path)
    whole = path.read_bytes()
    ends = [*accumulate(len(line) for line in whole.splitlines(keepends=True))]
    around = {end + step for end in ends for step in (-1, 0, 1)} - {len(whole), len(whole) + 1}
    anywhere = random.Random("cuts").sample(range(len(whole)), 200)
    count, wrong = tried(path, sorted(around.union(anywhere)))

    assert count > 200
    assert wrong == []
