"""How long a scenario's job takes: the planner's sum of moves beside the simulator's own clock."""

from typing import Final

from sim.calc import quantities as q
from sim.calc.calculators import CutSetting, table
from sim.calc.figure import Figure
from sim.errors import CommandError
from sim.pilot.autopilot import begin, power_up, run, set_up
from sim.plant.plant import Plant
from sim.session.before.bring_out import bring_out
from sim.session.opening import read, session_for
from sim.trade.job_time import Moves, job_s, piece_s
from sim.units import INCH, MM
from sim.words.message import plain

_NOT_SET_UP: Final = plain("calc.job.not-set-up", "the machine is not set up")
_NOT_SET_UP_DO: Final = plain("calc.job.not-set-up.do", "set speed and feed first")

_UNSOUND: Final = plain(
    "calc.job.unsound", "no plan of the set-up card is sound for this bar, so no job is run"
)
_UNSOUND_DO: Final = plain("calc.job.unsound.do", "see why in calc time, or on the card")


def moves_of(plant: Plant, strokes: int) -> Moves:
    """Return the moves of one piece on a machine that is set up and has its head up.

    Raises:
        CommandError: The band's speed or the feed is not set, so nothing would be cut.
    """
    machine, stock, head = plant.site.machine, plant.bar.stock, plant.head
    if plant.band.dial.position <= 0.0 or head.valve_m_s <= 0.0:
        raise CommandError(_NOT_SET_UP, "calc job", _NOT_SET_UP_DO)
    setting = CutSetting(
        speed_m_min=plant.band.dial.position * 60,
        teeth_per_inch=INCH / plant.cut.pitch_m,
        force_n=head.force_n,
        valve_mm_min=head.valve_m_s / MM * 60,
        mitre_deg=plant.swivel.mitre_deg,
    )
    cut = table(stock.material, stock.section, machine, setting)
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
        cut_s=cut.duration_s,
        lift_m=head.stop_m + bottom_m,
        lift_m_s=machine.lift_m_s,
        returns_in_cut=True,
    )


def job_figures(name: str, machine: str = "") -> list[Figure]:
    """Return the estimate and the simulator's own time.

    Args:
        name: Of the scenario.
        machine: The machine that it shall be on, its name or its file; the scenario's own when left out.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
        CommandError: No plan of the card is sound for its bar.
    """
    scenario, _ = read(name, machine)
    session = session_for(scenario.sound(), nonce="")
    if session.unsound:
        raise CommandError(_UNSOUND, "calc job", _UNSOUND_DO)
    power_up(session)
    set_up(session)
    bring_out(session)
    moves = moves_of(session.saw.plant, session.saw.controller.job.strokes)
    squares = scenario.job.first == "square"
    estimate_s = job_s(moves, scenario.job.wanted, session.machine.start_s, square_first=squares)
    # This saw goes back during the cut, and clamps only after it.
    after_a_cut = scenario.job.wanted - (0 if squares else 1)
    estimate_s += after_a_cut * moves.clamp_s
    began_s = session.now_s
    begin(session)
    run(session)
    last_s = session.saw.cuts[-1].at_us / 1e6 + (
        moves.lift_m / moves.lift_m_s + -session.machine.head_bottom_m / moves.approach_m_s
    )
    return [
        Figure(q.ONE_PIECE, round(piece_s(moves) + moves.clamp_s, 2), "s", q.SUM_OF_MOVES),
        Figure(q.CUT, round(moves.cut_s, 2), "s", q.INTEGRAL),
        Figure(q.JOB, round(estimate_s, 1), "s", q.SUM_OF_MOVES),
        Figure(q.JOB_RUN, round(last_s - began_s, 1), "s", q.RUN),
        Figure(q.LENGTH, scenario.job.length_mm, "mm", q.A_STROKE(stroke=moves.stroke_m)),
    ]  # fmt: skip
