"""Opens the window as anybody does, and writes down what is on it for a test that tries it from outside.

    python -m tests.view.watched_window SCENARIO FILE

It only looks: hands come through the real window. FILE says, as JSON, how many
hands were let go so far, where every control is, and how the saw stands.
"""

import json
import sys
from pathlib import Path

import pygame

from sim.view.pages import app, window

_LET_GO = (pygame.KEYUP, pygame.MOUSEBUTTONUP, pygame.MOUSEWHEEL)
_WHEEL = (4, 5)  # buttons that SDL tells as well


class _Watched(app.App):
    path = Path()
    hands = 0
    quiet = 0  # frames since a hand was let go

    def handle(self, event):
        super().handle(event)
        if event.type in _LET_GO and getattr(event, "button", 0) not in _WHEEL:
            self.hands += 1
            self.quiet = 0

    def tick(self):
        super().tick()
        self.quiet += 1
        if self.quiet > 3 and self.quiet % 4:
            return
        partial = self.path.with_suffix(".new")
        partial.write_text(json.dumps(self._seen()), encoding="utf-8")
        partial.replace(self.path)

    def _seen(self):
        stage, play = self.stage, self.play
        seen = {
            "hands": self.hands,
            "quiet": self.quiet,
            "keyboard": bool(pygame.key.get_focused()),
            "focus": stage.focus,
            "page": stage.page.name,
            "widgets": {
                w.name: {"rect": list(w.rect), "seen": list(w.seen), "pane": w.pane}
                for w in stage.active
            },
            "panes": {name: list(pane.window) for name, pane in stage.page.scrolls.panes.items()},
            "stops": [w.name for w in stage.stops()],
        }
        if play is not None:
            saw = play.session.saw
            seen |= {
                "tab": play.tab,
                "busy": play.busy is not None,
                "speed": play.speed,
                "states": {name: m.state for name, m in saw.controller.machines.items()},
                "band_m_min": saw.plant.band.speed_m_s * 60,
                "now_s": play.session.now_s,
                "pieces": play.session.tally.pieces,
                "held": saw.controller.machines["job"].state == "HELD" and saw.clock.still,
                "step": 0 if play.lesson is None else play.lesson.number,
                "steps": 0 if play.lesson is None else len(play.lesson.steps),
            }
        return seen


def main(scenario, path):
    """Run the window on a scenario until it is closed."""
    _Watched.path = Path(path)
    window.App = _Watched
    return window.run(scenario)


if __name__ == "__main__":
    raise SystemExit(main(*sys.argv[1:]))
