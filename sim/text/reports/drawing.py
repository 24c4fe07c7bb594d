"""`drycycle draw`: a new drill, printed or written to a file."""

from collections.abc import Callable
from pathlib import Path

from sim.authoring.draw import draw
from sim.errors import CommandError
from sim.words.speech import reader


def draw_and_write(level: int, seed: int, path: Path | None, write: Callable[[str], None]) -> int:
    """Draw a drill, and write it to a new file or print it; return 0.

    Raises:
        CommandError: No such level, the file is there already, or it cannot be written.
    """
    if path is not None and path.exists():
        raise CommandError("the file is there already", str(path), "name another")
    drawn = draw(level, seed, reader())
    if path is None:
        write(drawn.text.rstrip("\n"))
        return 0
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(drawn.text)
    except OSError as fault:
        raise CommandError("the file cannot be written", str(path), str(fault)) from fault
    write(f"{path}: {drawn.scenario.title}")
    return 0
