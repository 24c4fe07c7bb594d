"""The trade's calculations from the command line, held to worked numbers and to the saw itself."""

import json

import pytest


@pytest.fixture
def calc(drycycle):
    """Run `drycycle calc ...`; return exit code, output and errors."""
    return lambda *words: drycycle("calc", *words)


@pytest.fixture
def answers(calc):
    """The values of a calculation by quantity."""

    def read(*words):
        code, out, _ = calc(*words, "--json")
        assert code == 0
        rows = json.loads(out)
        return {
            r["quantity"]: r["value"] for r in (rows if isinstance(rows, list) else rows["answers"])
        }

    return read


def test_a_feed_of_30_mm_a_minute_cuts_a_50_mm_round_in_100_seconds(answers):
    # Derived: constant feed by the valve, D 50 at 30 mm/min.
    got = answers("time", "S275JR", "round:50", "--valve", "30", "--force", "5000", "--teeth", "4")

    assert got["cut time"] == pytest.approx(100.0)
    assert got["area"] == pytest.approx(19.63, abs=0.01)


def test_a_mitre_takes_longer_by_the_stretched_section(answers):
    square = answers("time", "S275JR", "square:50", "--valve", "1000", "--force", "100")
    mitred = answers(
        "time", "S275JR", "square:50", "--valve", "1000", "--force", "100", "--mitre", "60"
    )

    assert mitred["area"] == pytest.approx(2 * square["area"], rel=1e-3)
    assert mitred["cut time"] > 2 * square["cut time"]


def test_bars_counts_what_the_exact_rule_counts_and_not_the_short_formula(answers):
    # Derived, brute-force checked: 1063.5 mm, piece 100, kerf 1.5, remnant 50 gives 9, not 10.
    got = answers("bars", "--bar", "1063.5", "--piece", "100x9", "--kerf", "1.5", "--remnant", "50")

    assert got["pieces a bar"] == 9


def test_bars_says_how_far_first_fit_is_from_the_fewest(answers):
    got = answers(
        "bars", "--bar", "100", "--kerf", "0", "--remnant", "0", "--piece", "51x6",
        "--piece", "27x6", "--piece", "26x6", "--piece", "23x12",
    )  # fmt: skip

    assert (got["bars"], got["first fit needs"]) == (9, 11)


def test_the_estimate_of_a_job_is_what_the_saw_takes(answers):
    got = answers("job", "rail-posts")

    # The head stands one hole higher before the first cut than between cuts.
    assert got["job, by the simulator"] == pytest.approx(got["job"], rel=0.01)


def test_a_coolant_reading_of_5_with_a_factor_of_one_and_a_half_is_7_and_a_half_per_cent(answers):
    # Found: a coolant maker's questions page with the same numbers.
    assert answers("coolant", "--reading", "5", "--factor", "1.5")["concentration"] == 7.5


@pytest.mark.parametrize("words", [("speed", "C45"), ("pitch", "round:50"), ("feed", "C45", "round:50"),
                                   ("clamping", "S275JR", "round-tube:60x3"), ("wander",), ("tension",),
                                   ("overload",)])  # fmt: skip
def test_every_calculation_says_how_each_number_came_about(calc, words):
    code, out, _ = calc(*words, "--json")

    assert code == 0
    assert all(row["how"] or not row["unit"] for row in json.loads(out))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("speed", "S275"), "S275JR"),
        (("pitch", "sqare:50"), "square"),
        (("pitch", "round:50x3"), "takes diameter"),
        (("pitch", "round-tube:50x40"), "nothing open"),
        (("pitch", "round:thick"), "not sizes in mm"),
        (("pitch", "0*round:5"), "number of bars"),
        (("pitch", "round:-5"), "diameter of round:-5: -5 was found, and it must be at least 1"),
        (("pitch", "square-tube:50x-1"), "wall of square-tube:50x-1: -1 was found"),
        (("pitch", "round:900"), "give at most 250"),
        (("pitch", "round:nan"), "nan was found"),
        (("coolant", "--reading", "30", "--factor", "5"), "more than neat concentrate"),
        (("bars", "--piece", "250"), "not an order"),
        (("bars", "--piece", "7000x2"), "does not come out of a bar"),
        (("coolant", "--reading", "5", "--litres", "200"), "holds more than"),
    ],
)
def test_bad_words_get_one_clear_line_and_exit_2(calc, words, says):
    code, out, err = calc(*words)

    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert says in err


# Warnings ---------------------------------------------------------------------------------


@pytest.fixture
def warnings(calc):
    """The warnings of a calculation, as one text."""

    def read(*words):
        code, out, _ = calc(*words, "--json")
        assert code == 0
        told = [row["value"] for row in json.loads(out) if row["quantity"] == "warning"]
        text = calc(*words)[1]
        assert [f"Warning: {each}" for each in told] == [
            line for line in text.splitlines() if line.startswith("Warning")
        ]
        return " ".join(told)

    return read


@pytest.mark.parametrize(
    "words",
    [
        ("time", "S275JR", "round:60"),
        ("time", "S275JR", "square:80"),
        ("feed", "S275JR", "round:60"),
        ("pitch", "round:60"),
        ("speed", "C45"),
        ("wander",),
        ("tension", "--wheel", "450"),
        ("coolant", "--reading", "6"),
    ],
)
def test_what_the_saw_can_do_is_not_warned_of(warnings, words):
    assert warnings(*words) == ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("time", "S275JR", "round:60", "--speed", "200"), "above the metal's 70 to 100 m/min"),
        (("time", "S275JR", "round:60", "--speed", "200"), "The saw does not run its band at 200"),
        (("time", "S275JR", "round:60", "--speed", "20"), "below the metal's 70 to 100 m/min"),
        (("time", "S275JR", "round:60", "--valve", "1000"), "feed valve opens to 250 mm/min"),
        (("time", "S275JR", "round:60", "--force", "5000"), "relief goes from 50 to 1500 N"),
        (("time", "S275JR", "round:60", "--force", "5000", "--valve", "1000"), "of the motor"),
        (("time", "S275JR", "round:60", "--force", "5000", "--valve", "1000"), "The teeth would strip"),
        (("time", "S275JR", "round:60", "--force", "5000", "--valve", "1000"), "do not fit the gullets"),
        (("time", "S275JR", "square-tube:50x4", "--teeth", "4"), "three at least are wanted"),
        (("feed", "S275JR", "round:60", "--chip", "100"), "The saw does not feed with"),
        (("pitch", "square-tube:50x1"), "No pitch of the stock has three teeth in an average width of 3.9 mm"),
        (("pitch", "square-tube:50x1"), "35 teeth are in the longest wall"),
        (("wander", "--span", "2000"), "guides stand 40 to 340 mm apart"),
        (("wander", "--tension", "10"), "keeps the band from starting at 10 MPa"),
        (("tension", "--mpa", "600", "--wheel", "100"), "The band breaks"),
        (("coolant", "--reading", "2", "--litres", "99", "--wanted", "10"), "too weak. Drain 7.2 l"),
        (("coolant", "--reading", "12", "--litres", "99", "--wanted", "5"), "too strong. Drain 57.3 l"),
    ],
)  # fmt: skip
def test_what_cannot_be_or_harms_is_warned_of(warnings, words, says):
    assert says in warnings(*words)


@pytest.mark.parametrize(("reading", "litres", "wanted"), [(2, 99, 10), (12, 99, 5)])
def test_draining_what_the_warning_says_reaches_what_is_wanted(answers, reading, litres, wanted):
    words = ("coolant", "--reading", str(reading), "--wanted", str(wanted), "--litres")
    drain = float(answers(*words, str(litres))["warning"].partition("Drain ")[2].partition(" ")[0])

    after = answers(*words, str(litres - drain))["concentration after"]

    assert after == pytest.approx(wanted, abs=0.1)


def test_the_defaults_of_a_cut_are_those_of_speed_and_pitch(answers):
    speed, teeth = answers("speed", "C45"), answers("pitch", "round:90")
    words = ("time", "C45", "round:90")

    assert answers(*words) == answers(
        *words, "--speed", str(speed["band speed"]), "--teeth", str(teeth["TPI"])
    )


def test_a_solid_bar_is_not_dented_at_any_pressure_that_the_vise_has(answers):
    solid, tube = (
        answers("clamping", "S275JR", "round:60"),
        answers("clamping", "S275JR", "round-tube:60x3"),
    )

    assert solid["most that does not dent"] == 60
    assert solid["closing at the most"] < 0.01
    assert tube["most that does not dent"] < 60


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("round:60", "--force", "250"), "yes"),
        (("round:60", "--force", "4000"), "the saw gives 60 bar at most"),
        (("round-tube:60x3", "--force", "2000"), "no: plug it"),
        (("round-tube:60x1", "--force", "1"), "the saw's least, 5 bar, dents it"),
    ],
)
def test_whether_a_bar_can_be_held_goes_by_what_the_saw_gives(answers, words, says):
    assert says in answers("clamping", "S275JR", *words)["can be held"]


@pytest.mark.parametrize(
    ("bar", "one", "three", "counted"),
    [  # 30.5 by the root of the average width: of round:30 23.6 mm, 6.3; two of a row count, 47.1 mm, 4.4
        ("round:20", 8, 6, 2),
        ("round:30", 6, 4, 2),
        ("square:20", 6, 4, 3),  # a block of 60 mm, 3.9
        ("round-tube:30x3", 10, 6, 2),  # two tubes: of 8.5 mm each, 5.9 to 7.6
    ],
)
def test_rounds_and_tubes_side_by_side_take_teeth_by_the_width_of_two_and_squares_by_that_of_all(
    answers, bar, one, three, counted
):
    alone, row = answers("pitch", bar), answers("pitch", f"3*{bar}")

    assert (alone["TPI"], row["TPI"]) == (one, three)
    assert row["average width of cut"] == pytest.approx(
        counted * alone["average width of cut"], abs=0.02
    )


def test_calc_reckons_for_the_machine_that_is_named(answers):
    harbour, quay = (answers("tension", "--machine", name) for name in ("harbour-saw", "quay-saw"))

    # 34 x 1.1 and 41 x 1.3 at 230 MPa, friction 0.1 over half a turn
    assert harbour["pull before it slips"] == 2680
    assert quay["pull before it slips"] == 3820
    by_folder = answers("tension", "--machine", "scenarios/machines/quay-saw")
    assert by_folder == quay


def test_a_machine_that_is_not_there_is_named_with_the_nearest(calc):
    code, _, err = calc("speed", "C45", "--machine", "quay")

    assert code == 2
    assert "quay-saw" in err
