"""The sentences for what a model refuses: what was found, what was expected, what to write.

A table from pydantic's kinds of error to words; names come with the nearest valid one and a
number that was written with its unit comes back without it. Never here: files and positions.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any, Final, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails, PydanticCustomError

from sim.scenario.scalars import shown, spelled

_LENGTHS_MM: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, '"': 25.4}
_UNITS: Final = {
    "mm": "millimetres", "m": "metres", "s": "seconds", "min": "minutes", "bar": "bar",
    "mpa": "megapascals", "gpa": "gigapascals", "kg_m3": "kilograms a cubic metre", "kw": "kilowatts",
    "m_min": "metres a minute", "mm_min": "millimetres a minute", "mm_s": "millimetres a second",
    "deg": "degrees", "percent": "percent", "n": "newtons", "kn": "kilonewtons",
}  # fmt: skip

_NAMES: Final = "names and values"
_LIKE: Final = {
    "section": "{shape: round, diameter_mm: 60}",
    "job": "{length_mm: 230, wanted: 4, begin: trim}",
    "found": "{head.feed_valve_mm_min: 40}",
    "when": "{signal: B12, goes: live}",
    "intermittent": "{period_s: 30, share: 0.25}",
    "bundle": "{count: 3}",
}


def wrong(what: str, what_to_do: str, at: tuple[str | int, ...] = ()) -> PydanticCustomError:
    """Return the error for a model's validator to raise.

    Args:
        what: What was found and what was expected.
        what_to_do: What to write instead.
        at: The way from the validated value to the culprit within it.
    """
    return PydanticCustomError("told", "{what}", {"what": what, "do": what_to_do, "at": list(at)})


def nearest(word: str, names: Iterable[str]) -> str:
    """Return advice for a name that is not one of `names`: the nearest, or all if they are few."""
    names = sorted(names)
    by_lower = {name.lower(): name for name in names}
    close = get_close_matches(word.lower(), by_lower, n=1, cutoff=0.6)
    if close:
        return f"the nearest name is {by_lower[close[0]]}"
    if not names:
        return "take it out"
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return f"the names are {', '.join(names[:12])}{more}"


def _models(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that an annotation speaks of, through unions, tuples and the like."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for argument in get_args(annotation) for model in _models(argument)]


def _names_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> list[str]:
    """Return the names that the models at the way `loc` have."""
    models = [model]
    for part in loc:
        fields = [each.model_fields[part] for each in models if part in each.model_fields]
        if fields:
            models = [inner for each in fields for inner in _models(each.annotation)]
        elif isinstance(part, str):  # a union's member, named by its tag
            tagged = [each for each in models if _is_tagged(each, part)]
            models = tagged or models
    return sorted({name for each in models for name in each.model_fields})


def _is_tagged(model: type[BaseModel], tag: str) -> bool:
    return any(tag in get_args(each.annotation) for each in model.model_fields.values())


def _unit(name: str) -> str:
    """Return the unit in a name, the longest known one; nothing if the name carries none."""
    parts = name.split("_")
    tails = ("_".join(parts[start:]) for start in range(1, len(parts)))
    return next((tail for tail in tails if tail in _UNITS), "")


def told(error: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    """Return what is wrong and what to do about it, for one error of validating `model`."""
    if error["type"] == "extra_forbidden":
        return _unknown_name(error, model)
    words = _WORDS.get(error["type"])
    if words is not None:
        return words(error)
    return error["msg"][:1].lower() + error["msg"][1:], "change it"


def _unknown_name(error: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    *above, name = error["loc"]
    names = _names_at(model, tuple(above))
    given = str(name)
    stem = given.rpartition("_")[0] or given
    for other in names:
        unit = _unit(other)
        if unit and other.removesuffix(f"_{unit}") in (stem, given):
            return (
                f"there is no name {shown(given)} here; this is given in {_UNITS[unit]}",
                f"the nearest name is {other}",
            )
    return f"there is no name {shown(given)} here", nearest(given, names)


def _missing(error: ErrorDetails) -> tuple[str, str]:
    name = str(error["loc"][-1])
    unit = _unit(name)
    kind = f" with a number of {_UNITS[unit]}" if unit else ""
    return "it is missing", f"add {name}:{kind}"


def _found(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "names and values"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"the text {shown(value)}" if isinstance(value, str) else shown(value)


def _number(error: ErrorDetails) -> tuple[str, str]:
    value, name = error["input"], str(error["loc"][-1])
    unit = _unit(name)
    kind = "a whole number" if error["type"].startswith("int") else "a number"
    what = f"{kind} was expected, and {_found(value)} was found"
    measure = re.fullmatch(r"\s*([-+]?[0-9]+(?:[.,][0-9]+)?)\s*(\S*)\s*", str(value))
    if isinstance(value, str) and measure:
        number, given = float(measure[1].replace(",", ".")), measure[2].lower()
        if unit == "mm" and given in _LENGTHS_MM:
            number *= _LENGTHS_MM[given]
        elif given and given != unit.replace("_", "/"):
            return what, f"write the number alone{f', in {_UNITS[unit]}' if unit else ''}"
        in_name = f"; its unit, {_UNITS[unit]}, is in the name" if unit else ""
        return what, f"write {spelled(round(number, 9))} without quotes{in_name}"
    if error["type"].startswith("int") and isinstance(value, float):
        return what, f"write {round(value)}"
    return what, f"write {kind}{f' of {_UNITS[unit]}' if unit else ''}"


def _expected(kind: str) -> Callable[[ErrorDetails], tuple[str, str]]:
    def words(error: ErrorDetails) -> tuple[str, str]:
        quotes = (
            " in quotes" if kind == "a text" and isinstance(error["input"], int | float) else ""
        )
        name = str(error["loc"][-1]) if error["loc"] else ""
        like = _LIKE.get(name) if kind == _NAMES else None
        return (
            f"{kind} {'were' if kind == _NAMES else 'was'} expected, and"
            f" {_found(error['input'])} was found",
            f"write it like {name}: {like}" if like else f"write {kind}{quotes}",
        )

    return words


def _one_of(error: ErrorDetails) -> tuple[str, str]:
    expected = error["ctx"].get("expected") or error["ctx"]["expected_tags"]
    names = re.findall(r"'([^']*)'", expected)
    value = error["ctx"].get("tag", error["input"])
    what = f"one of {', '.join(names)} was expected, and {_found(value)} was found"
    return what, nearest(str(value), names)


def _no_tag(error: ErrorDetails) -> tuple[str, str]:
    tag = error["ctx"]["discriminator"].strip("'")
    return f"it does not say its {tag}", f"add {tag}: first"


def _bound(clause: str, key: str) -> Callable[[ErrorDetails], tuple[str, str]]:
    def words(error: ErrorDetails) -> tuple[str, str]:
        limit = f"{clause} {spelled(float(error['ctx'][key]))}"
        return f"{_found(error['input'])} was found, and it must be {limit}", f"give {limit}"

    return words


def _length(kind: str, clause: str, key: str) -> Callable[[ErrorDetails], tuple[str, str]]:
    def words(error: ErrorDetails) -> tuple[str, str]:
        limit = f"{clause} {error['ctx'][key]} {kind}"
        return f"it has {len(error['input'])} {kind}, and it must have {limit}", f"give {limit}"

    return words


def _name_form(error: ErrorDetails) -> tuple[str, str]:
    what = f"{_found(error['input'])} was found, and a name was expected"
    return what, "use small letters, digits and underscores, with dots between the words"


_WORDS: Final[Mapping[str, Callable[[ErrorDetails], tuple[str, str]]]] = MappingProxyType(
    {
        "told": lambda error: (error["ctx"]["what"], error["ctx"]["do"]),
        "missing": _missing,
        "float_type": _number,
        "int_type": _number,
        "int_from_float": _number,
        "bool_type": _expected("true or false"),
        "string_type": _expected("a text"),
        "tuple_type": _expected("a list"),
        "dict_type": _expected(_NAMES),
        "model_type": _expected(_NAMES),
        "model_attributes_type": _expected(_NAMES),
        "literal_error": _one_of,
        "union_tag_invalid": _one_of,
        "union_tag_not_found": _no_tag,
        "greater_than": _bound("more than", "gt"),
        "greater_than_equal": _bound("at least", "ge"),
        "less_than": _bound("less than", "lt"),
        "less_than_equal": _bound("at most", "le"),
        "string_too_short": _length("characters", "at least", "min_length"),
        "string_too_long": _length("characters", "at most", "max_length"),
        "string_pattern_mismatch": _name_form,
        "too_short": _length("entries", "at least", "min_length"),
        "too_long": _length("entries", "at most", "max_length"),
    }
)
