"""The interlock rows that a site has changed: read with places, walked by its saw, carried by its records."""

from pathlib import Path

import pytest

from sim.control.interlocks import THE_ROWS
from sim.control.site_rows import rows_of
from sim.errors import ScenarioError
from sim.pilot.autopilot import power_up
from sim.records.kinds import By  # noqa: F401 - playback wants its kinds loaded
from sim.scenario.machines import read_machine, whole_file
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import replay

SIZES = 'title: "A saw of our own"\n'
ROWS = """\
without:
  - "I4:job.start:B11"
also:
  - interlock: I4
    action: shuttle.back
    needs: {B11: true}
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


def folder(tmp_path: Path, rows: str) -> Path:
    """Write a machine with changed rows; return its folder."""
    saw = tmp_path / "our-saw"
    saw.mkdir()
    (saw / "sizes.yaml").write_text(SIZES)
    (saw / "interlocks.yaml").write_text(rows)
    return saw


def test_a_site_s_rows_are_those_of_the_table_without_some_and_with_its_own(tmp_path):
    rows = rows_of(read_machine(folder(tmp_path, ROWS) / "sizes.yaml").site_rows)

    before, now = ({row.name for row in each.permissives} for each in (THE_ROWS, rows))
    assert before - now == {"I4:job.start:B11"}
    assert now - before == {"I4:shuttle.back:B11", "I11:coolant.on:B43"}
    assert len(rows.reactions) == len(THE_ROWS.reactions) + 1


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


@pytest.mark.parametrize(
    ("rows", "where", "says"),
    [
        ("without: ['I4:job.start:B12']\n", "1:11", "I4:job.start:B11"),
        ("without: ['I4:job.start:B11', 'I4:job.start:B11']\n", "1:31", "twice"),
        (
            "also:\n  - interlock: I4\n    action: shutle.back\n    needs: {B11: true}\n",
            "3:13", "shuttle.back",
        ),
        (
            "also:\n  - interlock: I4\n    action: shuttle.back\n    needs: {B112: true}\n",
            "4:13", "B11",
        ),
        (
            "also:\n  - interlock: I4\n    when: {job: HELT}\n    fires: [band STOP]\n",
            "3:17", "HELD",
        ),
        (
            "also:\n  - interlock: I4\n    when: {job: HELD}\n    fires: [band STOPP]\n",
            "4:13", "band STOP",
        ),
        (
            "also:\n  - interlock: I4\n    when: {job: HELD}\n    needs: {B11: true}\n",
            "2:5", "not both",
        ),
        (
            "also:\n  - interlock: I4\n    action: shuttle.back\n    needs: {B12: true}\n",
            "4:5", "fact and to_do",
        ),
        (
            "also:\n  - interlock: I4\n    action: band.run\n    keeps: true\n    needs: {B11: true}\n",
            "4:12", "leave keeps out",
        ),
        (
            "without:\n"
            + "".join(
                f"  - '{row.name}'\n"
                for row in THE_ROWS.permissives
                if row.action == "supply.control_on"
            ),
            "1:1", "keep one",
        ),
    ],
)  # fmt: skip
def test_a_broken_file_is_refused_at_its_place_with_what_to_do(tmp_path, rows, where, says):
    with pytest.raises(ScenarioError) as refused:
        read_machine(folder(tmp_path, rows) / "sizes.yaml")
    assert str(refused.value.where).endswith(f"interlocks.yaml:{where}"), str(refused.value)
    assert says in str(refused.value), str(refused.value)
