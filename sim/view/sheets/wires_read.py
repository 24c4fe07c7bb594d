"""The wires in a drill: as the lamps and the meter showed them last, and keys for the looks at those lamps.

Never here: which wires are listed (see `signal_sheet`).
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.session.inspections import INSPECTIONS
from sim.session.sights.known import wires_read
from sim.signals import Signal
from sim.view.kit.column import Column
from sim.view.kit.controls import Style, button, button_width
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.words.fields import clock, one_of, part, seconds
from sim.words.message import plain, row
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
    "signals.read", "{at} {lamp} {state}", at=clock(), lamp=part(), state=one_of("on", "off")
)
_LAMP_OF: Final = {
    "input-lamps": plain("signals.by.input-lamp", "input lamp"),
    "output-lamps": plain("signals.by.output-lamp", "output lamp"),
    **dict.fromkeys(
        ("head-switches", "shuttle-switches", "vise-switches", "band-switches", "tank-switches"),
        plain("signals.by.switch-lamp", "switch's lamp"),
    ),
}
_BY_METER: Final = plain("signals.by.meter", "meter")


def look_keys(kit: Kit, column: Column, play: Play) -> None:
    """Add a key for each look at lamps that this scenario allows."""
    allowed = play.session.scenario.inspections
    looks = [
        each for each in INSPECTIONS.values()
        if each.tells_wires and (allowed == "all" or each.name in allowed)
    ]  # fmt: skip
    column.paragraph("signals.read-first", tell(_READ_FIRST if looks else _NO_LAMPS), role="small")
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


def as_read(play: Play, wire: Signal, rect: Rect) -> Widget:
    """Return what the lamps and the meter showed of a wire when they were read last, the newest first."""

    def words() -> str:
        reads = wires_read(play.session, wire.tag)
        told = (_READ(at=each.at_us, lamp=_LAMP_OF.get(each.look, _BY_METER), state="on" if each.live else "off")
                for each in reads)  # fmt: skip
        return "   ".join(map(tell, told)) or "?"

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.fitted(words(), place, ("small", "fine"))

    return Widget(f"signal.{wire.tag}.line", rect, paint, words, label=wire.tag)
