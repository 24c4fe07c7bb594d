"""A shift of orders in a terminal or a pipe: a session's lines, with the words of the cut list.

All other words are those of every session, and do what they do there.

Never here: what is booked to whom (see `session.shift.by_hand`), and what the shift came to.
"""

import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

from sim.errors import BAD_INPUT, CommandError, RecordError
from sim.records.ending import Ended
from sim.records.reading import SessionRecord
from sim.scenario.file_text import octets
from sim.scenario.section_words import section_word
from sim.session.kept.told import TYPED_ACT, weighs
from sim.session.playback.resume import resume
from sim.session.session import Session
from sim.session.shift.by_hand import TAKE_ONE, ByHand
from sim.session.shift.opening import open_shift
from sim.session.sights.describe import told as parts_of
from sim.text.page import Part, Printer, Table, may_draw, put_line
from sim.text.points import card, unsound_said
from sim.text.report import CAUTION
from sim.text.reports.shift_record import debrief_of
from sim.text.reports.shift_run import check, tell
from sim.text.tables import print_said
from sim.text.typed.acts import perform
from sim.text.typed.console import RECORD_IS, Turns, typed_lines
from sim.text.typed.lists import ABOUT_TIME
from sim.text.typed.reading import TypedAct
from sim.text.typed.typed_step import typed_load
from sim.units import MINUTE, MM
from sim.words.fields import authored, count, minutes, mm, name, part, parts
from sim.words.message import NOTHING, Message, plain, quoted, row, sentences

_TITLE: Final = row("shift.play.title", "A shift of orders: {title}.", title=authored())
_HOW: Final = plain(
    "shift.play.how",
    "The saw is switched on, and the shift begins now. What lies on the saw is of the last shift, and no order is "
    "cut from it. Take an order and a bar (take ORDER BAR), read its card, take the key of the mode switch along (set "
    "mode.key in my pocket), have the bar brought (load), put the key back, set the saw up, cut, and measure the first piece before the next ones. The words orders and help tell the rest; quit ends "
    "the shift.",
)
_GOES_ON: Final = row(
    "shift.play.goes-on", "The shift goes on where its record ends: {file}.", file=name()
)
_OTHER_SHIFT: Final = row(
    "shift.resume.other", "the record is of another shift than {file} now is", file=name()
)
_ITS_OWN: Final = plain(
    "shift.resume.other.do", "name the file that it was played from, as it was then"
)
_NOW: Final = row("shift.play.now", "It is {time} since the shift began.", time=minutes(1))
_LIST: Final = plain("shift.play.list", "The cut list.")
_RACK: Final = plain("shift.play.rack", "The rack.")
_DUE: Final = row("shift.play.due", "due after {time}", time=minutes(0))
_FELL: Final = row("shift.play.fell", "{fell} of {wanted} fell", fell=count(), wanted=count())
_PIECE: Final = row(
    "shift.play.piece", "{length}, good within {tolerance}", length=mm(None), tolerance=mm(None)
)
_MITRE: Final = row("shift.play.mitre", "mitre {angle} deg", angle=name())
_SQUARE: Final = plain("shift.play.square", "square")
_FIRST: Final = plain("shift.play.first", "first")
_FIRST_WAITS: Final = row(
    "shift.play.first-waits", "{order} is to be done first: {fell} of {wanted} fell.",
    order=name(), fell=count(), wanted=count(),
)  # fmt: skip
_TAKEN: Final = plain("shift.play.taken", "taken")
_LEFT: Final = row("shift.play.left", "{length} long", length=mm(0))
_ON_SAW: Final = plain("shift.play.on-saw", "on the saw")
_FOR: Final = row("shift.play.for", "for {orders}", orders=name())
_TOOK: Final = row(
    "shift.play.took",
    "Order {order}: {count} piece of {length} from bar {bar}.",
    plural="Order {order}: {count} pieces of {length} from bar {bar}.",
    order=name(), count=count(), length=mm(None), bar=name(),
)  # fmt: skip
_LIES: Final = plain("shift.play.lies", "That bar lies on the saw.")
_LOAD_IT: Final = plain(
    "shift.play.load-it",
    "It is still on the rack: take the key of the mode switch along (set mode.key in my pocket), and load brings it.",
)
_HINT: Final = plain(
    "shift.play.hint",
    "What blocks a key, why KEY tells. What the order asks of the saw stands on the card, and auto does any part of "
    "it; what is due next, orders tells.",
)
_WITH_AUTO: Final = row(
    "shift.play.auto", "Parts that the autopilot did: {count}.", count=count()
)  # fmt: skip
_LOAD_FIRST: Final = row(
    "shift.auto.load-first", "load {bar} first: {acts}", bar=name(), acts=parts("; ")
)
_LOAD_BY_HAND: Final = row(
    "shift.auto.load-by-hand",
    "load {bar} first: stop the band, raise the head, release both vises, and type load",
    bar=name(),
)
_NOT_COUNTED: Final = row(
    "shift.play.not-counted",
    "Another bar lies there than was taken: {lies}. What is cut from it does not count for {order}, until load has "
    "brought {bar}.",
    lies=part(), order=name(), bar=name(),
)  # fmt: skip
_COUNTS_ON: Final = row(
    "shift.play.counts-on",
    "The counter still stands at {cut}, and a start counts on from there: press job.new before the next start.",
    cut=count(),
)  # fmt: skip
_OF_THE_BAR: Final = ("setup", "start", "run")
"""Parts of the autopilot that set up for a bar, or cut it."""
_BEST: Final = plain(
    "shift.play.best",
    "The best plan is worked out now: every pair of orders is played once. That takes a while.",
)
_OVER: Final = plain("shift.over", "The shift is over.")


class ShiftWords:
    """What the words do in a shift of orders."""

    def __init__(self, shop: ByHand) -> None:
        self._shop = shop
        self.auto = 0  # parts that the autopilot did
        self._warned = False  # that another bar lies there, since an order was taken

    def perform(self, session: Session, act: TypedAct) -> tuple[Part, ...]:
        """Do an act; return what is to be read besides the session's new events.

        Raises:
            CommandError: The shift or the session does not take it.
        """
        shop = self._shop
        if act.word == "orders":
            return orders(shop)
        if act.word == "take":
            return self._take(*act.text.split(maxsplit=1))
        if act.word == "load":
            return (shop.load(*act.names).message,)
        if act.word == "hint":
            return (_HINT,)
        if act.word == "auto":
            self._check_bar(act.names[0])
            self.auto += 1
        deeds = len(session.done.all)
        said = perform(session, act)
        starts = any("job.start" in deed.accepted for deed in session.done.all[deeds:])
        warning = not_counted(shop) if starts and not self._warned else ()
        self._warned = self._warned or bool(warning)
        return (*said, *warning)

    def _check_bar(self, part: str) -> None:
        """Refuse a part of the autopilot while another bar lies there than was taken.

        Raises:
            CommandError: It does; what to do is the line that has the right one brought.
        """
        shop = self._shop
        wrong = shop.lies_wrong
        if not wrong or part not in _OF_THE_BAR or shop.session.over:
            return
        if not shop.order:
            raise CommandError(wrong, f"auto {part}", TAKE_ONE)
        acts = tuple(TYPED_ACT(act=line) for line in typed_load(shop.session, perform))
        first = _LOAD_FIRST(bar=shop.bar, acts=acts) if acts else _LOAD_BY_HAND(bar=shop.bar)
        raise CommandError(wrong, f"auto {part}", first)

    def _take(self, order: str, bar: str = "") -> tuple[Part, ...]:
        shop = self._shop
        wanted = shop.take(order, bar)
        self._warned = False
        job = shop.session.scenario.job
        lies = shop.bar == shop.on_saw
        waits = [] if wanted.first else [
            each for each in shop.shift.orders if each.first and shop.fell(each.name) < each.pieces
        ]  # fmt: skip
        return (
            _TOOK(order=wanted.name, count=job.wanted, length=wanted.length_mm * MM, bar=shop.bar),
            *card(shop.session),
            *unsound_said(shop.session),
            weighs(shop.session.stock.mass_kg, shop.session.stock.length_m),
            _LIES if lies else _LOAD_IT,
            *counts_on(shop),
            *(
                _FIRST_WAITS(order=each.name, fell=shop.fell(each.name), wanted=each.pieces)
                for each in waits
            ),
        )


def counts_on(shop: ByHand) -> tuple[Message, ...]:
    """Return that the counter goes on from the last order's pieces; nothing where it begins at zero."""
    job = shop.session.saw.controller.job
    if not job.cut or job.state == "COMPLETE":  # its reset counts from zero
        return ()
    return (_COUNTS_ON(cut=job.cut),)


def not_counted(shop: ByHand) -> tuple[Message, ...]:
    """Return that another bar lies on the saw than was taken; nothing where none does, or no order is taken."""
    wrong = shop.lies_wrong
    if not wrong or not shop.order:
        return ()
    return (_NOT_COUNTED(lies=wrong, order=shop.order, bar=shop.bar),)


def orders(shop: ByHand) -> tuple[Part, ...]:
    """Return the time, the cut list and the rack as they stand."""
    shift = shop.shift
    wanted = tuple(
        (
            each.name, each.material, section_word(each.section),
            _PIECE(length=each.length_mm * MM, tolerance=each.tolerance_mm * MM),
            _MITRE(angle=f"{each.mitre_deg:g}") if each.mitre_deg else _SQUARE,
            _FELL(fell=shop.fell(each.name), wanted=each.pieces),
            _DUE(time=each.due_min * MINUTE), _FIRST if each.first else "", _TAKEN if shop.order == each.name else "",
        )
        for each in shift.orders
    )  # fmt: skip
    rack = tuple(
        (
            bar.name, bar.material, _LEFT(length=shop.left_m(bar.name)),
            _FOR(orders=", ".join(each.name for each in shift.orders if bar in shift.bars_for(each))),
            _ON_SAW if shop.on_saw == bar.name else "",
        )
        for bar in shift.rack
    )  # fmt: skip
    return (
        _NOW(time=shop.now_s),
        Table(_LIST, ("order", "", "", "", "", "", "", "", ""), wanted),
        Table(_RACK, ("bar", "", "", "", ""), rack),
        *not_counted(shop),
    )


def play_shift(
    shop: ByHand,
    lines: Iterable[str] | None,
    write: Callable[[str], None],
    *,
    interactive: bool,
    begins: Message = _HOW,
) -> Message:
    """Play a shift from lines to its end; return what ended it before its time, or nothing.

    Args:
        shop: Newly opened, or gone on with.
        lines: What is typed; None reads standard input.
        write: Takes one line, without its end.
        interactive: Whether a person sits there.
        begins: What is said first of how it goes.
    """
    page = Printer(write, drawn=interactive and may_draw())
    shift = shop.shift
    words = ShiftWords(shop)
    try:
        page.put(
            _TITLE(title=shift.title),
            *((quoted(shift.brief),) if shift.brief else ()),
            begins, CAUTION, *orders(shop), *parts_of(shop.session).values(),
            sentences(ABOUT_TIME), NOTHING,
        )  # fmt: skip
        typed = typed_lines(lines, interactive=interactive)
        turns = Turns(shop.session, typed, page, interactive=interactive, does=words.perform)
        fault = turns.take()
    except Ended as ended:
        if not ended.torn:
            shop.close()
        raise
    except BaseException:
        shop.close()  # whatever happened, the record gets its closing line
        raise
    shop.close()
    if words.auto:
        page.put(NOTHING, _WITH_AUTO(count=words.auto))
    if news := shop.session.record_news():
        page.put(NOTHING, *news)
    if shop.session.record_path is not None:  # asked now: it may have been saved elsewhere
        page.put(NOTHING, RECORD_IS(file=str(shop.session.record_path)))
    page.put(NOTHING, _BEST)
    return fault


def play_and_report(
    file: Path,
    machine: str,
    output: Path | None,
    lines: Iterable[str] | None = None,
    *,
    record: Path | None = None,
    recorded: bool = True,
    who: str = "",
    going_on: SessionRecord | None = None,
) -> int:
    """Have a trainee do a shift at the text console, and tell what it came to beside the best plan.

    Args:
        file: The shift's.
        machine: The machine that it shall be on; the shift's own when empty.
        output: Where the debrief is written; None for nowhere.
        lines: What is typed; None reads standard input.
        record: Where the record is written; None for a new one in the record folder.
        recorded: Whether there is one.
        who: A pseudonym for the trainee; empty for nobody.
        going_on: The record from whose end the shift goes on; None to begin it.

    Returns:
        The exit code: 2 where a script was not understood, else 0.

    Raises:
        ScenarioError: The file or the machine is refused.
        CommandError: The output cannot be written, or the pseudonym is none.
        RecordError: The shift cannot go on from that record, or the new one cannot be written.
    """
    check(output, file)
    begins = _HOW
    if going_on is None:
        shop = open_shift(file, machine, record=record, recorded=recorded, who=who)
    else:
        if going_on.opening.of_shift and going_on.opening.scenario_text.encode() != octets(file):
            raise RecordError(_OTHER_SHIFT(file=str(file)), going_on.name, _ITS_OWN)
        shop = resume(going_on, record, recorded=recorded)
        begins = _GOES_ON(file=going_on.name)
    person = sys.stdin.isatty()
    fault = play_shift(shop, lines, put_line, interactive=person, begins=begins)
    print_said(_OVER)
    tell(debrief_of(shop), output, file, as_json=False)
    if fault:
        print_said(fault)
    return BAD_INPUT if fault else 0
