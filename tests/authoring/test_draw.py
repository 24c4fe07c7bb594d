"""Drills by chance: sound before they are written, and the same again from the same seed."""

import pytest

from sim.authoring.check import check
from sim.authoring.draw import LEVELS, draw
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Who
from sim.session.opening import read
from sim.text.reports.drawing import draw_and_write


@pytest.mark.parametrize("level", LEVELS)
def test_a_drawn_drill_reads_back_as_it_was_drawn_and_is_sound(level, tmp_path):
    path = tmp_path / "drawn.yaml"
    said = []
    code = draw_and_write(level, 4, path, said.append)
    drawn = draw(level, 4)
    scenario, _ = read(str(path))

    assert code == 0
    assert path.read_text(encoding="utf-8") == drawn.text
    assert scenario == drawn.scenario
    assert check(str(path)).sound
    assert max(map(len, drawn.text.splitlines())) <= 100
    assert len(drawn.text.splitlines()) < 40
    assert scenario.title in said[0]


def test_other_seeds_draw_other_drills():
    drawn = {draw(2, seed).text.split("faults:")[1] for seed in (4, 6)}

    assert len(drawn) == 2


def test_the_first_level_hides_one_thing_that_an_operator_may_put_right_without_reaching_in():
    for seed in (4, 6):
        [row] = draw(1, seed).scenario.faults

        assert CATALOGUE[row.name].who is Who.OPERATOR
        assert not CATALOGUE[row.name].reaches_in


def test_the_third_level_hides_two_things_of_different_families():
    first, second = (CATALOGUE[row.name] for row in draw(3, 4).scenario.faults)

    assert first.family is not second.family


def test_a_drawn_drill_does_not_tell_on_itself():
    for level in LEVELS:
        scenario = draw(level, 4).scenario
        words = f"{scenario.title} {scenario.brief} {scenario.report}".lower()
        for row in scenario.faults:
            assert row.name not in words
            assert str(CATALOGUE[row.name].title).lower() not in words


def test_there_is_no_fourth_level_and_no_file_is_written_over(tmp_path):
    mine = tmp_path / "mine.yaml"
    mine.write_text("mine", encoding="utf-8")

    with pytest.raises(CommandError, match="no level 4"):
        draw(4, 1)
    with pytest.raises(CommandError, match="is there already"):
        draw_and_write(1, 4, mine, print)
    with pytest.raises(CommandError, match="cannot be written"):
        draw_and_write(1, 4, tmp_path / "no" / "mine.yaml", print)
    assert mine.read_text(encoding="utf-8") == "mine"
