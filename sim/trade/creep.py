"""How far a bar that is not held hard enough moves, in the cut and while it is indexed.

Never here: vises and switches.

Theory. In the cut the band pulls across the bar, at the very end of the jaws. Square to the bar the jaws
themselves stand against it. Friction must bear what is left: the part of the pull that a mitre turns along the
bar, a round bar that would roll, and the moment where the band pulls away from the solid jaw. Rigid statics with
dry friction (six equations of balance, the bed under the bar, the moving jaw with an even pressure) asks in the worst
case for 1.6 times the pull F as holding: a thick round bar, mitred, pulled away from the solid jaw at its top. A flat bar that is
pulled square against the solid jaw asks for none, and away from it for 0.6 F where the jaws are oiled, as here (for up
to 1.15 F where they are as dry as 0.3). The saw takes F of a flat bar that is cut square, and 2 F of every other; the quarter above the worst case
is for teeth that strike, chosen for this saw. (With nothing but friction in the faces of the jaws it would be
(1 + sqrt 2) F: so is a pull borne that lies in the faces, which it does not here. All of it is in
tests/published/test_trade_holding.py.)

So below twice the pull the bar begins to turn (skew), below the pull itself it slides as a whole; a flat bar that
is cut square at half of either. It then creeps,
by a share of the depth cut that grows with what is missing: rate x (1 - holding / (n F)) per metre of depth, n those
numbers; the rates are chosen for this saw. The card keeps half as much again in reserve, and a fifth in its last resort.

In an index the jaws must bring the bar up to the shuttle's speed within its ramp and drag it over
the rollers. If friction gives less than that, the bar is left behind while the shuttle speeds up
and runs on while it slows down; what is left of the two is the error of the piece.
"""

from typing import Final

from sim.trade.cut_table import CutTable
from sim.trade.sections import Rectangle, RectangularTube, Section, Square, SquareTube
from sim.trade.wander import peak_pull_n, pull_n
from sim.units import GRAVITY_M_S2

SKEW_AT: Final = 2.0  # times the pull; see above
_FLAT_AT: Final = 1.0  # the same of a flat bar that is cut square
_SLIDES: Final = 0.5  # of these, where a bar slides as a whole
_SNATCHED: Final = 0.125  # of these, where it is torn out; chosen for this saw
_CELLS: Final = 32
_HAIR: Final = 1e-9


def skew_at(section: Section, widening: float) -> float:
    """Return how many times over the pull must be held so that a bar does not turn.

    Args:
        section: The bar as it lies.
        widening: Of the contact by a mitre; 1 for a square cut.
    """
    flat = isinstance(section, Rectangle | Square | RectangularTube | SquareTube)
    return _FLAT_AT if flat and widening < 1.0 + _HAIR else SKEW_AT


def slide_at(section: Section, widening: float) -> float:
    """Return how many times over the pull must be held so that a bar does not slide as a whole."""
    return _SLIDES * skew_at(section, widening)


def snatched_at(section: Section, widening: float) -> float:
    """Return how many times over the pull must be held so that a bar is not torn out."""
    return _SNATCHED * skew_at(section, widening)


def creep_m(
    table: CutTable, holding_n: float, times: float, rate: float, from_m: float, to_m: float
) -> float:
    """Return how far the bar creeps while the band goes from one depth to another, m.

    Args:
        table: The cut.
        holding_n: What the vise holds along its jaws, N.
        times: How many times over the pull must be held, by `skew_at` or `slide_at`.
        rate: Creep per depth with nothing held at all.
        from_m: Depth at which to begin, m.
        to_m: Depth at which to end, m.
    """
    if holding_n >= times * peak_pull_n(table):
        return 0.0
    cell_m = (to_m - from_m) / _CELLS
    missing = 0.0
    for cell in range(_CELLS):
        load_n = times * pull_n(table, from_m + (cell + 0.5) * cell_m)
        if load_n > holding_n:
            missing += 1.0 - holding_n / load_n
    return rate * missing * cell_m


def index_slip_m(
    holding_n: float, mass_kg: float, speed_m_s: float, ramp_m_s2: float, drag: float
) -> float:
    """Return by how much a bar falls short of the shuttle's travel, m; infinity if it stays put.

    Args:
        holding_n: What the shuttle vise holds along its jaws, N.
        mass_kg: The whole bar.
        speed_m_s: Speed of the shuttle, m/s.
        ramp_m_s2: How fast the shuttle speeds up and slows down, m/s2.
        drag: Drag of the bar on its rollers, as a share of its weight.
    """
    drag_n = drag * mass_kg * GRAVITY_M_S2
    if holding_n <= drag_n:
        return float("inf")
    half_square = speed_m_s**2 / 2.0

    def behind_m(friction_m_s2: float) -> float:
        return max(0.0, half_square / friction_m_s2 - half_square / ramp_m_s2)

    speeding = behind_m((holding_n - drag_n) / mass_kg)
    slowing = behind_m((holding_n + drag_n) / mass_kg)
    return speeding - slowing
