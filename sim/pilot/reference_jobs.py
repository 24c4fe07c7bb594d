"""Jobs that between them bring every fault of the catalogue to bear: what a workshop cuts.

The catalogue as a whole is judged on them, and drills are drawn from them. Invented, like the
workshop: a school that makes stair and rail parts for the rebuilding of a harbour.
"""

from dataclasses import dataclass
from typing import Final

from sim.scenario.scenario import Scenario
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class ReferenceJob:
    """One job in the words of a scenario file."""

    name: str
    what: Message  # is cut, a noun with what belongs to it
    stock: dict[str, object]
    job: dict[str, object]

    def scenario(self) -> Scenario:
        """Return the job as a scenario with nothing hidden in it and every inspection allowed."""
        return Scenario.model_validate(
            {"title": self.name, "mode": "drill", "stock": self.stock, "job": self.job}
        )


def _reference(
    name: str, what: str, stock: dict[str, object], job: dict[str, object]
) -> ReferenceJob:
    return ReferenceJob(name, plain(f"reference-job.{name}", what), stock, job)


def _job(length_mm: float, wanted: int = 4, **more: object) -> dict[str, object]:
    return {
        "length_mm": length_mm,
        "wanted": wanted,
        "first": "square",
        "tolerance_mm": 0.1,
        **more,
    }


def _stock(material: str, length_mm: float, **section: object) -> dict[str, object]:
    return {"material": material, "section": section, "length_mm": length_mm, "front_mm": 12.0}


_ROWS: Final = (
    _reference(
        "posts", "rail posts from 60 mm round",
        _stock("S275JR", 6000.0, shape="round", diameter_mm=60.0), _job(230.0),
    ),
    _reference(
        "rails", "handrails from 40 mm square tube with a 2 mm wall",
        _stock("S235JR", 6000.0, shape="square-tube", side_mm=40.0, wall_mm=2.0), _job(400.0),
    ),
    _reference(
        "balusters", "balusters from 25 mm square, six bars at a time",
        {
            **_stock("S235JR", 6000.0, shape="square", side_mm=25.0),
            "bundle": {"count": 3, "rows": 2},
        },
        _job(350.0),
    ),
    _reference(
        "stringers", "mitred stringer ends from 50 by 70 mm flat",
        _stock("S275JR", 6000.0, shape="rectangle", width_mm=50.0, height_mm=70.0),
        _job(250.0, mitre_deg=45.0),
    ),
    _reference(
        "newels", "newel posts from 90 mm round, two strokes each",
        _stock("S275JR", 6000.0, shape="round", diameter_mm=90.0), _job(1100.0),
    ),
)  # fmt: skip

REFERENCE_JOBS: Final = {row.name: row for row in _ROWS}
