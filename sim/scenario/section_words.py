"""A bar's section typed as a word: `round:60`, `square-tube:50x4`, `3*round:20`.

Goes through the same models as scenario files, so the same limits hold.
"""

from typing import Final

from pydantic import TypeAdapter, ValidationError

from sim.errors import CommandError
from sim.scenario.stock import Bar, Stock
from sim.scenario.wording import nearest, told
from sim.trade.sections import Bar as BarSection
from sim.trade.sections import Bundle, Section

SHAPES: Final[dict[str, tuple[str, ...]]] = {
    "round": ("diameter_mm",),
    "square": ("side_mm",),
    "rectangle": ("width_mm", "height_mm"),
    "round-tube": ("diameter_mm", "wall_mm"),
    "square-tube": ("side_mm", "wall_mm"),
    "rectangular-tube": ("width_mm", "height_mm", "wall_mm"),
    "angle": ("leg_mm", "thickness_mm"),
    "i-beam": ("height_mm", "width_mm", "web_mm", "flange_mm"),
}
_EXAMPLE: Final = "write it like round:60, square-tube:50x4 or 3*round:20"
_BAR: Final[TypeAdapter[Bar]] = TypeAdapter(Bar)


def section_from(word: str) -> Section:
    """Return the section that a word describes, sizes in mm.

    Raises:
        CommandError: No such shape, or sizes that make no bar.
    """
    count_word, star, one = word.partition("*")
    if not star:
        return _one(word)
    if not count_word.isdigit() or not 1 <= int(count_word) <= 20:
        raise CommandError(f"{count_word!r} is not a number of bars", "section", _EXAMPLE)
    return Bundle(_one(one), int(count_word), 1)


def _number(text: str) -> float:
    number = float(text)
    return int(number) if number.is_integer() else number


def _one(word: str) -> BarSection:
    shape, _, sizes_word = word.partition(":")
    if shape not in SHAPES:
        raise CommandError(f"there is no section {shape!r}", "section", nearest(shape, SHAPES))
    names = SHAPES[shape]
    try:
        sizes = [_number(size) for size in sizes_word.split("x")]
    except ValueError:
        raise CommandError(f"{sizes_word!r} is not sizes in mm", "section", _EXAMPLE) from None
    if len(sizes) != len(names):
        wanted = " x ".join(name.removesuffix("_mm") for name in names)
        raise CommandError(f"{shape} takes {wanted}", "section", _EXAMPLE)
    try:
        bar = _BAR.validate_python({"shape": shape, **dict(zip(names, sizes, strict=True))})
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        field = str(first["loc"][-1]) if first["loc"] else ""
        where = f"{field.removesuffix('_mm')} of {word}" if field in names else word
        what, what_to_do = told(first, Stock)
        raise CommandError(
            f"{where}: {what}", "section", f"{what_to_do}; {_EXAMPLE}"
        ) from None  # fmt: skip
    return bar.to_section()
