"""Timed behaviour against charts that `sismic` runs: two hands within 0.5 s, a band 20 s astray.

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
from sim.signals import Bus

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
          - {event: hand down, target: hand first}
          - {event: start down, target: start first, action: said.append('one hand')}
      - name: hand first
        transitions:
          - {event: hand up, target: both up}
          - {event: start down, guard: not after(500001), target: used, action: said.append('taken')}
          - {event: start down, guard: after(500001), target: used, action: said.append('late')}
      - name: start first
        transitions:
          - {event: start up, target: both up}
          - {event: hand down, guard: not after(500001), target: used, action: said.append('taken')}
          - {event: hand down, guard: after(500001), target: used, action: said.append('late')}
      - name: used
        transitions:
          - {event: hand up, target: start left}
          - {event: start up, target: hand left}
      - name: start left
        transitions:
          - {event: start up, target: both up}
          - {event: hand down, target: used, action: said.append('stale')}
      - name: hand left
        transitions:
          - {event: hand up, target: both up}
          - {event: start down, target: used, action: said.append('stale')}
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
              - {guard: after(20000000), target: told, action: send('latch')}
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

WORDS = {
    "This start needs both hands.": "one hand",
    "The two keys went down more than 0.5 s apart.": "late",
    "A key was still down from the last attempt.": "stale",
}
KEYS = {"hand": "S3", "start": "S4"}


class Live:
    """The live controller with control power within reach, and its clock."""

    def __init__(self) -> None:
        self.clock, self.bus, self.said = Clock(), Bus(), list[str]()
        self.controller = Controller(self.clock, self.bus)
        self.controller.on_decision(self._decided)
        self.edge("Q0", True)

    def _decided(self, decision: Decision) -> None:
        if decision.action == "supply.control_on":
            first = next(iter(decision.refusals), None)
            self.said.append("taken" if first is None else WORDS[str(first.sentence)])

    def edge(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()

    def tap(self, tag: str) -> None:
        self.edge(tag, True)
        self.edge(tag, False)

    def control_on(self) -> None:
        for tag, value in (("S3", True), ("S4", True), ("S4", False), ("S3", False)):
            self.edge(tag, value)


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
    happens(chart, "hand down")
    later(live, chart, wait_us)
    live.edge("S4", True)
    happens(chart, "start down")
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
    assert set(live.said) == {"taken", "late", "stale", "one hand"}


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
        later(live, chart, chance.choice([1, 3_000_001, 9_999_999, 19_999_999, 20_000_003]))
        event = chance.choice(list(acts))
        acts[event]()
        happens(chart, event)
        latched = bool(live.controller.image["latch.deviation"])
        timed = bool(live.controller.image["watch.deviation"])
        assert latched == ("latched" in chart.configuration)
        assert timed == ("beyond" in chart.configuration)
        met.add((latched, timed))
    assert len(met) == 4
