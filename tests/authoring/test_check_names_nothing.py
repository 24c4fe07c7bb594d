"""A trainee who checks the drill that he plays learns no cause and no look from it; its author may."""

import json
import re

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.scenario import library
from sim.session.inspections import INSPECTIONS
from sim.words.reader import ENGLISH, Reader
from sim.words.speech import read_by, tell

DRILLS = ("hums-in-two-places", "motor-hums", "posts-come-out-short")


def names_in(text):
    """Return the causes and looks that stand in a text, by their names or in full, in either language."""
    rows = {**CATALOGUE, **INSPECTIONS}
    words = {name: name for name in rows}
    for language in ("en", "es"):
        read_by(Reader(language=language))
        words.update({tell(row.title): name for name, row in rows.items()})
    read_by(ENGLISH)
    text = " ".join(text.split())
    return {
        name
        for word, name in words.items()
        if re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text)
    }


@pytest.mark.sampled(3)
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("form", [(), ("--json",)], ids=["table", "json"])
def test_of_a_drill_that_holds_figures_are_told_and_no_cause_and_no_look(form, language, drycycle):
    code, out, err = drycycle("--language", language, "check", *DRILLS, *form)

    assert code == 0
    assert names_in(out + err) == set()
    if language == "en":
        assert "% at the most" in out
        assert "1 look" in out


def test_the_author_is_told_the_names_where_he_asks_for_them(drycycle):
    _, out, _ = drycycle("check", "newels-short-and-uneven", "--names")
    told = json.loads(drycycle("check", "newels-short-and-uneven", "--names", "--json")[1])

    assert {"shuttle-jaws-oily", "clamping-valves"} <= names_in(out)
    assert {"shuttle-jaws-oily", "clamping-valves"} <= names_in(json.dumps(told))
    assert "this tells what a drill hides" in " ".join(drycycle("check", "--help")[1].split())


def test_a_claim_that_fails_names_all_and_those_that_hold_do_not(drycycle, tmp_path):
    """With one look that tells nothing the causes stay alike: which they are is for the author."""
    text = library.find("posts-come-out-short").read_text("utf-8")
    kept, changed = re.subn(r"inspections:.*?\]", "inspections: [air-gauge]", text, flags=re.DOTALL)
    assert changed == 1
    mine = tmp_path / "mine.yaml"
    mine.write_text(kept, "utf-8")

    code, out, _ = drycycle("check", mine, "--json")
    table = drycycle("check", mine)[1]

    (report,) = json.loads(out)
    assert code == 1
    failed = [each["detail"] for each in report["findings"] if not each["holds"]]
    held = [each["detail"] for each in report["findings"] if each["holds"]]
    assert names_in(" ".join(failed))
    assert names_in(" ".join(failed)) <= names_in(table)
    assert names_in(" ".join(held)) == set()
