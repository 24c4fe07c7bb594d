"""Force and jumper: every wire and every interlock with what is held there; in practice and lessons only."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.interlocks import BY_NUMBER
from sim.logic.bench.force import NUMBERS, REAL_SAW, ROWS
from sim.logic.bench.wiring_prints import located
from sim.signals import SIGNALS, Signal
from sim.view.kit.column import Block, Column, Filled, row_height, side_by_side
from sim.view.kit.controls import button, button_width, choice, choice_width, field, paragraph
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.bench_choice import MAY_MEDDLE
from sim.view.play.play import Play
from sim.words.fields import name
from sim.words.message import plain, row
from sim.words.speech import reader, say, tell

_FORCES: Final = tuple((way, plain(f"meddle.force.{way}", way)) for way in ("free", "on", "off"))
_JUMPERS: Final = tuple((way, plain(f"meddle.jumper.{way}", way)) for way in ("out", "in"))
_VALUES: Final[dict[str, bool | None]] = {"free": None, "on": True, "off": False}
_PLAY: Final = row("window.meddle.play", "Play what {interlock} is there for", interlock=name())
_COLUMN_EMS: Final = 34


def meddling(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the wires to force and the jumpers, or why there are none here."""
    column = Column(kit, area)
    column.paragraph("meddle.real-saw", tell(REAL_SAW), role="small", bold=True)
    if play.session.scenario.mode not in MAY_MEDDLE:
        words = say(
            "Forcing and jumpers belong to practice and lessons. Here an attempt fails the run."
        )
        column.paragraph("meddle.none", words)
        return column.widgets, column.top - area.top
    words = say(
        "A forced wire lies about the machine, and a jumper takes an interlock away. Both go into the record."
    )
    column.paragraph("meddle.words", words, role="small", soft=True)
    column.space(0.4)
    across = max(area.width // kit.px(_COLUMN_EMS), 1)
    column.paragraph("meddle.jumpers", say("Jumpers over interlocks"), role="fine", bold=True)
    _blocks(kit, column, area, across, [partial(_jumper, kit, play, name) for name in NUMBERS])
    for number in NUMBERS:
        if _is_in(play, number):
            column.space(0.3)
            words = tell(_PLAY(interlock=number))
            place = column.place(button_width(kit, words, mark="start") + kit.px(0.6), 1.95)
            show = partial(play.show_purpose, number)
            column.add(button(f"purpose.{number}", place, words, show, mark="start"))
    column.space(0.6)
    column.paragraph("meddle.forces", say("Forced wires"), role="fine", bold=True)
    place = column.place(area.width, 1.9)
    bench = play.bench
    column.add(field("meddle.search", place, bench.search, say("Search the wires"), play.refresh))
    column.space(0.3)
    asked = bench.search.text.lower().split()
    rows = [row for row in SIGNALS if all(word in _words(play, row).lower() for word in asked)]
    if rows:
        _blocks(kit, column, area, across, [partial(_force, kit, play, row) for row in rows])
    else:
        column.paragraph("meddle.nothing", say("No wire has these words."), soft=True)
    return column.widgets, column.top - area.top


def _blocks(kit: Kit, column: Column, area: Rect, across: int, blocks: Sequence[Block]) -> None:
    rest = Rect(area.left, column.top, area.width, 0)
    widgets, high = side_by_side(kit, rest, across, blocks, 0.25)
    column.widgets += widgets
    column.top += high


def _words(play: Play, row: Signal) -> str:
    """Return a wire's tag, where it is wired, and what on means; by any of them it is searched."""
    at = reader().name(located(play.session.saw.plant.harness.loom, row.tag))
    return f"{row.tag} ({at})  {tell(row.text)}"


def _force(kit: Kit, play: Play, row: Signal, rect: Rect) -> tuple[Widget, int]:
    forced = play.session.saw.bus.forced

    def held() -> str:
        value = forced.get(row.tag)
        return "free" if value is None else "on" if value else "off"

    def pick(way: str) -> None:
        play.force(row.tag, _VALUES[way])

    options = tuple((name, tell(words)) for name, words in _FORCES)
    return _row(kit, f"force.{row.tag}", rect, _words(play, row), options, held, pick)


def _is_in(play: Play, number: str) -> bool:
    bypassed = play.session.saw.controller.bypassed
    return all(row in bypassed for row in ROWS if row.number == number)


def _jumper(kit: Kit, play: Play, number: str, rect: Rect) -> tuple[Widget, int]:
    def held() -> str:
        return "in" if _is_in(play, number) else "out"

    def pick(way: str) -> None:
        play.jumper(number, way == "in")

    options = tuple((name, tell(words)) for name, words in _JUMPERS)
    words = f"{number}  {tell(BY_NUMBER[number].title)}"
    return _row(kit, f"jumper.{number}", rect, words, options, held, pick)


def _row(
    kit: Kit,
    name: str,
    rect: Rect,
    words: str,
    options: tuple[tuple[str, str], ...],
    held: Callable[[], str],
    pick: Callable[[str], None],
) -> tuple[Widget, int]:
    """Return a line of words with a choice at its right, and its height."""
    wide = min(choice_width(kit, options), rect.width // 2)
    control, body = from_right(rect, wide, kit.px(0.6))
    high = max(kit.letters.height(words, "small", body.width), row_height(kit))
    control.height = row_height(kit)
    body.top += max((row_height(kit) - kit.letters.line("small")) // 2, 0)
    label = paragraph(kit, f"{name}.words", body, words, role="small")
    high = max(high, label.rect.bottom - rect.top)
    place = Rect(rect.left, rect.top, rect.width, high)
    return Widget(
        f"{name}.row", place, children=[label, choice(kit, name, control, options, held, pick)]
    ), high
