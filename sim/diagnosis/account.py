"""What an operator could have told of a saw: each cause lived through as he ran it.

A cause fits a report when it shows what he says, field by field. The figures that he gives are a
person's: lengths by tape, faces by eye, times by the clock on the wall.

Never here: how often each cause comes (see `prior`).

Runs the saw.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import exp, prod
from statistics import fmean
from sys import maxsize
from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.lamps import lit
from sim.kernel.clock import Allowance
from sim.pilot import autopilot
from sim.plant.coolant import WET
from sim.saw import Cut
from sim.scenario.reported import NO_START, Length, Reported
from sim.scenario.scenario import Scenario
from sim.session.before.keys import hold_until
from sim.session.before.left import MOST_CALLS, as_left
from sim.session.inspections.pieces import CROOKED, DENT_M, leans, ways_of
from sim.session.opening import session_for
from sim.session.session import Session
from sim.signals import Direction
from sim.units import MM

NEAR_M: Final = (
    5 * MM
)  # two heights of the head that nobody tells apart by eye; common practice, no source
LONG: Final = 1.25  # by the sound machine's time, from which anybody would say it takes long
_SEEN_MM: Final = 0.1  # from which a caliper and a careful man tell two lengths apart; assumed
_SCATTER_MM: Final = 0.1  # at least, of a figure that he gives; assumed
_ABOUT: Final = 0.2  # of the figure: he says it roundly; assumed
_HOLDS_S: Final = 20.0  # a key by hand, longer than any stroke
_WORLDS_APART: Final = 1e-3  # a likelihood from which a field no longer fits


@dataclass(frozen=True, slots=True)
class Account:
    """What was to be seen of one machine when the operator ran it."""

    control: str
    stands_at: str  # step of the job, `no start`, or empty where it came to its end
    counted: int
    fell: int  # pieces and ends
    off_mm: tuple[float, ...]  # of the pieces that fell, from what is wanted
    lean: float  # the most that a face is out of square, m a m
    lean_mm: float  # the same over the height of the bar
    gapes: frozenset[str]  # ways in which the face gapes that leans most; none where none does
    dent_m: float  # the deepest
    head: str  # `down` where it did not leave where it lay, else empty
    head_m: float  # how high it stands
    lamps: frozenset[str]
    refused: frozenset[str]
    hums: bool
    wet: bool
    took_s: float
    harm: frozenset[str]
    left: tuple[Cut, ...] | None = (
        None  # what lies there after it; None where his run took too much
    )


def account_of(scenario: Scenario, how: Reported, allowance: Allowance | None = None) -> Account:
    """Return what there is to tell of a scenario's machine, run as the operator ran it.

    Args:
        scenario: The machine with what is hidden in it.
        how: The report; of it, how he ran the saw.
        allowance: Of the clock; None for as much as it takes.

    Raises:
        EffortError: The allowance was not enough.
    """
    session = session_for(scenario, nonce="")
    saw = session.saw
    saw.clock.allowance = own = Allowance(maxsize) if allowance is None else allowance
    calls = own.left
    hums = _Listens(session)
    lay_m = saw.plant.head.place.position
    _RAN[how.ran](session, how)
    job, image = saw.controller.job, saw.controller.image
    head_m = saw.plant.head.place.position
    lean = max(map(_seen_lean, saw.cuts), default=0.0)
    cuts = [cut for cut in saw.cuts if cut.is_piece]
    return Account(
        control=_control(session),
        stands_at=_stands_at(session, how),
        counted=job.cut,
        fell=sum(1 for cut in saw.cuts if cut.length_m > 0.0),
        off_mm=tuple((cut.length_m - session.order.piece_m) / MM for cut in cuts),
        lean=lean,
        lean_mm=lean * saw.plant.bar.height_m / MM,
        gapes=_gapes(saw.cuts),
        dent_m=max((cut.dent_m for cut in saw.cuts), default=0.0),
        head="down" if head_m < lay_m + NEAR_M else "",
        head_m=head_m,
        lamps=frozenset(lamp.name for lamp in lit(image, saw.controller.rows)),
        refused=frozenset(key for deed in session.done.all for key in deed.refused),
        hums=hums.heard or hums.now(),
        wet=saw.plant.coolant.floor == WET,
        took_s=session.now_s,
        harm=frozenset(c.kind for c in saw.consequences),
        left=as_left(saw) if calls - own.left <= MOST_CALLS else None,
    )


def _control(session: Session) -> str:
    state = session.saw.controller.image["supply"]
    if state == "DEAD":
        return "dark"
    if state == "ON":
        return "on"
    ever = any("supply.control_on" in deed.accepted for deed in session.done.all)
    return "dropped" if ever else "refused"


def _stands_at(session: Session, how: Reported) -> str:
    job = session.saw.controller.job
    if job.state in ("COMPLETE", "COMPLETING") or job.cut >= session.scenario.job.wanted:
        return ""
    begun = how.ran == "the job" and any("job.start" in d.accepted for d in session.done.all)
    return job.step if begun else NO_START


class _Listens:
    """Hears a motor that is fed and does not turn, also where its relay has tripped by the end."""

    def __init__(self, session: Session) -> None:
        self.heard = False
        self._plant = session.saw.plant
        session.saw.bus.listen(Direction.INPUT, self._edge)

    def now(self) -> bool:
        """Return whether a motor hums now."""
        band = self._plant.band
        return bool(self._plant.hums) or (band.contactor and not band.turning)

    def _edge(self, tag: str, _value: bool) -> None:
        self.heard |= tag == "F1" and self.now()


# As he ran it -----------------------------------------------------------------------------


def _the_job(session: Session, _how: Reported) -> None:
    autopilot.as_found(session, session.scenario.job.wanted)


def _power_up(session: Session, _how: Reported) -> None:
    autopilot.power_up(session)
    if not session.over:
        session.advance(_HOLDS_S)


def _by_hand(session: Session, how: Reported) -> None:
    _power_up(session, how)
    for key in how.tried:
        if not session.over:
            _try_key(session, key)


def _try_key(session: Session, key: str) -> None:
    action = ACTIONS[key]
    if action.palms:
        session.palms(key)
    elif action.halt:
        hold_until(session, key, lambda: False, _HOLDS_S)
    else:
        session.tap(key)
    if not session.over:
        session.advance(_HOLDS_S)


_RAN: Final[Mapping[str, Callable[[Session, Reported], None]]] = {
    "the job": _the_job,
    "power up": _power_up,
    "by hand": _by_hand,
}


# Whether it fits --------------------------------------------------------------------------


def likelihood(told: Reported, shown: Account, sound: Account) -> float:
    """Return how well an account bears a report out, field by field; 0 to 1, 1 for in every word.

    Args:
        told: What the operator says.
        shown: What was to be seen under the cause.
        sound: What was to be seen on the sound machine.
    """
    return prod(_FITS[field](getattr(told, field), shown, sound) for field in told.borne_out)


def fits(told: Reported, shown: Account, sound: Account) -> frozenset[str]:
    """Return the fields of a report that an account bears out; arguments as for `likelihood`."""
    return frozenset(
        field for field in told.borne_out if _FITS[field](getattr(told, field), shown, sound) > 0.0
    )


def _word(shown: Callable[[Account], object], said: object, account: Account, _s: Account) -> float:
    return 1.0 if shown(account) == said else 0.0


def _among(
    shown: Callable[[Account], frozenset[str]], said: tuple[str, ...], account: Account, _s: Account
) -> float:
    """Whatever he names was there; none named means that there was none."""
    there = shown(account)
    return 1.0 if (there.issuperset(said) if said else not there) else 0.0


def _length(said: Length, account: Account, _sound: Account) -> float:
    if not account.off_mm:
        return 0.0
    mean_mm, spread_mm = fmean(account.off_mm), max(account.off_mm) - min(account.off_mm)
    fits = 1.0
    if said.all_are is not None:
        fits *= said.all_are == in_a_word(account.off_mm)
    if said.off_mm is not None:
        fits *= _about(said.off_mm, mean_mm)
    if said.spread_mm is not None:
        fits *= _about(said.spread_mm, spread_mm)
    return fits


def in_a_word(off_mm: Sequence[float]) -> str:
    """Return what anybody would say of pieces that are off so much, mm; there is one at least."""
    mean_mm, spread_mm = fmean(off_mm), max(off_mm) - min(off_mm)
    if spread_mm > max(_SEEN_MM, _ABOUT * abs(mean_mm)):
        return "uneven"
    if abs(mean_mm) <= _SEEN_MM:
        return "right"
    return "short" if mean_mm < 0.0 else "long"


def _about(said: float, shown: float) -> float:
    scatter = max(_SCATTER_MM, _ABOUT * abs(said))
    fits = exp(-0.5 * ((shown - said) / scatter) ** 2)
    return fits if fits > _WORLDS_APART else 0.0


def _seen_lean(cut: Cut) -> float:
    """Return by how much a face is out of square, m a m; no more than looks square where the eye sees none."""
    return cut.out_of_square if leans(cut) else min(cut.out_of_square, CROOKED)


def _gapes(cuts: Sequence[Cut]) -> frozenset[str]:
    """Return in which ways the worst face gapes, of those that lean to the eye."""
    worst = max(filter(leans, cuts), key=lambda cut: cut.out_of_square, default=None)
    return frozenset() if worst is None else frozenset(way.value for way in ways_of(worst))


def _face(account: Account) -> str:
    if account.dent_m > DENT_M:
        return "dented"
    return "crooked" if account.lean > CROOKED else "square"


def _head(said: str, account: Account, sound: Account) -> float:
    """Where he says that it stands lower, it may not have left at all."""
    up = account.head_m > sound.head_m - NEAR_M
    shown = {"up"} if up else {"low", account.head}
    return 1.0 if said in shown else 0.0


def _leans(said: float, account: Account, _sound: Account) -> float:
    return _about(said, account.lean_mm)


def _gapes_so(said: str, account: Account, _sound: Account) -> float:
    return 1.0 if said in account.gapes else 0.0


def _took(said: str, account: Account, sound: Account) -> float:
    long = account.took_s > LONG * sound.took_s
    return 1.0 if long == (said == "long") else 0.0


_FITS: Final[Mapping[str, Callable[..., float]]] = {
    "control": partial(_word, lambda a: a.control),
    "stands_at": partial(_word, lambda a: a.stands_at),
    "counted": partial(_word, lambda a: a.counted),
    "fell": partial(_word, lambda a: a.fell),
    "length": _length,
    "face": partial(_word, _face),
    "gapes": _gapes_so,
    "lean_mm": _leans,
    "head": _head,
    "lamps": partial(_among, lambda a: a.lamps - {"ready"}),
    "refused": partial(_among, lambda a: a.refused),
    "noise": partial(_word, lambda a: "hums" if a.hums else "none"),
    "floor": partial(_word, lambda a: "wet" if a.wet else "dry"),
    "took": _took,
    "harm": partial(_among, lambda a: a.harm),
}


# What a file would say of it --------------------------------------------------------------


def as_written(field: str, account: Account, sound: Account) -> str:
    """Return a field of a report as a scenario file has it, for what an account shows of it.

    Args:
        field: Of `Reported`.
        account: What was to be seen.
        sound: What was to be seen on the sound machine.
    """
    if field == "control":
        return f'control: "{account.control}"'
    if field == "length":
        words = f"{{all_are: {in_a_word(account.off_mm)}}}" if account.off_mm else "nothing fell"
        return f"length: {words}"
    if field in ("lamps", "refused", "harm"):
        there = getattr(account, field) - {"ready"}
        return f"{field}: [{', '.join(sorted(there))}]"
    shown = {
        "stands_at": account.stands_at or "nowhere: it came to its end",
        "counted": account.counted,
        "fell": account.fell,
        "face": _face(account),
        "gapes": " and ".join(sorted(account.gapes)) or "nowhere: no face leans",
        "lean_mm": f"{account.lean_mm:.2g}",
        "head": "up" if account.head_m > sound.head_m - NEAR_M else account.head or "low",
        "noise": "hums" if account.hums else "none",
        "floor": "wet" if account.wet else "dry",
        "took": "long" if account.took_s > LONG * sound.took_s else "as usual",
    }
    return f"{field}: {shown[field]}"
