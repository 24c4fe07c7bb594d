"""The help page of a command or of a group, in the reader's language, as lines of text.

Never here: what a command is for (see its row).
"""

import shutil
import textwrap
from collections.abc import Iterator
from typing import Final

from sim.cli.command_line import HELP
from sim.cli.grammar import Command, CommandGroup, Parameter
from sim.words.message import plain
from sim.words.speech import reader, say, tell

_WIDEST: Final = 80  # characters
_LONGEST_NAME: Final = 30  # characters; what is longer has a line of its own
_INDENT: Final = "  "

_SHOW_HELP: Final = plain("cli.help", "Show this message and exit.")

_Rows = list[tuple[str, str]]


def help_page(of: Command | CommandGroup, line: str) -> list[str]:
    """Return the help page of a command or a group.

    Args:
        of: Which one.
        line: What is typed for it, such as `drycycle calc feed`.
    """
    arguments = [(_argument(each), _about(each)) for each in of.parameters if not each.flags]
    options = [(_option(each), _about(each)) for each in of.parameters if each.flags]
    lines = [
        *_usage(of, line),
        "",
        *_wrapped(tell(of.help), _INDENT),
        *_listed(say("Arguments"), arguments),
        *_listed(say("Options"), [*options, (reader().name(HELP), tell(_SHOW_HELP))]),
    ]
    if isinstance(of, CommandGroup):
        commands = [(reader().name(each.name), tell(each.help)) for each in of.commands]
        lines += _listed(say("Commands"), commands)
        if of.epilog:
            lines += ["", *_wrapped(tell(of.epilog), _INDENT)]
    return lines


def _usage(of: Command | CommandGroup, line: str) -> list[str]:
    pieces = [reader().name(line), say("[OPTIONS]")]
    if isinstance(of, CommandGroup):
        pieces.append(say("COMMAND [ARGS]..."))
    pieces += [_argument(each) for each in of.parameters if not each.flags]
    begin = f"{say('Usage')}: "
    return _wrapped(begin + " ".join(pieces), hanging=" " * len(begin))


def _argument(parameter: Parameter) -> str:
    """Return what stands for an argument, in brackets where it can be left out."""
    stands = f"{_stands(parameter)}..." if parameter.many else _stands(parameter)
    return stands if parameter.required else f"[{stands}]"


def _option(parameter: Parameter) -> str:
    flags = ", ".join(reader().name(flag) for flag in parameter.flags)
    return f"{flags} {_stands(parameter)}".strip()


def _stands(parameter: Parameter) -> str:
    return tell(parameter.takes.stands) if parameter.takes is not None else ""


def _about(parameter: Parameter) -> str:
    """Return what a parameter is for, what it is when it is not given, and what it can be."""
    notes = []
    if parameter.required:
        notes.append(say("required"))
    elif parameter.default is not False and parameter.default not in (None, ""):
        notes.append(f"{say('default')}: {_typed(parameter.default)}")
    if parameter.takes is not None and parameter.takes.range:
        notes.append(tell(parameter.takes.range))
    return f"{tell(parameter.help)}  [{'; '.join(notes)}]" if notes else tell(parameter.help)


def _listed(title: str, rows: _Rows) -> Iterator[str]:
    """Return a blank line, a title, and two columns."""
    if not rows:
        return
    yield ""
    yield f"{title}:"
    wide = max(len(left) for left, _ in rows if len(left) <= _LONGEST_NAME) + len(_INDENT)
    hanging = _INDENT + " " * wide
    for left, right in rows:
        if len(left) > _LONGEST_NAME:
            yield _INDENT + left
            yield from _wrapped(right, hanging)
        else:
            yield from _wrapped(right, f"{_INDENT}{left.ljust(wide)}", hanging=hanging)


def _wrapped(text: str, first: str = "", hanging: str | None = None) -> list[str]:
    width = max(min(shutil.get_terminal_size().columns, _WIDEST), 50)
    return textwrap.wrap(
        text, width, initial_indent=first, break_on_hyphens=False,
        subsequent_indent=first if hanging is None else hanging,
    )  # fmt: skip


def _typed(value: object) -> str:
    """Return a default as it would be typed; a number with the reader's decimal mark."""
    here = reader()
    return here.number(value, decimals=None) if isinstance(value, float) else here.name(str(value))
