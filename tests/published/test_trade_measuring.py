"""Measuring against outside figures: Wilson's interval, the decision rule of ISO 14253-1, tools.

Wilson: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am.
Stat. Assoc. 22 (1927) 209-212; scipy is the other program. R. G. Newcombe, Stat. Med. 17 (1998) 857-872,
has worked cases of the score interval without continuity correction; those below are from memory of his
table: 81 of 263, 15 of 148, 0 of 20, 1 of 29.
ISO 14253-1: in words of our own, from memory.
"""

from math import degrees, hypot

import pytest
from scipy.stats import binomtest, norm, uniform

from sim.trade.measuring import (
    BY_NAME,
    PROTRACTOR,
    TOOLS,
    AngleTool,
    Ruling,
    Tool,
    band_of,
    chance_of_band,
    decided,
    likelihood,
    wilson,
)

MM = 1e-3


@pytest.mark.parametrize("scatter_mm", [0.0, 0.05, 0.2])
@pytest.mark.parametrize("off_mm", [-0.3, 0.1, 0.12, 0.25])
def test_how_likely_a_reading_is_is_the_density_of_scipy_s_normal_by_its_highest(
    off_mm, scatter_mm
):
    tool = BY_NAME["square"]
    spread_mm = (0.05**2 + 0.1**2 / 12 + scatter_mm**2) ** 0.5  # 0.1 mm is what it is read to
    density = norm(0.1, spread_mm).pdf

    assert likelihood(off_mm * MM, 0.1 * MM, tool, scatter_mm * MM) == pytest.approx(
        density(off_mm) / density(0.1), rel=1e-9
    )


@pytest.mark.parametrize(
    ("good", "of", "low", "high"),
    [
        # Newcombe 1998, method 3, from memory
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_s_interval_is_that_of_the_published_cases(good, of, low, high):
    assert wilson(good, of) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("of", [1, 2, 5, 17, 120])
def test_wilson_s_interval_is_that_of_another_program(of):
    for good in range(of + 1):
        theirs = binomtest(good, of).proportion_ci(0.95, method="wilson")
        assert wilson(good, of) == pytest.approx((theirs.low, theirs.high), abs=1e-6)


@pytest.mark.parametrize(("good", "of"), [(0, 0), (2, 1), (-1, 3)])
def test_there_is_no_share_of_nothing(good, of):
    with pytest.raises(ValueError, match=f"{good} good of {of}"):
        wilson(good, of)


@pytest.mark.parametrize(
    ("off_mm", "ruling"),
    [
        # tolerance 0.1, expanded uncertainty 0.02: ISO 14253-1, the rule from memory
        (0.0, Ruling.GOOD),
        (0.079, Ruling.GOOD),
        (-0.079, Ruling.GOOD),
        (0.081, Ruling.OPEN),
        (-0.119, Ruling.OPEN),
        (0.121, Ruling.LONG),
        (-0.121, Ruling.SHORT),
    ],
)
def test_a_reading_decides_by_the_guard_band(off_mm, ruling):
    assert decided(off_mm * MM, 0.1 * MM, 0.02 * MM) is ruling


def test_a_tool_that_is_surer_than_the_tolerance_nowhere_never_finds_a_piece_good():
    tape = BY_NAME["tape"]
    offs = [k * 0.01 * MM for k in range(-200, 201)]

    assert Ruling.GOOD not in {decided(off, 0.1 * MM, tape.expanded_m) for off in offs}


def test_the_quarter_of_the_tolerance_is_held_to_the_expanded_uncertainty():
    tool = Tool("rule", 1, 1e-9, 0.0125 * MM)

    assert tool.expanded_m == pytest.approx(0.025 * MM)
    assert tool.fits(0.1001 * MM)
    assert not tool.fits(0.0999 * MM)
    fit = {t.name: t.fits(0.1 * MM) for t in TOOLS if not t.squareness}
    assert fit == {"tape": False, "caliper": True, "beam-caliper": False}
    assert BY_NAME["beam-caliper"].fits(0.3 * MM)
    assert not BY_NAME["tape"].fits(1.9 * MM)
    assert BY_NAME["tape"].fits(2.0 * MM)


def test_the_rounding_to_the_resolution_is_part_of_the_uncertainty():
    """A rectangle of width r has the standard deviation r / sqrt(12): JCGM 100, from memory."""
    assert Tool("x", 1, 0.5 * MM, 0.0).uncertainty_m == pytest.approx(0.5 * MM / 12**0.5)


def test_the_chances_of_the_bands_are_the_normal_ones_and_together_one():
    caliper, off_m, tolerance_m = BY_NAME["caliper"], -0.15 * MM, 0.1 * MM
    sigma = (caliper.uncertainty_m**2 + (0.03 * MM) ** 2) ** 0.5
    chances = {
        band: chance_of_band(band, off_m, tolerance_m, caliper, 0.03 * MM)
        for band in (Ruling.SHORT, Ruling.GOOD, Ruling.LONG)
    }

    assert sum(chances.values()) == pytest.approx(1.0)
    assert chances[Ruling.SHORT] == pytest.approx(norm.cdf((-tolerance_m - off_m) / sigma))
    assert chance_of_band(Ruling.OPEN, off_m, tolerance_m, caliper) == 0.0
    assert band_of(-0.11 * MM, tolerance_m) is Ruling.SHORT
    assert band_of(0.1 * MM, tolerance_m) is Ruling.GOOD


@pytest.mark.parametrize(
    ("name", "step_mm"),
    [  # MEMORY: what these tools show
        ("tape", 0.5),  # half a division
        ("caliper", 0.01),  # digital
        ("beam-caliper", 0.02),  # a vernier of fifty divisions
        ("square", 0.1),  # what an eye tells apart against the light
        ("feeler", 0.05),  # leaves that go up by so much
    ],
)
def test_readings_go_up_by_what_the_tool_shows(name, step_mm):
    steps = {BY_NAME[name].read(0.1, k * 1e-6) for k in range(3000)}

    assert (max(steps) - min(steps)) / (len(steps) - 1) == pytest.approx(step_mm * MM)


@pytest.mark.parametrize(
    ("name", "limit_mm"),
    [  # MEMORY: usual limits of error
        ("caliper", 0.02),  # digital, of 300 mm
        ("beam-caliper", 0.06),  # of 1500 mm
    ],
)
def test_a_limit_of_error_counts_as_a_rectangle(name, limit_mm):
    """A rectangle of plus and minus a limit has the standard deviation limit / sqrt(3): JCGM 100, from memory."""
    assert BY_NAME[name].standard_m == pytest.approx(limit_mm / 3**0.5 * MM, rel=0.05)


def test_an_angle_that_is_read_to_a_step_is_as_unsure_as_scipy_s_uniform():
    # JCGM 100, from memory: rectangles of limits of error and of rounding, in squares, twice over
    assert AngleTool("x", 1, 0.01, 0.0).expanded_rad == pytest.approx(
        2 * uniform(scale=0.01).std(), rel=1e-12
    )
    error_min, rounding_min = uniform(-5, 10).std(), uniform(-2.5, 5).std()
    assert degrees(PROTRACTOR.expanded_rad) * 60 == pytest.approx(
        2 * hypot(error_min, rounding_min), rel=1e-9
    )
