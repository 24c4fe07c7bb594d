"""What is said of a mistake on the command line: one line on standard error.

Never here: the exit code that goes with it.
"""

import sys
from typing import Final

from sim.words.fields import part
from sim.words.message import Message, row
from sim.words.speech import tell
from sim.words.visible import visible

_ERROR: Final = row("cli.error", "drycycle: {error}", error=part())


def complain(error: Message) -> None:
    """Write an error on a line of its own."""
    write_error(_ERROR(error=error))


def write_error(said: Message) -> None:
    """Write a whole line to standard error."""
    sys.stderr.write(f"{visible(tell(said))}\n")
