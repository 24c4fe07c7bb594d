"""Three changes that a site may think of: one that hurts nobody, one that does nothing, one that kills."""

import json

import pytest

from sim.control.row_file import FIRST_ROWS
from sim.control.site_rows import row_from
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.site_changes import RowVerdict, changes
from sim.wiring.site_rows import SiteRows, ToldRow

BACK_NEEDS_HEAD_UP = ToldRow("I4", "B11", (True,), action="shuttle.back")
FORWARD_TWICE = ToldRow("I4", "B11", (True,), action="shuttle.forward")
COOLANT_STOPS_WITH_THE_BAND = ToldRow("I7", "B1", (False,), fires=(("coolant", "CEASE"),))
BAND_NEEDS_COOLANT = ToldRow("I11", "B63", (True,), action="band.run")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("row", "verdict"),
    [
        (BACK_NEEDS_HEAD_UP, RowVerdict.HARMLESS),
        (FORWARD_TWICE, RowVerdict.REDUNDANT),
        (COOLANT_STOPS_WITH_THE_BAND, RowVerdict.FATAL),
        # It refuses the band to a job that has begun, so topping up the coolant starts it.
        (BAND_NEEDS_COOLANT, RowVerdict.FATAL),
    ],
)
def test_a_row_that_is_put_in_comes_out_as_what_it_is(row, verdict):
    (found,) = changes(SiteRows(also=(row,)))
    assert (found.verdict, found.out) == (verdict, False)
    assert (found.broken is None) == (verdict is not RowVerdict.FATAL)


def test_a_row_that_is_taken_out_comes_out_as_what_it_was_there_for():
    (found,) = changes(SiteRows(without=("I4:shuttle.forward:B11",)))
    assert found.verdict is RowVerdict.FATAL
    assert found.broken.name == "into the band"
    assert found.broken.example.strides


def test_a_row_in_other_words_does_what_it_did():
    told = ToldRow("I4", "B11", (True,), action="job.start", said="it is not up", to_do="raise it")
    out, into = changes(SiteRows(("I4:job.start:B11",), (told,)))
    assert (out.verdict, into.verdict) == (RowVerdict.REDUNDANT, RowVerdict.REDUNDANT)
    assert (out.out, into.out) == (True, False)


def test_the_way_it_hurts_is_one_that_the_live_controller_goes_with_the_row_and_not_without():
    (found,) = changes(SiteRows(also=(BAND_NEEDS_COOLANT,)))
    example = found.broken.example
    with pytest.raises(Exception, match="does not do it"):
        Rehearsal(example).play()
    assert row_from(BAND_NEEDS_COOLANT) is found.row


def test_prove_tells_of_a_site_s_saw_what_each_of_its_rows_does(drycycle, tmp_path):
    saw = tmp_path / "our-saw"
    saw.mkdir()
    (saw / "sizes.yaml").write_text("title: Ours\n")
    own = "  - {interlock: I7, when: {B1: false}, fires: [coolant CEASE]}\n"
    (saw / "interlocks.yaml").write_text(FIRST_ROWS.read_text("utf-8") + own)
    code, out, err = drycycle("prove", "coolant", "--quick", "--machine", str(saw), "--json")
    told = json.loads(out)

    assert (code, err) == (1, "")
    (change,) = told["changes"]
    assert (change["verdict"], change["breaks"]) == ("fatal", "coolant")
    assert change["moves"]

    code, out, _ = drycycle("prove", "coolant", "--quick", "--machine", str(saw))
    assert "FATAL" in out
    assert "the band comes to rest" in out

    code, _, err = drycycle("prove", "--each", "--machine", str(saw))
    assert code == 2
    assert "leave one of them out" in err
