"""The diagnosis sheet: search the whole catalogue, name the cause, put it right.

The catalogue is shown whole, in families, whatever the scenario hides.
"""

from collections.abc import Callable
from functools import partial
from typing import Final

from pygame import Rect

from sim.faults.catalogue import CATALOGUE, EVERY
from sim.faults.fault import FAMILIES, WHO, Fault
from sim.faults.spares import SPARES, Spare
from sim.session.hands.cautions import before_mend, before_swap
from sim.session.morning import CLASSES
from sim.units import MINUTE
from sim.view.kit.column import Column, Filled, row_height
from sim.view.kit.controls import CHOSEN, MAIN, button, button_width, field, focus_ring
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.fields import minutes, part
from sim.words.message import plain, row, sentences
from sim.words.speech import say, tell

_CHANGES: Final = row("window.cause.changes", "{changes}.", changes=part(capital=True))
_CALLS_FOR: Final = row("window.cause.calls-for", "{calls_for}", calls_for=part(capital=True))
_COST: Final = row("window.cause.cost", "{time}, by {who}", time=minutes(None), who=part())


def matches(fault: Fault, asked: str) -> bool:
    """Return whether every word that was typed is somewhere in the fault's own words."""
    own = (fault.title, fault.changes, FAMILIES[fault.family], fault.remedy)
    words = " ".join(map(tell, own)).lower()
    return all(word in words for word in asked.lower().split())


def found_in_catalogue(asked: str) -> list[Fault]:
    """Return the faults that fit what was typed, family by family, by their titles."""
    found = [fault for fault in (EVERY if asked else CATALOGUE).values() if matches(fault, asked)]
    return sorted(found, key=lambda fault: (fault.family.value, tell(fault.title)))


def diagnosis(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the search and its results, and beside them the chosen cause with its remedy."""
    gap = kit.px(1.5)
    narrow = area.width < kit.px(55)
    width = area.width if narrow else (area.width - gap) * 3 // 5
    column = Column(kit, Rect(area.left, area.top, width, 0))
    place = column.place(width, 2.1)
    if play.may_ask:
        words = say("Hint")
        hint, place = from_right(place, button_width(kit, words, mark="speech"), kit.px(0.5))
        column.add(button("diagnose.hint", hint, words, play.hint, mark="speech"))
    column.add(
        field(
            "diagnose.search",
            place,
            play.search,
            say("Search the catalogue of causes"),
            play.refresh,
        )
    )
    column.space(0.4)
    found = found_in_catalogue(play.search.text)
    for fault in found:
        column.add(_cause(kit, column, play, fault))
        column.space(0.25)
    if not found:
        column.paragraph("diagnose.none", say("No cause has these words."), soft=True)
    side = Rect(area.left, column.top + kit.px(1), area.width, 0) if narrow else Rect(
        area.left + width + gap, area.top, area.width - width - gap, 0
    )  # fmt: skip
    chosen = Column(kit, side)
    _chosen(kit, chosen, play)
    return [*column.widgets, *chosen.widgets], max(column.top, chosen.top) - area.top


def _cause(kit: Kit, column: Column, play: Play, fault: Fault) -> Widget:
    place = column.place(column.width, row_height(kit) / kit.em)
    return catalogue_row(
        f"cause.{fault.name}", place, fault,
        lambda: play.cause == fault.name,
        lambda: fault.name in play.session.done.named,
        lambda: play.choose_cause(fault.name),
    )  # fmt: skip


def catalogue_row(
    name: str,
    place: Rect,
    fault: Fault,
    chosen: Callable[[], bool],
    ticked: Callable[[], bool],
    click: Callable[[], None],
) -> Widget:
    """Return one cause of the catalogue to choose, with its family."""
    words = tell(fault.title)

    def paint(pen: Pen, at: Rect, mood: Mood) -> None:
        palette = pen.palette
        on = chosen()
        look = palette.sunk if on else palette.lit if mood.hovered else palette.raised
        pen.box(at, look, palette.focus if on else palette.edge, radius=0.3)
        inner = at.inflate(-2 * pen.px(0.6), 0)
        side, body = from_right(inner, pen.px(8), pen.px(0.4))
        pen.text(tell(FAMILIES[fault.family]), side, palette.soft, role="small", align="right")
        if ticked():
            mark = Rect(body.left, body.top, pen.px(1.2), body.height)
            symbol(pen, "tick", square_in(mark, pen.px(0.8)), palette.green)
            body.left += pen.px(1.5)
            body.width -= pen.px(1.5)
        pen.fitted(words, body, ("small", "fine"), bold=True)
        focus_ring(pen, at, mood)

    return Widget(name, place, paint, lambda: (chosen(), ticked()), Act(click=click), label=words)


def _chosen(kit: Kit, column: Column, play: Play) -> None:
    fault = EVERY.get(play.cause)
    if fault is None:
        round_ = play.session.scenario.findings is not None
        words = (
            say("Choose a cause to report it and to put it right.")
            if round_
            else say("Choose a cause to name it and to put it right.")
        )
        column.paragraph("chosen.none", words, soft=True)
        return
    column.paragraph("chosen.title", tell(fault.title), role="lead", bold=True)
    column.paragraph("chosen.changes", tell(_CHANGES(changes=fault.changes)), role="small")
    column.space(0.4)
    if play.session.scenario.findings is None:
        _name_it(kit, column, play, fault)
    else:
        _report_it(kit, column, play, fault)
    column.space(0.6)
    column.paragraph("chosen.remedy.title", say("Remedy"), role="small", bold=True)
    column.paragraph("chosen.remedy", tell(fault.remedy), role="small")
    if first := before_mend(fault):
        column.paragraph("chosen.first", tell(sentences(*first)), role="small", bold=True)
    words = tell(_COST(time=fault.minutes * MINUTE, who=WHO[fault.who]))
    column.paragraph("chosen.cost", words, role="small", soft=True)
    column.space(0.4)
    words = say("Put it right")
    place = column.place(button_width(kit, words, mark="turn") + kit.px(1), 2.1)
    column.add(button("chosen.mend", place, words, lambda: play.put_right(fault.name), mark="turn"))
    spare = SPARES.get(fault.spare)
    if spare is not None and spare.tag in play.session.machine.loom.by_tag:
        _spare(kit, column, play, spare)


def _name_it(kit: Kit, column: Column, play: Play, fault: Fault) -> None:
    named = fault.name in play.session.done.named
    say_so = partial(play.diagnose, fault.name)
    _said_of_it(kit, column, "chosen.name", say("Name it as the cause"), say_so, on=named)


def _report_it(kit: Kit, column: Column, play: Play, fault: Fault) -> None:
    """Add what a finding of a round can be reported to call for, a key each."""
    column.space(0.4)
    column.paragraph("chosen.report", say("Report it:"), role="small", bold=True)
    for word, title in CLASSES.items():
        on = play.session.morning.reported.get(fault.name) == word
        words, say_so = tell(_CALLS_FOR(calls_for=title)), partial(play.report, fault.name, word)
        _said_of_it(kit, column, f"chosen.report.{word}", words, say_so, on=on)
        column.space(0.2)


def _said_of_it(
    kit: Kit, column: Column, name: str, words: str, say_so: Callable[[], None], *, on: bool
) -> None:
    """Add a key by which something is said of the chosen cause, ticked when it was."""
    mark, style = ("tick", CHOSEN) if on else ("", MAIN)
    place = column.place(button_width(kit, words, mark="tick") + kit.px(1), 2.1)
    column.add(button(name, place, words, say_so, mark=mark, style=style))


def _spare(kit: Kit, column: Column, play: Play, spare: Spare) -> None:
    """Add what a spare on trial is, and a key that fits it."""
    column.space(0.6)
    column.paragraph("chosen.spare.title", say("On trial"), role="small", bold=True)
    column.paragraph("chosen.spare", tell(spare.title), role="small")
    if first := before_swap(spare):
        column.paragraph("chosen.spare.first", tell(sentences(*first)), role="small", bold=True)
    words = tell(_COST(time=spare.minutes * MINUTE, who=WHO[spare.faults[0].who]))
    column.paragraph("chosen.spare.cost", words, role="small", soft=True)
    column.space(0.4)
    words = say("Exchange it")
    place = column.place(button_width(kit, words, mark="turn") + kit.px(1), 2.1)
    column.add(button("chosen.swap", place, words, lambda: play.swap(spare.name), mark="turn"))


SHEET: Final = Sheet("diagnose", plain("saw.tab.diagnose", "Diagnose"), diagnosis)
