"""Device tags on the picture: where each switch, valve and contactor sits, and whether it is live.

In a drill a tag is marked as its lamp or the meter was read last.

Letters follow IEC 81346-2. The tags take the place of the set-up callouts while the sheet of signals
is open.
"""

from collections.abc import Callable
from functools import partial
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import hides, wire_read
from sim.signals import BY_TAG
from sim.view.kit.controls import focus_ring
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Paint
from sim.view.picture.shelves import Anchor, Tag
from sim.words.speech import tell

PLACES: Final[dict[str, Anchor]] = {
    "B21": (0, -0.46, 0.15, "top"),
    "B43": (0, -0.33, 0.13, "top"),
    "B53": (0, -0.23, 0.01, "top"),
    "B32": (0, -0.19, 0.04, "top"),
    "B34": (0, -0.18, 0.01, "top"),
    "Y32": (0, -0.20, -0.36, "bottom"),
    "Y34": (0, -0.17, -0.36, "bottom"),
    "B22": (0, -0.15, 0.115, "top"),
    "Y21": (0, -0.13, 0.115, "top"),
    "Y22": (0, -0.12, 0.12, "top"),
    "B31": (0, -0.08, 0.04, "top"),
    "B33": (0, -0.06, 0.01, "top"),
    "Y31": (0, -0.07, -0.36, "bottom"),
    "Y33": (0, -0.05, -0.36, "bottom"),
    "Q0": (0, -0.69, -0.43, "bottom"),
    "K0": (0, -0.71, -0.43, "bottom"),
    "K1": (0, -0.67, -0.43, "bottom"),
    "F1": (0, -0.65, -0.43, "bottom"),
    "B61": (0, -0.90, -0.43, "bottom"),
    "B62": (0, -0.78, -0.43, "bottom"),
    "Q2": (0, -0.76, -0.43, "bottom"),
    "B63": (0, -0.52, -0.43, "bottom"),
    "Q3": (0, -0.50, -0.43, "bottom"),
    "B52": (0, 0.0, -0.10, "top"),
    "S2": (0, -0.80, -0.38, "bottom"),
    "S9": (0, -0.93, 0.05, "top"),
    "B51": (1, -0.34, 0.12, "top"),
    "B54": (1, -0.36, 0.14, "top"),
    "B42": (1, -0.30, 0.14, "top"),
    "B41": (1, -0.18, 0.10, "top"),
    "Q1": (1, 0.36, 0.10, "top"),
    "B1": (1, 0.39, 0.07, "top"),
    "B2": (1, 0.40, 0.05, "top"),
    "M2": (1, 0.43, 0.08, "top"),
    "M3": (1, 0.44, 0.08, "top"),
    "B3": (1, 0.45, 0.06, "top"),
    "B11": (1, 0.57, 0.08, "bottom"),
    "B12": (1, 0.57, -0.05, "bottom"),
    "Y11": (1, 0.25, -0.04, "bottom"),
    "Y12": (1, 0.27, -0.04, "bottom"),
    "Y13": (1, 0.29, -0.05, "bottom"),
}


def devices(kit: Kit, session: Session, pick: Callable[[str], None]) -> list[Tag]:
    """Return the device tags; `pick` is called with the tag that was clicked."""
    return [
        Tag(
            f"device.{tag}", place, kit.letters.width(tag, "small", True) + kit.px(1.7),
            max(kit.letters.width(tag, "fine", True) + kit.px(0.75), 24),
            partial(_painter, session, tag), partial(_live, session, tag), partial(pick, tag),
            f"{tag}: {tell(BY_TAG[tag].text)}",
        )
        for tag, place in PLACES.items()
        if tag in BY_TAG and (tag != "B43" or session.machine.infeed_hood)
    ]  # fmt: skip


def _live(session: Session, tag: str) -> bool:
    if hides(session):
        read = wire_read(session, tag)
        return read is not None and read.live
    return session.saw.bus.seen[tag] and console_lit(session)


def _painter(session: Session, tag: str, full: bool) -> Paint:

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        live = _live(session, tag)
        fill = palette.lit if mood.hovered else palette.panel
        pen.box(place, fill, palette.white if live else palette.edge, radius=0.0)
        bar = Rect(place.left, place.top, max(pen.px(0.35), 4), place.height)
        if live:
            pen.fill(bar, palette.white)
        role = "small" if full else "fine"
        rest = Rect(bar.right, place.top, place.right - bar.right, place.height)
        pen.text(tag, rest, role=role, bold=True, align="centre")
        focus_ring(pen, place, mood)

    return paint
