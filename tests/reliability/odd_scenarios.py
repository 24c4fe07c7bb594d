"""Scenario and machine files as nobody wrote them: each is read, or refused in a sentence with its place.

    python -m tests.reliability.odd_scenarios --count 100000 --seed 1

Changes the files that ship by chance: letters, lines, numbers, signs that mean something to YAML, octets
that are no text. Whatever is read is opened as a session, too. Prints how many were read and refused,
how many sentences were different, and how long the slowest refusal took. A failure names the number
of its file, which `--only` makes again.
"""

import argparse
import gc
import os
import random
import re
import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from sim.errors import ScenarioError
from sim.resources import shipped
from sim.scenario.library import entries
from sim.scenario.machines import read_machine
from sim.session.opening import scenario_in, session_for
from sim.words.message import Message

_NUMBERS: Final = (
    "0", "-0", "-1", "0.0", "1e-308", "1.0e-308", "5.0e-324", "1.0e+308", "1e400", "1.0e+400",
    ".inf", "-.inf", ".nan", "nan", "inf", "999999999999999999999", "9" * 41, "0x10", "012", "0o12",
    "1_000", "1:30", "12,5", "1.000,5", "40 mm", "60%", "1/2", "+-0.3", "\u00bd", "\u0663", "1e3",
    "true", "no", "off", "null", "~", "[]", "{}", "''", '""', "2020-13-45", "0.0000001", "1.0e-7",
)  # fmt: skip
_SIGNS: Final = (
    "\t", "\u00a0", "\u202e", "\ufeff", "\x00", "\x1b[31m", "\u2028", "\x85", ": ", ":", "- ", "-",
    "#", " #", "'", '"', "\u201c", "\u2019", ",", ";", "[", "]", "{", "}", "(", ")", "&a ", "*a",
    "!!int ", "! ", "|", ">-", "---\n", "...\n", "%YAML 1.2\n", "? ", "@", "`", "<<: ", "=", "\\",
    "\r", "\r\n", "\n", "\n\n", "  ", " ", "\u00e9", "\u4e2d", "\U0001f527", "~", "[" * 40, "{a: " * 40,
)  # fmt: skip
_NUMBER: Final = re.compile(r"-?\d+(\.\d+)?")
_PLACE: Final = re.compile(r"^odd\.yaml(:\d+:\d+)?$")


@dataclass
class Figures:
    """What came of the files."""

    read: int = 0
    refused: int = 0
    slowest_s: float = 0.0
    over_50_ms: int = 0
    sentences: Counter[str] = field(default_factory=Counter)  # by what was wrong, without its words
    failures: list[str] = field(default_factory=list)

    def add(self, other: "Figures") -> None:
        """Add what came of other files."""
        self.read += other.read
        self.refused += other.refused
        self.slowest_s = max(self.slowest_s, other.slowest_s)
        self.over_50_ms += other.over_50_ms
        self.sentences += other.sentences
        self.failures += other.failures


def sources() -> list[tuple[bool, bytes]]:
    """Return the files that ship, each with whether it is one of a machine."""
    machines = sorted((shipped("scenarios") / "machines").glob("*.yaml"))
    found = [(False, path.read_bytes()) for _, path in entries()]
    return found + [(True, path.read_bytes()) for path in machines] * 8


def odd_file(seed: int, number: int, known: list[tuple[bool, bytes]]) -> tuple[bool, bytes]:
    """Return the odd file of a number, and whether it was one of a machine."""
    chance = random.Random(f"{seed} {number}")
    machine, content = chance.choice(known)
    text = content.decode()
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        text = _changed(text, chance)
    octets = text.encode("utf-8", "surrogatepass")
    if chance.random() < 0.03:
        at = chance.randrange(len(octets) + 1)
        octets = octets[:at] + bytes([chance.randrange(256)]) + octets[at + 1 :]
    if chance.random() < 0.01:
        octets = text.encode(
            chance.choice(("utf-16", "utf-16-le", "cp1252", "utf-8-sig")), "replace"
        )
    return machine, octets


def _changed(text: str, chance: random.Random) -> str:
    lines = text.split("\n")
    at, line = chance.randrange(len(text) + 1), chance.randrange(len(lines))
    end = min(len(text), at + chance.choice((1, 1, 2, 8, 40)))
    match chance.randrange(10):
        case 0:
            return text[:at] + text[end:]
        case 1:
            return text[:at] + text[at:end] * 2 + text[end:]
        case 2 | 3:
            return text[:at] + chance.choice(_SIGNS) + text[at:]
        case 4 | 5:
            found = list(_NUMBER.finditer(text))
            one = chance.choice(found) if found else None
            return (
                text
                if one is None
                else text[: one.start()] + chance.choice(_NUMBERS) + text[one.end() :]
            )
        case 6:
            lines[line] = " " * chance.randrange(6) + lines[line].lstrip()
        case 7:
            lines.insert(chance.randrange(len(lines)), lines.pop(line))
        case 8:
            lines.insert(chance.randrange(len(lines)), lines[line])
        case 9:
            del lines[line : line + chance.choice((1, 2, 5))]
    return "\n".join(lines)


def tried(seed: int, numbers: Iterator[int]) -> Figures:
    """Return what comes of the odd files of some numbers."""
    known, found, path = sources(), Figures(), Path("odd.yaml")
    for number in numbers:
        machine, content = odd_file(seed, number, known)
        begun = time.process_time()
        try:
            if machine:
                read_machine(path, content)
            else:
                session_for(scenario_in(path, content), nonce="")
            found.read += 1
        except ScenarioError as fault:
            took_s = time.process_time() - begun
            found.refused += 1
            found.slowest_s = max(found.slowest_s, took_s)
            found.over_50_ms += took_s > 0.05
            found.sentences[_key(fault.what)] += 1
            said = str(fault)
            fine = _PLACE.match(str(fault.where)) and fault.what_to_do and said.isprintable()
            if not fine:
                found.failures.append(f"{number}: {said!r}")
        except Exception as fault:  # noqa: BLE001 - that is what is looked for
            found.failures.append(f"{number}: {type(fault).__name__}: {fault}")
    return found


def _key(what: Message) -> str:
    """Return the key of what is wrong, without the place before it."""
    inner = dict(what.values).get("what")
    return inner.row.key if isinstance(inner, Message) else what.row.key


def _part(seed: int, first: int, end: int, step: int) -> Figures:
    gc.collect()
    gc.freeze()
    tried(seed, iter(range(20)))  # what is read once is read before the clock counts
    return tried(seed, iter(range(first, end, step)))


def main() -> int:
    """Try as many files as are asked for, and print the figures."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--count", type=int, default=1_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--processes", type=int, default=min(2, os.cpu_count() or 1))
    asked.add_argument("--only", type=int, default=None)
    given = asked.parse_args()
    if given.only is not None:
        sys.stdout.buffer.write(odd_file(given.seed, given.only, sources())[1])
        return 0
    begun, found = time.perf_counter(), Figures()
    with ProcessPoolExecutor(given.processes) as pool:
        parts = [
            pool.submit(_part, given.seed, first, given.count, given.processes)
            for first in range(given.processes)
        ]
        for each in parts:
            found.add(each.result())
    print(f"{given.count} files in {time.perf_counter() - begun:.0f} s (seed {given.seed})")
    print(f"{found.read} read, {found.refused} refused in {len(found.sentences)} kinds of sentence")
    print(f"slowest refusal {found.slowest_s * 1e3:.1f} ms, {found.over_50_ms} over 50 ms")
    for key, count in found.sentences.most_common():
        print(f"  {count:6} {key}")
    print(f"{len(found.failures)} failures", *found.failures[:50], sep="\n")
    return 1 if found.failures else 0


if __name__ == "__main__":
    sys.exit(main())
