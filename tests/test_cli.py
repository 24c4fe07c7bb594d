"""The command line as a person meets it: what it prints, and how it refuses."""

import io
import json
import os
import subprocess
import sys

import pytest
import yaml
from jsonschema import Draft7Validator

from sim import cli
from sim.resources import shipped
from sim.scenario import library
from sim.scenario.library import machine_path

HEAVY = ("pygame", "pydantic", "transitions", "yaml", "numpy", "rich.console")


def test_help_is_printed_without_loading_anything_heavy():
    script = (
        "import sys; from sim import cli; sys.argv = ['drycycle', '--help']\n"
        "try: cli.main()\nexcept SystemExit: pass\n"
        f"print([m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )

    assert done.stdout.splitlines()[-1] == "[]"
    assert "replay" in done.stdout


def test_run_reports_every_piece_of_the_clean_job(drycycle):
    code, out, err = drycycle("run", "rail-posts")

    assert (code, err) == (0, "")
    assert "24 good of 24 wanted" in out
    assert "no warning" in out


def test_a_scenario_is_run_and_played_on_another_machine(drycycle, tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO("wait 1\n"))
    run, played = tmp_path / "run.jsonl", tmp_path / "played.jsonl"
    on_quay = ("--machine", "quay-saw", "--record")
    codes = [
        drycycle("run", "rail-posts", *on_quay, run)[0],
        drycycle("play", "rail-posts", "--text", *on_quay, played)[0],
        drycycle("replay", run)[0],
    ]

    assert codes == [0, 0, 0]
    for record in (run, played):
        opening = json.loads(record.read_text().splitlines()[1])["act"]
        assert opening["machine"] == "quay-saw"
        assert "  kerf_mm: 1.7\n" in opening["machine_text"]
        assert (
            "  voltage_v: 400\n" in opening["machine_text"]
        )  # which only the first saw's file tells


MY_SAW = "title: My saw\nband: {kerf_mm: 1.9}\n"


@pytest.fixture
def my_saw(tmp_path, monkeypatch):
    """A machine file of one's own in the folder where one is."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "my-saw.yaml"
    path.write_text(MY_SAW)
    return path


def test_a_shipped_scenario_is_checked_run_played_and_replayed_on_a_machine_file(
    drycycle, my_saw, monkeypatch
):
    monkeypatch.setattr("sys.stdin", io.StringIO("wait 1\n"))
    on_mine = ("--machine", my_saw.name)
    ended = [
        drycycle("check", "rail-posts", *on_mine),
        drycycle("run", "rail-posts", *on_mine, "--record", "run.jsonl"),
        drycycle("play", "rail-posts", "--text", *on_mine, "--record", "played.jsonl"),
    ]
    my_saw.unlink()
    ended += [drycycle("replay", "run.jsonl"), drycycle("debrief", "played.jsonl")]

    assert [(code, errors) for code, _, errors in ended] == [(0, "")] * 5
    for record in ("run.jsonl", "played.jsonl"):
        opening = json.loads(my_saw.with_name(record).read_text().splitlines()[1])["act"]
        assert opening["machine"] == "my-saw"
        assert "  kerf_mm: 1.9\n" in opening["machine_text"]
        assert "  voltage_v: 400\n" in opening["machine_text"]


def test_a_machine_in_the_folder_beside_a_scenario_is_taken_by_its_name(drycycle, my_saw):
    (my_saw.parent / "machines").mkdir()
    my_saw.rename(my_saw.parent / "machines" / my_saw.name)
    shipped_one = shipped("scenarios") / "rail-posts.yaml"
    (my_saw.parent / "job.yaml").write_bytes(shipped_one.read_bytes())
    ended = [drycycle(command, "job.yaml", "--machine", "my-saw") for command in ("check", "run")]
    code, _, errors = drycycle("run", "job.yaml", "--machine", "my-saw.yaml")

    assert [(code, errors) for code, _, errors in ended] == [(0, "")] * 2
    assert code == 2
    assert "'my-saw.yaml'" in errors


def test_a_bad_number_in_a_machine_file_is_told_at_its_place(drycycle, my_saw):
    my_saw.write_text("title: My saw\nband: {kerf_mm: 1}\n")
    for words in (("check", my_saw.name), ("run", "rail-posts", "--machine", my_saw.name)):
        code, _, errors = drycycle(*words)

        assert code == 2
        assert "my-saw.yaml:2:17" in errors
        assert "band.thickness_mm must be less than band.kerf_mm" in errors


def test_a_machine_file_that_is_checked_as_a_scenario_is_told_how_it_is_used(drycycle, my_saw):
    code, _, errors = drycycle("check", my_saw.name)

    assert code == 2
    assert "this is the file of a machine" in errors
    assert "drycycle check rail-posts --machine my-saw.yaml" in errors


def test_the_folder_of_a_machine_that_is_checked_is_told_to_be_in_good_order(drycycle, tmp_path):
    saw = tmp_path / "our-saw"
    saw.mkdir()
    (saw / "sizes.yaml").write_text("title: Ours\n")
    code, out, errors = drycycle("check", saw)

    assert (code, errors) == (0, "")
    assert "this is the file of a machine, in good order" in out
    assert "drycycle check rail-posts --machine" in " ".join(out.split())

    (saw / "sizes.yaml").write_text("title: Ours\nband: {kerf_mm: 1}\n")
    code, out, errors = drycycle("check", saw)
    assert (code, out) == (2, "")
    assert "band.kerf_mm" in errors


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        ("head: {head_without_power: yes}\n", "2:28", "write one of sinks, holds"),
        ("shuttle_mm_s: 50\n", "2:1", "shuttle.speed_mm_s"),
    ],
)
def test_a_bad_machine_file_that_is_checked_as_a_scenario_is_told_as_a_machine_file(
    drycycle, my_saw, text, place, do
):
    my_saw.write_text(f"title: My saw\n{text}")
    code, _, errors = drycycle("check", my_saw.name)

    assert code == 2
    assert f"my-saw.yaml:{place}" in errors
    assert do in errors


@pytest.mark.parametrize("named", ["harbour-sew.yaml", "machines/harbour-sew.yaml"])
def test_a_machine_file_that_is_not_there_is_refused(drycycle, my_saw, named):
    code, _, errors = drycycle("run", "rail-posts", "--machine", named)

    assert code == 2
    assert f"there is no machine file '{named}'" in errors
    assert "harbour-saw" in errors


def test_a_machine_that_is_not_there_is_refused(drycycle):
    code, _, errors = drycycle("run", "rail-posts", "--machine", "quey-saw")

    assert code == 2
    assert "quey-saw" in errors
    assert "quay-saw" in errors


def test_run_as_json_can_be_read_by_a_program(drycycle):
    code, out, _ = drycycle("run", "posts-come-out-short", "--as-found", "--json")
    report = json.loads(out)

    assert code == 0
    assert report["good"] == 0
    lengths_mm = {cut["length_mm"] for cut in report["cuts"] if not cut["squaring"]}
    assert all(229.7 < each < 230.0 for each in lengths_mm)
    assert len(lengths_mm) > 1
    assert json.loads(drycycle("run", "posts-come-out-short", "--as-found", "--json")[1]) == report


def test_run_of_a_machine_that_wrecks_itself_says_what_would_have_happened(drycycle):
    code, out, _ = drycycle("run", "head-stops-short", "--as-found")

    assert code == 1
    assert "STOP: The shuttle moved the bar while the head was not clear of it" in out


@pytest.mark.parametrize(
    "what",
    [
        "scenarios",
        "faults",
        "inspections",
        "keys",
        "points",
        "harms",
        "lamps",
        "steps",
        "materials",
    ],
)
def test_every_list_prints_as_text_and_as_json(drycycle, what):
    _, text, _ = drycycle("list", what)
    _, plain, _ = drycycle("list", what, "--json")
    rows = json.loads(plain)

    assert rows
    assert all(next(iter(row.values())) in text for row in rows)


def test_the_list_of_looks_tells_what_must_hold_before_each(drycycle):
    _, plain, _ = drycycle("list", "inspections", "--json")
    wanted = {row["name"]: row["before hands go in"] for row in json.loads(plain)}

    assert {name: wanted[name] for name in ("walk-round", "stop-play", "pulley", "fuses")} == {
        "walk-round": "",
        "stop-play": "own control first",
        "pulley": "lock-out first",
        "fuses": "qualified people only",
    }


@pytest.mark.parametrize(
    ("reported", "what", "near"),
    [
        ("harm: [band-broke]", "harms", "band-broken"),
        ("lamps: [overlod]", "lamps", "overload"),
        ("stands_at: COUNTS", "steps", "COUNT"),
        ("refused: [head.lowr]", "keys", "head.lower"),
    ],
)
def test_a_wrong_name_in_a_report_gets_the_nearest_and_the_list_that_has_it(
    reported, what, near, drycycle, tmp_path
):
    file = tmp_path / "mine.yaml"
    shipped = library.find("posts-come-out-short").read_text("utf-8")
    file.write_text(shipped.replace("length: {all_are: short}", reported), "utf-8")

    code, _, err = drycycle("check", str(file))
    _, listed, _ = drycycle("list", what)

    assert code == 2
    assert f"the nearest name is {near}; drycycle list {what} tells all" in err
    assert near in listed


def test_a_record_that_was_written_replays_to_the_same_state(drycycle, tmp_path):
    record = str(tmp_path / "one.jsonl")
    drycycle("run", "rail-posts", "--record", record)

    code, out, _ = drycycle("replay", record)

    assert code == 0
    assert "The same, to the last bit." in out


def test_check_finds_a_job_a_lesson_and_a_drill_sound(drycycle):
    code, out, _ = drycycle("check", "rail-posts", "07-coolant", "posts-come-out-short")

    assert code == 0
    assert "3 of 3 scenarios are sound." in out


def test_check_of_an_unsound_scenario_exits_with_1(drycycle, tmp_path):
    text = library.find("posts-come-out-short").read_text(encoding="utf-8")
    mine = tmp_path / "mine.yaml"
    mine.write_text(text.replace("tolerance_mm: 0.1", "tolerance_mm: 0.3"), encoding="utf-8")

    code, out, _ = drycycle("check", str(mine))

    assert code == 1
    assert "FAILS" in out
    assert f"{mine}:" in out
    assert "What to do: " in out


def test_schema_is_draft_7_and_knows_the_names_of_this_saw(drycycle):
    _, out, _ = drycycle("schema")
    schema = json.loads(out)

    assert schema["$schema"].startswith("http://json-schema.org/draft-07/")
    assert "enum" not in schema["properties"]["machine"]  # there may be one's own
    assert "plunger-on-the-land" in out


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("kind", ["sizes", "wiring", "interlocks"])
def test_a_shipped_saw_s_files_fit_their_schema_and_a_slip_in_one_does_not(drycycle, saw, kind):
    _, out, _ = drycycle("schema", kind)
    schema = Draft7Validator(json.loads(out))
    file = yaml.safe_load(machine_path(saw).with_name(f"{kind}.yaml").read_text("utf-8"))
    assert not list(schema.iter_errors(file))

    key = next(iter(file))
    slip = {f"{key}s" if each == key else each: value for each, value in file.items()}
    assert list(schema.iter_errors(slip))


def test_a_schema_of_no_kind_of_file_is_refused_with_the_nearest_one(drycycle):
    code, _, err = drycycle("schema", "wirings")

    assert code == 2
    assert "the nearest name is wiring\n" in err


def _bad_files(tmp_path):
    good = library.find("rail-posts").read_text(encoding="utf-8")
    bomb = 'a: &a ["x","x"]\nb: &b [*a,*a]\nc: &c [*b,*b]\n'
    texts = {
        "empty": ("", "empty"),
        "bomb": (bomb, "anchor"),
        "wrong-key": (good.replace("wanted:", "wnated:"), "wanted"),
        "wrong-unit": (good.replace("diameter_mm: 60", "diameter_cm: 6"), "diameter_mm"),
        "wrong-kind": (good.replace("wanted: 24", "wanted: many"), "wanted"),
        "unknown-metal": (good.replace("S275JR", "S275XX"), "S275JR"),
    }
    for name, (text, says) in texts.items():
        path = tmp_path / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        yield path, says
    huge = tmp_path / "huge.yaml"
    with huge.open("wb") as out:
        out.truncate(100 * 1024 * 1024)
    yield huge, "no scenario needs more than"
    yield tmp_path / "missing.yaml", "missing.yaml"


def test_bad_scenario_files_get_one_clear_line_with_the_place_and_exit_2(drycycle, tmp_path):
    for path, says in _bad_files(tmp_path):
        for command in ("run", "check"):
            code, out, err = drycycle(command, str(path))

            assert (code, out) == (2, ""), path
            assert len(err.splitlines()) == 1, err
            assert err.startswith("drycycle: ")
            assert says in err, err
            assert str(path) in err


def test_a_scenario_that_does_not_exist_is_answered_with_the_nearest(drycycle):
    code, _, err = drycycle("run", "rail-post")

    assert code == 2
    assert "rail-posts" in err


@pytest.mark.parametrize("spoil", ["cut", "edit", "missing"])
def test_bad_records_get_one_clear_line_and_exit_2(drycycle, tmp_path, spoil):
    record = tmp_path / "one.jsonl"
    drycycle("run", "rail-posts", "--record", str(record))
    if spoil == "cut":
        record.write_bytes(record.read_bytes()[:50])
    elif spoil == "edit":
        record.write_text(record.read_text().replace('"at_us":0', '"at_us":1', 1))
    else:
        record.unlink()

    code, out, err = drycycle("replay", str(record))

    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert str(record) in err


def test_a_record_is_never_written_over(drycycle, tmp_path):
    record = tmp_path / "one.jsonl"
    drycycle("run", "rail-posts", "--record", str(record))
    before = record.read_bytes()

    code, _, err = drycycle("run", "rail-posts", "--record", str(record))

    assert code == 2
    assert "already" in err
    assert record.read_bytes() == before


def test_a_bug_shows_one_line_and_where_the_log_is(drycycle, monkeypatch, tmp_path):
    def burst(*_args: object, **_words: object) -> None:
        raise ZeroDivisionError("boom")

    monkeypatch.setattr("sim.text.reports.listing.print_list", burst)

    code, _, err = drycycle("list")

    log = tmp_path / "home" / "bugs.log"
    assert code == cli.BUG
    assert len(err.splitlines()) == 1
    assert str(log) in err
    assert "boom" in log.read_text(encoding="utf-8")


def test_scenarios_are_listed_by_skill_and_a_skill_nobody_trains_gets_the_nearest(drycycle):
    code, out, _ = drycycle("list", "--skill", "maintenance", "--json")
    listed = json.loads(out)
    assert code == 0
    assert len(listed) >= 8
    assert all("maintenance" in row["skills"] for row in listed)

    code, out, err = drycycle("list", "--skill", "maintainance")
    assert (code, out) == (2, "")
    assert "maintenance" in err
    assert drycycle("list", "faults", "--skill", "maintenance")[0] == 2


def test_a_command_whose_output_is_closed_or_not_read_to_its_end_ends_quietly(tmp_path):
    program = (
        "import sys; from sim import cli; sys.argv = ['drycycle', 'list', 'faults']; cli.main()"
    )
    for line in (
        f'{sys.executable} -c "{program}" >&-',
        f'{sys.executable} -c "{program}" | head -1',
    ):
        done = subprocess.run(
            ["sh", "-c", line], capture_output=True, text=True, check=True,
            env={**os.environ, "DRYCYCLE_HOME": str(tmp_path)},
        )  # fmt: skip
        assert done.stderr == ""
    assert done.stdout == "Faults\n"


def _home_is_a_file(tmp_path):
    home = tmp_path / "home"
    home.write_text("", encoding="utf-8")
    return home


def test_where_the_record_folder_cannot_be_made_nothing_is_played(drycycle, tmp_path):
    home = _home_is_a_file(tmp_path)

    code, out, err = drycycle("play", "rail-posts", "--text")

    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert err.startswith(f"drycycle: {home}")
    assert "the record cannot be started" in err


def test_a_bug_is_told_where_its_log_cannot_lie_in_the_home_folder(drycycle, monkeypatch, tmp_path):
    _home_is_a_file(tmp_path)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setattr("sim.text.reports.listing.print_list", _broken)

    code, out, err = drycycle("list")

    assert (code, out) == (3, "")
    assert err.count("\n") == 1
    assert "RuntimeError" in (tmp_path / "drycycle-bugs.log").read_text(encoding="utf-8")


def test_a_bug_is_told_where_no_log_can_be_written_at_all(drycycle, monkeypatch, tmp_path):
    _home_is_a_file(tmp_path)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "home"))
    monkeypatch.setattr("sim.text.reports.listing.print_list", _broken)

    code, out, err = drycycle("list")

    assert (code, out) == (3, "")
    assert err == (
        "drycycle: something went wrong inside (RuntimeError), "
        "and the details could not be written anywhere\n"
    )


def _broken(*_words, **_options):
    raise RuntimeError("broken")
