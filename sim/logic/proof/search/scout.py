"""Learns which combinations of variables there are before the search, which then numbers them once.

Theory. A few states are followed, all their moves at once, layer by layer: those that bring a new
combination, those that bring one together with another code of the job, and a few more of each code
of the job, drawn by chance from a fixed seed. What is missed all the same the search learns on its way.
"""

from typing import Final

import numpy as np

from sim.logic.proof.compile import Model
from sim.logic.proof.memory import QUESTIONS
from sim.logic.proof.search.arrays import Block, Codes, Flags, Numbers, Rows, no_numbers
from sim.logic.proof.search.effects import Effects
from sim.logic.proof.search.packing import JOB_PART, Packing
from sim.logic.proof.search.sweep import Sweep

_LAYERS: Final = 60
_FEW: Final = 3  # of each code of the job's part


def scout(model: Model, packing: Packing, sweep: Sweep, effects: Effects) -> None:
    """Give digits to the combinations that are met on the way."""
    block: Block = [np.array(part.codes[:1], dtype=np.int32) for part in packing.parts]
    met = [no_numbers() for _ in packing.parts]
    chance = np.random.default_rng(1)
    for _ in range(_LAYERS):
        block = _every_move(model, sweep, effects, block)
        answers = map(bool, chance.integers(2, size=len(QUESTIONS)))
        sweep.settle(block, dict(zip(QUESTIONS, answers, strict=True)))
        for part, column in enumerate(block):
            packing.learn(part, np.unique(column).tolist())
        fresh = _new_beside_the_job(block, packing, met)
        fresh[_few_of_each(block[JOB_PART], chance)] = True
        block = [column[fresh] for column in block]


def _every_move(model: Model, sweep: Sweep, effects: Effects, block: Block) -> Block:
    """Return the codes after every move from every row on which it can happen."""
    steps: list[Block] = []
    for move in model.moves:
        rows = effects.possible_codes(move, block)
        after = [column[rows] for column in block]
        sweep.start(rows.size)
        sweep.run(model.trees[move.name], after, np.arange(rows.size))
        steps.append(after)
    return [np.concatenate(columns) for columns in zip(*steps, strict=True)]


def _new_beside_the_job(block: Block, packing: Packing, met: list[Numbers]) -> Flags:
    """Return the first rows that have a part's code with a code of the job's for the first time.

    Args:
        block: The codes, a column for each part.
        packing: Knows them all.
        met: By part, what was met; it is added to.
    """
    fresh: Flags = np.zeros(block[JOB_PART].size, dtype=bool)
    job = packing.parts[JOB_PART].digits()[block[JOB_PART]]
    for part, column in enumerate(block):
        beside = job * packing.parts[part].size + column
        pairs, first = np.unique(beside, return_index=True)
        new = ~np.isin(pairs, met[part], assume_unique=True)
        fresh[first[new]] = True
        met[part] = np.concatenate([met[part], pairs[new]])
    return fresh


def _few_of_each(codes: Codes, chance: np.random.Generator) -> Rows:
    """Return the rows of a few of each code, drawn by chance."""
    drawn = chance.permutation(codes.size)
    drawn = drawn[np.argsort(codes[drawn], kind="stable")]
    begins = np.flatnonzero(np.diff(codes[drawn], prepend=-1))
    before = np.repeat(begins, np.diff(begins, append=codes.size))
    few: Rows = drawn[np.arange(codes.size) - before < _FEW]
    return few
