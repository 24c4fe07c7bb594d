"""`drycycle trace`: plays a record again and writes its trace as a value change dump."""

from pathlib import Path

from sim.errors import CommandError
from sim.logic.bench.vcd import dump
from sim.session.replay import replay
from sim.text.reports.replay_report import tell_cut, verdict
from sim.text.tables import console


def trace_record(record: Path, output: Path) -> int:
    """Write the trace of a record; return 0 when the replay ends as recorded, else 1.

    Raises:
        RecordError: The record cannot be played.
        CommandError: The file cannot be written.
    """
    played = replay(record, allow_cut=True)
    tell_cut(played)
    trace = played.session.trace
    text = dump(trace, played.session.saw.clock.now_us)
    try:
        output.write_text(text, encoding="ascii", newline="\n")
    except OSError as fault:
        raise CommandError(
            f"cannot be written: {fault.strerror}", str(output), "name another"
        ) from fault
    out = console()
    out.print(f"{len(trace.changes)} changes in {output}.", markup=False)
    out.print(verdict(played), markup=False)
    return 0 if played.same else 1
