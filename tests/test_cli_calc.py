"""The trade's calculations from the command line, held to worked numbers and to the saw itself."""

import json
import sys

import pytest

from sim import cli


@pytest.fixture
def calc(capsys, monkeypatch):
    """Run `drycycle calc ...`; return exit code, output and errors."""

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["drycycle", "calc", *words])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        out, err = capsys.readouterr()
        return ended.value.code or 0, out, err

    return run


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
        "bars", "--bar", "100", "--kerf", "0", "--piece", "51x6", "--piece", "27x6",
        "--piece", "26x6", "--piece", "23x12",
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
                                   ("grip", "S275JR", "round-tube:60x3"), ("wander",), ("tension",),
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
