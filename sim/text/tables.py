"""Prints tables: with rich, ruled for a terminal, plain and unwrapped for a pipe."""

import sys
from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

_PIPE_WIDTH = 400  # wide enough that nothing is folded when another program reads


def console() -> Console:
    """Return the console for standard output."""
    width = None if sys.stdout.isatty() else _PIPE_WIDTH
    return Console(width=width, highlight=False, soft_wrap=False)


def print_table(title: str, heads: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Print a table; numbers in it are set to the right."""
    listed = [[str(cell) for cell in row] for row in rows]
    if not sys.stdout.isatty():
        _print_plain(title, heads, listed)
        return
    table = Table(title=title, box=box.SIMPLE_HEAD, title_justify="left", title_style="bold")
    for index, head in enumerate(heads):
        numeric = bool(listed) and all(_is_number(row[index]) for row in listed)
        table.add_column(head, justify="right" if numeric else "left", overflow="fold")
    for row in listed:
        table.add_row(*row)
    console().print(table)


def _print_plain(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    widths = [max(len(line[i]) for line in [list(heads), *rows]) for i in range(len(heads))]
    lines = [title, *("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip()
                      for row in [heads, *rows])]  # fmt: skip
    console().print("\n".join(lines), markup=False)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
