"""`drycycle trace`: plays a record again and writes its trace as a value change dump."""

from pathlib import Path
from typing import Final

from sim.errors import CommandError, reason
from sim.logic.bench.vcd import dump
from sim.session.replay import replay
from sim.text.reports.replay_report import tell_cut, verdict
from sim.text.tables import print_said
from sim.words.fields import count, name, part
from sim.words.message import plain, row

_NOT_WRITTEN: Final = row("file.not-written", "cannot be written: {why}", why=part())
_NAME_ANOTHER: Final = plain("file.name-another", "name another")
_CHANGES: Final = row("trace.changes", "{changes} changes in {file}.", changes=count(), file=name())


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
        raise CommandError(_NOT_WRITTEN(why=reason(fault)), str(output), _NAME_ANOTHER) from fault
    print_said(_CHANGES(changes=len(trace.changes), file=str(output)), whole=True)
    print_said(verdict(played))
    return 0 if played.same else 1
