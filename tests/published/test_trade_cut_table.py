"""The cut table against scipy's quadrature and integrator and closed forms."""

from itertools import pairwise
from math import cos, radians

import pytest
from scipy.integrate import quad, solve_ivp

from sim.trade.cut_table import CutTable, cut_table
from sim.trade.cutting import CutConditions, cutting_power_w, feed_for_force_m_s
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    Square,
    SquareTube,
)
from sim.trade.wander import peak_thrust_n, pull_n, thrust_n

MM = 1e-3
STEEL = CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 1.0, 0.8)
FINE = CutConditions(2350e6, 0.21, 1.814 * MM, 1.3 * MM, 0.6, 0.8)

SECTIONS: dict[str, Section] = {
    "round": Round(50 * MM),
    "square": Square(50 * MM),
    "rectangle": Rectangle(80 * MM, 20 * MM),
    "round tube": RoundTube(60 * MM, 5 * MM),
    "thin round tube": RoundTube(42.4 * MM, 2 * MM),
    "square tube": SquareTube(50 * MM, 4 * MM),
    "rectangular tube": RectangularTube(80 * MM, 40 * MM, 3 * MM),
    "angle": Angle(50 * MM, 5 * MM),
    "beam": IBeam(100 * MM, 55 * MM, 4.1 * MM, 5.7 * MM),
    "row of rounds": Bundle(Round(30 * MM), 4),
    "stack of tubes": Bundle(RoundTube(30 * MM, 3 * MM), 3, 2),
}
# feed force N, valve m/s: force rules, valve rules, each in turn
FEEDS = ((60.0, 0.1), (400.0, 2e-4), (250.0, 8e-4))


def _plain_feed_m_s(
    section: Section, depth_m: float, force_n: float, valve_m_s: float, cut: CutConditions
) -> float:
    """Write the law of the head out as it stands in a textbook, with none of the table's ways."""
    teeth = max(1.0, section.contact_length_m(depth_m) / cut.pitch_m)
    thrust_a_tooth_n = force_n / teeth
    kerf_mm, kc11_n_mm2 = cut.kerf_m / MM, cut.kc11_pa / 1e6
    chip_mm = (thrust_a_tooth_n / (cut.thrust_ratio * kc11_n_mm2 * kerf_mm)) ** (1 / (1 - cut.mc))
    return min(valve_m_s, chip_mm * MM / cut.pitch_m * cut.band_speed_m_s)


def _kinks_m(table: CutTable) -> list[float]:
    """Find by scanning where the plain law stops being smooth, to spare the integrator."""
    section, free_m = table.section, table.law.free_contact_m / table.widening
    marks = set(section.breaks_m)
    for top_m, bottom_m in pairwise(section.breaks_m):
        steps = [top_m + (bottom_m - top_m) * (i + 1e-9) / 400 for i in range(401)]
        for low_m, high_m in pairwise(steps):
            lower, upper = low_m, high_m
            if (section.contact_length_m(lower) - free_m) * (
                section.contact_length_m(upper) - free_m
            ) < 0:
                for _ in range(60):
                    middle = (lower + upper) / 2
                    same = (section.contact_length_m(lower) > free_m) == (
                        section.contact_length_m(middle) > free_m
                    )
                    lower, upper = (middle, upper) if same else (lower, middle)
                marks.add((lower + upper) / 2)
    return sorted(marks)


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("cut", [STEEL, FINE], ids=["coarse", "fine"])
def test_time_of_a_cut_is_that_of_scipy_quad_to_a_millionth(name: str, cut: CutConditions) -> None:
    # DERIVED, against scipy.integrate.quad on the law written out plainly
    section = SECTIONS[name]
    for force_n, valve_m_s in FEEDS:
        table = cut_table(section, force_n, valve_m_s, cut)
        whole_s = sum(
            quad(
                lambda y: 1 / _plain_feed_m_s(section, y, force_n, valve_m_s, cut),  # noqa: B023
                top_m,
                bottom_m,
                epsrel=1e-10,
                limit=200,
            )[0]
            for top_m, bottom_m in pairwise(_kinks_m(table))
        )

        assert table.duration_s == pytest.approx(whole_s, rel=1e-6)


@pytest.mark.parametrize("name", ["round", "round tube", "angle"])
def test_depth_against_time_is_that_of_scipy_solve_ivp(name: str) -> None:
    # DERIVED, against scipy.integrate.solve_ivp walking down the bar from break to break
    section = SECTIONS[name]
    table = cut_table(section, 250.0, 8e-4, STEEL)
    time_s = 0.0
    for top_m, bottom_m in pairwise(_kinks_m(table)):
        bottom_m -= 1e-12

        def reached(_: float, y: list[float], end_m: float = bottom_m) -> float:
            return y[0] - end_m

        reached.terminal = True
        run = solve_ivp(
            lambda _, y: [_plain_feed_m_s(section, y[0], 250.0, 8e-4, STEEL)],
            (time_s, time_s + 1e4),
            [top_m],
            events=reached,
            rtol=1e-10,
            atol=1e-14,
            method="DOP853",
            dense_output=True,
        )
        end_s = run.t_events[0][0]
        for share in (0.2, 0.5, 0.8):
            moment_s = time_s + (end_s - time_s) * share
            assert table.depth_at_m(moment_s) == pytest.approx(run.sol(moment_s)[0], abs=2e-6)
        time_s = end_s

    assert table.duration_s == pytest.approx(time_s, rel=1e-6)


def test_square_bar_at_constant_rate_has_a_closed_form() -> None:
    # DERIVED: constant contact, so height over speed
    bar = SECTIONS["square"]
    table = cut_table(bar, 150.0, 0.1, STEEL)
    feed_m_s = feed_for_force_m_s(150.0, 0.05, STEEL)

    assert table.duration_s == pytest.approx(0.05 / feed_m_s, rel=1e-12)
    assert table.depth_at_m(table.duration_s / 3) == pytest.approx(0.05 / 3, rel=1e-12)


def test_fifty_millimetres_at_thirty_a_minute_take_a_hundred_seconds() -> None:
    # DERIVED: constant feed, any shape; force large enough for the valve to rule
    assert cut_table(Round(0.05), 1e5, 30 * MM / 60, STEEL).duration_s == pytest.approx(100.0)


def test_constant_area_rate_needs_the_time_of_area_over_rate() -> None:
    # DERIVED: with mc at nothing the feed force fixes feed times contact; D 50 at 20 cm2/min
    # is 58.90 s. A tooth finer than any chord keeps the entry out of it.
    rate_m2_s = 20e-4 / 60
    flat = CutConditions(2000e6, 1e-12, 1e-9, 1.5 * MM, 1.0, 1.0)
    force_n = 2000e6 * 1.5 * MM * rate_m2_s  # power over band speed, thrust as large as pull
    table = cut_table(Round(0.05), force_n, 1e3, flat)

    assert table.duration_s == pytest.approx(58.90, abs=0.005)


def test_energy_of_a_cut_is_the_power_summed_over_its_time() -> None:
    # DERIVED, against scipy quad of the power of the plain law
    for name in ("round", "round tube", "beam", "row of rounds"):
        section = SECTIONS[name]
        for force_n, valve_m_s in FEEDS:
            table = cut_table(section, force_n, valve_m_s, STEEL)

            def joule_a_metre(y: float) -> float:
                feed_m_s = _plain_feed_m_s(section, y, force_n, valve_m_s, STEEL)  # noqa: B023
                return (
                    cutting_power_w(feed_m_s, section.contact_length_m(y), STEEL) / feed_m_s  # noqa: B023
                )

            whole_j = sum(
                quad(joule_a_metre, top_m, bottom_m, epsrel=1e-9, limit=200)[0]
                for top_m, bottom_m in pairwise(_kinks_m(table))
            )
            assert table.mean_power_w * table.duration_s == pytest.approx(whole_j, rel=1e-5)


@pytest.mark.parametrize("name", ["round", "round tube", "beam", "row of rounds"])
def test_pace_and_power_at_each_depth_sum_to_the_time_and_the_energy_of_the_cut(name: str) -> None:
    # DERIVED, against scipy quad of what the table says at a depth
    for force_n, valve_m_s in FEEDS:
        table = cut_table(SECTIONS[name], force_n, valve_m_s, STEEL)
        runs = list(pairwise(_kinks_m(table)))
        whole_s = sum(quad(lambda y: 1 / table.feed_m_s_at(y), *run, limit=200)[0] for run in runs)  # noqa: B023
        whole_j = sum(
            quad(lambda y: table.power_w(y) / table.feed_m_s_at(y), *run, limit=200)[0]  # noqa: B023
            for run in runs
        )

        assert whole_s == pytest.approx(table.duration_s, rel=1e-5)
        assert whole_j == pytest.approx(table.mean_power_w * table.duration_s, rel=1e-5)


@pytest.mark.parametrize("name", SECTIONS)
def test_where_the_force_rules_the_metal_pushes_back_as_hard_and_pulls_by_the_ratio_of_both(
    name: str,
) -> None:
    section = SECTIONS[name]
    table = cut_table(section, 60.0, 0.1, FINE)  # teeth in every wall, the valve wide open
    for share in (0.2, 0.45, 0.8):
        depth_m = share * section.height_m

        assert thrust_n(table, depth_m) == pytest.approx(60.0, rel=1e-9)
        assert pull_n(table, depth_m) == pytest.approx(60.0 / FINE.thrust_ratio, rel=1e-9)
    assert peak_thrust_n(table) == pytest.approx(60.0, rel=1e-9)


@pytest.mark.parametrize("name", ["round", "round tube", "row of rounds"])
def test_a_mitred_cut_keeps_to_the_plain_law_in_time_energy_and_chip(name: str) -> None:
    # DERIVED, against scipy quad on the plain law with every contact stretched
    section, stretch = SECTIONS[name], 1 / cos(radians(40))
    for force_n, valve_m_s in FEEDS:
        table = cut_table(section, force_n, valve_m_s, STEEL, mitre_rad=radians(40))

        def feed_m_s(y: float) -> float:
            contact_m = section.contact_length_m(y) * stretch
            return min(valve_m_s, feed_for_force_m_s(force_n, contact_m, STEEL))  # noqa: B023

        def joule_a_metre(y: float) -> float:
            contact_m = section.contact_length_m(y) * stretch
            return cutting_power_w(feed_m_s(y), contact_m, STEEL) / feed_m_s(y)

        runs = list(pairwise(_kinks_m(table)))
        whole_s = sum(quad(lambda y: 1 / feed_m_s(y), *run, limit=200)[0] for run in runs)
        whole_j = sum(quad(joule_a_metre, *run, limit=200)[0] for run in runs)
        fastest_m_s = max(feed_m_s(section.height_m * i / 997) for i in range(998))

        assert table.duration_s == pytest.approx(whole_s, rel=1e-6)
        assert table.mean_power_w * table.duration_s == pytest.approx(whole_j, rel=1e-5)
        assert table.peak_chip_m == pytest.approx(fastest_m_s * STEEL.pitch_m, rel=1e-6)


def test_a_mitred_flat_takes_a_thinner_chip_than_a_square_cut_one() -> None:
    # DERIVED: constant contact, so the chip is that of the one feed
    flat = SECTIONS["rectangle"]
    feed_m_s = feed_for_force_m_s(150.0, 80 * MM / cos(radians(40)), STEEL)

    assert cut_table(flat, 150.0, 0.1, STEEL, radians(40)).peak_chip_m == pytest.approx(
        feed_m_s * STEEL.pitch_m, rel=1e-12
    )


def test_a_mitred_square_bar_takes_the_time_of_the_wider_bar() -> None:
    # DERIVED: the section across the band is the bar stretched sideways, nothing else
    plain = cut_table(Rectangle(50 * MM / cos(radians(37)), 50 * MM), 150.0, 0.1, STEEL)
    mitred = cut_table(Square(50 * MM), 150.0, 0.1, STEEL, mitre_rad=radians(37))

    assert mitred.duration_s == pytest.approx(plain.duration_s, rel=1e-12)
    assert mitred.peak_power_w == pytest.approx(plain.peak_power_w, rel=1e-12)
    assert mitred.least_teeth == pytest.approx(plain.least_teeth, rel=1e-6)
