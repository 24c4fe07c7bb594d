"""What hangs in the cabinet: interlock handbook, cause and effect, list of signals.

A sheet is a table with a title; every word in it comes from the running tables, and there is no
second copy. Cause and effect follows the idea of IEC 62881 (not read): causes down, effects across,
with a box to tick for each row that was rehearsed.

Never here: pages (`bench_page`) and drawings (`diagrams`).
"""

import csv
import io
from dataclasses import dataclass
from typing import Final

from sim.control import outputs
from sim.control.interlocks import INTERLOCKS, PERMISSIVES, REACTIONS, Permissive, Reaction, When
from sim.signals import BY_TAG, SIGNALS

BOX: Final = "☐"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Cause:
    """The subject is one of the values, or `none_of` them, while the others hold."""

    subject: str
    values: tuple[object, ...]
    none_of: bool = False
    given: tuple[tuple[str, tuple[object, ...]], ...] = ()

    @property
    def label(self) -> str:
        """The cause in words."""
        said = _is(self.subject, self.values, none_of=self.none_of)
        given = " and ".join(_is(subject, values) for subject, values in self.given)
        return f"{said}, while {given}" if given else said


@dataclass(frozen=True, slots=True)
class Matrix:
    """Causes, effects, and what stands where they meet."""

    title: str
    means: str  # what a filled cell says, a sentence
    causes: tuple[Cause, ...]
    effects: tuple[str, ...]
    cells: dict[tuple[Cause, str], str]

    def sheet(self) -> Sheet:
        """Return it as a table, with a box to tick for each row."""
        rows = tuple(
            (BOX, cause.label, *(self.cells.get((cause, effect), "") for effect in self.effects))
            for cause in self.causes
        )
        return Sheet(f"{self.title}. {self.means}", ("done", "cause", *self.effects), rows)


def cause_and_effect() -> tuple[Matrix, ...]:
    """Return the three matrices: what refuses which action, what follows, what is energised."""
    return _refusing(), _following(), _energising()


def _refusing() -> Matrix:
    cells: dict[tuple[Cause, str], str] = {}
    for row in PERMISSIVES:
        key = (against(row), effect_of(row))
        cells[key] = " ".join(filter(None, (cells.get(key), row.number, "keeps" * row.keeps)))
    return _matrix(
        "What stands against an action",
        "The interlock refuses it; 'keeps' also halts it while it lasts.",
        cells,
    )


def _following() -> Matrix:
    cells: dict[tuple[Cause, str], str] = {}
    for row in REACTIONS:
        for machine, event in row.fires:
            key = (Cause(row.subject, row.becomes, given=row.given), f"{machine} {event}")
            cells[key] = " ".join(filter(None, (cells.get(key), row.number)))
    return _matrix("What follows by itself", "The event is fired when the cause comes.", cells)


def _energising() -> Matrix:
    power = ("supply", ("ON",))
    cells = {
        (Cause(machine, (state,), given=() if machine == "supply" else (power,)), tag): "on"
        for (machine, state), tags in outputs.ON_IN.items()
        for tag in tags
    }
    return _matrix("What is energised", "The output is on as long as the cause lasts.", cells)


def _matrix(title: str, means: str, cells: dict[tuple[Cause, str], str]) -> Matrix:
    causes = tuple(dict.fromkeys(cause for cause, _ in cells))
    return Matrix(title, means, causes, tuple(dict.fromkeys(effect for _, effect in cells)), cells)


def against(row: Permissive) -> Cause:
    """Return the cause that makes a permissive refuse."""
    need = row.need
    if need.values in ((True,), (False,)):
        return Cause(need.subject, (not need.values[0],))
    return Cause(need.subject, need.values, none_of=True)


def effect_of(row: Permissive) -> str:
    """Return the column of a permissive: its action, and who asks if that matters."""
    return row.action if row.when is When.ANY else f"{row.action} ({row.when})"


def handbook() -> tuple[Sheet, ...]:
    """Return the interlock handbook: permissives, reactions, rules that are not wired."""
    return (
        Sheet(
            "Interlocks: what each action needs",
            ("no.", "action", "asked by", "needs", "or it says", "hazard"),
            tuple(_permissive(row) for row in PERMISSIVES),
        ),
        Sheet(
            "Reactions: what follows by itself",
            ("no.", "when", "while", "follows", "reason shown"),
            tuple(_reaction(row) for row in REACTIONS),
        ),
        Sheet("Rules that are practised and not wired", ("no.", "rule"), _unwired()),
    )


def _unwired() -> tuple[tuple[str, ...], ...]:
    return tuple((lock.number, str(lock.sentence)) for lock in INTERLOCKS if not lock.wired)


def _permissive(row: Permissive) -> tuple[str, ...]:
    need = row.need
    keeps = ", as long as it lasts" if row.keeps else ""
    asked = {When.ANY: "key or job", When.HAND: "key", When.AUTO: "job"}[row.when]
    return (
        row.number, row.action, asked, f"{_is(need.subject, need.values)}{keeps}",
        f"{need.sentence} {need.remedy}", str(row.hazard),
    )  # fmt: skip


def _reaction(row: Reaction) -> tuple[str, ...]:
    return (
        row.number,
        _is(row.subject, row.becomes),
        " and ".join(_is(subject, values) for subject, values in row.given),
        ", ".join(f"{machine} {event}" for machine, event in row.fires),
        str(row.reason),
    )


def signal_list() -> Sheet:
    """Return every wire: tag, direction, what drives it, at rest, key, meaning."""
    rows = tuple(
        (row.tag, row.direction.value, row.source.value, "on" if row.at_rest else "off",
         row.key, str(row.text))
        for row in SIGNALS
    )  # fmt: skip
    return Sheet("Signals", ("tag", "direction", "driven by", "at rest", "key", "on means"), rows)


def csv_text(sheet: Sheet) -> str:
    """Return a sheet as comma-separated values with its heads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(sheet.heads)
    writer.writerows(sheet.rows)
    return out.getvalue()


def _is(subject: str, values: tuple[object, ...], *, none_of: bool = False) -> str:
    if subject in BY_TAG and len(values) == 1:
        return f"{subject} {'on' if values[0] else 'off'}"
    words = {True: "set", False: "not set"}
    listed = " or ".join(words[v] if isinstance(v, bool) else str(v) for v in values)
    return f"{subject} {'not ' * none_of}{listed}"
