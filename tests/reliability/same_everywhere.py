"""Plays random sessions in four environments on every CPython of this machine; all hashes must be one.

    python -m tests.reliability.same_everywhere --sessions 1000

Each CPython gets an environment of its own, as in `tests.bench.every_python`; with `--this-one` only the
one that runs this plays, in what it has.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from tests.bench.every_python import ROOT, environment, pythons


class Place(NamedTuple):
    """Where a program may run."""

    name: str
    variables: dict[str, str]
    flags: tuple[str, ...] = ()
    folder: str = str(ROOT)


PLACES = (
    Place("as here", {"PYTHONHASHSEED": "0"}),
    Place(
        "in Istanbul",
        {
            "PYTHONHASHSEED": "1", "LC_ALL": "tr_TR.UTF-8", "TZ": "Europe/Istanbul",
            "PYTHONIOENCODING": "cp1254", "DRYCYCLE_LANGUAGE": "es",
        },
        folder="/",
    ),
    Place(
        "without asserts",
        {
            "PYTHONHASHSEED": "random", "LC_ALL": "C", "TZ": "Pacific/Kiritimati",
            "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0",
        },
        ("-O",),
        folder=str(ROOT / "art"),
    ),
    Place(
        "at the date line",
        {
            "PYTHONHASHSEED": "random", "LC_ALL": "de_DE.ISO-8859-1", "TZ": "Etc/GMT+12",
            "PYTHONIOENCODING": "utf-16", "COLUMNS": "20", "TERM": "dumb", "PYTHONMALLOC": "malloc",
        },
    ),
)  # fmt: skip


def played(python: Path | str, place: Place, first: int, sessions: int) -> str:
    """Return what one Python comes to in one place."""
    ran = subprocess.run(
        [
            python, *place.flags, "-m", "tests.reliability.random_sessions",
            "--first", str(first), "--sessions", str(sessions),
        ],
        capture_output=True, check=False, cwd=place.folder,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | place.variables,
    )  # fmt: skip
    coding = place.variables.get("PYTHONIOENCODING", "utf-8")
    if ran.returncode:
        return f"failed: {ran.stderr.decode(coding, 'replace').strip()[-300:]}"
    return ran.stdout.decode(coding).strip()


def _whole(python: Path) -> bool:
    """Return whether an environment was made to its end: the project comes last."""
    ask = "import importlib.metadata as it; it.version('drycycle')"
    return python.exists() and not subprocess.run([python, "-c", ask], check=False).returncode


def main() -> int:
    """Print a line for each run; return 1 unless all hashes are one."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--sessions", type=int, default=100)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument(
        "--in", dest="folder", type=Path, help="keep the environments here, and use them again"
    )
    ask.add_argument("--this-one", action="store_true")
    given = ask.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = given.folder or Path(made)
        told = set()
        found = {"this": Path(sys.executable)} if given.this_one else pythons()
        for version, python in found.items():
            inside = folder / f"python-{version}"
            if given.this_one:
                runs_on = python
            elif given.folder and _whole(inside / "bin" / "python"):
                runs_on = inside / "bin" / "python"
            else:
                runs_on = environment(python, inside)
            for place in PLACES:
                came = played(runs_on, place, given.first, given.sessions)
                told.add(came)
                print(f"{version:8} {place.name:16} {came}", flush=True)
    print("one hash" if len(told) == 1 else f"{len(told)} hashes")
    return 0 if len(told) == 1 else 1


if __name__ == "__main__":
    raise SystemExit(main())
