"""The commands of one session: play, run, replay, trace, debrief, shot."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sim.cli.display import has_display, window
from sim.cli.grammar import REQUIRED, Command, Parameter, path, whole, word
from sim.cli.parameters import JSON, MACHINE, NAME, OUTPUT, RECORD, SCENARIO
from sim.errors import CommandError
from sim.words.message import plain

if TYPE_CHECKING:
    from sim.session.session import Session

SHEETS: Final = "brief, console, walk, inspect, lockout, diagnose, signals, log, bench, circuit, meter or instructor"
_ONE_OF_THEM: Final = plain("cli.play.one-of-them", "--record and --no-record do not go together")
_UNRECORDED: Final = plain(
    "cli.play.unrecorded", "an assessment is not played without a record, which is what it is for"
)
_RECORD_IT: Final = plain(
    "cli.play.unrecorded.to-do", "leave --no-record out, or name a file with --record"
)
_LEAVE_ONE: Final = plain("cli.play.one-of-them.to-do", "leave one of them out")
_NO_CODE: Final = plain("cli.play.shift", "a shift of orders takes no instructor's code")
_NO_CODE_DO: Final = plain("cli.play.shift.to-do", "leave --instructor-code out")
_GOES_ON: Final = plain(
    "cli.play.resume",
    "only a shift of orders goes on from its record, on its own machine and under its own name",
)
_GOES_ON_DO: Final = plain(
    "cli.play.resume.to-do", "name a shift, and leave --machine and --who out"
)
_NO_SHIFT: Final = plain("cli.play.no-shift", "this is no shift of orders")
_NO_SHIFT_DO: Final = plain(
    "cli.play.no-shift.to-do",
    "leave -o out; drycycle debrief RECORD -o writes the page of a session",
)
_SHIFT_OPTION: Final = plain(
    "cli.run.shift",
    "the autopilot's shift is set up from the card, the same each time, and keeps no record",
)
_SHIFT_OPTION_DO: Final = plain("cli.run.shift.to-do", "leave --as-found and --record out")
_WINDOW_OR_JSON: Final = plain("cli.replay.one", "--window and --json do not go together")
_NO_DISPLAY: Final = plain("cli.replay.no-display", "there is no display to open a window on")
_NO_DISPLAY_DO: Final = plain(
    "cli.replay.no-display.to-do", "leave --window out, or log in with a display"
)
_SHEET: Final = plain("cli.stands.sheet", "SHEET")
_SIZE: Final = plain("cli.stands.size", "SIZE")
_TIME: Final = plain("cli.stands.time", "TIME")


def _play(
    *,
    scenario: str,
    machine: str,
    text: bool,
    record: Path | None,
    no_record: bool,
    who: str,
    instructor_code: bool,
    output: Path | None,
    going_on: Path | None,
) -> int:
    shift = _shift_of(scenario, output)
    if going_on is not None and (shift is None or machine or who):
        raise CommandError(_GOES_ON, "--resume", _GOES_ON_DO)
    if no_record and record is not None:
        raise CommandError(_ONE_OF_THEM, "play", _LEAVE_ONE)
    if shift is not None:
        return _play_shift(
            shift, machine, output,
            record=record, recorded=not no_record, who=who, going_on=going_on, code=instructor_code,
        )  # fmt: skip
    if no_record:
        _check_unrecorded(scenario, machine)
    code = ""
    if instructor_code:
        from sim.cli.instructor_code import new_code

        code = new_code()
    named = iter((record,))  # once more is another record

    def begin() -> "Session":
        if no_record:
            return _unrecorded(scenario, who, machine, code)
        return _recorded(scenario, next(named, None), who, machine, code)

    if not text and has_display():
        run_window = window()
        if who or machine or no_record:
            return run_window(begin, code=code)
        return run_window(scenario, record, code=code)
    from sim.text.page import put_line
    from sim.text.typed.console import play

    return play(begin(), None, put_line, interactive=sys.stdin.isatty())


def _shift_of(scenario: str, output: Path | None) -> Path | None:
    """Return the file of a shift, None where it is a scenario; refuse an output that only a shift has."""
    from sim.shift.reading import shift_file

    shift = shift_file(scenario)
    if shift is None and output is not None:
        raise CommandError(_NO_SHIFT, scenario, _NO_SHIFT_DO)
    return shift


def _play_shift(
    shift: Path,
    machine: str,
    output: Path | None,
    *,
    record: Path | None,
    recorded: bool,
    who: str,
    going_on: Path | None,
    code: bool,
) -> int:
    if code:
        raise CommandError(_NO_CODE, str(shift), _NO_CODE_DO)
    from sim.cli.instructor_code import asked_code
    from sim.session.who_may import record_to_tell
    from sim.text.typed.shift_console import play_and_report

    kept = None if going_on is None else record_to_tell(_record_file(going_on), asked_code)
    return play_and_report(
        shift, machine, output, record=record, recorded=recorded, who=who, going_on=kept
    )


def _check_unrecorded(scenario: str, machine: str) -> None:
    from sim.session.opening import read

    if read(scenario, machine)[0].mode == "assessment":
        raise CommandError(_UNRECORDED, "--no-record", _RECORD_IT)


def _recorded(scenario: str, record: Path | None, who: str, machine: str, code: str) -> "Session":
    from sim.session.opening import open_recorded

    return open_recorded(scenario, record, who, machine, code)


def _unrecorded(scenario: str, who: str, machine: str, code: str) -> "Session":
    from sim.session.opening import new_seed, open_session

    return open_session(scenario, machine=machine, who=who, code=code, seed=new_seed())


def _run(
    *,
    scenario: str,
    machine: str,
    as_found: bool,
    record: Path | None,
    output: Path | None,
    as_json: bool,
) -> int:
    shift = _shift_of(scenario, output)
    if shift is not None:
        if as_found or record is not None:
            raise CommandError(_SHIFT_OPTION, scenario, _SHIFT_OPTION_DO)
        from sim.text.reports.shift_run import run_shift

        return run_shift(shift, machine, output, as_json=as_json)
    from sim.text.reports.run_report import run_and_report

    return run_and_report(scenario, machine, as_found=as_found, record=record, as_json=as_json)


def _replay(*, record: Path, as_json: bool, in_window: bool) -> int:
    from sim.cli.instructor_code import asked_code

    if in_window:
        if as_json:
            raise CommandError(_WINDOW_OR_JSON, "--window", _LEAVE_ONE)
        if not has_display():
            raise CommandError(_NO_DISPLAY, "--window", _NO_DISPLAY_DO)
        from sim.session.who_may import record_to_tell

        told = record_to_tell(_record_file(record), asked_code)
        run_window = window()
        from sim.view.play.player import player_for

        player = player_for(told)
        return run_window(first=lambda app: app.show_player(player))
    from sim.text.reports.replay_report import replay_and_report

    return replay_and_report(_record_file(record), asked_code, as_json=as_json)


def _trace(*, record: Path, output: Path) -> int:
    from sim.cli.instructor_code import asked_code
    from sim.text.reports.trace_report import trace_record

    return trace_record(_record_file(record), asked_code, output)


def _debrief(*, record: Path, output: Path | None, as_json: bool) -> int:
    from sim.cli.instructor_code import asked_code
    from sim.text.reports.debrief_report import debrief_and_report

    return debrief_and_report(_record_file(record), asked_code, output=output, as_json=as_json)


def _record_file(record: Path) -> Path:
    """Return the file that a record's word stands for: `last` is that of the session that runs, else the newest."""
    if str(record) != "last":
        return record
    from sim.text.reports.instruct_report import last_record

    return last_record()


def _shot(*, scenario: str, output: Path, at: str, size: str, text: int, tab: str) -> None:
    from sim.view.pages.picture_of_run import save_shot

    save_shot(scenario, output, at=at, size=size, text_percent=text, tab=tab)


_SHIFT_OUTPUT: Final = Parameter(
    "output",
    plain("cli.shift.output", "Of a shift of orders: write its debrief as an HTML page, or as JSON."),
    path(), OUTPUT, None,
)  # fmt: skip
PLAY: Final = Command(
    "play",
    plain("cli.play", "Run a scenario by hand, in the window or with --text in the terminal."),
    _play,
    (
        SCENARIO,
        MACHINE,
        Parameter("text", plain("cli.play.text", "In the terminal, not the window."), flags=("--text",)),
        Parameter(
            "record",
            plain("cli.play.record", "Where to write the record; default: your record folder."),
            path(), ("--record",), None,
        ),
        Parameter(
            "no_record",
            plain("cli.play.no-record", "Keep no record, as where nothing can be written."),
            flags=("--no-record",),
        ),
        Parameter(
            "who",
            plain("cli.play.who", "A pseudonym for the record, such as bench-07; no person's name."),
            word(NAME), ("--who",), "",
        ),
        Parameter(
            "instructor_code",
            plain(
                "cli.play.instructor-code",
                "Ask for an instructor's code, without which an assessment takes no orders and no "
                "session takes a fault; in the window it is that of every session begun there.",
            ),
            flags=("--instructor-code",),
        ),
        _SHIFT_OUTPUT,
        Parameter(
            "going_on",
            plain("cli.play.resume.help", "Of a shift of orders: go on where this record of it ends, in a new record."),
            path(), ("--resume",), None,
        ),
    ),
)  # fmt: skip
RUN: Final = Command(
    "run",
    plain("cli.run", "Have the autopilot run the job without a window, and report every piece."),
    _run,
    (
        SCENARIO,
        MACHINE,
        Parameter(
            "as_found",
            plain("cli.run.as-found", "Do not set up from the card: run it as it stands."),
            flags=("--as-found",),
        ),
        Parameter(
            "record", plain("cli.run.record", "Write a record of the run."), path(), ("--record",), None
        ),
        _SHIFT_OUTPUT,
        JSON,
    ),
)  # fmt: skip
REPLAY: Final = Command(
    "replay",
    plain("cli.replay", "Play a record again and compare the last states."),
    _replay,
    (
        RECORD,
        JSON,
        Parameter(
            "in_window",
            plain("cli.replay.window", "Show it in the window, with a scrubber to any moment."),
            flags=("--window",),
        ),
    ),
)
TRACE: Final = Command(
    "trace",
    plain(
        "cli.trace",
        "Play a record again and write every change of every wire and state as a VCD (IEEE 1364).",
    ),
    _trace,
    (
        RECORD,
        Parameter(
            "output", plain("cli.trace.output", "The VCD file to write."), path(), OUTPUT, REQUIRED
        ),
    ),
)
DEBRIEF: Final = Command(
    "debrief",
    plain(
        "cli.debrief",
        "Say what a recorded session was worth, and why: in words, as JSON, or as a page to print.",
    ),
    _debrief,
    (
        RECORD,
        Parameter(
            "output",
            plain("cli.debrief.output", "Write it as one HTML page instead."),
            path(), OUTPUT, None,
        ),
        JSON,
    ),
)  # fmt: skip
SHOT: Final = Command(
    "shot",
    plain("cli.shot", "Save a picture of the window at a moment of the autopilot's run."),
    _shot,
    (
        SCENARIO,
        Parameter("output", plain("cli.shot.output", "The PNG file to write."), path(), OUTPUT, REQUIRED),
        Parameter(
            "at", plain("cli.shot.at", "Simulated time, like 42s or 3m."), word(_TIME), ("--at",), "0s"
        ),
        Parameter(
            "size",
            plain("cli.shot.size", "Of the window, like 1600x900."),
            word(_SIZE), ("--size",), "1600x900",
        ),
        Parameter(
            "text", plain("cli.shot.text", "Text scale, percent."), whole(100, 200), ("--text",), 100
        ),
        Parameter(
            "tab", plain("cli.shot.tab", f"Which sheet is open: {SHEETS}."), word(_SHEET), ("--tab",), "console"
        ),
    ),
)  # fmt: skip
