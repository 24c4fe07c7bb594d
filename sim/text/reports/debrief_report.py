"""`drycycle debrief`: plays a record again and says what it was worth, in words, JSON or one page."""

from pathlib import Path
from typing import Final

from sim.debrief.debrief import debrief, json_values
from sim.debrief.debrief_html import html
from sim.errors import CommandError, RecordError
from sim.session.replay import replay
from sim.text.page import Page, may_draw
from sim.text.report import report
from sim.text.reports.replay_report import tell_cut
from sim.text.reports.run_report import print_json
from sim.text.tables import console

_PAGES: Final = (".html", ".htm")


def debrief_and_report(record: Path, *, output: Path | None, as_json: bool) -> int:
    """Print the debrief of a record, or write it as a page; return 0, or 1 when it plays otherwise.

    Raises:
        RecordError: The record cannot be played, or the page cannot be written.
        CommandError: The page's name has another ending than .html.
        ScenarioError: Its scenario is gone.
    """
    if output is not None and output.suffix.lower() not in _PAGES:
        raise CommandError(
            f"a debrief is written as one HTML page, and {output.name} would be none", str(output),
            f"write {output.with_suffix('.html').name}, and print that to PDF from a browser; "
            "--json prints the figures",
        )  # fmt: skip
    played = replay(record, allow_cut=True)
    tell_cut(played)
    found = debrief(played.session)
    out = console()
    if output is not None:
        try:
            output.write_text(html(found), encoding="utf-8")
        except OSError as fault:
            raise RecordError(
                f"the page cannot be written: {fault.strerror}", str(output)
            ) from None
    if as_json:
        print_json({**json_values(found), "same": played.same, "ends_early": played.cut})
    elif output is None:
        write = Page(lambda line: out.print(line, markup=False), drawn=may_draw())
        write.put(*report(found))
    else:
        out.print(f"{output}: {found.score} of 100.", markup=False, soft_wrap=True)
    if not played.same and not as_json:
        out.print(
            "Played again, it comes to something else than the record tells."
            if played.cut
            else "The record does not end in the state it tells.",
            markup=False,
        )
    return 0 if played.same else 1
