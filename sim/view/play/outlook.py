"""How somebody looks at the saw: from where, in the round or as a drawing, with names or without.

Never here: what is drawn.
"""

from dataclasses import dataclass

CAMERAS = 3


@dataclass
class Outlook:
    """What is chosen of the stage."""

    camera: int = 0
    drawing: bool = False
    names: bool = False
    lit: str = ""  # the part under the pointer, or chosen by the arrows

    def turn(self) -> None:
        """Look from the next camera, in the round."""
        self.camera = (self.camera + (0 if self.drawing else 1)) % CAMERAS
        self.drawing = False

    def toggle_drawing(self) -> None:
        """Show the drawing instead of the round, or the round again."""
        self.drawing = not self.drawing

    def toggle_names(self) -> None:
        """Show every name, or none."""
        self.names = not self.names
