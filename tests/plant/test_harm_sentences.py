"""A harm says what happened, and asserts no cause: what brings it about may be another."""

import pytest

from sim.plant.harm.kinds import KINDS
from sim.session.opening import open_session

CAUSES = (
    "left open", "wash-down", "tank", "nearly shut", "air in the oil", "not locked", "too weak for",
    "no vise", "throttle", "dripped", "nobody near",
)  # fmt: skip
"""What sentences once asserted, and was not so with every cause of the harm, or not to be seen."""
MIXTURE = frozenset({"coolant-poor"})  # names all that there is: weak, strong or little


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_no_sentence_says_why(kind):
    said = f"{KINDS[kind].title} {KINDS[kind].sentence}".lower()
    assert not [cause for cause in CAUSES if cause in said and kind not in MIXTURE]


@pytest.mark.parametrize("hose", [lambda c: c.split_hose(True), lambda c: c.set_wash("open")])
def test_coolant_on_the_floor_is_told_alike_whatever_it_runs_from(hose):
    session = open_session("rail-posts", nonce="")
    coolant = session.saw.plant.coolant
    hose(coolant)
    coolant.mop("dry")
    coolant.run(True)
    session.advance(3_600)
    [told] = [each for each in session.saw.consequences if each.kind == "spill"]

    assert str(told.sentence).startswith("Coolant ran over the floor: somebody would slip.")
    assert "hose" not in str(told.sentence)
    assert "tank" not in str(told.sentence)
