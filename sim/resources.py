"""Where the files that ship with the program are: scenarios/ and art/.

They lie beside the package in a checkout and inside it in an installed wheel.
"""

from pathlib import Path

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
