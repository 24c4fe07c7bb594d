"""The meter sheet: the wires of a device from card to device, its terminals to put two probes on, and what was read.

A reading is a look: it takes its time, hands are at the terminal meanwhile, and in a drill it counts.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from pygame import Rect

from sim.logic.bench.wiring_prints import WHAT, place_said
from sim.session.hands.cautions import before_look
from sim.session.inspections import find
from sim.session.inspections.inspection import Kind
from sim.view.kit.column import Column, Filled, beside, row_height
from sim.view.kit.controls import MAIN, QUIET, Style, button, button_width
from sim.view.kit.layout import from_left, from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.wiring.loom import Hop
from sim.words.fields import name, part
from sim.words.message import plain, row
from sim.words.speech import reader, say, tell

_SMALL: Final = Style(role="small")
_ADDRESS: Final = row(
    "meter.address", "{tag}, {what}, address {address}", tag=name(), what=part(), address=name()
)
_OTHERS: Final = plain("meter.others", "Other devices, by where they are")
_RED: Final = row("meter.red", "Red probe on {terminal}.", terminal=name())
_BLACK: Final = row("meter.black", "Black probe on {terminal}.", terminal=name())
_ON_ZERO: Final = plain("meter.black.zero", "The black probe lies on 0 V.")
_NOWHERE: Final = plain(
    "meter.nowhere", "Put the probes on: touch a terminal, and another one if it is not to be 0 V."
)


def meter(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the devices, and beside them the wiring of the one that is chosen and what was read."""
    return beside(
        kit,
        area,
        lambda left: _devices(kit, left, play),
        lambda right: _wiring(kit, right, play),
        1,
    )


def _devices(kit: Kit, column: Column, play: Play) -> None:
    """Add the devices to choose from: those that are named, and the others place by place."""
    column.paragraph("meter.devices", say("Wiring of"), role="small", bold=True)
    tags = play.meter.devices()
    if not tags:
        column.paragraph("meter.none", say("This drill allows no meter."), soft=True)
        return
    _devices_of(kit, column, play, tags)
    others = play.meter.others()
    column.space(0.3)
    column.paragraph("meter.others", tell(_OTHERS), role="small", bold=True)
    places = [
        (f"meter.place.{each}", tell(place_said(each)), partial(play.show_place, each), each)
        for each in others
    ]
    _in_rows(kit, column, places, lambda each: play.meter.place == each)
    if there := others.get(play.meter.place):
        column.space(0.3)
        _devices_of(kit, column, play, there)


def _devices_of(kit: Kit, column: Column, play: Play, tags: Sequence[str]) -> None:
    keys = [(f"meter.device.{tag}", tag, partial(play.show_wiring, tag), tag) for tag in tags]
    _in_rows(kit, column, keys, partial(_shown, play))


def _in_rows(
    kit: Kit,
    column: Column,
    keys: Sequence[tuple[str, str, Callable[[], None], str]],
    chosen: Callable[[str], bool],
) -> None:
    """Add a button for each key, its name, words, act and what it stands for, as many in a row as fit."""
    high, gap = row_height(kit), kit.px(0.25)
    wide = max(button_width(kit, words, role="small") for _, words, _, _ in keys)
    left, top = column.left, column.top
    for called, words, act, each in keys:
        if left > column.left and left + wide > column.left + column.width:
            left, top = column.left, top + high + gap
        place = Rect(left, top, wide, high)
        column.add(button(called, place, words, act, style=_SMALL, chosen=partial(chosen, each)))
        left += wide + gap
    column.top = top + high + gap


def _shown(play: Play, tag: str) -> bool:
    return play.meter.tag == tag


def _on(play: Play, terminal: str) -> bool:
    return terminal in (play.meter.red, play.meter.black)


def _wiring(kit: Kit, column: Column, play: Play) -> None:
    choice = play.meter
    loom = play.session.machine.loom
    device = loom.by_tag.get(choice.tag)
    if device is None:
        column.paragraph("meter.choose", say("Choose a device, and its wires are shown here."))
    else:
        told = _ADDRESS(tag=device.tag, what=WHAT[device.what], address=device.address or "-")
        column.paragraph("meter.title", tell(told), role="lead", bold=True)
        _read(column, play, last=True)
        _probes(kit, column, play)  # above the wires, of which there may be many
        for index, hop in enumerate((*loom.path(device.tag), *loom.besides(device.tag))):
            _hop(kit, column, play, index, hop, ", ".join(loom.cables(hop.wire)))
    _read(column, play, last=False)


def _hop(kit: Kit, column: Column, play: Play, index: int, hop: Hop, cable: str) -> None:
    """Add a wire with its terminals at both ends."""
    wide, high = kit.px(6.5), row_height(kit)
    rect = Rect(column.left, column.top, min(column.width, kit.px(36)), high)
    first, rest = from_left(rect, wide)
    last, between = from_right(rest, wide)
    for end, place, side in ((hop.start, first, "start"), (hop.end, last, "end")):
        column.add(
            button(
                f"meter.{index}.{side}.{end}", place, end, partial(play.touch_terminal, end),
                style=_SMALL, chosen=partial(_on, play, end),
            )
        )  # fmt: skip
    words = f"{hop.wire.number}   {cable}".strip()

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        pen.fill(
            Rect(at.left, at.bottom - pen.px(0.45), at.width, max(pen.px(0.12), 2)),
            pen.palette.edge,
        )
        spot = Rect(at.left, at.top, at.width, at.height - pen.px(0.4))
        pen.text(words, spot, pen.palette.soft, role="fine", align="centre")

    column.add(Widget(f"meter.wire.{hop.wire.number}", between, paint, label=words))
    column.top += high + kit.px(0.2)


def _probes(kit: Kit, column: Column, play: Play) -> None:
    choice = play.meter
    if not choice.red:
        column.paragraph("meter.nowhere", tell(_NOWHERE), role="small")
        return
    column.paragraph("meter.red", tell(_RED(terminal=choice.red)), role="small", bold=True)
    black = _BLACK(terminal=choice.black) if choice.black else _ON_ZERO
    column.paragraph("meter.black", tell(black), role="small", bold=True)
    look = find(choice.look(ohms=False))
    if look is not None:
        for index, caution in enumerate(before_look(look)):
            column.paragraph(f"meter.first.{index}", tell(caution), role="fine", soft=True)
    place = column.place(column.width, 2.0)
    volts, ohms = say("Read volts"), say("Read ohms")
    left, rest = from_left(place, button_width(kit, volts) + kit.px(0.6), kit.px(0.5))
    column.add(
        button("meter.volts", left, volts, partial(play.meter_reads, ohms=False), style=MAIN)
    )
    if choice.black:
        right, _ = from_left(rest, button_width(kit, ohms) + kit.px(0.6))
        column.add(
            button("meter.ohms", right, ohms, partial(play.meter_reads, ohms=True), style=QUIET)
        )
    column.space(0.3)


def _read(column: Column, play: Play, *, last: bool) -> None:
    """Add what the meter showed last, or what it had shown before, the newest first."""
    looks = [(look, find(look.name)) for look in reversed(play.session.seen.looks)]
    shown = [look for look, kind in looks if kind is not None and kind.kind is Kind.METER]
    for index, look in enumerate(shown[:1] if last else shown[1:], start=not last):
        words = f"{reader().clock(look.at_us)}  {tell(look.found)}"
        column.paragraph(f"meter.read.{index}", words, role="small", bold=last, soft=not last)


SHEET: Final = Sheet("meter", plain("saw.tab.meter", "Meter"), meter, tags="devices")
