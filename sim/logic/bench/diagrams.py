"""State diagrams of the machines, as Mermaid text and as our own SVG.

A state has its name, which the tables, the prints and the record use, and in a drawing below it the
words of the reader's language where they are others. Mermaid text is read by programs and has names
only.

Layout: the states stand in layers, one below the other in the order in which they are reached from
the first; a step to the next layer runs straight down, any other in a lane of its own, down on the
right and back up on the left, so that no line runs through a box and no two words meet. An event
that leads to one state from many is drawn once, and the note below says from which.

Never here: a state.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from sim.control.nouns import THE, state_word
from sim.control.table import StateTable, TableRow
from sim.words.fields import name, part
from sim.words.message import row
from sim.words.speech import reader, tell

MANY: Final = 4  # from so many states on, an event is drawn once
_CHAR: Final = 7.0  # px, of the lettering used
_PORT: Final = 16  # px between two lines at a box
_GAP: Final = 44  # px between two boxes
_LANE: Final = 12  # px between two lanes
_NOTE: Final = 18  # px, a line of notes
_LINE: Final = 12  # px, from a state's name to its words
_MARGIN: Final = 16


@dataclass(frozen=True, slots=True)
class Edge:
    """Steps from one state to another, with all events that make it."""

    state: str
    to: str
    events: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Lane:
    edge: Edge
    number: int
    from_y: float
    to_y: float


def mermaid(table: StateTable) -> str:
    """Return every row of a machine as a Mermaid state diagram."""
    lines = ["stateDiagram-v2", f"    [*] --> {table.initial}"]
    lines += [f"    {row.state} --> {row.to}: {row.event}" for row in table.rows]
    return "\n".join(lines)


def layers(table: StateTable) -> tuple[str, ...]:
    """Return the states in the order of the layers: along the rows from the first state."""
    order = [table.initial]
    while len(order) < len(table.states):
        ahead = (row.to for state in reversed(order) for row in table.rows
                 if row.state == state and row.to not in order)  # fmt: skip
        order.append(next(ahead))
    return tuple(order)


def fans(table: StateTable) -> dict[tuple[str, str], tuple[str, ...]]:
    """Return the (event, state led to) that many states have, with those states."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for step in table.rows:
        found[(step.event, step.to)] = (*found.get((step.event, step.to), ()), step.state)
    return {key: states for key, states in found.items() if len(states) >= MANY}


def edges(rows: Sequence[TableRow]) -> tuple[Edge, ...]:
    """Return rows as edges, those between the same two states as one."""
    pairs = dict.fromkeys((row.state, row.to) for row in rows)
    return tuple(
        Edge(state, to, tuple(r.event for r in rows if (r.state, r.to) == (state, to)))
        for state, to in pairs
    )


def svg(table: StateTable) -> str:
    """Return a machine as a drawing, black on white, that stands by itself or in a page."""
    return _Drawing(table).text()


class _Drawing:
    """Places the boxes and the lanes of one machine."""

    def __init__(self, table: StateTable) -> None:
        self.table = table
        self.order = layers(table)
        self.fans = fans(table)
        drawn = [row for row in table.rows if (row.event, row.to) not in self.fans]
        self.straight: list[Edge] = []
        self.right: list[Edge] = []
        self.left: list[Edge] = []
        for edge in edges(drawn):
            step = self.order.index(edge.to) - self.order.index(edge.state)
            (self.straight if step == 1 else self.right if step > 0 else self.left).append(edge)
        self.words = {state: _in_words(table, state) for state in self.order}
        longest = max(max(len(_named(state)), len(self.words[state])) for state in self.order)
        self.box_w = longest * _CHAR + 24
        self.tops: dict[str, float] = {}
        self.heights: dict[str, float] = {}
        y = float(_MARGIN + 26)
        for state in self.order:
            ports = max(self._ports(state, self.right), self._ports(state, self.left, fans=True))
            self.tops[state] = y
            self.heights[state] = max(30.0, ports * _PORT + 8.0)
            y += self.heights[state] + _GAP
        self.bottom = y - _GAP
        self.lanes_right = self._lanes(self.right, fans=False)
        self.lanes_left = self._lanes(self.left, fans=True)
        fan_words = [f"{_named(event)} *" for event, _ in self.fans]
        self.gutter_right = self._gutter(self.right, [])
        self.gutter_left = self._gutter(self.left, fan_words)
        if self.right:  # the lanes keep clear of the words beside the straight steps
            below = max((len(_word(edge)) for edge in self.straight), default=0)
            self.gutter_right = max(self.gutter_right, below * _CHAR + 14 - self.box_w / 2)
        lanes_left = max((lane.number + 1 for lane in self.lanes_left), default=0)
        self.box_x = _MARGIN + self.gutter_left + lanes_left * _LANE

    def _ports(self, state: str, along: Sequence[Edge], *, fans: bool = False) -> int:
        count = sum((edge.state == state) + (edge.to == state) for edge in along)
        return count + (sum(to == state for _, to in self.fans) if fans else 0)

    def _gutter(self, along: Sequence[Edge], words: Sequence[str]) -> float:
        longest = max((len(_word(edge)) for edge in along), default=0)
        longest = max(longest, max(map(len, words), default=0))
        return longest * _CHAR + 14 if longest else 0.0

    def _lanes(self, along: Sequence[Edge], *, fans: bool) -> list[_Lane]:
        """Give every edge its two ports, and the innermost lane that is free over its length."""
        next_port = dict.fromkeys(self.order, 0)
        if fans:
            for _, to in self.fans:
                next_port[to] += 1
        found: list[_Lane] = []
        for edge in sorted(along, key=self._length):
            from_y, to_y = (self._port(state, next_port) for state in (edge.state, edge.to))
            low, high = sorted((from_y, to_y))
            number = 0
            while any(lane.number == number and _meet(lane, low, high) for lane in found):
                number += 1
            found.append(_Lane(edge, number, from_y, to_y))
        return found

    def _length(self, edge: Edge) -> int:
        return abs(self.order.index(edge.to) - self.order.index(edge.state))

    def _port(self, state: str, next_port: dict[str, int]) -> float:
        y = self.tops[state] + 13 + next_port[state] * _PORT
        next_port[state] += 1
        return y

    # Drawing ------------------------------------------------------------------------------

    def text(self) -> str:
        """Return the SVG."""
        notes = self._notes()
        lanes_right = max((lane.number + 1 for lane in self.lanes_right), default=0)
        below = [_word(edge) for edge in self.straight]
        right = max(
            self.box_w + self.gutter_right + lanes_right * _LANE,
            self.box_w / 2 + max(map(len, below), default=0) * _CHAR + 12,
        )
        notes_w = max(map(len, notes), default=0) * _CHAR + 2 * _MARGIN
        width = max(self.box_x + right + _MARGIN, notes_w)
        height = self.bottom + _MARGIN + len(notes) * _NOTE
        title = escape(tell(_STATES_OF(machine=THE[self.table.name])))
        body = "\n".join(self._parts(notes))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
            f'width="{width:.0f}" height="{height:.0f}" role="img" aria-label="{title}" '
            f'font-family="monospace" font-size="11.5">\n{_STYLE}\n{body}\n</svg>'
        )

    def _parts(self, notes: Sequence[str]) -> Iterator[str]:
        centre = self.box_x + self.box_w / 2
        top = self.tops[self.order[0]]
        yield f'<circle cx="{centre:.1f}" cy="{top - 24:.1f}" r="5"/>'
        yield _arrow(f"M{centre:.1f},{top - 19:.1f} V{top:.1f}")
        for edge in self.straight:
            yield from self._down(edge, centre)
        edge_x = self.box_x + self.box_w
        for lane in self.lanes_right:
            yield from self._lane(lane, edge_x, self.gutter_right, 1)
        for lane in self.lanes_left:
            yield from self._lane(lane, self.box_x, self.gutter_left, -1)
        yield from self._fans()
        for state in self.order:
            y, height = self.tops[state], self.heights[state]
            yield (
                f'<rect x="{self.box_x:.1f}" y="{y:.1f}" width="{self.box_w:.1f}" '
                f'height="{height:.1f}" rx="6"/>'
            )
            middle, words = y + height / 2 + 4, self.words[state]
            yield _words(centre, middle - (_LINE / 2 if words else 0), _named(state), "middle")
            if words:
                yield _words(centre, middle + _LINE / 2, words, "middle")
        for index, note in enumerate(notes):
            yield _words(_MARGIN, self.bottom + _MARGIN + 10 + index * _NOTE, note, "start")

    def _down(self, edge: Edge, centre: float) -> Iterator[str]:
        from_y = self.tops[edge.state] + self.heights[edge.state]
        yield _arrow(f"M{centre:.1f},{from_y:.1f} V{self.tops[edge.to]:.1f}")
        yield _words(centre + 6, from_y + _GAP / 2 + 3, _word(edge), "start")

    def _lane(self, lane: _Lane, edge_x: float, gutter: float, side: int) -> Iterator[str]:
        x = edge_x + side * (gutter + lane.number * _LANE)
        yield _arrow(f"M{edge_x:.1f},{lane.from_y:.1f} H{x:.1f} V{lane.to_y:.1f} H{edge_x:.1f}")
        anchor = "start" if side > 0 else "end"
        yield _words(edge_x + side * 6, lane.from_y - 3, _word(lane.edge), anchor)

    def _fans(self) -> Iterator[str]:
        taken = dict.fromkeys(self.order, 0)
        for event, to in self.fans:
            y = self._port(to, taken)
            start = self.box_x - self.gutter_left + 8
            yield _arrow(f"M{start:.1f},{y:.1f} H{self.box_x:.1f}", dashed=True)
            yield _words(self.box_x - 8, y - 3, f"{_named(event)} *", "end")

    def _notes(self) -> list[str]:
        lines: list[str] = []
        for (event, to), states in self.fans.items():
            lines.append(tell(_LEADS(event=event, to=to)))
            names = [_named(state) for state in states]
            lines += [f"    {', '.join(names[i : i + 4])}" for i in range(0, len(names), 4)]
        return lines


_STATES_OF: Final = row("diagram.states-of", "States of {machine}", machine=part())
_LEADS: Final = row("diagram.leads", "* {event} leads to {to} from", event=name(), to=name())
_STYLE: Final = (
    "<style>rect{fill:#fff;stroke:#000;stroke-width:1.4}path{fill:none;stroke:#000}"
    ".d{stroke-dasharray:4 3}text{fill:#000;paint-order:stroke;stroke:#fff;stroke-width:3px}</style>"
    '<defs><marker id="tip" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="8" markerHeight="8" '
    'orient="auto"><polygon points="0,0 8,4 0,8"/></marker></defs>'
)


def _named(identifier: str) -> str:
    return reader().name(identifier)


def _in_words(table: StateTable, state: str) -> str:
    """Return a state in the words of the reader's language; nothing where they are its name."""
    words = tell(state_word(table.name, state))
    return "" if words.upper() == state.replace("_", " ") else words


def _word(edge: Edge) -> str:
    return ", ".join(map(_named, edge.events))


def _meet(lane: _Lane, low: float, high: float) -> bool:
    lane_low, lane_high = sorted((lane.from_y, lane.to_y))
    return lane_low <= high and low <= lane_high


def _arrow(path: str, *, dashed: bool = False) -> str:
    kind = ' class="d"' if dashed else ""
    return f'<path d="{path}"{kind} marker-end="url(#tip)"/>'


def _words(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" xml:space="preserve">'
        f"{escape(words)}</text>"
    )
