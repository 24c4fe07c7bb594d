"""Splitting rectangles: margins, columns, rows, grids, and strips off one side."""

from collections.abc import Sequence

from pygame import Rect


def inset(rect: Rect, x: int, y: int | None = None) -> Rect:
    """Return the rectangle less a margin on every side, px."""
    return rect.inflate(-2 * x, -2 * (x if y is None else y))


def columns(rect: Rect, weights: Sequence[float], gap: int = 0) -> list[Rect]:
    """Return rectangles side by side, as wide as their weights say."""
    room = rect.width - gap * (len(weights) - 1)
    total = sum(weights)
    placed: list[Rect] = []
    done = 0.0
    for index, weight in enumerate(weights):
        left = rect.left + round(room * done / total) + gap * index
        done += weight
        right = rect.left + round(room * done / total) + gap * index
        placed.append(Rect(left, rect.top, right - left, rect.height))
    return placed


def rows(rect: Rect, weights: Sequence[float], gap: int = 0) -> list[Rect]:
    """Return rectangles one under another, as high as their weights say."""
    turned = columns(Rect(rect.top, rect.left, rect.height, rect.width), weights, gap)
    return [Rect(r.top, r.left, r.height, r.width) for r in turned]


def grid(rect: Rect, across: int, row_height: int, count: int, gap: int) -> list[Rect]:
    """Return so many cells of one height, row by row from the top, as many across as said."""
    cells: list[Rect] = []
    for index in range(count):
        row, column = divmod(index, across)
        band = Rect(rect.left, rect.top + row * (row_height + gap), rect.width, row_height)
        cells.append(columns(band, [1] * across, gap)[column])
    return cells


def from_left(rect: Rect, width: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return a strip of a width at the left, and what is left over."""
    return (
        Rect(rect.left, rect.top, width, rect.height),
        Rect(rect.left + width + gap, rect.top, max(rect.width - width - gap, 0), rect.height),
    )


def from_right(rect: Rect, width: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return a strip of a width at the right, and what is left over."""
    return (
        Rect(rect.right - width, rect.top, width, rect.height),
        Rect(rect.left, rect.top, max(rect.width - width - gap, 0), rect.height),
    )


def from_top(rect: Rect, height: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return a strip of a height at the top, and what is left over."""
    return (
        Rect(rect.left, rect.top, rect.width, height),
        Rect(rect.left, rect.top + height + gap, rect.width, max(rect.height - height - gap, 0)),
    )


def from_bottom(rect: Rect, height: int, gap: int = 0) -> tuple[Rect, Rect]:
    """Return a strip of a height at the bottom, and what is left over."""
    return (
        Rect(rect.left, rect.bottom - height, rect.width, height),
        Rect(rect.left, rect.top, rect.width, max(rect.height - height - gap, 0)),
    )
