"""A good operator's job on this saw, with whatever a test wants set otherwise."""

from collections.abc import Callable
from math import ceil, log, radians

import pytest

from sim.plant.bar import Stock
from sim.plant.blade import CONDITIONS, SHARP
from sim.scenario.machines import first_machine
from sim.trade.band import Band, centre_compliance_m_n, strand_force_n
from sim.trade.choice import stock_pitches_m, too_few_teeth, tooth_pitch_m
from sim.trade.crush import first_yield_n
from sim.trade.cutting import CutConditions, cutting_force_n
from sim.trade.edge import EDGE_SHARP_M, FAIR_CHIP_M, RUN_IN_M2
from sim.trade.materials import Material
from sim.trade.sections import Bundle, Round, RoundTube, mitre_factor
from sim.trade.teeth import depths_to_look_at_m, feed_for_teeth_m_s, gullet_depth_m
from sim.trade.toothed_cut import ToothEdge, toothed_cut
from sim.trade.wander import most_thrust_n
from sim.units import BAR, INCH, MM, MPA, US

STEEL = Material(
    name="steel",
    title="structural steel",
    density_kg_m3=7850,
    yield_pa=275e6,
    young_pa=210e9,
    kc11_pa=1780e6,
    mc=0.17,
    speed_low_m_s=70 / 60,
    speed_high_m_s=100 / 60,
    source="from memory, for tests only",
)
TUBE = Stock(STEEL, RoundTube(60 * MM, 3 * MM), length_m=6.0, front_m=12 * MM)
_ENDED = ("COMPLETE", "HELD", "STOPPED", "ABORTED")


@pytest.fixture
def steel() -> Material:
    return STEEL


@pytest.fixture
def post() -> Stock:
    """The bar that the saw's defaults are for."""
    return Stock(STEEL, Round(60 * MM), length_m=6.0, front_m=12 * MM)


@pytest.fixture
def tube() -> Stock:
    """Thin enough to be crushed, and to strip coarse teeth."""
    return TUBE


@pytest.fixture
def sensible():
    """What a good operator sets for a bar, from the trade's own rules; None if nothing will do."""

    def sensible(stock: Stock, mitre_deg: float = 0.0) -> dict[str, float | str] | None:
        widening = mitre_factor(radians(mitre_deg))
        charted_m = tooth_pitch_m(stock.section, widening)
        # Where that does not bite, the next one of the stock does, coarser or finer.
        near_m = sorted(stock_pitches_m(), key=lambda each_m: abs(log(each_m / charted_m)))
        fit_m = [each_m for each_m in near_m if not too_few_teeth(stock.section, each_m, widening)]
        tries = (with_pitch(stock, mitre_deg, pitch_m) for pitch_m in fit_m)
        return next((settings for settings in tries if settings is not None), None)

    def with_pitch(stock: Stock, mitre_deg: float, pitch_m: float) -> dict[str, float | str] | None:
        section, metal = stock.section, stock.material
        machine = first_machine()
        cut = CutConditions(metal.kc11_pa, metal.mc, pitch_m, machine.kerf_m, 1.0, 1.0)
        valve_mm_min = min(60.0, feed_for_teeth_m_s(section, cut) / MM * 60)
        widening = mitre_factor(radians(mitre_deg))
        longest_m = max(section.contact_length_m(d) for d in depths_to_look_at_m(section))
        span_m = max(40 * MM, section.width_m * widening + 20 * MM)
        strip = Band(machine.band_width_m, machine.band_thickness_m)
        give_m_n = centre_compliance_m_n(
            span_m, strand_force_n(230 * MPA, strip), strip.sideways_stiffness_n_m2
        )
        straight_n = most_thrust_n(
            0.7 * machine.square_limit, section.height_m, CONDITIONS[SHARP].side * give_m_n
        )
        fair_n = cutting_force_n(
            metal.kc11_pa, metal.mc, machine.kerf_m, FAIR_CHIP_M, max(longest_m / pitch_m, 1.0)
        )
        force_n = max(min(fair_n, 500.0, straight_n), 50.0)
        per_pa = machine.piston_m2 * machine.jaw_efficiency
        needed_pa = 2.4 * force_n / (2 * machine.jaw_friction * per_pa)
        dents_pa = [
            first_yield_n(section, metal, jaw_m) / per_pa
            for jaw_m in (machine.jaw_length_m, machine.cutting_jaw_m)
        ]
        pressure_bar = max(needed_pa / BAR, 12.0)
        bites = toothed_cut(
            section, force_n, valve_mm_min * MM / 60, cut, ToothEdge(EDGE_SHARP_M, metal.hardened),
            radians(mitre_deg),
        ).rubbed < 0.1  # fmt: skip
        if pressure_bar > 0.95 * min(*dents_pa, 60 * BAR) / BAR or not bites:
            return None
        return {
            "band__teeth_per_inch": INCH / pitch_m,
            "band__brush_mm": gullet_depth_m(pitch_m) / MM,
            "band__guide_span_mm": span_m / MM,
            "head__feed_valve_mm_min": valve_mm_min,
            "head__feed_force_n": force_n,
            "cutting_vise__pressure_bar": pressure_bar,
            "shuttle_vise__pressure_bar": pressure_bar,
            "cutting_vise__bundle_clamp": "down" if isinstance(section, Bundle) else "up",
            "head__mitre_deg": mitre_deg,
            "outfeed__back_rail": "back" if mitre_deg else "in place",
        }

    return sensible


@pytest.fixture
def ready(new_hands, post):
    """A saw set up as a good operator would for a bar, all but what a test sets otherwise."""

    def ready(stock: Stock | None = None, speed_m_min: float = 60.0, **settings: float | str):
        hands = new_hands(stock or post)
        plant = hands.saw.plant
        section = plant.bar.stock.section
        hands.control_on()
        hands.set(
            head__stop_notch=min(ceil((section.height_m + 8 * MM) / (20 * MM)), 12),
            head__feed_valve_mm_min=60,
            head__feed_force_n=300,
            band__guide_span_mm=max(40.0, section.width_m / MM + 20),
            shuttle__stop_mm=110,
        )
        mitre_rad = radians(float(settings.get("head__mitre_deg", 0.0)))
        hands.set(shuttle__stop_mm=100.0 + 1.5 * mitre_factor(mitre_rad))
        hands.hold_down("head.raise", 5)
        hands.band_speed(speed_m_min)
        hands.set(**settings)
        plant.blade.sawn_m2 = RUN_IN_M2  # a band that is fitted here was run in before
        return hands

    return ready


@pytest.fixture
def ran(ready) -> Callable[..., object]:
    """A whole job with settings, run until it ends, holds, stops or wrecks."""

    def ran(
        stock: Stock | None = None,
        *,
        wanted: int = 1,
        first: str = "straight",
        coolant: str = "with_band",
        speed_m_min: float = 60.0,
        hours: float = 2.0,
        spoil: Callable[[object], None] = lambda _plant: None,
        **settings: float | str,
    ):
        hands = ready(stock, speed_m_min, **settings)
        spoil(hands.saw.plant)
        hands.saw.bus.settle()
        if first == "straight":
            hands.clamp_bar()
        hands.tap(f"coolant.{coolant}")
        hands.set(job__wanted=wanted)
        hands.ready(first)
        hands.start()
        clock = hands.saw.clock
        end_us = clock.now_us + round(hours * 3600 * US)
        while hands.job not in _ENDED and not hands.saw.plant.site.wrecked:
            due_us = clock.next_us()
            if due_us is None or due_us > end_us:
                hands.saw.advance_to(end_us)
                break
            hands.saw.advance_to(due_us)
        return hands

    return ran


@pytest.fixture
def mis_set(ready):
    """A job begun on a saw set and spoilt anyhow; refusals on the way are kept, not raised."""

    def mis_set(stock: Stock, settings: dict[str, float | str], spoil: Callable[[object], None]):
        hands = ready(stock)
        hands.refused = False
        spoil(hands.saw.plant)
        hands.saw.bus.settle()
        for name, setting in settings.items():
            if not hands.saw.plant.site.wrecked:
                hands.set(**{name: setting})
        hands.set(job__wanted=3)
        hands.tap("coolant.with_band")
        hands.press("mode.production")
        hands.wait(1)
        hands.tap("job.square")
        for press in (hands.tap("job.reset"), hands.palms("job.start")):
            hands.refused |= press is None or not press.accepted
        clock = hands.saw.clock
        end_us = clock.now_us + 4 * 3600 * US
        events = 0
        while hands.job not in _ENDED and not hands.saw.plant.site.wrecked:
            due_us = clock.next_us()
            if due_us is None or due_us > end_us:
                break
            hands.saw.advance_to(due_us)
            events += 1
            assert events < 5000, hands.states
        return hands

    return mis_set


@pytest.fixture
def told():
    """The sentence of the one consequence of a kind, which must have happened."""

    def told(hands, kind: str) -> str:
        found = [c for c in hands.saw.consequences if c.kind == kind]
        assert found, (kind, hands.harm, hands.job, hands.reason)
        return str(found[0].sentence)

    return told
