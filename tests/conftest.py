"""What every test shares: no window, no sound, the same examples each time, and hands at a saw."""

import gc
import os
import random
import sys
import tempfile
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import partial
from importlib import import_module
from math import ceil
from pathlib import Path
from shutil import rmtree
from zlib import crc32

import pytest
from hypothesis import settings

from sim import cli
from sim.diagnosis import halves
from sim.plant.bar import Stock
from sim.text import page
from sim.words.fields import Told
from sim.words.phrases import CONTEXT
from sim.words.reader import ENGLISH, PSEUDO, phrases_of
from sim.words.speech import read_by, say

from .debrief.eventful import few_causes
from .escapes import escaped
from .hands import STAIR_ROD, Hands

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # more threads wait for one another
os.environ["DRYCYCLE_LANGUAGE"] = "en"  # whatever the locale of who runs the tests


@pytest.fixture(scope="session", autouse=True)
def _a_core_each(request: pytest.FixtureRequest) -> Iterator[None]:
    """Where every core has a test process, fork no second one: a matrix by two takes a third more.

    In tests/diagnosis it is forked as it ships.
    """
    worker = getattr(request.config, "workerinput", None)
    with pytest.MonkeyPatch.context() as patch:
        if worker is not None and worker["workercount"] >= (os.cpu_count() or 1):
            patch.setattr(halves, "_may_fork", lambda: False)
        yield


@pytest.fixture(autouse=True)
def _one_seed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the same chance in every session that would take a new seed."""
    monkeypatch.setattr("sim.session.opening.new_seed", lambda: 1)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the files be run in another order, to find tests that lean on an earlier one."""
    parser.addoption(
        "--shuffle", type=int, metavar="SEED", help="run the test files in the order of this seed"
    )


def _left_to_the_slow(items: list[pytest.Item]) -> Iterator[pytest.Item]:
    """Yield the cases of `sampled` tests that do not run by default.

    They are taken by a hash of what stands in the brackets: tests of the same drills take the same
    ones, so that what is worked out for one is there for all, and a new drill moves no other.
    """
    cases: defaultdict[str, list[pytest.Item]] = defaultdict(list)
    for item in items:
        if item.get_closest_marker("sampled") is not None:
            cases[item.nodeid.partition("[")[0]].append(item)
    for each in cases.values():
        each.sort(key=lambda item: crc32(item.nodeid.partition("[")[2].encode()))
        (of,) = each[0].get_closest_marker("sampled").args
        yield from each[ceil(len(each) / of) :]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark the slow cases of `sampled` tests, and put the files in order.

    What waits for a real window comes first, so that no process waits for it alone at the end;
    `--shuffle` puts all files in another order. What is in a file keeps its order.
    """
    for item in _left_to_the_slow(items):
        item.add_marker("slow")
    seed = config.getoption("--shuffle")
    if seed is None:
        items.sort(key=lambda item: item.path.name != "test_real_window.py")
        return
    files = sorted({item.path for item in items})
    random.Random(seed).shuffle(files)
    place = {path: number for number, path in enumerate(files)}
    items.sort(key=lambda item: place[item.path])


def pytest_configure(config: pytest.Config) -> None:
    """Let all processes of one run share what takes long to work out, and no two runs.

    What is compiled two runs may share: Python holds it against its source.
    """
    if not hasattr(config, "workerinput"):
        folder = tempfile.TemporaryDirectory(prefix="drycycle-tests-")
        config.add_cleanup(folder.cleanup)
        os.environ["DRYCYCLE_CACHE"] = folder.name
        if os.environ.pop("PYTHONDONTWRITEBYTECODE", ""):  # else hundreds of processes compile anew
            compiled = config.rootpath / ".pytest_cache" / "compiled"
            os.environ["PYTHONPYCACHEPREFIX"] = str(compiled)
            passing = Path(tempfile.gettempdir()).resolve()  # what tests copied there is gone
            passing = compiled / passing.relative_to(passing.anchor)
            config.add_cleanup(partial(rmtree, passing, ignore_errors=True))


def pytest_collection_finish() -> None:
    """Spare the collector what stays to the end: thousands of tests, and every module."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


settings.register_profile("drycycle", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("drycycle")


@pytest.fixture
def hands() -> Hands:
    """Hands at a saw that nobody has touched."""
    return Hands()


@pytest.fixture
def new_hands() -> type[Hands]:
    """For tests that want another bar or machine, or several saws."""
    return Hands


@pytest.fixture
def stair_rod() -> Stock:
    """A bar 30 mm round and 3 m long."""
    return STAIR_ROD


@pytest.fixture(scope="module")
def weighed_with_few() -> Iterator[None]:
    """For files that ask a debrief for anything but what it believes: it weighs few causes."""
    with few_causes():
        yield


@pytest.fixture(scope="session")
def untold() -> Callable[[Told], list[str]]:
    """Return the words of a message that would be English in every language."""
    return lambda said: escaped(said.tell(PSEUDO))


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    """After each test English is spoken again."""
    yield
    read_by(ENGLISH)


Drycycle = Callable[..., tuple[int, str, str]]


@pytest.fixture
def drycycle(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> Drycycle:
    """The command `drycycle`, with a record folder of its own; returns exit code, output and errors."""
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path / "home"))

    def run(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["drycycle", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        out, err = capsys.readouterr()
        code = ended.value.code or 0
        assert isinstance(code, int)
        return code, out, err

    return run


@pytest.fixture
def unsaid(monkeypatch: pytest.MonkeyPatch) -> Callable[[], list[str]]:
    """Return the labels of pages, tables and help that were said in this test and have no Spanish."""
    labels: set[tuple[str, str]] = set()

    def noted(english: str, context: str = "") -> str:
        labels.add((context, english))
        return say(english, context)

    for module in (page, import_module("sim.cli.help_page")):  # its function has its name
        monkeypatch.setattr(module, "say", noted)

    def missing() -> list[str]:
        spanish = phrases_of("es")
        return [
            english
            for context, english in labels
            if f"{context}{CONTEXT}{english}" not in spanish and english not in spanish
        ]

    return missing
