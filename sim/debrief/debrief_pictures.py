"""The three pictures of a debrief, drawn as SVG: time line, causes still possible, the two ways.

Numbers and letters in a picture are those of the lists below it; a shape or a letter goes with
every colour. Words are in the language of who reads now. Never here: words about the score.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from sim.debrief.best_path import Leg, LegKind
from sim.debrief.debrief import Debrief
from sim.debrief.evidence import EvidenceStep, likely
from sim.debrief.paper import (
    BAD,
    BLUE,
    CARE,
    GOOD,
    INK,
    PAPER,
    QUIET,
    SHADE,
    STONE,
    TRUE,
    VIOLET,
    WINE,
    Child,
    Html,
    el,
    label,
)
from sim.debrief.sound_way import RouteStep
from sim.session.kept.heard import Event
from sim.units import US
from sim.words.fields import clock, part
from sim.words.message import Message, plain, row
from sim.words.speech import reader, tell

WIDE: Final = 760.0
OTHERS: Final = plain("picture.other-causes", "All other causes")
_LETTERS: Final = "ABCDE"
_COLOURS: Final = (TRUE, CARE, VIOLET, BLUE, WINE)
MOST_ROWS: Final = 40  # of the belief picture
_LABEL_WIDE: Final = 274.0
_SMALL, _TEXT = 12, 13
_LABELLED: Final = 52.0  # wide enough for a letter and a percentage
_AT: Final = row("picture.step", "{at}  {look}", at=clock(), look=part())


def _svg(height: float, says: str, *children: Child) -> Html:
    return el("svg", el("title", says), *children, viewBox=f"0 0 {WIDE:g} {height:g}", role="img")


def _text(x: float, y: float, says: str | Message, **more: str | float) -> Html:
    return el("text", says, **{"x": x, "y": y, "fill": INK, "font_size": _TEXT, **more})


# Time line --------------------------------------------------------------------------------

Draw = Callable[[float, float], Html]
"""Draws a mark at a place, x and y."""


@dataclass(frozen=True, slots=True)
class Mark:
    """How one kind of event is shown: in which lane, by which mark, under which word."""

    lane: Message
    draw: Draw
    word: Message


def _circle(x: float, y: float) -> Html:
    return el("circle", cx=x, cy=y, r=4, fill=INK)


def _cross(x: float, y: float) -> Html:
    way = f"M{x - 4:.1f} {y - 4:.1f}l8 8m0-8l-8 8"
    return el("path", d=way, stroke=BAD, stroke_width=2.5, fill="none")


def _path(shape: str, colour: str) -> Draw:
    return lambda x, y: el("path", d=f"M{x:.1f} {y:.1f}{shape}", fill=colour)


_DIAMOND: Final = "m0-6l6 6l-6 6l-6-6z"
_UP: Final = "m0-6l6.5 11h-13z"
_DOWN: Final = "m0 6l6.5-11h-13z"
_BAR: Final = "m-2.5-6h5v12h-5z"
_SQUARE: Final = "m-4.5-4.5h9v9h-9z"
_STAR: Final = "m-6-2h4v-4h4v4h4v4h-4v4h-4v-4h-4z"

_HANDS: Final = plain("picture.lane.hands", "Hands")
_EYES: Final = plain("picture.lane.eyes", "Eyes")
_MACHINE: Final = plain("picture.lane.machine", "Machine")
_UNSEEN: Final = plain("picture.lane.unseen", "Unseen")

MARKS: Final[dict[str, Mark]] = {
    kind: Mark(lane, draw, plain(f"picture.mark.{kind}", word))
    for kind, lane, draw, word in (
        ("act", _HANDS, _circle, "taken"),
        ("refused", _HANDS, _cross, "refused"),
        ("finding", _EYES, _path(_DIAMOND, BLUE), "look"),
        ("hint", _EYES, _path(_DOWN, CARE), "hint"),
        ("cut", _MACHINE, _path(_BAR, GOOD), "cut"),
        ("reason", _MACHINE, _path(_SQUARE, CARE), "stop or hold"),
        ("consequence", _MACHINE, _path(_UP, BAD), "harm"),
        ("unsafe", _MACHINE, _path(_STAR, BAD), "hands in, not locked out"),
        ("fault", _UNSEEN, _path(_STAR, VIOLET), "a fault set in"),
        ("instructor", _UNSEEN, _path(_SQUARE, VIOLET), "instructor"),
        ("step", _HANDS, _path(_SQUARE, TRUE), "step reached"),
        ("note", _HANDS, _path(_SQUARE, STONE), "note"),
    )
}
"""By kind of event."""

_LANES: Final = (_HANDS, _EYES, _MACHINE, _UNSEEN)
_LANE_LEFT: Final = 78.0
_STEP_MARK: Final = 11.0  # marks nearer than this go into another row of their lane
_MOST_SUB: Final = 4
_KEY_LINE: Final = 20.0


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where a time stands on the picture."""

    end_s: float

    def x(self, at_s: float) -> float:
        return _LANE_LEFT + (WIDE - _LANE_LEFT - 12) * at_s / self.end_s


def time_line(found: Debrief) -> Html:
    """Return the time line: one lane each for hands, eyes, machine, and what nobody at the saw could see."""
    end_s = max([found.minutes * 60, *(event.at_us / US for event in found.timeline), 1.0])
    scale = _Scale(end_s)
    children: list[Child] = []
    top = 4.0
    for lane in _LANES:
        events = [e for e in found.timeline if e.kind in MARKS and MARKS[e.kind].lane == lane]
        if not events:
            continue
        marks, rows = _lane(events, scale, top)
        high = 10 + 14 * rows
        children += [
            el("rect", x=_LANE_LEFT, y=top, width=WIDE - _LANE_LEFT, height=high, fill=SHADE),
            _text(0, top + high / 2 + 4, lane, font_weight=600),
            *marks,
        ]
        top += high + 4
    children += _axis(scale, top)
    shown = [mark for kind, mark in MARKS.items() if any(e.kind == kind for e in found.timeline)]
    key, low = _key(shown, top + 42)
    return _svg(low + 10, label("Time line of the session"), *children, *key)


def _lane(events: Sequence[Event], scale: _Scale, top: float) -> tuple[list[Html], int]:
    last = [float("-inf")] * _MOST_SUB
    marks = []
    used = 1
    for event in events:
        x = scale.x(event.at_us / US)
        free = [row for row in range(_MOST_SUB) if x - last[row] >= _STEP_MARK]
        row = free[0] if free else last.index(min(last))
        last[row] = x
        used = max(used, row + 1)
        marks.append(MARKS[event.kind].draw(x, top + 12 + 14 * row))
    return marks, used


def _axis(scale: _Scale, top: float) -> list[Html]:
    step_s = _nice(scale.end_s / 8)
    ticks = [step_s * i for i in range(int(scale.end_s / step_s) + 1)]
    return [
        part
        for at_s in ticks
        for part in (
            el("line", x1=scale.x(at_s), y1=top, x2=scale.x(at_s), y2=top + 5, stroke=INK),
            _text(
                scale.x(at_s), top + 18, _minutes(at_s), font_size=_SMALL,
                text_anchor="middle",
            ),
        )
    ]  # fmt: skip


def _nice(least_s: float) -> float:
    steps = (5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800)
    return float(next((step for step in steps if step >= least_s), steps[-1]))


def _minutes(at_s: float) -> str:
    return f"{int(at_s) // 60}:{int(at_s) % 60:02d}"


def _key(marks: Sequence[Mark], y: float) -> tuple[list[Html], float]:
    """Return the marks and their words in as many lines as they need, and where the last stands."""
    shown = []
    x = _LANE_LEFT
    for mark in marks:
        word = tell(mark.word)
        wide = 36 + 6.6 * len(word)
        if x > _LANE_LEFT and x + wide > WIDE:
            x, y = _LANE_LEFT, y + _KEY_LINE
        shown += [mark.draw(x + 6, y - 4), _text(x + 16, y, word, font_size=_SMALL)]
        x += wide
    return shown, y


# Causes still possible -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CauseBand:
    """One cause, or all the others, with its letter and colour."""

    letter: str
    title: Message
    colour: str
    shares: tuple[float, ...]  # at the start and after each step


def bands(found: Debrief) -> tuple[CauseBand, ...]:
    """Return the causes worth a band of their own, the true one first, and the others together."""
    rows = _rows(found)
    by_cause = {
        title: tuple(row[i] for row in rows) for i, title in enumerate(found.causes_weighed)
    }
    others = sorted(
        (title for title in by_cause if title != found.true_cause),
        key=lambda title: -max(by_cause[title]),
    )
    chosen = [*([found.true_cause] if found.true_cause else []), *others][: len(_LETTERS)]
    known = [
        CauseBand(letter, title, colour, by_cause[title])
        for letter, title, colour in zip(_LETTERS, chosen, _COLOURS, strict=False)
    ]
    rest = tuple(
        max(0.0, 1.0 - sum(band.shares[row] for band in known)) for row in range(len(rows))
    )
    if max(rest) > 0.005:
        known.append(CauseBand("…", OTHERS, STONE, rest))
    return tuple(known)


def _rows(found: Debrief) -> tuple[tuple[float, ...], ...]:
    """Return the shares at the start and after each step that is drawn."""
    return (found.start, *(step.shares for step in found.steps))[-MOST_ROWS - 1 :]


def belief(found: Debrief) -> Html:
    """Return how likely each cause was: a row for the start and for each step, 100 % wide."""
    steps = found.steps[-MOST_ROWS:]
    whole = len(steps) == len(found.steps)
    first = label("The operator's report") if whole else label("Earlier")
    titles = [first, *(tell(_AT(at=step.at_us, look=_what(step))) for step in steps)]
    layers = bands(found)
    rows = _rows(found)
    children: list[Child] = []
    for line, title in enumerate(titles):
        y = 26.0 * line
        children.append(_text(0, y + 16, _short(title, 38), font_size=_SMALL))
        still = f"{likely(rows[line])}"
        children.append(_text(_LABEL_WIDE - 6, y + 16, still, font_size=_SMALL, text_anchor="end"))
        x = _LABEL_WIDE
        for band in layers:
            wide = (WIDE - _LABEL_WIDE) * band.shares[line]
            if wide > 0.4:
                children += _segment(x, y, wide, band, band.shares[line])
            x += wide
    return _svg(
        26.0 * len(titles) + 2, label("How likely each cause was after each finding"), *children
    )


def _what(step: EvidenceStep) -> Message:
    """Return what was looked at or asked, or what was in sight."""
    return step.title if step.look or step.asked else step.found


def _segment(x: float, y: float, wide: float, band: CauseBand, share: float) -> list[Html]:
    parts = [
        el("rect", x=x, y=y + 2, width=wide, height=20, fill=band.colour, stroke=PAPER)
    ]  # fmt: skip
    label = (
        f"{band.letter} {_percent(share)}"
        if wide >= _LABELLED
        else band.letter
        if wide >= 16
        else ""
    )
    if label:
        parts.append(
            _text(x + wide / 2, y + 16.5, label, font_size=_SMALL, fill=PAPER, text_anchor="middle")
        )
    return parts


def _percent(share: float) -> str:
    return reader().quantity(100 * share, "%")


def swatch(colour: str, letter: str) -> Html:
    """Return a small square with a letter in it, for a list beside a picture."""
    square = el("rect", width=20, height=18, fill=colour)
    says = _text(10, 13.5, letter, font_size=_SMALL, fill=PAPER, text_anchor="middle")
    return el("svg", square, says, viewBox="0 0 20 18", class_="swatch", aria_hidden="true")


# Way against best way ---------------------------------------------------------------------

_LEG_COLOURS: Final = {
    LegKind.LOOK: BLUE,
    LegKind.TRIAL: CARE,
    LegKind.LOCK_OUT: STONE,
    LegKind.REMEDY: BAD,
}
LEG_WORDS: Final = {
    LegKind.LOOK: plain("picture.leg.look", "look"),
    LegKind.TRIAL: plain("picture.leg.trial", "trial"),
    LegKind.LOCK_OUT: plain("picture.leg.lock-out", "lock-out"),
    LegKind.REMEDY: plain("picture.leg.remedy", "remedy"),
}


def both_ways(found: Debrief) -> Html:
    """Return the way that was taken above the best one, each leg as long as it costs."""
    good = label("Good plan") if found.way_near else label("A plan")
    plan = label("Best plan") if found.way_exact else good
    ways = (
        (label("Yours"), found.steps_taken, found.way_taken),
        (plan, found.steps_best, found.way_best),
    )
    longest_s = max([sum(leg.cost_s for leg in legs) for *_, legs in ways] + [1.0])
    per_s = (WIDE - _LANE_LEFT - 4) / longest_s
    children: list[Child] = []
    for line, (name, steps, legs) in enumerate(ways):
        y = 40.0 * line
        children.append(_text(0, y + 20, name, font_size=_SMALL, font_weight=600))
        edges = [0.0]
        for leg in legs:
            edges.append(edges[-1] + leg.cost_s)
        for number, leg, (start, end) in zip(_numbers(steps), legs, pairwise(edges), strict=True):
            children += _leg(leg, str(number), _LANE_LEFT + start * per_s, y, (end - start) * per_s)
        if not legs:
            children.append(
                _text(
                    _LANE_LEFT, y + 20, label("no look and no trial"), fill=QUIET, font_size=_SMALL
                )
            )
    step_s = _nice(longest_s / 8)
    for i in range(int(longest_s / step_s) + 1):
        x = _LANE_LEFT + i * step_s * per_s
        children.append(el("line", x1=x, y1=72, x2=x, y2=77, stroke=INK))
        says = reader().quantity(i * step_s, "s")
        anchor = "end" if x > WIDE - 24 else "middle"
        children.append(_text(x, 90, says, font_size=_SMALL, text_anchor=anchor))
    kinds = [
        kind for kind in LEG_WORDS if any(leg.kind is kind for *_, legs in ways for leg in legs)
    ]
    x = _LANE_LEFT
    for kind in kinds:
        word = tell(LEG_WORDS[kind])
        children += [
            el("rect", x=x, y=100, width=14, height=12, fill=_LEG_COLOURS[kind]),
            _text(x + 20, 111, word, font_size=_SMALL),
        ]
        x += 44 + 6.4 * len(word)
    if found.way_exact:
        beside = label("The way to the cause beside that of the best plan")
    elif found.way_near:
        beside = label("The way to the cause beside that of a good plan")
    else:
        beside = label("The way to the cause beside that of a plan")
    return _svg(118, beside, *children)


def _numbers(steps: Sequence[RouteStep]) -> list[int]:
    """Return the numbers of the steps that have a price, which are the legs."""
    return [n for n, step in enumerate(steps, start=1) if step.cost_s is not None]


def _leg(leg: Leg, number: str, x: float, y: float, wide: float) -> list[Html]:
    top, high = y + 2, 28
    parts = [
        el(
            "rect", x=x, y=top, width=max(wide, 1.0), height=high,
            fill=_LEG_COLOURS[leg.kind], stroke=PAPER,
        )
    ]  # fmt: skip
    if wide >= 14:
        low = y + 20.5
        parts.append(
            _text(x + wide / 2, low, number, font_size=_SMALL, fill=PAPER, text_anchor="middle")
        )
    return parts


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"
