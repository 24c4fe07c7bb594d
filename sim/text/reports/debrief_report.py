"""`drycycle debrief`: plays a record again and says what it was worth, in words, JSON or one page."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from sim.debrief.debrief import as_far_as_played, debrief, json_values
from sim.debrief.debrief_html import html
from sim.errors import CommandError
from sim.records.output import check_place, write_output
from sim.session.playback.replay import replay_of
from sim.session.who_may import record_to_tell
from sim.text.page import Printer, may_draw, put_line
from sim.text.report import report
from sim.text.reports.replay_report import otherwise, tell_cut
from sim.text.reports.shift_record import debrief_shift
from sim.text.tables import print_json, print_said
from sim.words.fields import count, name, part
from sim.words.message import row

_PAGES: Final = (".html", ".htm")
_JSON: Final = ".json"

_NO_PAGE: Final = row(
    "debrief.no-page", "a debrief is written as one HTML page, and {file} would be none",
    file=name(),
)  # fmt: skip
_WRITE_PAGE: Final = row(
    "debrief.no-page.write",
    "write {file}, and print that to PDF from a browser; --json prints the figures",
    file=name(),
)
_NOT_WRITTEN: Final = row("debrief.not-written", "the page cannot be written: {why}", why=part())
_WRITTEN: Final = row("debrief.written", "{file}: {score} of 100.", file=name(), score=count())
_WRITTEN_NO_POINTS: Final = row(
    "debrief.written.no-points", "{file}: not finished, so there are no points.", file=name()
)


def debrief_and_report(
    record: Path, code: Callable[[], str], *, output: Path | None, as_json: bool
) -> int:
    """Print the debrief of a record, or write it as a page; return 0, or 1 when it plays otherwise.

    Args:
        record: Its file.
        code: Asks for the instructor's code, where only that opens it.
        output: The page; None to print it.
        as_json: Print JSON.

    Raises:
        RecordError: The record cannot be played, or who asks may not be told of it.
        CommandError: The page's name has another ending than .html, or it cannot be written.
        ScenarioError: Its scenario is gone.
    """
    if output is not None and output.suffix.lower() != _JSON:  # which a shift is written as too
        _check_page(output)
    kept = record_to_tell(record, code)
    if kept.opening.of_shift:
        return debrief_shift(kept, output, as_json=as_json)
    if output is not None:
        _check_page(output)
    played = replay_of(kept)
    tell_cut(played)
    found = as_far_as_played(debrief(played.session), played)
    if output is not None:
        write_output(output, html(found), [record], _NOT_WRITTEN)
    if as_json:
        print_json({**json_values(found), "same": played.same, "ends_early": str(played.cut)})
    elif output is None:
        write = Printer(put_line, drawn=may_draw())
        write.put(*report(found))
    else:
        file = str(output)
        written = _WRITTEN(file=file, score=found.score)
        print_said(_WRITTEN_NO_POINTS(file=file) if found.unfinished else written, whole=True)
    if not played.same and not as_json:
        print_said(otherwise(played))
    return 0 if played.same else 1


def _check_page(output: Path) -> None:
    if output.suffix.lower() not in _PAGES:
        raise CommandError(
            _NO_PAGE(file=output.name), str(output),
            _WRITE_PAGE(file=output.with_suffix(".html").name),
        )  # fmt: skip
    check_place(output)
