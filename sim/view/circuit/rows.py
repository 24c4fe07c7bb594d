"""The hydraulic circuit as a table: its sections from the pump to the lift, and what stands where in each.

Places are in ems from the upper left of a section. The line under pressure (P) and the line back to
the tank (T) run along the foot of all sections, so that these can stand side by side or under one
another.
"""

from dataclasses import dataclass
from typing import Final

from sim.view.play.console_rows import TITLES
from sim.words.message import NOTHING, Message, plain

HIGH: Final = 17.4  # of a section
P_Y: Final = 15.0
T_Y: Final = 16.0

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """Words beside a sign and under them what is read there."""

    x: float
    y: float
    wide: float
    words: Message = NOTHING
    value: str = ""  # by its name in `Oil.values`
    tag: str = ""  # before the words


@dataclass(frozen=True, slots=True)
class Piped:
    """A sign on a line."""

    sign: str
    x: float
    y: float
    line: str  # whose pressure it is drawn with; empty for none


@dataclass(frozen=True, slots=True)
class Spool:
    """A valve whose spool is drawn as boxes side by side, the one that counts now marked."""

    x: float  # left edge of the boxes
    y: float
    ways: tuple[str, ...]
    rest: int  # which box counts with no coil on
    coils: tuple[tuple[str, int], ...]  # tag, and the box that counts with it on


@dataclass(frozen=True, slots=True)
class Pipe:
    """A line."""

    line: str  # its name in `Oil.lines`; empty for one that only leads back
    points: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class Ram:
    """A cylinder, drawn with its piston where its part stands."""

    part: str  # cutting_vise, shuttle_vise, shuttle, lift
    x: float
    y: float
    wide: float
    high: float
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """One section."""

    name: str
    title: Message
    wide: float
    pipes: tuple[Pipe, ...]
    signs: tuple[Piped, ...] = ()
    spools: tuple[Spool, ...] = ()
    rams: tuple[Ram, ...] = ()
    labels: tuple[Label, ...] = ()


_WIDE: Final = 13.0
_BESIDE: Final = 5.5  # where the words beside a sign begin
_ROOM: Final = _WIDE - _BESIDE - 0.2
_A: Final = 3.5  # the two lines of a part that oil moves both ways
_B: Final = 4.5
_SPOOL_Y: Final = 11.2

_CHECK: Final = plain("circuit.check", "check valve")
_CREEP: Final = plain("circuit.creep", "creep valve")
_PRESSURE: Final = plain("circuit.pressure", "clamping pressure")
_VALVE: Final = plain("circuit.valve", "valve")


# Over and under the two lines along the foot.
_PORTS: Final = (
    Label(0.2, P_Y - 1.1, 1.5, plain("circuit.p", "P")), Label(0.2, T_Y + 0.1, 1.5, plain("circuit.t", "T")),
)  # fmt: skip


def _rails(wide: float) -> tuple[Pipe, ...]:
    return Pipe("fed", ((0.0, P_Y), (wide, P_Y))), Pipe("", ((0.0, T_Y), (wide, T_Y)))


def _feet() -> tuple[Pipe, ...]:
    """Return the lines from a valve of four ports down to P and T."""
    return (
        Pipe("fed", ((_A, _SPOOL_Y + 1.6), (_A, P_Y))),
        Pipe("", ((_B, _SPOOL_Y + 1.6), (_B, T_Y))),
    )


def _both_ways(first: str, second: str) -> Spool:
    """Return a valve of three ways and four ports, shut in the middle, where springs put it."""
    left = _A - 0.3 - 1.6
    return Spool(left, _SPOOL_Y, ("straight", "all shut", "crossed"), 1, ((first, 0), (second, 2)))


def _vise(part: str, clamp: str, release: str) -> Stretch:
    a, b, fed = f"{part}.clamp", f"{part}.release", f"{part}.fed"
    return Stretch(
        part, TITLES[part], _WIDE,
        pipes=(
            *_rails(_WIDE), *_feet(),
            Pipe(fed, ((_A, _SPOOL_Y), (_A, 9.4))), Pipe(fed, ((_A, 7.9), (_A, 6.6))),
            Pipe(a, ((_A, 5.4), (_A, 3.0))), Pipe(a, ((_A, 4.2), (1.4, 4.2))),
            Pipe(b, ((_B, _SPOOL_Y), (_B, 3.6), (5.6, 3.6), (5.6, 3.0))),
        ),
        signs=(
            Piped("gauge", 1.4, 4.2, a), Piped("pilot check valve", _A, 5.4, a),
            Piped("pressure reducer", _A, 7.9, fed),
        ),
        spools=(_both_ways(clamp, release),),
        rams=(Ram(part, 2.9, 1.5, 3.4, 1.5),),
        labels=(
            Label(0.2, 5.7, 2.7, value=f"{part}.gauge"),
            Label(_BESIDE, 5.0, _ROOM, _CHECK, f"{part}.check"),
            Label(_BESIDE, 7.4, _ROOM, _PRESSURE, f"{part}.set"),
            Label(7.4, _SPOOL_Y - 0.2, _WIDE - 7.6, _VALVE, f"{part}.valve"), *_PORTS,
        ),
    )  # fmt: skip


_SUPPLY: Final = Stretch(
    "supply", plain("circuit.supply", "OIL SUPPLY"), _WIDE,
    pipes=(
        Pipe("", ((_A, T_Y + 0.5), (_A, 12.6))), Pipe("", ((_A, T_Y), (_WIDE, T_Y))),
        Pipe("fed", ((_A, 10.8), (_A, 9.4))), Pipe("fed", ((_A, 8.2), (_A, 6.4))),
        Pipe("fed", ((_A, 4.8), (_A, 3.4), (12.7, 3.4), (12.7, P_Y), (_WIDE, P_Y))),
    ),
    signs=(
        Piped("tank", _A, 16.1, ""), Piped("pump", _A, 10.8, "fed"), Piped("check valve", _A, 8.2, "fed"),
    ),
    spools=(Spool(_A - 2.4, 4.8, ("up", "creep"), 1, (("Y13", 0),)),),
    labels=(
        Label(_BESIDE, 4.7, 7.0, _CREEP, "creep", "Y13"),
        Label(_BESIDE, 8.0, 7.0, _CHECK),
        Label(_BESIDE, 10.6, 7.0, plain("circuit.pump", "pump"), "pump", "Q2"),
        Label(_BESIDE, 13.2, 7.0, plain("circuit.tank", "oil in the tank"), "tank"),
        Label(0.75, 11.15, 1.2, plain("circuit.motor", "M")),
    ),
)  # fmt: skip

_SHUTTLE: Final = Stretch(
    "shuttle", TITLES["shuttle"], _WIDE,
    pipes=(
        *_rails(_WIDE), *_feet(),
        Pipe("shuttle.back", ((_A, _SPOOL_Y), (_A, 3.0))),
        Pipe("shuttle.forward", ((_B, _SPOOL_Y), (_B, 3.6), (10.6, 3.6), (10.6, 3.0))),
    ),
    spools=(_both_ways("Y22", "Y21"),),
    rams=(Ram("shuttle", 2.9, 1.5, 8.2, 1.5),),
    labels=(
        Label(_BESIDE, 4.4, _ROOM, plain("circuit.place", "from forward"), "shuttle"),
        Label(7.4, _SPOOL_Y - 0.2, _WIDE - 7.6, _VALVE, "shuttle.valve"), *_PORTS,
    ),
)  # fmt: skip

_OUT: Final = 16.6  # where the oil leaves that the head drives out
_UP: Final = 13.5  # where it goes up before
_LIFT_WIDE: Final = 27.2
_OUT_WORDS: Final = _OUT + 2.1
_OUT_ROOM: Final = _LIFT_WIDE - _OUT_WORDS - 0.2


def _out(y: float, words: Message, value: str, tag: str = "") -> Label:
    return Label(_OUT_WORDS, y - 0.3, _OUT_ROOM, words, value, tag)


_LIFT: Final = Stretch(
    "lift", plain("circuit.lift", "LIFT OF THE HEAD"), _LIFT_WIDE,
    pipes=(
        Pipe("fed", ((0.0, P_Y), (_A, P_Y), (_A, 14.4))), Pipe("fed", ((_A, 13.1), (_A, 12.8))),
        Pipe("raise", ((_A, 11.2), (_A, 9.6))), Pipe("lift", ((_A, 8.4), (_A, 5.0))),
        Pipe("lift", ((_A, 6.8), (_UP, 6.8), (_UP, 1.3), (_OUT, 1.3), (_OUT, 1.7))),
        Pipe("exhaust", ((_OUT, 3.3), (_OUT, 4.4))), Pipe("exhaust", ((_OUT, 5.6), (_OUT, 6.7))),
        Pipe("exhaust", ((_OUT, 8.3), (_OUT, 9.4))), Pipe("exhaust", ((_OUT, 10.6), (_OUT, 11.8))),
        Pipe("", ((_OUT, 13.3), (_OUT, T_Y), (0.0, T_Y))),
    ),
    signs=(
        Piped("filter", _A, 13.1, "fed"), Piped("check valve", _A, 8.4, "lift"),
        Piped("air over oil", 7.2, 4.4, "lift"), Piped("throttle", _OUT, 4.4, "exhaust"),
        Piped("throttle", _OUT, 9.4, "exhaust"), Piped("relief", _OUT, 11.8, "exhaust"),
    ),
    spools=(
        Spool(_A - 2.4, 11.2, ("up", "shut"), 1, (("Y11", 0),)),
        Spool(_OUT - 2.4, 1.7, ("down", "shut"), 1, (("Y12", 0),)),
        Spool(_OUT - 2.4, 6.7, ("down", "creep"), 1, (("Y13", 0),)),
    ),
    rams=(Ram("lift", 2.6, 1.4, 1.8, 3.6, upright=True),),
    labels=(
        Label(5.0, 1.1, 8.2, plain("circuit.head", "head, and its descent"), "lift"),
        Label(5.0, 3.2, 8.2, value="descent"), *_PORTS,
        Label(8.3, 4.4, 5.0, plain("circuit.air-over-oil", "air over the oil"), "air"),
        Label(_BESIDE, 8.2, 7.0, _CHECK),
        Label(_BESIDE, 11.2, 7.0, plain("circuit.raise", "raise valve"), "raise", "Y11"),
        Label(_BESIDE, 13.2, 7.0, plain("circuit.filter", "filter")),
        _out(1.7, plain("circuit.lower", "lower valve"), "lower", "Y12"),
        _out(4.2, plain("circuit.throttle", "exhaust throttle"), "throttle"),
        _out(6.7, _CREEP, "creep", "Y13"),
        _out(9.2, plain("circuit.feed", "feed valve"), "feed"),
        _out(11.8, plain("circuit.relief", "feed relief"), "relief"),
    ),
)  # fmt: skip

STRETCHES: Final = (
    _SUPPLY, _vise("cutting_vise", "Y31", "Y33"), _vise("shuttle_vise", "Y32", "Y34"), _SHUTTLE, _LIFT,
)  # fmt: skip
"""The sections in their order."""
