"""Why not: what stands against a key now, down to the devices, and the shortest way out."""

from collections.abc import Iterator
from functools import partial

from pygame import Rect

from sim.control.actions import BY_NAME as BY_ACTION
from sim.logic.bench.way import BenchAct, Way
from sim.logic.bench.why_not import Against, Device
from sim.units import US
from sim.view.kit.column import Column, beside
from sim.view.kit.controls import MAIN, Style, button, button_width, text
from sim.view.kit.pen import Kit
from sim.view.kit.words import retell, say
from sim.view.play.desk_rows import JOB, STATIONS
from sim.view.play.key_words import key_words, state_words, subject_words
from sim.view.play.play import Play
from sim.view.sheets.sheets import Sheet, row_height

_SMALL = Style(role="small")


def why_not(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return the keys to ask about, and beside them what stands against the one that was chosen."""
    return beside(
        kit, area, lambda left: _keys(kit, left, play), lambda right: _told(kit, right, play)
    )


def _keys(kit: Kit, column: Column, play: Play) -> None:
    """Add a row of keys for each station behind its title, wrapped where they do not fit."""
    high, gap = row_height(kit), kit.px(0.25)
    wide_title = max(kit.letters.width(say(s.title), "fine", True) for s in (*STATIONS, JOB))
    begin = column.left + wide_title + kit.px(0.6)
    for station in (*STATIONS, JOB):
        caps = [cap for cap in station.caps if cap.key in BY_ACTION]
        spot = Rect(column.left, column.top, wide_title, high)
        column.add(text(f"why.{station.name}", spot, say(station.title), role="fine", bold=True))
        left = begin
        for cap in caps:
            wide = button_width(kit, say(cap.words), role="small")
            if left > begin and left + wide > column.left + column.width:
                left = begin
                column.top += high + gap
            place = Rect(left, column.top, wide, high)
            column.add(
                button(
                    f"why.key.{cap.key}", place, say(cap.words), partial(play.ask_why, cap.key),
                    style=_SMALL, chosen=partial(_asked, play, cap.key),
                )
            )  # fmt: skip
            left = place.right + gap
        column.top += high + gap


def _asked(play: Play, key: str) -> bool:
    return play.bench.asked == key


def _told(kit: Kit, column: Column, play: Play) -> None:
    bench = play.bench
    column.paragraph("why.title", key_words(bench.asked), role="lead", bold=True)
    rows = bench.against()
    if not rows:
        column.paragraph("why.nothing", say("Nothing stands against it."))
        return
    if play.session.scenario.mode != "assessment" and not play.session.over:
        _way(kit, column, play)
    for index, row in enumerate(rows):
        _against(column, play, index, row)


def _way(kit: Kit, column: Column, play: Play) -> None:
    column.space(0.2)
    words = say("Show the shortest way out")
    place = column.place(button_width(kit, words) + kit.px(1), 2.0)
    column.add(button("why.way", place, words, play.seek_way, style=MAIN))
    column.space(0.3)
    if play.bench.sought:
        for index, line in enumerate(_way_lines(play.bench.way)):
            column.paragraph(f"why.way.{index}", line, role="small", bold=not index)
        column.space(0.4)


def _against(column: Column, play: Play, index: int, row: Against) -> None:
    name = f"why.{index}"
    sentence = f"{retell(str(row.sentence))} {retell(str(row.remedy))}".strip()
    number = f"{row.number}  " if row.number else ""
    column.paragraph(name, f"{number}{sentence}", role="small", bold=True)
    for device in row.devices:
        shows = f"{subject_words(device.tag)} {_shows(play, device)}"
        if device.changed is None:
            words = say("{shows}; it has not changed since the session began.").format(shows=shows)
        else:
            words = say("{shows}; it last changed at {n_time} s.").format(
                shows=shows, n_time=f"{device.changed.time_us / US:.1f}"
            )
        column.paragraph(f"{name}.{device.tag}", words, role="small", soft=True)
    if row.hazard:
        words = say("It is there against this: {hazard}.").format(hazard=say(str(row.hazard)))
        column.paragraph(f"{name}.hazard", words, role="small", soft=True)
    column.space(0.3)


def _shows(play: Play, device: Device) -> str:
    value = play.session.saw.controller.image[device.tag]
    if isinstance(value, bool):
        return retell(str(device.now))
    return say("is {state}").format(state=state_words(value))


def _way_lines(way: Way | None) -> Iterator[str]:
    if way is None:
        yield say("There is no way out by keys and hands from here.")
        return
    if way.verified:
        yield say("The shortest way, tried on a copy of this saw:")
    else:
        yield say("The shortest way by the tables:")
    for number, step in enumerate(way.steps, start=1):
        yield f"{number}. {act_words(step.act)}"
    if way.stuck_at:
        yield say("But: {reason}").format(reason=retell(str(way.stuck_at)))


def act_words(act: BenchAct) -> str:
    """Return what a person does, with the keys by the words on the desk."""
    key = act.names[-1] if act.names else ""
    if act.verb == "hold":
        return say("Hold {key}.").format(key=key_words(key))
    if act.verb == "tap" and key in BY_ACTION:
        both = len(act.names) > 1
        words = say("Press {key} with both hands.") if both else say("Press {key}.")
        return words.format(key=key_words(key))
    return retell(str(act.words))
