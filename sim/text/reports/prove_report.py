"""`drycycle prove`: what holds of the controller, how it breaks, and what each interlock is for."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final, TypeAlias

from rich.console import Console
from rich.progress import track

from sim.control import lamps
from sim.control.interlocks import BY_NUMBER
from sim.control.table import TABLES
from sim.errors import CommandError
from sim.kernel.pacing import wall_s
from sim.logic.bench.vcd import dump
from sim.logic.proof.each import NUMBERS, SINGLE_ROWS, Purpose, hazards, label, purpose, rows_of
from sim.logic.proof.example import Example, Stride
from sim.logic.proof.memory import State
from sim.logic.proof.moves import Scope
from sim.logic.proof.proof import Finding, Proof, prove
from sim.logic.proof.properties import PROPERTIES, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Report
from sim.logic.proof.unfold import Row
from sim.scenario.nearest import nearest
from sim.signals import OUTPUTS
from sim.text.names import pick
from sim.text.reports.run_report import print_json
from sim.text.tables import console, print_table

_BOUNDS: Final = {
    False: "Within its bounds: one device bad at a time, or, once armed, one station in HAND.",
    True: "Within narrow bounds: no device bad, and no station in HAND once armed.",
}
Play: TypeAlias = Callable[[Finding, tuple[Row, ...]], object]  # shows how a property is broken

_MACHINES: Final = tuple(table.name for table in TABLES)


def prove_and_report(
    names: Sequence[str],
    bypass: Sequence[str],
    *,
    quick: bool,
    play: Play | None,
    output: Path | None,
    as_json: bool,
) -> int:
    """Prove the controller; return 0 when every property holds, 1 when one is broken.

    Args:
        names: Of the properties; all when left out.
        bypass: Numbers of interlocks that are jumpered.
        quick: Only with every device sound and every station in AUTO once the job is armed.
        play: What plays the shortest counterexample, such as `play_in_terminal`, or None. With
            JSON nothing is played.
        output: Where to write it as a value change dump, or None.
        as_json: Print JSON instead of text.

    Raises:
        CommandError: There is no such property or interlock, or the file cannot be written.
    """
    asked = [pick(name, PROPERTIES, "property", "prove") for name in names]
    rows = tuple(row for number in bypass for row in _bypassed(number))
    begun_s = wall_s()
    with _progress(quiet=as_json) as report:
        proof = prove(asked, rows, Scope((), ()) if quick else Scope(), report)
    took_s = wall_s() - begun_s
    if as_json:
        print_json(_plain(proof, bypass, took_s))
    else:
        _print(proof, rows, bypass, took_s, quick=quick)
    worst = proof.shortest
    if worst is not None and worst.example is not None:
        if not as_json:
            _print_example(worst, worst.example)
        if output is not None:
            _write(Rehearsal(worst.example, rows).play(), output)
        if play is not None and not as_json:
            play(worst, rows)
    return 0 if proof.sound else 1


def each_and_report(*, as_json: bool) -> int:
    """Take out each interlock, and each of its rows, and report what breaks; return 0.

    A row that is neither needed nor covered makes it 1: nobody can say what it is there for.
    """
    jobs: list[tuple[Row, ...]] = [rows_of(number) for number in NUMBERS]
    jobs += [(row,) for row in SINGLE_ROWS]
    quiet = as_json or not sys.stderr.isatty()
    found = [
        purpose(rows)
        for rows in track(jobs, "Taking out", disable=quiet, console=Console(stderr=True))
    ]
    if as_json:
        print_json([_plain_purpose(one) for one in found])
    else:
        whole, single = found[: len(NUMBERS)], found[len(NUMBERS) :]
        print_table("Each interlock taken out", _EACH_HEADS, map(_each_row, whole))
        print_table("Each row taken out", _EACH_HEADS, map(_each_row, single))
        covered = sum(one.covered for one in found)
        console().print(
            f"{len(found) - covered} are needed, {covered} covered by something else, "
            "with only what the row speaks of out of order meanwhile.",
            markup=False,
        )
    return 0 if all(one.broken is not None or one.covered for one in found) else 1


_EACH_HEADS: Final = (
    "no.",
    "row",
    "moves",
    "what breaks without it",
    "the hazard, as the table has it",
)


def _each_row(one: Purpose) -> tuple[object, ...]:
    first = one.rows[0]
    text = str(label(first)) if len(one.rows) == 1 else f"all {len(one.rows)} rows"
    against = "; ".join(map(str, hazards(one.rows)))
    if one.broken is not None:
        steps = len(one.broken.example.strides) if one.broken.example else ""
        return (first.number, text, steps, one.broken.sentence, against)
    why = " and ".join(map(str, one.covered_by)) or "nothing that is proved"
    return (first.number, text, "", f"redundant: covered by {why}", against)


def _plain_purpose(one: Purpose) -> dict[str, object]:
    example = one.broken.example if one.broken else None
    return {
        "interlock": one.rows[0].number,
        "rows": [str(label(row)) for row in one.rows],
        "breaks": one.broken.name if one.broken else None,
        "moves": [_sentence(stride) for stride in example.strides] if example else [],
        "covered_by": [str(what) for what in one.covered_by],
        "states": one.states,
    }


def _bypassed(number: str) -> tuple[Row, ...]:
    rows = rows_of(number.upper())
    if rows:
        return rows
    unwired = BY_NUMBER.get(number.upper())
    if unwired is not None:
        raise CommandError(
            f"interlock {unwired.number} is practised, not wired",
            "prove --bypass",
            str(unwired.sentence),
        )
    raise CommandError(
        f"there is no interlock {number!r}", "prove --bypass", nearest(number.upper(), NUMBERS)
    )


@contextmanager
def _progress(*, quiet: bool) -> Iterator[Report]:
    if quiet or not sys.stderr.isatty():
        yield lambda _layer, _states: None
        return
    with Console(stderr=True).status("Unfolding the controller") as status:
        yield lambda layer, states: status.update(f"{layer} moves deep: {states:,} states")


def _print(
    proof: Proof, rows: Sequence[Row], bypass: Sequence[str], took_s: float, *, quick: bool
) -> None:
    out = console()
    if rows:
        numbers = ", ".join(number.upper() for number in bypass)
        out.print(
            f"Bypassed: {numbers}. The hazard: {'; '.join(map(str, hazards(rows)))}.", markup=False
        )
    found = [
        ("holds" if one.holds else _broken(one), one.name, one.sentence) for one in proof.findings
    ]
    print_table("Properties of the live controller", ("", "property", "what it says"), found)
    what = "everything that can happen" if proof.whole else "far enough to break it"
    out.print(
        f"{proof.states:,} states, {proof.edges:,} edges, {proof.depth} moves deep: {what}, "
        f"in {took_s:.0f} s.",
        markup=False,
    )
    out.print(_BOUNDS[quick], markup=False)


def _broken(finding: Finding) -> str:
    moves = len(finding.example.strides) if finding.example else 0
    return f"BROKEN in {moves}"


def _print_example(finding: Finding, example: Example) -> None:
    out = console()
    out.print(f'\nThe shortest way to break "{finding.sentence}":', markup=False)
    for line in _lines(example):
        out.print(line, markup=False)
    out.print(_end(finding, example), markup=False)


def _lines(example: Example) -> Iterator[str]:
    before = example.first
    for number, stride in enumerate(example.strides, 1):
        yield f"{number:3}. {_sentence(stride)}: {_changes(before, stride.state)}"
        before = stride.state


def _end(finding: Finding, example: Example) -> str:
    last = ", ".join(f"{name.replace('_', ' ')} {example.last[name]}" for name in _MACHINES)
    if isinstance(PROPERTIES[finding.name], Reachable):
        return f"From there it can no longer come about. It ends with {last}."
    return f"It ends with {last}."


def _sentence(stride: Stride) -> str:
    return str(stride.clauses)


def _changes(before: State, after: State) -> str:
    changed = [
        f"{name.replace('_', ' ')} {before[name]} -> {after[name]}"
        for name in after
        if after[name] != before[name] and not isinstance(after[name], bool)
        and not name.startswith("origin.")
    ]  # fmt: skip
    return ", ".join(changed) or "no machine changes"


def play_in_terminal(finding: Finding, rows: tuple[Row, ...]) -> None:
    """Step through an example on a live controller: the lamps and outputs after each move."""
    if finding.example is None:
        return
    out = console()
    out.print("\nOn a live controller:", markup=False)
    rehearsal = Rehearsal(finding.example, rows)
    while rehearsal.left:
        if sys.stdin.isatty() and sys.stdout.isatty():
            input("  [Enter] for the next move")
        stride = rehearsal.step()
        lit = ", ".join(str(lamp.word) for lamp in lamps.lit(rehearsal.controller.image)) or "none"
        on = ", ".join(tag for tag in OUTPUTS if rehearsal.bus.seen[tag]) or "none"
        out.print(f"{rehearsal.made:3}. {_sentence(stride)}", markup=False)
        out.print(f"     lamps: {lit}; outputs on: {on}", markup=False)
    out.print(f'The live controller has done it: "{finding.sentence}" is broken.', markup=False)


def _write(rehearsal: Rehearsal, output: Path) -> None:
    try:
        output.write_text(
            dump(rehearsal.trace, rehearsal.clock.now_us), encoding="ascii", newline="\n"
        )
    except OSError as fault:
        raise CommandError(
            f"cannot be written: {fault.strerror}", str(output), "name another"
        ) from fault


def _plain(proof: Proof, bypass: Sequence[str], took_s: float) -> dict[str, object]:
    return {
        "sound": proof.sound,
        "states": proof.states,
        "edges": proof.edges,
        "depth": proof.depth,
        "whole": proof.whole,
        "seconds": round(took_s, 1),
        "bypassed": [number.upper() for number in bypass],
        "properties": [
            {
                "name": one.name,
                "sentence": str(one.sentence),
                "holds": one.holds,
                "moves": [_sentence(s) for s in one.example.strides] if one.example else [],
            }
            for one in proof.findings
        ],
    }
