"""What `drycycle schema` prints: the JSON Schema of a scenario, a shift of orders, or a file in a machine's folder."""

import json
from collections.abc import Callable
from typing import Any, Final

from sim.errors import CommandError
from sim.scenario.machines import MachineFile
from sim.scenario.nearest import nearest
from sim.scenario.schema import draft_7, json_schema, shift_schema
from sim.scenario.site_rows import InterlocksFile
from sim.scenario.wirings import WiringFile
from sim.session.opening import vocabulary
from sim.text.page import put_line
from sim.words.fields import name
from sim.words.message import row

_NO_KIND: Final = row("schema.unknown", "there is no schema of '{kind}'", kind=name())

KINDS: Final[dict[str, Callable[[], dict[str, Any]]]] = {
    "scenario": lambda: json_schema(vocabulary(), own_machines=True),
    "shift": lambda: shift_schema(vocabulary()),
    "sizes": lambda: draft_7(MachineFile),
    "wiring": lambda: draft_7(WiringFile),
    "interlocks": lambda: draft_7(InterlocksFile),
}


def print_schema(kind: str) -> None:
    """Print the schema of a kind of file.

    Raises:
        CommandError: There are no files of that kind.
    """
    if kind not in KINDS:
        raise CommandError(_NO_KIND(kind=kind), "schema", nearest(kind, KINDS))
    put_line(json.dumps(KINDS[kind](), indent=2))
