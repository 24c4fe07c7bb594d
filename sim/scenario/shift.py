"""What a shift file may say: a cut list with due times, the bars on the rack, and what time and metal cost.

The names are the models' names, as in `scenario`. Every figure of money has its source beside it.

Never here: how the orders are cut, and which plan is the best.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Final

from pydantic import (
    BaseModel,
    BeforeValidator,
    Field,
    PrivateAttr,
    ValidationError,
    model_validator,
)

from sim.scenario.gate import load
from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN, model_from, refuse
from sim.scenario.scalars import shown
from sim.scenario.scenario import JobWanted, Scenario
from sim.scenario.slips.expected import Expected
from sim.scenario.stock import AnySection, StockFound
from sim.scenario.vocabulary import UNKNOWN, Vocabulary
from sim.scenario.wording import wrong
from sim.trade.materials import PRICED_IN
from sim.trade.nesting import MOST_BARS
from sim.words.fields import name, number
from sim.words.message import plain, row

MOST_ORDERS: Final = 8
"""Every order of them is weighed for the best one."""

_TWICE: Final = row("shift.twice", "the name {name} is given twice", name=name())
_OTHER_NAME: Final = plain("shift.twice.do", "give each its own name")
_NO_BAR: Final = row(
    "shift.no-bar", "no bar on the rack is of the metal and section of {order}", order=name()
)
_NO_BAR_DO: Final = plain("shift.no-bar.do", "put such a bar on the rack, or take the order out")
_LONG: Final = row(
    "shift.long-piece", "a piece of {piece} mm is longer than every bar for it; the longest has {longest} mm",
    piece=name(), longest=name(),
)  # fmt: skip
_LONG_DO: Final = row("shift.long-piece.do", "give at most {longest}", longest=name())
_ALL_FIRST: Final = plain("shift.all-first", "every order is to be done first, so none of them is")
_ALL_FIRST_DO: Final = plain("shift.all-first.do", "leave first out of what can wait")
_MANY: Final = row(
    "shift.many-bars", "there are more than {most} bars of one metal and section", most=number()
)
_MANY_DO: Final = plain("shift.many-bars.do", "leave some out")

_NO_PRICE: Final = row(
    "shift.no-price", "the metals' list has its prices in {currency}", currency=name()
)
_NO_PRICE_DO: Final = row(
    "shift.no-price.do", "write {currency}, or give bar_per_kg for all metals", currency=name()
)

Slug = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9-]*$", max_length=24)]


def _as_tuple(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


class OrderWanted(BaseModel):
    """One line of the cut list."""

    model_config = PLAIN
    name: Slug = Field(description="What the order is called, such as rail-posts.")
    material: str = Field(min_length=1, max_length=40, description="A name from the metals' list.")
    section: AnySection = Field(description="The bar's shape and its sizes in millimetres.")
    length_mm: float = Field(ge=1, le=12_000, description="Length of a piece.")
    mitre_deg: float = Field(default=0.0, ge=0, le=60, description="Angle from the square cut.")
    pieces: int = Field(ge=1, le=500, description="How many good pieces.")
    tolerance_mm: float = Field(
        default=0.3, ge=0.01, le=50, description="A piece is good within plus or minus this."
    )
    due_min: float = Field(gt=0, le=1440, description="Minutes after the start of the shift.")
    first: bool = Field(
        default=False, description="Whether it is done before every order that does not say so."
    )


class BarOnRack(BaseModel):
    """One bar on the rack."""

    model_config = PLAIN
    name: Slug = Field(description="What is chalked on it, such as R1.")
    material: str = Field(min_length=1, max_length=40, description="A name from the metals' list.")
    section: AnySection = Field(description="The bar's shape and its sizes in millimetres.")
    length_mm: float = Field(ge=1, le=12_000, description="Length of the bar.")


class Sourced(BaseModel):
    """A figure, and who says so."""

    model_config = PLAIN
    value: float = Field(ge=0, le=1e6, description="The figure.")
    source: str = Field(
        min_length=1, max_length=200, description="Where it is from, or: invented for the demo."
    )


class Costs(BaseModel):
    """What time, metal and bands cost, in one currency."""

    model_config = PLAIN
    currency: str = Field(min_length=1, max_length=10, description="Such as EUR.")
    wage_per_h: Sourced = Field(description="An hour of the sawyer and the saw.")
    bar_per_kg: Sourced | None = Field(
        default=None,
        description="A kilogram of any bar; left out, each metal costs what the metals' list has, in EUR.",
    )
    band: Sourced = Field(description="A new band.")
    remnant_from_mm: Sourced = Field(
        description="From this length on a rest goes back on the rack; a shorter one is scrap."
    )


class Shift(BaseModel):
    """One shift file."""

    model_config = PLAIN
    _folder: Path | None = PrivateAttr(default=None)
    title: str = Field(min_length=1, max_length=80, description="What a person picks from.")
    brief: str = Field(default="", max_length=4_000, description="What the sawyer is told.")
    machine: str = Field(default="harbour-saw", min_length=1, max_length=60, description="The saw.")
    orders: Annotated[tuple[OrderWanted, ...], BeforeValidator(_as_tuple)] = Field(
        min_length=1, max_length=MOST_ORDERS, description="The cut list."
    )
    rack: Annotated[tuple[BarOnRack, ...], BeforeValidator(_as_tuple)] = Field(
        min_length=1, max_length=60, description="The bars that there are."
    )
    costs: Costs

    @property
    def folder(self) -> Path | None:
        """The folder that the file is in, beside which a site keeps its own machines."""
        return self._folder

    @property
    def lists(self) -> tuple[tuple[str, tuple[OrderWanted | BarOnRack, ...]], ...]:
        """The two lists of the file by their names."""
        return ("orders", self.orders), ("rack", self.rack)

    def order(self, called: str) -> OrderWanted:
        """Return the order of a name that is one of its own."""
        return next(each for each in self.orders if each.name == called)

    @property
    def in_turn(self) -> tuple[OrderWanted, ...]:
        """The orders as they are listed, those that are done first before the others."""
        return tuple(sorted(self.orders, key=lambda order: not order.first))

    def bars_for(self, order: OrderWanted) -> tuple[BarOnRack, ...]:
        """Return the bars of an order's metal and section."""
        return tuple(bar for bar in self.rack if alike(bar, order))

    @model_validator(mode="after")
    def _agrees_with_itself(self) -> "Shift":
        for part, rows in self.lists:
            _check_once(part, [each.name for each in rows])
        if len(self.orders) > 1 and all(order.first for order in self.orders):
            raise wrong(_ALL_FIRST, _ALL_FIRST_DO, ("orders", len(self.orders) - 1, "first"))
        for index, order in enumerate(self.orders):
            bars = self.bars_for(order)
            if not bars:
                continue  # told once every metal is known to be one
            longest = max(bar.length_mm for bar in bars)
            if order.length_mm > longest:
                what = _LONG(piece=f"{order.length_mm:g}", longest=f"{longest:g}")
                raise wrong(what, _LONG_DO(longest=f"{longest:g}"), ("orders", index, "length_mm"))
            if len(bars) > MOST_BARS:
                last = self.rack.index(bars[-1])
                raise wrong(_MANY(most=MOST_BARS), _MANY_DO, ("rack", last, "name"))
        if self.costs.bar_per_kg is None and self.costs.currency != PRICED_IN:
            at = ("costs", "currency")
            raise wrong(_NO_PRICE(currency=PRICED_IN), _NO_PRICE_DO(currency=PRICED_IN), at)
        for part, rows in self.lists:
            for index, each in enumerate(rows):
                _check_section(each, (part, index, "section"))
        return self


def alike(one: OrderWanted | BarOnRack, other: OrderWanted | BarOnRack) -> bool:
    """Return whether two are of one metal and section."""
    return one.material == other.material and one.section == other.section


def _check_once(part: str, names: Sequence[str]) -> None:
    """Refuse a name that one list of the file gives twice, at the second place."""
    for index, each in enumerate(names):
        if each in names[:index]:
            raise wrong(_TWICE(name=each), _OTHER_NAME, (part, index, "name"))


def _check_section(of: OrderWanted | BarOnRack, at: Place) -> None:
    """Refuse a section that the saw does not take, at its place in this file."""
    try:
        StockFound(material=of.material, section=of.section, length_mm=of.length_mm)
    except ValidationError as fault:
        what, what_to_do = fault.errors()[0]["ctx"]["told"]
        raise wrong(what, what_to_do, at) from None


def as_scenario(
    shift: Shift, order: OrderWanted, pieces: int, *, straight: bool = False
) -> Scenario:
    """Return the job of an order, or of some of its pieces, on a saw that is not set up for it."""
    longest = max(bar.length_mm for bar in shift.bars_for(order))
    return Scenario(
        title=shift.title,
        mode="practice",
        machine=shift.machine,
        ready=False,
        stock=StockFound(material=order.material, section=order.section, length_mm=longest),
        job=JobWanted(
            length_mm=order.length_mm,
            wanted=pieces,
            mitre_deg=order.mitre_deg,
            first="straight" if straight else "square",
            tolerance_mm=order.tolerance_mm,
        ),
    )


def is_shift(path: Path, content: bytes | None = None) -> bool:
    """Return whether a file is one of a shift, by what stands in it.

    Raises:
        ScenarioError: The file cannot be read.
    """
    value = load(path, content).value
    return isinstance(value, dict) and ("orders" in value or "rack" in value)


def read_shift(
    path: Path, vocabulary_for: Callable[[Shift], Vocabulary], content: bytes | None = None
) -> Shift:
    """Return the shift that a file holds, every name in it checked.

    Args:
        path: The file.
        vocabulary_for: Returns the names that it may use.
        content: What the file holds, where it need not be there any more.

    Raises:
        ScenarioError: The file is refused; `where` is `path:line:column`.
    """
    located = load(path, content, Expected(Shift))
    shift = model_from(located, Shift)
    _check_names(located, shift, vocabulary_for(shift))
    shift._folder = path.parent
    return shift


def _check_names(located: Located, shift: Shift, vocabulary: Vocabulary) -> None:
    used = (
        (("machine",), shift.machine, "machine", vocabulary.machines),
        *(
            ((part, index, "material"), each.material, "metal", vocabulary.materials)
            for part, rows in shift.lists
            for index, each in enumerate(rows)
        ),
    )
    for place, given, kind, names in used:
        if names is not None and given not in names:
            refuse(located, place, UNKNOWN(kind=kind, name=shown(given)), nearest(given, names))
    for index, order in enumerate(shift.orders):
        if not shift.bars_for(order):
            refuse(located, ("orders", index, "section"), _NO_BAR(order=order.name), _NO_BAR_DO)
