"""The command `drycycle`: all commands in the order in which they are listed, and home."""

import sys
from typing import Final

from sim.cli.author_commands import CHECK, DRAW, LIST, SCHEMA, SENTENCES, WHAT
from sim.cli.calc import CALC
from sim.cli.class_commands import CLASS, INSTRUCT, NEXT
from sim.cli.display import has_display, window
from sim.cli.grammar import CommandGroup, Parameter, word
from sim.cli.logic_commands import PRINT, PROVE
from sim.cli.session_commands import DEBRIEF, PLAY, REPLAY, RUN, SHOT, TRACE
from sim.cli.who_reads import OPTION
from sim.records.settings import LANGUAGES
from sim.words.fields import parts
from sim.words.message import named, plain, row

_LANGUAGE: Final = plain("cli.stands.language", "LANGUAGE")
_LANGUAGE_HELP: Final = row(
    "cli.language",
    "{languages}; default: DRYCYCLE_LANGUAGE, what was chosen in the window, or the language of "
    "the system.",
    languages=parts(", ", " or "),
)


def _home() -> int:
    """Open home: the window, the terminal, or a demonstration where there is neither."""
    if has_display():
        return window()(None)
    from sim.text.page import put_line

    if sys.stdin.isatty() and sys.stdout.isatty():
        from sim.text.typed.home import home

        return home(put_line)
    from sim.text.typed.demonstration import demonstrate

    return demonstrate(put_line)


DRYCYCLE: Final = CommandGroup(
    "drycycle",
    plain("cli.home", "A training saw that can be run wrong on purpose. Alone, it opens home."),
    (
        PLAY, RUN, LIST, CHECK, DRAW, REPLAY, TRACE, DEBRIEF, CLASS, INSTRUCT, NEXT, SHOT, PRINT,
        PROVE, SCHEMA, SENTENCES, CALC, WHAT,
    ),
    (
        Parameter(
            "language",
            _LANGUAGE_HELP(languages=tuple(named(each) for each in LANGUAGES)),
            word(_LANGUAGE), (OPTION,), "",
        ),
        Parameter("version", plain("cli.version", "Print the version."), flags=("--version",)),
    ),
    _home,
    plain(
        "cli.caution",
        "Practice, not authorisation: the maker's manual, local codes and a qualified or authorised "
        "person come first.",
    ),
)  # fmt: skip
