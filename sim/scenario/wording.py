"""What is said where a model refuses: what was found, what was expected, what to write.

A table from pydantic's kinds of error to messages; names come with the nearest valid one and a
number that was written with its unit comes back without it. Numbers are told as the file has them,
whatever units the reader has chosen. Never here: files and positions.
"""

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from types import MappingProxyType
from typing import Final

from pydantic import BaseModel
from pydantic_core import ErrorDetails, PydanticCustomError

from sim.scenario.nearest import NEAREST, nearest
from sim.scenario.scalars import plain_word, shown, spelled
from sim.scenario.slips.expected import AT_THE_EDGE, NO_NAME, models_at, types_at, ways_to
from sim.scenario.slips.number_limits import fits, limits_at, write_within
from sim.scenario.slips.quotes import in_quotes
from sim.scenario.slips.slip import (
    NO_BREAK,
    NO_COLON,
    NO_COLON_SPACE,
    NO_HYPHEN_SPACE,
    SPACE,
    WRITE,
)
from sim.scenario.slips.typed_number import (
    STRIPPED,
    UNIT,
    UNITS,
    WRITE_VALUE,
    meant,
    unit_of,
    unquoted,
)
from sim.words.fields import name, number, one_of, part, parts
from sim.words.message import Message, named, plain, row

Explained = tuple[Message, Message]
"""What is wrong, and what to do about it."""

_BARE: Final = re.compile(r"\w[\w.-]*( [\w.-]+)*")
_NAMES: Final = re.compile(r"(\w+):")
_NOTHING_WORDS: Final = ("none", "nothing", "no", "-")
_LONGEST: Final = 60  # characters of an example
_LARGEST_WHOLE: Final = 1e15  # that anybody writes as its digits
_LIKE: Final = {
    "section": "{shape: round, diameter_mm: 60}",
    "job": "{length_mm: 230, wanted: 4, first: square}",
    "found": "{head.feed_valve_mm_min: 40}",
    "reported": "{stands_at: LOWER_HEAD, length: {all_are: short}}",
    "length": "{all_are: short}",
    "when": "{signal: B12, goes: live}",
    "intermittent": "{period_s: 30, share: 0.25}",
    "bundle": "{count: 3}",
    "faults": "[{name: stop-from-below}]",
    "steps": "[{ask: ..., why: ..., goal: {good: 1}}]",
    "goal": "{inspected: band-over-bar}",
    "signal": "{Q0: true}",
    "state": "{supply: [TRIPPED]}",
    "setting": "{shuttle.stop_mm: card}",
    "measure": "{head_mm: {at_least: 40}}",
    "second_person": "{name: Kim}",
    "stock": "{material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 6000}",
}

# What was found.
_SHOWN: Final = row("found.shown", "{value}", value=name())
_TEXT: Final = row("found.text", "the text {value}", value=name())
_NOTHING: Final = plain("found.nothing", "nothing")
_NAMES_AND_VALUES: Final = plain("found.names", "names and values")
_LIST: Final = plain("found.list", "a list")

# What is wrong, and what to do.
_NO_NAME_UNIT: Final = row(
    "model.no-name-unit",
    "there is no name {name} here; this is given in {unit}",
    name=name(), unit=UNIT,
)  # fmt: skip
_UNDER: Final = row("model.under", "write it under {section}", section=parts(" or "))
_MISSING: Final = plain("model.missing", "it is missing")
_ADD: Final = row("model.add", "add {name}:", name=name())
_ADD_NUMBER: Final = row(
    "model.add-number", "add {name}: with a number of {unit}", name=name(), unit=UNIT
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
_WRITE_IN: Final = row("model.write-in", "write {kind} of {unit}", kind=_KIND, unit=UNIT)
_WRITE_NAMES: Final = plain("model.write-names", "write names and values")
_WRITE_QUOTED: Final = plain("model.write-quoted", "write a text in quotes")
_WRITE_LIKE: Final = row("model.write-like", "write it like {example}", example=name())
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
    if error["type"].startswith("int_") and isinstance(error["input"], float):
        return _no_whole_number(error, model)
    words = _WORDS.get(error["type"])
    return words(error) if words is not None else (_OTHER(kind=error["type"]), _CHANGE)


def _unknown_name(error: ErrorDetails, model: type[BaseModel]) -> Explained:
    *above, last = error["loc"]
    names = sorted({n for each in models_at(model, tuple(above)) for n in each.model_fields})
    given = str(last)
    if "\xa0" in given:
        return NO_BREAK, SPACE
    slip = _colon_slip(given, names)
    if slip is not None:
        return slip
    bare = _without_unit(given, (given,), names)  # meant here, whatever is called so elsewhere
    section = _belongs(given, model, names)
    if bare is not None or section is None:
        stem = given.rpartition("_")[0] or given
        unlike = NO_NAME(name=shown(given)), nearest(given, names)
        return bare or _without_unit(given, (stem, given), names) or unlike
    return NO_NAME(name=shown(given)), section


def _without_unit(given: str, stems: Collection[str], names: Iterable[str]) -> Explained | None:
    """Return what to say of a name that lacks its unit, or has another; None where it is none such."""
    for other in names:
        unit = unit_of(other)
        if unit and other.removesuffix(f"_{unit}") in stems:
            return _NO_NAME_UNIT(name=shown(given), unit=UNITS[unit]), NEAREST(name=other)
    return None


def _colon_slip(given: str, names: Iterable[str]) -> Explained | None:
    """Return what to say of a name that has its value in it, as in `{wanted 24}` or `{wanted:24}`."""
    called, colon, value = given.partition(":")
    if not colon:
        called, _, value = given.replace("=", " ", 1).partition(" ")
    if called not in names or not value.strip():
        return None
    what = NO_COLON_SPACE if colon else NO_COLON
    return what(name=called), WRITE(line=f"{called}: {value.strip()}")


def _belongs(given: str, model: type[BaseModel], names: Collection[str]) -> Message | None:
    """Return under which name another one belongs; None where it belongs nowhere else."""
    if "." in given and "found" in names:
        return _UNDER(section=(named("found"),))
    ways = ways_to(model, given)
    if () in ways:
        return AT_THE_EDGE
    return _UNDER(section=tuple(named(".".join(way)) for way in ways)) if ways else None


def _missing(error: ErrorDetails) -> Explained:
    field = str(error["loc"][-1])
    unit = unit_of(field)
    return _MISSING, _ADD_NUMBER(name=field, unit=UNITS[unit]) if unit else _ADD(name=field)


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
    to_do = meant(value, unit) if isinstance(value, str) else None
    if to_do is not None:
        return what, to_do
    return what, _WRITE_IN(kind=kind, unit=UNITS[unit]) if unit else _WRITE(kind=kind)


def _no_whole_number(error: ErrorDetails, model: type[BaseModel]) -> Explained:
    """Return what to say of a number with decimals where a whole one belongs, or of one far too large."""
    nearest_one, loc = round(error["input"]), error["loc"]
    limits = limits_at(types_at(model, loc))
    what = _EXPECTED(kind="a whole number", found=_found(error["input"]))
    if abs(nearest_one) < _LARGEST_WHOLE and fits(nearest_one, limits):
        return what, WRITE_VALUE(value=str(nearest_one))
    return what, write_within(str(loc[-1]), limits, whole=True)


def _truth(error: ErrorDetails) -> Explained:
    kind, value = "true or false", error["input"]
    what = _EXPECTED(kind=kind, found=_found(value))
    bare = value.strip(STRIPPED).lower() if isinstance(value, str) else ""
    return what, unquoted(bare) if bare in ("true", "false") else _WRITE(kind=kind)


def _text(error: ErrorDetails) -> Explained:
    what = _EXPECTED(kind="a text", found=_found(error["input"]))
    return what, _WRITE(kind="a text") if error["input"] is None else _WRITE_QUOTED


def _list(error: ErrorDetails) -> Explained:
    value, field = error["input"], str(error["loc"][-1])
    what = _EXPECTED(kind="a list", found=_found(value))
    if isinstance(value, str) and value.startswith("-"):
        first = value.removeprefix("-").partition(" -")[0].strip()
        return NO_HYPHEN_SPACE, WRITE(line=f"- {first}")
    if isinstance(value, str) and value.lower() in _NOTHING_WORDS:
        return what, WRITE(line=f"{field}: []")
    if field in ("faults", "steps"):
        hidden = value.get("name") if isinstance(value, dict) else value
        named_ = field == "faults" and isinstance(hidden, str)
        like = f"[{{name: {hidden}}}]" if named_ else _LIKE[field]
    elif isinstance(value, str):
        like = f"[{', '.join(_entry(each.strip()) for each in value.split(','))}]"
    elif isinstance(value, int | float):
        like = f"[{value}]"
    else:
        return what, _WRITE(kind="a list")
    return what, _WRITE_LIKE(
        example=f"{field}: {like}" if len(like) < _LONGEST else f"{field}: [...]"
    )


def _entry(text: str) -> str:
    """Return a text as an entry of a list, in quotes where it is something else without them."""
    word = plain_word(text)
    number_ = isinstance(word, int | float) and not isinstance(word, bool)
    bare = number_ or (_BARE.fullmatch(text) and word == text)
    return text if bare else f'"{text}"' if not set(text) & set('"\\') else in_quotes("", text)


def _expected_names(error: ErrorDetails) -> Explained:
    steps = [step for step in error["loc"] if isinstance(step, str)]
    field = steps[-1] if steps else ""
    what, like = _EXPECTED_NAMES(found=_found(error["input"])), _LIKE.get(field)
    slip = (
        _colon_slip(error["input"], _NAMES.findall(like))
        if isinstance(error["input"], str) and like
        else None
    )
    if slip is not None:
        return slip
    if field == "faults" and isinstance(error["input"], str):
        like = f"[{{name: {error['input']}}}]"
    if like is None or len(like) > 2 * _LONGEST:
        return what, _WRITE_NAMES
    return what, _WRITE_LIKE(example=f"{field}: {like}")


def _one_of(error: ErrorDetails) -> Explained:
    expected = error["ctx"].get("expected") or error["ctx"]["expected_tags"]
    names = re.findall(r"'([^']*)'", expected)
    value = error["ctx"].get("tag", error["input"])
    what = _ONE_OF(names=", ".join(names), found=_found(value))
    bare = value[0] if isinstance(value, list) and len(value) == 1 else value
    bare = bare.strip(STRIPPED) if isinstance(bare, str) else ""
    return what, WRITE_VALUE(value=bare) if bare in names else nearest(str(value), names)


def _no_tag(error: ErrorDetails) -> Explained:
    tag = error["ctx"]["discriminator"].strip("'")
    for given in error["input"] if isinstance(error["input"], dict) else ():
        slip = _colon_slip(given, (tag,))
        if slip is not None:
            return slip
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
        "bool_type": _truth,
        "string_type": _text,
        "tuple_type": _list,
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
