"""The safety relay K0: two channels through the emergency stops, and a monitored reset.

Theory. Each emergency stop has a contact in each channel; a channel holds one of two relays inside,
and every path that K0 switches goes through a contact of both. So either channel alone opens it, and
neither closes it. It compares them: a channel that opened while the other did not has a contact or a
wire that failed, and K0 stays out until both have been open together. It pulls in only when its reset
key comes up (ISO 13849-1, 5.2.2, from memory) while both channels are closed and its feedback loop
says that the contactors behind it have dropped.

Never here: what hangs on it (see `power`), and the controller, which sees no more of it than one wire.
"""

from typing import Final

STOPS: Final = ("S1", "S9")
CHANNELS: Final = (1, 2)

Contact = tuple[str, int]
"""A stop and one of its channels."""


class SafetyRelay:
    """Which of its two relays are in, and what keeps it out."""

    def __init__(self) -> None:
        # Contacts that stay closed or open, whatever the stop does.
        self.spoilt: dict[Contact, bool] = {}
        self.welded: set[int] = set()  # relays inside that stay in
        # One channel opened alone, and both have not been open together since.
        self.disagreed = False
        self._in = dict.fromkeys(CHANNELS, False)

    @property
    def closed(self) -> bool:
        """Whether what hangs on it is fed: both relays are in."""
        pulled, welded = self._in, self.welded
        return (pulled[1] or 1 in welded) and (pulled[2] or 2 in welded)

    @property
    def relays(self) -> tuple[bool, bool]:
        """Whether each of the two relays inside is in."""
        pulled, welded = self._in, self.welded
        return pulled[1] or 1 in welded, pulled[2] or 2 in welded

    @property
    def pulled(self) -> tuple[bool, bool]:
        """Whether each of the two has been pulled in and not let go, a welded contact apart."""
        return self._in[1], self._in[2]

    def put(self, pulled: tuple[bool, bool], disagreed: bool) -> None:
        """Put it into a state, as `pulled` and `disagreed` told it."""
        self._in = dict(zip(CHANNELS, pulled, strict=True))
        self.disagreed = disagreed

    def channel_closed(self, channel: int, out: dict[str, bool]) -> bool:
        """Return whether a channel is closed.

        Args:
            channel: 1 or 2.
            out: Whether each stop is out, by its tag.
        """
        return all(self.spoilt.get((stop, channel), out[stop]) for stop in STOPS)

    def feel(self, fed: bool, out: dict[str, bool]) -> None:
        """Drop what the channels no longer hold.

        Args:
            fed: Whether it has its own 24 V.
            out: Whether each stop is out, by its tag.
        """
        closed = {channel: fed and self.channel_closed(channel, out) for channel in CHANNELS}
        if fed:
            one, other = closed.values()
            self.disagreed = one != other or (self.disagreed and one)
        # A relay held by its own channel drops with the other: each also hangs on a contact of the other.
        both = all(closed.values())
        for channel in CHANNELS:
            self._in[channel] = self._in[channel] and both

    def drop(self) -> None:
        """Let both relays go: their voltage sagged."""
        self._in = dict.fromkeys(CHANNELS, False)

    def reset(self, fed: bool, out: dict[str, bool], *, loop: bool) -> None:
        """Pull in, if nothing is against it: the reset key has come up.

        Args:
            fed: Whether it has its own 24 V.
            out: Whether each stop is out, by its tag.
            loop: Whether the feedback loop is closed.
        """
        if not fed or not loop or self.disagreed or self.welded:
            return
        if all(self.channel_closed(channel, out) for channel in CHANNELS):
            self._in = dict.fromkeys(CHANNELS, True)
