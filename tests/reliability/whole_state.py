"""Everything that a session is made of, walked into one digest: what `Saw.digest` says and all behind it.

A wire that is bad, an appointment on the clock, a padlock, what a hand is busy with: whatever hangs on
a session and could make it go on differently is in it. What only reports on it is left out by name.
"""

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import is_dataclass
from enum import Enum
from hashlib import sha256
from types import BuiltinFunctionType, FunctionType, MethodType, ModuleType
from typing import Any

_TABLES = (
    "Transition",
    "State",
    "StateTable",
    "TableRow",
    "OrderedDict",
    "Trace",
    "Deeds",
    "Line",
    "Machine",
    "Left",
)
"""Kinds that no act changes, or that only keep what was asked and seen."""
_CODE = (FunctionType, BuiltinFunctionType, MethodType, ModuleType, type)


def whole_state(session: Any, *, without: Iterable[str] = (), kinds: Iterable[str] = ()) -> str:
    """Return the digest of everything that hangs on a session; arguments as for `parts_of`."""
    return sha256("\n".join(parts_of(session, without, kinds)).encode()).hexdigest()


def parts_of(session: Any, without: Iterable[str] = (), kinds: Iterable[str] = ()) -> list[str]:
    """Return everything that hangs on a session, a line a value.

    Args:
        session: Which one.
        without: Attributes of it that are not looked into.
        kinds: Names of classes whose values are not looked into.
    """
    left_out, shut = set(without), {*_TABLES, *kinds}
    seen: dict[int, int] = {}
    keep: list[Any] = []  # so that no identity is given away twice
    lines: list[str] = []
    # Breadth first over what is found: a plant, its parts and what they listen to refer to each other.
    waiting: deque[Any] = deque(
        (name, value) for name, value in sorted(_attributes(session)) if name not in left_out
    )
    while waiting:
        place, value = waiting.popleft()
        if value is None or isinstance(value, bool | int | float | str | bytes | Enum):
            lines.append(f"{place}={value!r}")
            continue
        if isinstance(value, MethodType):
            lines.append(f"{place}={value.__qualname__}")
            value = value.__self__
        elif isinstance(value, FunctionType):
            lines.append(f"{place}={value.__qualname__}")
            cells = value.__closure__ or ()
            names = value.__code__.co_freevars
            for name, cell in zip(names, cells, strict=True):
                try:
                    waiting.append((name, cell.cell_contents))
                except ValueError:  # an empty cell
                    continue
            continue
        elif isinstance(value, _CODE):
            lines.append(f"{place}={getattr(value, '__qualname__', value)}")
            continue
        if id(value) in seen:
            lines.append(f"{place}=again {seen[id(value)]}")
            continue
        seen[id(value)] = len(seen)
        keep.append(value)
        if type(value).__name__ in shut:
            continue
        lines.append(f"{place}={type(value).__qualname__}")
        waiting.extend(_inside(value))
    return lines


def _inside(value: Any) -> list[tuple[str, Any]]:
    if isinstance(value, Mapping):
        return [(f"[{key!r}]", each) for key, each in value.items()]
    if isinstance(value, set | frozenset):
        return [("in", each) for each in sorted(map(repr, value))]
    if isinstance(value, list | tuple | deque):
        return [(f"[{number}]", each) for number, each in enumerate(value)]
    return _attributes(value)


def _attributes(value: Any) -> list[tuple[str, Any]]:
    found = dict(getattr(value, "__dict__", {}))
    for kind in type(value).__mro__:
        slots = getattr(kind, "__slots__", ())
        for name in (slots,) if isinstance(slots, str) else slots:
            if hasattr(value, name):
                found[name] = getattr(value, name)
    if hasattr(value, "func") and hasattr(value, "args"):  # functools.partial
        found |= {"func": value.func, "args": value.args}
    assert found or not is_dataclass(value) or not value.__dataclass_fields__
    return sorted(found.items(), key=lambda each: each[0])
