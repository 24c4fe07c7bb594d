"""The commands for a class and its instructor: class, instruct, next."""

from pathlib import Path
from typing import Final

from sim.cli.grammar import FOLDER, REQUIRED, Command, Parameter, path, word
from sim.cli.parameters import JSON, NAME, OUTPUT, RUNNING_RECORD
from sim.words.message import plain

_ORDER: Final = plain("cli.stands.order", "ORDER")


def _class(
    *, folder: Path, output: Path | None, recount: bool, instructor_code: bool, as_json: bool
) -> int:
    from sim.cli.instructor_code import code_to_hold_against
    from sim.text.reports.class_text import class_and_report

    code = code_to_hold_against(ask=instructor_code)
    return class_and_report(folder, output=output, recount=recount, code=code, as_json=as_json)


def _instruct(*, record: str, order: list[str], as_json: bool) -> int:
    from sim.cli.instructor_code import asked_code
    from sim.text.reports.instruct_report import instruct

    return instruct(record, order, asked_code, as_json=as_json)


def _next(*, who: str, folder: Path | None, as_json: bool) -> None:
    from sim.text.reports.due_report import print_due

    print_due(folder, who, as_json=as_json)


CLASS: Final = Command(
    "class",
    plain("cli.class", "Put the records of a class side by side."),
    _class,
    (
        Parameter("folder", plain("cli.class.folder", "A folder with records."), path(FOLDER), default=REQUIRED),
        Parameter(
            "output",
            plain("cli.class.output", "Write it to a .html or .csv file."),
            path(), OUTPUT, None,
        ),
        Parameter(
            "recount",
            plain("cli.class.recount", "Play every record again instead of believing it."),
            flags=("--recount",),
        ),
        Parameter(
            "instructor_code",
            plain(
                "cli.class.instructor-code",
                "Ask for the instructor's code, and mark the assessments that were begun with another.",
            ),
            flags=("--instructor-code",),
        ),
        JSON,
    ),
)  # fmt: skip
INSTRUCT: Final = Command(
    "instruct",
    plain(
        "cli.instruct", "Give an order to a session that runs beside this one, as its instructor."
    ),
    _instruct,
    (
        RUNNING_RECORD,
        Parameter(
            "order",
            plain(
                "cli.instruct.order",
                "put-in FAULT, take-out FAULT, freeze, go, pace 2, second comes NAME (a second person, who "
                "then leaves, returns, or does press KEY, release KEY or set NAME VALUE, perhaps in SECONDS), "
                "note TEXT (the trainee reads it) or mark TEXT (only the debrief shows it). Without an order "
                "those that were given are listed, those on faults only to whoever has the code. It asks "
                "for the instructor's code where the session has one.",
            ),
            word(_ORDER),
            default=None,
            many=True,
        ),
        JSON,
    ),
)
NEXT: Final = Command(
    "next",
    plain("cli.next", "Say what to practise next, by the records and a spacing schedule."),
    _next,
    (
        Parameter("who", plain("cli.next.who", "Whose records, by pseudonym."), word(NAME), ("--who",), ""),
        Parameter(
            "folder",
            plain("cli.next.folder", "Records to go by; default: your record folder."),
            path(FOLDER), ("--folder",), None,
        ),
        JSON,
    ),
)  # fmt: skip
