"""The job: its track in words over its keys, between the two palm keys at the ends of the console."""

from collections.abc import Sequence
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.controller_words import DISPLAY_DARK, console_lit
from sim.view.console.dials import dial
from sim.view.console.keys import cap_key, key_row, key_width
from sim.view.console.palm_keys import palm_key, palm_width
from sim.view.kit.controls import text
from sim.view.kit.layout import columns, from_left, from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.console_rows import CAPS, PARTS, Cap
from sim.view.play.gathered import Gathered
from sim.view.play.hands import Hands
from sim.view.play.track import Track
from sim.words.message import plain
from sim.words.speech import say, tell

_KEYS: Final = next(part for part in PARTS if part.name == "job").caps
_FIRST: Final = plain("console.first", "first cut:")
_CHOICES: Final = ("job.square", "job.straight")


def job_strip(
    kit: Kit, area: Rect, session: Session, hands: Hands, track: Track, gathered: Gathered
) -> Widget:
    """Return the strip; its keys take as many lines as they need, and the palm keys all its height."""
    gap = kit.px(0.4)
    side = palm_width(kit)
    middle = Rect(area.left + side + gap, area.top, area.width - 2 * (side + gap), 0)
    dial_wide = min(kit.px(15.5), middle.width)
    beside = middle.width - dial_wide - gap >= kit.px(34)
    lines = 2 if beside else 6
    high = max(key_row(kit), lines * kit.letters.line("fine"))
    place = Rect(middle.left, middle.top, middle.width, high)
    children: list[Widget] = []
    if beside:
        run_on, place = from_right(place, dial_wide, gap)
        run_on.height = key_row(kit)
    else:
        run_on = Rect(middle.left, place.bottom + gap // 2, dial_wide, key_row(kit))
    children.append(_track(place, track, session))
    children.append(dial(kit, run_on, "job.run_on_min", say("run-on, min"), session, gathered))
    keys, bottom = _key_lines(kit, Rect(middle.left, max(place.bottom, run_on.bottom) + gap // 2,
                                        middle.width, 0), session, hands)  # fmt: skip
    children += keys
    rect = Rect(area.left, area.top, area.width, bottom - area.top)
    ends = (
        ("palm.left", Rect(rect.left, rect.top, side, rect.height)),
        ("palm.right", Rect(rect.right - side, rect.top, side, rect.height)),
    )
    for number, (key, spot) in enumerate(ends):
        spot.height = min(spot.height, kit.px(6))
        spot.bottom = rect.bottom
        children.insert(number * len(children), palm_key(kit, CAPS[key], spot, session, hands))
    return Widget("job", rect, children=children)


def _key_lines(kit: Kit, area: Rect, session: Session, hands: Hands) -> tuple[list[Widget], int]:
    """Return the keys in lines that fill the width, the choice of the first cut last, and their end."""
    gap, row = kit.px(0.3), key_row(kit)
    widgets: list[Widget] = []
    top = area.top
    for line in _broken(kit, area.width, gap):
        first = line[0].key in _CHOICES or any(cap.key in _CHOICES for cap in line)
        label = kit.letters.width(tell(_FIRST), "small", True) + gap if first else 0
        widths = [float(key_width(kit, cap)) for cap in line]
        places = columns(Rect(area.left, top, area.width - label, row), widths, gap)
        shift = 0
        for cap, place in zip(line, places, strict=True):
            if cap.key == _CHOICES[0]:
                spot = Rect(place.left, top, label, row)
                widgets.append(text("job.first", spot, tell(_FIRST), role="small", bold=True))
                shift = label
            widgets.append(cap_key(kit, cap, place.move(shift, 0), session, hands))
        top += row + gap
    return widgets, top - gap


def _broken(kit: Kit, width: int, gap: int) -> list[list[Cap]]:
    """Return the keys by lines; the two choices of the first cut stay together."""
    label = kit.letters.width(tell(_FIRST), "small", True) + gap
    groups: list[tuple[Cap, ...]] = [(cap,) for cap in _KEYS if cap.key not in _CHOICES]
    groups.append(tuple(cap for cap in _KEYS if cap.key in _CHOICES))
    lines: list[list[Cap]] = [[]]
    used = 0
    for group in groups:
        wide = sum(key_width(kit, cap) + gap for cap in group) + (label if len(group) > 1 else 0)
        if lines[-1] and used + wide > width + gap:
            lines.append([])
            used = 0
        lines[-1] += group
        used += wide
    return lines


def _track(rect: Rect, track: Track, session: Session) -> Widget:
    """Return the job's track: from where, where now, and what may come next; dark with the console."""

    def words() -> Sequence[str]:
        if not console_lit(session):
            return "", "", tell(DISPLAY_DARK)
        return tell(track.came), tell(track.here), tell(track.next)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        came, here, after = words()
        if not here:
            pen.block(after, place, palette.soft, role="fine")
            return
        line = pen.letters.line("fine")
        top = Rect(place.left, place.top, place.width, line)
        wide = pen.letters.width(came, "fine")
        left, rest = from_left(top, wide, pen.px(0.4))
        pen.text(came, left, palette.soft, role="fine")
        mark, rest = from_left(rest, pen.px(0.8), pen.px(0.4))
        symbol(pen, "right", square_in(mark, pen.px(0.7)), palette.soft)
        fits = pen.letters.width(here, "fine", True) <= rest.width
        if fits:
            pen.text(here, rest, role="fine", bold=True)
            below = Rect(place.left, top.bottom, place.width, place.bottom - top.bottom)
        else:  # where it is takes lines of its own
            high = pen.letters.height(here, "fine", place.width, True)
            pen.block(here, Rect(place.left, top.bottom, place.width, high), role="fine", bold=True)
            below = Rect(
                place.left, top.bottom + high, place.width, place.bottom - top.bottom - high
            )
        pen.block(after, below, palette.soft, role="fine")

    return Widget("job.track", rect, paint, words, label=say("the job"))
