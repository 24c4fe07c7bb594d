"""What the calculations say: each line and warning is told in the reader's language, with their numbers."""

import pytest

from sim.calc import calculators
from sim.calc import quantities as q
from sim.calc.calculator_warnings import clamping_verdict, pitch_warnings
from sim.calc.figure import WARNING, Figure
from sim.calc.job_estimate import job_figures
from sim.errors import CommandError
from sim.scenario.machines import first_machine
from sim.scenario.section_words import section_from
from sim.session.opening import materials
from sim.trade.cut_list import BarStock
from sim.units import BAR, INCH
from sim.words.message import ROWS
from sim.words.reader import ENGLISH, Reader

STEEL = materials()["S275JR"]
SAW = first_machine()
TUBE = section_from("square-tube:50x4")
BLOCK = section_from("square:200")
THIN = section_from("round-tube:60x1")
EVERY = {
    "speed": lambda: calculators.speed(STEEL, SAW),
    "pitch": lambda: calculators.pitch(TUBE, STEEL, SAW),
    "thin": lambda: calculators.pitch(THIN, STEEL, SAW),
    "long": lambda: calculators.pitch(section_from("square-tube:100x3"), STEEL, SAW),
    "feed": lambda: calculators.feed(STEEL, TUBE, SAW, 6, 100),
    "slow": lambda: calculators.time(STEEL, TUBE, SAW, calculators.CutSetting(5, 4, 5000, 1000)),
    "fast": lambda: calculators.time(
        STEEL, BLOCK, SAW, calculators.CutSetting(200, 14, 5000, 1000)
    ),
    "rubs": lambda: calculators.time(
        STEEL, section_from("round:60"), SAW, calculators.CutSetting(85, 4, 100, 174)
    ),
    "overfed": lambda: calculators.time(
        STEEL, section_from("round:60"), SAW, calculators.CutSetting(85, 4, 1500, 250)
    ),
    "card": lambda: calculators.time(STEEL, TUBE, SAW, calculators.setting_of(STEEL, TUBE, SAW)),
    "solid": lambda: calculators.hold(STEEL, BLOCK, SAW, 250),
    "tube": lambda: calculators.hold(STEEL, THIN, SAW, 1),
    "wander": lambda: calculators.wander(SAW, 2000, 20, 10),
    "tension": lambda: calculators.tension(SAW, 600, 100),
    "bar": lambda: calculators.bar_count(BarStock(106350, 150, 0, 5000), 10000),
    "bars": lambda: calculators.bars({5100: 6, 2700: 6, 2600: 6, 2300: 12}, BarStock(10000, 0))[0],
    "overload": lambda: calculators.overload(1.5, 1.0),
    "no overload": lambda: calculators.overload(0.9, 0.5),
    "weak": lambda: calculators.mix(2, 1, 99, 100, 10),
    "strong": lambda: calculators.mix(12, 1, 99, 100, 5),
    "bowed": lambda: calculators.bow(STEEL, BLOCK, SAW, 6.0, 300),
    "mitre": lambda: calculators.mitre(TUBE, SAW, 400, 75),
    "job": lambda: job_figures("rail-posts"),
}


@pytest.mark.parametrize("name", EVERY)
def test_nothing_that_a_calculation_says_escapes_the_readers_language(name, untold):
    for figure in EVERY[name]():
        told = [figure.quantity, figure.how]
        told += [figure.value] if not isinstance(figure.value, int | float | tuple) else []
        for said in told:
            assert not untold(said), said


def test_every_warning_is_among_those_that_were_told_to_every_reader():
    said = {figure.value.key for way in EVERY.values() for figure in way()
            if figure.quantity is WARNING}  # fmt: skip
    wanted = {
        "slow", "fast", "no-speed", "no-force", "valve", "few-teeth", "strip", "gullets", "motor",
        "no-pitch", "many-teeth", "rubs", "overfed", "tension", "breaks", "span", "weak-mix", "strong-mix", "no-swing", "bowed",
    }  # fmt: skip
    assert {key for key in ROWS if key.startswith("calc.warning.")} == {
        f"calc.warning.{each}" for each in wanted
    }
    assert said == {f"calc.warning.{each}" for each in wanted}


@pytest.mark.parametrize(("least_bar", "most_bar"), [(30, 20), (90, 120), (1, 3), (10, 20)])
def test_whether_a_bar_can_be_held_is_told_in_the_readers_language(least_bar, most_bar, untold):
    assert not untold(clamping_verdict(SAW, least_bar * BAR, most_bar * BAR))


def test_a_line_is_told_with_the_readers_decimal_mark_and_units():
    figure = next(each for each in EVERY["pitch"]() if each.unit == "mm")
    value = figure.value
    assert figure.cells(ENGLISH)[1:3] == (f"{value}", "mm")
    assert figure.cells(Reader("es"))[1:3] == (f"{value}".replace(".", ","), "mm")
    number, unit, *_ = figure.cells(Reader(inch=True))[1:]
    assert unit == "in"
    assert float(number) == pytest.approx(value / 25.4, abs=1e-4)


def test_a_range_is_converted_with_its_unit():
    speeds = EVERY["speed"]()[0]
    assert isinstance(speeds, Figure)
    assert speeds.cells(ENGLISH)[1:3] == ("70 to 100", "m/min")
    assert speeds.cells(Reader(inch=True))[1:3] == ("230 to 328", "ft/min")
    assert speeds.plain()["value"] == "70 to 100"


def test_a_warning_of_fine_teeth_counts_them():
    said = [str(each) for each in pitch_warnings(BLOCK, INCH / 14)]
    assert any(text.startswith("110 teeth are in the longest wall at once") for text in said)


@pytest.mark.parametrize(
    ("angle", "along", "stop", "more", "trim", "face"),
    [  # DERIVED, by hand: kerf 1.5, a bar 50 wide
        (0, 1.5, 301.5, 0.0, 0.0, 300.0),
        (30, 1.73, 301.73, 0.23, 28.9, 259.81),
        (45, 2.12, 302.12, 0.62, 50.0, 212.13),
        (60, 3.0, 303.0, 1.5, 86.6, 150.0),
    ],
)
def test_a_mitre_says_stop_trim_and_points(angle, along, stop, more, trim, face):
    said = {f.quantity.key.removeprefix("calc.quantity."): f.value
            for f in calculators.mitre(TUBE, SAW, 300, angle)}  # fmt: skip

    assert said["kerf-along"] == along
    assert said["stop"] == stop
    assert said["stop-more"] == more
    assert said["stands-out"] == trim
    assert said["over-all"] == pytest.approx(300 + trim)
    assert said["one-end"] == pytest.approx(300 - trim)
    assert said["face-to-face"] == face


def _said(figures):
    return {figure.quantity: figure.value for figure in figures}


@pytest.mark.parametrize("metal", ["S235JR", "S275JR", "42CrMo4", "X5CrNi18-10"])
@pytest.mark.parametrize("bar", ["round:20", "round:60", "round:150", "square-tube:60x3"])
def test_calculators_that_are_given_no_feed_take_the_one_that_calc_feed_sets(metal, bar):
    material, section = materials()[metal], section_from(bar)
    setting = calculators.setting_of(material, section, SAW)
    feed = _said(calculators.feed(material, section, SAW, None, 6.0))
    held = _said(calculators.hold(material, section, SAW))
    told = _said(calculators.time(material, section, SAW, setting))

    assert feed[q.CARD_FORCE] == told[q.SET_FORCE]
    assert abs(feed[q.CARD_VALVE] - told[q.SET_VALVE]) < 1.0
    assert held[q.CAN_BE_HELD].key == "calc.clamping.yes"
    assert held[q.HELD_AGAINST] == feed[q.CARD_FORCE] <= SAW.force_high_n
    # the more it is pressed, the more it is held for
    a_bar = (
        54.0 if "square" in bar else 27.0
    )  # N that a bar of pressure holds; flat jaws back a flat bar
    assert held[q.LEAST_CLAMPING] == pytest.approx(held[q.HELD_AGAINST] / a_bar, rel=0.05)


def test_face_and_edge_of_a_bowed_bar_go_with_its_bow():
    # DERIVED: of first order both; a bar that its jaws press hard leans by what a square of 150 mm finds alone
    one, two = (_said(calculators.bow(STEEL, TUBE, SAW, bow, 300, 30.0)) for bow in (1.0, 2.0))
    curvature = 8e-3  # of a rise of a millimetre in a metre, 1/m

    assert two[q.EDGES_DIFFER] == pytest.approx(2 * one[q.EDGES_DIFFER], abs=2e-3)
    assert one[q.EDGES_DIFFER] == pytest.approx(curvature * 0.3 * TUBE.width_m * 1e3, abs=1e-3)
    assert one[q.FACE_OUT] >= curvature * 0.15 / 2 * 100 - 1e-3
    assert two[q.FACE_OUT] > 1.9 * one[q.FACE_OUT]


def test_the_bars_of_a_bundle_are_not_bowed():
    with pytest.raises(CommandError, match="bundle"):
        calculators.bow(STEEL, section_from("3*round:20"), SAW, 1.0, 300)
