"""The interlock rows that a site has changed: read with places, walked by its saw, carried by its records."""

from pathlib import Path

import pytest
from jsonschema import Draft7Validator

from sim.control.interlocks import THE_ROWS
from sim.control.row_file import FIRST_ROWS
from sim.control.site_rows import rows_of
from sim.errors import ScenarioError
from sim.pilot.autopilot import power_up
from sim.records.kinds import By  # noqa: F401 - playback wants its kinds loaded
from sim.resources import INTERLOCKS
from sim.scenario.gate import load
from sim.scenario.library import machine_path
from sim.scenario.machines import read_machine, shipped_machine, whole_file
from sim.scenario.reading import model_from
from sim.scenario.schema import draft_7
from sim.scenario.site_rows import InterlocksFile, site_rows_of
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import replay
from sim.wiring.site_rows import NO_CHANGE, SiteRows

SHIPPED = FIRST_ROWS.read_text("utf-8")
START = "  - {interlock: I4, action: job.start, needs: {B11: true}}\n"
UNHOLD = "  - {interlock: I4, action: job.unhold, needs: {B11: true}}\n"
BACK = """\
  - interlock: I4
    action: shuttle.back
    needs: {B11: true}
"""
OWN = """\
  - interlock: I11
    action: coolant.on
    needs: {B43: true}
    where: {mode: [MANUAL, PRODUCTION]}
    fact: the hood over our drain is open
    to_do: shut the hood
  - interlock: I9
    when: {B62: false}
    where: {supply: 'ON'}
    fires: [coolant CEASE]
    reason: the oil is low, and we keep the floor dry
"""
ROWS = SHIPPED.replace(START, BACK) + OWN


def folder(tmp_path: Path, rows: str) -> Path:
    """Write a machine with rows of its own; return its folder."""
    saw = tmp_path / "our-saw"
    saw.mkdir()
    (saw / "sizes.yaml").write_text('title: "A saw of our own"\n')
    (saw / "interlocks.yaml").write_text(rows)
    return saw


def changes(tmp_path: Path, rows: str) -> SiteRows:
    """Return what a file of rows has other than the one that ships."""
    return read_machine(folder(tmp_path, rows) / "sizes.yaml").site_rows


def swapped(one: str, other: str) -> str:
    """Return the shipped rows with two of them in each other's place."""
    return SHIPPED.replace(one, "\0").replace(other, one).replace("\0", other)


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_the_file_of_a_shipped_saw_passes_the_gate_and_the_schema_and_is_the_table(saw):
    file = machine_path(saw).with_name(INTERLOCKS)
    located = load(file)

    assert not list(Draft7Validator(draft_7(InterlocksFile)).iter_errors(located.value))
    told = model_from(located, InterlocksFile)
    assert site_rows_of(located, told) == NO_CHANGE
    assert len(told.rows) == len(THE_ROWS.permissives) + len(THE_ROWS.reactions)
    assert shipped_machine(saw).site_rows == NO_CHANGE


def test_a_site_s_rows_are_those_of_the_table_without_some_and_with_its_own(tmp_path):
    rows = rows_of(read_machine(folder(tmp_path, ROWS) / "sizes.yaml").site_rows)

    before, now = ({row.name for row in each.permissives} for each in (THE_ROWS, rows))
    assert before - now == {"I4:job.start:B11"}
    assert now - before == {"I4:shuttle.back:B11", "I11:coolant.on:B43"}
    assert len(rows.reactions) == len(THE_ROWS.reactions) + 1


def test_a_row_that_is_changed_is_one_left_out_and_one_put_in(tmp_path):
    site = changes(
        tmp_path, SHIPPED.replace(START, START.replace("true}}", "true}, asked_by: key}"))
    )

    assert site.without == ("I4:job.start:B11",)
    (own,) = site.also
    assert (own.action, own.subject, own.asked_by) == ("job.start", "B11", "key")


def test_a_row_in_other_words_is_changed_too(tmp_path):
    words = ", fact: the head is not parked, to_do: park it}"
    site = changes(tmp_path, SHIPPED.replace(START, START.replace("}}", "}" + words)))

    assert site.without == ("I4:job.start:B11",)
    assert site.also[0].said == "the head is not parked"


GUARD = "  - {interlock: I3, when: {B41: false}, fires: [job HOLD], where: {job: [STARTING, EXECUTE, UNHOLDING]}}\n"
GUARD_LATE = (
    "  - {interlock: I3, when: {B41: false}, fires: [job STOP], where: {job: COMPLETING}}\n"
)
COVER = GUARD.replace("B41", "B42")


@pytest.mark.parametrize(
    "rows",
    [
        swapped(START, UNHOLD),
        swapped(GUARD, COVER),
        SHIPPED.replace("[TRIPPED, 'OFF', 'ON']", "['ON', TRIPPED, 'OFF']"),
        SHIPPED.replace("{F1: false, job: COMPLETING}", "{job: COMPLETING, F1: false}"),
    ],
)
def test_an_order_that_counts_for_nothing_changes_nothing(tmp_path, rows):
    assert rows != SHIPPED
    assert changes(tmp_path, rows) == NO_CHANGE


def test_rows_that_act_one_after_the_other_are_refused_in_another_order(tmp_path):
    saw = folder(tmp_path, swapped(GUARD, GUARD_LATE))
    line = SHIPPED.split("\n").index(GUARD.strip("\n")) + 1
    late = SHIPPED.split("\n").index(GUARD_LATE.strip("\n")) + 1
    with pytest.raises(ScenarioError) as refused:
        read_machine(saw / "sizes.yaml")

    assert str(refused.value.where).endswith(f"interlocks.yaml:{late}:5")
    assert f"put this row before line {line}" in str(refused.value)


def test_a_row_of_a_site_s_own_acts_where_it_stands(tmp_path):
    own = GUARD.replace("UNHOLDING", "UNHOLDING, HELD")
    machine = read_machine(folder(tmp_path, SHIPPED.replace(GUARD, own)) / "sizes.yaml")
    shipped = [row.given for row in THE_ROWS.reactions_to("B41")]
    walked = [row.given for row in rows_of(machine.site_rows).reactions_to("B41")]

    assert [one == other for one, other in zip(shipped, walked, strict=True)] == [True, False, True]


def test_the_saw_refuses_by_its_site_s_row_and_says_the_site_s_words(tmp_path):
    saw = folder(tmp_path, ROWS)
    session = open_session("rail-posts", machine=str(saw))
    power_up(session)
    session.press("head.lower")
    session.advance(5.0)
    session.release("head.lower")
    answer = session.press("shuttle.back")
    assert not answer.accepted
    assert "B11" in str(answer.sentence)

    session.set("infeed.hood", "open")
    session.ask("coolant.on")
    assert "the hood over our drain is open" in str(session.seen.answers[-1].said)


def test_a_record_carries_the_rows_and_plays_again_without_the_folder(tmp_path):
    saw = folder(tmp_path, ROWS)
    path = tmp_path / "ours.jsonl"
    session = open_recorded("rail-posts", path, machine=str(saw))
    power_up(session)
    session.press("shuttle.back")
    session.advance(2.0)
    session.close()
    for file in saw.iterdir():
        file.unlink()

    again = replay(path)
    assert again.same
    assert again.session.machine.site_rows == session.machine.site_rows


def test_the_whole_text_of_a_machine_tells_the_same_rows(tmp_path):
    sizes = folder(tmp_path, ROWS) / "sizes.yaml"
    machine = read_machine(sizes)
    assert read_machine(sizes, whole_file(sizes)).site_rows == machine.site_rows


LINE = SHIPPED.split("\n").index(START.strip("\n")) + 1  # where a changed row stands


@pytest.mark.parametrize(
    ("row", "at", "says"),
    [
        (START.replace("job.start", "job.strat"), "job.strat", "job.start"),
        (START.replace("B11", "B112"), "B112", "B11"),
        ("  - {interlock: I4, when: {job: HELT}, fires: [band STOP]}\n", "HELT", "HELD"),
        ("  - {interlock: I4, when: {job: HELD}, fires: [band STOPP]}\n", "band", "band STOP"),
        ("  - {interlock: I4, when: {job: HELD}, needs: {B11: true}}\n", "{", "not both"),
        (START.replace("B11", "B12"), "needs", "fact and to_do"),
        (START.replace("true}}", "true}, keeps: yes}"), "yes", "true"),
        (START.replace("true}}", "true}, keeps: true}"), "true}\n", "leave keeps out"),
        (START.replace("needs", "neads"), "neads", "needs"),
    ],
)  # fmt: skip
def test_a_broken_file_is_refused_at_its_place_with_what_to_do(tmp_path, row, at, says):
    with pytest.raises(ScenarioError) as refused:
        changes(tmp_path, SHIPPED.replace(START, row))
    where = f"interlocks.yaml:{LINE}:{row.index(at) + 1}"
    assert str(refused.value.where).endswith(where), str(refused.value)
    assert says in str(refused.value), str(refused.value)


def test_a_row_that_is_there_twice_is_refused_with_the_line_of_the_other(tmp_path):
    with pytest.raises(ScenarioError) as refused:
        changes(tmp_path, SHIPPED + START)
    last = SHIPPED.count("\n") + 1
    assert str(refused.value.where).endswith(f"interlocks.yaml:{last}:5")
    assert f"the other is on line {LINE}" in str(refused.value)


def test_an_action_that_is_left_without_any_need_is_refused(tmp_path):
    lines = SHIPPED.splitlines(keepends=True)
    with pytest.raises(ScenarioError) as refused:
        changes(tmp_path, "".join(line for line in lines if "supply.control_on" not in line))
    assert str(refused.value.where).endswith(
        f"interlocks.yaml:{lines.index('rows:' + chr(10)) + 1}:1"
    )
    assert "supply.control_on is left without" in str(refused.value)
    assert "keep one" in str(refused.value)
