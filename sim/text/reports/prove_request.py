"""Whether what was asked of `drycycle prove` can be proved and written: known without any library.

Never here: proving.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from sim.errors import CommandError
from sim.logic.proof.properties import PROPERTIES
from sim.text.names import pick
from sim.words.fields import name
from sim.words.message import plain, row

_ENDING: Final = ".vcd"
_NO_DUMP: Final = row("prove.no-dump", "a counterexample is no {ending} file", ending=name())
_NO_ENDING: Final = plain("prove.no-ending", "a counterexample is no file without an ending")
_WRITE_DUMP: Final = plain("prove.no-dump.to-do", "let it end in .vcd")


def check_request(names: Sequence[str], output: Path | None) -> tuple[str, ...]:
    """Return the properties that are meant.

    Args:
        names: As they were typed.
        output: Where the counterexample is to be written, or None.

    Raises:
        CommandError: There is no such property, or the file would be of another kind.
    """
    if output is not None and output.suffix.lower() != _ENDING:
        what = _NO_DUMP(ending=output.suffix) if output.suffix else _NO_ENDING
        raise CommandError(what, str(output), _WRITE_DUMP)
    return tuple(pick(name, PROPERTIES, "property", "prove") for name in names)
