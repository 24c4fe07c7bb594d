"""The commands of the logic bench: print, prove."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sim.cli.display import has_display
from sim.cli.grammar import REQUIRED, Command, Parameter, path, word
from sim.cli.parameters import JSON, OUTPUT
from sim.errors import CommandError
from sim.words.fields import name
from sim.words.message import plain, row

if TYPE_CHECKING:
    from sim.logic.proof.proof import Finding
    from sim.logic.proof.unfold import Row

_PRINT: Final = plain("cli.stands.print", "PRINT")
_MACHINE: Final = plain("cli.stands.machine", "MACHINE")
_PART: Final = plain("cli.stands.part", "PART")
_FORMAT: Final = plain("cli.stands.format", "FORMAT")
_PROPERTY: Final = plain("cli.stands.property", "PROPERTY")
_OF_THE_TABLE: Final = row(
    "prove.of-the-table",
    "{asked} speaks of the table as it ships, not of a site's rows",
    asked=name(),
)
_OF_THE_TABLE_DO: Final = plain(
    "prove.of-the-table.do",
    "leave one of them out; --machine says what each changed row does, and prints the way it hurts",
)
_INTERLOCK: Final = plain("cli.stands.interlock", "INTERLOCK")


def _print(*, what: str, of: str, machine: str, form: str, output: Path | None) -> int:
    from sim.text.reports.print_report import print_out

    return print_out(what, of, machine=machine, form=form, output=output)


def _prove(
    *,
    properties: list[str],
    bypass: list[str],
    machine: str,
    each: bool,
    quick: bool,
    play: bool,
    text: bool,
    output: Path | None,
    as_json: bool,
) -> int:
    from sim import extras
    from sim.text.reports.prove_request import check_request

    check_request(properties, output)
    extras.needs(extras.NUMPY)
    from sim.text.reports.each_report import each_and_report
    from sim.text.reports.example_text import play_in_terminal
    from sim.text.reports.prove_report import prove_and_report

    if machine and (each or play):
        asked = "prove --each" if each else "prove --play"
        raise CommandError(_OF_THE_TABLE(asked=asked), asked, _OF_THE_TABLE_DO)
    if each:
        return each_and_report(as_json=as_json)
    in_window = not text and has_display() and sys.stdin.isatty()
    player = (_play_in_window if in_window else play_in_terminal) if play else None
    return prove_and_report(
        properties,
        bypass,
        machine=machine,
        quick=quick,
        play=player,
        output=output,
        as_json=as_json,
    )


def _play_in_window(finding: "Finding", rows: "tuple[Row, ...]") -> None:
    from sim.view.pages.window import run_example

    run_example(finding, rows)


PRINT: Final = Command(
    "print",
    plain(
        "cli.print", "Print what hangs in the cabinet, or the whole logic for spin and for chart tools."
    ),
    _print,
    (
        Parameter(
            "what",
            plain(
                "cli.print.what",
                "diagram, handbook, cause-and-effect, signals, terminals, io, rungs, promela, scxml, glossary or all.",
            ),
            word(_PRINT), default=REQUIRED,
        ),
        Parameter(
            "of",
            plain(
                "cli.print.of",
                "Of a diagram: which state machine; of terminals and io which device, of rungs which coil.",
            ),
            word(_PART), default="",
        ),
        Parameter(
            "machine",
            plain("cli.print.site", "Of this machine, by its name or its folder: its wiring, its rows."),
            word(_MACHINE), ("--machine",), "",
        ),
        Parameter(
            "form",
            plain("cli.print.format", "text, csv, html; for a diagram mermaid, for one drawing svg."),
            word(_FORMAT), ("--format",), "",
        ),
        Parameter(
            "output",
            plain("cli.print.output", "Write it to a file instead."),
            path(), OUTPUT, None,
        ),
    ),
)  # fmt: skip
PROVE: Final = Command(
    "prove",
    plain(
        "cli.prove",
        "Prove the controller: whatever happens, is it safe, and can the job always be finished?",
    ),
    _prove,
    (
        Parameter(
            "properties",
            plain("cli.prove.properties", "Their names; all when left out."),
            word(_PROPERTY), default=None, many=True,
        ),
        Parameter(
            "bypass",
            plain("cli.prove.bypass", "Jumper this interlock, like I4; may be repeated."),
            word(_INTERLOCK), ("--bypass",), None, many=True,
        ),
        Parameter(
            "machine",
            plain(
                "cli.prove.machine",
                "Prove this machine, by its name or its folder: what each row that its site has changed does, too.",
            ),
            word(_MACHINE), ("--machine",), "",
        ),
        Parameter(
            "each",
            plain("cli.prove.each", "Take out every interlock and row, one by one."),
            flags=("--each",),
        ),
        Parameter(
            "quick",
            plain("cli.prove.quick", "Only while nothing is bad, and without MAINTENANCE: quicker."),
            flags=("--quick",),
        ),
        Parameter(
            "play",
            plain("cli.prove.play", "Play the counterexample on a live controller, in the window."),
            flags=("--play",),
        ),
        Parameter(
            "text",
            plain("cli.prove.text", "Play it in the terminal instead."),
            flags=("--text",),
        ),
        Parameter(
            "output",
            plain("cli.prove.output", "Write the counterexample as a VCD file."),
            path(), OUTPUT, None,
        ),
        JSON,
    ),
)  # fmt: skip
