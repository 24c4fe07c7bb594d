"""Hands at a saw: what several presses do, in a word."""

from collections.abc import Callable
from dataclasses import dataclass, field

from sim.control.decision import Decision
from sim.control.rules_of_use import WANTS_PALMS
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.saw import Saw
from sim.scenario.machines import first_machine
from sim.signals import OUTPUTS, stuck
from sim.trade.materials import Material
from sim.trade.sections import Round
from sim.units import MM, US

MILD_STEEL = Material(
    name="mild-steel",
    title="Mild steel",
    density_kg_m3=7850,
    yield_pa=275e6,
    young_pa=210e9,
    kc11_pa=1780e6,
    mc=0.17,
    speed_low_m_s=70 / 60,
    speed_high_m_s=100 / 60,
    source="from memory, for tests only",
)
STAIR_ROD = Stock(MILD_STEEL, Round(30 * MM), length_m=3.0, front_m=12 * MM)
PALMS = ("palm.left", "palm.right")
CLAMPED = {"cutting_vise": "B33", "shuttle_vise": "B34"}
RELEASED = {"cutting_vise": "B31", "shuttle_vise": "B32"}


@dataclass
class Hands:
    """A person at the saw, who does in a word what takes several presses."""

    stock: Stock = STAIR_ROD
    machine: Machine = field(default_factory=first_machine)

    def __post_init__(self) -> None:
        self.saw = Saw(self.machine, self.stock)

    # Reading ------------------------------------------------------------------------------

    @property
    def now_s(self) -> float:
        return self.saw.clock.now_us / US

    @property
    def job(self) -> str:
        return self.saw.controller.job.state

    @property
    def step(self) -> str:
        return self.saw.controller.job.step

    @property
    def reason(self) -> str:
        return str(self.saw.controller.job.reason)

    @property
    def harm(self) -> list[str]:
        return [consequence.kind for consequence in self.saw.consequences]

    @property
    def on(self) -> set[str]:
        """Every output that is on."""
        return {tag for tag in OUTPUTS if self.saw.bus.seen[tag]}

    def sees(self, tag: str) -> bool:
        return self.saw.bus.seen[tag]

    def state(self, machine: str) -> str:
        return self.saw.controller.machines[machine].state

    @property
    def states(self) -> dict[str, str]:
        return {name: m.state for name, m in self.saw.controller.machines.items()}

    @property
    def places(self) -> tuple[float, ...]:
        """Where everything is that can move the bar, the band, or a hand."""
        plant = self.saw.plant
        return (
            plant.shuttle.place.position,
            plant.head.place.position,
            plant.bar.front_m,
            plant.cutting_vise.jaw.position,
            plant.shuttle_vise.jaw.position,
        )

    # Doing --------------------------------------------------------------------------------

    def press(self, *keys: str) -> Decision | None:
        answer = None
        for key in keys:
            answer = self.saw.press(key) or answer
        return answer

    def release(self, *keys: str) -> Decision | None:
        answer = None
        for key in keys:
            answer = self.saw.release(key) or answer
        return answer

    def tap(self, *keys: str) -> Decision | None:
        answer = self.press(*keys)
        return self.release(*keys) or answer

    def palms(self, key: str) -> Decision | None:
        """Press a start key, and if it wants them both palm keys together; take all hands off."""
        answer = self.tap(key)
        waits = answer is not None and answer.refusals == (WANTS_PALMS,)
        return self.tap(*PALMS) if waits else answer

    def turn(self, mode: str) -> None:
        """Turn the mode switch, and wait until its mode has taken effect."""
        self.press(f"mode.{mode.lower()}")
        self.until(lambda: self.state("mode") == mode)

    def hold_down(self, key: str, seconds: float) -> Decision | None:
        answer = self.press(key)
        self.wait(seconds)
        self.release(key)
        return answer

    def set(self, **settings_: float | str) -> None:
        """Set by hand; `head__stop_notch=4` sets `head.stop_notch`."""
        for name, setting in settings_.items():
            self.saw.set(name.replace("__", ".", 1), setting)

    def stick(self, tag: str, value: bool) -> None:
        """Spoil a wire so that it shows one value."""
        self.saw.bus.distort(tag, stuck(value))
        self.saw.bus.settle()

    def mend(self, tag: str) -> None:
        self.saw.bus.distort(tag, None)
        self.saw.bus.settle()

    def wait(self, seconds: float) -> None:
        self.saw.advance_to(self.saw.clock.now_us + round(seconds * US))

    def until(self, reached: Callable[[], bool], limit_s: float = 600.0) -> float:
        """Let time pass event by event until something holds; return how long it took, in s."""
        clock = self.saw.clock
        began_us = clock.now_us
        while not reached():
            due_us = clock.next_us()
            assert not self.saw.plant.site.wrecked, self.harm
            assert due_us is not None, f"nothing will happen any more: {self.states}"
            assert due_us - began_us <= limit_s * US, f"not within {limit_s} s: {self.states}"
            self.saw.advance_to(due_us)
        return (clock.now_us - began_us) / US

    def until_job(self, *states: str, limit_s: float = 600.0) -> float:
        return self.until(lambda: self.job in states, limit_s)

    def until_step(self, step: str) -> float:
        return self.until(lambda: self.step == step)

    def until_in_metal(self) -> None:
        """Wait until the band cuts, and half a second more."""
        self.until(lambda: self.saw.plant.head.cutting is not None)
        self.wait(0.5)

    # Whole errands ------------------------------------------------------------------------

    def control_on(self) -> None:
        self.press("supply.isolator")
        self.power_on()

    def power_on(self) -> None:
        """Reset the safety relay, and switch control on."""
        for key in ("supply.reset", "supply.control_on"):
            answer = self.tap(key)
            assert answer is not None
            assert answer.accepted, answer

    def set_up(self, piece_mm: float = 100.0) -> None:
        """Control on, length and height stop set, feed valve open, head up."""
        self.control_on()
        counter_mm = piece_mm + self.machine.kerf_m / MM
        self.set(shuttle__stop_mm=counter_mm + 5)
        self.set(shuttle__stop_mm=counter_mm)
        self.set(head__stop_notch=3, head__feed_valve_mm_min=200, head__feed_force_n=400)
        self.press("head.raise")
        self.until(lambda: self.sees("B11"))
        self.release("head.raise")

    def band_speed(self, m_min: float = 60.0) -> None:
        """Run the band by hand, bring it to a speed, and stop it again."""
        self.palms("band.run")
        self.until(lambda: self.sees("B2"))
        dial = self.saw.plant.band.dial
        self.hold_down("band.faster", (m_min / 60 - dial.position) / self.machine.variator_m_s2)
        self.tap("band.stop")
        self.until(lambda: self.state("band") == "STOPPED")

    def clamp_bar(self) -> None:
        """Clamp both vises by hand, one after the other."""
        for vise in CLAMPED:
            self.clamp(vise)

    def clamp(self, vise: str) -> None:
        """Hold a vise's clamp key until its pressure switch makes."""
        self.press(f"{vise}.clamp")
        self.until(lambda: self.sees(CLAMPED[vise]))
        self.release(f"{vise}.clamp")

    def let_go(self, vise: str) -> None:
        """Hold a vise's release key until its jaw is fully back."""
        self.press(f"{vise}.release")
        self.until(lambda: self.sees(RELEASED[vise]))
        self.release(f"{vise}.release")

    def ready(self, first: str = "straight") -> None:
        """Turn to PRODUCTION, choose how to begin, and reset the job."""
        self.turn("PRODUCTION")
        for key in (f"job.{first}", "job.reset"):
            answer = self.tap(key)
            assert answer is not None
            assert answer.accepted, answer

    def start(self) -> None:
        answer = self.palms("job.start")
        assert answer is not None
        assert answer.accepted, answer

    def begin_job(self, first: str = "straight", *, wanted: int = 2, strokes: int = 1) -> None:
        """From a saw that nobody has touched to a job that runs."""
        self.set_up()
        self.band_speed()
        if first == "straight":
            self.clamp_bar()
        self.tap("coolant.with_band")
        self.set(job__wanted=wanted, job__strokes=strokes)
        self.ready(first)
        self.start()

    def go_on(self) -> None:
        answer = self.palms("job.unhold")
        assert answer is not None
        assert answer.accepted, answer

    def begin_and_get_to(self, step: str) -> None:
        """Begin a job of three pieces and stop the clock in the midst of a step."""
        self.begin_job("square" if step == "CLAMP_TO_SQUARE" else "straight", wanted=3)
        self.until_step(step)
        self.wait(0.05)
        assert self.step == step

    def lengths_mm(self) -> list[float]:
        """The lengths of the cuts so far, squaring cuts too."""
        return [round(cut.length_m / MM, 6) for cut in self.saw.cuts]
