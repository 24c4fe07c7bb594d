"""What goes wrong by a mistake in this program, found when it starts or when a table is read.

Nobody at the saw can put it right, so it is in English only and ends in the log of bugs.
Never here: what a reader can put right (see `sim.errors`).
"""


class TableError(Exception):
    """A table of this program contradicts itself, or is asked for what it does not hold.

    Args:
        what: What is wrong, as a clause.
        where: The table, and the row in it; empty where the clause says so.
    """

    def __init__(self, what: str, where: str = "") -> None:
        super().__init__(f"{where}: {what}" if where else what)
