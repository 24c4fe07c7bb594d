"""The end of a run that went wrong: what broke, drawn without anybody in it, and what it would have cost."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.plant.harm.consequences import Consequence, Severity
from sim.session.playback.rewind import against
from sim.session.session import Session
from sim.view.kit.column import Column
from sim.view.kit.controls import MAIN, PLAIN, button, button_width
from sim.view.kit.layout import from_left, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.scale import View
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.back_key import back_button, back_width
from sim.view.play.happening import ZONE_OF, Showing, kinds_by
from sim.view.play.telling import in_titles
from sim.words.fields import number, part
from sim.words.message import plain, row, sentences
from sim.words.speech import say, tell

# Where the mark of a consequence goes: view, metres along, metres up.
_PLACES: Final[dict[str, tuple[int, float, float]]] = {
    "supply": (0, -0.66, -0.43),
    "band": (1, -0.10, 0.05),
    "cutting_vise": (0, -0.06, -0.05),
    "shuttle_vise": (0, -0.19, -0.05),
    "shuttle": (0, 0.0, -0.05),
    "head": (1, -0.05, 0.05),
    "coolant": (0, -0.52, -0.43),
}
_STRIPE_EMS: Final = 2.2
_BESIDE: Final = 0.45  # of the picture's width, right of where things come to harm
_SHORT_EMS: Final = 18  # of the card without its sentences
_COST: Final = row(
    "window.wreck.cost", "It would have cost {minutes} minutes and {money} in parts.",
    minutes=number(None), money=number(None),
)  # fmt: skip
_NO_REPAIR: Final = plain("window.wreck.no-repair", "On a real saw nothing puts that right.")
_NO_WAY_BACK: Final = row("window.wreck.no-way-back", "No way back: {why}.", why=part())
BENT: Final = kinds_by(Showing.BENDS)
PARTED: Final = kinds_by(Showing.SNAPS, Showing.FLIES_OFF, Showing.TURNS_OUT, Showing.SNATCHED)


def fatal(session: Session) -> Consequence | None:
    """Return what ended the run, None while it goes on."""
    for consequence in reversed(session.saw.consequences):
        if consequence.row.severity is Severity.STOP:
            return consequence
    return None


def paint_mark(pen: Pen, view: View, session: Session, number: int) -> None:
    """Ring the place where it happened, on the view that shows it."""
    consequence = fatal(session)
    if consequence is None or consequence.kind in ZONE_OF:  # a hand is drawn there
        return
    which, along, up = _PLACES.get(consequence.row.place, (0, 0.0, -0.05))
    if which != number:
        return
    centre = view.at(along, up)
    for reach in (0.055, 0.062, 0.069):
        pen.ring(centre, view.long(reach), pen.palette.red, 2)
    spot = Rect(0, 0, pen.px(1.4), pen.px(1.4))
    spot.center = (round(centre[0] + view.long(0.062)), round(centre[1] - view.long(0.062)))
    symbol(pen, "octagon", square_in(spot, pen.px(1.4)), pen.palette.red)


def wreck_card(
    kit: Kit,
    area: Rect,
    session: Session,
    finish: Callable[[], None],
    go_back: Callable[[], None],
    *,
    aside: bool = False,
) -> list[Widget]:
    """Return the card that tells what ended the run, with the way back and the way to the debrief.

    Args:
        kit: Letters and colours.
        area: Over what it lies.
        session: Whose run it was.
        finish: Leads to the debrief.
        go_back: Goes back to before it, where that is allowed; else the card says why not.
        aside: Whether it lies at the right, where the round shows no part of the saw.
    """
    consequence = fatal(session)
    if consequence is None:
        return []
    widest = min(kit.px(34), area.width - kit.px(1))
    if aside:
        widest = min(widest, max(kit.px(_SHORT_EMS), round(_BESIDE * area.width)))
    ways = finish, go_back
    pad = kit.px(0.8)
    stripe = kit.px(_STRIPE_EMS)
    width = widest
    column = _told(kit, width - 2 * pad - stripe, session, ways, whole=True)
    if column.top + 2 * pad > area.height - kit.px(0.6):
        # The coach line has the sentences too, and beside a short card the saw stays in sight.
        width = min(kit.px(_SHORT_EMS), widest)
        column = _told(kit, width - 2 * pad - stripe, session, ways, whole=False)
    height = column.top + 2 * pad
    card = Rect(0, 0, width, height)
    card.midbottom = (area.centerx, area.bottom - kit.px(0.3))
    if aside:
        card.right = area.right - kit.px(0.3)
    for widget in column.widgets:
        widget.rect = widget.rect.move(card.left + stripe + pad, card.top + pad)
        widget.floats = True
        widget.face = widget.face or _always  # painted after the picture, which moves

    def ground(pen: Pen, at: Rect, _mood: Mood) -> None:
        palette = pen.palette
        pen.box(at, palette.panel, palette.red, radius=0.4, width=pen.hairline + 2)
        side, _ = from_left(at, stripe)
        pen.fill(inset(side, 3, 3), palette.stop)
        mark = Rect(side.left, side.top + pad, side.width, pen.px(1.4))
        shape = "hand" if consequence.kind in ZONE_OF else "octagon"
        symbol(pen, shape, square_in(mark, pen.px(1.3)), palette.white)

    return [Widget("wreck", card, ground, _always, floats=True), *column.widgets]


def _told(
    kit: Kit,
    width: int,
    session: Session,
    ways: tuple[Callable[[], None], Callable[[], None]],
    *,
    whole: bool,
) -> Column:
    column = Column(kit, Rect(0, 0, width, 0))
    consequence = fatal(session)
    if consequence is None:
        return column
    row = consequence.row
    role = "lead" if whole else "small"
    column.paragraph("wreck.title", tell(row.title), role=role, bold=True)
    if whole:
        said = sentences(row.sentence, in_titles(consequence.detail))
        column.paragraph("wreck.sentence", tell(said), role="small")
        column.space(0.3)
        struck = consequence.kind in ZONE_OF
        cost = _NO_REPAIR if struck else _COST(minutes=row.minutes, money=row.money)
        column.paragraph("wreck.cost", tell(cost), role="small", soft=True)
    finish, go_back = ways
    why, _ = against(session)
    if why:
        column.space(0.3)
        column.paragraph("wreck.no-way-back", tell(_NO_WAY_BACK(why=why)), role="small")
        column.space(0.4)
    else:
        column.space(0.4)
        column.add(back_button(kit, "wreck.back", column.place(back_width(kit), 2.0), go_back))
        column.space(0.3)
    words = say("Go to the debrief")
    place = column.place(button_width(kit, words) + kit.px(1), 2.0)
    column.add(button("wreck.finish", place, words, finish, style=MAIN if why else PLAIN))
    return column


def _always() -> int:
    return 0
