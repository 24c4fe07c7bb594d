"""One bad file among many does not keep the others from being listed, checked and played."""

import io
import json
import shlex
import sys

import pytest

from sim.scenario import library
from sim.session import opening, shelf
from sim.text.typed.home import home

BAD = "title: Vise: the posts\nmode: practice\n"


@pytest.fixture
def folder(tmp_path):
    """A folder with a good scenario, a bad one, a machine, and a bad machine in a folder of its own."""
    here = tmp_path / "ours"
    (here / "machines").mkdir(parents=True)
    good = library.find("rail-posts").read_text(encoding="utf-8").replace("wanted: 24", "wanted: 2")
    (here / "a-good.yaml").write_text(good, encoding="utf-8")
    (here / "b-bad.yaml").write_text(BAD, encoding="utf-8")
    (here / "c-good.yml").write_text(good, encoding="utf-8")
    (here / "d-machine.yaml").write_text(
        "title: Our saw\nband: {low_m_min: 18}\n", encoding="utf-8"
    )
    (here / "notes.txt").write_text("no scenario", encoding="utf-8")
    (here / "machines" / "low.yaml").write_text(
        "title: Low\nband:\n  low_m_min:5\n", encoding="utf-8"
    )
    return here


def test_a_folder_is_checked_and_what_is_refused_in_it_is_told(drycycle, folder):
    code, out, err = drycycle("check", folder)

    assert code == 2
    assert "2 of 3 scenarios are sound, 1 could not be read." in out
    bad, machine = [line for line in err.splitlines() if line.startswith("drycycle: ")]
    assert f"{folder}/b-bad.yaml:1:12: " in bad
    assert "title: 'Vise: the posts'" in bad
    assert f"{folder}/machines/low.yaml:3:3: " in machine


def test_a_folder_of_good_files_is_sound(drycycle, folder):
    (folder / "b-bad.yaml").unlink()
    (folder / "machines" / "low.yaml").unlink()
    (folder / "c-good.yml").unlink()

    code, out, err = drycycle("check", folder, "--json")

    assert code == 0
    assert [each["scenario"] for each in json.loads(out)] == ["a-good"]
    assert "drycycle:" not in err


def test_one_bad_file_of_several_is_told_and_the_rest_checked(drycycle, folder):
    code, out, err = drycycle("check", folder / "b-bad.yaml", "none-such", folder / "a-good.yaml")

    assert code == 2
    assert "1 of 3 scenarios are sound, 2 could not be read." in out
    assert "b-bad.yaml:1:12" in err
    assert "there is no scenario called 'none-such'" in err


def test_what_could_not_be_read_is_in_the_json_too(drycycle, folder):
    code, out, _ = drycycle("check", folder, "--json")

    assert code == 2
    told = {each["scenario"]: (each["sound"], each["not_read"]) for each in json.loads(out)}
    assert told.keys() == {"a-good", "b-bad", "c-good"}
    assert told["a-good"] == told["c-good"] == (True, "")
    assert not told["b-bad"][0]
    assert "b-bad.yaml:1:12: " in told["b-bad"][1]


def test_one_bad_machine_for_several_scenarios_is_told_of_once(drycycle, folder):
    low = folder / "machines" / "low.yaml"
    code, out, err = drycycle(
        "check", folder / "a-good.yaml", folder / "c-good.yml", "--machine", low
    )

    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert f"{low}:3:3: " in err


@pytest.mark.parametrize("command", ["run", "check"])
def test_a_scenario_in_the_place_of_a_machine_is_told_to_be_one(command, drycycle, folder):
    good = folder / "a-good.yaml"
    code, out, err = drycycle(command, "rail-posts", "--machine", good)

    assert (code, out) == (2, "")
    assert f"{good}: this is the file of a scenario, and no machine; name it as the scenario" in err


def test_the_command_that_is_told_for_a_machine_file_can_be_typed(drycycle, folder):
    ours = folder.rename(folder.with_name("our saws"))
    _, _, err = drycycle("check", ours / "d-machine.yaml")

    told = err.partition("drycycle check ")[2]
    assert told, err
    assert drycycle("check", *shlex.split(told))[0] == 0


def test_a_bad_file_alone_is_one_line(drycycle, folder):
    code, out, err = drycycle("check", folder / "b-bad.yaml")

    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_a_folder_without_a_scenario_is_refused(drycycle, tmp_path):
    (tmp_path / "empty").mkdir()

    code, out, err = drycycle("check", tmp_path / "empty")

    assert (code, out) == (2, "")
    assert "there is no scenario file in the folder; name a folder with .yaml files" in err


@pytest.fixture
def bad_among_the_shipped(monkeypatch, tmp_path):
    """A bad file on the shelf, first of all."""
    bad = tmp_path / "a-bad-one.yaml"
    bad.write_text(BAD, encoding="utf-8")
    shipped = library.entries()
    for module in (library, shelf):
        monkeypatch.setattr(module, "entries", lambda: (("a-bad-one", bad), *shipped))
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path / "cache"))
    opening._library.cache_clear()
    shelf.listed.cache_clear()
    yield bad
    opening._library.cache_clear()
    shelf.listed.cache_clear()


def test_the_rest_is_listed_where_one_file_is_bad(drycycle, bad_among_the_shipped):
    code, out, err = drycycle("list", "--json")

    names = [each["name"] for each in json.loads(out)]
    assert code == 0
    assert "rail-posts" in names
    assert "a-bad-one" not in names
    assert f"{bad_among_the_shipped}:1:12" in err
    assert len(shelf.listed()) == len(names)  # the window's home, too


def test_the_terminals_home_offers_the_rest_and_tells_of_the_bad_one(
    drycycle, bad_among_the_shipped, monkeypatch
):
    class Typed(io.StringIO):
        def isatty(self):
            return True

    said = []
    monkeypatch.setattr(sys, "stdin", Typed(""))
    assert home(said.append, ["quit"]) == 0
    text = " ".join(" ".join(said).split())

    assert "a-bad-one.yaml:1:12" in text
    assert "rail-posts" in text


def test_a_good_scenario_is_played_where_another_file_is_bad(
    drycycle, bad_among_the_shipped, monkeypatch
):
    monkeypatch.setattr(sys, "stdin", io.StringIO("quit\n"))

    assert drycycle("play", "rail-posts", "--text")[0] == 0
