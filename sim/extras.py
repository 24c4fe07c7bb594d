"""Libraries that not everybody needs: each comes with an extra of this program's package.

`prove` brings numpy for the proofs, `nest` a solver for cut lists.
Not here: what is done without one; each wing that can do without decides that itself.
"""

from importlib.util import find_spec
from typing import Final

from sim.errors import DrycycleError
from sim.words.fields import name
from sim.words.message import plain, row

NUMPY: Final = "numpy", "prove"
SOLVER: Final = "highspy", "nest"
_MISSING: Final = row("extra.missing", "this needs the library {library}", library=name())
_INSTALL: Final = row(
    "extra.install",
    "in the program's folder, install drycycle[{extra}]: {command}",
    extra=name(),
    command=name(),
)
_WHERE: Final = plain("extra.where", "extras of this program")


def there(library: str) -> bool:
    """Return whether a library is installed."""
    return find_spec(library) is not None


def needs(extra: tuple[str, str]) -> None:
    """Refuse to go on without a library.

    Args:
        extra: The library, and the extra that brings it.

    Raises:
        DrycycleError: It is not; says which extra brings it.
    """
    library, bringing = extra
    if not there(library):
        raise DrycycleError(
            _MISSING(library=library),
            _WHERE,
            _INSTALL(extra=bringing, command=f"pip install '.[{bringing}]'"),
        )
