"""One station of the desk: title, state, selector, keys and gauge."""

from functools import partial

from pygame import Rect

from sim.session.session import Session
from sim.view.desk.gauges import gauge, gauge_for, reading
from sim.view.desk.keys import cap_key
from sim.view.desk.machine_state import machine_state
from sim.view.kit.controls import focus_ring, text
from sim.view.kit.layout import columns, from_right, from_top, grid, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.desk_rows import Station
from sim.view.play.hands import Hands
from sim.view.play.key_words import MODES
from sim.words.speech import tell


def desk_row(kit: Kit) -> int:
    """Return the height of a row of keys, px."""
    return max(kit.px(1.95), 24)


def station_height(kit: Kit) -> int:
    """Return how high a station is, px."""
    return kit.px(0.45) * 2 + kit.px(1.15) + kit.px(1.15) + 3 * desk_row(kit) + 3 * kit.px(0.3)


def paint_panel(pen: Pen, place: Rect, _mood: Mood) -> None:
    """Draw the ground of a station."""
    palette = pen.palette
    pen.box(place, palette.panel, palette.hair, radius=0.4)


def station_panel(kit: Kit, station: Station, rect: Rect, session: Session, hands: Hands) -> Widget:
    """Return a station: title, state, selector, keys, and a gauge where it has one."""
    inner = inset(rect, kit.px(0.5), kit.px(0.45))
    gap = kit.px(0.3)
    title, rest = from_top(inner, kit.px(1.15))
    state, rest = from_top(rest, kit.px(1.15))
    children = [
        text(f"{station.name}.title", title, tell(station.title), role="small", bold=True),
        machine_state(kit, station.name, state, session),
    ]
    rest.top += gap
    if station.mode_letter:
        selector, rest = from_top(rest, desk_row(kit), gap)
        children.append(_selector(kit, station, selector, session, hands))
    places = grid(rest, 2, desk_row(kit), 4, gap)
    narrow = [cap for cap in station.caps if not cap.wide]
    children += [
        cap_key(kit, cap, place, hands) for cap, place in zip(narrow, places, strict=False)
    ]
    below = Rect(rest.left, rest.top + 2 * (desk_row(kit) + gap), rest.width, desk_row(kit))
    children += [cap_key(kit, cap, below, hands) for cap in station.caps if cap.wide]
    row = gauge_for(station.name)
    if row is not None and len(narrow) <= 2:
        place = Rect(rest.left, rest.top + desk_row(kit) + gap, rest.width, desk_row(kit))
        children.append(gauge(kit, row, place, session))
    elif row is not None:
        side, children[1].rect = from_right(state, state.width // 2)
        children.append(reading(kit, row, side, session))
    return Widget(f"station.{station.name}", rect, paint_panel, children=children)


# Selector ---------------------------------------------------------------------------------


def _selector(kit: Kit, station: Station, rect: Rect, session: Session, hands: Hands) -> Widget:
    image = session.saw.controller.image
    subject = f"mode.{station.name}"
    halves = columns(rect, (1, 1))
    children: list[Widget] = []
    for half, mode in zip(halves, ("HAND", "AUTO"), strict=True):
        key = f"{station.name}.{mode.lower()}"

        def paint(pen: Pen, place: Rect, mood: Mood, mode: str = mode) -> None:
            palette = pen.palette
            on = image[subject] == mode
            fill = palette.ink if on else palette.lit if mood.hovered else palette.sunk
            pen.box(place, fill, palette.edge, radius=0.2)
            ink = palette.dark if on else palette.soft
            inner = inset(place, pen.px(0.3), 0)
            if mode == "AUTO":
                letter = station.mode_letter.upper()
                side, inner = from_right(inner, pen.letters.width(letter, "fine", True))
                pen.text(letter, side, ink, role="fine", bold=True, align="right")
            pen.text(tell(MODES[mode]), inner, ink, role="small", bold=on, align="centre")
            focus_ring(pen, place, mood)

        children.append(
            Widget(
                f"key.{key}",
                half,
                paint,
                lambda: image[subject],
                Act(press=partial(_press, hands, key), release=hands.release),
                label=f"{tell(station.title)} {tell(MODES[mode])}",
            )
        )
    return Widget(f"{station.name}.mode", rect, children=children)


def _press(hands: Hands, key: str, source: str) -> None:
    hands.press(source, key)
