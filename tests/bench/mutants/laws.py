"""Makes each law of the trade a tenth more and a tenth less, and tells which of these no test notices.

Run it: python -m tests.bench.mutants.laws [MODULE ...] [--kept FILE] [--again] [--show]. A module is a file
such as sim/trade/wander.py; without one, all of `LAWS`. On a system with fork; better under nice.

A law is a number that stands in a module by itself or in a table of it, or a number with a point within a
function, or what a function returns that returns a float. Tried first, of the tests of the laws alone, are
those that import the module; what these let live is tried with the others, see `stages`. `--kept` names a file
of what has been tried, from which another run goes on. Each law is tried first on what killed it the other
way, or another law of its function. `--again` tries those anew that lived. What lives and may, and why,
stands in `laws.tsv`; it fails when another one lives.
"""

import argparse
import ast
import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .trial import Trial, tried

ROOT = Path(__file__).resolve().parents[3]
EXCUSED = Path(__file__).with_name("laws.tsv")
LAWS = tuple(
    sorted(
        path.relative_to(ROOT).as_posix()
        for wing in ("trade", "plant")
        for path in (ROOT / "sim" / wing).glob("*.py")
        if path.stem != "__init__"
    )
)
_WANT_FIXTURES = ("test_refusals.py",)
_OF_A_SESSION = ("test_jogging.py",)  # that hold what nothing nearer does
HEAVY = (
    "numpy", "scipy.optimize", "scipy.integrate", "scipy.stats", "shapely", "sympy", "yaml", "Pynite",
    "sectionproperties.pre.library", "sectionproperties.analysis", "hypothesis.strategies",
)  # fmt: skip
_TIMES = (1.1, 0.9)
_PASSED_ON = ("trusted", "within", "only_within", "alone")
_UNTRIED = -1
_RETURNS = " returns"
_WITHIN = " within, "  # a function
_LOUD = (
    "plain",
    "row",
    "number",
    "mm",
    "m_min",
    "mm_s",
    "name",
    "part",
)  # of messages, which are no laws


@dataclass(frozen=True, slots=True)
class Law:
    """One place of a module that is made more or less."""

    name: str  # of the number, or of the function; with what it is of it
    line: int
    times: float
    code: str  # of the whole module, with the change

    @property
    def key(self) -> str:
        """By what it is found again."""
        return f"{self.name} x{self.times}"


def laws_of(source: str) -> list[Law]:
    """Return all that is tried on a module, in the order of its lines."""
    found = []
    seen: dict[str, int] = {}
    places = sorted(_places(ast.parse(source)), key=lambda x: (x[1].lineno, x[1].col_offset))
    for name, node in places:
        if _is_nothing(node):
            continue
        seen[name] = seen.get(name, 0) + 1
        told = name if seen[name] == 1 else f"{name}#{seen[name]}"
        for times in _TIMES:
            found.append(Law(told, node.lineno, times, _with(source, node, times)))
    return found


def _with(source: str, node: ast.expr, times: float) -> str:
    lines = source.encode().splitlines(keepends=True)
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    begins = sum(map(len, lines[: node.lineno - 1])) + node.col_offset
    ends = sum(map(len, lines[: node.end_lineno - 1])) + node.end_col_offset
    whole = source.encode()
    said = whole[begins:ends].decode()
    if isinstance(node, ast.Constant) and isinstance(node.value, int):
        step = max(round(abs(node.value) * 0.1), 1)
        other = str(node.value + (step if times > 1.0 else -step))
    else:
        other = f"(({said}) * {times})"
    return whole[:begins].decode() + other + whole[ends:].decode()


def _places(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if node.value is not None and isinstance(target, ast.Name):
                yield from _of_value(target.id, node.value)
        else:
            yield from _of_body("", node)


def _of_value(name: str, value: ast.expr) -> Iterator[tuple[str, ast.expr]]:
    if _is_number(value):
        yield name, value
    else:
        yield from ((name, number) for number in _numbers(value))


def _of_body(inside: str, node: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    if isinstance(node, ast.ClassDef):
        for child in node.body:
            if isinstance(child, ast.AnnAssign) and child.value and _is_number(child.value):
                yield f"{node.name}.{ast.unparse(child.target)}", child.value
            else:
                yield from _of_body(f"{node.name}.", child)
    elif isinstance(node, ast.FunctionDef):
        name, own = f"{inside}{node.name}", ast.Module(node.body, [])
        if node.returns is not None and ast.unparse(node.returns) == "float":
            for child in ast.walk(own):
                if isinstance(child, ast.Return) and child.value is not None:
                    yield f"{name}{_RETURNS}", child.value
        yield from (
            (f"{name}{_WITHIN}{number.value}", number)
            for number in _numbers(own)
            if number.value != 1.0
        )


def _numbers(node: ast.AST) -> Iterator[ast.Constant]:
    """Yield the numbers with a point that are in it, but none of what is said to somebody."""
    if isinstance(node, ast.Call) and ast.unparse(node.func).split("(")[0] in _LOUD:
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, float):
        yield node
    for child in ast.iter_child_nodes(node):
        yield from _numbers(child)


def _is_nothing(node: ast.expr) -> bool:
    """Whether it stays what it is, however many times it is taken."""
    return ast.unparse(node) in ("0", "0.0", "inf", "float('inf')")


def _is_number(node: ast.expr) -> bool:
    """Whether it is a number, or worked out of numbers and names alone."""
    if isinstance(node, ast.Constant):
        return isinstance(node.value, int | float) and not isinstance(node.value, bool)
    if isinstance(node, ast.UnaryOp):
        return _is_number(node.operand)
    if isinstance(node, ast.BinOp):
        return all(
            _is_number(x) or isinstance(x, ast.Name) for x in (node.left, node.right)
        ) and any(
            isinstance(x, ast.Constant | ast.BinOp | ast.UnaryOp | ast.Call)
            for x in (node.left, node.right)
        )
    if isinstance(node, ast.Call):
        return ast.unparse(node.func) in ("sqrt", "float", "floor", "radians", "round")
    return False


class Kept:
    """What was tried, in a file: a line for each trial, the last of a law holds."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def outcomes(self) -> dict[tuple[str, str], tuple[int, str]]:
        """Return the last stage that each law was tried in, and what killed it there."""
        if not self._file.exists():
            return {}
        rows = (json.loads(line) for line in self._file.read_text("utf-8").splitlines())
        return {(module, key): (stage, killer) for module, key, stage, killer, _ in rows}

    def forget_who_lives(self) -> None:
        """Leave only what was killed."""
        if self._file.exists():
            lines = self._file.read_text("utf-8").splitlines(keepends=True)
            self._file.write_text("".join(x for x in lines if json.loads(x)[3]), "utf-8")

    def put(self, module: str, law: Law, stage: int, trial: Trial) -> None:
        """Keep what became of one."""
        row = (module, law.key, stage, _killer(trial), round(trial.seconds, 1))
        with self._file.open("a", encoding="utf-8") as kept:
            print(json.dumps(row), file=kept)


def excused() -> dict[tuple[str, str], str]:
    """Return why a law may live, by its module and name."""
    rows = [line.split("\t") for line in EXCUSED.read_text("utf-8").splitlines()[1:]]
    return {(module, name): why for module, name, why in rows}


def stages(module: str) -> list[tuple[list[str], tuple[str, ...]]]:
    """Return the test files to try a module on, one list after the other, and how pytest runs each list.

    Those of the laws alone come first, without the fixtures of a saw, whose modules take a second to load;
    those of a saw that run many jobs each come last.
    """
    dotted = module.removesuffix(".py").replace("/", ".")
    alone = [*ROOT.glob("tests/trade/test_*.py"), *ROOT.glob("tests/published/test_trade_*.py")]
    of_a_saw = [*ROOT.glob("tests/plant/test_*.py"), *ROOT.glob("tests/calc/test_*.py")]
    of_a_saw += [ROOT / "tests/session" / name for name in _OF_A_SESSION]
    bare = [path for path in alone if path.name not in _WANT_FIXTURES]
    texts = {path: path.read_text("utf-8") for path in (*alone, *of_a_saw)}
    knowing = [
        path
        for path in bare
        if f"from {dotted} import" in texts[path] and "from sim.plant" not in texts[path]
    ]
    if module.startswith("sim/trade/"):
        knowing = knowing or bare
        others = [path for path in bare if path not in knowing]
    else:
        others = []
    with_saw = [path for path in (*of_a_saw, *alone) if path not in bare]
    long = [
        path
        for path in with_saw
        if "hypothesis" in texts[path] or path.parent.name in ("calc", "session")
    ]
    with_saw = [path for path in with_saw if path not in long]
    own = Path(module).stem
    for some in (others, with_saw, long):
        some.sort(
            key=lambda path: (
                path.stem != f"test_{own}",
                f"from {dotted} import" not in texts[path],
            )
        )
    said = [
        [path.relative_to(ROOT).as_posix() for path in some]
        for some in (knowing, others, with_saw, long)
    ]
    how = (("--noconftest",), ("--noconftest",), (), ())
    return list(zip(said, how, strict=True))


def _try(module: str, stage: int, kept: Kept, asked: argparse.Namespace) -> None:
    """Try what is left to try of a module, on the tests of one stage."""
    source = (ROOT / module).read_text("utf-8")
    known, may = kept.outcomes(), excused()
    before = (_UNTRIED, "")
    laws = [
        law
        for law in laws_of(source)
        if known.get((module, law.key), before) == (stage - 1, "")
        and asked.times in (None, law.times)
        and _is_asked(law, asked)
        and (stage == 0 or not _may_live(module, law, may))
    ]
    tests, options = stages(module)[stage]
    if not laws:
        return
    if not tests:
        for law in laws:
            kept.put(module, law, stage, Trial(True, 0.0, ""))
        return

    def told(number: int, trial: Trial) -> None:
        if number == 0:
            return
        law = laws[number - 1]
        kept.put(module, law, stage, trial)
        known[module, law.key] = (stage, _killer(trial))
        if number < len(laws):  # the next may be like the one just killed
            first[number + 1] = _likely(module, laws[number], known)
        if asked.show:
            said = _killer(trial) or "lives"
            print(f"{module}:{law.line} {law.key}: {said}, {trial.seconds:.1f} s", flush=True)

    texts = "".join((ROOT / test).read_text("utf-8") for test in tests)
    heavy = [each for each in HEAVY if each.partition(".")[0] in texts]
    dotted = module.removesuffix(".py").replace("/", ".")
    versions = ["" if asked.trusted else source, *(law.code for law in laws)]
    first = ["", *(_likely(module, law, known) for law in laws)]
    trials = tried(dotted, ROOT / module, versions, tests, told, options, heavy, first)
    if not trials[0].passed:
        sys.exit(f"{module}: the tests fail before anything is changed.\n{trials[0].printed}")


def _likely(module: str, law: Law, known: dict[tuple[str, str], tuple[int, str]]) -> str:
    """Return the test that killed it the other way, or else another law of its function; nothing if none did."""
    killers = {key: killer for (of, key), (_, killer) in known.items() if of == module and killer}
    function = law.name.partition(_WITHIN)[0].partition(_RETURNS)[0]
    of_it = (f"{function}{_RETURNS}", f"{function}{_WITHIN}")
    alike = [key for key in reversed(killers) if key.startswith(of_it)]
    for key in (*(f"{law.name} x{times}" for times in _TIMES), *alike):
        if key in killers:
            return killers[key].removeprefix("FAILED ")
    return ""


def _killer(trial: Trial) -> str:
    if trial.passed:
        return ""
    failed = [line for line in trial.printed.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return failed[0].split(" - ")[0] if failed else "it hangs or is not loaded"


def _is_asked(law: Law, asked: argparse.Namespace) -> bool:
    if asked.only_within:
        return _WITHIN in law.name
    return (asked.within or _WITHIN not in law.name) and not (asked.alone and _RETURNS in law.name)


def _may_live(module: str, law: Law, may: dict[tuple[str, str], str]) -> bool:
    """Whether it has a reason: both ways of a law, or this one."""
    return (module, law.name) in may or (module, law.key) in may


def _told(module: str, kept: Kept, asked: argparse.Namespace) -> bool:
    """Print what became of a module's laws, and return whether all that live may."""
    known, may = kept.outcomes(), excused()
    laws = [law for law in laws_of((ROOT / module).read_text("utf-8")) if _is_asked(law, asked)]
    untried = [law for law in laws if (module, law.key) not in known]
    lives = [law for law in laws if known.get((module, law.key), (0, "-"))[1] == ""]
    asks = [law for law in lives if not _may_live(module, law, may)]
    print(
        f"{module}: {len(laws)} changes, {len(laws) - len(untried) - len(lives)} killed, "
        f"{len(lives)} lived, {len(lives) - len(asks)} of them explained"
        + (f"; {len(untried)} not tried" if untried else "")
    )
    for law in asks:
        print(f"  {module}:{law.line} {law.name} x {law.times} lives")
    sys.stdout.flush()
    return not asks and not untried


def main() -> int:
    """Try the modules asked for, or all; return 1 if any law lives without a reason."""
    asks = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asks.add_argument("modules", nargs="*", help="such as sim/trade/wander.py; all without")
    asks.add_argument("--kept", type=Path, help="the file of what was tried, to go on from")
    asks.add_argument("--again", action="store_true", help="try those anew that lived")
    asks.add_argument("--within", action="store_true", help="the numbers within functions too")
    asks.add_argument(
        "--only-within", action="store_true", help="only the numbers within functions"
    )
    asks.add_argument("--alone", action="store_true", help="only the numbers outside functions")
    asks.add_argument("--show", action="store_true", help="print each change as it is tried")
    asks.add_argument("--times", type=float, choices=_TIMES, help="only so many times as much")
    asks.add_argument(
        "--trusted", action="store_true", help="take it that the tests pass with nothing changed"
    )
    asks.add_argument(
        "--stages", type=int, nargs="*", default=(0, 1, 2, 3), help="only these, of 0 to 3"
    )
    asks.add_argument("--stage", type=int, choices=(0, 1, 2, 3), help=argparse.SUPPRESS)
    asked = asks.parse_args()
    unknown = [module for module in asked.modules if module not in LAWS]
    if unknown:
        asks.error(f"{', '.join(unknown)} is none of {', '.join(LAWS)}")
    with tempfile.TemporaryDirectory() as folder:
        file = asked.kept or Path(folder) / "tried"
        kept = Kept(file)
        if asked.stage is not None:
            _try(asked.modules[0], asked.stage, kept, asked)
            return 0
        if asked.again:
            kept.forget_who_lives()
        ended = []
        for module in asked.modules or LAWS:
            words = [sys.executable, "-m", "tests.bench.mutants.laws", module, f"--kept={file}"]
            # Each stage in a process of its own: a module is imported once in one.
            for stage in asked.stages:
                more = [f"--stage={stage}", *(["--show"] if asked.show else [])]
                more += [f"--times={asked.times}"] if asked.times else []
                more += [f"--{each.replace('_', '-')}" for each in _PASSED_ON if vars(asked)[each]]
                subprocess.run([*words, *more], cwd=ROOT, check=False)
            ended.append(_told(module, kept, asked))
    return int(not all(ended))


if __name__ == "__main__":
    sys.exit(main())
