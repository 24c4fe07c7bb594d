"""Random hands at the saw: whatever they do, some things never happen.

Checked at every edge on every output and after every event, not only when the hands come to rest.
"""

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.control.interlocks import When
from sim.plant.set_points import SET_POINTS
from sim.signals import BY_KEY, INPUTS, OUTPUTS, Direction, crossed, stuck
from sim.units import MM, US

LATCHES = ("supply.isolator", "supply.emergency_stop")
KEYS = tuple(key for key in BY_KEY if key not in LATCHES)
STARTS = ("supply.control_on", "band.start", "job.begin_on_trim", "job.begin_on_piece")
SENSORS = tuple(tag for tag in INPUTS if tag[0] in "BF")
OPPOSITE = (("Y11", "Y12"), ("Y21", "Y22"), ("Y31", "Y33"), ("Y32", "Y34"), ("M2", "M3"))
WAITS_S = (0.0, 1e-6, 0.01, 0.3, 2.0, 20.0, 120.0)
TINY = 1e-9


class Watch:
    """Looks on, and fails as soon as something happens that must not."""

    def __init__(self, hands, *, sound_sensors=True):
        self.hands = hands
        self.sound_sensors = sound_sensors
        self.seen_us = 0
        untouched = type(hands)().saw
        self.found = {row.name: untouched.read(row.name) for row in SET_POINTS}
        self.loaded_m = hands.saw.plant.bar.length_m
        hands.saw.bus.listen(Direction.OUTPUT, self.on_output)

    def on_output(self, tag, value):
        seen = self.hands.saw.bus.seen
        for one, other in OPPOSITE:
            assert not (seen[one] and seen[other]), (one, other)
        if not seen["K1"]:
            assert not any(seen[output] for output in OUTPUTS), (tag, value)

    def look(self):
        saw, plant = self.hands.saw, self.hands.saw.plant
        assert saw.clock.now_us >= self.seen_us
        self.seen_us = saw.clock.now_us
        self.on_output("", False)
        machine = plant.site.machine
        assert -TINY <= plant.shuttle.place.position <= plant.shuttle.stop_m + TINY
        assert machine.head_bottom_m <= plant.head.place.position <= machine.head_top_m
        for vise in (plant.cutting_vise, plant.shuttle_vise):
            assert 0.0 <= vise.jaw.position <= machine.powered_stroke_m
        self.weigh()
        if self.sound_sensors:
            self.one_vise_holds()

    def weigh(self):
        """No metal appears or vanishes: bar, pieces and kerfs make up what was loaded."""
        plant = self.hands.saw.plant
        kerf_m = plant.site.machine.kerf_m
        pieces, cuts = plant.bar.pieces, self.hands.saw.cuts
        gone_m = self.loaded_m - plant.bar.length_m
        gone_m -= sum(piece.length_m + kerf_m for piece in pieces)
        assert -TINY <= gone_m <= kerf_m * (len(cuts) - len(pieces)) + TINY

    def one_vise_holds(self):
        """The job drives the shuttle only while exactly one vise holds the bar: the right one."""
        controller, plant = self.hands.saw.controller, self.hands.saw.plant
        seen = self.hands.saw.bus.seen
        holds = (plant.cutting_vise.gripping, plant.shuttle_vise.gripping)
        if controller.image["origin.shuttle"] is When.AUTO:
            assert not seen["Y21"] or holds == (False, True)
            assert not seen["Y22"] or holds == (True, False)

    def wait(self, seconds):
        """Let time pass event by event, and look after each."""
        saw = self.hands.saw
        until_us = saw.clock.now_us + round(seconds * US)
        events = 0
        while not saw.plant.site.wrecked:
            due_us = saw.clock.next_us()
            if due_us is None or due_us > until_us:
                saw.advance_to(until_us)
                break
            saw.advance_to(due_us)
            self.look()
            events += 1
            assert events < 2000, f"it never comes to rest: {self.hands.states}"


def setting_for(row, share):
    if row.words:
        return row.words[int(share * len(row.words)) % len(row.words)]
    return row.low + share * (row.high - row.low)


def tidy(hands, watch):
    """Put what can be put right in a minute, and lift the head."""
    saw = hands.saw
    for row in SET_POINTS:
        if not saw.blocked(row.name):
            saw.set(row.name, watch.found[row.name])
    hands.set(head__feed_valve_mm_min=200, head__feed_force_n=400)
    saw.plant.band.set_damage(0.0)
    hands.tap("head.hand")
    hands.press("head.lift")
    watch.wait(3)
    hands.release("head.lift")


def let_go(hands, _watch, _which, _share):
    hands.release(*sorted(hands.saw.held - set(LATCHES)))


def turn_a_latch(hands, _watch, which, share):
    (hands.press if share < 0.5 else hands.release)(LATCHES[which % 2])


def wake(hands, _watch, _which, _share):
    hands.release(*sorted(hands.saw.held - {"supply.isolator"}))
    hands.press("supply.isolator")
    hands.start("supply.control_on")
    hands.tap("supply.reset")


def begin_again(hands, watch, which, _share):
    tidy(hands, watch)
    hands.tap("job.arm")
    hands.start(STARTS[2 + which % 2])


def meddle(hands, watch, which, _share):
    """Hold the job, change a grip by hand, and let the job go on."""
    vise = ("cutting_vise", "shuttle_vise")[which % 2]
    verb = ("grip", "free")[which // 2 % 2]
    hands.tap("job.hold")
    hands.tap(f"{vise}.hand")
    hands.tap(f"{vise}.{verb}")
    watch.wait(2)
    hands.tap("job.arm")
    hands.start("job.begin_on_piece")


def set_something(hands, _watch, which, share):
    row = SET_POINTS[which % len(SET_POINTS)]
    if not hands.saw.blocked(row.name):
        hands.saw.set(row.name, setting_for(row, share))


def turn_a_dial(hands, _watch, which, share):
    hands.saw.set(("job.wanted", "job.strokes")[which % 2], 1 + int(share * 3))


def spoil_a_wire(hands, _watch, which, share):
    wire = (stuck(True), stuck(False), crossed, None)[int(share * 4) % 4]
    hands.saw.bus.distort(SENSORS[which % len(SENSORS)], wire)
    hands.saw.bus.settle()


ACTS = {
    "press": lambda hands, _watch, which, _share: hands.press(KEYS[which % len(KEYS)]),
    "release": lambda hands, _watch, which, _share: hands.release(KEYS[which % len(KEYS)]),
    "tap": lambda hands, _watch, which, _share: hands.tap(KEYS[which % len(KEYS)]),
    "start": lambda hands, _watch, which, _share: hands.start(STARTS[which % len(STARTS)]),
    "wait": lambda _hands, watch, which, _share: watch.wait(WAITS_S[which % len(WAITS_S)]),
    "let go": let_go,
    "latch": turn_a_latch,
    "wake": wake,
    "tidy": begin_again,
    "meddle": meddle,
    "set": set_something,
    "dial": turn_a_dial,
    "spoil": spoil_a_wire,
}


def do(hands, watch, act):
    """Do one act as a person can: nothing that is blocked."""
    verb, which, share = act
    ACTS[verb](hands, watch, which, share)
    watch.look()


OFTEN = ("press", "release", "tap", "start", "let go", "wake", *["wait"] * 6)
SELDOM = ("latch", "set", "dial", "tidy", "meddle")
VERBS = (*OFTEN, *OFTEN, *SELDOM)


def act_at_random(source, *, faults):
    verb = "spoil" if faults and source.random() < 0.03 else source.choice(VERBS)
    return verb, source.randrange(1000), source.random()


def begin_somewhere(hands, source):
    """Untouched, under control power, set up, or with a job running."""
    so_far = source.choice(("nothing", "power", "set up", "trim", "piece", "piece"))
    if so_far == "power":
        hands.control_on()
    elif so_far == "set up":
        hands.set_up()
        hands.grip_bar()
    elif so_far != "nothing":
        hands.begin_job(so_far, wanted=3, strokes=source.choice((1, 2)))


@pytest.mark.parametrize("faults", [False, True], ids=["sound", "bad wires"])
@pytest.mark.parametrize("seed", range(60))
def test_a_long_run_of_random_acts_breaks_nothing_that_must_hold(new_hands, seed, faults):
    source = random.Random(f"{seed}/{faults}")
    hands = new_hands()
    begin_somewhere(hands, source)
    watch = Watch(hands, sound_sensors=not faults)
    for _ in range(300):
        do(hands, watch, act_at_random(source, faults=faults))
        if hands.saw.plant.site.wrecked:
            break


acts = st.tuples(st.sampled_from(VERBS), st.integers(0, 127), st.floats(0, 0.999))


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(run=st.lists(acts, max_size=60))
def test_a_short_run_of_random_acts_breaks_nothing_either(run, new_hands):
    hands = new_hands()
    hands.begin_job("piece", wanted=2)
    watch = Watch(hands)
    for act in run:
        if hands.saw.plant.site.wrecked:
            break
        do(hands, watch, act)


def put_all_as_found(hands, watch):
    """What a trained person does to get out of any muddle: power off and on, all free, set anew."""
    hands.release(*sorted(hands.saw.held))
    hands.press("supply.isolator")
    watch.wait(1200)
    for row in SET_POINTS:
        if "jaw_gap" not in row.name:
            hands.saw.set(row.name, watch.found[row.name])
    hands.saw.plant.band.set_damage(0.0)
    for station in ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant"):
        hands.tap(f"{station}.hand")
    hands.start("supply.control_on")
    hands.tap("supply.reset")
    hands.hold_down("head.lift", 10)
    for vise in ("cutting_vise", "shuttle_vise"):
        hands.tap(f"{vise}.free")
        watch.wait(5)
        hands.saw.set(f"{vise}.jaw_gap_mm", 4)
    hands.hold_down("shuttle.to_blade", 10)
    hands.saw.plant.load(hands.stock)
    hands.saw.bus.settle()


@pytest.mark.parametrize("seed", range(30))
def test_from_any_muddle_a_trained_person_gets_back_to_good_pieces(new_hands, seed):
    source = random.Random(seed)
    hands = new_hands()
    begin_somewhere(hands, source)
    watch = Watch(hands)
    for _ in range(100):
        do(hands, watch, act_at_random(source, faults=False))
        if hands.saw.plant.site.wrecked:
            pytest.skip("the run was wrecked: there is no way back from that")
    put_all_as_found(hands, watch)
    hands.set(shuttle__stop_mm=110)
    hands.set(shuttle__stop_mm=101.5)
    hands.set(head__feed_valve_mm_min=200, head__feed_force_n=400)
    hands.set(job__wanted=2, job__strokes=1)
    before = len(hands.saw.cuts)
    hands.arm()
    hands.begin("trim")
    hands.until_job("COMPLETE", limit_s=2000)

    pieces = [cut.length_m / MM for cut in hands.saw.cuts[before:]]
    assert pieces == [10.5, pytest.approx(100.0, abs=0.05), pytest.approx(100.0, abs=0.05)]
