"""`drycycle prove`: what holds of the controller, and how it breaks."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final, TypeAlias

from sim.control.interlocks import BY_NUMBER
from sim.control.site_rows import rows_of as rows_of_site
from sim.errors import CommandError
from sim.kernel.pacing import wall_s
from sim.logic.bench.vcd import DUMP_BEGINS, dump
from sim.logic.proof.each import NUMBERS, hazards, label, rows_of, told_fact
from sim.logic.proof.memory import CAN_FAIL, Fact
from sim.logic.proof.moves import BOUNDS, FAILURES, SMALLEST, Scope
from sim.logic.proof.power_path import PathProof, prove_path
from sim.logic.proof.proof import Finding, Proof, prove
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search.explore import Report
from sim.logic.proof.site_changes import RowChange, RowVerdict, changes, still_broken
from sim.logic.proof.tried import Untried
from sim.logic.proof.unfold import Row
from sim.records.output import check_output, write_output
from sim.scenario.machines import first_machine
from sim.scenario.nearest import nearest
from sim.session.opening import machine_of
from sim.text.progress import say_ahead, standing_line
from sim.text.reports.example_text import print_example
from sim.text.reports.prove_request import check_request
from sim.text.tables import print_json, print_said, print_table
from sim.words.fields import count, name, number, part, parts
from sim.words.message import NOTHING, Message, plain, row
from sim.words.speech import reader, tell

_WITHIN: Final = row("prove.bounds", "Within its bounds: {bounds}.", bounds=parts("; "))
_WITHIN_QUICK: Final = plain(
    "prove.bounds.quick", "Within narrow bounds: no device is bad, and MAINTENANCE is left out."
)
Play: TypeAlias = Callable[[Finding, tuple[Row, ...]], object]  # shows how a property is broken

_BYPASSED: Final = row(
    "prove.bypassed", "Bypassed: {numbers}. The hazard: {hazards}.",
    numbers=name(), hazards=parts("; "),
)  # fmt: skip
_TITLE: Final = plain("prove.title", "Properties of the live controller")
_HOLDS: Final = plain("prove.holds", "holds")
_UNTRIED: Final = plain("prove.not-tried", "not tried")
_WHY_UNTRIED: Final = row(
    "prove.not-tried.fact",
    "Not tried, and nothing said of it: {names}. Here it never comes about: {facts}.",
    names=name(), facts=parts(" and "),
)  # fmt: skip
_WHY_NO_MOVE: Final = row(
    "prove.not-tried.move",
    "Not tried, and nothing said of it: {names}. Here no move that it speaks of ever happens where it speaks.",
    names=name(),
)
_WHOLE_RUN: Final = plain(
    "prove.not-tried.to-do", "Without --quick devices go bad and MAINTENANCE is looked at, too."
)
_BROKEN: Final = row("prove.broken", "BROKEN in {moves}", moves=count())
_BROKEN_BY: Final = row("prove.path.broken", "BROKEN by {failures}", failures=name())
_PATH_TITLE: Final = plain(
    "prove.path.title", "Properties of the power path, whatever the controller says"
)
_PATH_EXPLORED: Final = row(
    "prove.path.explored",
    "{states} states and {moves} moves of it, with each of {failures} ways to fail: one device bad, alone and "
    "with one main contactor welded; with no wire forced, all forced on, all forced off. Both welded at once is "
    "outside what is proved.",
    states=name(), moves=name(), failures=count(),
)  # fmt: skip
_EXPLORED: Final = row(
    "prove.explored",
    "{states} states, {edges} edges, {depth} moves deep: {what}, in {time} s.",
    states=name(), edges=name(), depth=count(), what=part(), time=number(),
)  # fmt: skip
_EVERYTHING: Final = plain("prove.everything", "everything that can happen")
_EVERYTHING_QUICK: Final = plain(
    "prove.everything.quick", "everything that can happen within narrow bounds"
)
_FAR_ENOUGH: Final = plain("prove.far-enough", "far enough to break it")
_NOTHING_TO_PLAY: Final = plain(
    "prove.nothing-to-play",
    "Nothing is broken, so there is nothing to play or to write; jumper an interlock with --bypass.",
)
_ASSUMED: Final = row(
    "prove.assumed",
    "What this assumes: {bad} Every other wire is believed, each output does what its coil says, and the "
    "controller runs the code that was searched. A wire that is open or shorted elsewhere, or both main "
    "contactors welded at once, can break what holds here. Bars, forces and sizes are not looked at.",
    bad=part(),
)  # fmt: skip
_SOME_BAD: Final = row(
    "prove.assumed.bad", "of what the controller reads only {devices} go bad, one at a time.",
    devices=name(),
)  # fmt: skip
_NONE_BAD: Final = plain("prove.assumed.none-bad", "nothing that the controller reads goes bad.")
_WIRING: Final = plain(
    "prove.wiring",
    "The wiring of this machine was checked as it was read: each input, stop, coil and motor of it has its voltage "
    "over just those contacts that this saw has there. So the power path proved here is the one that its file "
    "draws, with every wire whole; of anything else in it nothing is proved, nor that the cabinet is wired so.",
)
_CHANGES: Final = plain("prove.changes", "What the site has changed, each by itself")
_CHANGE_HEADS: Final = ("interlock", "change", "row", "verdict", "what breaks")
_OUT: Final = plain("prove.change.out", "taken out")
_IN: Final = plain("prove.change.in", "put in")
_VERDICTS: Final = {
    RowVerdict.FATAL: plain("prove.change.fatal", "FATAL: it breaks what must hold"),
    RowVerdict.REDUNDANT: plain(
        "prove.change.redundant",
        "redundant: the controller does just what it did before, in every state",
    ),
    RowVerdict.HARMLESS: plain(
        "prove.change.harmless", "harmless: something differs, and nothing breaks"
    ),
    RowVerdict.UNMET: plain(
        "prove.change.unmet",
        "no harm found: nothing breaks, and no state was met in which it makes a difference",
    ),
}
_NO_CHANGES: Final = plain(
    "prove.no-changes", "Its site has changed no row: its controller walks the table as it ships."
)
_UNFOLDING: Final = plain("prove.unfolding", "Unfolding the controller")
_SO_FAR: Final = row(
    "prove.so-far", "{layer} moves deep: {states} states", layer=count(), states=name()
)
_CHANGED_ROW: Final = row(
    "prove.changed-row", "What changed row {at} of {total} does", at=count(), total=count()
)
_TAKES: Final = plain(
    "prove.takes",
    "Some 13 million states are searched: that takes a minute or two and 2 GB, on a slow computer longer; "
    "--quick searches a tenth.",
)
_PRACTISED: Final = row(
    "prove.practised", "interlock {number} is practised, not wired", number=name()
)
_METAL: Final = row(
    "prove.metal",
    "interlock {number} is carried out by metal, which no jumper reaches",
    number=name(),
)
_NO_INTERLOCK: Final = row("prove.no-interlock", "there is no interlock '{number}'", number=name())


def prove_and_report(
    names: Sequence[str],
    bypass: Sequence[str],
    *,
    machine: str = "",
    quick: bool,
    play: Play | None,
    output: Path | None,
    as_json: bool,
) -> int:
    """Prove the controller; return 0 when every property holds, 1 when one is broken.

    A property that was not tried counts as broken where it was asked for by name or something is jumpered; else
    it is told, and no more. So does a change of the site's that hurts, unless all changes together were proved.

    Args:
        names: Of the properties; all when left out.
        bypass: Numbers of interlocks that are jumpered.
        machine: Whose controller, by its name or its folder; the table of interlocks when empty.
        quick: Only with every device sound and without MAINTENANCE.
        play: What plays the shortest counterexample, such as `play_in_terminal`, or None. With
            JSON nothing is played.
        output: Where to write it as a value change dump, or None.
        as_json: Print JSON instead of text.

    Raises:
        CommandError: There is no such property or interlock, or the file cannot be written.
        ScenarioError: There is no such machine, or its files are refused.
    """
    saw = machine_of(machine) if machine else first_machine()
    asked = check_request(names, output)
    rows = tuple(row for number in bypass for row in _bypassed(number))
    if output is not None:
        check_output(output, DUMP_BEGINS)
    begun_s = wall_s()
    with _progress(quiet=as_json, quick=quick) as (report, at_row):
        found = changes(saw.site_rows, at_row)
        own = rows_of_site(saw.site_rows)
        proof = prove(asked, rows, SMALLEST if quick else Scope(), report, own)
        proof = proof.with_broken(still_broken(_open(found, proof, quick=quick), own, rows))
    took_s = wall_s() - begun_s
    by_name = bool(names or bypass)
    path = prove_path(saw) if not names else None  # no jumper and no scope changes it
    sound = (
        (proof.sound if by_name else not proof.broken)
        and not (quick and any(one.broken for one in found))
        and (path is None or path.sound)
    )
    if as_json:
        print_json(
            _plain(
                proof,
                path,
                bypass,
                took_s,
                found,
                sound=sound,
                quick=quick,
                wiring=bool(machine and path),
            )
        )
    else:
        if machine:
            _print_changes(found)
        _print(proof, rows, bypass, took_s, quick=quick)
        if path is not None:
            _print_path(path)
        print_said(_assumed(quick=quick), _WIRING if machine and path else NOTHING)
    worst = proof.shortest
    if worst is not None and worst.example is not None:
        told = any(_moves(one.broken) == _moves(worst) for one in found) and machine
        if not as_json and not told:
            print_example(worst, worst.example)
        if output is not None:
            _write(Rehearsal(worst.example, rows, own).play(), output)
        if play is not None and not as_json:
            play(worst, rows)
    elif (play is not None or output is not None) and not as_json:
        print_said(_NOTHING_TO_PLAY)
    return 0 if sound else 1


def _open(found: Sequence[RowChange], proof: Proof, *, quick: bool) -> tuple[RowChange, ...]:
    """Return the changes that hurt by themselves, and of which the proof does not say what they do together.

    A whole run says so of a row that is taken out. A row that is put in may look at a device where a whole run
    leaves it sound.
    """
    broken = {one.name for one in proof.findings if one.broken}
    held = set() if quick else {one.name for one in proof.findings if one.holds}
    return tuple(
        one
        for one in found
        if one.broken is not None
        and one.broken.name not in broken
        and not (one.out and one.broken.name in held)
    )


def _bypassed(number: str) -> tuple[Row, ...]:
    rows = rows_of(number.upper())
    if rows:
        return rows
    unwired = BY_NUMBER.get(number.upper())
    if unwired is not None:
        why = _METAL if unwired.metal else _PRACTISED
        raise CommandError(why(number=unwired.number), "prove --bypass", unwired.sentence)
    raise CommandError(
        _NO_INTERLOCK(number=number), "prove --bypass", nearest(number.upper(), NUMBERS)
    )


@contextmanager
def _progress(*, quiet: bool, quick: bool) -> Iterator[tuple[Report, Report]]:
    """Give what is told of layers and states, and of changed rows."""
    if quiet:
        yield (lambda _layer, _states: None,) * 2
        return
    if not quick:
        say_ahead(tell(_TAKES))
    with standing_line() as show:
        show(tell(_UNFOLDING))
        yield (
            lambda layer, states: show(tell(_SO_FAR(layer=layer, states=reader().grouped(states)))),
            lambda at, total: show(tell(_CHANGED_ROW(at=at, total=total))),
        )


def _print(
    proof: Proof, rows: Sequence[Row], bypass: Sequence[str], took_s: float, *, quick: bool
) -> None:
    if rows:
        numbers = ", ".join(number.upper() for number in bypass)
        print_said(_BYPASSED(numbers=numbers, hazards=hazards(rows)))
    found = [(_verdict(one), one.name, one.sentence) for one in proof.findings]
    print_table(_TITLE, ("", "property", "what it says"), found)
    print_said(
        _EXPLORED(
            states=reader().grouped(proof.states), edges=reader().grouped(proof.edges),
            depth=proof.depth, what=_what(proof, quick=quick), time=took_s,
        ),
        *_why_untried(proof),
        *((_WHOLE_RUN,) if quick and proof.untried else ()),
        _WITHIN_QUICK if quick else _WITHIN(bounds=BOUNDS),
    )  # fmt: skip


def _what(proof: Proof, *, quick: bool) -> Message:
    if not proof.whole:
        return _FAR_ENOUGH
    return _EVERYTHING_QUICK if quick else _EVERYTHING


def _verdict(one: Finding) -> Message:
    if one.broken:
        return _broken(one)
    return _HOLDS if one.holds else _UNTRIED


def _why_untried(proof: Proof) -> Iterator[Message]:
    """Yield a line for each reason why properties were not tried."""
    by_reason: dict[Untried, list[str]] = {}
    for one in proof.untried:
        assert one.untried is not None
        by_reason.setdefault(one.untried, []).append(one.name)
    for reason, names in by_reason.items():
        yield _reason(reason, names)


def _reason(untried: Untried, names: Sequence[str]) -> Message:
    told = ", ".join(names)
    if not untried.facts:
        return _WHY_NO_MOVE(names=told)
    return _WHY_UNTRIED(names=told, facts=tuple(map(_fact, untried.facts)))


def _fact(fact: Fact) -> Message:
    tag, values = fact
    return FAILURES[tag][0] if tag in FAILURES and values == (False,) else told_fact(tag, values)


def _print_changes(found: Sequence[RowChange]) -> None:
    """Print what each change of the site does by itself, and of what hurts the shortest way."""
    if not found:
        print_said(_NO_CHANGES)
        return
    rows = [
        (
            one.row.number, _OUT if one.out else _IN, label(one.row), _VERDICTS[one.verdict],
            one.broken.sentence if one.broken else NOTHING,
        )
        for one in found
    ]  # fmt: skip
    print_table(_CHANGES, _CHANGE_HEADS, rows)
    for one in found:
        if one.broken is not None and one.broken.example is not None:
            print_example(one.broken, one.broken.example)


def _print_path(path: PathProof) -> None:
    found = [
        (
            _HOLDS if one.holds else _BROKEN_BY(failures=", ".join(one.failures)),
            one.name,
            one.sentence,
        )
        for one in path.findings
    ]
    print_table(_PATH_TITLE, ("", "property", "what it says"), found)
    print_said(
        _PATH_EXPLORED(
            failures=path.failures,
            states=reader().grouped(path.states),
            moves=reader().grouped(path.moves),
        )
    )


def _assumed(*, quick: bool) -> Message:
    """Return what is taken for granted: nothing that was proved holds without it."""
    return _ASSUMED(bad=_NONE_BAD if quick else _SOME_BAD(devices=", ".join(CAN_FAIL)))


def _broken(finding: Finding) -> Message:
    return _BROKEN(moves=len(finding.example.strides) if finding.example else 0)


def _write(rehearsal: Rehearsal, output: Path) -> None:
    write_output(output, dump(rehearsal.trace, rehearsal.clock.now_us))


def _plain(
    proof: Proof,
    path: PathProof | None,
    bypass: Sequence[str],
    took_s: float,
    found: Sequence[RowChange],
    *,
    sound: bool,
    quick: bool,
    wiring: bool,
) -> dict[str, object]:
    return {
        "sound": sound,
        "states": proof.states,
        "edges": proof.edges,
        "depth": proof.depth,
        "whole": proof.whole,
        "seconds": round(took_s, 1),
        "assumed": str(_assumed(quick=quick)),
        **({"wiring": str(_WIRING)} if wiring else {}),
        "changes": [
            {
                "interlock": one.row.number,
                "row": str(label(one.row)),
                "out": one.out,
                "verdict": one.verdict.value,
                "breaks": one.broken.name if one.broken else None,
                "moves": _moves(one.broken),
                "states": one.states,
            }
            for one in found
        ],
        "bypassed": [number.upper() for number in bypass],
        "properties": [
            {
                "name": one.name,
                "sentence": str(one.sentence),
                "holds": one.holds,
                "tried": one.untried is None,
                "not_tried": str(_reason(one.untried, [one.name])) if one.untried else "",
                "moves": _moves(one),
            }
            for one in proof.findings
        ],
        **({} if path is None else {"power_path": _plain_path(path)}),
    }


def _moves(finding: Finding | None) -> list[str]:
    """Return the shortest way in which a property breaks; none where it holds."""
    example = finding.example if finding is not None else None
    return [str(stride.clauses) for stride in example.strides] if example is not None else []


def _plain_path(path: PathProof) -> dict[str, object]:
    return {
        "failures": path.failures,
        "states": path.states,
        "moves": path.moves,
        "properties": [
            {"name": one.name, "sentence": str(one.sentence), "broken_by": list(one.failures)}
            for one in path.findings
        ],
    }
