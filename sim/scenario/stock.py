"""The bar on the saw, as a scenario file describes it: metal, section, length, how it was found.

Shop units here (the unit is in the name), SI in `sim.trade.sections`, which `to_section` builds.
Never here: what a cut through it does.
"""

from typing import Annotated, Final, Literal, Self

from pydantic import BaseModel, Field, model_validator

from sim.scenario.reading import PLAIN
from sim.scenario.wording import wrong
from sim.trade import sections
from sim.units import m_from_mm, mm_from_m
from sim.words.fields import name, one_of
from sim.words.message import plain, row

LARGEST_MM = 250.0

_SOLID: Final = row(
    "stock.solid",
    "a thickness of {wall} mm leaves nothing open in {outside} mm",
    wall=name(), outside=name(),
)  # fmt: skip
_SOLID_DO: Final = row("stock.solid.do", "give less than {limit}, or a solid shape", limit=name())
_WEB: Final = row(
    "stock.web",
    "a web of {web} mm is as wide as the beam, {width} mm",
    web=name(), width=name(),
)  # fmt: skip
_WEB_DO: Final = row("stock.web.do", "give less than {limit}", limit=name())
_LARGE: Final = row(
    "stock.large",
    "the {size} comes to {there} mm, and the saw takes {most} mm",
    size=one_of("width", "height"), there=name(), most=name(),
)  # fmt: skip
_SMALLER: Final = plain("stock.large.smaller", "give a smaller bar")
_FEWER: Final = plain("stock.large.fewer", "give fewer bars")
_FRONT: Final = row(
    "stock.front",
    "the bar's end stands {front} mm past the band, and the bar is {length} mm long",
    front=name(), length=name(),
)  # fmt: skip
_BOWED: Final = plain("stock.bowed", "bars of a bundle are taken as straight")
_STRAIGHT: Final = plain("stock.bowed.do", "leave bow_mm_m out, or give a single bar")
_STRESSED: Final = plain("stock.stressed", "bars of a bundle are taken as free of stress")
_RELIEVED: Final = plain("stock.stressed.do", "leave stress_mpa out, or give a single bar")
_AT_MOST: Final = row("stock.at-most", "give at most {limit}", limit=name())

_THINNEST_MM: Final = 0.1

SizeMm = Annotated[float, Field(ge=1, le=LARGEST_MM)]
WallMm = Annotated[float, Field(ge=_THINNEST_MM, lt=LARGEST_MM / 2)]


def _check_wall(field: str, wall_mm: float, outside_mm: float) -> None:
    if 2.0 * wall_mm >= outside_mm:
        what = _SOLID(wall=f"{wall_mm:g}", outside=f"{outside_mm:g}")
        raise wrong(what, _SOLID_DO(limit=f"{outside_mm / 2.0:g}"), (field,))


class RoundBar(BaseModel):
    """A solid round bar."""

    model_config = PLAIN
    shape: Literal["round"]
    diameter_mm: SizeMm

    def to_section(self) -> sections.Round:
        """Return the section in SI."""
        return sections.Round(m_from_mm(self.diameter_mm))


class SquareBar(BaseModel):
    """A solid square bar."""

    model_config = PLAIN
    shape: Literal["square"]
    side_mm: SizeMm

    def to_section(self) -> sections.Square:
        """Return the section in SI."""
        return sections.Square(m_from_mm(self.side_mm))


class FlatBar(BaseModel):
    """A solid flat bar, lying on its width."""

    model_config = PLAIN
    shape: Literal["rectangle"]
    width_mm: SizeMm
    height_mm: SizeMm

    def to_section(self) -> sections.Rectangle:
        """Return the section in SI."""
        return sections.Rectangle(m_from_mm(self.width_mm), m_from_mm(self.height_mm))


class RoundTubeSection(BaseModel):
    """A round tube."""

    model_config = PLAIN
    shape: Literal["round-tube"]
    diameter_mm: SizeMm
    wall_mm: WallMm

    @model_validator(mode="after")
    def _is_hollow(self) -> Self:
        _check_wall("wall_mm", self.wall_mm, self.diameter_mm)
        return self

    def to_section(self) -> sections.RoundTube:
        """Return the section in SI."""
        return sections.RoundTube(m_from_mm(self.diameter_mm), m_from_mm(self.wall_mm))


class SquareTubeSection(BaseModel):
    """A square tube."""

    model_config = PLAIN
    shape: Literal["square-tube"]
    side_mm: SizeMm
    wall_mm: WallMm

    @model_validator(mode="after")
    def _is_hollow(self) -> Self:
        _check_wall("wall_mm", self.wall_mm, self.side_mm)
        return self

    def to_section(self) -> sections.SquareTube:
        """Return the section in SI."""
        return sections.SquareTube(m_from_mm(self.side_mm), m_from_mm(self.wall_mm))


class RectangularTubeSection(BaseModel):
    """A rectangular tube, lying on its width."""

    model_config = PLAIN
    shape: Literal["rectangular-tube"]
    width_mm: SizeMm
    height_mm: SizeMm
    wall_mm: WallMm

    @model_validator(mode="after")
    def _is_hollow(self) -> Self:
        _check_wall("wall_mm", self.wall_mm, min(self.width_mm, self.height_mm))
        return self

    def to_section(self) -> sections.RectangularTube:
        """Return the section in SI."""
        width_m, height_m = m_from_mm(self.width_mm), m_from_mm(self.height_mm)
        return sections.RectangularTube(width_m, height_m, m_from_mm(self.wall_mm))


class AngleBar(BaseModel):
    """An equal-leg angle, standing as an inverted V."""

    model_config = PLAIN
    shape: Literal["angle"]
    leg_mm: SizeMm
    thickness_mm: WallMm

    @model_validator(mode="after")
    def _has_two_legs(self) -> Self:
        _check_wall("thickness_mm", self.thickness_mm, self.leg_mm)
        return self

    def to_section(self) -> sections.Angle:
        """Return the section in SI."""
        return sections.Angle(m_from_mm(self.leg_mm), m_from_mm(self.thickness_mm))


class IBeamSection(BaseModel):
    """An I-beam, web upright."""

    model_config = PLAIN
    shape: Literal["i-beam"]
    height_mm: SizeMm
    width_mm: SizeMm
    web_mm: Annotated[float, Field(ge=_THINNEST_MM, lt=LARGEST_MM)]
    flange_mm: WallMm

    @model_validator(mode="after")
    def _has_web_and_flanges(self) -> Self:
        _check_wall("flange_mm", self.flange_mm, self.height_mm)
        if self.web_mm >= self.width_mm:
            what = _WEB(web=f"{self.web_mm:g}", width=f"{self.width_mm:g}")
            raise wrong(what, _WEB_DO(limit=f"{self.width_mm:g}"), ("web_mm",))
        return self

    def to_section(self) -> sections.IBeam:
        """Return the section in SI."""
        return sections.IBeam(
            m_from_mm(self.height_mm),
            m_from_mm(self.width_mm),
            m_from_mm(self.web_mm),
            m_from_mm(self.flange_mm),
        )


AnySection = Annotated[
    RoundBar
    | SquareBar
    | FlatBar
    | RoundTubeSection
    | SquareTubeSection
    | RectangularTubeSection
    | AngleBar
    | IBeamSection,
    Field(discriminator="shape"),
]


class BundleOfBars(BaseModel):
    """Equal bars held together: how many lie side by side, in how many rows."""

    model_config = PLAIN
    count: int = Field(ge=1, le=20, description="Bars side by side in a row.")
    rows: int = Field(default=1, ge=1, le=10, description="Rows, one straight on top of another.")


class StockFound(BaseModel):
    """The bar, or bundle of bars, that lies on the saw when the trainee comes to it."""

    model_config = PLAIN
    material: str = Field(min_length=1, max_length=40, description="A name from the metals' list.")
    section: AnySection = Field(description="The bar's shape and its sizes in millimetres.")
    bundle: BundleOfBars | None = Field(default=None, description="Leave out for a single bar.")
    length_mm: float = Field(ge=1, le=12_000, description="Length of the bar.")
    front_mm: float = Field(
        default=0.0,
        ge=-600,
        le=600,
        description="How far the bar's end stands past the plane of the band when found.",
    )
    bow_mm_m: float = Field(
        default=0.0,
        ge=0,
        le=10,
        description="How far the bar is bowed to one side, in any metre of it; 0 is straight.",
    )

    stress_mpa: float = Field(
        default=0.0,
        ge=0,
        le=400,
        description="Pressure locked in the bar's skin, which closes a kerf on the band; 0 is none.",
    )

    @model_validator(mode="after")
    def _fits_the_saw(self) -> Self:
        section = self.to_section()
        for size, size_mm in (
            ("width", mm_from_m(section.width_m)),
            ("height", mm_from_m(section.height_m)),
        ):
            if size_mm > LARGEST_MM * (1.0 + 1e-9):
                what = _LARGE(size=size, there=f"{size_mm:g}", most=f"{LARGEST_MM:g}")
                if self.bundle is None:
                    raise wrong(what, _SMALLER, ("section",))
                raise wrong(what, _FEWER, ("bundle",))
        if self.bow_mm_m and self.bundle is not None:
            raise wrong(_BOWED, _STRAIGHT, ("bow_mm_m",))
        if self.stress_mpa and self.bundle is not None:
            raise wrong(_STRESSED, _RELIEVED, ("stress_mpa",))
        if self.front_mm > self.length_mm:
            length = f"{self.length_mm:g}"
            what = _FRONT(front=f"{self.front_mm:g}", length=length)
            raise wrong(what, _AT_MOST(limit=length), ("front_mm",))
        return self

    def to_section(self) -> sections.Section:
        """Return the section that the band meets, in SI, bundled if it is a bundle."""
        bar = self.section.to_section()
        if self.bundle is None:
            return bar
        return sections.Bundle(bar, self.bundle.count, self.bundle.rows)
