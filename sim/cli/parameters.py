"""Options and arguments that several commands take, and the words that stand for a value."""

from typing import Final

from sim.cli.grammar import REQUIRED, Parameter, path, word
from sim.words.message import plain

_SCENARIO: Final = plain("cli.stands.scenario", "SCENARIO")
_RECORD: Final = plain("cli.stands.record", "RECORD")
A_MACHINE: Final = plain("cli.stands.a-machine", "MACHINE")
NAME: Final = plain("cli.stands.name", "NAME")

JSON: Final = Parameter(
    "as_json", plain("cli.json", "Print JSON instead of text."), flags=("--json",)
)

SCENARIO: Final = Parameter(
    "scenario",
    plain("cli.scenario", "A name from `drycycle list`, or a scenario file."),
    word(_SCENARIO),
    default=REQUIRED,
)
MACHINE: Final = Parameter(
    "machine",
    plain(
        "cli.machine",
        "On this machine, by its name or its file; else on the one that the scenario names.",
    ),
    word(A_MACHINE),
    ("--machine",),
    "",
)
RECORD: Final = Parameter(
    "record",
    plain(
        "cli.record",
        "A record that a session wrote; last is that of the session that runs, else the newest.",
    ),
    path(_RECORD),
    default=REQUIRED,
)
RUNNING_RECORD: Final = Parameter(
    "record",
    plain(
        "cli.running-record", "The record of a running session; last is that of the one that runs."
    ),
    word(_RECORD),
    default=REQUIRED,
)
OUTPUT: Final = ("-o", "--output")
