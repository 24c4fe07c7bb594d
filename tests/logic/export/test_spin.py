"""The proofs, checked by spin on the exported model: as many states, the same breaches, as near.

spin shares with our own search the trees that were unfolded from the controller, and nothing else:
guards, steps, what is kept, the job's pursuit, the tidying and the properties are written out in
Promela and worked off by spin's verifier. The scope is small, PRODUCTION only, every device sound and
no coolant but with the band, so that spin takes seconds; the bench does the same with the whole one.

Progress is not for spin: that from every state there is a way is no formula of linear time.
"""

from dataclasses import replace
from functools import cache

import pytest

from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.logic.proof.compile import Model, compiled
from sim.logic.proof.moves import Scope
from sim.logic.proof.properties import SAFETY
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.search.judge import Breach

pytestmark = pytest.mark.slow

SCOPE = Scope(("PRODUCTION",), ())
LEFT_OUT = ("coolant.off", "coolant.on", "S9")  # which would only multiply the states


def small(model: Model) -> Model:
    """Return a model with only some of its moves."""
    return replace(model, moves=tuple(m for m in model.moves if not m.name.startswith(LEFT_OUT)))


@cache
def whole() -> Explorer:
    return Explorer(small(compiled(SCOPE)), SAFETY)


@cache
def jumpered(number: str) -> tuple[Model, Reached]:
    """Return the model with every row of an interlock jumpered, and all that it reaches."""
    rows = [row for row in (*PERMISSIVES, *REACTIONS) if row.number == number]
    model = small(compiled(SCOPE, rows, whole().model))
    return model, Explorer(model, SAFETY, whole().packing).reach()


def moves_to(breach: Breach, reached: Reached) -> int:
    """Return how many moves it takes to come to a breach."""
    (layer,) = (i for i, layer in enumerate(reached.layers) if breach.number in layer)
    return layer + (breach.move is not None)


def test_spin_stores_as_many_states_and_finds_every_safety_property_to_hold(spin) -> None:
    model, reached = whole().model, whole().reach()
    verdict = spin.search(model, SAFETY)
    assert verdict.stored == reached.states
    assert verdict.broken == {}
    assert reached.breaches == []


@pytest.mark.parametrize("number", ["I4", "I6"])
def test_with_an_interlock_jumpered_spin_finds_the_same_properties_broken(spin, number) -> None:
    model, reached = jumpered(number)
    verdict = spin.search(model, SAFETY)
    assert verdict.stored == reached.states
    assert set(verdict.broken) == {breach.name for breach in reached.breaches} != set()


@pytest.mark.parametrize("number", ["I4", "I6"])
def test_the_nearest_breach_is_as_many_moves_away_for_spin(spin, number) -> None:
    model, reached = jumpered(number)
    ours = {breach.name: moves_to(breach, reached) for breach in reached.breaches}
    ((name, moves),) = spin.shortest(model, SAFETY).broken.items()
    assert moves == ours[name] == min(ours.values())
