"""The JSON Schema of a scenario file, in draft 7, which is what editors' YAML servers read.

pydantic emits draft 2020-12. The differences that its output has are translated: `$defs` is
`definitions`, `prefixItems` is `items` (and `items` then `additionalItems`), and a `$ref` may
have no neighbours, so one that has any goes into an `allOf`.

Rules that compare two fields (a wall against its tube) are no part of a schema, and to a schema
24.0 is a whole number; the program finds both. Never here: what a scenario may say.
"""

from copy import deepcopy
from typing import Any, Final

from pydantic import BaseModel

from sim.scenario.scenario import Scenario
from sim.scenario.shift import BarOnRack, OrderWanted, Shift
from sim.scenario.steps import OFF, VERIFIED
from sim.scenario.vocabulary import SettingKind, SettingRule, Vocabulary

DRAFT_7: Final = "http://json-schema.org/draft-07/schema#"
_NAMED: Final = ("properties", "patternProperties", "definitions")  # names of the author's own


def json_schema(
    vocabulary: Vocabulary | None = None, *, own_machines: bool = False
) -> dict[str, Any]:
    """Return the draft-7 schema of a scenario file.

    Args:
        vocabulary: Names that an editor shall offer and check; None leaves names free.
        own_machines: Whether a machine may have another name too, of a file beside the scenario.
    """
    schema = draft_7(Scenario)
    if vocabulary is not None:
        _close(schema, vocabulary)
    if own_machines:
        _let_be_own(schema["properties"]["machine"])
    return schema


def shift_schema(vocabulary: Vocabulary) -> dict[str, Any]:
    """Return the draft-7 schema of a shift of orders.

    Args:
        vocabulary: Names that an editor shall offer and check.
    """
    schema = draft_7(Shift)
    definitions = schema["definitions"]
    if vocabulary.materials is not None:
        for model in (OrderWanted, BarOnRack):
            definitions[model.__name__]["properties"]["material"]["enum"] = sorted(
                vocabulary.materials
            )
    if vocabulary.machines is not None:
        schema["properties"]["machine"]["enum"] = sorted(vocabulary.machines)
        _let_be_own(schema["properties"]["machine"])
    return schema


def draft_7(model: type[BaseModel]) -> dict[str, Any]:
    """Return the draft-7 schema of any model of a file."""
    schema = model.model_json_schema(ref_template="#/definitions/{model}")
    if "$defs" in schema:
        schema["definitions"] = schema.pop("$defs")
    return {"$schema": DRAFT_7, **_translated(schema)}


def _translated(part: Any, *, names: bool = False) -> Any:
    """Return a part of a schema in draft 7; `names`: its keys are names, not keywords."""
    if isinstance(part, list):
        return [_translated(each) for each in part]
    if not isinstance(part, dict):
        return part
    if names:
        return {name: _translated(each) for name, each in part.items()}
    out = {
        key: each
        if key in ("default", "const", "enum", "examples")
        else _translated(each, names=key in _NAMED)
        for key, each in part.items()
        if key != "discriminator"  # OpenAPI's, not JSON Schema's
    }
    if "prefixItems" in out:
        out["additionalItems"] = out.pop("items", True)
        out["items"] = out.pop("prefixItems")
    if "$ref" in out and len(out) > 1:
        out["allOf"] = [{"$ref": out.pop("$ref")}]
    return out


def _close(schema: dict[str, Any], vocabulary: Vocabulary) -> None:
    """Write the names that may be used into a schema."""
    parts = schema["properties"]
    definitions = schema["definitions"]
    for place, names in (
        (parts["machine"], vocabulary.machines),
        (definitions["StockFound"]["properties"]["material"], vocabulary.materials),
        (definitions["HiddenFault"]["properties"]["name"], vocabulary.faults),
        (parts["ambiguous_with"]["items"], vocabulary.faults),
        (definitions["Trigger"]["properties"]["signal"], vocabulary.signals),
        (_list_of(parts["inspections"])["items"], vocabulary.inspections),
    ):
        if names is not None:
            place["enum"] = sorted(names)
    _close_goals(definitions["Goal"]["properties"], vocabulary)
    if vocabulary.set_points is not None:
        found = parts["found"]
        found.pop("patternProperties", None)
        found["additionalProperties"] = False
        found["properties"] = {
            name: _setting(rule) for name, rule in sorted(vocabulary.set_points.items())
        }


def _let_be_own(machine: dict[str, Any]) -> None:
    """Offer the names of the machines, and take any other that a name can be."""
    if "enum" in machine:
        any_name = {key: machine.pop(key) for key in ("type", "minLength", "maxLength")}
        machine["anyOf"] = [{"enum": machine.pop("enum")}, any_name]


def _close_goals(goal: dict[str, Any], vocabulary: Vocabulary) -> None:
    """Write the names that the goal of a step may use into its schema."""
    lockouts = vocabulary.lockout_steps
    for field, values in (
        ("inspected", vocabulary.inspections),
        ("lockout", None if lockouts is None else (VERIFIED, OFF, *lockouts)),
        ("taken", vocabulary.actions),
        ("refused", vocabulary.actions),
    ):
        if values is not None:
            _only(goal[field], "string")["enum"] = sorted(values)
    for field, keys in (
        ("signal", vocabulary.signals),
        ("state", vocabulary.states),
        ("setting", vocabulary.set_points),
        ("measure", vocabulary.measures),
    ):
        if keys is not None:
            mapping = _only(goal[field], "object")
            value = mapping["additionalProperties"]
            mapping["properties"] = {key: deepcopy(value) for key in sorted(keys)}
            mapping["additionalProperties"] = False
    for machine, states in (vocabulary.states or {}).items():
        by_machine = _only(goal["state"], "object")["properties"]
        by_machine[machine]["items"] = {"enum": sorted(states)}


def _only(union: dict[str, Any], kind: str) -> dict[str, Any]:
    """Return the member of a union that is of a kind."""
    return next(each for each in union["anyOf"] if each.get("type") == kind)


def _list_of(union: dict[str, Any]) -> dict[str, Any]:
    return _only(union, "array")


def _setting(rule: SettingRule) -> dict[str, Any]:
    if rule.kind is SettingKind.SWITCH:
        return {"type": "boolean"}
    if rule.kind is SettingKind.CHOICE:
        return {"enum": list(rule.choices)}
    limits = {"minimum": rule.low, "maximum": rule.high}
    return {"type": "number"} | {key: each for key, each in limits.items() if each is not None}
