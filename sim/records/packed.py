"""A record's lines in memory, packed: without their hashes, which can be worked out, and compressed.

A session of months fits, and the whole record can be written once more wherever there is room.

Never here: a file.
"""

import zlib
from collections.abc import Iterator
from typing import Final

from sim.records.chain import Links

_AT_ONCE: Final = 1 << 16  # bytes that are taken out of the pack together


class PackedLines:
    """The lines of one record so far."""

    def __init__(self) -> None:
        self._press = zlib.compressobj(level=6)
        self._pressed = bytearray()

    def add(self, kind: str, content: str) -> None:
        """Keep a line by its kind and by what it holds, which is JSON and so has no line end in it."""
        self._pressed += self._press.compress(f"{kind} {content}\n".encode())

    def lines(self, first: int = 0) -> Iterator[bytes]:
        """Yield the lines as a file holds them, from the one with that number on."""
        links = Links()
        for number, packed in enumerate(self._contents()):
            kind, _, content = packed.decode().partition(" ")
            line = links.next_line(kind, content)
            links.accept(line)
            if number >= first:
                yield line.encode()

    def _contents(self) -> Iterator[bytes]:
        # Flushed on a copy: the pack itself goes on as if nobody had looked.
        pressed = memoryview(bytes(self._pressed) + self._press.copy().flush())
        unpack, begun = zlib.decompressobj(), b""
        for at in range(0, len(pressed), _AT_ONCE):
            *whole, begun = (begun + unpack.decompress(pressed[at : at + _AT_ONCE])).split(b"\n")
            yield from whole
