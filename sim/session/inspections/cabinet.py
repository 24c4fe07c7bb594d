"""Lamps and meter: what the controller sees and drives, and what is at the other end of each wire.

The lamp on a switch shows what the switch sends, the input lamp in the cabinet what arrives. The
output lamp shows what the controller sends, the lamp on a coil what arrives. So a broken wire is the
one whose two lamps differ.
"""

from collections.abc import Iterable, Mapping
from typing import Final

from sim.control.lamps import lit
from sim.plant.power import MAIN
from sim.plant.safety_relay import CHANNELS
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, control_power, isolator_on, way
from sim.signals import BY_TAG, INPUTS, OUTPUTS
from sim.words.fields import name, one_of, part, parts
from sim.words.message import Message, named, plain, row

METER_S: Final = 45.0

_NONE: Final = plain("inspection.lamps.none", "none")
_IN_LIT: Final = row(
    "inspection.input-lamps.lit", "These inputs are lit: {tags}.", tags=parts(", ")
)
_OUT_LIT: Final = row(
    "inspection.output-lamps.lit", "These outputs are lit: {tags}.", tags=parts(", ")
)
_DESK_LIT: Final = row(
    "inspection.console-lamps.lit", "These lamps are lit: {lamps}.", lamps=parts(", ")
)
_SHOWN: Final = row(
    "inspection.switches.shown", "These switches show their lamp: {tags}.", tags=parts(", ")
)
_METER: Final = row("inspection.meter.title", "Meter {tag}", tag=name())
_METERED: Final = row(
    "inspection.meter.found",
    "{tag} is {state}; live means that {meaning}.",
    tag=name(),
    state=one_of("live", "dead"),
    meaning=part(),
)

_ON_OFF: Final = one_of("lit", "dark")
_RELAY: Final = row(
    "inspection.safety-relay.found",
    "On the safety relay the lamp of channel 1 is {one}, that of channel 2 {two}, that of the feedback "
    "loop {loop}, and that of its outputs {out}; the lamp for channels that differ {differ}.",
    one=_ON_OFF, two=_ON_OFF, loop=_ON_OFF, out=_ON_OFF, differ=one_of("flashes", "is dark"),
)  # fmt: skip
_FLAG: Final = one_of("in", "out")
_CONTACTORS: Final = row(
    "inspection.main-contactors.found",
    "By their flags Q11 is {q11} and Q12 is {q12}.", q11=_FLAG, q12=_FLAG,
)  # fmt: skip
_LOADED: Final = row(
    "inspection.meter-loaded.found",
    "Behind the isolator the meter shows 400 V {phases}; with a test load the mains voltage {mains}, and the "
    "24 V {control}.",
    phases=one_of("on all three phases", "between two phases only"),
    mains=one_of("holds", "falls by a fifth"),
    control=one_of("holds", "falls to 17 V"),
)
_NOT_DEAD: Final = plain(
    "inspection.meter-earth.live",
    "An insulation tester goes on dead wires only, and the isolator is on.",
)
_EARTH: Final = row(
    "inspection.meter-earth.found",
    "Of the wires to the coils these have a path to earth: {tag}; the common wire of the valves is {common}.",
    tag=part(), common=one_of("open", "joined to 0 V"),
)  # fmt: skip


def _tags(tags: Iterable[str]) -> tuple[Message, ...]:
    return tuple(named(tag) for tag in tags) or (_NONE,)


def _lit(levels: Mapping[str, bool]) -> tuple[Message, ...]:
    return _tags(tag for tag, live in levels.items() if live)


def _inputs(saw: Saw) -> Mapping[str, bool]:
    return {tag: saw.bus.seen[tag] for tag in INPUTS}


def _outputs(saw: Saw) -> Mapping[str, bool]:
    return {tag: saw.bus.driven(tag) for tag in OUTPUTS}


def _console(saw: Saw) -> Message:
    return _DESK_LIT(
        lamps=tuple(lamp.word for lamp in lit(saw.controller.image, saw.controller.rows))
        or (_NONE,)
    )


def _switches(name: str, title: str, place: str, *tags: str) -> Inspection:
    def levels(saw: Saw) -> Mapping[str, bool]:
        hood = saw.plant.site.machine.infeed_hood  # without one no switch sits there, and no lamp
        return {tag: saw.bus.driven(tag) for tag in tags if tag != "B43" or hood}

    def show(saw: Saw) -> Message:
        return _SHOWN(tags=_lit(levels(saw)))

    return way(name, title, place, 20, show, needs=isolator_on, wires=levels)


def _relay(saw: Saw) -> Message:
    power = saw.plant.power
    one, two = (power.relay.channel_closed(channel, power.out) for channel in CHANNELS)
    return _RELAY(
        one="lit" if one else "dark",
        two="lit" if two else "dark",
        loop="lit" if power.loop else "dark",
        differ="flashes" if power.relay.disagreed else "is dark",
        out="lit" if power.relay.closed else "dark",
    )


def _contactors(saw: Saw) -> Message:
    q11, q12 = ("in" if saw.plant.power.pulled_in(tag) else "out" for tag in MAIN)
    return _CONTACTORS(q11=q11, q12=q12)


def _loaded(saw: Saw) -> Message:
    power = saw.plant.power
    return _LOADED(
        phases="on all three phases" if not power.phase_lost else "between two phases only",
        mains="holds" if not power.weak_mains else "falls by a fifth",
        control="holds" if not power.weak_24 else "falls to 17 V",
    )


def _to_earth(saw: Saw) -> Message:
    power = saw.plant.power
    if not power.isolated:
        return _NOT_DEAD
    earthed = named(power.grounded) if power.grounded else _NONE
    return _EARTH(tag=earthed, common="open" if power.no_return else "joined to 0 V")


CABINET_LOOKS: Final[tuple[Inspection, ...]] = (
    way("console-lamps", "Read the lamps of the console", "supply", 10, _console, needs=control_power),
    way("input-lamps", "Read the input lamps through the window of the cabinet", "supply", 60,
        lambda saw: _IN_LIT(tags=_lit(_inputs(saw))), needs=isolator_on, wires=_inputs),
    way("safety-relay", "Read the lamps of the safety relay in the cabinet", "supply", 40, _relay, needs=isolator_on),
    way("main-contactors", "Look at the flags of the main contactors in the cabinet", "supply", 30, _contactors),
    way("meter-loaded", "Meter mains and 24 V under a test load", "supply", 120, _loaded, kind=Kind.GAUGE, needs=isolator_on),
    way("meter-earth", "Test the wires of the coils against earth and 0 V", "supply", 180, _to_earth, kind=Kind.GAUGE),
    way("output-lamps", "Read the output lamps through the window of the cabinet", "supply", 60,
        lambda saw: _OUT_LIT(tags=_lit(_outputs(saw))), needs=isolator_on, wires=_outputs),
    _switches("head-switches", "Read the lamps on the switches of the head", "head", "B11", "B12"),
    _switches(
        "shuttle-switches", "Read the lamps on the switches of the shuttle and on the bar sensor", "shuttle",
        "B21", "B22", "B43", "B53",
    ),
    _switches(
        "vise-switches", "Read the lamps on the switches of the vises", "cutting_vise",
        "B31", "B32", "B33", "B34",
    ),
    _switches(
        "band-switches", "Read the lamps on the switches of the band and its covers", "band",
        "B1", "B2", "B41", "B42", "B51", "B52",
    ),
    _switches(
        "tank-switches", "Read the lamps on the switches of air, oil and coolant", "supply",
        "B61", "B62", "B63",
    ),
)  # fmt: skip


def meter(tag: str) -> Inspection:
    """Return the inspection that puts a meter on one wire, where it arrives."""
    meaning = BY_TAG[tag].text

    def levels(saw: Saw) -> Mapping[str, bool]:
        return {tag: saw.bus.seen[tag] and not isolator_on(saw)}

    def show(saw: Saw) -> Message:
        state = "live" if levels(saw)[tag] else "dead"
        return _METERED(tag=tag, state=state, meaning=meaning)

    return Inspection(
        f"meter {tag}", _METER(tag=tag), "supply", METER_S, show, kind=Kind.METER, wires=levels
    )
