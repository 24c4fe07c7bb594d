"""Random hands at the saw: whatever they do, some things never happen.

Checked at every edge on every output and after every event, not only when the hands come to rest.
"""

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.plant.set_points import SET_POINTS
from sim.signals import BY_KEY, INPUTS, MODE_SWITCH, OUTPUTS, Direction, Source, crossed, stuck
from sim.units import MM, US

LATCHES = tuple(key for key, wire in BY_KEY.items() if wire.source is Source.LATCH)
KEYS = tuple(key for key in BY_KEY if key not in LATCHES)
MODES = ("manual", "maintenance", "production")
STARTS = ("band.run", "job.start", "job.unhold")
SENSORS = tuple(tag for tag in INPUTS if tag[0] in "BF" or tag in MODE_SWITCH)
OPPOSITE = (("Y11", "Y12"), ("Y21", "Y22"), ("Y31", "Y33"), ("Y32", "Y34"), ("M2", "M3"))
KEY_OF = {
    "Y11": "head.raise",
    "Y12": "head.lower",
    "Y21": "shuttle.forward",
    "Y22": "shuttle.back",
    "Y31": "cutting_vise.clamp",
    "Y32": "shuttle_vise.clamp",
    "Y33": "cutting_vise.release",
    "Y34": "shuttle_vise.release",
}
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
        self.hold_to_run()
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

    def hold_to_run(self):
        """Outside PRODUCTION a part moves only under its key; in MAINTENANCE one, and enabled."""
        seen, mode = self.hands.saw.bus.seen, self.hands.state("mode")
        driven = {output for output in KEY_OF if seen[output]}
        if mode != "PRODUCTION":
            assert all(seen[BY_KEY[KEY_OF[output]].tag] for output in driven), (mode, driven)
        if mode == "NONE":
            assert not driven
            assert not seen["Q1"]
        if mode == "MAINTENANCE" and (driven or seen["Q1"]):
            assert seen["S7"]
            assert len(driven) + seen["Q1"] == 1, driven

    def one_vise_holds(self):
        """The job drives the shuttle only while exactly one vise holds the bar: the right one."""
        controller, plant = self.hands.saw.controller, self.hands.saw.plant
        seen = self.hands.saw.bus.seen
        holds = (plant.cutting_vise.clamped, plant.shuttle_vise.clamped)
        if controller.image["mode"] == "PRODUCTION":
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


def setting_for(hands, row, share):
    if row.words:
        return row.words[int(share * len(row.words)) % len(row.words)]
    low, high = row.limits(hands.machine)
    return low + share * (high - low)


def tidy(hands, watch):
    """Put what can be put right in a minute, and raise the head in MANUAL."""
    saw = hands.saw
    for row in SET_POINTS:
        if not saw.blocked(row.name):
            saw.set(row.name, watch.found[row.name])
    hands.set(head__feed_valve_mm_min=200, head__feed_force_n=400)
    saw.plant.band.set_damage(0.0)
    hands.press("mode.manual")
    watch.wait(1)
    hands.press("head.raise")
    watch.wait(3)
    hands.release("head.raise")


def let_go(hands, _watch, _which, _share):
    hands.release(*sorted(hands.saw.held - set(LATCHES)))


def turn_a_latch(hands, _watch, which, share):
    (hands.press if share < 0.5 else hands.release)(LATCHES[which % len(LATCHES)])


def wake(hands, _watch, _which, _share):
    hands.release(*sorted(hands.saw.held - {"supply.isolator"}))
    hands.press("supply.isolator")
    for key in ("supply.reset", "supply.control_on", "job.clear"):
        hands.tap(key)


def begin_again(hands, watch, which, _share):
    tidy(hands, watch)
    hands.press("mode.production")
    watch.wait(1)
    for key in ("job.clear", ("job.square", "job.straight")[which % 2], "job.reset"):
        hands.tap(key)
    hands.palms("job.start")


def meddle(hands, watch, which, _share):
    """Hold the job, clamp or release a vise by hand, and let the job go on."""
    vise = ("cutting_vise", "shuttle_vise")[which % 2]
    verb = ("clamp", "release")[which // 2 % 2]
    hands.tap("job.hold")
    hands.press("mode.manual")
    watch.wait(1)
    hands.press(f"{vise}.{verb}")
    watch.wait(2)
    hands.release(f"{vise}.{verb}")
    hands.press("mode.production")
    watch.wait(1)
    hands.palms("job.unhold")


def turn_the_mode(hands, _watch, which, _share):
    hands.press(f"mode.{MODES[which % 3]}")


def set_something(hands, _watch, which, share):
    row = SET_POINTS[which % len(SET_POINTS)]
    if not hands.saw.blocked(row.name):
        hands.saw.set(row.name, setting_for(hands, row, share))


def turn_a_dial(hands, _watch, which, share):
    hands.saw.set(("job.wanted", "job.strokes", "job.run_on_min")[which % 3], 1 + int(share * 3))


def spoil_a_wire(hands, _watch, which, share):
    wire = (stuck(True), stuck(False), crossed, None)[int(share * 4) % 4]
    hands.saw.bus.distort(SENSORS[which % len(SENSORS)], wire)
    hands.saw.bus.settle()


ACTS = {
    "press": lambda hands, _watch, which, _share: hands.press(KEYS[which % len(KEYS)]),
    "release": lambda hands, _watch, which, _share: hands.release(KEYS[which % len(KEYS)]),
    "tap": lambda hands, _watch, which, _share: hands.tap(KEYS[which % len(KEYS)]),
    "start": lambda hands, _watch, which, _share: hands.palms(STARTS[which % len(STARTS)]),
    "wait": lambda _hands, watch, which, _share: watch.wait(WAITS_S[which % len(WAITS_S)]),
    "let go": let_go,
    "latch": turn_a_latch,
    "wake": wake,
    "tidy": begin_again,
    "meddle": meddle,
    "mode": turn_the_mode,
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
SELDOM = ("latch", "set", "dial", "tidy", "meddle", "mode")
VERBS = (*OFTEN, *OFTEN, *SELDOM)


def act_at_random(source, *, faults):
    verb = "spoil" if faults and source.random() < 0.03 else source.choice(VERBS)
    return verb, source.randrange(1000), source.random()


def begin_somewhere(hands, source):
    """Untouched, under control power, set up, or with a job running."""
    so_far = source.choice(("nothing", "power", "set up", "square", "straight", "straight"))
    if so_far == "power":
        hands.control_on()
    elif so_far == "set up":
        hands.set_up()
        hands.clamp_bar()
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
    hands.begin_job("straight", wanted=2)
    watch = Watch(hands)
    for act in run:
        if hands.saw.plant.site.wrecked:
            break
        do(hands, watch, act)


def put_all_as_found(hands, watch):
    """What a trained person does to get out of any muddle: power off and on, all released, set anew."""
    hands.release(*sorted(hands.saw.held))
    hands.saw.set("mode.key", "in the switch")
    hands.press("supply.isolator", "mode.manual")
    hands.release(*[latch for latch in LATCHES if latch != "supply.isolator"])
    watch.wait(1200)
    for row in SET_POINTS:
        if "jaw_gap" not in row.name:
            hands.saw.set(row.name, watch.found[row.name])
    hands.saw.plant.band.set_damage(0.0)
    for key in ("supply.reset", "supply.control_on", "job.clear", "job.stop"):
        hands.tap(key)
    hands.hold_down("head.raise", 10)
    if hands.saw.read("head.prop") == "in":
        hands.set(head__stop_notch=12)
        hands.hold_down("head.raise", 10)
        hands.set(head__prop="out", head__stop_notch=watch.found["head.stop_notch"])
    for vise in ("cutting_vise", "shuttle_vise"):
        hands.hold_down(f"{vise}.release", 5)
        hands.saw.set(f"{vise}.jaw_gap_mm", 4)
    hands.hold_down("shuttle.forward", 10)
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
    hands.set(job__wanted=2, job__strokes=1, job__run_on_min=0)
    before = len(hands.saw.cuts)
    hands.tap("job.new")
    hands.ready("square")
    hands.start()
    hands.until_job("COMPLETE", limit_s=2000)

    pieces = [cut.length_m / MM for cut in hands.saw.cuts[before:]]
    assert pieces == [10.5, pytest.approx(100.0, abs=0.05), pytest.approx(100.0, abs=0.05)]
