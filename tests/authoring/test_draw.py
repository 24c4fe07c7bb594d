"""Drills by chance: sound before they are written, and the same again from the same seed."""

from functools import cache

import pytest

from sim.authoring.check import check
from sim.authoring.draw import LEVELS, draw, reported
from sim.authoring.symptom import Symptom
from sim.control.decision import Refusal
from sim.diagnosis.account import account_of, likelihood
from sim.diagnosis.causes import with_faults
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Who
from sim.session.hands.table import locked_out_to_mend
from sim.session.opening import read
from sim.text.reports.drawing import draw_and_write
from sim.words.message import quoted
from sim.words.reader import Reader
from sim.words.speech import sentence

drawn_once = cache(draw)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("level", LEVELS)
def test_a_drawn_drill_reads_back_as_it_was_drawn_and_is_sound(level, tmp_path):
    path = tmp_path / "drawn.yaml"
    said = []
    code = draw_and_write(level, 4, path, said.append)
    drawn = drawn_once(level, 4)
    scenario, _ = read(str(path))

    assert code == 0
    assert path.read_text(encoding="utf-8") == drawn.text
    assert scenario == drawn.scenario
    assert check(str(path)).sound
    assert max(map(len, drawn.text.splitlines())) <= 100
    assert len(drawn.text.splitlines()) < 40
    assert scenario.title in said[0]


def test_other_seeds_draw_other_drills():
    drawn = {drawn_once(1, seed).text.split("faults:")[1] for seed in (4, 6)}

    assert len(drawn) == 2


def test_the_first_level_hides_one_thing_that_an_operator_may_put_right_without_reaching_in():
    for seed in (4, 6):
        [row] = drawn_once(1, seed).scenario.faults

        assert CATALOGUE[row.name].who is Who.OPERATOR
        assert not locked_out_to_mend(row.name)


@pytest.mark.slow
def test_the_third_level_hides_two_things_of_different_families():
    first, second = (CATALOGUE[row.name] for row in drawn_once(3, 4).scenario.faults)

    assert first.family is not second.family


@pytest.mark.slow
def test_the_third_levels_report_needs_both_things():
    scenario = drawn_once(3, 4).scenario
    sound = account_of(with_faults(scenario, ()), scenario.reported)

    def bears_out(*faults):
        account = account_of(with_faults(scenario, faults), scenario.reported)
        return likelihood(scenario.reported, account, sound) > 0.0

    first, second = (row.name for row in scenario.faults)
    assert bears_out(first, second)
    assert not bears_out(first)
    assert not bears_out(second)


@pytest.mark.parametrize(
    ("length", "says"),
    [
        ("short", "All the pieces are short, and alike."),
        ("long", "All the pieces are long, and alike."),
        ("uneven", "No piece is as long as the next."),
    ],
)
def test_how_the_pieces_are_off_size_is_said_as_it_stands_in_the_data(length, says):
    shown = Symptom(oddities=(quoted("4 of 4 pieces off size"),))

    assert str(reported(shown, length)[1]) == (
        f"This is what came of it. 4 of 4 pieces off size. {says} It never did that before."
    )


def test_a_run_that_does_harm_and_comes_to_its_end_tells_of_both():
    shown = Symptom(harm=(quoted("Coolant on the floor"),), oddities=(quoted("it takes long"),))

    assert str(reported(shown)[1]) == (
        "This is what came of it. Coolant on the floor. It takes long. It never did that before."
    )


@pytest.mark.sampled(3)
@pytest.mark.parametrize("level", LEVELS)
def test_a_drawn_drill_does_not_tell_on_itself(level):
    scenario = drawn_once(level, 4).scenario
    words = f"{scenario.title} {scenario.brief} {scenario.report}".lower()
    assert scenario.faults
    for row in scenario.faults:
        assert row.name not in words
        assert str(CATALOGUE[row.name].title).lower() not in words


REFUSAL = Refusal("", "B33", quoted("the job waits to see that it is clamped"))


@pytest.mark.parametrize(
    ("shown", "clause", "title", "report"),
    [
        (
            Symptom(harm=(quoted("Coolant on the floor"), quoted("Cut with poor coolant"))),
            "Coolant on the floor, Cut with poor coolant",
            "Coolant on the floor",
            "This is what came of it. Coolant on the floor. Cut with poor coolant. "
            "It never did that before.",
        ),
        (
            Symptom(oddities=(quoted("it takes 2.5 times as long"),)),
            "it takes 2.5 times as long",
            "It takes 2.5 times as long",
            "This is what came of it. It takes 2.5 times as long. It never did that before.",
        ),
        (
            Symptom(waits=(REFUSAL,), state="EXECUTE"),
            "the job stands: B33: the job waits to see that it is clamped.",
            "It stands still",
            "It begins, and then it stands there: the job waits to see that it is clamped.",
        ),
        (
            Symptom(reason=quoted("the end of the bar was reached"), state="HELD"),
            "the job stands: the end of the bar was reached",
            "It stands still",
            "It begins, and then it stops, and the console says: the end of the bar was reached.",
        ),
        (
            Symptom(state="IDLE"),
            "the job does not start",
            "It does not get going",
            "I set it all up, and it will not begin.",
        ),
        (
            Symptom(state="STOPPED"),
            "the job does not start",
            "It does not get going",
            "I set it all up, and it will not begin.",
        ),
        (
            Symptom(state="ABORTED"),
            "the job stopped",
            "It stands still",
            "It begins, and then it stops.",
        ),
    ],
)
def test_what_shows_is_reported_as_an_operator_would_say_it(shown, clause, title, report):
    said = reported(shown)

    assert str(shown.said) == clause
    assert (sentence(str(said[0])), str(said[1])) == (title, report)


def test_a_drill_is_drawn_in_the_language_of_who_reads_it():
    english, spanish = drawn_once(1, 4), drawn_once(1, 4, Reader("es"))

    assert english.scenario.faults == spanish.scenario.faults
    assert "Find what is wrong" in english.scenario.brief
    assert "Encuentre lo que está mal" in spanish.scenario.brief
    assert spanish.scenario.title.endswith("(sorteado, nivel 1, semilla 4)")


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
