"""`drycycle calc ...`: one command for each calculation of the trade.

Heavy modules are imported inside.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from sim.calc.calculators import Answer
    from sim.plant.machine import Machine
    from sim.trade.materials import Material

app = typer.Typer(
    help="The trade's calculations: speed, pitch, feed, time, grip, wander, tension, bars, job ...",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
Metal = Annotated[str, typer.Argument(help="A metal from `drycycle list materials`.")]
SectionWord = Annotated[
    str, typer.Argument(help="Like round:60, square-tube:50x4, 3*round:20; mm.")
]

Teeth = Annotated[
    float | None,
    typer.Option(min=1, max=32, help="Teeth an inch; default: as calc pitch has it."),
]


def _material(name: str) -> "Material":
    from sim.errors import CommandError
    from sim.scenario.nearest import nearest
    from sim.session.opening import materials

    known = materials()
    if name not in known:
        raise CommandError(f"there is no metal {name!r}", "calc", nearest(name, known))
    return known[name]


def _machine() -> "Machine":
    from sim.plant.machine import Machine

    return Machine()


def _show(title: str, answers: "Sequence[Answer]", *, as_json: bool) -> None:
    from dataclasses import asdict

    from sim.calc.calculators import WARNING
    from sim.text.reports.run_report import print_json
    from sim.text.tables import print_table

    if as_json:
        print_json([asdict(answer) for answer in answers])
        return
    rows = [(a.quantity, a.value, a.unit, a.how) for a in answers if a.quantity != WARNING]
    print_table(title, ("quantity", "value", "unit", "how"), rows)
    for each in answers:
        if each.quantity == WARNING:
            typer.echo(f"Warning: {each.value}")


@app.command()
def speed(metal: Metal, as_json: Json = False) -> None:
    """Band speed for a metal."""
    from sim.calc import calculators

    _show(metal, calculators.speed(_material(metal), _machine()), as_json=as_json)


@app.command()
def pitch(section: SectionWord, as_json: Json = False) -> None:
    """Tooth pitch for a section: three teeth at least in every wall."""
    from sim.calc import calculators
    from sim.scenario.section_words import section_from

    _show(section, calculators.pitch(section_from(section)), as_json=as_json)


@app.command()
def feed(
    metal: Metal,
    section: SectionWord,
    teeth: Teeth = None,
    chip: Annotated[float, typer.Option(min=0.5, max=100, help="Chip a tooth, um.")] = 6,
    as_json: Json = False,
) -> None:
    """Feed force for a chip load."""
    from sim.calc import calculators
    from sim.scenario.section_words import section_from

    bar = section_from(section)
    per_inch = teeth if teeth is not None else calculators.teeth_per_inch(bar)
    answers = calculators.feed(_material(metal), bar, _machine(), per_inch, chip)
    _show(f"{metal} {section}", answers, as_json=as_json)


@app.command()
def time(
    metal: Metal,
    section: SectionWord,
    speed: Annotated[
        float | None,
        typer.Option(min=5, max=200, help="Band speed, m/min; default: as calc speed has it."),
    ] = None,
    teeth: Teeth = None,
    force: Annotated[float, typer.Option(min=1, max=5000, help="Feed force, N.")] = 250,
    valve: Annotated[float, typer.Option(min=0.1, max=1000, help="Feed valve, mm/min.")] = 60,
    mitre: Annotated[float, typer.Option(min=0, max=60, help="Mitre, degrees.")] = 0,
    as_json: Json = False,
) -> None:
    """Cut time, rate, chip and power of a setting."""
    from sim.calc import calculators
    from sim.scenario.section_words import section_from

    bar, material, machine = section_from(section), _material(metal), _machine()
    setting = calculators.CutSetting(
        speed if speed is not None else calculators.speed_m_min(material, machine),
        teeth if teeth is not None else calculators.teeth_per_inch(bar),
        force, valve, mitre,
    )  # fmt: skip
    answers = calculators.time(material, bar, machine, setting)
    with_it = f"{setting.speed_m_min:g} m/min, {setting.teeth_per_inch:g} teeth an inch"
    _show(f"{metal} {section} at {with_it}", answers, as_json=as_json)


@app.command()
def grip(
    metal: Metal,
    section: SectionWord,
    force: Annotated[float, typer.Option(min=1, max=5000, help="Cutting force, N.")] = 250,
    as_json: Json = False,
) -> None:
    """Grip pressure: the least that holds, the most that does not dent."""
    from sim.calc import calculators
    from sim.scenario.section_words import section_from

    answers = calculators.hold(_material(metal), section_from(section), _machine(), force)
    _show(f"{metal} {section}", answers, as_json=as_json)


@app.command()
def wander(
    span: Annotated[float, typer.Option(min=10, max=2000, help="Between the guides, mm.")] = 150,
    side: Annotated[float, typer.Option(min=0, max=5000, help="Side force, N.")] = 20,
    tension: Annotated[float, typer.Option(min=1, max=600, help="Band tension, MPa.")] = 200,
    as_json: Json = False,
) -> None:
    """How far a side force pushes the band out of the cut."""
    from sim.calc import calculators

    _show("Band wander", calculators.wander(_machine(), span, side, tension), as_json=as_json)


@app.command()
def tension(
    mpa: Annotated[float, typer.Option(min=1, max=600, help="Band tension, MPa.")] = 200,
    wheel: Annotated[float, typer.Option(min=100, max=3000, help="Wheel diameter, mm.")] = 400,
    as_json: Json = False,
) -> None:
    """What a band tension means for strand, wheel and slip."""
    from sim.calc import calculators

    _show("Band tension", calculators.tension(_machine(), mpa, wheel), as_json=as_json)


@app.command()
def bars(
    piece: Annotated[list[str], typer.Option(help="LENGTHxCOUNT, mm; may be given many times.")],
    bar: Annotated[float, typer.Option(min=10, max=20000, help="Length of a bar, mm.")] = 6000,
    kerf: Annotated[float, typer.Option(min=0, max=10, help="Kerf, mm.")] = 1.5,
    trim: Annotated[float, typer.Option(min=0, max=500, help="Trim off the front, mm.")] = 0,
    remnant: Annotated[
        float, typer.Option(min=0, max=2000, help="Least rest in the vise, mm.")
    ] = 0,
    as_json: Json = False,
) -> None:
    """How to cut an order from bars: the fewest bars, and how far first fit is from it."""
    from sim.text.reports.cut_list_report import print_cut_list

    print_cut_list(piece, (bar, kerf, trim, remnant), as_json=as_json)


@app.command()
def overload(
    current: Annotated[float, typer.Option(min=0.1, max=20, help="Current by the setting.")] = 1.5,
    before: Annotated[
        float, typer.Option(min=0, max=1.1, help="Current before, by the setting.")
    ] = 1,
    as_json: Json = False,
) -> None:
    """When the overload relay trips."""
    from sim.calc import calculators

    _show("Overload relay", calculators.overload(current, before), as_json=as_json)


@app.command()
def coolant(
    reading: Annotated[float, typer.Option(min=0, max=30, help="Refractometer, %.")],
    factor: Annotated[float, typer.Option(min=0.2, max=5, help="The fluid's factor.")] = 1,
    litres: Annotated[float, typer.Option(min=0.1, max=10000, help="In the tank, l.")] = 80,
    full: Annotated[float, typer.Option(min=0.1, max=10000, help="A full tank, l.")] = 100,
    wanted: Annotated[float, typer.Option(min=0.1, max=50, help="Wanted, %.")] = 7,
    as_json: Json = False,
) -> None:
    """Concentration from a reading, and what to pour in."""
    from sim.calc import calculators
    from sim.errors import CommandError

    if litres > full:
        raise CommandError("the tank holds more than a full one", "--litres", "give at most --full")
    answers = calculators.mix(reading, factor, litres, full, wanted)
    _show("Coolant", answers, as_json=as_json)


@app.command()
def job(
    scenario: Annotated[str, typer.Argument(help="A scenario; its card is what is timed.")],
    as_json: Json = False,
) -> None:
    """Job time by the sum of moves, beside the simulator's own."""
    from sim.calc.job_estimate import job_answers

    _show(scenario, job_answers(scenario), as_json=as_json)
