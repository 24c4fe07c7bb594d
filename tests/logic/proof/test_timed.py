"""Timed behaviour against charts that `sismic` runs: palm keys within 0.5 s, a band 6 s astray,
the mode switch at rest, a jog.

The charts are written from the rules in words, not from our code, and know no more of it than the
names of keys; time is counted in whole microseconds on both sides. sismic's `after(n)` holds from n
on, so "within 0.5 s" is "not after 500001".
"""

from collections.abc import Callable
from random import Random

import pytest
from sismic.interpreter import Interpreter
from sismic.io import import_from_yaml

from sim.control.controller import Controller
from sim.control.decision import Decision
from sim.kernel.clock import Clock
from sim.signals import MODE_SWITCH, Bus

TWO_HANDS = """
statechart:
  name: two hands
  preamble: said = []
  root state:
    name: root
    initial: both up
    states:
      - name: both up
        transitions:
          - {event: left down, target: left first}
          - {event: right down, target: right first}
      - name: left first
        transitions:
          - {event: left up, target: both up}
          - {event: right down, guard: not after(500001), target: used, action: said.append('taken')}
          - {event: right down, guard: after(500001), target: used, action: said.append('late')}
      - name: right first
        transitions:
          - {event: right up, target: both up}
          - {event: left down, guard: not after(500001), target: used, action: said.append('taken')}
          - {event: left down, guard: after(500001), target: used, action: said.append('late')}
      - name: used
        transitions:
          - {event: left up, target: right stays}
          - {event: right up, target: left stays}
      - name: right stays
        transitions:
          - {event: right up, target: both up}
          - {event: left down, target: used, action: said.append('stale')}
      - name: left stays
        transitions:
          - {event: left up, target: both up}
          - {event: right down, target: used, action: said.append('stale')}
"""

DEVIATION = """
statechart:
  name: deviation
  root state:
    name: root
    parallel states:
      - name: gauge
        initial: within
        states:
          - name: within
            transitions: [{event: out, target: beyond}]
          - name: beyond
            transitions:
              - {event: in, target: within}
              - {event: reset, target: beyond}
              - {guard: after(6000000), target: told, action: send('latch')}
          - name: told
            transitions:
              - {event: in, target: within}
              - {event: reset, target: beyond}
      - name: stop
        initial: free
        states:
          - name: free
            transitions: [{event: latch, target: latched}]
          - name: latched
            transitions: [{event: reset, target: free}]
"""

REST = """
statechart:
  name: mode switch
  preamble: took = 'MANUAL'
  root state:
    name: root
    initial: settled
    states:
      - name: settled
        transitions: [{event: turn, target: turning}]
      - name: turning
        transitions:
          - {event: turn, target: turning}
          - {guard: after(500000), target: settled}
"""

JOG = """
statechart:
  name: jog
  root state:
    name: root
    initial: stands
    states:
      - name: stands
        transitions: [{event: down, target: driven}]
      - name: driven
        transitions:
          - {event: up, target: coasts}
          - {event: let go, target: coasts}
          - {guard: after(300000), target: coasts}
      - name: coasts
        transitions: [{event: stands, target: stands}]
"""

NOTHING_ASKED = "The palm keys start nothing by themselves."
WORDS = {
    "The palm keys went down more than 0.5 s apart.": "late",
    "A palm key was still down from before.": "stale",
}
KEYS = {"left": "S3", "right": "S4"}
MODES = dict(zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), MODE_SWITCH, strict=True))


class Live:
    """The live controller with control power within reach, and its clock."""

    def __init__(self) -> None:
        self.clock, self.bus, self.said = Clock(), Bus(), list[str]()
        self.controller = Controller(self.clock, self.bus)
        self.controller.on_decision(self._decided)
        self.edge("Q0", True)

    def _decided(self, decision: Decision) -> None:
        first = next(iter(decision.refusals), None)
        said = "" if first is None else str(first.sentence)
        if (
            said in WORDS or said == NOTHING_ASKED
        ):  # with nothing asked, hands together start nothing
            self.said.append(WORDS.get(said, "taken"))

    def edge(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()

    def tap(self, tag: str) -> None:
        self.edge(tag, True)
        self.edge(tag, False)

    def control_on(self) -> None:
        self.tap("S5")
        self.edge("K0", True)
        self.tap("S8")

    def turn(self, mode: str) -> None:
        for tag in MODE_SWITCH:
            self.edge(tag, tag == MODES[mode])


def later(live: Live, chart: Interpreter, wait_us: int) -> None:
    """Let time pass on both sides."""
    live.clock.run_until(live.clock.now_us + wait_us)
    chart.clock.time = live.clock.now_us
    chart.execute()


def happens(chart: Interpreter, event: str) -> None:
    chart.queue(event)
    chart.execute()


def charted(text: str) -> Interpreter:
    chart = Interpreter(import_from_yaml(text))
    chart.execute()
    return chart


@pytest.mark.parametrize(
    ("wait_us", "answer"), [(499_999, "taken"), (500_000, "taken"), (500_001, "late")]
)
def test_half_a_second_is_the_limit_for_both(wait_us: int, answer: str) -> None:
    live, chart = Live(), charted(TWO_HANDS)
    live.edge("S3", True)
    happens(chart, "left down")
    later(live, chart, wait_us)
    live.edge("S4", True)
    happens(chart, "right down")
    assert live.said == chart.context["said"] == [answer]


def test_two_hands_count_as_the_rule_says_in_4_000_random_edges() -> None:
    live, chart, chance = Live(), charted(TWO_HANDS), Random(11)
    down = dict.fromkeys(KEYS, False)
    for _ in range(4_000):
        later(live, chart, chance.choice([1, 90_000, 250_000, 499_000, 500_001, 700_000]))
        key = chance.choice(list(KEYS))
        down[key] = not down[key]
        live.edge(KEYS[key], down[key])
        happens(chart, f"{key} {'down' if down[key] else 'up'}")
        assert live.said == chart.context["said"]
    assert set(live.said) == {"taken", "late", "stale"}


def test_a_band_astray_is_latched_as_the_rule_says_at_2_000_random_moments() -> None:
    live, chart, chance = Live(), charted(DEVIATION), Random(12)
    live.control_on()
    acts: dict[str, Callable[[], None]] = {
        "out": lambda: live.edge("B52", False),
        "in": lambda: live.edge("B52", True),
        "reset": lambda: live.tap("S5"),
    }
    met = set()
    for _ in range(2_000):
        later(live, chart, chance.choice([1, 1_000_001, 2_999_999, 5_999_999, 6_000_003]))
        event = chance.choice(list(acts))
        acts[event]()
        happens(chart, event)
        latched = bool(live.controller.image["latch.deviation"])
        timed = bool(live.controller.image["watch.deviation"])
        assert latched == ("latched" in chart.configuration)
        assert timed == ("beyond" in chart.configuration)
        met.add((latched, timed))
    assert len(met) == 4


def test_a_mode_is_taken_half_a_second_after_the_last_turn_at_2_000_random_moments() -> None:
    live, chart, chance = Live(), charted(REST), Random(13)
    met = set()
    points_to = "MANUAL"
    for _ in range(2_000):
        later(live, chart, chance.choice([1, 200_000, 499_999, 500_000, 600_000]))
        settled = "settled" in chart.configuration
        assert live.controller.image["mode"] == (points_to if settled else "NONE")
        mode = chance.choice(list(MODES))
        if mode != points_to:
            live.turn(mode)
            happens(chart, "turn")
            points_to = mode
        met.add((settled, mode))
    assert len(met) == 6


def test_a_jog_lasts_three_tenths_of_a_second_at_the_longest_at_2_000_random_moments() -> None:
    live, chart, chance = Live(), charted(JOG), Random(14)
    live.control_on()
    live.turn("MAINTENANCE")
    later(live, chart, 500_000)
    live.edge("S7", True)
    met = set()
    for _ in range(2_000):
        later(live, chart, chance.choice([1, 90_000, 150_000, 299_999, 300_000]))
        driven = live.controller.image["band"] in ("STARTING", "RUNNING")
        assert driven == ("driven" in chart.configuration)
        event = chance.choice(["down", "up", "let go", "at speed", "stands"])
        met.add((driven, event))
        if event in ("down", "up") and live.bus.seen["S10"] != (event == "down"):
            live.edge("S10", event == "down")
            if live.controller.image["band"] == "STARTING":
                live.edge("B1", True)
        elif event == "let go":
            live.edge("S7", False)
        elif event == "at speed" and driven:
            live.edge("B2", True)
            continue
        elif event == "stands" and not driven:
            live.edge("B2", False)
            live.edge("B1", False)
        else:
            continue
        happens(chart, event)
        if event == "let go":
            live.edge("S7", True)
    assert len(met) == 10
