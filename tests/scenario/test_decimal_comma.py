"""A number with a decimal comma in a scenario file is told to want a point, not a name or no quotes."""

import pytest

from sim.errors import ScenarioError
from sim.scenario.library import find
from sim.scenario.scenario import read_scenario

JOB = "job: {length_mm: 230,"


@pytest.mark.parametrize(
    ("before", "after", "cure"),
    [
        ("length_mm: 3000", "length_mm: 3000,5", "write 3000.5, its decimals after a point"),
        (JOB, f"{JOB}5,", "write 230.5, its decimals after a point"),
    ],
)
def test_a_decimal_comma_is_cured_with_a_point(before, after, cure, tmp_path):
    text = find("posts-come-out-short").read_text(encoding="utf-8")
    path = tmp_path / "mine.yaml"
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")

    with pytest.raises(ScenarioError) as caught:
        read_scenario(path)

    assert cure in str(caught.value.what_to_do)
