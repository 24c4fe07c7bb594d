"""Refuse inputs that no bar, band or vise could have.

Never here: what a trainee may set wrongly at the saw; a wrong setting is an input like any
other and shows as a result.
"""

from typing import Final

from sim.errors import DrycycleError
from sim.words.fields import name
from sim.words.message import row

_NOT_REAL: Final = row(
    "trade.not-real", "{size} is {value}, which nothing real can have", size=name(), value=name()
)
_ABOVE_ZERO: Final = row("trade.above-zero", "give {size} a value above zero", size=name())
_NO_FRACTION: Final = row("trade.no-fraction", "{size} is {value}", size=name(), value=name())
_FRACTION: Final = row("trade.fraction", "give {size} a value from 0 to 1", size=name())


def require_above_zero(owner: str, **values: float) -> None:
    """Raise if one of the named values is zero, negative or not a number.

    Raises:
        DrycycleError: Names the owner and the first value at fault.
    """
    for size, value in values.items():
        if not value > 0.0:
            what = _NOT_REAL(size=size, value=str(value))
            raise DrycycleError(what, owner, _ABOVE_ZERO(size=size))


def require_fraction(owner: str, **values: float) -> None:
    """Raise if one of the named values is outside 0 to 1.

    Raises:
        DrycycleError: Names the owner and the first value at fault.
    """
    for size, value in values.items():
        if not 0.0 <= value <= 1.0:
            what = _NO_FRACTION(size=size, value=str(value))
            raise DrycycleError(what, owner, _FRACTION(size=size))
