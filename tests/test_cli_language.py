"""Who reads the command line: the option, the environment, the settings, the locale, in that order."""

import pytest

from sim import cli
from sim.cli.who_reads import reader_for
from sim.errors import CommandError
from sim.records.settings import Settings, keep_settings
from sim.words.reader import Reader

MADRID = {"LANG": "es_ES.UTF-8"}
CHOSEN = Settings(language="es")


@pytest.mark.parametrize(
    ("asked", "environ", "settings", "language"),
    [
        ("en", {"DRYCYCLE_LANGUAGE": "es", **MADRID}, CHOSEN, "en"),
        ("", {"DRYCYCLE_LANGUAGE": "en", **MADRID}, CHOSEN, "en"),
        ("", {"LANG": "en_GB.UTF-8"}, CHOSEN, "es"),
        ("", MADRID, Settings(language="en"), "en"),
        ("", MADRID, Settings(), "es"),
        ("", {"LC_MESSAGES": "es", "LANG": "en_GB"}, Settings(), "es"),
        ("", {"LC_ALL": "C", "LC_MESSAGES": "es", "LANG": "es"}, Settings(), "en"),
        ("", {"LC_ALL": "", "LANG": "es_MX@euro"}, Settings(), "es"),
        ("", {"LANG": "tlh_TLH.UTF-8"}, Settings(), "en"),
        ("", {}, Settings(), "en"),
        ("ES-mx", {}, Settings(), "es"),
    ],
)
def test_the_first_that_is_given_decides_the_language(asked, environ, settings, language):
    assert reader_for(asked, environ, settings) == Reader(language)


def test_the_units_are_those_that_were_chosen_in_the_window():
    assert reader_for("es", {}, Settings(units="inch")) == Reader("es", inch=True)


@pytest.mark.parametrize(
    ("asked", "environ", "where"),
    [("fr", {}, "--language"), ("", {"DRYCYCLE_LANGUAGE": "fr"}, "DRYCYCLE_LANGUAGE")],
)
def test_a_language_that_there_is_not_is_answered_with_those_there_are(asked, environ, where):
    with pytest.raises(CommandError, match=f"{where}: there is no language fr; there are en, es"):
        reader_for(asked, environ, Settings())


def test_the_option_stands_before_the_command_and_holds_for_what_goes_wrong_in_it(drycycle):
    assert "Muestra esta ayuda" in drycycle("--language", "es", "run", "--help")[1]
    assert "Muestra esta ayuda" in drycycle("--help", "--language=es")[1]
    assert drycycle("--language", "es", "run") == (
        cli.BAD_INPUT,
        "",
        "drycycle: run: falta ESCENARIO; consulte drycycle run --help\n",
    )
    code, _, err = drycycle("calc", "speed", "--language", "es")
    assert code == cli.BAD_INPUT
    assert "write it before calc" in err
    assert drycycle("--language", "fr", "list")[0] == cli.BAD_INPUT


def test_what_was_chosen_in_the_window_holds_in_the_terminal_too(drycycle, monkeypatch):
    monkeypatch.delenv("DRYCYCLE_LANGUAGE")
    assert keep_settings(CHOSEN)

    assert drycycle("--help")[1].startswith("Uso: drycycle ")


def test_a_number_can_be_typed_with_the_decimal_mark_of_the_language(drycycle):
    with_point = drycycle("calc", "overload", "--current", "2.5", "--json")
    with_comma = drycycle("--language", "es", "calc", "overload", "--current", "2,5", "--json")

    assert with_point[0] == 0
    assert with_comma == with_point
    assert drycycle("calc", "overload", "--current", "2,5")[0] == cli.BAD_INPUT
