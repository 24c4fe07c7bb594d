"""Asks for the instructor's code: at the terminal, without showing it, or in the environment.

Where `DRYCYCLE_INSTRUCTOR_CODE` is set, it is the code and nobody is asked. Who can read the
environment of a process then reads the code, so at a trainee's own computer it is better typed.
"""

import os
import sys
from getpass import getpass
from typing import Final

from sim.errors import CommandError
from sim.session.order_key import check_code
from sim.words.fields import name
from sim.words.message import plain, row
from sim.words.speech import tell

VARIABLE: Final = "DRYCYCLE_INSTRUCTOR_CODE"

_CODE: Final = plain("cli.code.ask", "The instructor's code: ")
_AGAIN: Final = plain("cli.code.again", "Once more: ")
_NOBODY: Final = plain("cli.code.nobody", "nobody can be asked for the instructor's code here")
_SET_IT: Final = row("cli.code.set", "type it at a terminal, or set {variable}", variable=name())
_DIFFER: Final = plain("cli.code.differ", "the two codes are not the same")
_TYPE_AGAIN: Final = plain("cli.code.differ.to-do", "begin again, and type the same code twice")
_WHERE: Final = "--instructor-code"


def new_code() -> str:
    """Return the code for a new session, typed twice.

    Raises:
        CommandError: Nobody can be asked, it is too short, or it was typed in two ways.
    """
    if given := os.environ.get(VARIABLE):
        check_code(given)
        return given
    code = _asked(tell(_CODE))
    check_code(code)
    if _asked(tell(_AGAIN)) != code:
        raise CommandError(_DIFFER, _WHERE, _TYPE_AGAIN)
    return code


def asked_code() -> str:
    """Return the code of a session that has one.

    Raises:
        CommandError: Nobody can be asked.
    """
    return os.environ.get(VARIABLE) or _asked(tell(_CODE))


def code_to_hold_against(*, ask: bool) -> str:
    """Return the code that the sessions of a class are held against; empty for none.

    Raises:
        CommandError: It shall be asked for, and nobody can be asked.
    """
    return asked_code() if ask else os.environ.get(VARIABLE, "")


def _asked(prompt: str) -> str:
    if not sys.stdin.isatty():
        raise CommandError(_NOBODY, _WHERE, _SET_IT(variable=VARIABLE))
    return getpass(prompt)
