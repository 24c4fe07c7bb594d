"""The instructor's sheet, laid over the trainee's: freeze, pace, tell, mark, put a fault in, take one out.

It shows the whole catalogue and never which of it the machine has.
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.session.instructor import MOST_TEXT
from sim.session.orders import Order
from sim.view.kit.column import Column, Filled, beside
from sim.view.kit.controls import CHOSEN, MAIN, PLAIN, button, button_width, choice, field
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit
from sim.view.play.play import SPEEDS, Play
from sim.view.play.sheet import Sheet
from sim.view.sheets.diagnosis_sheet import catalogue_row, found_in_catalogue
from sim.words.message import NOTHING, plain
from sim.words.speech import reader, say, tell

MOST_CODE: Final = 200  # characters of an instructor's code
_NO_ORDERS: Final = plain(
    "window.instructor.no-orders",
    "This assessment was begun without an instructor's code, so it takes no orders. "
    "Begin it with drycycle play SCENARIO --instructor-code.",
)
_NO_FAULTS: Final = plain(
    "window.instructor.no-faults",
    "This session was begun without an instructor's code, so no fault is put in or taken out. "
    "Begin it with drycycle play SCENARIO --instructor-code.",
)


def instructor(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the orders, and beside them the catalogue of faults."""
    return beside(
        kit, area, lambda left: _orders(kit, left, play), lambda right: _faults(kit, right, play)
    )


def _ask_code(kit: Kit, column: Column, play: Play) -> None:
    """Put a field for the code; what is typed in it is not shown."""
    seat = play.orders

    def entered() -> None:
        seat.unlock()
        play.refresh()

    column.space(0.4)
    place = column.place(column.width, 2.0)
    words = say("Enter")
    side, place = from_right(place, button_width(kit, words), kit.px(0.4))
    prompt = say("The instructor's code")
    column.add(
        field("instructor.code", place, seat.code, prompt, play.refresh,
              most=MOST_CODE, secret=True, entered=entered)
    )  # fmt: skip
    column.add(button("instructor.unlock", side, words, entered))


def _answer(column: Column, play: Play) -> None:
    if play.orders.answer is not NOTHING:
        column.space(0.4)
        column.paragraph("instructor.answer", tell(play.orders.answer), bold=True)


def _orders(kit: Kit, column: Column, play: Play) -> None:
    seat, frozen = play.orders, play.session.frozen
    column.paragraph("instructor.title", say("Instructor"), role="lead", bold=True)
    words = say(
        "For the instructor's eyes: let the trainee look away. All of it goes into the record."
    )
    column.paragraph("instructor.words", words, role="small", soft=True)
    if seat.asks:
        _ask_code(kit, column, play)
    if not seat.may("freeze"):
        if not seat.asks:
            column.space(0.4)
            column.paragraph("instructor.none-taken", tell(_NO_ORDERS), soft=True)
        _answer(column, play)
        return
    column.space(0.4)
    words = say("Let the machine go on") if frozen else say("Freeze the machine")
    mark = "start" if frozen else "pause"
    place = column.place(button_width(kit, words, mark=mark) + kit.px(0.6), 2.0)
    order = Order("go" if frozen else "freeze")
    style = CHOSEN if frozen else PLAIN
    column.add(
        button(
            "instructor.freeze", place, words, partial(play.order, order), mark=mark, style=style
        )
    )
    column.space(0.4)
    column.paragraph("instructor.pace.words", say("Pace, times the trainee's own"), role="small")
    options = tuple((f"{speed:g}", f"×{reader().number(speed, decimals=None)}") for speed in SPEEDS)
    place = column.place(column.width, 1.8)
    column.add(
        choice(
            kit, "instructor.pace", place, options,
            lambda: f"{play.session.instructor.pace_factor:g}",
            lambda pace: play.order(Order("pace", factor=float(pace))),
        )
    )  # fmt: skip
    column.space(0.4)
    place = column.place(column.width, 2.0)
    prompt = say("A sentence to tell or to mark")
    column.add(field("instructor.text", place, seat.words, prompt, play.refresh, most=MOST_TEXT))
    column.space(0.25)
    left = column.left
    place = column.place(column.width, 1.9)
    said = [
        ("tell", "note", say("Tell the trainee")), ("mark", "mark", say("Mark for the debrief")),
        ("second", "second", say("Tell a second person")),
    ]  # fmt: skip
    for name, verb, words in said:
        wide = min(button_width(kit, words), column.width)
        if left + wide > column.left + column.width:
            left = column.left
            column.space(0.25)
            place = column.place(column.width, 1.9)
        spot = Rect(left, place.top, wide, place.height)
        column.add(button(f"instructor.{name}", spot, words, partial(_say, play, verb)))
        left = spot.right + kit.px(0.4)
    _answer(column, play)


def _say(play: Play, verb: str) -> None:
    words = " ".join(play.orders.words.text.split())
    if words:
        play.order(Order(verb, text=words))


def _faults(kit: Kit, column: Column, play: Play) -> None:
    seat = play.orders
    if not seat.may("put-in"):  # whoever sits here might be the trainee
        if not seat.asks and seat.may("freeze"):
            column.paragraph("instructor.no-faults", tell(_NO_FAULTS), soft=True)
        return
    chosen = EVERY.get(seat.fault)
    place = column.place(column.width, 2.0)
    words = {"put-in": say("Put in"), "take-out": say("Take out")}
    if chosen is not None:
        for verb in ("take-out", "put-in"):
            side, place = from_right(place, button_width(kit, words[verb]), kit.px(0.4))
            style = MAIN if verb == "put-in" else PLAIN
            act = partial(play.order, Order(verb, fault=chosen.name))
            column.add(button(f"instructor.{verb}", side, words[verb], act, style=style))
    column.widgets.reverse()
    prompt = say("Search the catalogue of causes")
    column.widgets.insert(0, field("instructor.search", place, seat.search, prompt, play.refresh))
    column.space(0.4)
    found = found_in_catalogue(seat.search.text)
    for row in found:
        place = column.place(column.width, 1.9)
        column.add(
            catalogue_row(f"instructor.fault.{row.name}", place, row, partial(_chosen, play, row),
                          lambda: False, partial(_choose, play, row))
        )  # fmt: skip
        column.space(0.25)
    if not found:
        column.paragraph("instructor.none", say("No cause has these words."), soft=True)


def _chosen(play: Play, fault: Fault) -> bool:
    return play.orders.fault == fault.name


def _choose(play: Play, fault: Fault) -> None:
    play.orders.fault = fault.name
    play.orders.answer = NOTHING
    play.changed = True


SHEET: Final = Sheet("instructor", plain("saw.tab.instructor", "Instructor"), instructor)
