"""The band between its guides: stress, sideways give, heat and hold on the wheels.

Never here: teeth and chips (`sim.trade.cutting`).

Theory. Between two guides the band is a strip under tension T with a side force in the middle.
With u = (L/2) sqrt(T / EI) its give is

    pinned at the guides     L/4T (1 - tanh(u) / u)
    held square by them      L/4T (1 - tanh(u/2) / (u/2))

At real tension u is large for the thin way of the band: it gives like a string, as L / 4T, and
not like a beam, as L^3 / 48EI, which would be some hundred times too soft. With no tension the
beam is what is left. Source: Timoshenko, Strength of Materials II, tie rods (page from memory);
derived again here and checked against two other routes in tests/published/.

Edgewise the feed presses on the teeth, and a strip that is pressed on its edge runs out sideways at a critical
force: it bends and twists at once, as a narrow beam with a load in mid-span does (Timoshenko and Gere, Theory of
Elastic Stability, lateral buckling; from memory). EI bends it; C = GJ + T (w^2 + t^2)/12 twists it, the second
part being what the tension adds; a = w/2 is the load's height over the middle. Bending solved exactly under
tension for a twist that grows straight from the guides to the load, and that twist put in the energy, gives

    P = 8 sqrt(EI C) p / L^2,   k Q(u) p^2 + (2 a/L) sqrt(EI/C) p = 1
    Q(u) = 2/u^2 (2/3 - 2 tanh u/u + (2 - 4/cosh u)/u^2 + 2 tanh u/u^3),   1/5 at no tension

The true twist is not quite straight and runs out a little sooner: k = 1.08 is what a string wants under a load in
its middle, where both are closed (z atanh z = 1, P = 4 z sqrt(C T)/L). So it stays within 2 % of the energy of all
waves, bands 13 to 67 mm wide, spans 40 to 420 mm, none to 300 MPa (tests/published/test_trade_band.py). Not in it: tension carries a part of the feed
edgewise too, and at 230 MPa puts P up by 2 % at 200 mm and 5 % at 340 mm; left out, on the careful side.
"""

from dataclasses import dataclass
from math import exp, pi, sqrt, tanh
from typing import Final

from sim.trade.bounds import require_above_zero

STEEL_YOUNG_PA: Final = 210e9  # from memory; any steel within 5 %
STEEL_POISSON: Final = 0.3  # textbooks
STEEL_EXPANSION_PER_K: Final = 12e-6  # from memory
_TWIST_NOT_STRAIGHT: Final = 1.08  # k of the head of this file


@dataclass(frozen=True)
class Band:
    """A steel band: back to gullet is its width, its body its thickness."""

    width_m: float
    thickness_m: float
    young_pa: float = STEEL_YOUNG_PA

    def __post_init__(self) -> None:
        require_above_zero(
            "Band",
            width_m=self.width_m,
            thickness_m=self.thickness_m,
            young_pa=self.young_pa,
        )

    @property
    def area_m2(self) -> float:
        """Cross-section of one strand, m2."""
        return self.width_m * self.thickness_m

    @property
    def sideways_stiffness_n_m2(self) -> float:
        """Bending stiffness EI the thin way, N m2."""
        return self.young_pa * self.width_m * self.thickness_m**3 / 12.0


def strand_force_n(tension_stress_pa: float, band: Band) -> float:
    """Return the pull in one strand, N; the wheels are pushed apart with twice that."""
    return tension_stress_pa * band.area_m2


def tension_stress_pa(strand_n: float, band: Band) -> float:
    """Return the stress that a pull in one strand makes, Pa."""
    return strand_n / band.area_m2


def wheel_bending_stress_pa(band: Band, wheel_diameter_m: float) -> float:
    """Return the stress of bending round a wheel, Pa: E t / D, the band thin beside the wheel."""
    return band.young_pa * band.thickness_m / wheel_diameter_m


def centre_compliance_m_n(
    span_m: float, tension_n: float, stiffness_n_m2: float, built_in: bool = False
) -> float:
    """Return the give of a tensioned strip at mid-span, m/N.

    Args:
        span_m: Free length between the guides, m.
        tension_n: Pull in the strand, N, not below zero.
        stiffness_n_m2: EI the way it bends, N m2.
        built_in: The guides hold the band square, instead of letting it turn.
    """
    half = span_m / 2.0 * sqrt(tension_n / stiffness_n_m2)
    beam_m_n = span_m**3 / ((192.0 if built_in else 48.0) * stiffness_n_m2)
    argument = half / 2.0 if built_in else half
    square = argument * argument
    if square < 1e-4:  # the closed form loses all digits here; two terms of its series are left
        return beam_m_n * (1.0 - 0.4 * square)
    return span_m / (4.0 * tension_n) * (1.0 - tanh(argument) / argument)


def runs_out_at_n(span_m: float, tension_n: float, band: Band) -> float:
    """Return the feed force at which a strand runs out sideways, teeth first, N; see the head of this file.

    Args:
        span_m: Free length between the guides, m.
        tension_n: Pull in the strand, N, not below zero.
        band: Its section.
    """
    bending_n_m2 = band.sideways_stiffness_n_m2
    shear_pa = band.young_pa / (2.0 * (1.0 + STEEL_POISSON))
    torsion_n_m2 = shear_pa * band.width_m * band.thickness_m**3 / 3.0
    torsion_n_m2 += tension_n * (band.width_m**2 + band.thickness_m**2) / 12.0
    softens = _TWIST_NOT_STRAIGHT * _softening(span_m / 2.0 * sqrt(tension_n / bending_n_m2))
    edge = band.width_m / span_m * sqrt(bending_n_m2 / torsion_n_m2)
    root = 2.0 / (edge + sqrt(edge * edge + 4.0 * softens))
    return 8.0 * sqrt(bending_n_m2 * torsion_n_m2) / span_m**2 * root


def _softening(u: float) -> float:
    """Return Q(u) of the head of this file: how far bending under tension gives way to a straight twist."""
    square = u * u
    if square < 1e-2:  # the closed form loses its digits here; three terms of its series are left
        return 1.0 / 5.0 - square / 14.0 + 37.0 / 1296.0 * square * square
    least, flat = 2.0 * exp(-u) / (1.0 + exp(-2.0 * u)), tanh(u)
    inner = 2.0 / 3.0 - 2.0 * flat / u + (2.0 - 4.0 * least) / square + 2.0 * flat / (u * square)
    return 2.0 / square * inner


def wander_m(
    side_force_n: float, span_m: float, tension_n: float, band: Band, built_in: bool = False
) -> float:
    """Return how far a side force pushes the band out of the cut at mid-span, m."""
    compliance_m_n = centre_compliance_m_n(
        span_m, tension_n, band.sideways_stiffness_n_m2, built_in
    )
    return side_force_n * compliance_m_n


def stress_lost_to_heat_pa(band: Band, warmer_by_k: float) -> float:
    """Return the tension that a warm band loses between fixed wheels, Pa: E alpha dT."""
    return band.young_pa * STEEL_EXPANSION_PER_K * warmer_by_k


def slip_limit_n(strand_n: float, friction: float, wrap_rad: float = pi) -> float:
    """Return the pull at which the band slips on its driving wheel, N.

    Euler and Eytelwein: the tight strand can pull exp(friction wrap) times the slack one; the
    two together stay at twice the pull they had at rest.
    """
    ratio = exp(friction * wrap_rad)
    return 2.0 * strand_n * (ratio - 1.0) / (ratio + 1.0)
