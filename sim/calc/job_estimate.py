"""How long a scenario's job takes: the planner's sum of moves beside the simulator's own clock."""

from dataclasses import replace
from typing import Final

from sim.calc import quantities as q
from sim.calc.figure import Figure
from sim.errors import CommandError
from sim.pilot.autopilot import begin, power_up, run, set_up
from sim.plant.blade import Blade
from sim.plant.plant import Plant
from sim.session.before.bring_out import bring_out
from sim.session.opening import read, session_for
from sim.trade.cutting import CutConditions
from sim.trade.edge import chipped_off
from sim.trade.job_time import Moves, job_of_cuts_s, piece_s
from sim.trade.life import band_life_s
from sim.trade.toothed_cut import ToothedCut, ToothEdge, toothed_cut
from sim.words.message import plain

_NOT_SET_UP: Final = plain("calc.job.not-set-up", "the machine is not set up")
_NOT_SET_UP_DO: Final = plain("calc.job.not-set-up.do", "set speed and feed first")

_NO_CUT: Final = plain(
    "calc.job.no-cut", "set up by its card and begun, the job of this scenario cuts nothing"
)
_NO_CUT_DO: Final = plain("calc.job.no-cut.do", "see what drycycle run tells of it")
_UNSOUND: Final = plain(
    "calc.job.unsound", "no plan of the set-up card is sound for this bar, so no job is run"
)
_UNSOUND_DO: Final = plain("calc.job.unsound.do", "see why in calc time, or on the card")


def moves_of(plant: Plant, strokes: int) -> Moves:
    """Return the moves of one piece on a machine that is set up and has its head up.

    Raises:
        CommandError: The band's speed or the feed is not set, so nothing would be cut.
    """
    machine, head = plant.site.machine, plant.head
    if plant.band.dial.position <= 0.0 or head.valve_m_s <= 0.0:
        raise CommandError(_NOT_SET_UP, "calc job", _NOT_SET_UP_DO)
    gap_s = plant.cutting_vise.gap_m / machine.jaw_m_s
    bottom_m = -machine.head_bottom_m
    return Moves(
        strokes=strokes,
        stroke_m=plant.shuttle.stop_m,
        back_m_s=machine.shuttle_m_s,
        forward_m_s=machine.shuttle_m_s,
        clamp_s=gap_s + machine.build_up_s,
        release_s=gap_s,
        approach_m=head.stop_m - plant.bar.height_m + bottom_m,
        approach_m_s=head.valve_m_s,
        cut_s=_cut_now(plant, plant.blade).table.duration_s,
        lift_m=head.stop_m + bottom_m,
        lift_m_s=machine.lift_m_s,
        returns_in_cut=True,
    )


def cuts_of(plant: Plant, strokes: int, count: int) -> tuple[list[Moves], float]:
    """Return the moves of so many cuts, one after the other, and what they use up of the band's life.

    Each is sawn with the teeth as those before it leave them: an edge that wears, and one that is run in. What the
    brush leaves in the gullets, and a band that is changed in between, are left out.

    Raises:
        CommandError: As for `moves_of`.
    """
    moves, blade, stock = moves_of(plant, strokes), plant.blade.copy(), plant.bar.stock
    before, made = blade.wear, []
    life_s = band_life_s(
        plant.site.machine.band_life_s, stock.material, plant.band.dial.position,
        plant.coolant.worth, plant.brush.extra_wear,
    )  # fmt: skip
    for _ in range(count):
        cut = _cut_now(plant, blade)
        made.append(replace(moves, cut_s=cut.table.duration_s))
        area_m2 = stock.section.area_m2 * cut.table.widening
        spent = cut.table.duration_s * cut.toil / life_s
        blade.use(spent + chipped_off(cut.chip_m, blade.sawn_m2, area_m2), area_m2)
    return made, blade.wear - before


def _cut_now(plant: Plant, blade: Blade) -> ToothedCut:
    """Return the cut as the machine is set, with the teeth of a band as they are."""
    machine, material, teeth = plant.site.machine, plant.bar.stock.material, blade.condition
    return toothed_cut(
        plant.bar.stock.section,
        plant.head.force_n,
        plant.head.valve_m_s,
        CutConditions(
            material.kc11_pa * teeth.force, material.mc, blade.pitch_m, machine.kerf_m,
            plant.band.dial.position, machine.thrust_ratio * teeth.thrust,
        ),
        ToothEdge(teeth.edge_m, material.hardened),
        plant.swivel.mitre_rad,
    )  # fmt: skip


def job_figures(name: str, machine: str = "") -> list[Figure]:
    """Return the estimate and the simulator's own time.

    Args:
        name: Of the scenario.
        machine: The machine that it shall be on, its name or its file; the scenario's own when left out.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
        CommandError: No plan of the card is sound for its bar, or nothing is cut.
    """
    scenario, _ = read(name, machine)
    session = session_for(scenario.sound(), nonce="")
    if session.unsound:
        raise CommandError(_UNSOUND, "calc job", _UNSOUND_DO)
    power_up(session)
    set_up(session)
    bring_out(session)
    plant, strokes = session.saw.plant, session.saw.controller.job.strokes
    moves, squares = moves_of(plant, strokes), scenario.job.first == "square"
    cuts, worn = cuts_of(plant, strokes, scenario.job.wanted + squares)
    estimate_s = job_of_cuts_s(cuts, session.machine.start_s, square_first=squares)
    # This saw goes back during the cut, and clamps only after it.
    after_a_cut = scenario.job.wanted - (0 if squares else 1)
    estimate_s += after_a_cut * moves.clamp_s
    began_s = session.now_s
    begin(session)
    run(session)
    if not session.saw.cuts:
        raise CommandError(_NO_CUT, "calc job", _NO_CUT_DO)
    last_s = session.saw.cuts[-1].at_us / 1e6 + (
        moves.lift_m / moves.lift_m_s + -session.machine.head_bottom_m / moves.approach_m_s
    )
    return [
        Figure(q.ONE_PIECE, round(piece_s(moves) + moves.clamp_s, 2), "s", q.SUM_OF_MOVES),
        Figure(q.CUT, round(moves.cut_s, 2), "s", q.BAND_AS_IT_IS),
        Figure(q.LAST_CUT, round(cuts[-1].cut_s, 2), "s", q.BAND_AS_WORN),
        Figure(q.USED_UP, round(worn * 100, 2), "%", q.BY_WEAR_OF_CUTS),
        Figure(q.JOB, round(estimate_s, 1), "s", q.SUM_OF_MOVES),
        Figure(q.JOB_RUN, round(last_s - began_s, 1), "s", q.RUN),
        Figure(q.LENGTH, scenario.job.length_mm, "mm", q.A_STROKE(stroke=moves.stroke_m)),
    ]  # fmt: skip
