"""Function tests: one part is tried by hand, and somebody watches it and its valve.

Each works the saw through its keys, takes its time on the machine's clock, and does the harm that
those keys would do. Three things are watched: whether the part moves, whether the lamp on the coil is
lit, and whether the lamp on the switch follows.
"""

from collections.abc import Callable
from typing import Final

from sim.plant.safety_relay import CHANNELS, STOPS
from sim.saw import Saw
from sim.session.inspections.hands import TryingHands, refusal
from sim.session.inspections.inspection import (
    Inspection,
    Kind,
    Show,
    busy,
    isolator_on,
    ready_for_hand,
    way,
)
from sim.signals import BY_TAG
from sim.units import MM, US
from sim.words.fields import bar, count, m_min, name, one_of, part, parts
from sim.words.message import NOTHING, Message, named, plain, row, sentences

Test = Callable[[TryingHands], Message]

_STILL_M: Final = 0.2 * MM  # less is no movement that anybody sees
_CLEAR_M: Final = 7.5 * MM  # over the bar, under which nobody lowers the head without a cut
_RAISE_S: Final = 8.0
_LOWERS_S: Final = 3.0
_SEEN_TO_RISE_M: Final = 8.0 * MM
_STARTS_S, _GLANCE_S = 4.0, 0.05  # watched after the start of the band, and how often
_SOON_S: Final = 0.1  # after a key went down, before the head can be at its stop


_LAMP: Final = row(
    "inspection.lamp", "the lamp on {tag} {how}", tag=name(), how=one_of("is lit", "stays dark")
)
_SWITCH: Final = row(
    "inspection.switch",
    "the switch {tag} {how} its lamp",
    tag=name(),
    how=one_of("shows", "does not show"),
)
_ENDS: Final = row(
    "inspection.switch-and-input",
    "{switch}, its input is {how}",
    switch=part(),
    how=one_of("lit", "dark"),
)
_ARRIVED: Final = row(
    "inspection.inputs-lit",
    "{tags} is lit",
    plural="{tags} are lit",
    tags=parts(" and "),
    count=count(),
)
_NONE_ARRIVED: Final = plain("inspection.inputs-none", "none is lit")
_CHANNEL: Final = one_of("goes dark", "stays lit")
_STOPS: Final = row(
    "inspection.try-stops.found",
    "With the emergency stop at the console in, the lamp of channel 1 {s1_1} and that of channel 2 {s1_2}; with "
    "that at the infeed in, the lamp of channel 1 {s9_1} and that of channel 2 {s9_2}. Control is off now.",
    s1_1=_CHANNEL, s1_2=_CHANNEL, s9_1=_CHANNEL, s9_2=_CHANNEL,
)  # fmt: skip
_BAND_TURNS: Final = plain(
    "inspection.try-stops.band-turns", "The band turns. Stop it first, and let it come to rest."
)
_ONE_IS_IN: Final = plain(
    "inspection.try-stops.one-is-in",
    "An emergency stop is in already, and hides what the other does. Turn it out first.",
)
_RAISED: Final = row(
    "inspection.head-raised",
    "The head {went}; {lamp}, and {switch}.",
    went=one_of(
        "goes up to its stop", "crawls up to its stop", "goes up", "crawls up",
        "goes up, and sinks again under the hand", "does not rise",
    ),
    lamp=part(),
    switch=part(),
)  # fmt: skip
_LET_GO: Final = row(
    "inspection.try-raise.let-go",
    "Let go, it {went}.",
    went=one_of("stays", "sinks slowly", "sinks as fast as the feed valve lets it"),
)
_NOT_CLEAR: Final = plain(
    "inspection.head-not-clear",
    "The head does not come clear of the bar, so nothing more was tried.",
)
_NOT_UP: Final = plain(
    "inspection.head-not-up", "The head does not stay up, so nothing more was tried."
)
_LOWERED: Final = row(
    "inspection.try-lower.found",
    "The head {went}; {lamp}.",
    went=one_of("comes down", "does not come down"),
    lamp=part(),
)
_LEG: Final = row(
    "inspection.try-shuttle.found",
    "The shuttle {went} {where}; {lamp}, and {switch}.",
    went=one_of("runs", "stands already", "crawls", "does not move"),
    where=one_of("back to its stop", "forward to the band"),
    lamp=part(),
    switch=part(),
)
_CLAMPED: Final = row(
    "inspection.jaw.clamps", "The jaw clamps, and the gauge shows {pressure}", pressure=bar()
)
_JAW_STILL: Final = plain("inspection.jaw.still", "The jaw does not move")
_JAW_SHORT: Final = plain("inspection.jaw.short", "The jaw runs out and does not reach the bar")
_WENT_BACK: Final = plain("inspection.jaw.back", "It goes back")
_NOT_BACK: Final = plain("inspection.jaw.not-back", "It does not go back")
_STROKE: Final = row(
    "inspection.jaw.found",
    "{went}; {lamp}, and {switch}.",
    went=part(),
    lamp=part(),
    switch=part(),
)
_STANDS: Final = row(
    "inspection.band-stands",
    "The motor {sound} and the band stands; {lamp}.",
    sound=one_of("hums", "is silent"),
    lamp=part(),
)
_RAN_DOWN: Final = row(
    "inspection.band-ran-down",
    "The band begins to turn, and {lamp}; then its motor is off again, and the band {now}.",
    lamp=part(), now=one_of("stands now", "turns still"),
)  # fmt: skip
_CONTROL_WENT: Final = plain(
    "inspection.control-went", "While it was tried, control power dropped out."
)
_BAND_RUNS: Final = row(
    "inspection.try-band.found",
    "The band runs at {speed}, the dial at {dial}; {turning}, and {at_speed}; of their input lamps "
    "{arrived}.",
    speed=m_min(1),
    dial=m_min(1),
    turning=part(),
    at_speed=part(),
    arrived=part(),
)
_FASTER: Final = row(
    "inspection.try-speed.found",
    "The band {went}; {lamp}.",
    went=one_of("gets faster", "keeps its speed"),
    lamp=part(),
)
_COOLANT: Final = row(
    "inspection.try-coolant.found",
    "{flow}, and its pump is {pump}; {lamp}.",
    flow=one_of("No coolant runs", "Coolant dribbles", "Coolant runs freely"),
    pump=one_of("heard", "silent"),
    lamp=part(),
)
_KEYS: Final = row(
    "inspection.try-keys.found",
    "The input lamp of the trip line is {line} at rest; under the hand that of the left palm key {left}, "
    "and that of the right palm key {right}.",
    line=one_of("lit", "dark"),
    left=one_of("lights", "stays dark"),
    right=one_of("lights", "stays dark"),
)
_HARM: Final = row("inspection.harm", "{title}.", title=part())


def _lamp(hands: TryingHands, tag: str) -> Message:
    return _LAMP(tag=tag, how="is lit" if _current(hands, tag) else "stays dark")


def _current(hands: TryingHands, tag: str) -> bool:
    return hands.saw.bus.seen[tag] and hands.saw.plant.power.coil_fed(tag)


def _switch(hands: TryingHands, tag: str) -> Message:
    return _SWITCH(tag=tag, how="shows" if hands.saw.bus.driven(tag) else "does not show")


def _followed(hands: TryingHands, tag: str) -> Message:
    """Return both ends of the wire from a switch that closes only while a part passes it."""
    return _ENDS(switch=_switch(hands, tag), how="lit" if hands.saw.bus.seen[tag] else "dark")


def _arrived(hands: TryingHands, tags: tuple[str, ...]) -> Message:
    lit = tuple(named(tag) for tag in tags if hands.saw.bus.seen[tag])
    return _ARRIVED(tags=lit, count=len(lit)) if lit else _NONE_ARRIVED


def _head_m(hands: TryingHands) -> float:
    return hands.saw.plant.head.place.position


def _raised(hands: TryingHands) -> Message:
    """Raise the head as far as it goes; return how it went."""
    saw = hands.saw
    head = saw.plant.head
    from_m, seen, rate_m_s = _head_m(hands), NOTHING, 0.0

    def watch() -> None:
        nonlocal seen, rate_m_s
        seen = _lamp(hands, "Y11")
        rate_m_s = head.place.rate

    hands.to_manual()
    against = refusal(hands.hold("head.raise", _RAISE_S, watch, _SOON_S))
    if against:
        return against
    slow = 0.0 < rate_m_s < 0.5 * saw.plant.site.machine.lift_m_s
    if _head_m(hands) >= head.stop_m - _STILL_M:
        went = "crawls up to its stop" if slow else "goes up to its stop"
    elif _head_m(hands) > from_m + _STILL_M:
        went = "crawls up" if slow else "goes up"
    else:
        went = "goes up, and sinks again under the hand" if rate_m_s > 0.0 else "does not rise"
    return _RAISED(went=went, lamp=seen, switch=_switch(hands, "B11"))


def _sinks(hands: TryingHands, seconds: float) -> float:
    """Return how far the head sinks by itself in a time, m."""
    before_m = _head_m(hands)
    hands.wait(seconds)
    return before_m - _head_m(hands)


def _raise(hands: TryingHands) -> Message:
    head = hands.saw.plant.head
    if _head_m(hands) >= head.stop_m - _STILL_M:
        _let_down_a_little(hands)  # or nobody would see it rise
    raised = _raised(hands)
    sunk_m = _sinks(hands, 4.0)
    if sunk_m < _STILL_M:
        return sentences(raised, _LET_GO(went="stays"))
    slowly = sunk_m < 0.5 * 4.0 * head.valve_m_s
    went = "sinks slowly" if slowly else "sinks as fast as the feed valve lets it"
    return sentences(raised, _LET_GO(went=went))


def _let_down_a_little(hands: TryingHands) -> None:
    """Lower a head that stands at its stop by so much that it is seen to rise again."""
    bar_m, from_m, step_s = hands.saw.plant.bar.height_m, _head_m(hands), 0.1
    if from_m - bar_m < _CLEAR_M:
        return  # the band at rest would be pressed on to the bar
    hands.to_manual()
    hands.saw.press("head.lower")
    for _ in range(round(_LOWERS_S / step_s)):
        if from_m - _head_m(hands) >= _SEEN_TO_RISE_M or _head_m(hands) - bar_m < _CLEAR_M:
            break
        hands.wait(step_s)
    hands.saw.release("head.lower")


def _not_clear(hands: TryingHands) -> Message:
    """Bring the band clear of the bar; return why it is not."""
    _raised(hands)
    plant = hands.saw.plant
    if _head_m(hands) - plant.bar.height_m < _CLEAR_M:
        return _NOT_CLEAR
    sunk_m = _sinks(hands, 2.0)
    return _NOT_UP if sunk_m > _STILL_M else NOTHING


def _lower(hands: TryingHands) -> Message:
    against = _not_clear(hands)
    if against:
        return against
    from_m, seen = _head_m(hands), NOTHING

    def watch() -> None:
        nonlocal seen
        seen = _lamp(hands, "Y12")

    against = refusal(hands.hold("head.lower", 1.6, watch))
    if against:
        return against
    moved = from_m - _head_m(hands) > _STILL_M
    lowered = _LOWERED(went="comes down" if moved else "does not come down", lamp=seen)
    _raised(hands)
    return lowered


def _shuttle(hands: TryingHands) -> Message:
    _raised(hands)  # the shuttle is not sent forward under a band that is down
    shuttle = hands.saw.plant.shuttle
    legs = []
    for key, tag, switch, goal_m, where in (
        ("shuttle.back", "Y22", "B21", shuttle.stop_m, "back to its stop"),
        ("shuttle.forward", "Y21", "B22", 0.0, "forward to the band"),
    ):
        from_m, seen = shuttle.place.position, NOTHING

        def watch(tag: str = tag) -> None:
            nonlocal seen
            seen = _lamp(hands, tag)

        against = refusal(hands.hold(key, 5.0, watch))
        if against:
            legs.append(against)
            continue
        here_m = shuttle.place.position
        if abs(here_m - goal_m) < _STILL_M:
            went = "runs" if abs(from_m - goal_m) > _STILL_M else "stands already"
        else:
            went = "crawls" if abs(here_m - from_m) > _STILL_M else "does not move"
        legs.append(_LEG(went=went, where=where, lamp=seen, switch=_followed(hands, switch)))
    return sentences(*legs)


def _vise(place: str, coils: tuple[str, str], switches: tuple[str, str]) -> Test:
    def test(hands: TryingHands) -> Message:
        plant = hands.saw.plant
        vise = plant.vise(place)
        hands.to_manual()
        against = refusal(hands.saw.press(f"{place}.clamp"))
        if against:
            hands.saw.release(f"{place}.clamp")
            return against
        hands.wait(0.1)
        seen = _lamp(hands, coils[0])
        hands.wait(2.9)
        if vise.clamped:
            went = _CLAMPED(pressure=vise.pressure_pa)
        else:
            went = _JAW_STILL if vise.back else _JAW_SHORT
        out = _STROKE(went=went, lamp=seen, switch=_followed(hands, switches[0]))
        hands.saw.release(f"{place}.clamp")
        refused = refusal(hands.saw.press(f"{place}.release"))
        hands.wait(0.1)
        seen = _lamp(hands, coils[1])
        hands.wait(2.9)
        went = refused or (_WENT_BACK if vise.back else _NOT_BACK)
        back = _STROKE(went=went, lamp=seen, switch=_followed(hands, switches[1]))
        hands.saw.release(f"{place}.release")
        return sentences(out, back)

    return test


def _started(hands: TryingHands) -> Message:
    """Run the band; return why it does not run."""
    against = _not_clear(hands)
    if against:
        return against
    against = refusal(hands.start("band.run"))
    if against:
        return against
    band, moved, at_first = hands.saw.plant.band, False, _lamp(hands, "Q1")
    for _ in range(round(_STARTS_S / _GLANCE_S)):
        hands.wait(_GLANCE_S)
        moved |= band.moves
    if band.turning and _has_control(hands.saw):
        return NOTHING
    if moved:
        stands = _RAN_DOWN(lamp=at_first, now="turns still" if band.moves else "stands now")
    else:
        stands = _STANDS(sound="hums" if band.contactor else "is silent", lamp=_lamp(hands, "Q1"))
    hands.tap("band.stop")
    return stands


def _has_control(saw: Saw) -> bool:
    return bool(saw.controller.image["supply"] == "ON")


def _stopped(hands: TryingHands) -> None:
    hands.tap("band.stop")
    hands.wait(4.0)


def _band(hands: TryingHands) -> Message:
    against = _started(hands)
    if against:
        return against
    band = hands.saw.plant.band
    runs = _BAND_RUNS(
        speed=band.speed_m_s,
        dial=band.dial.position,
        turning=_switch(hands, "B1"),
        at_speed=_switch(hands, "B2"),
        arrived=_arrived(hands, ("B1", "B2")),
    )
    _stopped(hands)
    return runs


def _speed(hands: TryingHands) -> Message:
    against = _started(hands)
    if against:
        return against
    dial = hands.saw.plant.band.dial
    from_m_s, seen = dial.position, NOTHING

    def watch() -> None:
        nonlocal seen
        seen = _lamp(hands, "M2")

    hands.hold("band.faster", 2.0, watch)
    went = "gets faster" if dial.position > from_m_s else "keeps its speed"
    hands.hold("band.slower", 2.0, lambda: None)
    _stopped(hands)
    return _FASTER(went=went, lamp=seen)


def _coolant(hands: TryingHands) -> Message:
    chosen = str(hands.saw.controller.image["coolant_choice"]).lower()
    against = refusal(hands.tap("coolant.on"))
    if against:
        return against
    hands.wait(4.0)
    coolant = hands.saw.plant.coolant
    if not coolant.flowing:
        flow = "No coolant runs"
    else:
        flow = "Coolant dribbles" if coolant.loses else "Coolant runs freely"
    pump = "heard" if coolant.pump else "silent"
    found = _COOLANT(flow=flow, pump=pump, lamp=_lamp(hands, "Q3"))
    hands.tap(f"coolant.{chosen}")
    return found


def _keys(hands: TryingHands) -> Message:
    bus = hands.saw.bus
    line = "lit" if bus.seen["S2"] else "dark"
    lights = {}
    for key, tag in (("palm.left", "S3"), ("palm.right", "S4")):
        hands.saw.press(key)
        lights[key] = "lights" if bus.seen[tag] else "stays dark"
        hands.saw.release(key)
    return _KEYS(line=line, left=lights["palm.left"], right=lights["palm.right"])


def _stops_can_be_tried(saw: Saw) -> Message:
    """Return why no emergency stop can be tried for its channels; nothing when each can."""
    if against := isolator_on(saw) or busy(saw):
        return against
    if saw.plant.band.turning:
        return _BAND_TURNS
    return NOTHING if all(saw.bus.driven(tag) for tag in STOPS) else _ONE_IS_IN


def _stops(hands: TryingHands) -> Message:
    """Press each stop in, read both channels while it is in, and let it out again."""
    power = hands.saw.plant.power
    lamps = {}
    for tag in STOPS:
        key = BY_TAG[tag].key
        hands.saw.press(key)
        hands.wait(1.0)
        lamps[tag] = [power.relay.channel_closed(channel, power.out) for channel in CHANNELS]
        hands.saw.release(key)
        hands.wait(1.0)
    (s1_1, s1_2), (s9_1, s9_2) = (
        ["stays lit" if closed else "goes dark" for closed in lamps[tag]] for tag in STOPS
    )
    return _STOPS(s1_1=s1_1, s1_2=s1_2, s9_1=s9_1, s9_2=s9_2)


def _test(
    name: str,
    title: str,
    place: str,
    acts_s: float,
    test: Test,
    needs: Show = ready_for_hand,
    around_s: float = 20.0,
    *,
    puts_off: bool = False,
) -> Inspection:
    """Return a function test that always takes the same time on the machine.

    Args:
        name: Of the row.
        title: What is done.
        place: Part of the saw.
        acts_s: How long it works the saw, s.
        test: Does it, and returns what was seen.
        needs: Why the saw is not fit for it, or nothing.
        around_s: What it takes besides, s.
        puts_off: Whether it switches control off itself.
    """

    def show(saw: Saw) -> Message:
        end_us = saw.clock.now_us + round(acts_s * US)
        harm, had_control = len(saw.consequences), _has_control(saw)
        found = test(TryingHands(saw))
        went = had_control and not _has_control(saw) and not puts_off
        saw.advance_to(max(end_us, saw.clock.now_us))
        told = dict.fromkeys(c.row for c in saw.consequences[harm:])
        dropped = (_CONTROL_WENT,) if went else ()
        return sentences(found, *dropped, *(_HARM(title=kind.title) for kind in told))

    return way(
        name, title, place, acts_s + around_s, show, kind=Kind.TEST, needs=needs, acts_s=acts_s
    )


FUNCTION_TESTS: Final = (
    _test("try-raise", "Raise the head by hand, and watch whether it stays", "head", 16, _raise),
    _test("try-lower", "Lower the head a little by hand", "head", 22, _lower),
    _test("try-shuttle", "Raise the head, and send the shuttle back to its stop and forward by hand", "shuttle", 20, _shuttle),
    _test(
        "try-cutting-vise", "Clamp and release the cutting vise by hand", "cutting_vise", 8,
        _vise("cutting_vise", ("Y31", "Y33"), ("B33", "B31")),
    ),
    _test(
        "try-shuttle-vise", "Clamp and release the shuttle vise by hand", "shuttle_vise", 8,
        _vise("shuttle_vise", ("Y32", "Y34"), ("B34", "B32")),
    ),
    _test("try-band", "Raise the head, and run the band by hand", "band", 22, _band),
    _test("try-speed", "Run the band by hand, and ask for more speed", "band", 26, _speed),
    _test("try-coolant", "Run the coolant by hand", "coolant", 6, _coolant),
    _test("try-keys", "Press the palm keys, and watch the input lamps", "supply", 2, _keys, isolator_on),
    _test(
        "try-stops", "Press each emergency stop, and read the channel lamps of the safety relay", "supply", 4, _stops,
        _stops_can_be_tried, around_s=90.0, puts_off=True,
    ),
)  # fmt: skip
