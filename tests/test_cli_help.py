"""The grammar of the command line: its rows agree with what they do, its help with its rows."""

import inspect
from itertools import chain
from typing import get_args

import pytest

from sim import cli
from sim.cli.calc import CALC
from sim.cli.commands import DRYCYCLE
from sim.cli.grammar import REQUIRED, CommandGroup
from sim.text.reports.calc_report import CALCULATIONS

from .escapes import escaped


def _all(group, *line):
    yield (*line, group.name), group
    for each in group.commands:
        if isinstance(each, CommandGroup):
            yield from _all(each, *line, group.name)
        else:
            yield (*line, group.name, each.name), each


EVERY = dict(_all(DRYCYCLE))
COMMANDS = {line: each for line, each in EVERY.items() if not isinstance(each, CommandGroup)}


def _taken(does):
    """The names of a function's arguments, those of a `**given: Unpack[TypedDict]` one by one."""
    for name, parameter in inspect.signature(does).parameters.items():
        if parameter.kind is inspect.Parameter.VAR_KEYWORD:
            yield from get_args(parameter.annotation)[0].__annotations__
        else:
            yield name


@pytest.mark.parametrize("line", COMMANDS, ids=" ".join)
def test_a_command_takes_what_its_function_takes(line):
    command = COMMANDS[line]
    does = CALCULATIONS[command.name] if command in CALC.commands else command.does
    names = [parameter.name for parameter in command.parameters]

    assert sorted(names) == sorted(_taken(does))
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("line", EVERY, ids=" ".join)
def test_the_flags_of_a_command_and_what_it_takes_by_place_are_told_apart(line):
    parameters = EVERY[line].parameters
    flags = list(chain.from_iterable(parameter.flags for parameter in parameters))
    placed = [parameter for parameter in parameters if not parameter.flags]

    assert len(set(flags)) == len(flags)
    assert not any(parameter.many for parameter in placed[:-1])
    optional = [parameter.default is not REQUIRED for parameter in placed]
    assert optional == sorted(optional)


@pytest.mark.parametrize("line", EVERY, ids=" ".join)
def test_every_help_page_names_all_flags_and_lets_no_english_word_escape(drycycle, line, unsaid):
    code, page, err = drycycle(*line[1:], "--help")
    _, told, _ = drycycle("--language", "qps", *line[1:], "--help")

    assert (code, err) == (0, "")
    assert page.startswith(f"Usage: {' '.join(line)} ")
    for parameter in EVERY[line].parameters:
        assert all(flag in page for flag in parameter.flags)
    assert escaped(told) == []
    assert unsaid() == []


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["pla"], "drycycle: there is no command pla; the nearest is play, replay"),
        (["calc", "sped", "x"], "drycycle: calc: there is no command sped; the nearest is speed"),
        (["--versoin"], "drycycle: there is no option --versoin; the nearest is --version"),
        (["list", "-x"], "drycycle: list: there is no option -x; see drycycle list --help"),
        (["run"], "drycycle: run: SCENARIO is missing; see drycycle run --help"),
        (["run", "a", "b", "c"], "drycycle: run: b c is too much; see drycycle run --help"),
        (["trace", "a"], "drycycle: trace: --output is missing; see drycycle trace --help"),
        (["run", "a", "--record"], "drycycle: run: --record needs a value; see drycycle run --help"),
        (["list", "--json=1"], "drycycle: list: --json takes no value; see drycycle list --help"),
        (["calc", "wander", "--span", "x"], "drycycle: --span: x is not a number; give 10 to 2000"),
        (["calc", "wander", "--span", "nan"], "drycycle: --span: nan is out of range; give 10 to 2000"),
        (["draw", "--seed", "1.5"], "drycycle: --seed: 1.5 is not a whole number"),
    ],
)  # fmt: skip
def test_what_cannot_be_understood_is_one_line_that_says_where_and_what_to_do(
    drycycle, words, says
):
    assert drycycle(*words) == (cli.BAD_INPUT, "", f"{says}\n")


def test_options_may_stand_anywhere_after_their_command_and_be_joined_to_their_value(drycycle):
    plain = drycycle("calc", "feed", "S275JR", "round:60", "--teeth", "4", "--json")

    assert plain[0] == 0
    assert drycycle("calc", "feed", "--json", "S275JR", "--teeth=4", "--", "round:60") == plain


def test_a_group_alone_shows_its_help_and_counts_as_not_understood(drycycle):
    code, out, _ = drycycle("calc")

    assert code == cli.BAD_INPUT
    assert out == drycycle("calc", "--help")[1]
