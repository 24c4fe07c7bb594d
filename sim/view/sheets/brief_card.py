"""The set-up card: what a good operator would set, why, by which source, and what differs now."""

from typing import Final

from pygame import Rect

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.session.card.setup_card import Line
from sim.session.hands.cautions import in_short
from sim.session.hands.table import SETS
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
from sim.view.kit.column import Column
from sim.view.kit.controls import text
from sim.view.kit.pen import Kit
from sim.view.play.play import Play
from sim.words.fields import authored, count, mm, part
from sim.words.message import NOTHING, Message, named, plain, row, sentences
from sim.words.speech import reader, say, tell

_OPEN_MODES: Final = ("practice", "lesson")  # in which the card shows how the machine is set now

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
_FIRST: Final = row("window.card.first", "{first}.", first=part(capital=True))
_SOURCE: Final = row("window.card.source", "Source: {source}.", source=part())
_BAND_SPEED: Final = plain("window.card.band-speed", "band speed")


def set_up_card(kit: Kit, column: Column, play: Play) -> None:
    """Add the card to a column; what differs from it stands first."""
    stock, order = play.session.stock, play.session.order
    column.paragraph("card.title", say("Set-up card"), role="lead", bold=True)
    job = _JOB(
        count=order.wanted * play.session.pieces_a_cut, length=order.piece_m, metal=stock.material.title,
        section=SECTIONS[type(stock.section)], height=stock.section.height_m,
    )  # fmt: skip
    column.paragraph("card.job", tell(job), role="small", soft=True)
    if play.session.unsound:
        column.paragraph("card.unsound", tell(play.session.unsound), role="small", bold=True)
    column.space(0.3)
    lines = [(line, _now(play, line)) for line in play.session.card]
    for line, now in sorted(lines, key=lambda each: not each[1]):
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
    return NOTHING if line.will_do(now) else _NOW(value=_set_to(line.name, now))


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
    reach = SETS.get(line.name)
    first = _FIRST(first=in_short(reach)) if reach is not None and in_short(reach) else NOTHING
    words = tell(sentences(_SETS(title=_title(line.name)), line.reason, first, now))
    column.add(
        body.paragraph(f"card.{line.name}", words, role="small", soft=not now, bold=bool(now))
    )
    source = tell(_SOURCE(source=line.source))
    column.add(body.paragraph(f"card.{line.name}.source", source, role="fine", soft=True))
    column.top = body.top
    column.space(0.15)
