"""Two kinds of change that cosmic-ray has not: what makes a table or a function do less than it did.

A row that vanishes from a table, an argument that is not given, a statement that is not done.
"""

from collections.abc import Iterator, Sequence

import parso
from cosmic_ray.operators.operator import Example, Operator
from parso.tree import BaseNode, NodeOrLeaf

_LISTS = ("arglist", "testlist", "testlist_comp", "testlist_star_expr", "dictorsetmaker")
Place = tuple[tuple[int, int], tuple[int, int]]


def _elements(node: BaseNode) -> list[list[NodeOrLeaf]]:
    """Return the elements between the commas of a node; none of what is no list."""
    if node.type not in _LISTS or "," not in node.children:
        return []
    if node.get_next_sibling() == "=":
        return []  # names that are given values
    found: list[list[NodeOrLeaf]] = [[]]
    for child in node.children:
        if child == ",":
            found.append([])
        else:
            found[-1].append(child)
    return [element for element in found if element]


class LeaveOut(Operator):
    """Leaves out an element of a tuple, list, set or mapping, or an argument of a call."""

    def mutation_positions(self, node: NodeOrLeaf) -> Iterator[Place]:
        """Yield the place of every element."""
        if isinstance(node, BaseNode):
            for element in _elements(node):
                yield element[0].start_pos, element[-1].end_pos
            if node.type == "trailer" and node.children[1].type == "argument":
                yield node.children[1].start_pos, node.children[1].end_pos

    def mutate(self, node: BaseNode, index: int) -> NodeOrLeaf:
        """Return the node without that element."""
        if node.type == "trailer":
            return parso.parse("()")
        said = ["".join(part.get_code() for part in element) for element in _elements(node)]
        del said[index]
        before = node.get_first_leaf().prefix if index == 0 else ""
        return parso.parse(before + "".join(f"{each}," for each in said))

    @classmethod
    def examples(cls) -> Sequence[Example]:
        """Return what it does."""
        return (Example("x = (1, 2)", "x = (1,)", occurrence=1),)


class LeaveUndone(Operator):
    """Does nothing where a function had a statement."""

    def mutation_positions(self, node: NodeOrLeaf) -> Iterator[Place]:
        """Yield the place of a simple statement of a function that is no docstring and no `pass`."""
        if node.type == "simple_stmt" and parso.python.tree.search_ancestor(node, "funcdef"):
            done = node.children[0]
            if (
                done.type not in ("string", "strings", "import_from", "import_name")
                and done != "pass"
            ):
                yield done.start_pos, done.end_pos

    def mutate(self, node: NodeOrLeaf, index: int) -> NodeOrLeaf:
        """Return `pass` in its place."""
        del index
        indent = node.get_first_leaf().prefix
        return parso.parse(f"{indent}pass\n")

    @classmethod
    def examples(cls) -> Sequence[Example]:
        """Return what it does."""
        return (Example("def f():\n    g()\n", "def f():\n    pass\n"),)
