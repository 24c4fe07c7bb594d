"""What one change to a file is."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Change:
    """One change to a file, and what the file is then."""

    function: str  # in which it is made, with its class; empty for the file itself
    before: str  # the lines that it changes, without their indent
    after: str
    code: str

    @property
    def place(self) -> tuple[str, str, str]:
        """By what it is found again when lines above it come or go."""
        return self.function, self.before, self.after


__all__ = ["Change"]
