"""Refuse inputs that no bar, band or vise could have.

Never here: what a trainee may set wrongly at the saw; a wrong setting is an input like any
other and shows as a result.
"""

from sim.errors import DrycycleError


def require_above_zero(owner: str, **values: float) -> None:
    """Raise if one of the named values is zero, negative or not a number.

    Raises:
        DrycycleError: Names the owner and the first value at fault.
    """
    for name, value in values.items():
        if not value > 0.0:
            raise DrycycleError(
                f"{name} is {value}, which nothing real can have",
                where=owner,
                what_to_do=f"give {name} a value above zero",
            )


def require_fraction(owner: str, **values: float) -> None:
    """Raise if one of the named values is outside 0 to 1.

    Raises:
        DrycycleError: Names the owner and the first value at fault.
    """
    for name, value in values.items():
        if not 0.0 <= value <= 1.0:
            raise DrycycleError(
                f"{name} is {value}",
                where=owner,
                what_to_do=f"give {name} a value from 0 to 1",
            )
