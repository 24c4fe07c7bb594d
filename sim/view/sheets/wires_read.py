"""The wires in a drill: as the lamps and the meter showed them last, and keys for the looks at those lamps.

Never here: which wires are listed (see `signal_sheet`).
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.session.inspections import INSPECTIONS
from sim.session.sights.known import WireRead, wires_read
from sim.signals import Signal
from sim.view.kit.column import Column
from sim.view.kit.controls import Style, button, button_width
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.words.fields import clock, one_of, part, seconds
from sim.words.message import Message, plain, row
from sim.words.speech import tell

METER_KEY: Final = Style("panel", "ink", "hair", "small")
_READ_FIRST: Final = plain(
    "signals.read-first",
    "In a drill a wire is told when its lamp or the meter was read, as it was then:",
)
_NO_LAMPS: Final = plain(
    "signals.no-lamps",
    "In a drill a wire is told when its lamp was read; here no lamp of a wire can be read.",
)
_LOOK: Final = row("signals.look", "{title}: {time}", title=part(), time=seconds())
_READ: Final = row(
    "signals.read", "{at} {lamp} {state}", at=clock(), lamp=part(), state=one_of("lit", "dark")
)
_METERED: Final = row(
    "signals.metered", "{at} meter: {state}", at=clock(), state=one_of("live", "dead")
)
_LAMP_OF: Final = {
    "input-lamps": plain("signals.by.input-lamp", "input lamp"),
    "output-lamps": plain("signals.by.output-lamp", "output lamp"),
    **dict.fromkeys(
        ("head-switches", "shuttle-switches", "vise-switches", "band-switches", "tank-switches"),
        plain("signals.by.switch-lamp", "switch's lamp"),
    ),
}


def look_keys(kit: Kit, column: Column, play: Play) -> None:
    """Add a key for each look at lamps that this scenario allows."""
    allowed = play.session.scenario.inspections
    looks = [
        each for each in INSPECTIONS.values()
        if each.tells_wires and (allowed == "all" or each.name in allowed)
    ]  # fmt: skip
    column.paragraph("signals.read-first", tell(_READ_FIRST if looks else _NO_LAMPS), role="small")
    column.space(0.2)
    for each in looks:
        words = tell(_LOOK(title=each.title, time=each.seconds))
        wide = min(button_width(kit, words, role="small"), column.width)
        place = column.place(wide, 1.65)
        column.add(
            button(
                f"signals.look.{each.name}",
                place,
                words,
                partial(play.inspect, each.name),
                style=METER_KEY,
            )
        )
        column.space(0.15)
    column.space(0.3)


def _told(read: WireRead) -> Message:
    if read.look not in _LAMP_OF:
        return _METERED(at=read.at_us, state="live" if read.live else "dead")
    return _READ(at=read.at_us, lamp=_LAMP_OF[read.look], state="lit" if read.live else "dark")


def as_read(play: Play, wire: Signal, rect: Rect) -> Widget:
    """Return what the lamps and the meter showed of a wire when they were read last, the newest first."""

    def words() -> str:
        told = map(_told, wires_read(play.session, wire.tag))
        return "   ".join(map(tell, told)) or "?"

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.fitted(words(), place, ("small", "fine"))

    return Widget(f"signal.{wire.tag}.line", rect, paint, words, label=wire.tag)
