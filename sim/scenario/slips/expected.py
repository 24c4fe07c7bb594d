"""What a model expects at a place of a file, and what is meant by a word that readers of YAML disagree on.

Never here: whether a value will do; that is the model's.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from math import isnan, nan
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel

from sim.scenario.located import Place
from sim.scenario.nearest import nearest
from sim.scenario.scalars import QUOTE, Unclear, shown, spelled
from sim.scenario.slips.number_limits import fits, limits_at, write_within
from sim.scenario.slips.typed_number import WRITE_VALUE, unit_of
from sim.words.fields import name
from sim.words.message import plain, row

_WRITE_ONE_OF: Final = row("gate.words", "write one of {words}", words=name())
_NUMBER: Final = plain("expected.number", "write a number")
NO_NAME: Final = row("model.no-name", "there is no name {name} here", name=name())
AT_THE_EDGE: Final = plain("model.top", "begin its line at the left edge, under no other name")
_YES: Final = frozenset(("y", "yes", "on", "true"))
_NO: Final = frozenset(("n", "no", "off", "false"))
_CLOCK: Final = re.compile(r"(\d{1,3}):(\d{1,2})(?::(\d{1,2}))?")
_SECONDS: Final = {"s": 1.0, "min": 60.0, "h": 3600.0}


@dataclass(frozen=True)
class Expected:
    """What a kind of file holds.

    Args:
        model: Of the whole file; None where nothing is known of it.
        words: Names that take one of a few words, and those.
    """

    model: type[BaseModel] | None = None
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def names(self) -> frozenset[str]:
        """Every name that may stand before a colon."""
        return frozenset() if self.model is None else _named(self.model)[0]

    @property
    def sections(self) -> frozenset[str]:
        """The names that have names under them."""
        return frozenset() if self.model is None else _named(self.model)[1]

    def advice(self, place: Place, word: str, unclear: Unclear) -> Unclear:
        """Return what to say of a word that can be read in two ways, by what its place takes.

        Args:
            place: Where the value stands.
            word: As it was written.
            unclear: What is said of it anywhere.
        """
        key = next((step for step in reversed(place) if isinstance(step, str)), "")
        leaves, said = self._leaves(place), word.lower()
        numbers = bool({int, float}.intersection(leaves))
        options = self.words.get(key) or tuple(each for each in leaves if isinstance(each, str))
        if said in options and not numbers:
            return Unclear(unclear.what, WRITE_VALUE(value=f'"{said}"'))
        if options and not numbers:
            words = (f'"{each}"' if each in _YES | _NO else each for each in options)
            return Unclear(unclear.what, _WRITE_ONE_OF(words=", ".join(words)))
        if bool in leaves and said in _YES | _NO:
            return Unclear(unclear.what, WRITE_VALUE(value="true" if said in _YES else "false"))
        if numbers and str not in leaves:
            time = _as_time(word, unit_of(key))
            meant = _plainly(word)
            value = time or spelled(meant)
            limits = limits_at(self._types(place))
            if not time and not isnan(meant) and not fits(meant, limits):
                return Unclear(unclear.what, write_within(key, limits, whole=float not in leaves))
            return Unclear(unclear.what, WRITE_VALUE(value=value) if value else _NUMBER)
        if leaves == (str,):
            return Unclear(unclear.what, QUOTE(quoted=f"'{word}'"))
        if not leaves and self._leaves((*place, 0)) == (str,):
            return Unclear(unclear.what, WRITE_VALUE(value=f"{key}: ['{word}']"))
        return unclear

    def no_name(self, above: Place, word: str, unclear: Unclear) -> Unclear:
        """Return what to say of such a word where a name belongs."""
        if self.model is None:
            return unclear
        names = sorted({n for each in models_at(self.model, above) for n in each.model_fields})
        return Unclear(NO_NAME(name=shown(word)), nearest(word, names)) if names else unclear

    def _leaves(self, place: Place) -> tuple[Any, ...]:
        return tuple(dict.fromkeys(_kinds(self._types(place))))

    def _types(self, place: Place) -> list[Any]:
        return [] if self.model is None else types_at(self.model, place)


UNKNOWN: Final = Expected()


def _as_time(word: str, unit: str) -> str:
    """Return a time like 1:30, minutes and seconds, as a number of a unit; nothing for no time."""
    found = _CLOCK.fullmatch(word)
    if found is None or unit not in _SECONDS:
        return ""
    parts = [int(each) for each in found.groups() if each]
    seconds = sum(60**power * each for power, each in enumerate(reversed(parts)))
    value = seconds / _SECONDS[unit]
    return f"{value:g}" if value == round(value, 3) else ""


def _plainly(word: str) -> float:
    """Return the number that a word like 1e3, 012 or 1_000 stands for to most people; NaN for none."""
    try:
        return float(word.replace("_", ""))
    except ValueError:
        return nan


def types_at(model: type[BaseModel], place: Place) -> list[Any]:
    """Return what stands for the types of the value at a place."""
    types: list[Any] = [model]
    for step in place:
        types = [inner for each in types for inner in _within(each, step)]
    return types


def _within(annotation: Any, step: str | int) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        info = annotation.model_fields.get(step) if isinstance(step, str) else None
        # The limits of a number stand beside its type, and go down with it.
        return [] if info is None else [Annotated[info.annotation, *info.metadata, info]]
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is dict:
        return [arguments[1]] if isinstance(step, str) else []
    if origin is tuple:
        return [arguments[0]] if isinstance(step, int) else []
    return [inner for each in arguments for inner in _within(each, step)]


def _kinds(types: list[Any]) -> list[Any]:
    """Return the plain types of some annotations, and the words of literals."""
    out: list[Any] = []
    for each in types:
        if each in (str, int, float, bool):
            out.append(each)
        elif get_origin(each) is Literal:
            out += get_args(each)
        elif get_origin(each) not in (dict, tuple, list):
            out += _kinds(list(get_args(each)))
    return out


def models_of(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that an annotation speaks of, through unions, tuples and the like."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for argument in get_args(annotation) for model in models_of(argument)]


def models_at(model: type[BaseModel], loc: tuple[str | int, ...]) -> list[type[BaseModel]]:
    """Return the models at a way down from a model; a union's member may be named by its tag."""
    models = [model]
    for step in loc:
        fields = [each.model_fields[step] for each in models if step in each.model_fields]
        if fields:
            models = [inner for each in fields for inner in models_of(each.annotation)]
        elif isinstance(step, str):
            models = [each for each in models if _is_tagged(each, step)] or models
    return models


def _is_tagged(model: type[BaseModel], tag: str) -> bool:
    return any(tag in get_args(each.annotation) for each in model.model_fields.values())


@lru_cache
def ways_to(model: type[BaseModel], called: str) -> tuple[tuple[str, ...], ...]:
    """Return the ways down from a model to a name, without it and without numbers of lists."""
    found: list[tuple[str, ...]] = []
    _search(model, (), called, found)
    return tuple(dict.fromkeys(found))


def _search(
    model: type[BaseModel], way: tuple[str, ...], called: str, found: list[tuple[str, ...]]
) -> None:
    for key, info in model.model_fields.items():
        if key == called:
            found.append(way)
        for inner in models_of(info.annotation):
            if len(way) < 4:
                _search(inner, (*way, key), called, found)


@lru_cache
def _named(model: type[BaseModel]) -> tuple[frozenset[str], frozenset[str]]:
    names: set[str] = set()
    sections: set[str] = set()
    left = [model]
    while left:
        for key, info in left.pop().model_fields.items():
            names.add(key)
            inner = models_of(info.annotation)
            if inner or get_origin(info.annotation) is dict:
                sections.add(key)
            left += inner
    return frozenset(names), frozenset(sections)
