"""Changes the code that must not be wrong, one place at a time, and tells which changes no test notices.

Run it: python -m tests.bench.mutants [FILE ...] [--show]. It wants what the tests want and cosmic-ray:
pip install -e '.[test]' 'cosmic-ray>=8.7,<9'. On a system with fork; about half a second for each
change, so better under nice. The files, and the few quick tests that hold each, stand in `held.toml`,
with the changes that no test can notice, and why. It fails when a change lives that is not among
them, and when one of them is noticed or is not made any more.
"""

import argparse
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

from .rows import changes_of_rows
from .trial import Trial, tried

ROOT = Path(__file__).resolve().parents[3]
TABLE = Path(__file__).with_name("held.toml")


def _one_file(file: str, row: dict[str, Any], show: bool) -> bool:
    """Try the changes to one file, and return whether all are accounted for."""
    code = ROOT / row.get("read_by", file)
    source = code.read_text("utf-8")
    if code == ROOT / file:
        from .changes import changes_of  # noqa: PLC0415 - rows are changed without cosmic-ray

        changes = changes_of(code)
        versions = [source, *(change.code for change in changes)]
    else:  # the code that reads the file finds another text in it
        changes = changes_of_rows(ROOT / file)
        versions = [source, *(f"{source}\nTEXT = {change.code!r}\n" for change in changes)]
    alike = {(e["in"], e["before"], e["after"]): e["why"] for e in row.get("alike", ())}

    def told(number: int, trial: Trial) -> None:
        if show and number:
            change = changes[number - 1]
            word = "LIVED" if trial.passed else "killed"
            print(
                f"{word} {trial.seconds:.1f} s {change.function}: {change.before} -> {change.after}",
                flush=True,
            )

    module = code.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".")
    trials = tried(module, code, versions, row["tests"], told)
    if not trials[0].passed:
        print(f"{file}: the tests fail before anything is changed.\n{trials[0].printed}")
        return False
    lived = Counter(c.place for c, trial in zip(changes, trials[1:], strict=True) if trial.passed)
    unexplained = [place for place in lived if place not in alike]
    stale = [place for place in alike if place not in lived]
    took_s = sum(trial.seconds for trial in trials)
    print(
        f"{file}: {len(changes)} changes, {len(changes) - lived.total()} killed, "
        f"{lived.total()} lived, {sum(lived[place] for place in alike)} of them explained; {took_s:.0f} s"
    )
    for function, before, after in unexplained:
        print(f"  lives, in {function or 'the file itself'}:\n    - {before}\n    + {after}")
    for function, before, after in stale:
        print(
            f"  is explained and does not live, in {function or 'the file itself'}:\n    - {before}\n    + {after}"
        )
    sys.stdout.flush()
    return not unexplained and not stale


def main() -> int:
    """Try the files asked for, or all; return 1 if anything is not accounted for."""
    asks = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asks.add_argument("files", nargs="*", help="such as sim/control/two_hand.py; all without")
    asks.add_argument("--show", action="store_true", help="print each change as it is tried")
    asked = asks.parse_args()
    table = tomllib.loads(TABLE.read_text("utf-8"))
    unknown = [file for file in asked.files if file not in table]
    if unknown:
        asks.error(f"{', '.join(unknown)} is not in {TABLE.name}: {', '.join(table)}")
    if len(asked.files) == 1:
        return 0 if _one_file(asked.files[0], table[asked.files[0]], asked.show) else 1
    # Each in a process of its own: a module is imported once in one.
    words = [sys.executable, "-m", "tests.bench.mutants", *(["--show"] if asked.show else [])]
    ended = [
        subprocess.run([*words, file], cwd=ROOT, check=False).returncode
        for file in asked.files or table
    ]
    return int(any(ended))


if __name__ == "__main__":
    sys.exit(main())
