"""The command line: what was typed becomes one command done, in the language of who reads.

Here: the commands, their grammar and their help. Heavy modules are imported inside the command that
needs them. Not here: what a command prints (see `sim.text` and `sim.view`).
"""

import sys
from collections.abc import Sequence
from typing import Final

import sim
from sim.cli.command_line import find_command, read_command, read_group
from sim.cli.commands import DRYCYCLE
from sim.cli.grammar import Command, CommandGroup
from sim.cli.help_page import help_page
from sim.cli.who_reads import choose_reader
from sim.errors import BAD_INPUT, DrycycleError
from sim.records.ending import Ended, listening
from sim.text.complaint import complain, write_error
from sim.text.page import put_line
from sim.text.streams import make_ready, takes_no_more
from sim.words.fields import name
from sim.words.message import row

BUG: Final = 3
BROKEN_OFF: Final = 130  # as shells have it for an interrupt

_BUG: Final = row(
    "cli.bug",
    "drycycle: something went wrong inside ({kind}). The details are in {log}",
    kind=name(), log=name(),
)  # fmt: skip
_BUG_UNTOLD: Final = row(
    "cli.bug.untold",
    "drycycle: something went wrong inside ({kind}), and the details could not be written anywhere",
    kind=name(),
)


def main() -> None:
    """Run the command line; errors a reader can put right are one line and exit code 2."""
    make_ready()
    try:
        with listening():
            code = _ended(sys.argv[1:])
    except Ended as ended:
        code = ended.exit_code
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:  # it was told, or nobody listens; the exit code still tells
            takes_no_more(stream)
    sys.exit(code)


def _ended(words: Sequence[str]) -> int:
    """Do what was typed, and return the exit code, whatever happens."""
    try:
        choose_reader()
        code = _do(DRYCYCLE, words, DRYCYCLE.name)
        sys.stdout.flush()
        return code
    except DrycycleError as error:
        complain(error.message)
        return BAD_INPUT
    except (KeyboardInterrupt, EOFError):
        return BROKEN_OFF
    except BrokenPipeError:
        takes_no_more(sys.stdout)  # nobody reads on
        return BROKEN_OFF
    except Exception as fault:  # noqa: BLE001 - the last stop before the user
        from sim.records.bug_log import write_bug

        kind, log = type(fault).__name__, write_bug(fault)
        write_error(_BUG(kind=kind, log=str(log)) if log else _BUG_UNTOLD(kind=kind))
        return BUG


def _do(group: CommandGroup, words: Sequence[str], line: str) -> int:
    typed = read_group(group, words, line)
    if language := typed.values.get("language"):
        choose_reader(str(language))
    if typed.help:
        return _help(group, line)
    if typed.values.get("version"):
        put_line(f"drycycle {sim.__version__}")
        return 0
    if not typed.rest:
        return _help(group, line, BAD_INPUT) if group.alone is None else group.alone() or 0
    found = find_command(group, typed.rest[0], line)
    line = f"{line} {found.name}"
    if isinstance(found, CommandGroup):
        return _do(found, typed.rest[1:], line)
    asked = read_command(found, typed.rest[1:], line, DRYCYCLE)
    if asked.help:
        return _help(found, line)
    return found.does(**asked.values) or 0


def _help(of: Command | CommandGroup, line: str, code: int = 0) -> int:
    """Print a help page; return an exit code."""
    for each in help_page(of, line):
        put_line(each)
    return code
