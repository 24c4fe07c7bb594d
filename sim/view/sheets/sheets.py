"""What lies under the picture besides the desk: brief, walk-round, inspection, lock-out, diagnosis, log.

Each sheet is a function of the play and a place; it returns widgets from the top of the place and the
height that they take.
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import SetPoint, Setting
from sim.session import lockout
from sim.session.setup_card import Line
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Square,
    SquareTube,
)
from sim.view.kit.column import Column, side_by_side
from sim.view.kit.controls import MAIN, Style, button, button_width, choice, text
from sim.view.kit.layout import from_right
from sim.view.kit.number import NumberRange, number
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.view.play.points import decimals
from sim.view.play.telling import shown
from sim.words.fields import authored, count, mm, part
from sim.words.message import NOTHING, Message, named, plain, quoted, row, sentences
from sim.words.speech import reader, say, sentence, tell

Sheet = tuple[list[Widget], int]
_OPEN_MODES: Final = ("practice", "lesson")  # in which the card shows how the machine is set now
_SAME: Final = 1e-6

SECTIONS: Final[dict[type, Message]] = {
    shape: plain(f"window.section.{words.replace(' ', '-')}", words)
    for shape, words in {
        Round: "round", Rectangle: "rectangle", Square: "square", RoundTube: "round tube",
        RectangularTube: "rectangular tube", SquareTube: "square tube", Angle: "angle",
        IBeam: "i beam", Bundle: "bundle",
    }.items()
}  # fmt: skip
_JOB: Final = row(
    "window.card.job", "{count} piece of {length}, {metal}, {section}, {height} high",
    plural="{count} pieces of {length}, {metal}, {section}, {height} high",
    count=count(), length=mm(1), metal=authored(), section=part(), height=mm(),
)  # fmt: skip
_SETS: Final = row("window.card.sets", "{title}.", title=part(capital=True))
_NOW: Final = row("window.card.now", "Now {value}.", value=part())
_SOURCE: Final = row("window.card.source", "Source: {source}.", source=part())
_BAND_SPEED: Final = plain("window.card.band-speed", "band speed")


def row_height(kit: Kit) -> int:
    """Return the height of a row with a control in it, px."""
    return max(kit.px(1.95), 24)


# Walk-round -------------------------------------------------------------------------------


def walk_round(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return every set-up point with its control, in as many columns as fit, and the bar rack."""
    column = Column(kit, area)
    words = say("Load a fresh bar (4 min)")
    place = column.place(button_width(kit, words, mark="bar_end") + kit.px(0.6), 1.95)
    rack = button("walk.load", place, words, play.load_bar, mark="bar_end")
    column.space(0.4)
    widgets, high = _points(kit, Rect(area.left, column.top, area.width, 0), play)
    return [rack, *widgets], column.top + high - area.top


def _points(kit: Kit, area: Rect, play: Play) -> Sheet:
    across = max(area.width // kit.px(38), 1)
    blocks = [partial(_point, kit, play, row) for row in play.points.rows]
    return side_by_side(kit, area, across, blocks)


def _point(kit: Kit, play: Play, row: SetPoint, rect: Rect) -> tuple[Widget, int]:
    high = row_height(kit)
    badge = Rect(rect.left, rect.top, high, high)
    figure = str(play.points.number(row.name))

    def mark(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.disc(place.center, place.height / 2 - 2, pen.palette.edge)
        pen.text(figure, place, pen.palette.dark, role="small", bold=True, align="centre")

    control_width = min(kit.px(14), rect.width // 2)
    control, words = from_right(
        Rect(badge.right + kit.px(0.5), rect.top, rect.right - badge.right - kit.px(0.5), high),
        control_width, kit.px(0.6),
    )  # fmt: skip
    title = sentence(tell(row.title))
    height = max(kit.letters.height(title, "small", words.width), high)
    column = Column(
        kit,
        Rect(
            words.left, rect.top + max((high - kit.letters.line("small")) // 2, 0), words.width, 0
        ),
    )
    if height > high:
        column.top = rect.top
    label = column.paragraph(f"walk.{row.name}.title", title, role="small")
    children = [Widget(f"walk.{row.name}.mark", badge, mark, label=figure), label]
    if row.words:
        options = tuple((word, tell(row.told(word))) for word in row.words)
        children.append(
            choice(
                kit,
                f"walk.{row.name}",
                control,
                options,
                lambda: str(play.points.read(row) or ""),
                lambda v: play.put(row.name, v),
            )
        )
    else:
        span = NumberRange(row.low, row.high, row.step, row.unit, decimals(row), _start(play, row))
        children.append(
            number(
                kit,
                f"walk.{row.name}",
                control,
                span,
                lambda: _reading(play, row),
                lambda value: play.put(row.name, value),
                title,
            )
        )
    return Widget(
        f"walk.{row.name}.row", Rect(rect.left, rect.top, rect.width, height), children=children
    ), height


def _start(play: Play, row: SetPoint) -> float:
    """Return what the card asks for, or the low end where it asks for nothing."""
    lines = (line for line in play.session.card if line.name == row.name)
    line = next(lines, None)
    return row.low if line is None else float(line.setting)


def _reading(play: Play, row: SetPoint) -> float | None:
    setting = play.points.read(row)
    return None if setting is None else float(setting)


# Brief and set-up card --------------------------------------------------------------------


def brief(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return what the trainee is told, and beside it the set-up card."""
    scenario = play.session.scenario
    gap = kit.px(2)
    narrow = area.width < kit.px(55)
    width = area.width if narrow else (area.width - gap) * 2 // 5
    column = Column(kit, Rect(area.left, area.top, width, 0))
    column.paragraph("brief.title", tell(quoted(scenario.title)), role="title", bold=True)
    column.space(0.3)
    if scenario.report:
        column.paragraph("brief.report.title", say("The operator reports"), role="small", bold=True)
        column.paragraph("brief.report", tell(quoted(scenario.report)))
        column.space(0.5)
    for index, line in enumerate(tell(quoted(scenario.brief)).splitlines()):
        column.paragraph(f"brief.{index}", line)
        column.space(0.3)
    column.space(0.3)
    words = say("Go to the desk") if play.session.now_s > 0 else say("Begin")
    place = column.place(button_width(kit, words, mark="start") + kit.px(2), 2.3)
    column.add(
        button("brief.begin", place, words, lambda: play.go("desk"), mark="start", style=MAIN)
    )
    if narrow:
        column.space(1)
        card = Column(kit, Rect(area.left, column.top, area.width, 0))
    else:
        left = area.left + width + gap
        card = Column(kit, Rect(left, area.top, area.right - left, 0))
    _card(kit, card, play)
    return [*column.widgets, *card.widgets], max(column.top, card.top) - area.top


def _card(kit: Kit, column: Column, play: Play) -> None:
    stock, order = play.session.stock, play.session.order
    column.paragraph("card.title", say("Set-up card"), role="lead", bold=True)
    job = _JOB(
        count=order.wanted, length=order.piece_m, metal=stock.material.title,
        section=SECTIONS[type(stock.section)], height=stock.section.height_m,
    )  # fmt: skip
    column.paragraph("card.job", tell(job), role="small", soft=True)
    column.space(0.3)
    lines = [(line, _now(play, line)) for line in play.session.card]
    for line, now in sorted(lines, key=lambda each: not each[1]):  # what differs stands first
        _card_line(kit, column, line, now)


def _now(play: Play, line: Line) -> Message:
    """Return how the machine is set now where that is not as on the card; nothing in a drill."""
    session = play.session
    if session.scenario.mode not in _OPEN_MODES:
        return NOTHING
    if line.name.endswith("speed_m_min"):
        now: Setting = round(session.saw.plant.band.dial.position * 60)
    else:
        now = session.saw.read(line.name)
    if isinstance(now, str) or isinstance(line.setting, str):
        same = now == line.setting
    else:
        same = abs(now - line.setting) < _SAME
    return NOTHING if same else _NOW(value=_set_to(line.name, now))


def _set_to(name: str, setting: Setting) -> Message:
    """Return a setting of the card: a word, or a number that stands in line with the others."""
    row = SET_POINTS.get(name)
    if row is not None and isinstance(setting, str):
        return row.told(setting)
    there = float(setting)
    unit = row.unit if row else ("m/min" if name.endswith("m_min") else "")
    return named(reader().quantity(there, unit, 0 if there == round(there) else 2))


def _title(name: str) -> Message:
    """Return what a line of the card sets: a set point, a counter of the job, or the band speed."""
    row = SET_POINTS.get(name) or DIALS.get(name)
    return row.title if row else _BAND_SPEED


def _card_line(kit: Kit, column: Column, line: Line, now: Message) -> None:
    value = tell(_set_to(line.name, line.setting))
    wide = min(kit.px(7), column.width // 3)
    line_high = kit.letters.line("small")
    value_place = Rect(column.left, column.top, wide - kit.px(0.6), line_high)
    column.add(
        text(
            f"card.{line.name}.value",
            value_place,
            value,
            role="small",
            bold=True,
            align="right",
        )
    )
    body = Column(kit, Rect(column.left + wide, column.top, column.width - wide, 0))
    words = tell(sentences(_SETS(title=_title(line.name)), line.reason, now))
    column.add(
        body.paragraph(f"card.{line.name}", words, role="small", soft=not now, bold=bool(now))
    )
    source = tell(_SOURCE(source=line.source))
    column.add(body.paragraph(f"card.{line.name}.source", source, role="fine", soft=True))
    column.top = body.top
    column.space(0.15)


# Lock-out ---------------------------------------------------------------------------------


def lock_out(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return the six steps before hands go in and the three on the way back."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    words = say(
        "Before hands go into the machine: six steps, in this order. Then three to bring power back."
    )
    column.paragraph("lockout.title", words, role="small", soft=True)
    column.space(0.4)
    across = 2 if area.width > kit.px(55) else 1
    gap = kit.px(1.5)
    wide = (area.width - gap * (across - 1)) // across
    groups = ((say("Take energy off"), lockout.STEPS), (say("Bring it back"), lockout.BACK))
    widgets: list[Widget] = list(column.widgets)
    bottom = column.top
    left, top = area.left, column.top
    for title, steps in groups:
        part = Column(kit, Rect(left, top, wide, 0))
        part.paragraph(f"lockout.{title}", title, role="lead", bold=True)
        for step in steps:
            high = row_height(kit)
            place = part.place(wide, high / kit.em)
            part.add(
                button(
                    f"lockout.{step.name}",
                    place,
                    tell(step.title),
                    partial(play.lock_out, step.name),
                    style=Style(role="small"),
                    chosen=partial(_taken, play, step.name),
                )
            )
            part.space(0.3)
        widgets += part.widgets
        bottom = max(bottom, part.top)
        if across == 2:
            left += wide + gap
        else:
            top = part.top + kit.px(0.6)
    return widgets, bottom - area.top


def _taken(play: Play, step: str) -> bool:
    return step in play.session.lockout.done


# Log --------------------------------------------------------------------------------------


def log(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return everything that happened, the newest first."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    events = play.session.heard.events[-120:]
    if not events:
        column.paragraph("log.none", say("Nothing has happened yet."), soft=True)
    for index, event in enumerate(reversed(events)):
        column.stamped(f"log.{index}", reader().clock(event.at_us), event.kind, tell(shown(event)))
    return column.widgets, column.top - area.top
