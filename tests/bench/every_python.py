"""Plays the shipped scenarios on every CPython of this machine, and fails unless all come to one hash.

Run it: python tests/bench/every_python.py [--all] [--in FOLDER]. Each CPython from 3.11 on that is on
the PATH or among pyenv's gets an environment of its own with nothing but what running needs. The
CPython that runs this plays at 5, 60 and 144 frames a second, each under a PYTHONHASHSEED of its own,
the others at 5; with --all every one plays at every rate under every seed.
"""

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from itertools import product
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNS = ROOT / "tests" / "bench" / "shipped_runs.py"
FRAMES = (5, 60, 144)
SEEDS = (0, 1, 271828)
OLDEST = (3, 11)
_TELL = "import sys; print(sys.implementation.name, *sys.version_info[:3])"


def pythons() -> dict[str, Path]:
    """Return the CPythons that can run the project, by version, one of each; this one first."""
    folders = [Path(folder) for folder in os.environ.get("PATH", "").split(os.pathsep) if folder]
    folders += sorted((Path.home() / ".pyenv" / "versions").glob("*/bin"))
    files = [Path(sys.executable)]
    for folder in folders:
        if folder.is_dir():
            files += sorted(f for f in folder.iterdir() if re.fullmatch(r"python3\.\d+", f.name))
    found: dict[str, Path] = {}
    for file in files:
        asked = subprocess.run([file, "-c", _TELL], capture_output=True, text=True, check=False)
        words = asked.stdout.split()
        if asked.returncode == 0 and words[0] == "cpython":
            version = tuple(map(int, words[1:]))
            if version >= OLDEST:
                found.setdefault(".".join(words[1:]), file)
    return found


def environment(python: Path, folder: Path) -> Path:
    """Return a Python that has the project and what it needs to run, and nothing else."""
    subprocess.run([python, "-m", "venv", "--clear", folder], check=True)
    made = folder / "bin" / "python"
    subprocess.run(
        [made, "-m", "pip", "install", "-qq", "--disable-pip-version-check", ROOT], check=True
    )
    return made


def played(python: Path, frames: int, seed: int) -> str:
    """Return the hash that one Python comes to."""
    ran = subprocess.run(
        [python, RUNS, "--frames", str(frames)],
        capture_output=True, text=True, check=False, cwd=tempfile.gettempdir(),
        env=os.environ | {"PYTHONHASHSEED": str(seed)},
    )  # fmt: skip
    return ran.stdout.strip() if ran.returncode == 0 else f"failed: {ran.stderr.strip()[-300:]}"


def main() -> int:
    """Print a line for each run; return 1 unless all hashes are one."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--all", action="store_true")
    parser.add_argument("--in", dest="folder", type=Path)
    asked = parser.parse_args()
    folder = asked.folder or Path(tempfile.mkdtemp())
    hashes = set()
    try:
        for place, (version, python) in enumerate(pythons().items()):
            made = environment(python, folder / f"python-{version}")
            grid = list(zip(FRAMES, SEEDS, strict=True))
            if asked.all:
                grid = list(product(FRAMES, SEEDS))
            for frames, seed in grid if asked.all or place == 0 else grid[:1]:
                told = played(made, frames, seed)
                hashes.add(told)
                print(f"{version:8} {frames:4} frames/s  seed {seed:<7} {told}", flush=True)
    finally:
        if asked.folder is None:
            shutil.rmtree(folder)
    print("one hash" if len(hashes) == 1 else f"{len(hashes)} hashes")
    return 0 if len(hashes) == 1 else 1


if __name__ == "__main__":
    raise SystemExit(main())
