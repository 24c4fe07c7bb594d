"""What makes laws a tenth more or less finds them all, and what may live is a law that is there."""

import pytest

from .laws import LAWS, ROOT, Law, _likely, excused, laws_of, stages

CODE = '''
SHARE: Final = 0.5  # of it
STEPS: Final = 32
RANGE: Final = (0.8, 1.0)
NAME: Final = "none"
SAID: Final = plain("law.said", f"{0.5}")


@dataclass
class Metal:
    hardened: float = 1.25
    bow_m: float = 0.0
    name: str = "steel"

    @property
    def twice(self) -> float:
        """Return it, 2.0 times."""
        return self.hardened * 2.0


def half(value: float) -> float:
    if value > 0.0:
        return max(value, 1.0) / 2
    if value == 0.0:
        return 0.0
    return -1.5


def words() -> str:
    return "much"
'''


def _done(code: str) -> dict[str, object]:
    start = "from dataclasses import dataclass\nfrom typing import Final\nplain = print\n"
    names: dict[str, object] = {}
    exec(start + code, names)
    return names


def test_numbers_tables_and_what_functions_return_are_made_a_tenth_more_and_less():
    laws = laws_of(CODE)
    names = [law.name for law in laws if law.times == 1.1]

    assert names == [
        "SHARE", "STEPS", "RANGE", "RANGE#2", "Metal.hardened", "Metal.twice returns",
        "Metal.twice within, 2.0", "half returns", "half returns#2", "half within, 1.5",
    ]  # fmt: skip
    assert [law.name for law in laws if law.times == 0.9] == names
    done = {(law.name, law.times): _done(law.code) for law in laws}
    assert done["SHARE", 1.1]["SHARE"] == pytest.approx(0.55)
    assert done["SHARE", 0.9]["SHARE"] == pytest.approx(0.45)
    assert done["STEPS", 1.1]["STEPS"] == 35
    assert done["STEPS", 0.9]["STEPS"] == 29
    assert done["RANGE#2", 0.9]["RANGE"] == (0.8, 0.9)
    assert done["half returns", 1.1]["half"](3.0) == pytest.approx(1.65)
    assert done["half returns", 1.1]["half"](-3.0) == -1.5
    assert done["half returns#2", 0.9]["half"](-3.0) == pytest.approx(-1.35)
    assert done["Metal.hardened", 1.1]["Metal"]().twice == pytest.approx(2.75)
    assert done["Metal.twice returns", 0.9]["Metal"]().twice == pytest.approx(2.25)


@pytest.mark.parametrize("module", sorted({module for module, _ in excused()}))
def test_what_may_live_is_there_and_has_a_reason(module):
    assert module in LAWS
    laws = laws_of((ROOT / module).read_text("utf-8"))
    names = {law.name for law in laws} | {law.key for law in laws}
    rows = {name: why for (of, name), why in excused().items() if of == module}

    assert sorted(set(rows) - names) == []
    assert [name for name, why in rows.items() if len(why.split()) < 4] == []


def test_every_module_of_laws_is_tried_on_tests_that_are_there():
    for module in LAWS:
        files = [file for tests, _ in stages(module) for file in tests]
        assert len(files) == len(set(files))
        assert len(files) > 20
    known, others, of_a_saw, long = (tests for tests, _ in stages("sim/trade/wander.py"))
    assert "tests/trade/test_wander.py" in known
    assert "tests/trade/test_burr.py" in others
    assert "tests/plant/test_wander.py" in of_a_saw
    assert "tests/plant/test_trends.py" in long
    assert "tests/session/test_jogging.py" in long


@pytest.mark.parametrize(
    ("known", "likely"),
    [
        ({}, ""),
        ({"half within, 1.5 x0.9": "FAILED a", "half returns x1.1": "FAILED b"}, "a"),
        ({"half within, 2.0 x1.1": "FAILED a", "half returns x1.1": "FAILED b"}, "b"),
        ({"half returns#2 x1.1": "FAILED a", "half within, 2.0 x1.1": ""}, "a"),
        ({"halfway within, 1.5 x1.1": "FAILED a"}, ""),
    ],
)
def test_the_test_tried_first_is_that_of_the_other_way_or_else_the_last_of_its_function(
    known, likely
):
    law = Law("half within, 1.5", 7, 1.1, "")
    tried = {("sim/trade/a.py", key): (0, killer) for key, killer in known.items()}

    assert _likely("sim/trade/a.py", law, tried) == likely
    assert _likely("sim/trade/b.py", law, tried) == ""
