"""Why not: what stands against a key now, down to the devices, and the shortest way out."""

from collections.abc import Iterator
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.actions import BY_NAME as BY_ACTION
from sim.logic.bench.way import TRIES_S, BenchAct
from sim.logic.bench.why_not import Against, Device
from sim.session.hands.cautions import before_key
from sim.session.why import (
    locked_off,
    runs_already,
    stands_waiting,
    still_taken,
    there_already,
    to_heed,
)
from sim.teaching.forewarning import forewarning, of_start
from sim.teaching.hands_on_way import beware_of_hands, or_locked_out
from sim.teaching.way_out import breaks_off, why_none
from sim.units import US
from sim.view.kit.column import Column, Filled, beside, row_height
from sim.view.kit.controls import MAIN, Style, button, button_width, text
from sim.view.kit.pen import Kit
from sim.view.play.asking import NOTHING_AGAINST
from sim.view.play.console_rows import PARTS
from sim.view.play.hands import PALMS
from sim.view.play.key_words import ON_CONSOLE, called, called_subject
from sim.view.play.play import Play
from sim.words.fields import count, name, part, seconds
from sim.words.message import Message, plain, row, sentences
from sim.words.speech import say, tell

_SMALL: Final = Style(role="small")

_NEVER: Final = row(
    "window.why.never-changed", "{subject} {now}; it has not changed since the session began.",
    subject=part(), now=part(),
)  # fmt: skip
_SINCE: Final = row(
    "window.why.changed", "{subject} {now}; it last changed at {at}.",
    subject=part(), now=part(), at=seconds(1),
)  # fmt: skip
_WIRED_AT: Final = row("window.why.at", "{subject} ({at})", subject=part(), at=name())
_HAZARD: Final = row("window.why.hazard", "It is there against this: {hazard}.", hazard=part())
_TRIED: Final = plain("window.way.tried", "The shortest way, tried on a copy of this saw:")
_BY_TABLES: Final = plain("window.way.by-tables", "The shortest way by the tables:")
_STEP: Final = row("window.way.step", "{number}. {act}", number=count(), act=part())
_BUT: Final = row("window.way.but", "But: {reason}", reason=part())
_HOLD: Final = row("window.way.hold", "Hold {pressed}.", pressed=part())
_HOLD_FOR: Final = row(
    "window.way.hold-for", "Hold {pressed} for {time}.", pressed=part(), time=seconds()
)
_PRESS: Final = row("window.way.press", "Press {pressed}.", pressed=part())
_PALMS: Final = row(
    "window.way.palms", "Press {pressed}, then both palm keys together.", pressed=part()
)


def why_not(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the keys to ask about, and beside them what stands against the one that was chosen."""
    return beside(
        kit, area, lambda left: _keys(kit, left, play), lambda right: _told(kit, right, play)
    )


def _keys(kit: Kit, column: Column, play: Play) -> None:
    """Add a row of keys for each part behind its title, wrapped where they do not fit."""
    high, gap = row_height(kit), kit.px(0.25)
    wide_title = max(kit.letters.width(tell(s.title), "fine", True) for s in PARTS)
    begin = column.left + wide_title + kit.px(0.6)
    for each in PARTS:
        caps = [cap for cap in each.caps if cap.key in BY_ACTION]
        if not caps:
            continue
        spot = Rect(column.left, column.top, wide_title, high)
        column.add(text(f"why.{each.name}", spot, tell(each.title), role="fine", bold=True))
        left = begin
        for cap in caps:
            wide = button_width(kit, tell(cap.words), role="small")
            if left > begin and left + wide > column.left + column.width:
                left = begin
                column.top += high + gap
            place = Rect(left, column.top, wide, high)
            column.add(
                button(
                    f"why.key.{cap.key}", place, tell(cap.words), partial(play.ask_why, cap.key),
                    style=_SMALL, chosen=partial(_asked, play, cap.key),
                )
            )  # fmt: skip
            left = place.right + gap
        column.top += high + gap


def _asked(play: Play, key: str) -> bool:
    return play.bench.asked == key


def _told(kit: Kit, column: Column, play: Play) -> None:
    bench = play.bench
    if not bench.asked:
        column.paragraph("why.choose", say("Choose a key. That you asked stands on the record."))
        return
    column.paragraph("why.title", tell(called(bench.asked)), role="lead", bold=True)
    reasons = bench.against()
    for index, line in enumerate(stands_waiting(play.session.saw)):
        column.paragraph(f"why.waits.{index}", tell(line), role="small", bold=True)
    saw = play.session.saw
    off = locked_off(saw, bench.asked)
    for index, line in enumerate(
        (*runs_already(saw, bench.asked), *off, *to_heed(saw, bench.asked))
    ):
        column.paragraph(f"why.first.{index}", tell(line), role="small", bold=True)
    if off and not reasons:
        return
    if not reasons:
        saw = play.session.saw
        taken = (
            *there_already(saw, bench.asked), *forewarning(play.session, bench.asked),
            *still_taken(saw, bench.asked),
        )  # fmt: skip
        column.paragraph("why.nothing", tell(sentences(NOTHING_AGAINST, *taken)))
        for index, line in enumerate(before_key(bench.asked)):
            column.paragraph(f"why.caution.{index}", tell(line), role="small", bold=True)
        return
    if play.session.scenario.mode != "assessment" and not play.session.over:
        _way(kit, column, play)
    for index, reason in enumerate(reasons):
        _against(column, index, reason)


def _way(kit: Kit, column: Column, play: Play) -> None:
    column.space(0.2)
    words = say("Show the shortest way out")
    place = column.place(button_width(kit, words) + kit.px(1), 2.0)
    column.add(button("why.way", place, words, play.seek_way, style=MAIN))
    column.space(0.3)
    if play.bench.sought:
        for index, line in enumerate(_way_lines(play)):
            column.paragraph(f"why.way.{index}", tell(line), role="small", bold=not index)
        if play.bench.way is not None and not play.bench.way.harm:
            column.paragraph("why.console", tell(ON_CONSOLE), role="small")
        column.space(0.4)


def _against(column: Column, index: int, reason: Against) -> None:
    name = f"why.{index}"
    said = tell(sentences(reason.sentence, reason.remedy))
    number = f"{reason.number}  " if reason.number else ""
    column.paragraph(name, f"{number}{said}", role="small", bold=True)
    for device in reason.devices:
        words = tell(_since(device))
        column.paragraph(f"{name}.{device.tag}", words, role="small", soft=True)
    if reason.hazard:
        words = tell(_HAZARD(hazard=reason.hazard))
        column.paragraph(f"{name}.hazard", words, role="small", soft=True)
    column.space(0.3)


def _since(device: Device) -> Message:
    """Return what a device shows and since when, a machine by its title on the console."""
    subject = called_subject(device.tag)
    if device.at:
        subject = _WIRED_AT(subject=subject, at=device.at)
    if device.changed is None:
        return _NEVER(subject=subject, now=device.now)
    return _SINCE(subject=subject, now=device.now, at=device.changed.time_us / US)


def _way_lines(play: Play) -> Iterator[Message]:
    way = play.bench.way
    if way is None or way.harm:
        yield why_none(play.session, play.bench.asked, way)
        return
    yield from breaks_off(play.session, way)
    yield from of_start(play.session, play.bench.asked)
    yield from beware_of_hands(way)
    yield _TRIED if way.verified else _BY_TABLES
    for number, step in enumerate(way.steps, start=1):
        yield _STEP(number=number, act=act_sentence(step.act))
    yield from or_locked_out(play.session, way)
    if way.stuck_at:
        yield _BUT(reason=way.stuck_at)


def act_sentence(act: BenchAct) -> Message:
    """Return what a person does, with the keys by the words on the console."""
    key = next((name for name in act.names if name not in PALMS), "")
    if act.verb == "hold" and act.seconds > TRIES_S:
        return _HOLD_FOR(pressed=called(key), time=act.seconds)
    if act.verb == "hold":
        return _HOLD(pressed=called(key))
    if act.verb == "tap" and key in BY_ACTION:
        return (_PALMS if len(act.names) > 1 else _PRESS)(pressed=called(key))
    return act.words
