"""Where the files that ship with the program are: scenarios/ and art/.

They lie beside the package in a checkout and inside it in an installed wheel.
"""

from pathlib import Path
from typing import Final

MACHINES: Final = "machines"
"""The folder of the machines among the scenarios, one folder each."""
INTERLOCKS: Final = "interlocks.yaml"
"""In the folder of a machine, every row that its controller walks."""
FIRST_SAW: Final = "harbour-saw"
"""The saw that ships first; every other leans on its files."""

_PACKAGE = Path(__file__).resolve().parent


def shipped(folder: str) -> Path:
    """Return the folder `scenarios` or `art` as it ships with this program.

    Raises:
        FileNotFoundError: Neither a checkout nor a wheel holds the folder.
    """
    for place in (_PACKAGE / "_shipped" / folder, _PACKAGE.parent / folder):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"the folder {folder!r} did not come with this installation")


def first_saw(file: str) -> Path:
    """Return a file of the saw that ships first.

    Raises:
        FileNotFoundError: As `shipped`.
    """
    return shipped("scenarios") / MACHINES / FIRST_SAW / file
