"""Nothing is left of the scheme before this one: no key, no name, no word of it, in code, files or prose."""

import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import sim
from sim.words.fields import OneOf
from sim.words.message import ROWS

ROOT = Path(__file__).resolve().parents[1]
SHIPPED = sorted(
    path
    for folder in ("sim", "scenarios", "art")
    for path in (ROOT / folder).rglob("*")
    if path.suffix in {".py", ".yaml", ".po", ".md", ".toml", ".json", ".svg", ".txt"}
)
DOCUMENTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md"]

# Names as they were typed and written: keys, actions, states, set points, faults, looks.
NAMES = re.compile(
    r"\bbegin_on|\bjob\.arm\b|\bsupply\.two_hand\b|\btwo_hand (?:control|band|begin|key)|\bdrive_stop\b"
    r"|\bto_stop\b|\bTO_STOP\b|\bTO_BLADE\b|\bAT_STOP\b|\b(?:cutting|shuttle)_vise\.(?:grip|free)\b"
    r"|\b(?:GRIPPING|GRIPPED|FREEING)\b|\bhead\.lift(?:\b(?![.-])|ing\b)|\bLIFT_HEAD\b|\bGRIP_FOR_TRIM\b"
    r"|\bband\.start\b|\bcoolant\.(?:flow|dry)\b(?!\")|\borigin\.(?:hand|auto)\b"
    r"|\b(?:band|cutting_vise|shuttle_vise|shuttle|head|coolant|job)\.(?:hand(?!-pump)|auto)\b"
    r"|\bstop_hole\b|\bstop_pin\b|\bshuttle\.counter_mm\b|\bsupport_roller\b|\bbleed_turns\b"
    r"|\bpivot_locks\b|\bmitre_lever\b|\boutfeed_fence\b|\bmode\.<station>"
    r"|\bpin-under-collar\b|\bcounter-from-below\b|\bfence-in-way\b|\broller-left-in\b"
    r"|\bcollar-pin\b|\bstop-hole\b|\bbleed-screw\b|\bdesk-lamps\b|\btwo-hand-wire\b"
    r"|\bauto begin\b|\btrim_mm\b|\bbars\.trim\b|\"trim\"|--trim\b"
    r"|\bcoil[_-]free\b|\bSTATIONS\b|\bSELECTORS\b|\bWhen\.(?:HAND|AUTO)\b"
)

# Words as they were said to somebody.
WORDS = re.compile(
    r"\bHAND\b|\bAUTO\b|\bstations?\b|\bcollars?\b|\bbleed screws?\b|\bfences?\b|\bloose roller\b"
    r"|\block bolts?\b|\bmitre lever\b|\bdrive stop\b|\btwo-hand key\b|\bdesk\b|\bblades?\b|\bnought\b"
    r"|\bteeth an inch\b|\bgrips?\b|\bgripp(?:ed|ing)\b|\bvise is free\b|\bfree the (?:cutting|shuttle)? ?vise"
    r"|\btrim(?:s|med)?\b|\barmed\b|\bbegin on\b|\blicensed person\b|\bstands against\b|\blift the head\b",
    re.IGNORECASE,
)
# HAND and AUTO were said in capitals only; a hand is still a hand, and `auto` a word that is typed.
_CAPITALS = {"HAND", "AUTO"}
# What people call the band is asked for and explained; nothing else says it.
ASKED = {"glossary.blade", "glossary.blade.forms"}


def _said(text):
    found = {match[0] for match in WORDS.finditer(text)}
    return sorted(word for word in found if word.upper() not in _CAPITALS or word in _CAPITALS)


@pytest.mark.parametrize(
    "path", [*SHIPPED, *DOCUMENTS], ids=lambda path: str(path.relative_to(ROOT))
)
def test_no_file_has_a_name_of_the_old_scheme(path):
    lines = path.read_text(encoding="utf-8").splitlines()

    assert not [f"{n}: {line.strip()}" for n, line in enumerate(lines, 1) if NAMES.search(line)]


def test_no_message_says_a_word_of_the_old_scheme():
    for module in pkgutil.walk_packages(sim.__path__, "sim."):
        if "__main__" not in module.name:
            importlib.import_module(module.name)
    odd = {}
    for key, row in ROWS.items():
        phrases = [row.template, row.plural]
        phrases += [
            word
            for field in row.fields.values()
            if isinstance(field, OneOf)
            for word in field.words
        ]
        if (
            key not in ASKED
            and not key.startswith("test.")
            and (words := _said("\n".join(phrases)))
        ):
            odd[key] = words

    assert not odd
    assert ROWS.keys() >= ASKED


@pytest.mark.parametrize(
    "path",
    [*sorted((ROOT / "scenarios").rglob("*.yaml")), *DOCUMENTS],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_no_scenario_and_no_document_says_a_word_of_the_old_scheme(path):
    lines = path.read_text(encoding="utf-8").splitlines()

    assert not [f"{n}: {_said(line)} in {line}" for n, line in enumerate(lines, 1) if _said(line)]


@pytest.mark.parametrize(
    "line",
    ["tap two_hand control_on", "tap job.arm", "press head.lift", "set head.stop_pin through",
     "tap cutting_vise.grip", "tap shuttle.to_stop", "fix pin-under-collar", "tap band.auto",
     "auto begin", "calc bars --trim 20"],
)  # fmt: skip
def test_what_the_old_scheme_was_typed_like_would_be_found(line):
    assert NAMES.search(line)


@pytest.mark.parametrize(
    "line",
    ["Turn the band's station to HAND.", "the collar rests on its pin", "The vise grips the bar.",
     "Begin on a piece.", "the lamps of the desk", "Lift the head.", "A station in AUTO.",
     "Trim off the front, mm."],
)  # fmt: skip
def test_what_the_old_scheme_was_said_like_would_be_found(line):
    assert _said(line)
