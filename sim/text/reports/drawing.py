"""`drycycle draw`: a new drill, printed or written to a file."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from sim.authoring.draw import draw
from sim.errors import CommandError
from sim.records.output import check_place, write_output
from sim.words.fields import authored, name
from sim.words.message import plain, row
from sim.words.speech import reader, tell

_THERE: Final = plain("draw.there", "the file is there already")
_NAME_ANOTHER: Final = plain("draw.there.write", "name another")
_WRITTEN: Final = row("draw.written", "{file}: {title}", file=name(), title=authored())


def draw_and_write(level: int, seed: int, path: Path | None, write: Callable[[str], None]) -> int:
    """Draw a drill, and write it to a new file or print it; return 0.

    Raises:
        CommandError: No such level, the file is there already, or it cannot be written.
    """
    if path is not None:
        check_place(path)
    if path is not None and path.exists():
        raise CommandError(_THERE, str(path), _NAME_ANOTHER)
    drawn = draw(level, seed, reader())
    if path is None:
        write(drawn.text.rstrip("\n"))
        return 0
    write_output(path, drawn.text)
    write(tell(_WRITTEN(file=str(path), title=drawn.scenario.title)))
    return 0
