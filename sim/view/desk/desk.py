"""The desk: lamps, the seven stations in the order a bar meets them, and the JOB strip under them.

Keys act on press and on release.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.dials import BY_NAME as DIALS
from sim.control.lamps import LAMPS
from sim.session.session import Session
from sim.units import MM
from sim.view.desk.gauges import gauge, gauge_for, reading
from sim.view.desk.lamps import lamp, lamp_width
from sim.view.kit.controls import focus_ring, text
from sim.view.kit.layout import columns, from_left, from_right, from_top, grid, inset
from sim.view.kit.number import NumberRange, number
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.desk_rows import JOB, STATIONS, Cap, Station
from sim.view.play.hands import Hands, needs_two_hands
from sim.view.play.key_words import MODES, state_of
from sim.words.speech import reader, say, tell

_STATION_EMS: Final = 10.8  # least width
_GAP_EMS: Final = 0.4

Setter = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class Bench:
    """What the desk is built for."""

    kit: Kit
    session: Session
    hands: Hands
    put: Setter  # sets a counter

    @property
    def gap(self) -> int:
        """Between two panels, px."""
        return self.kit.px(_GAP_EMS)

    def across(self, width: int) -> int:
        """Return how many stations stand side by side in a width."""
        most = (width + self.gap) // (self.kit.px(_STATION_EMS) + self.gap)
        return max(min(most, len(STATIONS)), 1)


def desk(bench: Bench, area: Rect) -> tuple[list[Widget], int]:
    """Return the desk's widgets from the top of an area, and the height they take.

    With letters so large that the stations do not stand in one row, the keys come before the lamps.
    """
    one_row = bench.across(area.width) == len(STATIONS)
    parts = (_lamps, _stations, _job) if one_row else (_stations, _job, _lamps)
    top = area.top
    widgets: list[Widget] = []
    for part in parts:
        placed = part(bench, Rect(area.left, top, area.width, 0))
        widgets += placed
        top = max(widget.rect.bottom for widget in placed) + bench.gap
    return widgets, top - bench.gap - area.top


def _lamps(bench: Bench, area: Rect) -> list[Widget]:
    fit = area.width // (lamp_width(bench.kit) + bench.gap)
    across = next((n for n in (8, 4, 2) if n <= fit), 1)
    cells = grid(area, across, bench.kit.px(1.55), len(LAMPS), bench.gap)
    return [lamp(row, cell, bench.session.saw) for row, cell in zip(LAMPS, cells, strict=True)]


def _stations(bench: Bench, area: Rect) -> list[Widget]:
    across = bench.across(area.width)
    cells = _cells(bench.kit, area, across, station_height(bench.kit), bench.gap)
    return [
        _station(bench.kit, station, cell, bench.session, bench.hands)
        for station, cell in zip(STATIONS, cells, strict=True)
    ]


def _job(bench: Bench, area: Rect) -> list[Widget]:
    return [_job_strip(bench.kit, area, bench.session, bench.hands, bench.put)]


def _cells(kit: Kit, area: Rect, across: int, high: int, gap: int) -> list[Rect]:
    """Return the stations' places; SUPPLY, which has the longest words, a little wider in one row."""
    if across == len(STATIONS):
        weights = [1.0 if station.mode_letter else 1.22 for station in STATIONS]
        return columns(Rect(area.left, area.top, area.width, high), weights, gap)
    return grid(area, across, high, len(STATIONS), gap)


def _row(kit: Kit) -> int:
    return max(kit.px(1.95), 24)


def station_height(kit: Kit) -> int:
    """Return how high a station is, px."""
    return kit.px(0.45) * 2 + kit.px(1.15) + kit.px(1.15) + 3 * _row(kit) + 3 * kit.px(0.3)


def _panel_paint(pen: Pen, place: Rect, _mood: Mood) -> None:
    palette = pen.palette
    pen.box(place, palette.panel, palette.hair, radius=0.4)


def _station(kit: Kit, station: Station, rect: Rect, session: Session, hands: Hands) -> Widget:
    inner = inset(rect, kit.px(0.5), kit.px(0.45))
    gap = kit.px(0.3)
    title, rest = from_top(inner, kit.px(1.15))
    state, rest = from_top(rest, kit.px(1.15))
    children = [
        text(f"{station.name}.title", title, tell(station.title), role="small", bold=True),
        _state(kit, station.name, state, session),
    ]
    rest.top += gap
    if station.mode_letter:
        selector, rest = from_top(rest, _row(kit), gap)
        children.append(_selector(kit, station, selector, session, hands))
    places = grid(rest, 2, _row(kit), 4, gap)
    narrow = [cap for cap in station.caps if not cap.wide]
    children += [
        cap_key(kit, cap, place, hands) for cap, place in zip(narrow, places, strict=False)
    ]
    below = Rect(rest.left, rest.top + 2 * (_row(kit) + gap), rest.width, _row(kit))
    children += [cap_key(kit, cap, below, hands) for cap in station.caps if cap.wide]
    row = gauge_for(station.name)
    if row is not None and len(narrow) <= 2:
        place = Rect(rest.left, rest.top + _row(kit) + gap, rest.width, _row(kit))
        children.append(gauge(kit, row, place, session))
    elif row is not None:
        side, children[1].rect = from_right(state, state.width // 2)
        children.append(reading(kit, row, side, session))
    return Widget(f"station.{station.name}", rect, _panel_paint, children=children)


_GOOD: Final = frozenset({"ON", "RUNNING", "GRIPPED", "EXECUTE", "COMPLETE", "FLOWING"})
_BAD: Final = frozenset({"EMERGENCY", "TRIPPED", "ABORTED", "ABORTING"})
_MOVING: Final = frozenset({
    "STARTING", "COASTING", "GRIPPING", "FREEING", "TO_STOP", "TO_BLADE", "LIFTING", "LOWERING",
    "HOLDING", "HELD", "STOPPING",
})  # fmt: skip


def state_look(palette: Palette, state: str) -> tuple[str, Colour]:
    """Return the shape and the colour that stand before a state's word."""
    if state in _BAD:
        return "octagon", palette.red
    if state in _GOOD:
        return "disc", palette.green
    if state in _MOVING:
        return "triangle", palette.yellow
    return "ring", palette.soft


def _state(kit: Kit, machine: str, rect: Rect, session: Session) -> Widget:
    runner = session.saw.controller.machines[machine]

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        state = runner.state
        mark, rest = from_left(place, pen.px(0.8), pen.px(0.35))
        shape, colour = state_look(pen.palette, state)
        symbol(pen, shape, square_in(mark, pen.px(0.7)), colour)
        pen.text(tell(state_of(machine, state)), rest, pen.palette.soft, role="small")

    return Widget(f"{machine}.state", rect, paint, lambda: runner.state, label=say("state"))


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


# Keys -------------------------------------------------------------------------------------


def _cap_colours(palette: Palette, style: str) -> tuple[Colour, Colour, Colour]:
    """Return fill, edge and ink of a key."""
    looks = {
        "start": (palette.white, palette.white, palette.dark),
        "stop": (palette.black, palette.edge, palette.white),
        "reset": (palette.blue, palette.blue, palette.dark),
        "latch": (palette.raised, palette.edge, palette.ink),
        "move": (palette.raised, palette.edge, palette.ink),
    }
    return looks[style]


def cap_key(kit: Kit, cap: Cap, rect: Rect, hands: Hands) -> Widget:
    """Return a key of the desk: down while it is held, with its letter in the corner."""
    words = tell(cap.words)
    letter = say("SPACE") if cap.letter == "space" else cap.letter.upper()
    both = needs_two_hands(cap.key)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down = hands.down(cap.key)
        fill, edge, ink = _cap_colours(palette, cap.style)
        refused = _is_refused(hands, cap)
        if mood.hovered and not down and cap.style in ("move", "latch"):
            fill = palette.lit
        pen.box(place, palette.yellow if refused else palette.blue if down else edge, radius=0.35)
        line = pen.hairline + (2 if refused else pen.px(0.2) if down else 0)
        face = place.inflate(-2 * line, -2 * line)
        pen.box(face, fill, radius=0.3)
        shown = say("isolator on") if down and cap.style == "latch" else words
        _cap_face(pen, face, cap, shown, letter, ink, both)
        focus_ring(pen, place, mood)

    def face() -> tuple[bool, bool]:
        return (hands.down(cap.key), _is_refused(hands, cap))

    return Widget(
        f"key.{cap.key}", rect, paint, face,
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip


def _is_refused(hands: Hands, cap: Cap) -> bool:
    told = hands.refused
    return told is not None and told.refusal and told.key == cap.key


def _cap_face(
    pen: Pen, face: Rect, cap: Cap, words: str, letter: str, ink: Colour, both: bool
) -> None:
    inner = inset(face, pen.px(0.3), 0)
    if letter:
        side, inner = from_right(inner, pen.letters.width(letter, "fine", True), pen.px(0.15))
        pen.text(letter, side, ink, role="fine", bold=True, align="right")
    size, each = pen.px(0.8), pen.px(1.1)
    marks = [mark for mark in (cap.mark, "hand" if both else "") if mark]
    role, room = "small", inner.width - pen.letters.width(words, "small", True)
    if room < each * len(marks):
        role, room = "fine", inner.width - pen.letters.width(words, "fine", True)
    fit = max(room // each, 0)
    for mark in marks[max(len(marks) - fit, 0) :]:  # that it takes both hands is said first
        place, inner = from_left(inner, size, pen.px(0.3))
        symbol(pen, mark, square_in(place, size), ink)
    pen.text(words, inner, ink, role=role, bold=True, align="centre")


def emergency_key(kit: Kit, cap: Cap, rect: Rect, hands: Hands) -> Widget:
    """Return the emergency stop: red on yellow, latched until it is turned back."""
    words, turn = tell(cap.words), say("latched: press to turn it back")

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down = hands.down(cap.key)
        pen.box(place, palette.yellow, radius=0.5)
        face = place.inflate(-2 * pen.px(0.28), -2 * pen.px(0.28))
        pen.box(face, palette.red, palette.dark if down else palette.red, radius=0.4, width=3)
        inner = inset(face, pen.px(0.45), 0)
        mark, inner = from_left(inner, pen.px(1.1), pen.px(0.4))
        symbol(pen, "turn" if down else cap.mark, square_in(mark, pen.px(1.0)), palette.dark)
        side, inner = from_right(inner, pen.px(0.7), pen.px(0.2))
        pen.text(cap.letter, side, palette.dark, role="fine", bold=True, align="right")
        if down:
            pen.block(turn, inner, palette.dark, role="fine", bold=True)
        else:
            pen.text(words, inner, palette.dark, role="body", bold=True)
        focus_ring(pen, place, mood)

    return Widget(
        f"key.{cap.key}", rect, paint, lambda: hands.down(cap.key),
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip


# JOB strip --------------------------------------------------------------------------------


def _job_strip(kit: Kit, area: Rect, session: Session, hands: Hands, put: Setter) -> Widget:
    pad, gap, row = kit.px(0.45), kit.px(0.4), _row(kit)
    inner = Rect(area.left + pad, area.top + pad, area.width - 2 * pad, 0)
    keys = max(kit.px(9.0), 24)
    parts: list[tuple[int, Callable[[Rect], Widget]]] = [
        (kit.px(6.6), lambda r: _job_title(kit, r, session)),
        *((keys, partial(_job_key, kit, cap, hands)) for cap in JOB.caps),
        (kit.px(9.8), lambda r: _counter(kit, r, "job.wanted", say("wanted"), session, put)),
        (kit.px(9.8), lambda r: _counter(kit, r, "job.strokes", say("strokes"), session, put)),
        (kit.px(12.2), lambda r: _tally(kit, r, session)),
    ]
    children: list[Widget] = []
    line: list[tuple[int, Callable[[Rect], Widget]]] = []
    top = inner.top

    def place_line() -> None:
        total = sum(width for width, _ in line)
        spare = inner.width - total - gap * (len(line) - 1)
        left = inner.left
        for width, make in line:
            wide = width + round(spare * width / max(total, 1))
            children.append(make(Rect(left, top, min(wide, inner.right - left), row)))
            left += wide + gap

    used = 0
    for width, make in parts:
        if line and used + gap + width > inner.width:
            place_line()
            top += row + gap
            line, used = [], 0
        used += (gap if line else 0) + width
        line.append((width, make))
    place_line()
    rect = Rect(area.left, area.top, area.width, top + row + pad - area.top)
    return Widget("station.job", rect, _panel_paint, children=children)


def _job_key(kit: Kit, cap: Cap, hands: Hands, rect: Rect) -> Widget:
    return cap_key(kit, cap, rect, hands)


def _job_title(kit: Kit, rect: Rect, session: Session) -> Widget:
    upper, lower = from_top(rect, rect.height // 2)
    return Widget(
        "job.head", rect,
        children=[
            text("job.title", upper, tell(JOB.title), role="small", bold=True),
            _state(kit, "job", lower, session),
        ],
    )  # fmt: skip


def _counter(kit: Kit, rect: Rect, name: str, words: str, session: Session, put: Setter) -> Widget:
    row = DIALS[name]
    title, place = from_left(rect, kit.letters.width(words, "small") + kit.px(0.4))
    return Widget(
        f"{name}.group", rect,
        children=[
            text(f"{name}.title", title, words, role="small", soft=True),
            number(
                kit, name, place, NumberRange(row.low, row.high, 1),
                lambda: float(session.saw.read(name)), lambda value: put(name, value), tell(row.title),
            ),
        ],
    )  # fmt: skip


def _tally(kit: Kit, rect: Rect, session: Session) -> Widget:
    """Return the counters that are only read: pieces cut, and their length."""
    job = session.saw.controller.job
    cut_word, length_word = say("cut"), say("length")

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        left, right = columns(place, (2, 3.6), pen.px(0.3))
        word, value = from_left(left, pen.letters.width(cut_word, "small") + pen.px(0.35))
        pen.text(cut_word, word, palette.soft, role="small")
        pen.figures(f"{job.cut}", value, role="lead", align="left")
        word, value = from_left(right, pen.letters.width(length_word, "small") + pen.px(0.35))
        pen.text(length_word, word, palette.soft, role="small")
        length = reader().quantity(session.order.piece_m / MM, "mm", 1)
        pen.fitted(length, value, ("body", "small", "fine"), bold=True)

    return Widget("job.tally", rect, paint, lambda: job.cut, label=say("counters"))
