"""What the search over all states found once, kept as short stories on a bare controller.

There is no plant: each switch is driven as the story goes.
"""

from sim.control.controller import NO_MACHINE, Controller
from sim.kernel.clock import Clock
from sim.signals import BY_KEY, MODE_SWITCH, Bus
from sim.units import US

MODES = dict(zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), MODE_SWITCH, strict=True))


class Bare:
    """A controller, its wires and a clock."""

    def __init__(self) -> None:
        self.clock, self.bus = Clock(), Bus()
        self.controller = Controller(self.clock, self.bus)
        self.wire(Q0=True)
        self.tap("supply.reset")
        self.wire(K0=True)
        self.tap("supply.control_on")

    def wire(self, **values: bool) -> None:
        for tag, value in values.items():
            self.bus.drive(tag, value)
            self.bus.settle()

    def tap(self, *keys: str) -> None:
        for key in keys:
            self.wire(**{BY_KEY[key].tag: True})
            self.wire(**{BY_KEY[key].tag: False})

    def palms(self, key: str) -> None:
        self.tap(key)
        self.wire(S3=True, S4=True)
        self.wire(S3=False, S4=False)

    def wait(self, seconds: float) -> None:
        self.clock.run_until(self.clock.now_us + round(seconds * US))
        self.bus.settle()

    def turn(self, mode: str) -> None:
        self.wire(**dict.fromkeys(MODE_SWITCH, False))
        self.wire(**{MODES[mode]: True})
        self.wait(0.5)
        assert self["mode"] == mode

    def __getitem__(self, subject: str) -> object:
        return self.controller.image[subject]

    def begin(self, first: str, *, wanted: int = 2, run_on_min: int = 0) -> None:
        self.controller.job.wanted = wanted
        self.controller.job.set_run_on(run_on_min)
        self.turn("PRODUCTION")
        self.tap(f"job.{first}", "job.reset")
        self.palms("job.start")
        assert self["job"] == "EXECUTE"

    def clamp(self, *vises: str) -> None:
        for vise in vises:
            back, clamped = {"cutting": ("B31", "B33"), "shuttle": ("B32", "B34")}[vise]
            self.wire(**{back: False})
            self.wire(**{clamped: True})

    def feed(self) -> None:
        """Both vises clamped: bring the shuttle back and get it on its way forward."""
        self.wire(B34=False, B32=True)
        self.wire(B22=False, B21=True)
        self.clamp("shuttle")
        self.wire(B33=False, B31=True)
        assert self["shuttle"] == "GOING_FORWARD"

    def begin_and_feed(self, **job: int) -> None:
        self.clamp("cutting", "shuttle")
        self.begin("straight", **job)
        self.feed()


def test_a_jog_that_comes_to_speed_ends_all_the_same() -> None:
    saw = Bare()
    saw.turn("MAINTENANCE")
    saw.wire(S7=True, S10=True)
    saw.wire(B1=True, B2=True)
    assert saw["band"] == "RUNNING"
    saw.wait(NO_MACHINE.jog_us / US)
    assert saw["band"] == "COASTING"


def test_the_trip_line_stops_the_bar_that_is_fed() -> None:
    saw = Bare()
    saw.begin_and_feed()
    saw.wire(S2=False)
    assert saw["shuttle"] == "BETWEEN"
    assert saw["job"] == "ABORTED"


def test_the_head_is_not_lowered_while_the_trip_line_waits_for_its_reset() -> None:
    saw = Bare()
    saw.wire(S2=False)
    saw.wire(S2=True)
    saw.wire(S51=True)
    assert saw["head"] == "UP"
    saw.wire(S51=False)
    saw.tap("supply.reset")
    saw.wire(S51=True)
    assert saw["head"] == "LOWERING"


def test_a_guard_opened_while_a_job_completes_starts_no_band_when_it_is_closed() -> None:
    saw = Bare()
    saw.begin_and_feed()
    saw.tap("job.complete")
    assert saw["job"] == "COMPLETING"
    saw.wire(B41=False)
    saw.wire(B21=False, B22=True)
    saw.clamp("cutting")
    saw.wire(B41=True)
    assert saw["band"] == "STOPPED"
    assert saw["job"] in ("STOPPING", "STOPPED")


def test_coolant_that_is_chosen_while_it_is_low_holds_the_job() -> None:
    saw = Bare()
    saw.wire(B63=False)
    saw.begin_and_feed()
    saw.tap("coolant.with_band")
    assert saw["job"] == "HOLDING"


def test_a_job_that_stops_after_its_count_halts_the_shuttle_that_was_on_its_way() -> None:
    saw = Bare()
    saw.begin_and_feed(wanted=1)
    saw.wire(B21=False, B22=True)
    saw.clamp("cutting")
    saw.wire(B1=True, B2=True)
    saw.controller.job.wanted = 2
    saw.wire(B11=False)
    saw.wire(B34=False, B32=True)
    assert saw["shuttle"] == "GOING_BACK"
    saw.wire(B12=True)
    saw.wire(B12=False)
    saw.tap("job.hold")
    saw.controller.job.wanted = 1
    saw.wire(B11=True)
    assert saw["cycle"] == "PARKED"
    saw.wire(B2=False, B1=False)
    assert saw["job"] == "STOPPED"
    assert saw["shuttle"] == "BETWEEN"


def test_the_run_on_minutes_of_a_job_that_is_over_stop_no_band_of_the_next() -> None:
    saw = Bare()
    saw.begin("square", wanted=5, run_on_min=1)
    saw.clamp("cutting")
    saw.wire(B1=True)
    saw.tap("job.complete")
    saw.clamp("shuttle")
    assert saw["job"] == "COMPLETE"
    assert saw["watch.run_on"]
    saw.tap("job.reset")
    saw.palms("job.start")
    saw.wire(B2=True)
    assert saw["head"] == "LOWERING"
    saw.wait(61)
    assert saw["band"] == "RUNNING"


def test_a_band_that_is_stopped_by_hand_runs_on_no_more() -> None:
    saw = Bare()
    saw.begin("square", wanted=5, run_on_min=1)
    saw.clamp("cutting")
    saw.wire(B1=True)
    saw.tap("job.complete")
    saw.clamp("shuttle")
    assert saw["watch.run_on"]
    saw.turn("MANUAL")
    saw.wire(B1=False)
    saw.palms("band.run")
    assert saw["band"] == "STARTING"
    saw.wait(61)
    assert saw["band"] == "STARTING"


def test_a_job_completed_before_its_cut_leaves_nothing_to_square() -> None:
    saw = Bare()
    saw.begin("square")
    saw.tap("job.complete")
    saw.clamp("cutting", "shuttle")
    assert saw["job"] == "COMPLETE"
    assert not saw["job.squaring"]
    saw.wire(S1=False)
    assert not saw["job.owes"]
