"""Writes a trace as a value change dump (VCD, IEEE 1364), which any waveform viewer opens.

A state is an 8-bit vector, the place of its name in the machine's table, because string variables
are an extension that some readers refuse; the names stand in the header's comment. The same trace
always gives the same bytes: no date stands in it, and its names are English whoever reads.
"""

import io
from typing import Final

from vcd import VCDWriter

from sim.control.table import TABLES
from sim.logic.bench.trace import Trace, Value
from sim.signals import BY_TAG, SIGNALS

STATE_BITS: Final = 8
DUMP_BEGINS: Final = b"$comment\n\tdrycycle names"  # as the writer lays it out
# What stands behind the numbers of each vector.
NAMES: Final[dict[str, tuple[str, ...]]] = {table.name: table.states for table in TABLES}


def name_table() -> str:
    """Return the meaning of every number and wire in a dump, a line each."""
    lines = [
        f"{machine} {number:0{STATE_BITS}b} {state}"
        for machine, states in NAMES.items()
        for number, state in enumerate(states)
    ]
    lines += [f"{row.tag} 1 {row.text}" for row in SIGNALS]
    return "\n".join(lines)


def number_of(tag: str, value: Value) -> int:
    """Return the number by which a value stands in the dump."""
    if isinstance(value, bool):
        return int(value)
    return NAMES[tag].index(value)


def variable_of(tag: str) -> str:
    """Return the full name of a traced thing in the dump: its scope, a point, its name."""
    if tag in BY_TAG:
        return f"{BY_TAG[tag].direction.value}s.{tag}"
    return f"machines.{tag}" if tag in NAMES else f"kept.{tag.replace('.', '_')}"


def dump(trace: Trace, end_us: int) -> str:
    """Return a trace as the text of a VCD file, in microseconds, up to `end_us`."""
    out = io.StringIO()
    with VCDWriter(
        out, timescale="1 us", date="", comment=f"drycycle names\n{name_table()}", init_timestamp=trace.begun_us
    ) as writer:  # fmt: skip
        variables = {}
        for tag, first in trace.first.items():
            scope, _, name = variable_of(tag).partition(".")
            kind, size = ("reg", STATE_BITS) if tag in NAMES else ("wire", 1)
            variables[tag] = writer.register_var(
                scope, name, kind, size=size, init=number_of(tag, first)
            )
        writer.flush()  # the first values stand, even where something changes at that instant
        for change in trace.changes:
            writer.change(
                variables[change.tag], change.time_us, number_of(change.tag, change.value)
            )
        writer.close(max(end_us, trace.begun_us))
    return out.getvalue()
