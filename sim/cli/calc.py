"""`drycycle calc ...`: one command for each calculation of the trade."""

from collections.abc import Callable
from typing import Final

from sim.cli.grammar import (
    REQUIRED,
    Command,
    CommandGroup,
    Parameter,
    ValueKind,
    real,
    word,
)
from sim.cli.parameters import A_MACHINE, JSON
from sim.cli.parameters import MACHINE as ON_MACHINE
from sim.words.message import Message, plain

MACHINE: Final = Parameter(
    "machine",
    plain("cli.calc.machine", "For this machine, by its name or its file; else for the first saw."),
    word(A_MACHINE), ("--machine",), "",
)  # fmt: skip
_LENGTHS: Final = plain("cli.stands.lengths", "LENGTHxCOUNT")

_A_METAL: Final = word(plain("cli.stands.metal", "METAL"))
_METAL: Final = Parameter(
    "metal",
    plain("cli.calc.metal", "A metal from `drycycle list materials`."),
    _A_METAL, default=REQUIRED,
)  # fmt: skip
_SECTION: Final = Parameter(
    "section",
    plain(
        "cli.calc.section",
        "Shape and sizes in mm, like round:60; of three bars side by side, 3*round:20. The shapes: "
        "round:DIAMETER, square:SIDE, rectangle:WIDTHxHEIGHT, round-tube:DIAMETERxWALL, "
        "square-tube:SIDExWALL, rectangular-tube:WIDTHxHEIGHTxWALL, angle:LEGxTHICKNESS, "
        "i-beam:HEIGHTxWIDTHxWEBxFLANGE.",
    ),
    word(plain("cli.stands.section", "SECTION")), default=REQUIRED,
)  # fmt: skip


def _calculates(name: str) -> Callable[..., None]:
    """Return what works a calculation out and prints it; it is loaded when it is called."""

    def does(**values: object) -> None:
        from sim.text.reports.calc_report import CALCULATIONS

        CALCULATIONS[name](**values)

    return does


def _calculation(name: str, about: Message, *parameters: Parameter) -> Command:
    return Command(name, about, _calculates(name), (*parameters, JSON))


def _option(name: str, about: Message, takes: ValueKind, default: object = REQUIRED) -> Parameter:
    return Parameter(name, about, takes, (f"--{name}",), default)


_MITRE: Final = _option("mitre", plain("cli.calc.time.mitre", "Mitre, degrees."), real(0, 60), 0.0)


_TEETH: Final = _option(
    "teeth",
    plain("cli.calc.teeth", "TPI; default: as the set-up card has it."),
    real(1, 32), None,
)  # fmt: skip

SPEED: Final = _calculation(
    "speed", plain("cli.calc.speed", "Band speed for a metal."), _METAL, MACHINE
)
PITCH: Final = _calculation(
    "pitch",
    plain(
        "cli.calc.pitch",
        "Tooth pitch for a section: as the set-up card has it, beside what band charts have.",
    ),
    _SECTION,
    Parameter(
        "metal",
        plain("cli.calc.pitch.metal", "A metal from `drycycle list materials`; default: S275JR."),
        _A_METAL, ("--metal",), "S275JR",
    ),
    MACHINE,
)  # fmt: skip
FEED: Final = _calculation(
    "feed",
    plain("cli.calc.feed", "Feed force for a chip load, and the feed to set on the saw."),
    _METAL,
    _SECTION,
    _TEETH,
    _option("chip", plain("cli.calc.feed.chip", "Chip a tooth, um."), real(0.5, 100), 6.0),
    MACHINE,
)
TIME: Final = _calculation(
    "time",
    plain("cli.calc.time", "Cut time, rate, chip and power of a setting."),
    _METAL,
    _SECTION,
    _option(
        "speed",
        plain("cli.calc.time.speed", "Band speed, m/min; default: as calc speed has it."),
        real(5, 200), None,
    ),
    _TEETH,
    _option("force", plain("cli.calc.time.force", "Feed force, N; default: as calc feed has it."), real(1, 5000), None),
    _option("valve", plain("cli.calc.time.valve", "Feed valve, mm/min; default: as calc feed has it."), real(0.1, 1000), None),
    _MITRE,
    MACHINE,
)  # fmt: skip
MITRE: Final = _calculation(
    "mitre",
    plain("cli.calc.mitre", "Length stop, first cut, long and short point of a mitred piece."),
    _SECTION,
    _option(
        "length", plain("cli.calc.mitre.length", "Edge of the piece, mm: its two edges are alike."),
        real(1, 20000), 300.0,
    ),
    _option("angle", plain("cli.calc.mitre.angle", "Mitre, degrees."), real(0, 60), 45.0),
    MACHINE,
)  # fmt: skip
BOW: Final = _calculation(
    "bow",
    plain("cli.calc.bow", "What a bar that is bowed to one side makes of faces and edges."),
    _METAL,
    _SECTION,
    _option("rise", plain("cli.calc.bow.rise", "Rise of the bow in any metre, mm."), real(0, 20), 3.0),
    _option("length", plain("cli.calc.bow.length", "Length of a piece, mm."), real(1, 20000), 300.0),
    _option(
        "pressure",
        plain("cli.calc.bow.pressure", "Clamping pressure, bar; default: as the set-up card has it."),
        real(1, 500), None,
    ),
    MACHINE,
)  # fmt: skip
CLAMPING: Final = _calculation(
    "clamping",
    plain(
        "cli.calc.clamping", "Clamping pressure: the least that holds, the most that does not dent."
    ),
    _METAL,
    _SECTION,
    _option(
        "force",
        plain(
            "cli.calc.clamping.force",
            "Cutting force, N; default: the feed force that calc feed has.",
        ),
        real(1, 5000),
        None,
    ),
    _MITRE,
    MACHINE,
)
WANDER: Final = _calculation(
    "wander",
    plain("cli.calc.wander", "How far a side force pushes the band out of the cut."),
    _option(
        "span",
        plain("cli.calc.wander.span", "Between the guides, mm; default: as the saw was left."),
        real(10, 2000), None,
    ),
    _option("side", plain("cli.calc.wander.side", "Side force, N."), real(0, 5000), 20.0),
    _option(
        "tension",
        plain("cli.calc.wander.tension", "Band tension, MPa; default: as the saw was left."),
        real(1, 600), None,
    ),
    MACHINE,
)  # fmt: skip
TENSION: Final = _calculation(
    "tension",
    plain("cli.calc.tension", "What a band tension means for strand, wheel and slip."),
    _option(
        "mpa",
        plain("cli.calc.tension.mpa", "Band tension, MPa; default: as the saw was left."),
        real(1, 600), None,
    ),
    _option(
        "wheel",
        plain("cli.calc.tension.wheel", "Wheel diameter, mm; default: the saw's."),
        real(100, 3000), None,
    ),
    MACHINE,
)  # fmt: skip
BARS: Final = _calculation(
    "bars",
    plain(
        "cli.calc.bars",
        "How to cut an order from bars: the fewest bars, and how far first fit is from it.",
    ),
    Parameter(
        "piece",
        plain("cli.calc.bars.piece", "LENGTHxCOUNT, mm; may be given many times."),
        word(_LENGTHS), ("--piece",), REQUIRED, many=True,
    ),
    _option("bar", plain("cli.calc.bars.bar", "Length of a bar, mm."), real(10, 20000), 6000.0),
    _option("kerf", plain("cli.calc.bars.kerf", "Kerf, mm; default: the saw's."), real(0, 10), None),
    _option("squaring", plain("cli.calc.bars.squaring", "Squared off the front, mm."), real(0, 500), 0.0),
    _option("remnant", plain("cli.calc.bars.remnant", "Least rest in the vise, mm; default: what the saw's shuttle cannot fetch."), real(0, 2000), None),
    MACHINE,
)  # fmt: skip
OVERLOAD: Final = _calculation(
    "overload",
    plain("cli.calc.overload", "When the overload relay trips."),
    _option("current", plain("cli.calc.overload.current", "Current by the setting."), real(0.1, 20), 1.5),
    _option("before", plain("cli.calc.overload.before", "Current before, by the setting."), real(0, 1.1), 1.0),
)  # fmt: skip
COOLANT: Final = _calculation(
    "coolant",
    plain("cli.calc.coolant", "Concentration from a reading, and what to pour in."),
    _option("reading", plain("cli.calc.coolant.reading", "Refractometer, %."), real(0, 30)),
    _option("factor", plain("cli.calc.coolant.factor", "The fluid's factor."), real(0.2, 5), 1.0),
    _option("litres", plain("cli.calc.coolant.litres", "In the tank, l."), real(0.1, 10000), 80.0),
    _option(
        "full",
        plain("cli.calc.coolant.full", "A full tank, l; default: the saw's."),
        real(0.1, 10000),
        None,
    ),
    _option("wanted", plain("cli.calc.coolant.wanted", "Wanted, %."), real(0.1, 50), 7.0),
    MACHINE,
)
JOB: Final = _calculation(
    "job",
    plain("cli.calc.job", "Job time by the sum of moves, beside the simulator's own."),
    Parameter(
        "scenario",
        plain("cli.calc.job.scenario", "A scenario; its card is what is timed."),
        word(plain("cli.stands.job", "SCENARIO")), default=REQUIRED,
    ),
    ON_MACHINE,
)  # fmt: skip

CALC: Final = CommandGroup(
    "calc",
    plain(
        "cli.calc",
        "The trade's calculations: speed, pitch, feed, time, mitre, clamping, wander, tension, bars, job ...",
    ),
    (SPEED, PITCH, FEED, TIME, MITRE, BOW, CLAMPING, WANDER, TENSION, BARS, OVERLOAD, COOLANT, JOB),
)
