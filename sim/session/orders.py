"""An instructor's orders to a running session: what each needs, who may give it, and what it does.

Without a code (see `order_key`) nobody knows who gives an order. So a session that was begun without
one takes none on a fault, and an assessment takes none at all.

Never here: how an order gets from one program to the other (see `order_lines`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from sim.errors import CommandError
from sim.records.acts import ON_FAULTS
from sim.scenario.nearest import nearest
from sim.session.instructor import FASTEST, MOST_TEXT, NO_PACE, PACES, SLOWEST, told_second
from sim.session.known import fault_called
from sim.session.session import Session
from sim.words.fields import name, number
from sim.words.message import Message, plain, row

FAULT, TEXT, FACTOR, ALONE = "fault", "text", "factor", ""
TAKES: Final = {
    "put-in": FAULT,
    "take-out": FAULT,
    "second": TEXT,
    "freeze": ALONE,
    "go": ALONE,
    "pace": FACTOR,
    "note": TEXT,
    "mark": TEXT,
}
"""The orders, and what each needs."""
_MEANT: Final = {
    "unfreeze": "go",
    "thaw": "go",
    "resume": "go",
    "continue": "go",
    "release": "go",
    "hold": "freeze",
    "stop": "freeze",
    "pause": "freeze",
    "insert": "put-in",
    "add": "put-in",
    "remove": "take-out",
    "speed": "pace",
    "say": "note",
    "tell": "note",
}


_NO_ORDER: Final = row("orders.no-order", "there is no order {order}", order=name())
_MEANT_BY: Final = row("orders.meant", "the order for that is {order}", order=name())
_NEEDS: Final = {
    FAULT: row("orders.needs-fault", "{order} needs a fault", order=name()),
    TEXT: row("orders.needs-text", "{order} needs a text", order=name()),
    FACTOR: row("orders.needs-factor", "{order} needs a factor", order=name()),
    ALONE: row("orders.stands-alone", "{order} stands alone", order=name()),
}
_WRITE: Final = row("orders.write", "write {usage}", usage=name())
_TOO_LONG: Final = row("orders.text-too-long", "the text has {length} characters", length=number())
_AT_MOST: Final = row("orders.at-most", "{most} at most", most=number())
_NONE_AT_ALL: Final = plain(
    "orders.none-in-assessment",
    "an assessment that was begun without an instructor's code takes no orders",
)
_WANTS_CODE: Final = row(
    "orders.wants-code",
    "{order} wants the instructor's code, and this session was begun without one", order=name(),
)  # fmt: skip
_BEGIN_WITH: Final = plain(
    "orders.begin-with-code", "begin it with drycycle play SCENARIO --instructor-code"
)

# Why a line of an orders' file, or somebody at the window, was not obeyed. These stand in records.
NOT_JSON: Final = plain("orders.line.not-json", "this line is not JSON")
NOT_ORDER: Final = plain("orders.line.no-order", "this line is no order")
NO_SUCH: Final = plain("orders.line.unknown", "there is no such order")
KEYS: Final = row(
    "orders.line.keys", "{order} is written with {keys} and nothing else",
    order=name(), keys=name(),
)  # fmt: skip
UNSIGNED: Final = plain("orders.line.unsigned", "it was not given with the instructor's code")
TWICE: Final = plain("orders.line.twice", "it was given before, or comes too late")
NO_FAULT: Final = plain("orders.line.no-fault", "the fault in it is none of the catalogue")
NO_NUMBER: Final = plain("orders.line.factor", "the factor is no number")
NO_TEXT: Final = plain("orders.line.text", "the text is no text")
NO_MORE: Final = plain(
    "orders.refused.no-more", "more lines are no orders, and are not written down one by one"
)
WRONG_CODE: Final = plain("orders.wrong-code", "a wrong code was typed at the window")


UNSEEN: Final = row(
    "orders.unseen", "Ordered: {order}. What comes of it is told in the debrief.", order=name()
)


@dataclass(frozen=True, slots=True)
class Order:
    """One thing an instructor wants done."""

    order: str  # a key of TAKES
    fault: str = ""
    factor: float = 1.0
    text: str = ""


_DOES: Final[Mapping[str, Callable[[Session, Order], Message]]] = {
    "put-in": lambda s, o: s.instructor.put_in(o.fault),
    "take-out": lambda s, o: s.instructor.take_out(o.fault),
    "second": lambda s, o: s.instructor.second(o.text),
    "freeze": lambda s, _: s.instructor.freeze(True),
    "go": lambda s, _: s.instructor.freeze(False),
    "pace": lambda s, o: s.instructor.pace(o.factor),
    "note": lambda s, o: s.instructor.note(o.text),
    "mark": lambda s, o: s.instructor.mark(o.text),
}


def obey(session: Session, order: Order) -> Message:
    """Carry an order out; return what came of it, for the instructor's eyes.

    Raises:
        CommandError: The session does not take it.
    """
    return _DOES[order.order](session, order)


def check_may(session_mode: str, order: str) -> None:
    """Refuse an order that nobody vouches for, as a session of that mode takes it only with a code.

    Args:
        session_mode: Of the scenario.
        order: A key of TAKES.

    Raises:
        CommandError: It wants a code.
    """
    if session_mode == "assessment":
        raise CommandError(_NONE_AT_ALL, order, _BEGIN_WITH)
    if order in ON_FAULTS:
        raise CommandError(_WANTS_CODE(order=order), order, _BEGIN_WITH)


def is_unseen(session_mode: str, order: str) -> bool:
    """Return whether an order is answered alike whatever comes of it, before the close.

    An order on a fault in an assessment is: the trainee may have begun it with a code of his own.

    Args:
        session_mode: Of the scenario.
        order: A key of TAKES.
    """
    return session_mode == "assessment" and order in ON_FAULTS


def order_from(words: list[str]) -> Order:
    """Return the order that words say: `put-in air-low`, `pace 2`, `note Look again`.

    Raises:
        CommandError: They say none.
    """
    verb, rest = (words[0] if words else ""), " ".join(" ".join(words[1:]).split())
    if verb not in TAKES:
        meant = _MEANT.get(verb.lower())
        advice = _MEANT_BY(order=meant) if meant else nearest(verb, TAKES)
        raise CommandError(_NO_ORDER(order=repr(verb)), "instruct", advice)
    needs = TAKES[verb]
    if (needs != ALONE) != bool(rest):
        usage = f"{verb} {needs.upper()}"
        raise CommandError(_NEEDS[needs](order=verb), "instruct", _WRITE(usage=usage))
    if needs == FAULT:
        return Order(verb, fault=fault_called(rest, verb).name)
    if needs == TEXT:
        if len(rest) > MOST_TEXT:
            raise CommandError(_TOO_LONG(length=len(rest)), verb, _AT_MOST(most=MOST_TEXT))
        if verb == "second":
            told_second(rest)
        return Order(verb, text=rest)
    return Order(verb, factor=_pace(rest)) if needs == FACTOR else Order(verb)


def _pace(text: str) -> float:
    try:
        factor = float(text)
    except ValueError:
        factor = 0.0
    if not SLOWEST <= factor <= FASTEST:
        raise CommandError(NO_PACE(factor=text), "pace", PACES)
    return factor
