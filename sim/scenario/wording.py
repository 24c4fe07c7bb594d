"""What is said where a model refuses: what was found, what was expected, what to write.

A table from pydantic's kinds of error to messages; names come with the nearest valid one and a
number that was written with its unit comes back without it. Numbers are told as the file has them,
whatever units the reader has chosen. Never here: files and positions.
"""

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails, PydanticCustomError

from sim.scenario.nearest import NEAREST, nearest
from sim.scenario.scalars import shown, spelled
from sim.words.fields import name, number, one_of, part
from sim.words.message import Message, plain, row

Explained = tuple[Message, Message]
"""What is wrong, and what to do about it."""

_LENGTHS_MM: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, '"': 25.4}
_UNITS: Final = {
    "mm": "millimetres", "m": "metres", "s": "seconds", "min": "minutes", "bar": "bar",
    "mpa": "megapascals", "gpa": "gigapascals", "kg_m3": "kilograms a cubic metre", "kw": "kilowatts",
    "m_min": "metres a minute", "mm_min": "millimetres a minute", "mm_s": "millimetres a second",
    "deg": "degrees", "percent": "percent", "n": "newtons", "kn": "kilonewtons",
}  # fmt: skip
_UNIT: Final = one_of(*_UNITS.values())

_LIKE: Final = {
    "section": "{shape: round, diameter_mm: 60}",
    "job": "{length_mm: 230, wanted: 4, first: square}",
    "found": "{head.feed_valve_mm_min: 40}",
    "when": "{signal: B12, goes: live}",
    "intermittent": "{period_s: 30, share: 0.25}",
    "bundle": "{count: 3}",
}

# What was found.
_SHOWN: Final = row("found.shown", "{value}", value=name())
_TEXT: Final = row("found.text", "the text {value}", value=name())
_NOTHING: Final = plain("found.nothing", "nothing")
_NAMES_AND_VALUES: Final = plain("found.names", "names and values")
_LIST: Final = plain("found.list", "a list")

# What is wrong, and what to do.
_NO_NAME: Final = row("model.no-name", "there is no name {name} here", name=name())
_NO_NAME_UNIT: Final = row(
    "model.no-name-unit",
    "there is no name {name} here; this is given in {unit}",
    name=name(), unit=_UNIT,
)  # fmt: skip
_MISSING: Final = plain("model.missing", "it is missing")
_ADD: Final = row("model.add", "add {name}:", name=name())
_ADD_NUMBER: Final = row(
    "model.add-number", "add {name}: with a number of {unit}", name=name(), unit=_UNIT
)
_KIND: Final = one_of("a number", "a whole number", "a text", "a list", "true or false")
_EXPECTED: Final = row(
    "model.expected", "{kind} was expected, and {found} was found", kind=_KIND, found=part()
)
_EXPECTED_NAMES: Final = row(
    "model.expected-names",
    "names and values were expected, and {found} was found",
    found=part(),
)
_WRITE: Final = row("model.write", "write {kind}", kind=_KIND)
_WRITE_IN: Final = row("model.write-in", "write {kind} of {unit}", kind=_KIND, unit=_UNIT)
_WRITE_NAMES: Final = plain("model.write-names", "write names and values")
_WRITE_QUOTED: Final = plain("model.write-quoted", "write a text in quotes")
_WRITE_LIKE: Final = row("model.write-like", "write it like {example}", example=name())
_WRITE_VALUE: Final = row("model.write-value", "write {value}", value=name())
_ALONE: Final = plain("model.alone", "write the number alone")
_ALONE_IN: Final = row("model.alone-in", "write the number alone, in {unit}", unit=_UNIT)
_WITH_POINT: Final = row(
    "model.with-point", "write {value}, its decimals after a point", value=name()
)
_UNQUOTED: Final = row("model.unquoted", "write {value} without quotes", value=name())
_UNQUOTED_IN: Final = row(
    "model.unquoted-in",
    "write {value} without quotes; its unit, {unit}, is in the name",
    value=name(), unit=_UNIT,
)  # fmt: skip
_ONE_OF: Final = row(
    "model.one-of",
    "one of {names} was expected, and {found} was found",
    names=name(), found=part(),
)  # fmt: skip
_NO_TAG: Final = row("model.no-tag", "it does not say its {tag}", tag=name())
_ADD_FIRST: Final = row("model.add-first", "add {tag}: first", tag=name())
_BOUNDS: Final = one_of("more than", "at least", "less than", "at most")
_BOUND: Final = row(
    "model.bound",
    "{found} was found, and it must be {bound} {limit}",
    found=part(), bound=_BOUNDS, limit=name(),
)  # fmt: skip
_GIVE: Final = row("model.give", "give {bound} {limit}", bound=_BOUNDS, limit=name())
_THINGS: Final = one_of("characters", "entries")
_LENGTH: Final = row(
    "model.length",
    "it has {there} {things}, and it must have {bound} {limit} {things}",
    there=number(), things=_THINGS, bound=_BOUNDS, limit=number(),
)  # fmt: skip
_GIVE_THINGS: Final = row(
    "model.give-things",
    "give {bound} {limit} {things}",
    bound=_BOUNDS, limit=number(), things=_THINGS,
)  # fmt: skip
_NAME_FORM: Final = row(
    "model.name-form", "{found} was found, and a name was expected", found=part()
)
_NAME_FORM_DO: Final = plain(
    "model.name-form.do", "use small letters, digits and underscores, with dots between the words"
)
_OTHER: Final = row("model.other", "it does not belong here: {kind}", kind=name())
_CHANGE: Final = plain("model.other.do", "change it")


def wrong(
    what: Message, what_to_do: Message, at: tuple[str | int, ...] = ()
) -> PydanticCustomError:
    """Return the error for a model's validator to raise.

    Args:
        what: What was found and what was expected.
        what_to_do: What to write instead.
        at: The way from the validated value to the culprit within it.
    """
    return PydanticCustomError("told", "told", {"told": (what, what_to_do), "at": list(at)})


def told(error: ErrorDetails, model: type[BaseModel]) -> Explained:
    """Return what is wrong and what to do about it, for one error of validating `model`."""
    if error["type"] == "extra_forbidden":
        return _unknown_name(error, model)
    words = _WORDS.get(error["type"])
    return words(error) if words is not None else (_OTHER(kind=error["type"]), _CHANGE)


def _models(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that an annotation speaks of, through unions, tuples and the like."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for argument in get_args(annotation) for model in _models(argument)]


def _names_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> list[str]:
    """Return the names that the models at the way `loc` have."""
    models = [model]
    for step in loc:
        fields = [each.model_fields[step] for each in models if step in each.model_fields]
        if fields:
            models = [inner for each in fields for inner in _models(each.annotation)]
        elif isinstance(step, str):  # a union's member, named by its tag
            tagged = [each for each in models if _is_tagged(each, step)]
            models = tagged or models
    return sorted({field for each in models for field in each.model_fields})


def _is_tagged(model: type[BaseModel], tag: str) -> bool:
    return any(tag in get_args(each.annotation) for each in model.model_fields.values())


def unit_of(field: str) -> str:
    """Return the unit in a name, the longest known one; nothing if the name carries none."""
    words = field.split("_")
    tails = ("_".join(words[start:]) for start in range(1, len(words)))
    return next((tail for tail in tails if tail in _UNITS), "")


def _unknown_name(error: ErrorDetails, model: type[BaseModel]) -> Explained:
    *above, last = error["loc"]
    names = _names_at(model, tuple(above))
    given = str(last)
    stem = given.rpartition("_")[0] or given
    for other in names:
        unit = unit_of(other)
        if unit and other.removesuffix(f"_{unit}") in (stem, given):
            return _NO_NAME_UNIT(name=shown(given), unit=_UNITS[unit]), NEAREST(name=other)
    return _NO_NAME(name=shown(given)), nearest(given, names)


def _missing(error: ErrorDetails) -> Explained:
    field = str(error["loc"][-1])
    unit = unit_of(field)
    return _MISSING, _ADD_NUMBER(name=field, unit=_UNITS[unit]) if unit else _ADD(name=field)


def _found(value: object) -> Message:
    if value is None:
        return _NOTHING
    if isinstance(value, dict):
        return _NAMES_AND_VALUES
    if isinstance(value, list):
        return _LIST
    if isinstance(value, bool):
        return _SHOWN(value="true" if value else "false")
    return (_TEXT if isinstance(value, str) else _SHOWN)(value=shown(value))


def _number(error: ErrorDetails) -> Explained:
    value, unit = error["input"], unit_of(str(error["loc"][-1]))
    whole = error["type"].startswith("int")
    kind = "a whole number" if whole else "a number"
    what = _EXPECTED(kind=kind, found=_found(value))
    measure = re.fullmatch(r"\s*([-+]?[0-9]+(?:[.,][0-9]+)?)\s*(\S*)\s*", str(value))
    if isinstance(value, str) and measure:
        measured = float(measure[1].replace(",", "."))
        if "," in measure[1] and not measure[2]:
            return what, _WITH_POINT(value=spelled(measured))
        return what, _without_unit(measured, measure[2].lower(), unit)
    if whole and isinstance(value, float):
        return what, _WRITE_VALUE(value=str(round(value)))
    return what, _WRITE_IN(kind=kind, unit=_UNITS[unit]) if unit else _WRITE(kind=kind)


def _without_unit(measured: float, given: str, unit: str) -> Message:
    """Return how to write a number that was written with a unit, or in quotes."""
    if unit == "mm" and given in _LENGTHS_MM:
        measured *= _LENGTHS_MM[given]
    elif given and given != unit.replace("_", "/"):
        return _ALONE_IN(unit=_UNITS[unit]) if unit else _ALONE
    value = spelled(round(measured, 9))
    return _UNQUOTED_IN(value=value, unit=_UNITS[unit]) if unit else _UNQUOTED(value=value)


def _expected(kind: str) -> Callable[[ErrorDetails], Explained]:
    def words(error: ErrorDetails) -> Explained:
        quote = kind == "a text" and isinstance(error["input"], int | float)
        what = _EXPECTED(kind=kind, found=_found(error["input"]))
        return what, _WRITE_QUOTED if quote else _WRITE(kind=kind)

    return words


def _expected_names(error: ErrorDetails) -> Explained:
    field = str(error["loc"][-1]) if error["loc"] else ""
    what, like = _EXPECTED_NAMES(found=_found(error["input"])), _LIKE.get(field)
    return what, _WRITE_LIKE(example=f"{field}: {like}") if like else _WRITE_NAMES


def _one_of(error: ErrorDetails) -> Explained:
    expected = error["ctx"].get("expected") or error["ctx"]["expected_tags"]
    names = re.findall(r"'([^']*)'", expected)
    value = error["ctx"].get("tag", error["input"])
    return _ONE_OF(names=", ".join(names), found=_found(value)), nearest(str(value), names)


def _no_tag(error: ErrorDetails) -> Explained:
    tag = error["ctx"]["discriminator"].strip("'")
    return _NO_TAG(tag=tag), _ADD_FIRST(tag=tag)


def _bound(bound: str, key: str) -> Callable[[ErrorDetails], Explained]:
    def words(error: ErrorDetails) -> Explained:
        limit = spelled(float(error["ctx"][key]))
        what = _BOUND(found=_found(error["input"]), bound=bound, limit=limit)
        return what, _GIVE(bound=bound, limit=limit)

    return words


def _length(things: str, bound: str, key: str) -> Callable[[ErrorDetails], Explained]:
    def words(error: ErrorDetails) -> Explained:
        limit, there = int(error["ctx"][key]), len(error["input"])
        return (
            _LENGTH(there=there, things=things, bound=bound, limit=limit),
            _GIVE_THINGS(bound=bound, limit=limit, things=things),
        )

    return words


def _name_form(error: ErrorDetails) -> Explained:
    return _NAME_FORM(found=_found(error["input"])), _NAME_FORM_DO


_WORDS: Final[Mapping[str, Callable[[ErrorDetails], Explained]]] = MappingProxyType(
    {
        "told": lambda error: error["ctx"]["told"],
        "missing": _missing,
        "float_type": _number,
        "int_type": _number,
        "int_from_float": _number,
        "bool_type": _expected("true or false"),
        "string_type": _expected("a text"),
        "tuple_type": _expected("a list"),
        "dict_type": _expected_names,
        "model_type": _expected_names,
        "model_attributes_type": _expected_names,
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
