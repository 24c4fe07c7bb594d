"""A title, a file's name, a summary, a brief or a report that names what is hidden."""

import pytest

from sim.authoring.check import check
from sim.authoring.given_away import FILE, GivenAway, given_away
from sim.scenario import library
from sim.session.opening import library_entries, read

DRILLS = [(name, scenario) for name, scenario in library_entries() if scenario.faults]
NAME = "start-does-nothing"  # hides guard-open


def _with(name, fault, **texts):
    scenario, _ = read(name)
    hidden = scenario.faults[0].model_copy(update={"name": fault})
    return scenario.model_copy(update={"faults": (hidden,), **texts})


def test_no_shipped_drill_names_what_it_hides():
    assert len(DRILLS) >= 45
    assert not [each for name, scenario in DRILLS for each in given_away(scenario, name)]


@pytest.mark.parametrize(
    ("fault", "field", "text", "words"),
    [
        ("wash-hose-open", "title", "The wash hose is left open", ("wash", "hose", "open")),
        ("wash-hose-open", "title", "Who opened the hose?", ("opened", "hose")),
        (
            "wash-hose-open",
            "title",
            "La manguera de lavado abierta",
            ("manguera", "lavado", "abierta"),
        ),
        ("wash-hose-open", "summary", "An open hose.", ("open", "hose")),
        ("plunger-on-the-land", "title", "The plunger rides on the land", ("plunger", "land")),
        (
            "nozzle-blocked",
            "summary",
            "A blocked nozzle and nobody who saw it.",
            ("blocked", "nozzle"),
        ),
        ("belt-worn", "brief", "Be quick. The belt is worn. Find out.", ("belt", "worn")),
        ("belt-worn", "report", '"It is the belt, it is worn."', ("belt", "worn")),
    ],
)
def test_a_text_that_names_the_cause_is_told(fault, field, text, words):
    [found] = given_away(_with(NAME, fault, **{field: text}), NAME)

    assert found == GivenAway(field, words, fault)


@pytest.mark.parametrize("called", ["wash-hose-open", "open_hose", "the-hose-was-open-again"])
def test_a_files_name_that_names_the_cause_is_told(called):
    [found] = given_away(_with(NAME, "wash-hose-open"), called)

    assert (found.field, found.fault) == (FILE, "wash-hose-open")


@pytest.mark.parametrize(
    ("fault", "field", "text"),
    [
        ("head-down-wire", "title", "It stands with the head down"),  # so it may for many reasons
        ("wash-hose-open", "title", "The floor is wet again"),
        ("wash-hose-open", "title", "The hose of Monday"),
        ("belt-worn", "brief", "The belt was changed. The tools are worn."),  # in two sentences
        ("coolant-hose-split", "report", "The wash hose hung in its place."),
    ],
)
def test_a_word_in_common_names_no_cause(fault, field, text):
    assert not given_away(_with(NAME, fault, **{field: text}), NAME)


def test_the_check_says_which_words_and_where(tmp_path):
    text = library.find(NAME).read_text(encoding="utf-8")
    mine = tmp_path / "mine.yaml"
    lines = text.splitlines()
    [at] = [number for number, line in enumerate(lines) if line.startswith("summary:")]
    lines[at] = "summary: A guard stands open."
    mine.write_text("\n".join(lines), encoding="utf-8")

    [failed] = [each for each in check(str(mine)).verdicts if not each.holds]

    assert str(failed.detail) == "guard, open: that is guard-open"
    assert failed.where == f"{mine}:{at + 1}:1"
    assert str(failed.claim.what_to_do).startswith("say what is seen and heard")


def test_the_check_says_so_of_the_files_name(tmp_path):
    mine = tmp_path / "guard-open.yaml"
    mine.write_text(library.find(NAME).read_text(encoding="utf-8"), encoding="utf-8")

    [failed] = [each for each in check(str(mine)).verdicts if not each.holds]

    assert str(failed.detail) == "guard, open in the file's name: that is guard-open"
    assert failed.where.startswith(f"{mine}:1:")
