"""Decides who reads: the one place where the language and the units of this process are chosen.

The language is the first of these that is given: the option `--language`, `DRYCYCLE_LANGUAGE`, what
was chosen in the window, the locale of the system (as POSIX has it: `LC_ALL`, `LC_MESSAGES`, `LANG`);
else English. The units are those that were chosen in the window.
"""

import os
from collections.abc import Mapping
from typing import Final

from sim.errors import CommandError
from sim.records.settings import LANGUAGES, Settings, read_settings
from sim.words.fields import name
from sim.words.message import row
from sim.words.reader import ENGLISH, PSEUDO_LANGUAGE, Reader
from sim.words.speech import read_by

OPTION: Final = "--language"
VARIABLE: Final = "DRYCYCLE_LANGUAGE"
_LOCALE: Final = ("LC_ALL", "LC_MESSAGES", "LANG")

_UNKNOWN: Final = row("cli.language.unknown", "there is no language {asked}", asked=name())
_KNOWN: Final = row("cli.language.known", "there are {languages}", languages=name())


def choose_reader(asked: str = "") -> None:
    """Speak from now on to who reads.

    Args:
        asked: The language that the command line asks for; empty where it does not.

    Raises:
        CommandError: There is no such language.
    """
    read_by(reader_for(asked, os.environ, read_settings()))


def reader_for(asked: str, environ: Mapping[str, str], settings: Settings) -> Reader:
    """Return who reads.

    Args:
        asked: The language that the command line asks for; empty where it does not.
        environ: The environment.
        settings: What was chosen in the window.

    Raises:
        CommandError: The option or `DRYCYCLE_LANGUAGE` asks for a language that there is not.
    """
    inch = settings.units == "inch"
    for word, where in ((asked, OPTION), (environ.get(VARIABLE, ""), VARIABLE)):
        if word:
            return Reader(_meant(word, where), inch)
    if settings.language:
        return Reader(settings.language, inch)
    system = next(filter(None, (environ.get(variable) for variable in _LOCALE)), "")
    language = _language_of(system)
    return Reader(language if language in LANGUAGES else ENGLISH.language, inch)


def _meant(word: str, where: str) -> str:
    language = _language_of(word)
    if language not in (*LANGUAGES, PSEUDO_LANGUAGE):
        raise CommandError(_UNKNOWN(asked=word), where, _KNOWN(languages=", ".join(LANGUAGES)))
    return language


def _language_of(locale: str) -> str:
    """Return the language of `es`, `es-MX` or `es_ES.UTF-8@euro`."""
    return locale.replace("-", "_").partition("_")[0].partition(".")[0].strip().lower()
