"""The lock-out: the steps in order with what is done of each, what is in sight on the saw, the way back.

What is done by keys and set points can be done from here too; nothing counts that the saw does not
show, so what is in sight is read off the plant, padlock by padlock and gauge by gauge.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from pygame import Rect

from sim.plant.hood import HOOD_OPEN, HOOD_SHUT
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.plant.padlocks import ISOLATOR
from sim.session import lockout
from sim.session.session import Session
from sim.session.sights.energy import energy_in_sight, how_it_stands, unseen
from sim.session.sights.known import unread
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import from_left, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.kit.words import spots, underline
from sim.view.play.guide import KEY_FOR_THE_TRY, SET_IN_LOCK_OUT, STARTS_FREE
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.message import Message, plain
from sim.words.speech import say, tell

_WIDE_EMS: Final = 78  # from which there are three columns
_MIDDLE_EMS: Final = 52  # and two

_STOP: Final = plain("sheet.lockout.do.stop", "Stop job and band, and wait until all stands")
_REST: Final = plain("sheet.lockout.do.rest", "Let the head down: on bed or bar, or on its prop")
_CHOCK: Final = plain("sheet.lockout.do.chock", "Chock the bar on its rollers")
_KEY: Final = plain(
    "sheet.lockout.do.key", "Take the key of the mode switch with you, until your padlock hangs"
)
_KEY_IN: Final = plain(
    "sheet.lockout.do.key-in",
    "Put the key into the mode switch: with it out the try proves too little",
)
_STARTS_FREE: Final = plain(
    "sheet.lockout.do.starts-free",
    "Turn the stops out, set the trip line back, shut the hood: else no start would answer",
)
_COVER: Final = plain(
    "sheet.lockout.do.cover",
    "Open the wheel cover where the work is behind it; without power it is locked",
)
_ISOLATE: Final = plain("sheet.lockout.do.isolate", "Switch the isolator off")
_VENT: Final = plain("sheet.lockout.do.vent", "Shut the air cock, and wait until the air is out")
_LIFT: Final = plain("sheet.lockout.do.lift", "Relieve the oil of the lift, the head resting")
_CUTTING: Final = plain("sheet.lockout.do.cutting", "Relieve the oil of the cutting vise")
_SHUTTLE: Final = plain("sheet.lockout.do.shuttle", "Relieve the oil of the shuttle vise")


@dataclass(frozen=True, slots=True)
class _Step:
    """One step of the list: what it is, whether it is done, and what a click does."""

    name: str
    title: Message
    done: Callable[[], bool]
    click: Callable[[], None]


def lock_out(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the steps before hands go in, what is in sight, and the way back."""
    top = Column(kit, Rect(area.left, area.top, area.width, 0))
    top.add(_standing(kit, Rect(area.left, area.top, area.width, 0), play))
    start = top.widgets[-1].rect.bottom + kit.px(0.5)
    fills = (partial(_forward, play=play), partial(_in_sight, play=play), partial(_back, play=play))
    across = 3 if area.width > kit.px(_WIDE_EMS) else 2 if area.width > kit.px(_MIDDLE_EMS) else 1
    gap = kit.px(1.2)
    wide = (area.width - gap * (across - 1)) // across
    tops = [start] * across
    widgets: list[Widget] = list(top.widgets)
    for fill in fills:
        place = tops.index(min(tops))
        column = Column(kit, Rect(area.left + place * (wide + gap), tops[place], wide, 0))
        fill(kit, column)
        widgets += column.widgets
        tops[place] = column.top + kit.px(0.6)
    return widgets, max(tops) - area.top


def _standing(kit: Kit, rect: Rect, play: Play) -> Widget:
    """Return the line that says whether hands may go in, or what is wanting."""
    here = play.session.lockout

    def words() -> str:
        return tell(how_it_stands(play.session))

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        mark, body = from_left(place, pen.px(1.2), pen.px(0.5))
        may = here.verified and not here.goes_back
        shape, colour = ("tick", palette.green) if may else ("triangle", palette.yellow)
        first = Rect(mark.left, mark.top, mark.width, pen.letters.line("body"))
        symbol(pen, shape, square_in(first, pen.px(1.0)), colour)
        pen.block(words(), body, role="body", bold=True)

    high = kit.letters.height(words(), "body", rect.width - kit.px(1.7), True)
    return Widget(
        "lockout.wanting", Rect(rect.left, rect.top, rect.width, high), paint, words, label=words()
    )


def _forward(kit: Kit, column: Column, *, play: Play) -> None:
    session = play.session
    plant, here = session.saw.plant, session.lockout
    steps = {each.name: _taken_step(play, each) for each in (*lockout.STEPS, *lockout.ELECTRICAL)}
    rows = (
        steps["tell"],
        _Step("stop", _STOP, lambda: _stopped(session), partial(_to_console, play)),
        _Step("rest", _REST, lambda: plant.head.rests, partial(_to_console, play)),
        _set(play, "infeed.bar_chock", _CHOCK),
        _set(play, "mode.key", _KEY, lambda: _key_is(session, IN_POCKET) or here.mine(ISOLATOR)),
        _set(play, "band.wheel_cover", _COVER),
        _Step(
            "isolate", _ISOLATE, lambda: not session.saw.bus.driven("Q0"), partial(_isolate, play)
        ),
        steps["lock-isolator"],
        _set(
            play,
            "supply.air_cock",
            _VENT,
            lambda: (
                plant.supply.cock == "shut"
                and plant.supply.air_pa <= lockout.ZERO_PA
                and not unseen(session, lockout.COCK)
                and not unseen(session, lockout.AIR)
            ),
        ),
        steps["lock-air"],
        _set(
            play,
            "head.oil_relief",
            _LIFT,
            lambda: (
                plant.head.rests and plant.head.oil_pa <= 0.0 and not unseen(session, lockout.LIFT)
            ),
        ),
        _set(
            play,
            "cutting_vise.oil_relief",
            _CUTTING,
            lambda: plant.cutting_vise.pressure_pa <= 0.0 and not unseen(session, lockout.CUTTING),
        ),
        _set(
            play,
            "shuttle_vise.oil_relief",
            _SHUTTLE,
            lambda: plant.shuttle_vise.pressure_pa <= 0.0 and not unseen(session, lockout.SHUTTLE),
        ),
        _Step(
            STARTS_FREE,
            _STARTS_FREE,
            lambda: _starts_free(session) and here.mine(ISOLATOR),
            partial(_free_starts, play),
        ),
        _Step(
            KEY_FOR_THE_TRY,
            _KEY_IN,
            lambda: _key_is(session, IN_SWITCH) and here.mine(ISOLATOR),
            partial(play.put, "mode.key", IN_SWITCH),
        ),
        steps["verify"],
        steps["prove-dead"],
    )
    column.paragraph("lockout.forward", say("Take energy off"), role="lead", bold=True)
    for number, step in enumerate(rows, 1):
        column.add(_button(kit, column, step, f"{number}"))


def _back(kit: Kit, column: Column, *, play: Play) -> None:
    column.paragraph("lockout.back", say("Bring it back"), role="lead", bold=True)
    for number, step in enumerate((*lockout.BACK, *lockout.ASKING), 1):
        column.add(_button(kit, column, _taken_step(play, step), f"{number}"))


def _taken_step(play: Play, step: lockout.EnergyStep) -> _Step:
    return _Step(
        step.name, step.title, partial(play.session.lockout.counts, step.name),
        partial(play.lock_out, step.name),
    )  # fmt: skip


def _set(play: Play, point: str, title: Message, done: Callable[[], bool] | None = None) -> _Step:
    word = SET_IN_LOCK_OUT[point]

    def is_set() -> bool:
        return play.session.saw.read(point) == word and not unread(play.session, point)

    return _Step(point, title, done or is_set, partial(play.put, point, word))


def _key_is(session: Session, place: str) -> bool:
    return session.saw.read("mode.key") == place and not unread(session, "mode.key")


def _starts_free(session: Session) -> bool:
    """Return whether no stop and no hood keeps the starts away that are tried."""
    saw = session.saw
    return not any(latch in saw.held for latch in lockout.STOPS) and not _hood_open(session)


def _hood_open(session: Session) -> bool:
    return session.saw.plant.hood.state == HOOD_OPEN


def _free_starts(play: Play) -> None:
    """Shut the hood; the stops are turned out at the console."""
    if _hood_open(play.session):
        play.put(lockout.HOOD, HOOD_SHUT)
    else:
        _to_console(play)


def _stopped(session: Session) -> bool:
    plant = session.saw.plant
    parts = plant.shuttle.place, plant.head.place, plant.cutting_vise.jaw, plant.shuttle_vise.jaw
    return not plant.band.moves and not any(part.moving for part in parts)


def _to_console(play: Play) -> None:
    play.go("console")


def _isolate(play: Play) -> None:
    """Switch the isolator off; on is done at the console only."""
    if play.session.saw.bus.driven("Q0"):
        play.hands.press("lock-out sheet", "supply.isolator")
        play.hands.release("lock-out sheet")


def _button(kit: Kit, column: Column, step: _Step, number: str) -> Widget:
    """Return a step as a button: its number, its words in as many lines as they need, a tick when done."""
    pad, side = kit.px(0.5), kit.px(1.6)
    wide = column.width - 2 * side - 2 * pad
    words = tell(step.title)
    high = max(kit.letters.height(words, "small", wide) + kit.px(0.5), kit.px(1.7), 24)
    rect = Rect(column.left, column.top, column.width, high)
    column.top = rect.bottom + kit.px(0.25)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        done = step.done()
        pen.box(
            place,
            palette.sunk if done else palette.raised,
            palette.hair if done else palette.edge,
            radius=0.2,
        )
        left, rest = from_left(inset(place, pad, 0), side)
        pen.text(number, left, palette.soft, role="small", bold=True)
        mark = Rect(rest.right - side, place.top, side, place.height)
        if done:
            symbol(pen, "tick", square_in(mark, pen.px(1.0)), palette.green)
        at = told(pen, place)
        pen.block(words, at, role="small")
        underline(pen, spots(pen, words, at, "small"))
        focus_ring(pen, place, mood)

    def told(pen: Pen, place: Rect) -> Rect:
        high = pen.letters.height(words, "small", wide)
        return Rect(place.left + pad + side, place.centery - high // 2, wide, high)

    return Widget(
        f"lockout.{step.name}", rect, paint, step.done, Act(click=step.click), label=words,
        terms=lambda pen, place: spots(pen, words, told(pen, place), "small"),
    )  # fmt: skip


# In sight ----------------------------------------------------------------------------------


class _InSight:
    """What is in sight, line by line, read off the saw once a frame: every frame asks the first line first."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.lines = self._read()

    def _read(self) -> list[tuple[bool | None, str]]:
        return [(safe, tell(said)) for safe, said in energy_in_sight(self._session)]

    def asked(self, number: int) -> tuple[bool | None, str]:
        """Return a line for what a widget shows now."""
        if number == 0:
            self.lines = self._read()
        return self.shown(number)

    def shown(self, number: int) -> tuple[bool | None, str]:
        """Return a line as it was read last."""
        return self.lines[number]


def _in_sight(kit: Kit, column: Column, *, play: Play) -> None:
    column.paragraph("lockout.sight", say("In sight"), role="lead", bold=True)
    sight = _InSight(play.session)
    for number, (_, said) in enumerate(sight.lines):
        column.add(_sight(kit, column, sight, number, said))


def _sight(kit: Kit, column: Column, sight: _InSight, number: int, words: str) -> Widget:
    side = kit.px(1.3)
    high = kit.letters.height(words, "small", column.width - side) + kit.px(0.15)
    rect = Rect(column.left, column.top, column.width, high)
    column.top = rect.bottom

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        safe, said = sight.shown(number)
        palette = pen.palette
        mark, body = from_left(place, side)
        first = Rect(mark.left, mark.top, pen.px(0.9), pen.letters.line("small"))
        if safe is not None:
            shape, colour = ("tick", palette.green) if safe else ("triangle", palette.yellow)
            symbol(pen, shape, square_in(first, pen.px(0.75)), colour)
        pen.block(said, body, role="small")

    return Widget(f"lockout.sight.{number}", rect, paint, partial(sight.asked, number), label=words)


SHEET: Final = Sheet("lockout", plain("saw.tab.lockout", "Lock out"), lock_out, tall=True)
