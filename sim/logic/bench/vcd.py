"""Writes a trace as a value change dump (VCD, IEEE 1364), which any waveform viewer opens.

Every wire is there with both its ends: an input at its device and at its card, an output at its card and at
its coil. Where the two differ, what lies between has failed, or a force is in.

A state is an 8-bit vector, the place of its name in the machine's table, because string variables
are an extension that some readers refuse; the names stand in the header's comment. The same trace
always gives the same bytes: no date stands in it, and its names are English whoever reads.
"""

import io
from collections.abc import Iterator
from heapq import merge
from typing import Final

from vcd import VCDWriter

from sim.control.table import TABLES
from sim.logic.bench.trace import Change, Trace, Value, WireEnd
from sim.logic.bench.wiring_prints import located
from sim.signals import BY_TAG, SIGNALS, Direction
from sim.wiring.loom import Loom

STATE_BITS: Final = 8
DUMP_BEGINS: Final = b"$comment\n\tdrycycle names"  # as the writer lays it out
# What stands behind the numbers of each vector.
NAMES: Final[dict[str, tuple[str, ...]]] = {table.name: table.states for table in TABLES}


def name_table(loom: Loom | None = None) -> str:
    """Return the meaning of every number and wire in a dump, a line each; with a wiring where its ends are."""
    lines = [
        f"{machine} {number:0{STATE_BITS}b} {state}"
        for machine, states in NAMES.items()
        for number, state in enumerate(states)
    ]
    lines += [f"{row.tag} 1 {row.text}" for row in SIGNALS]
    if loom is not None:
        lines += [f"{row.tag} {located(loom, row.tag)}" for row in SIGNALS]
    return "\n".join(lines)


def number_of(tag: str, value: Value) -> int:
    """Return the number by which a value stands in the dump."""
    if isinstance(value, bool):
        return int(value)
    return NAMES[tag].index(value)


def variable_of(tag: str) -> str:
    """Return the full name of a traced thing in the dump: its scopes and its name, with points between.

    Args:
        tag: A signal, with or without an end as in B11.device, a machine, or something kept.
    """
    wire, _, end = tag.partition(".")
    if wire in BY_TAG:
        way = BY_TAG[wire].direction
        return f"{way.value}s.{wire}.{end or WireEnd.CARD}"
    return f"machines.{tag}" if tag in NAMES else f"kept.{tag.replace('.', '_')}"


def firsts(trace: Trace) -> dict[str, Value]:
    """Return how everything that is dumped was when the trace began."""
    found = {**trace.first, **trace.first_ends}
    for change in (*trace.changes, *trace.ends):
        if change.time_us < trace.begun_us:
            found[change.tag] = change.value
    return {tag: value for tag, value in found.items() if not _by_its_ends(tag)}


def changes(trace: Trace) -> Iterator[Change]:
    """Yield every change that is dumped, in the order of time."""
    found = merge(trace.ends, trace.changes, key=lambda each: each.time_us)
    return (each for each in found if each.time_us >= trace.begun_us and not _by_its_ends(each.tag))


def _by_its_ends(tag: str) -> bool:
    """Whether both ends of a wire are traced by themselves, so that what arrived is no variable besides."""
    return tag in BY_TAG and BY_TAG[tag].direction is Direction.OUTPUT


def dump(trace: Trace, end_us: int, loom: Loom | None = None) -> str:
    """Return a trace as the text of a VCD file, in microseconds, up to `end_us`.

    Args:
        trace: What is dumped.
        end_us: When it ends.
        loom: Whose wires they are, for the comment; None for a controller alone.
    """
    out = io.StringIO()
    comment = f"drycycle names\n{name_table(loom)}"
    with VCDWriter(
        out, timescale="1 us", date="", comment=comment, init_timestamp=trace.begun_us
    ) as writer:
        variables = {}
        for tag, first in firsts(trace).items():
            scope, _, name = variable_of(tag).rpartition(".")
            kind, size = ("reg", STATE_BITS) if tag in NAMES else ("wire", 1)
            variables[tag] = writer.register_var(
                scope, name, kind, size=size, init=number_of(tag, first)
            )
        writer.flush()  # the first values stand, even where something changes at that instant
        for change in changes(trace):
            writer.change(
                variables[change.tag], change.time_us, number_of(change.tag, change.value)
            )
        writer.close(max(end_us, trace.begun_us))
    return out.getvalue()
