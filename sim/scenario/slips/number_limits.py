"""The limits of a number, as a model has them beside its type, and what to write within them.

Never here: what the number is for.
"""

from collections.abc import Iterable
from typing import Annotated, Any, Final, get_args, get_origin

from sim.scenario.scalars import spelled
from sim.scenario.slips.typed_number import UNIT, UNITS, unit_of
from sim.words.fields import name, one_of, part, parts
from sim.words.message import Message, row

Limits = dict[str, float]
"""By `gt`, `ge`, `lt` and `le`; empty where there is none."""

_BOUNDS: Final = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}
_KIND: Final = one_of("a number", "a whole number")
_BOUND: Final = row(
    "limits.bound", "{bound} {limit}", bound=one_of(*_BOUNDS.values()), limit=name()
)
_WRITE: Final = row("limits.write", "write {kind}", kind=_KIND)
_WRITE_IN: Final = row("limits.write-in", "write {kind} of {unit}", kind=_KIND, unit=UNIT)
_WITHIN: Final = row("limits.within", "{write}, {bounds}", write=part(), bounds=parts(" and "))


def limits_at(types: Iterable[Any]) -> Limits:
    """Return the limits that stand beside some types."""
    found: Limits = {}
    for each in types:
        inner = list(get_args(each))
        if get_origin(each) is Annotated:
            for beside in each.__metadata__:
                for one in (beside, *getattr(beside, "metadata", ())):
                    found |= {key: float(getattr(one, key)) for key in _BOUNDS if hasattr(one, key)}
            inner = inner[:1]
        found |= limits_at(inner)
    return found


def fits(value: float, limits: Limits) -> bool:
    """Return whether a number keeps within limits."""
    return (
        limits.get("gt", -float("inf")) < value < limits.get("lt", float("inf"))
        and limits.get("ge", value) <= value <= limits.get("le", value)
    )  # fmt: skip


def write_within(field: str, limits: Limits, *, whole: bool) -> Message:
    """Return what to write where a number does not keep within limits."""
    kind, unit = "a whole number" if whole else "a number", unit_of(field)
    write = _WRITE_IN(kind=kind, unit=UNITS[unit]) if unit else _WRITE(kind=kind)
    bounds = tuple(
        _BOUND(bound=words, limit=spelled(limits[key]))
        for key, words in _BOUNDS.items()
        if key in limits
    )
    return _WITHIN(write=write, bounds=bounds) if bounds else write
