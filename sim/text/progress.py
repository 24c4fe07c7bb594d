"""How far something has come: one line on standard error that is written over, and then cleared."""

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

_Item = TypeVar("_Item")


@contextmanager
def standing_line() -> Iterator[Callable[[str], None]]:
    """Give a function that shows words on the line; nothing is shown where nobody would see it."""
    if not sys.stderr.isatty():
        yield lambda _words: None
        return
    longest = 0

    def show(words: str) -> None:
        nonlocal longest
        longest = max(longest, len(words))
        sys.stderr.write(f"\r{words.ljust(longest)}\r")
        sys.stderr.flush()

    try:
        yield show
    finally:
        show("")


def say_ahead(words: str) -> None:
    """Say once on standard error what is to come, where a standing line would not be seen."""
    if not sys.stderr.isatty():
        sys.stderr.write(f"{words}\n")
        sys.stderr.flush()


def tracked(
    items: Iterable[_Item], words: str, total: int, *, quiet: bool = False
) -> Iterator[_Item]:
    """Yield items, and show how many of them have come.

    Args:
        items: What takes its time.
        words: What is being done.
        total: How many items there are.
        quiet: Show nothing.
    """
    with standing_line() as show:
        if not quiet:
            show(f"{words} 0/{total}")
        for number, item in enumerate(items, 1):
            yield item
            if not quiet:
                show(f"{words} {number}/{total}")
