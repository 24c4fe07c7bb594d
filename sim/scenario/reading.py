"""Reads a file into a model; what the model refuses becomes an error with a place.

`read_model` is the one way from a YAML file to a pydantic model.

Never here: what the models say, or the words of the errors.
"""

import json
from pathlib import Path
from typing import Final, NoReturn, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from sim.errors import ScenarioError
from sim.scenario.gate import load
from sim.scenario.located import Located, Place
from sim.scenario.slips.expected import Expected
from sim.scenario.wording import told
from sim.words.fields import name, number, part
from sim.words.message import Message, row

PLAIN: Final = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)
"""The rules of every model of a file: no unknown names, no quiet conversions, no changes."""

ModelT = TypeVar("ModelT", bound=BaseModel)

_MORE: Final = row(
    "gate.more",
    "{to_do} ({count} more to put right after this one)",
    plural="{to_do} ({count} more to put right after this one)",
    to_do=part(), count=number(),
)  # fmt: skip
_AT: Final = row("gate.at", "{place}: {what}", place=name(), what=part())


def read_model(path: Path, model: type[ModelT], content: bytes | None = None) -> ModelT:
    """Return the model that a YAML file holds; `content` where the file need not be there any more.

    Raises:
        ScenarioError: The gate or the model refuses; `where` is `path:line:column`.
    """
    return model_from(load(path, content, Expected(model)), model)


def model_from(located: Located, model: type[ModelT]) -> ModelT:
    """Return the model that loaded values hold; raises as `read_model` does."""
    try:
        # By way of JSON a list may stand for a tuple while every scalar stays strict.
        return model.model_validate_json(json.dumps(located.value))
    except ValidationError as fault:
        errors = fault.errors(include_url=False)
    places = {_place(located, error) for error in errors}
    outermost = {place[:depth] for place in places for depth in range(len(place))}
    # A list with a bad entry is also called too short, and a misspelt name also missing: the
    # innermost mistake is the true one, and what is missing can wait until the rest is right.
    innermost = [error for error in errors if _place(located, error) not in outermost]
    first = min(innermost, key=lambda error: (error["type"] == "missing", _spot(located, error)))
    others = len(places - outermost) - 1
    what, what_to_do = told(first, model)
    if others:
        what_to_do = _MORE(to_do=what_to_do, count=others)
    key = first["type"] == "extra_forbidden" or first["loc"][-1:] == ("[key]",)
    return refuse(located, _place(located, first), what, what_to_do, key=key)


def refuse(
    located: Located, place: Place, what: Message, what_to_do: Message, *, key: bool = False
) -> NoReturn:
    """Raise the ScenarioError for a place in a file.

    Args:
        located: The loaded file.
        place: Names and list numbers down to the culprit.
        what: What was found and what was expected.
        what_to_do: What to write instead.
        key: Point at the name before the colon rather than at the value after it.
    """
    way = ".".join(str(step) for step in place).replace("\xa0", "\\xa0")
    at = located.where_key(place) if key else located.where_value(place)
    raise ScenarioError(_AT(place=way, what=what) if way else what, at, what_to_do)


def _place(located: Located, error: ErrorDetails) -> Place:
    """Return the way to the culprit; pydantic's names of union members are no part of it."""
    place: Place = ()
    loc = (*error["loc"], *error.get("ctx", {}).get("at", ()))
    for index, step in enumerate(loc):
        if (*place, step) in located.values or (
            index == len(loc) - 1 and error["type"] in ("missing", "extra_forbidden")
        ):
            place = (*place, step)
    return place


def _spot(located: Located, error: ErrorDetails) -> tuple[int, int]:
    place = _place(located, error)
    while place and place not in located.values:
        place = place[:-1]
    return located.values[place]
