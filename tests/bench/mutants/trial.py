"""Runs the tests of a file against its changes, each in a process of its own, nothing written to the tree.

pytest is begun once. When it comes to import the file, it has loaded all that does not need it; there
the process forks once for each change, and each child goes on with the changed file in its place.
"""

import contextlib
import importlib.abc
import importlib.machinery
import io
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import IO

import pytest

# Nothing is captured, so that a child prints into its own file; a counterexample need not be short.
_OPTIONS = (
    "-x", "-q", "-s", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb=line",
    "--hypothesis-profile=mutants",
)  # fmt: skip
_LEAST_S, _TIMES = 20.0, 10  # a changed file hangs when it takes longer than both say
_UNCHANGED_S = 600.0


@dataclass(frozen=True, slots=True)
class Trial:
    """What became of one version of the file."""

    passed: bool
    seconds: float
    printed: str


class _Forks(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Stands in for one module: whoever imports it gets another version in each child."""

    def __init__(
        self, module: str, file: Path, versions: Sequence[str], told: Callable[[int, Trial], None]
    ) -> None:
        self._module, self._file, self._versions, self._told = module, file, versions, told
        self.trials: list[Trial] = []
        self._mine: str | None = None  # the version of this process, which is a child
        self.number = 0  # of it

    def find_spec(
        self, fullname: str, path: object, target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Return its spec for the one module, nothing for any other."""
        del path, target
        if fullname != self._module:
            return None
        return importlib.machinery.ModuleSpec(fullname, self, origin=str(self._file))

    def exec_module(self, module: ModuleType) -> None:
        """Fork for every version; only children return."""
        module.__file__ = str(self._file)
        if self._mine is None:
            self._mine = self._forked()
        if self._mine is None:
            raise _AllTried
        exec(compile(self._mine, str(self._file), "exec"), module.__dict__)

    def _forked(self) -> str | None:
        """Return to each child its version, and nothing to the process that forks."""
        longest_s = _UNCHANGED_S
        for number, version in enumerate(self._versions):
            if not version:
                self.trials.append(Trial(True, 0.0, ""))
                continue
            sys.stdout.flush()
            sys.stderr.flush()
            with tempfile.TemporaryFile() as printed:
                pid = os.fork()
                if pid == 0:
                    os.setsid()
                    for stream in (1, 2):
                        os.dup2(printed.fileno(), stream)
                    self.number = number
                    return version
                trial = _waited(pid, longest_s, printed)
            self.trials.append(trial)
            self._told(number, trial)
            if number == 0:
                longest_s = max(_LEAST_S, _TIMES * trial.seconds)
                if not trial.passed:
                    break
        return None

    @property
    def is_child(self) -> bool:
        """Whether this process is one of those that try a version."""
        return self._mine is not None


class _AllTried(pytest.exit.Exception):
    """The process that forks has nothing more to do."""


class _Quick:
    """Loads what no child should have to, and spares a child what it need not run or search for."""

    def __init__(self, heavy: Sequence[str], forks: _Forks, first: Sequence[str]) -> None:
        self._heavy, self._forks, self._first = heavy, forks, first

    @pytest.hookimpl(tryfirst=True)
    def pytest_load_initial_conftests(self) -> None:
        """Load it, now that pytest has prepared hypothesis."""
        for each in self._heavy:
            import_module(each)

    @pytest.hookimpl(tryfirst=True)
    def pytest_configure(self) -> None:
        """Register the profile that the options name."""
        from hypothesis import Phase, settings  # noqa: PLC0415 - not before pytest has prepared it

        phases = (Phase.explicit, Phase.generate)
        settings.register_profile("mutants", derandomize=True, deadline=None, phases=phases)

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Put the test first that is likeliest to fail."""
        first = self._first[self._forks.number] if self._first else ""
        items.sort(key=lambda item: item.nodeid != first)


def _waited(pid: int, longest_s: float, printed: IO[bytes]) -> Trial:
    begun = time.monotonic()
    status = None
    while status is None:
        done, said = os.waitpid(pid, os.WNOHANG)
        took_s = time.monotonic() - begun
        if done:
            status = said
        elif took_s > longest_s:
            os.killpg(pid, signal.SIGKILL)
            status = os.waitpid(pid, 0)[1]
        else:
            time.sleep(0.005)
    printed.seek(0)
    return Trial(status == 0, time.monotonic() - begun, printed.read().decode(errors="replace"))


def tried(
    module: str,
    file: Path,
    versions: Sequence[str],
    tests: Sequence[str],
    told: Callable[[int, Trial], None],
    options: Sequence[str] = (),
    heavy: Sequence[str] = (),
    first: Sequence[str] = (),
) -> list[Trial]:
    """Return what became of each version of a module's file, the first of which is the unchanged one.

    Ends early when the tests do not hold for the unchanged file.

    Args:
        module: The module, by its full name.
        file: Its file.
        versions: The texts to put in its place; an empty first one is taken to pass, untried.
        tests: The test files that hold it.
        told: Called with the number of each version when it has been tried.
        options: More words for pytest.
        heavy: Modules to load before pytest looks for tests, so that no child has to.
        first: The test to begin with, for each version; nothing where any will do.
    """
    aloud, unheard = os.dup(1), os.open(os.devnull, os.O_WRONLY)

    def tell(number: int, trial: Trial) -> None:
        os.dup2(aloud, 1)
        told(number, trial)
        sys.stdout.flush()
        os.dup2(unheard, 1)

    forks = _Forks(module, file, versions, tell)
    sys.meta_path.insert(0, forks)
    sys.stdout.flush()
    os.dup2(unheard, 1)  # what pytest says of being left is of no interest
    try:
        with contextlib.redirect_stderr(io.StringIO()):
            code = int(
                pytest.main([*_OPTIONS, *options, *tests], plugins=[_Quick(heavy, forks, first)])
            )
    except BaseException:
        code = 3
        if not forks.is_child and not forks.trials:
            raise
    sys.stdout.flush()
    if forks.is_child:
        os._exit(code)
    os.dup2(aloud, 1)
    if forks.trials:
        return forks.trials
    sys.exit(f"No test in {', '.join(tests)} imports {module}.")


__all__ = ["Trial", "tried"]
