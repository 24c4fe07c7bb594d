"""Odd values in every field of a record, its hashes put right: told in words, never a traceback.

What does not fit is left out and listed; a record that cannot be used at all is one sentence.
"""

import itertools
import json

import pytest

from tests.reliability.odd_records import ODD, changed, fine, recorded, ways, written


def odd_records(lines: list[dict], of_each: int) -> list[str]:
    """Return records with one odd value each."""
    values = itertools.cycle(ODD)
    return [
        written(lines, seq, changed(line, way, next(values)))
        for seq, line in enumerate(lines)
        for way in ways(line)
        for _ in range(of_each)
    ]


COMMANDS = ("debrief", "replay", "trace", "instruct")


@pytest.mark.parametrize(
    ("scenario", "hidden", "of_each", "commands"),
    [
        ("02-two-hand-start", False, 2, COMMANDS),
        ("rail-posts", True, 1, ("trace", "instruct")),
    ],
)
def test_an_odd_value_in_any_field_is_told_in_words(
    scenario, hidden, of_each, commands, drycycle, tmp_path
):
    lines = recorded(tmp_path / "whole.jsonl", scenario, hidden=hidden)
    odd = odd_records(lines, of_each)
    folder = tmp_path / "home" / "records"
    folder.mkdir(parents=True)
    for number, text in enumerate(odd):
        (folder / f"{number}.jsonl").write_text(text, encoding="utf-8")

    failed = []
    for number, command in itertools.product(range(len(odd)), commands):
        more = ("-o", tmp_path / "out.vcd") if command == "trace" else ()
        told = drycycle(command, folder / f"{number}.jsonl", *more)
        if not fine(*told):
            failed.append((number, command, *told))

    assert not failed, failed[:3]
    assert len(odd) > 100


def test_commands_over_a_folder_of_odd_records_list_what_they_leave_out(drycycle, tmp_path):
    lines = recorded(tmp_path / "whole.jsonl", "02-two-hand-start", hidden=False)
    odd = odd_records(lines, 4)
    folder = tmp_path / "home" / "records"
    folder.mkdir(parents=True)
    for number, text in enumerate(odd):
        (folder / f"{number}.jsonl").write_text(text, encoding="utf-8")

    code, out, err = drycycle("class", folder, "--json")
    told = json.loads(out)
    assert (code, err) == (1, "")
    assert len(told["rows"]) + len(told["left_out"]) == len(odd)
    assert len(told["left_out"]) > 40
    for words in (("next",), ("next", "--who", "bench-07"), ("list", "scenarios")):
        assert fine(*drycycle(*words)), words
