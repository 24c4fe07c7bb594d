"""Function tests: one station is tried by hand, and somebody watches it and its valve.

Each works the saw through its keys, takes its time on the machine's clock, and does harm if the
machine is in a state to come to harm. What is worth watching: whether the thing moves, whether the
lamp on the coil is lit, and whether the lamp on the switch follows.
"""

from collections.abc import Callable
from typing import Final

from sim.saw import Saw
from sim.session.inspections.hands import Hands, refusal
from sim.session.inspections.inspection import Inspection, Kind, isolator_on, ready_for_hand
from sim.units import BAR, MM, US

_STILL_M: Final = 0.2 * MM  # less is no movement that anybody sees
_CLEAR_M: Final = 7.5 * MM  # over the bar, under which nobody lowers the head without a cut
_LIFT_S: Final = 8.0
_SOON_S: Final = 0.1  # after a key went down, before the head can be at its stop


def _lamp(hands: Hands, tag: str) -> str:
    return f"the lamp on {tag} {'is lit' if hands.saw.bus.seen[tag] else 'stays dark'}"


def _switch(hands: Hands, tag: str) -> str:
    return f"the switch {tag} {'shows' if hands.saw.bus.driven(tag) else 'does not show'} its lamp"


def _followed(hands: Hands, tag: str) -> str:
    """Return both ends of the wire from a switch that only shows itself in passing."""
    return f"{_switch(hands, tag)}, its input is {'lit' if hands.saw.bus.seen[tag] else 'dark'}"


def _arrived(hands: Hands, tags: tuple[str, ...]) -> str:
    lit = [tag for tag in tags if hands.saw.bus.seen[tag]]
    return f"{' and '.join(lit)} {'is' if len(lit) == 1 else 'are'} lit" if lit else "none is lit"


def _head_m(hands: Hands) -> float:
    return hands.saw.plant.head.place.position


def _lifted(hands: Hands) -> str:
    """Lift the head as far as it goes; return how it went."""
    saw = hands.saw
    head = saw.plant.head
    from_m, seen, rate_m_s = _head_m(hands), "", 0.0

    def watch() -> None:
        nonlocal seen, rate_m_s
        seen = _lamp(hands, "Y11")
        rate_m_s = head.place.rate

    hands.to_hand("head")
    against = refusal(hands.hold("head.lift", _LIFT_S, watch, _SOON_S))
    if against:
        return against
    slow = 0.0 < rate_m_s < 0.5 * saw.plant.site.machine.lift_m_s
    rises = "crawls up" if slow else "goes up"
    if _head_m(hands) >= head.stop_m - _STILL_M:
        went = f"The head {rises} to its stop"
    elif _head_m(hands) > from_m + _STILL_M:
        went = f"The head {rises}"
    else:
        sank = "goes up, and sinks again under the hand"
        went = f"The head {sank if rate_m_s > 0.0 else 'does not rise'}"
    return f"{went}; {seen}, and {_switch(hands, 'B11')}."


def _sinks(hands: Hands, seconds: float) -> float:
    """Return how far the head sinks by itself in a time, m."""
    before_m = _head_m(hands)
    hands.wait(seconds)
    return before_m - _head_m(hands)


def _lift(hands: Hands) -> str:
    text = _lifted(hands)
    head = hands.saw.plant.head
    sunk_m = _sinks(hands, 4.0)
    if sunk_m < _STILL_M:
        return f"{text} Let go, it stays."
    slowly = sunk_m < 0.5 * 4.0 * head.valve_m_s
    return f"{text} Let go, it sinks {'slowly' if slowly else 'as fast as the feed valve lets it'}."


def _not_clear(hands: Hands) -> str:
    """Bring the band clear of the bar; return why it is not."""
    _lifted(hands)
    plant = hands.saw.plant
    if _head_m(hands) - plant.bar.height_m < _CLEAR_M:
        return "The head does not come clear of the bar, so nothing more was tried."
    sunk_m = _sinks(hands, 2.0)
    return "The head does not stay up, so nothing more was tried." if sunk_m > _STILL_M else ""


def _lower(hands: Hands) -> str:
    against = _not_clear(hands)
    if against:
        return against
    from_m, seen = _head_m(hands), ""

    def watch() -> None:
        nonlocal seen
        seen = _lamp(hands, "Y12")

    against = refusal(hands.hold("head.lower", 1.6, watch))
    if against:
        return against
    moved = from_m - _head_m(hands) > _STILL_M
    text = f"The head {'comes down' if moved else 'does not come down'}; {seen}."
    _lifted(hands)
    return text


def _shuttle(hands: Hands) -> str:
    shuttle = hands.saw.plant.shuttle
    hands.to_hand("shuttle")
    legs = []
    for key, tag, switch, goal_m, where in (
        ("shuttle.to_stop", "Y22", "B21", shuttle.stop_m, "to its stop"),
        ("shuttle.to_blade", "Y21", "B22", 0.0, "back to the blade"),
    ):
        from_m, seen = shuttle.place.position, ""

        def watch(tag: str = tag) -> None:
            nonlocal seen
            seen = _lamp(hands, tag)

        against = refusal(hands.hold(key, 5.0, watch))
        if against:
            return against
        here_m = shuttle.place.position
        if abs(here_m - goal_m) < _STILL_M:
            went = "runs" if abs(from_m - goal_m) > _STILL_M else "stands already"
        else:
            went = "crawls" if abs(here_m - from_m) > _STILL_M else "does not move"
        legs.append(f"The shuttle {went} {where}; {seen}, and {_followed(hands, switch)}.")
    return " ".join(legs)


def _vise(
    station: str, coils: tuple[str, str], switches: tuple[str, str]
) -> Callable[[Hands], str]:
    def test(hands: Hands) -> str:
        plant = hands.saw.plant
        vise = plant.cutting_vise if station == "cutting_vise" else plant.shuttle_vise
        hands.to_hand(station)
        against = refusal(hands.tap(f"{station}.grip"))
        if against:
            return against
        hands.wait(0.1)
        seen = _lamp(hands, coils[0])
        hands.wait(2.9)
        if vise.gripping:
            went = f"The jaw grips, and the gauge shows {vise.pressure_pa / BAR:.0f} bar"
        else:
            went = (
                "The jaw does not move"
                if vise.back
                else "The jaw runs out and does not reach the bar"
            )
        first = f"{went}; {seen}, and {_followed(hands, switches[0])}."
        refused = refusal(hands.tap(f"{station}.free"))
        hands.wait(0.1)
        seen = _lamp(hands, coils[1])
        hands.wait(2.9)
        went = "It goes back" if vise.back else "It does not go back"
        return f"{first} {refused or went}; {seen}, and {_followed(hands, switches[1])}."

    return test


def _started(hands: Hands) -> str:
    """Start the band; return why it does not run."""
    against = _not_clear(hands)
    if against:
        return against
    hands.to_hand("band")
    against = refusal(hands.start("band.start"))
    if against:
        return against
    hands.wait(4.0)
    if hands.saw.plant.band.turning:
        return ""
    hums = "hums" if hands.saw.plant.band.contactor else "is silent"
    text = f"The motor {hums} and the band stands; {_lamp(hands, 'Q1')}."
    hands.tap("band.stop")
    return text


def _stopped(hands: Hands) -> None:
    hands.tap("band.stop")
    hands.wait(4.0)


def _band(hands: Hands) -> str:
    against = _started(hands)
    if against:
        return against
    band = hands.saw.plant.band
    dial = band.dial.position * 60
    text = f"The band runs at {band.speed_m_s * 60:.1f} m/min, the dial at {dial:.1f} m/min; "
    text += f"{_switch(hands, 'B1')}, and {_switch(hands, 'B2')}; "
    text += f"of their input lamps {_arrived(hands, ('B1', 'B2'))}."
    _stopped(hands)
    return text


def _speed(hands: Hands) -> str:
    against = _started(hands)
    if against:
        return against
    dial = hands.saw.plant.band.dial
    from_m_s, seen = dial.position, ""

    def watch() -> None:
        nonlocal seen
        seen = _lamp(hands, "M2")

    hands.hold("band.faster", 2.0, watch)
    faster = dial.position > from_m_s
    text = f"The band {'gets faster' if faster else 'keeps its speed'}; {seen}."
    hands.hold("band.slower", 2.0, lambda: None)
    _stopped(hands)
    return text


def _coolant(hands: Hands) -> str:
    hands.to_hand("coolant")
    against = refusal(hands.tap("coolant.flow"))
    if against:
        return against
    hands.wait(4.0)
    coolant = hands.saw.plant.coolant
    if not coolant.flowing:
        runs = "No coolant runs"
    else:
        runs = "Coolant dribbles" if coolant.wash == "open" else "Coolant runs freely"
    heard = "its pump is heard" if coolant.pump else "its pump is silent"
    text = f"{runs}, and {heard}; {_lamp(hands, 'Q3')}."
    hands.tap("coolant.dry")
    return text


def _keys(hands: Hands) -> str:
    bus = hands.saw.bus
    stop = "lit" if bus.seen["S2"] else "dark"
    hands.saw.press("supply.two_hand")
    key = "lights" if bus.seen["S3"] else "stays dark"
    hands.saw.release("supply.two_hand")
    return f"The input lamp of the drive stop is {stop} at rest; that of the two-hand key {key} under the hand."


def _test(
    name: str, title: str, place: str, acts_s: float, test: Callable[[Hands], str],
    needs: Callable[[Saw], str] = ready_for_hand,
) -> Inspection:  # fmt: skip
    """Return a function test that always takes the same time on the machine."""

    def show(saw: Saw) -> str:
        end_us = saw.clock.now_us + round(acts_s * US)
        harm = len(saw.consequences)
        text = test(Hands(saw))
        saw.advance_to(max(end_us, saw.clock.now_us))
        told = dict.fromkeys(c.row.title for c in saw.consequences[harm:])
        return f"{text} {' '.join(f'{title}.' for title in told)}".strip()

    return Inspection(
        name, title, place, acts_s + 20, show, kind=Kind.TEST, needs=needs, acts_s=acts_s
    )


FUNCTION_TESTS: Final = (
    _test("try-lift", "Lift the head by hand, and watch whether it stays", "head", 14, _lift),
    _test("try-lower", "Lower the head a little by hand", "head", 22, _lower),
    _test("try-shuttle", "Send the shuttle to its stop and back by hand", "shuttle", 12, _shuttle),
    _test(
        "try-cutting-vise", "Grip and free the cutting vise by hand", "cutting_vise", 8,
        _vise("cutting_vise", ("Y31", "Y33"), ("B33", "B31")),
    ),
    _test(
        "try-shuttle-vise", "Grip and free the shuttle vise by hand", "shuttle_vise", 8,
        _vise("shuttle_vise", ("Y32", "Y34"), ("B34", "B32")),
    ),
    _test("try-band", "Lift the head, and start the band by hand", "band", 22, _band),
    _test("try-speed", "Start the band by hand, and ask for more speed", "band", 26, _speed),
    _test("try-coolant", "Run the coolant by hand", "coolant", 6, _coolant),
    _test("try-keys", "Press the two-hand key, and watch the input lamps", "supply", 2, _keys, isolator_on),
)  # fmt: skip
