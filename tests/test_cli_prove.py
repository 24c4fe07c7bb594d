"""`drycycle prove` as a person meets it."""

import json
import sys

import pytest
from vcdvcd import VCDVCD

from sim.control.row_file import FIRST_ROWS
from sim.control.site_rows import ROW_OF, rows_of
from sim.logic.proof.memory import CAN_FAIL
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.site_changes import changes, still_broken
from sim.wiring.site_rows import SiteRows


def test_the_shipped_controller_is_proved_and_the_exit_code_says_so(drycycle):
    names = ("dead", "into the band", "released")
    code, out, err = drycycle("prove", *names, "--quick", "--json")
    report = json.loads(out)

    assert (code, err) == (0, "")
    assert report["sound"]
    assert report["states"] > 200_000
    assert tuple(row["name"] for row in report["properties"]) == names
    assert all(row["holds"] and row["moves"] == [] for row in report["properties"])


def test_a_jumpered_interlock_is_shown_move_by_move_played_and_written(drycycle, tmp_path):
    path = tmp_path / "break.vcd"
    code, out, err = drycycle(
        "prove", "into-the-band", "--quick", "--bypass", "i4", "--play", "-o", str(path)
    )

    assert (code, err) == (1, "")
    assert "The hazard: driving bar into the band." in out
    assert "BROKEN in 8" in out  # one of them is that the safety relay pulls in
    assert "  8. " in out
    assert "The live controller has done it" in out
    written = VCDVCD(str(path))
    assert written["outputs.Y21.card"].tv[-1][1] == "1"  # the shuttle is driven to the band ...
    assert written["inputs.B11.card"].tv[-1][1] == "0"  # ... and the head is not up


@pytest.mark.sampled(2)
@pytest.mark.parametrize(
    ("words", "display", "terminal", "opened"),
    [
        ((), True, True, True),
        (("--text",), True, True, False),
        ((), False, True, False),
        ((), True, False, False),
    ],
)
def test_the_window_plays_it_where_there_is_one_unless_it_is_asked_for_in_text_or_piped(
    drycycle, monkeypatch, words, display, terminal, opened
):
    shown = []
    monkeypatch.setattr("sim.cli.logic_commands.has_display", lambda: display)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: terminal, raising=False)
    monkeypatch.setattr(
        "sim.view.pages.window.run_example", lambda finding, rows: shown.append((finding, rows))
    )
    code, out, _ = drycycle("prove", "dead", "--quick", "--bypass", "I14", "--play", *words)

    assert code == 1
    assert ("The live controller has done it" in out) is not opened
    assert [finding.name for finding, _ in shown] == ["dead"] * opened
    assert all({row.number for row in rows} == {"I14"} for _, rows in shown)


@pytest.mark.parametrize(
    "words", [("--quick",), pytest.param(("--bypass", "I4"), marks=pytest.mark.slow)]
)
def test_the_last_line_names_what_is_taken_for_granted(drycycle, words):
    _, out, _ = drycycle("prove", "into-the-band", *words)
    last = " ".join(out.split()).rsplit("What this assumes: ", 1)[1]

    assert all((tag in last) != ("--quick" in words) for tag in CAN_FAIL)
    assert "both main contactors welded" in last
    assert "wiring of this machine" not in last


@pytest.mark.slow
def test_the_wiring_of_a_machine_is_told_as_checked_where_its_power_path_is_proved(drycycle):
    code, out, _ = drycycle("prove", "--quick", "--machine", "quay-saw", "--json")
    report = json.loads(out)

    assert code == 0
    assert report["power_path"]["states"]
    assert "checked as it was read" in report["wiring"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--bypass", "I44"), "the nearest name is I4"),
        (("--bypass", "I12"), "practised, not wired"),
        (("into-the-bnd",), "the nearest name is into the band"),
    ],
)
def test_a_name_that_is_not_known_is_bad_input_with_the_nearest_one(drycycle, words, said):
    code, _, err = drycycle("prove", *words)

    assert code == 2
    assert said in err


def test_a_file_that_cannot_be_written_is_bad_input(drycycle, tmp_path):
    code, _, err = drycycle(
        "prove", "dead", "--quick", "--bypass", "I14", "-o", str(tmp_path / "no" / "where.vcd")
    )

    assert code == 2
    assert "cannot be written" in err


def test_without_numpy_the_proof_says_what_to_install(drycycle, monkeypatch):
    monkeypatch.setattr("sim.extras.there", lambda library: library != "numpy")

    code, out, err = drycycle("prove", "--quick")

    assert (code, out) == (2, "")
    assert "numpy" in err
    assert "drycycle[prove]" in err


@pytest.mark.slow
def test_what_quick_leaves_out_is_not_said_to_hold(drycycle):
    code, out, err = drycycle("prove", "guard", "dead", "--quick", "--bypass", "I3")
    told = " ".join(out.split())

    assert (code, err) == (1, "")
    assert "not tried guard" in told
    assert "holds dead" in told
    assert "it never comes about: the band guard is opened." in told


@pytest.mark.slow
def test_a_row_that_a_site_took_out_breaks_its_property_with_quick_too(drycycle, tmp_path):
    saw = tmp_path / "our-saw"
    saw.mkdir()
    (saw / "sizes.yaml").write_text("title: Ours\n")
    rows = FIRST_ROWS.read_text("utf-8").splitlines(keepends=True)
    kept = [row for row in rows if "action: band.run, needs: {B41" not in row]
    assert len(rows) - len(kept) == 1
    (saw / "interlocks.yaml").write_text("".join(kept))

    # What was asked for holds, and whoever asked is told all the same.
    code, out, err = drycycle("prove", "dead", "--quick", "--machine", str(saw), "--json")
    report = json.loads(out)
    assert (code, err, report["sound"]) == (1, "", False)
    held, broken = report["properties"]
    assert "wiring" not in report  # nor is the power path there, since a property was named
    assert (held["name"], held["holds"], held["tried"]) == ("dead", True, True)
    assert (broken["name"], broken["holds"], broken["tried"]) == ("guard", False, True)
    assert len(broken["moves"]) == 7


@pytest.mark.slow
def test_rows_that_a_site_took_out_together_break_what_none_of_their_ways_alone_leads_to():
    out = SiteRows(tuple(name for name in ROW_OF if name.startswith("I19:")))
    found = changes(out)
    assert {one.broken.name for one in found} == {"hood", "opened hood"}
    together = still_broken(found, rows_of(out))
    assert {one.name for one in together} == {"hood", "opened hood"}
    for one in together:
        Rehearsal(one.example, rows=rows_of(out)).play()


def test_how_long_it_may_take_is_said_ahead_where_no_progress_is_seen(drycycle):
    _, _, err = drycycle("prove", "dead", "--bypass", "I14")
    assert "a minute or two" in err
