"""`drycycle trace`: plays a record again and writes its trace as a value change dump."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from sim.logic.bench.vcd import DUMP_BEGINS, dump
from sim.records.output import check_output, write_output
from sim.session.playback.replay import replay_of
from sim.session.who_may import record_to_tell
from sim.text.reports.replay_report import tell_cut, verdict
from sim.text.tables import print_said
from sim.words.fields import count, name
from sim.words.message import row

_CHANGES: Final = row("trace.changes", "{changes} changes in {file}.", changes=count(), file=name())


def trace_record(record: Path, code: Callable[[], str], output: Path) -> int:
    """Write the trace of a record; return 0 when the replay ends as recorded, else 1.

    Args:
        record: Its file.
        code: Asks for the instructor's code, where only that opens it.
        output: The file to write.

    Raises:
        RecordError: The record cannot be played, or who asks may not be told of it.
        CommandError: The file cannot be written, or something else would be written over.
    """
    check_output(output, DUMP_BEGINS, [record])
    played = replay_of(record_to_tell(record, code), watch=lambda session: session.trace.keep_all())
    tell_cut(played)
    trace, saw = played.session.trace, played.session.saw
    write_output(output, dump(trace, saw.clock.now_us, saw.plant.harness.loom), [record])
    print_said(_CHANGES(changes=len(trace.changes), file=str(output)), whole=True)
    if played.not_played:
        print_said(played.not_played)
    print_said(verdict(played))
    return 0 if played.same else 1
