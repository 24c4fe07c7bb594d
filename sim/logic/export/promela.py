"""The model in Promela, for the `spin` model checker: the same trees, moves and properties.

One process goes round one loop, and one turn is one move. A turn is undivided: the move, taken if its
guard holds; what is kept, and how far the job comes without asking; one way on for each answer to
the questions, if one is needed; how far it comes then; tidying, and a look at what is watched. spin
stores no state inside a turn. Between turns every variable that is not the model's own is 0, so spin
stores exactly the model's states.

What is watched is asserted at the end of a turn. What a property needs to know of the turn's
beginning is kept in variables that are cleared at its end.

Never here: a rule of the machine, and no C.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from sim.bugs import TableError
from sim.logic.export.promela_code import (
    ANSWERS,
    BEFORE,
    bits,
    code,
    constant,
    has,
    indented,
    step_name,
    word,
)
from sim.logic.proof.compile import Model
from sim.logic.proof.memory import DOMAINS, MATTERS_IN, QUESTIONS, Case
from sim.logic.proof.moves import Move
from sim.logic.proof.properties import Never, NeverStep
from sim.logic.proof.tree import TOOK, Ask, End, Step, Tree, calls

Watched = Never | NeverStep


def export(model: Model, watched: Sequence[Watched] = ()) -> str:
    """Return the model as a Promela text, with what is watched asserted."""
    steps = [row for row in watched if isinstance(row, NeverStep)]
    looked_back = _looked_back(steps)
    return "\n".join(
        (
            "/* Made by `drycycle print promela` from the running controller: do not edit.",
            "   One turn of the loop is one move; see the module sim.logic.export.promela. */",
            *_variables(model),
            *_watching_variables(watched, looked_back),
            *_inlines(model),
            *_finish(watched, steps, looked_back),
            *_process(model, steps),
            "",
        )
    )


# Variables --------------------------------------------------------------------------------


def _variables(model: Model) -> Iterator[str]:
    for name, values in DOMAINS.items():
        if values == (False, True):
            yield f"bit {word(name)} = {int(bool(model.initial[name]))};"
            continue
        for number, value in enumerate(values):
            yield f"#define {constant(name, value)} {number}"
        yield f"unsigned {word(name)} : {bits(name)} = {constant(name, model.initial[name])};"
    yield "/* Between moves these are nought. */"
    yield f"bit {TOOK}; /* whether the last step was made */"
    yield f"unsigned {BEFORE} : {max(map(bits, DOMAINS))}; /* a value before a step */"
    yield f"unsigned {ANSWERS} : {len(QUESTIONS)}; /* by bits: {', '.join(QUESTIONS)} */"
    yield "bit again; /* whether the job may go on */"


def _holds(case: Case) -> str:
    return " && ".join(has(name, values) for name, values in case) or "true"


def _any(cases: Iterable[Case]) -> str:
    return " || ".join(f"({_holds(case)})" for case in cases)


# Trees ------------------------------------------------------------------------------------


def _inlines(model: Model) -> Iterator[str]:
    for step in _in_order(model):
        yield f"inline {step_name(step)}() {{"
        yield from indented(code(model.called[step], "took"))
        yield "}"
    yield "inline keep() {"
    yield from indented(code(model.keep))
    yield "}"
    asks = " || ".join(f"({path})" for path in dict.fromkeys(_asking(model.advance))) or "false"
    yield f"#define asks ({asks})"


def _in_order(model: Model) -> list[Step]:
    """Return the called steps, each after those that it calls.

    Raises:
        RecursionError: A step calls itself, by however long a way.
    """
    order: dict[Step, None] = {}

    def visit(step: Step) -> None:
        if step not in order:
            for other in calls(model.called[step]):
                visit(other)
            order[step] = None

    for step in model.called:
        visit(step)
    return list(order)


def _asking(tree: Tree, path: tuple[str, ...] = ()) -> Iterator[str]:
    """Yield on which conditions a tree may come to a question.

    What is read after a call is not known beforehand, so there the call itself counts as asking
    if anything after it does.
    """
    if isinstance(tree, End):
        return
    if isinstance(tree, Ask) and tree.name not in QUESTIONS:
        for value, branch in tree.branches.items():
            yield from _asking(branch, (*path, has(tree.name, (value,))))
    elif isinstance(tree, Ask) or any(True for _ in _asking(tree.then)):
        yield " && ".join(path)


# What is watched --------------------------------------------------------------------------


def _began(row: NeverStep) -> str:
    return f"began_{word(row.name)}"


def _looked_back(steps: Sequence[NeverStep]) -> tuple[str, ...]:
    """Return the variables whose value before the move must be known after it."""
    if any(not row.changes for row in steps):
        return tuple(DOMAINS)
    return tuple(dict.fromkeys(row.changes for row in steps))


def _watching_variables(watched: Sequence[Watched], looked_back: Sequence[str]) -> Iterator[str]:
    if watched:
        yield "byte broken; /* the number of a property */"
    for row in watched:
        if isinstance(row, NeverStep):
            yield f"bit {_began(row)};"
    for name in looked_back:
        yield f"unsigned was_{word(name)} : {bits(name)};"


def _look_back(move: Move, steps: Sequence[NeverStep]) -> Iterator[str]:
    concerned = [row for row in steps if row.of(move.name)]
    for name in _looked_back(concerned):
        yield f"was_{word(name)} = {word(name)};"
    for row in concerned:
        yield f"{_began(row)} = ({_holds(row.before)});"


def _finish(
    watched: Sequence[Watched], steps: Sequence[NeverStep], looked_back: Sequence[str]
) -> Iterator[str]:
    yield "inline finish() {"
    for name, case in MATTERS_IN.items():
        first = constant(name, DOMAINS[name][0])
        yield f"  if :: {_holds(case)} -> skip :: else -> {word(name)} = {first} fi;"
    for number, row in enumerate(watched, start=1):
        yield f"  /* {row.name}: {row.sentence} */"
        yield "  if"
        yield f"  :: {_breaks(row)} -> broken = {number}; assert(broken != {number}); broken = 0"
        yield "  :: else -> skip"
        yield "  fi;"
    for row in steps:
        yield f"  {_began(row)} = 0;"
    for name in looked_back:
        yield f"  was_{word(name)} = 0;"
    yield f"  {TOOK} = 0; {BEFORE} = 0; {ANSWERS} = 0; again = 0"
    yield "}"


def _breaks(row: Watched) -> str:
    if isinstance(row, Never):
        return f"({_any(row.cases)})"
    names = (row.changes,) if row.changes else tuple(DOMAINS)
    changed = " || ".join(f"was_{word(name)} != {word(name)}" for name in names)
    return f"({_began(row)} && ({_holds(row.after)}) && ({changed}))"


# The states in which the job has something to pursue, each before those that it leads to.
_IN_ORDER: Final[tuple[tuple[str, ...], ...]] = (
    ("RESETTING", "CLEARING", "STARTING", "UNHOLDING", "EXECUTE"), ("COMPLETING",),
    ("HOLDING", "HELD"), ("STOPPING", "ABORTING"),
)  # fmt: skip

# The process ------------------------------------------------------------------------------


def _process(model: Model, steps: Sequence[NeverStep]) -> Iterator[str]:
    yield "active proctype saw() {"
    yield "  do"
    yield "  :: atomic {"
    yield "    if"
    for move in model.moves:
        yield f"    :: d_step {{ ({_any(move.cases)}) -> /* {move.name}: {move.clause} */"
        yield from (f"      {line}" for line in _look_back(move, steps))
        yield from (f"      {line}" for line in code(model.trees[move.name]))
        yield "      }"
    yield "    fi;"
    yield "    d_step {"
    yield "      keep();"
    yield "      again = 1"
    yield "    };"
    yield from _pursuits(model, "again && !asks", "first", unasked=True)
    yield "    if"
    yield f"    :: !(again && asks) -> {ANSWERS} = 0"
    for answers in range(1 << len(QUESTIONS)):
        yield f"    :: (again && asks) -> {ANSWERS} = {answers}"
    yield "    fi;"
    yield "    again = again && asks;"
    yield from _pursuits(model, "again", "then", unasked=False)
    yield "    d_step {"
    yield "      finish()"
    yield "    }"
    yield "    }"
    yield "  od"
    yield "}"


def _pursuits(model: Model, condition: str, label: str, *, unasked: bool) -> Iterator[str]:
    """Yield how far the job comes: state by state, in the order in which it can go through them.

    All in one would be more than spin takes as one undivided step.
    """
    advance = model.advance
    if not (isinstance(advance, Ask) and advance.name == "job"):
        raise TableError("the job does not look at its state first", where="Job.advance")
    for number, states in enumerate(_IN_ORDER):
        branch = Ask("job", {state: advance.branches[state] for state in states})
        yield "    d_step {"
        yield "      do"
        yield f"      :: ({condition} && {has('job', states)}) ->"
        yield from (
            f"        {line}"
            for line in code(branch, "again", f"{label}_{number}", unasked=unasked)
        )
        yield "      :: else -> break"
        yield "      od"
        yield "    };"
    others = tuple(state for states in _IN_ORDER for state in states)
    yield f"    assert(!({condition} && {has('job', others)}));"
