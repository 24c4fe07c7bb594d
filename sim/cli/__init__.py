"""The command line. Heavy modules are imported inside the command that needs them."""

import gc
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

import sim
from sim.cli import calc
from sim.errors import DrycycleError

if TYPE_CHECKING:
    from sim.logic.proof.proof import Finding
    from sim.logic.proof.unfold import Row
    from sim.session.session import Session

BAD_INPUT: Final = 2
BUG: Final = 3

app = typer.Typer(
    name="drycycle",
    help="A training saw that can be run wrong on purpose. Alone, it opens home.",
    epilog="Practice, not authorisation: the maker's manual, local codes and a licensed person come first.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

app.add_typer(calc.app, name="calc")

Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
Scenario = Annotated[str, typer.Argument(help="A name from `drycycle list`, or a scenario file.")]


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"drycycle {sim.__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def home(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Open home: the window, the terminal, or a demonstration where there is neither."""
    if context.invoked_subcommand is not None:
        return
    if _has_display():
        raise typer.Exit(_window()(None))
    if sys.stdin.isatty() and sys.stdout.isatty():
        from sim.text.console import home as text_home

        raise typer.Exit(text_home(typer.echo))
    from sim.text.demonstration import demonstrate

    raise typer.Exit(demonstrate(typer.echo))


def _record_file(record: Path) -> Path:
    """Return the file that a record's word stands for: `last` is the newest in the folder."""
    if str(record) != "last":
        return record
    from sim.text.reports.instruct_report import newest

    return newest()


def _has_display() -> bool:
    if os.environ.get("SDL_VIDEODRIVER") in ("dummy", "offscreen"):
        return False
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _window() -> Callable[..., int]:
    """Return what opens the window; loading it makes much that stays, so nothing is collected yet."""
    gc.disable()  # the window turns it on again once it is there
    from sim.view.pages.app import run

    return run


@app.command()
def play(
    scenario: Scenario,
    text: Annotated[bool, typer.Option("--text", help="In the terminal, not the window.")] = False,
    record: Annotated[
        Path | None, typer.Option(help="Where to write the record; default: your record folder.")
    ] = None,
    who: Annotated[
        str, typer.Option(help="A pseudonym for the record, such as bench-07; no person's name.")
    ] = "",
) -> None:
    """Run a scenario by hand, in the window or with --text in the terminal."""
    if not text and _has_display():
        run_window = _window()
        if who:
            raise typer.Exit(run_window(lambda: _recorded(scenario, record, who)))
        raise typer.Exit(run_window(scenario, record))
    from sim.text.console import play as play_text

    session = _recorded(scenario, record, who)
    interactive = sys.stdin.isatty()
    raise typer.Exit(play_text(session, None, typer.echo, interactive=interactive))


def _recorded(scenario: str, path: Path | None, who: str) -> "Session":
    from sim.session.opening import open_recorded

    return open_recorded(scenario, path, who)


@app.command()
def run(
    scenario: Scenario,
    as_found: Annotated[
        bool, typer.Option("--as-found", help="Do not set up from the card: run it as it stands.")
    ] = False,
    record: Annotated[Path | None, typer.Option(help="Write a record of the run.")] = None,
    as_json: Json = False,
) -> None:
    """Have the autopilot run the job without a window, and report every piece."""
    from sim.text.reports.run_report import run_and_report

    raise typer.Exit(run_and_report(scenario, as_found=as_found, record=record, as_json=as_json))


@app.command(name="list")
def list_(
    what: Annotated[
        str, typer.Argument(help="scenarios, faults, inspections, keys, points or materials.")
    ] = "scenarios",
    skill: Annotated[
        str, typer.Option(help="Of scenarios those only that train it, such as maintenance.")
    ] = "",
    as_json: Json = False,
) -> None:
    """List what there is: scenarios, faults, inspections, keys, set points, materials."""
    from sim.text.reports.listing import print_list

    print_list(what, skill=skill, as_json=as_json)


@app.command()
def check(
    scenarios: Annotated[
        list[str] | None, typer.Argument(help="Names or files; all that ship when left out.")
    ] = None,
    catalogue: Annotated[
        bool,
        typer.Option("--catalogue", help="Judge the catalogue: can every fault be found and told?"),
    ] = False,
    as_json: Json = False,
) -> None:
    """Prove scenarios: the job can be done, the fault shows, can be told, and is cured."""
    from sim.text.reports.check_report import check_and_report, check_catalogue

    if catalogue:
        raise typer.Exit(check_catalogue(as_json=as_json))
    raise typer.Exit(check_and_report(scenarios or [], as_json=as_json))


@app.command()
def draw(
    level: Annotated[int, typer.Option(help="1, 2 or 3.")] = 1,
    seed: Annotated[int, typer.Option(help="Equal seeds draw equal drills.")] = 1,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", help="A new file; else it is printed.")
    ] = None,
) -> None:
    """Draw a new drill by chance, and write it only when it is proved sound."""
    from sim.text.reports.drawing import draw_and_write

    raise typer.Exit(draw_and_write(level, seed, output, typer.echo))


@app.command()
def replay(
    record: Annotated[
        Path, typer.Argument(help="A record that a session wrote, or last for the newest.")
    ],
    as_json: Json = False,
) -> None:
    """Play a record again and compare the last states."""
    from sim.text.reports.replay_report import replay_and_report

    raise typer.Exit(replay_and_report(_record_file(record), as_json=as_json))


@app.command()
def trace(
    record: Annotated[
        Path, typer.Argument(help="A record that a session wrote, or last for the newest.")
    ],
    output: Annotated[Path, typer.Option("-o", "--output", help="The VCD file to write.")],
) -> None:
    """Play a record again and write every change of every wire and state as a VCD (IEEE 1364)."""
    from sim.text.reports.trace_report import trace_record

    raise typer.Exit(trace_record(_record_file(record), output))


@app.command()
def debrief(
    record: Annotated[
        Path, typer.Argument(help="A record that a session wrote, or last for the newest.")
    ],
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write it as one HTML page instead.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say what a recorded session was worth, and why: in words, as JSON, or as a page to print."""
    from sim.text.reports.debrief_report import debrief_and_report

    raise typer.Exit(debrief_and_report(_record_file(record), output=output, as_json=as_json))


@app.command(name="class")
def class_(
    folder: Annotated[Path, typer.Argument(help="A folder with records.")],
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write it to a .html or .csv file.")
    ] = None,
    recount: Annotated[
        bool, typer.Option("--recount", help="Play every record again instead of believing it.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Put the records of a class side by side."""
    from sim.text.reports.class_text import class_and_report

    raise typer.Exit(class_and_report(folder, output=output, recount=recount, as_json=as_json))


@app.command()
def instruct(
    record: Annotated[
        str, typer.Argument(help="The record of a running session, or last for the newest.")
    ],
    order: Annotated[
        list[str] | None,
        typer.Argument(
            help="put-in FAULT, take-out FAULT, freeze, go, pace 2, note TEXT (the trainee reads "
            "it) or mark TEXT (only the debrief shows it); nothing lists what was ordered."
        ),
    ] = None,
    as_json: Json = False,
) -> None:
    """Give an order to a session that runs beside this one, as its instructor."""
    from sim.text.reports.instruct_report import instruct as give

    raise typer.Exit(give(record, order or [], as_json=as_json))


@app.command(name="next")
def next_(
    who: Annotated[str, typer.Option(help="Whose records, by pseudonym.")] = "",
    folder: Annotated[
        Path | None, typer.Option(help="Records to go by; default: your record folder.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say what to practise next, by the records and a spacing schedule."""
    from sim.text.reports.due_report import print_due

    print_due(folder, who, as_json=as_json)


@app.command()
def shot(
    scenario: Scenario,
    output: Annotated[Path, typer.Option("-o", "--output", help="The PNG file to write.")],
    at: Annotated[str, typer.Option(help="Simulated time, like 42s or 3m.")] = "0s",
    size: Annotated[str, typer.Option(help="Of the window, like 1600x900.")] = "1600x900",
    text: Annotated[int, typer.Option(min=100, max=200, help="Text scale, percent.")] = 100,
    tab: Annotated[str, typer.Option(help="Which sheet is open.")] = "desk",
) -> None:
    """Save a picture of the window at a moment of the autopilot's run."""
    from sim.view.pages.picture_of_run import save_shot

    save_shot(scenario, output, at=at, size=size, text_percent=text, tab=tab)


@app.command(name="print")
def print_(
    what: Annotated[
        str,
        typer.Argument(
            help="diagram, handbook, cause-and-effect, signals, rungs, promela, scxml or all."
        ),
    ],
    machine: Annotated[str, typer.Argument(help="Of a diagram: which machine.")] = "",
    form: Annotated[
        str, typer.Option("--format", help="text, csv, html; for diagrams mermaid or svg.")
    ] = "",
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write it to a file instead.")
    ] = None,
) -> None:
    """Print what hangs in the cabinet, or the whole logic for spin and for chart tools."""
    from sim.text.reports.print_report import print_out

    raise typer.Exit(print_out(what, machine, form=form, output=output))


@app.command()
def prove(
    properties: Annotated[
        list[str] | None, typer.Argument(help="Their names; all when left out.")
    ] = None,
    bypass: Annotated[
        list[str] | None, typer.Option(help="Jumper this interlock, like I4; may be repeated.")
    ] = None,
    each: Annotated[
        bool, typer.Option("--each", help="Take out every interlock and row, one by one.")
    ] = False,
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Only while nothing is bad or turned to HAND: seconds."),
    ] = False,
    play: Annotated[
        bool,
        typer.Option("--play", help="Play the counterexample on a live controller, in the window."),
    ] = False,
    text: Annotated[bool, typer.Option("--text", help="Play it in the terminal instead.")] = False,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", help="Write the counterexample as a VCD file.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Prove the controller: whatever happens, is it safe, and can the job always be finished?"""
    from sim import extras

    extras.needs(extras.NUMPY)
    from sim.text.reports.prove_report import each_and_report, play_in_terminal, prove_and_report

    if each:
        raise typer.Exit(each_and_report(as_json=as_json))
    in_window = not text and _has_display() and sys.stdin.isatty()
    player = (_play_in_window if in_window else play_in_terminal) if play else None
    raise typer.Exit(
        prove_and_report(
            properties or [], bypass or [], quick=quick, play=player, output=output, as_json=as_json
        )
    )


def _play_in_window(finding: "Finding", rows: "tuple[Row, ...]") -> None:
    from sim.view.pages.app import run_example

    run_example(finding, rows)


@app.command()
def schema() -> None:
    """Print the JSON Schema of scenario files, for an editor to complete and check them."""
    import json

    from sim.scenario.schema import json_schema
    from sim.session.opening import vocabulary

    typer.echo(json.dumps(json_schema(vocabulary()), indent=2))


def main() -> None:
    """Run the command line; errors a reader can put right are one line and exit code 2."""
    try:
        app()
    except DrycycleError as error:
        typer.echo(f"drycycle: {error}", err=True)
        sys.exit(BAD_INPUT)
    except (KeyboardInterrupt, BrokenPipeError):
        sys.exit(130)
    except Exception as fault:  # noqa: BLE001 - the last stop before the user
        from sim.records.bug_log import write_bug

        typer.echo(
            f"drycycle: something went wrong inside ({type(fault).__name__}). "
            f"The details are in {write_bug(fault)}",
            err=True,
        )
        sys.exit(BUG)
