"""Progress, checked on the graph that spin draws: is there from everywhere still a way?

That question is not one of linear time, so spin itself cannot answer it. Here its verifier, which
goes through every move of every state, also writes each down, by a few lines of C that are put into
the exported text; scipy then searches that graph backwards from the goals. Our own search has no
part in it but to be compared with. The scope is the smallest, as in `test_spin`.
"""

import re
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order

from sim.logic.export.promela import export
from sim.logic.export.promela_code import bits, word
from sim.logic.proof.compile import Model, compiled, initial
from sim.logic.proof.memory import DOMAINS, Case
from sim.logic.proof.moves import SMALLEST
from sim.logic.proof.properties import PROGRESS, Reachable
from sim.logic.proof.search.explore import Explorer
from sim.logic.proof.ways import Ways

EDGE = np.dtype([("before", "<u8"), ("after", "<u8"), ("move", "u1")])
# What never varies in the world below has no bit, so that 64 are enough.
CONSTANT = ("first", "S1", "S7", "B3", "B43", "S9")
PACKED = tuple(name for name in DOMAINS if name not in CONSTANT)
FIRST_BIT = dict(zip(PACKED, np.cumsum([0, *map(bits, PACKED)]).tolist(), strict=False))


@dataclass(frozen=True)
class Graph:
    """States as packed numbers, in order, and moves between them by place."""

    states: np.ndarray
    before: np.ndarray
    after: np.ndarray
    move: np.ndarray

    def holding(self, cases: tuple[Case, ...]) -> np.ndarray:
        """Return on which states any of the cases holds."""
        either = np.zeros(self.states.size, dtype=bool)
        for case in cases:
            every = np.ones(self.states.size, dtype=bool)
            for name, values in case:
                if name in CONSTANT:
                    every &= initial()[name] in values
                    continue
                mask = (1 << bits(name)) - 1
                value = (self.states >> np.uint64(FIRST_BIT[name])) & np.uint64(mask)
                every &= np.isin(value, [DOMAINS[name].index(one) for one in values])
            either |= every
        return either

    def stuck(self, row: Reachable, model: Model) -> int:
        """Return from how many states of the start no goal can be reached."""
        usable = np.array([row.allows(move) for move in model.moves])[self.move]
        goals = np.flatnonzero(self.holding(row.goals))
        everything = self.states.size  # leads to every goal
        rows = np.concatenate([self.after[usable], np.full(goals.size, everything)])
        columns = np.concatenate([self.before[usable], goals])
        size = (everything + 1, everything + 1)
        backwards = csr_array((np.ones(rows.size, dtype=np.int8), (rows, columns)), shape=size)
        found = breadth_first_order(backwards, everything, return_predecessors=False)
        leads = np.zeros(everything + 1, dtype=bool)
        leads[found] = True
        return int((self.holding(row.start) & ~leads[:-1]).sum())


def writing(model: Model) -> str:
    """Return the exported model with the C that writes down every move."""
    packed = " | ".join(
        f"((unsigned long long) now.{word(name)} << {first})" for name, first in FIRST_BIT.items()
    )
    text = export(model)
    numbers = iter(range(len(model.moves)))
    began = re.compile(r"(:: d_step \{ .* ->)( /\* .*: .* \*/)$", re.MULTILINE)
    text = began.sub(
        lambda found: f"{found[1]} c_code {{ now.came = PACKED; now.made = {next(numbers)}; }};",
        text,
    )
    assert next(numbers, None) is None, "every move must be written down"
    text, ends = re.subn(
        r"(answers = 0; again = 0)$",
        r"\1; c_code { put_down(now.came, PACKED, now.made); now.came = 0; now.made = 0; }",
        text, flags=re.MULTILINE,
    )  # fmt: skip
    assert ends == 1
    return f"""
c_decl {{
#define PACKED ({packed})
\\#include <stdio.h>
static FILE *graph;
static void put_down(unsigned long long before, unsigned long long after, unsigned char move) {{
  if (!graph) graph = fopen("graph.bin", "wb");
  fwrite(&before, 8, 1, graph); fwrite(&after, 8, 1, graph); fwrite(&move, 1, 1, graph);
}}
}}
c_state "unsigned long long came" "Global"
c_state "unsigned char made" "Global"
{text}"""


# A smaller world, else spin's graph is gigabytes: no emergency stops, coolant with the band, and by
# hand the head is raised and nothing else is moved.
LEFT_OUT = ("coolant.off", "coolant.on", "S1", "S9", "cutting_vise.", "shuttle", "head.lower")


@cache
def explored() -> tuple[Explorer, object]:
    model = compiled(SMALLEST)
    moves = tuple(move for move in model.moves if not move.name.startswith(LEFT_OUT))
    explorer = Explorer(replace(model, moves=moves))
    return explorer, explorer.reach()


@pytest.fixture(scope="module")
def drawn(spin_in, tmp_path_factory) -> Graph:
    """The graph of the smallest scope."""
    spin = spin_in(tmp_path_factory.mktemp("graph"))
    explorer, _ = explored()
    (spin.folder / "saw.pml").write_text(writing(explorer.model), encoding="utf-8")
    spin.verifier("-O1")
    report = spin.run("./pan", "-m20000000")
    assert "max search depth too small" not in report
    return read(spin.folder / "graph.bin")


def read(path: Path) -> Graph:
    edges = np.fromfile(path, dtype=EDGE)
    states, places = np.unique(
        np.concatenate([edges["before"], edges["after"]]), return_inverse=True
    )
    return Graph(states, places[: edges.size], places[edges.size :], edges["move"])


@pytest.mark.slow
def test_spins_graph_has_as_many_states_and_changing_moves_as_our_search(drawn: Graph) -> None:
    _, reached = explored()
    changing = drawn.before != drawn.after
    pairs = drawn.before[changing] * drawn.states.size + drawn.after[changing]
    made = np.unique(pairs * 256 + drawn.move[changing])
    assert sum(map(bits, PACKED)) <= 64
    assert drawn.states.size == reached.states
    # Ours counts a move once for each answer to a question; spin offers answers a little oftener.
    assert made.size <= reached.edges <= pairs.size


@pytest.mark.slow
@pytest.mark.parametrize("row", PROGRESS, ids=lambda row: row.name)
def test_there_is_a_way_for_spin_too(drawn: Graph, row: Reachable) -> None:
    explorer, reached = explored()
    assert drawn.holding(row.start).any()
    assert drawn.stuck(row, explorer.model) == 0
    assert Ways(explorer).stuck(row, reached).size == 0


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "taken_away"),
    [("clears", ("supply.reset",)), ("unhold", ("job.unhold",)),
     ("completes", ("B1=0",))],
)  # fmt: skip
def test_without_a_move_both_find_as_many_states_from_which_there_is_no_way(
    drawn: Graph, name: str, taken_away: tuple[str, ...]
) -> None:
    explorer, reached = explored()
    (row,) = (row for row in PROGRESS if row.name == name)
    row = replace(row, without=(*row.without, *taken_away))
    stuck = drawn.stuck(row, explorer.model)
    assert stuck == Ways(explorer).stuck(row, reached).size > 0
