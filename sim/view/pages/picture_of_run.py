"""`drycycle shot`: brings a session to a moment by the autopilot and saves what the window shows."""

import os
import re
from functools import partial
from math import ceil
from pathlib import Path
from typing import Final

from sim.errors import CommandError
from sim.pilot.autopilot import begin, make_ready, power_up
from sim.records.output import check_output, write_output
from sim.session.opening import open_session
from sim.session.session import Session
from sim.units import US
from sim.words.fields import clock, name, part
from sim.words.message import plain, row

_TIME: Final = re.compile(r"(\d+(?:\.\d+)?)(s|m|)")
_SIZE: Final = re.compile(r"(\d{1,9})x(\d{1,9})")
_LEAST: Final = (800, 600)
_MOST: Final = (7680, 4320)
_LONGEST_S: Final = 24 * 3600.0
_NEAR_S: Final = 0.1  # the end of a run is told in tenths of a second
_PNG_BEGINS: Final = b"\x89PNG"
_NO_PNG: Final = row("shot.no-png", "{file} is no PNG file", file=name())
_END_IN_PNG: Final = plain("shot.no-png.do", "end the name in .png")
_NO_SHEET: Final = row("shot.no-sheet", "there is no sheet {tab}", tab=name())
_ONE_OF: Final = row("shot.no-sheet.do", "give one of {tabs}", tabs=name())
_NOT_WRITTEN: Final = row("shot.not-written", "the picture cannot be written: {why}", why=part())
_NO_TIME: Final = row("shot.no-time", "{word} is not a time", word=name())
_LIKE_TIME: Final = plain("shot.no-time.do", "write it like 42s or 3m")
_NO_SIZE: Final = row("shot.no-size", "{word} is not a size", word=name())
_LIKE_SIZE: Final = plain("shot.no-size.do", "write it like 1600x900, 800x600 at least")
_TOO_LARGE: Final = row("shot.too-large", "{word} is too large", word=name())
_AT_MOST: Final = plain("shot.too-large.do", "give at most 7680x4320")
_TOO_LATE: Final = row("shot.too-late", "{word} is too late", word=name())
_WITHIN_A_DAY: Final = plain("shot.too-late.do", "give at most 1440m, which is a day")
_IS_OVER: Final = row(
    "shot.over", "at {word} the run is over; it ended at {end}", word=name(), end=clock()
)
_UP_TO: Final = row("shot.over.do", "give {end} or an earlier time", end=name())


def save_shot(
    scenario: str, output: Path, *, at: str, size: str, text_percent: int, tab: str
) -> None:
    """Save the window as it looks so long into the autopilot's run.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
        CommandError: Time, size or sheet is not understood, the run does not last so long, or the file
            cannot be written.
    """
    at_s, pixels = _seconds(at), _pixels(size)
    if output.suffix.lower() != ".png":
        raise CommandError(_NO_PNG(file=repr(output.name)), "-o", _END_IN_PNG)
    os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
    from sim.view.pages.shot import png_of, shot
    from sim.view.pages.tabs import SHEETS

    if tab not in SHEETS:
        raise CommandError(_NO_SHEET(tab=repr(tab)), "--tab", _ONE_OF(tabs=", ".join(SHEETS)))
    check_output(output, _PNG_BEGINS)
    session = open_session(scenario)
    picture = shot(session, pixels, text_percent / 100, tab, partial(bring_to, at_s=at_s))
    _check_lasts(session, at, at_s)
    write_output(output, png_of(picture), refusal=_NOT_WRITTEN)


def bring_to(session: Session, at_s: float) -> None:
    """Run the machine as found by the autopilot until a moment, or until its run is over."""
    end_us = round(at_s * US)
    if end_us > 0:
        for act in (power_up, make_ready, begin):
            if not session.over and session.saw.clock.now_us < end_us:
                act(session)
    left_us = end_us - session.saw.clock.now_us
    if left_us > 0 and not session.over:
        session.advance_us(left_us)


def _check_lasts(session: Session, word: str, at_s: float) -> None:
    """Refuse a moment after the one at which a run came to its end by itself."""
    if not session.over or at_s - session.now_s <= _NEAR_S:
        return
    end = f"{ceil(session.now_s * 10) / 10:g}s"
    over = _IS_OVER(word=repr(word), end=session.saw.clock.now_us)
    raise CommandError(over, "--at", _UP_TO(end=end))


def _seconds(word: str) -> float:
    found = _TIME.fullmatch(word)
    if found is None:
        raise CommandError(_NO_TIME(word=repr(word)), "--at", _LIKE_TIME)
    seconds = float(found[1]) * (60 if found[2] == "m" else 1)
    if seconds > _LONGEST_S:
        raise CommandError(_TOO_LATE(word=repr(word)), "--at", _WITHIN_A_DAY)
    return seconds


def _pixels(word: str) -> tuple[int, int]:
    found = _SIZE.fullmatch(word)
    size = (int(found[1]), int(found[2])) if found is not None else (0, 0)
    if size[0] < _LEAST[0] or size[1] < _LEAST[1]:
        raise CommandError(_NO_SIZE(word=repr(word)), "--size", _LIKE_SIZE)
    if size[0] > _MOST[0] or size[1] > _MOST[1]:
        raise CommandError(_TOO_LARGE(word=repr(word)), "--size", _AT_MOST)
    return size
