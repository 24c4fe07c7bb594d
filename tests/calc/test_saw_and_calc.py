"""What is reckoned beforehand is what the saw does: a thousand random jobs on both saws, many of them mitred.

Each job is drawn by its number, run on a saw to the end of its bar, and held to the figures that
`drycycle calc` prints for it. A job whose cut calc warns of, or whose bar cannot be held, is none.
"""

from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from math import radians
from random import Random

import pytest

from sim.calc import calculators as calc
from sim.calc import quantities as q
from sim.calc.calculator_warnings import cut_warnings
from sim.calc.job_estimate import moves_of
from sim.plant.bar import Stock
from sim.scenario.machines import first_machine
from sim.session.card.binding import Fed
from sim.session.opening import machine_of, materials
from sim.trade.choice import tooth_pitch_m
from sim.trade.crush import is_hollow
from sim.trade.cut_list import BarStock
from sim.trade.job_time import piece_s
from sim.trade.mitre import lean_m
from sim.trade.sections import (
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    Square,
    SquareTube,
    mitre_factor,
)
from sim.trade.teeth import gullet_depth_m
from sim.units import BAR, INCH, MM, US

JOBS, PARTS = 1000, 4
FRONT_MM = 12.0  # that the bar stands out past the band when it is loaded
HARBOUR, QUAY = first_machine(), machine_of("quay-saw")

# Bounds: what a figure is printed to, or what the clock's microseconds and the piston's oil leave.
CUT_S = 6e-3  # it is printed to a hundredth
LONGEST_S = 900.0  # of a cut, so that a band is still sharp at its end
PIECE_S = 0.05
REST_MM = 0.01
FORCE = 2e-3
WEAR = 1e-2  # goes with the eighth power of a band speed that a key leaves within a thousandth


@dataclass
class Job:
    """One job as it is drawn."""

    machine: object
    stock: Stock
    setting: calc.CutSetting
    piece_mm: float
    pressure_bar: float
    tension_mpa: float
    front_mm: float
    bow_mm_m: float

    @property
    def mitre_deg(self) -> float:
        return self.setting.mitre_deg

    @property
    def span_mm(self) -> float:
        """Of the guides, a hand clear of what the band goes across."""
        return self.stock.section.width_m / MM * mitre_factor(radians(self.mitre_deg)) + 20


# Harm of the band alone: what is sawn, and how long it takes, is as calc has it
NO_MATTER = {"teeth-rubbed"}
GOES_THROUGH = {f"calc.warning.{each}" for each in ("few-teeth", "rubs", "overfed")}


def a_section(chance) -> Section:
    size = chance.uniform(25, 90) * MM
    wall = chance.uniform(2, 5) * MM
    return chance.choice([
        Round(size), Square(size), Rectangle(size, size * chance.uniform(0.4, 1.2)),
        RoundTube(size, wall), SquareTube(size, wall), RectangularTube(size, size * 0.8, wall),
    ])  # fmt: skip


def values(figures):
    return {figure.quantity: figure.value for figure in figures}


def a_job(number):
    """Draw the job of a number; None where calc warns of it."""
    chance = Random(number)
    machine = replace(
        chance.choice([HARBOUR, QUAY]),
        jaw_friction=chance.choice([0.05, 0.15, 0.3]), wheel_friction=chance.choice([0.1, 0.2]),
        jaw_efficiency=chance.choice([0.8, 0.9]),
    )  # fmt: skip
    metal = chance.choice(sorted(materials().values(), key=lambda each: each.name))
    section = a_section(chance)
    low = max(metal.speed_low_m_s, machine.band_low_m_s)
    high = min(metal.speed_high_m_s, machine.band_high_m_s)
    setting = calc.CutSetting(
        chance.uniform(low, high) * 60, round(INCH / tooth_pitch_m(section)),
        chance.uniform(80, 1200), chance.choice([chance.uniform(8, 200), chance.uniform(3, 15)]),
        mitre_deg=chance.choice([0.0, 0.0, 0.0, 30.0, 45.0, round(chance.uniform(1, machine.mitre_high_deg), 1)]),
    )  # fmt: skip
    mitre_rad = radians(setting.mitre_deg)
    if low >= high:
        return None
    cut = calc.toothed(metal, section, machine, setting)
    fed = Fed(machine, metal, section, cut.table, setting.force_n, setting.valve_mm_min * MM / 60)
    warned = {each.key for each in cut_warnings(machine, cut, 1.0, fed)} - GOES_THROUGH
    if warned or cut.table.duration_s > LONGEST_S:
        return None
    piece_mm = round(chance.uniform(15, 250), 1)
    least_mm = machine.least_rest_m / MM
    pieces = chance.randint(0, 3)
    front_mm = FRONT_MM + lean_m(section.width_m, mitre_rad) / MM
    each_mm = piece_mm + machine.kerf_m / MM * mitre_factor(mitre_rad)
    length_mm = front_mm + least_mm + (pieces + chance.uniform(0.01, 0.99)) * each_mm
    low_bar, high_bar = machine.clamping_low_pa / BAR, machine.clamping_high_pa / BAR
    pressure_bar = chance.uniform(low_bar, chance.choice([1.5 * low_bar, high_bar]))
    bow_mm_m = Random(f"bow {number}").choice([0.0, 0.2, 0.5, 1.0])
    stock = Stock(metal, section, length_mm * MM, front_mm * MM, bow_m=bow_mm_m * MM)
    job = Job(
        machine,
        stock,
        setting,
        piece_mm,
        pressure_bar,
        chance.uniform(200, 280),
        front_mm,
        bow_mm_m,
    )
    return job if job.span_mm <= machine.guide_high_m / MM else None


def run(new_hands, job):
    """Run a job to the end of its bar; return the hands, and the times of each cut."""
    hands = new_hands(job.stock, job.machine)
    hands.control_on()
    plant, section = hands.saw.plant, job.stock.section
    counter_mm = values(calc.mitre(section, job.machine, job.piece_mm, job.mitre_deg))[q.STOP]
    notch_m = job.machine.notch_step_m
    hands.set(
        band__brush_mm=gullet_depth_m(INCH / job.setting.teeth_per_inch) / MM,
        band__tension_mpa=job.tension_mpa,
        band__guide_span_mm=max(job.machine.guide_low_m / MM, job.span_mm),
        head__mitre_deg=job.mitre_deg,
        outfeed__back_rail="back" if job.mitre_deg else "in place",
        cutting_vise__pressure_bar=job.pressure_bar,
        shuttle_vise__pressure_bar=job.pressure_bar,
        head__stop_notch=int((section.height_m + 0.008) / notch_m) + 1,
        head__feed_valve_mm_min=job.setting.valve_mm_min,
        head__feed_force_n=job.setting.force_n,
        job__wanted=99,
        coolant__level_percent=100,
    )
    plant.shuttle.wind_to((counter_mm + 5) * MM)
    plant.shuttle.wind_to(counter_mm * MM)
    plant.blade.fit(job.setting.teeth_per_inch, run_in=True)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.band_speed(job.setting.speed_m_min)
    hands.tap("coolant.with_band")
    hands.ready("square")
    moves = moves_of(plant, 1)
    hands.start()
    began, spans, worn = [], [], []
    head, cuts = plant.head, hands.saw.cuts
    begin = head.sawing.begin

    def begins(plan):
        began.append(hands.saw.clock.now_us)
        plans.append(plan)
        begin(plan)

    plans = []
    head.sawing.begin = begins
    ended = ("HELD", "COMPLETE", "STOPPED", "ABORTED")
    while not over(hands, ended):
        hands.until(partial(moved_on, hands, len(cuts), ended), 40_000)
        if len(cuts) > len(spans):
            spans.append((cuts[-1].at_us - began[-1]) / US)
            worn.append(plant.blade.wear)
            plant.blade.fit(job.setting.teeth_per_inch, run_in=True)  # sharp, as calc takes it
    return hands, spans, plans, moves, worn


def over(hands, ended):
    """Whether a job has ended, or would never: teeth that rubbed themselves blunt do not come through."""
    plant = hands.saw.plant
    return hands.job in ended or plant.site.wrecked or plant.blade.wear >= 1.0


def moved_on(hands, made, ended):
    return len(hands.saw.cuts) > made or over(hands, ended)


@pytest.mark.parametrize("part", range(PARTS))
def test_the_saw_does_what_calc_says(new_hands, part):
    told = {"jobs": 0, "pieces": 0, "slips": 0, "dents": 0, "held": 0, "mitred": 0, "bowed": 0}
    number = part
    while told["jobs"] < JOBS // PARTS:
        job = a_job(number)
        if job is not None:
            try:
                hold_to_calc(new_hands, job, told)
            except AssertionError as failed:
                raise AssertionError(f"job {number}: {failed}") from failed
        number += PARTS
    assert told["pieces"] > 0.3 * told["jobs"]
    assert told["slips"] >= 5
    assert told["dents"] >= 3
    # In time, pieces and remnant: those that nothing but their band came to harm in
    assert told["held"] >= 0.4 * told["jobs"]
    assert told["mitred"] >= 0.15 * told["jobs"]
    assert told["bowed"] >= 0.15 * told["jobs"]  # pieces of them


def hold_to_calc(new_hands, job, told):
    metal, section = job.stock.material, job.stock.section
    cut = values(calc.time(metal, section, job.machine, job.setting))
    power_w = cut[q.POWER]
    force_n = power_w / (job.setting.speed_m_min / 60)
    window = values(calc.hold(metal, section, job.machine, force_n, job.mitre_deg))
    least_bar, most_bar = window[q.LEAST_CLAMPING], window[q.MOST_CLAMPING]
    slip_n = values(calc.tension(job.machine, job.tension_mpa))
    along_mm = values(calc.mitre(section, job.machine, job.piece_mm, job.mitre_deg))[q.KERF_ALONG]
    hundredths = [round(mm * 100) for mm in (
        job.stock.length_m / MM, job.piece_mm, along_mm,
        job.front_mm - along_mm, job.machine.least_rest_m / MM,
    )]  # fmt: skip
    length, piece, kerf, slug, least = hundredths
    pieces = values(calc.bar_count(BarStock(length, kerf, slug, least), piece))[q.PIECES_A_BAR]

    hands, spans, plans, moves, worn = run(new_hands, job)
    plant, harm = hands.saw.plant, set(hands.harm)
    told["jobs"] += 1

    # force
    assert plans[0].peak_pull_n == pytest.approx(
        force_n, rel=FORCE, abs=0.6 / (job.setting.speed_m_min / 60)
    )
    assert plans[0].setup.pull_limit_n == pytest.approx(
        min(slip_n[q.SLIP], slip_n[q.BELT]), rel=1e-3
    )
    # slip and dent, a tenth of a bar to both sides of what is printed
    if job.pressure_bar > least_bar + 0.1 and "tube-crushed" not in harm:  # folded, it bears less
        assert "bar-snatched" not in harm
        assert not [
            h
            for h in hands.saw.consequences
            if h.kind == "bar-slipped" and "turned" in str(h.detail)
        ]
    if job.pressure_bar < 0.5 * least_bar - 0.1 and not is_hollow(
        section
    ):  # a wall is soon through
        told["slips"] += 1
        assert harm & {"bar-slipped", "bar-snatched"}
    if job.pressure_bar < most_bar - 0.1:
        assert "tube-crushed" not in harm
    if job.pressure_bar > 2.0 * most_bar and pieces:  # folded, and not a dent that nobody sees
        told["dents"] += 1
        assert "tube-crushed" in harm
    if harm - NO_MATTER or job.pressure_bar < least_bar + 0.1:  # a bar creeps unseen, too
        return
    told["held"] += 1
    told["mitred"] += job.mitre_deg > 0.0
    # time
    assert spans[0] == pytest.approx(cut[q.CUT_TIME], abs=CUT_S)
    assert spans == [pytest.approx(cut[q.CUT_TIME], abs=CUT_S)] * len(spans)
    # wear, of which a cut takes what its area is of that of a life
    due = cut[q.AREA] / cut[q.LASTS]
    assert worn == [pytest.approx(due, rel=WEAR + 0.06 / cut[q.LASTS])] * len(worn)
    made = [each for each in hands.saw.cuts if not each.squaring]
    gaps = [(b.at_us - a.at_us) / US for a, b in pairwise(made)]
    assert gaps == [pytest.approx(piece_s(moves) + moves.clamp_s, abs=PIECE_S)] * len(gaps)
    # pieces and remnant
    assert hands.job == "HELD"
    assert len(made) == pieces
    told["pieces"] += pieces
    hold_pieces_to_calc(job, made, told)
    rest_mm = plant.bar.length_m / MM
    assert rest_mm == pytest.approx(
        (length - slug - kerf - pieces * (piece + kerf)) / 100, abs=REST_MM + 0.005 * pieces
    )
    if pieces:
        hold_chips_to_calc(job, cut, plant, made)


def hold_pieces_to_calc(job, made, told):
    """A stop as calc has it gives the piece that is wanted, along both edges of a straight bar."""
    metal, section = job.stock.material, job.stock.section
    bowed = values(
        calc.bow(metal, section, job.machine, job.bow_mm_m, job.piece_mm, job.pressure_bar)
    )
    for each in made:
        off_mm = bowed[q.EDGES_DIFFER] / 2
        wanted_mm = pytest.approx([job.piece_mm + off_mm, job.piece_mm - off_mm], abs=REST_MM)
        assert [each.length_m / MM, each.short_m / MM] == wanted_mm
        # and its face leans from side to side by the bow alone, of a bar that is held
        if not job.mitre_deg:
            told["bowed"] += job.bow_mm_m > 0.0
            due_mm = pytest.approx(bowed[q.FACE_OUT_SQUARE], abs=2e-3)
            assert each.gap_across_m / MM == due_mm


def hold_chips_to_calc(job, cut, plant, made):
    """Chips: kerf by the area that calc says is cut."""
    section = job.stock.section
    sawn_m = job.stock.length_m - job.front_mm * MM - plant.bar.length_m
    pieces_m = sum((each.length_m + each.short_m) / 2 for each in made)
    chips_m3 = (sawn_m - pieces_m) * section.area_m2
    due_m3 = job.machine.kerf_m * cut[q.AREA] * 1e-4 * len(made)
    printed = 0.005 / cut[q.AREA]  # what the area is printed to
    assert chips_m3 == pytest.approx(due_m3, rel=printed + 1e-6)
